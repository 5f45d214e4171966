package view

import (
	"fmt"
	"math"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Point is a place in the cross-section, mm: Y to the right, Z up.
type Point struct{ Y, Z float64 }

// Kind is what fills a shape of the section.
type Kind uint8

// Kinds, and the order in which later shapes cover earlier ones.
const (
	Air Kind = iota
	MemberA
	MemberB
	Bead
	Tungsten
)

// Shape is a filled convex outline.
type Shape struct {
	Kind    Kind
	Corners []Point
}

// Section is the joint cut across the seam, as it hangs on the bench: gravity
// points down the picture unless it runs along the seam.
type Section struct {
	Shapes       []Shape
	Root         Point // where the members must fuse
	Toward       Point // unit vector from the root to the torch
	Tip          Point // where the electrode leaves the picture; zero without a torch
	Lo, Hi       Point // the part worth showing
	AlongGravity bool  // gravity runs along the seam, not across the picture
	FromAbove    bool  // gravity runs into the picture
	Marks        []Mark
}

// Mark is lines of words that stand in a picture, centred on their place, or beginning
// or ending there.
type Mark struct {
	At    Point
	Lines []string
	Align Align
}

// Align says where a mark's place is in its lines.
type Align uint8

// Aligns.
const (
	Centred Align = iota
	Begins
	Ends
)

// SectionOptions says how the section is to be cut.
type SectionOptions struct {
	At     weld.Length // along the seam
	MinGap float64     // mm; a real gap is drawn at least so wide, that it can be seen
	Coupon *scoring.Station
	Torch  *Torch
	Close  bool // only what is next to the root
}

// Torch is how the tungsten stands over the joint, to scale.
type Torch struct {
	Work     weld.Angle // from the base, across the seam; zero splits the joint
	Aim      weld.Length
	Arc, Dia weld.Length
	Tip      weld.Angle
}

// PlainTorch is a torch as any hand would first hold it.
var PlainTorch = Torch{Arc: 1.5 * weld.Millimetre, Dia: 1.6 * weld.Millimetre, Tip: 30 * weld.Degree}

// TorchOf gives the torch of an answer, as far as ready says that its fields
// have been decided; the rest is as plain as can be, and so gives nothing away.
func TorchOf(a weld.Answer, ready func(key string) bool) Torch {
	t := PlainTorch
	if ready("work_angle") {
		t.Work = a.WorkAngle
	}
	if ready("aim") {
		t.Aim = a.Aim
	}
	if ready("arc_length") {
		t.Arc = a.ArcLength
	}
	if ready("tungsten_diameter") {
		t.Dia = a.TungstenDia
	}
	if ready("tip_angle") {
		t.Tip = a.TipAngle
	}
	return t
}

// JointSection cuts the joint across.
func JointSection(t weld.Task, opt SectionOptions) Section {
	gap := t.GapAt(opt.At).MM()
	if gap > 0 {
		gap = math.Max(gap, opt.MinGap)
	}
	ta, tb := t.A.Thickness.MM(), t.B.Thickness.MM()
	if ta <= 0 {
		ta = 1
	}
	if tb <= 0 {
		tb = ta
	}
	reach := math.Max(4.5*math.Max(ta, tb), 5)
	if opt.Close {
		reach = math.Max(3*math.Max(ta, tb), 4)
	}
	c := cut{t: t, ta: ta, tb: tb, gap: gap, reach: reach, st: opt.Coupon, at: opt.At, between: math.Pi / 2}
	switch {
	case t.Joint == weld.TubeSaddle:
		c.between = t.Round().Between(opt.At)
		c.tee()
	case t.Joint == weld.TeeFillet:
		c.tee()
	case t.Joint == weld.LapFillet:
		c.lap()
	case t.Joint == weld.OutsideCorner:
		c.corner()
	case t.Joint == weld.EdgeWeld:
		c.edge()
	default:
		c.butt()
	}
	if opt.Torch != nil {
		c.tungsten(*opt.Torch)
	}
	return c.section()
}

// cut collects shapes with the seam at the origin, the welded side up or up and right.
type cut struct {
	t           weld.Task
	ta, tb, gap float64
	reach       float64 // how far the members are followed from the root
	shapes      []Shape
	torch       float64 // deg from the right
	held        bool    // the torch is drawn
	st          *scoring.Station
	at          weld.Length
	between     float64 // rad, from the right: where B stands on A
}

func (c *cut) add(k Kind, corners ...Point) { c.shapes = append(c.shapes, Shape{k, corners}) }

// box adds an upright rectangle.
func (c *cut) box(k Kind, y0, z0, y1, z1 float64) {
	c.add(k, Point{y0, z0}, Point{y1, z0}, Point{y1, z1}, Point{y0, z1})
}

// arm is the length of a member that is shown: its own or the reach.
func (c *cut) arm(m weld.Member) float64 {
	if w := m.Width.MM(); w > 0 {
		return math.Min(w, c.reach)
	}
	return c.reach
}

func (c *cut) butt() {
	c.torch = 90
	g := c.gap / 2
	c.box(MemberA, -g-c.arm(c.t.A), -c.ta, -g, 0)
	c.box(MemberB, g, -c.tb, g+c.arm(c.t.B), 0)
	if c.st == nil {
		return
	}
	wall := math.Min(c.ta, c.tb)
	face, back := c.st.FaceWidth.MM(), c.st.BackWidth.MM()
	if c.st.Hole {
		w := math.Max(math.Max(face, back), 1) / 2
		c.box(Air, -w, -math.Max(c.ta, c.tb), w, 0)
		return
	}
	if c.st.Penetration >= 1 {
		c.add(Bead, Point{-face / 2, 0}, Point{face / 2, 0}, Point{math.Max(back, 0.1) / 2, -wall}, Point{-math.Max(back, 0.1) / 2, -wall})
		// The root hangs out, or is drawn in.
		if h := c.st.Root.MM(); h >= 0 {
			c.bowl(Bead, back, -h, -wall)
		} else {
			c.bowl(Air, back, -h, -wall)
		}
	} else {
		c.bowl(Bead, face, -c.st.Penetration*wall, 0)
	}
	c.cap(face)
}

// cap adds the bead above the face, or the dip below it.
func (c *cut) cap(face float64) {
	if h := c.st.Cap.MM(); h >= 0 {
		c.bowl(Bead, face, h, 0)
	} else {
		c.bowl(Air, face, h, 0)
	}
}

// bowl adds a parabola of the given width on the level from; negative heights hang down.
func (c *cut) bowl(k Kind, width, height, from float64) {
	if width <= 0 || height == 0 {
		return
	}
	const steps = 12
	var corners []Point
	for i := range steps + 1 {
		y := -1 + 2*float64(i)/steps
		corners = append(corners, Point{y * width / 2, from + height*(1-y*y)})
	}
	c.add(k, corners...)
}

func (c *cut) tee() {
	c.torch = c.between / 2 * 180 / math.Pi
	arm := c.arm(c.t.A)
	sin, cos := math.Sincos(c.between)
	foot := c.tb / sin // what B's wall covers of A
	// The far side of the web is followed only a little: the weld is on the near side.
	c.box(MemberA, -foot-arm/2, -c.ta, arm, 0)
	up := c.arm(c.t.B)
	c.add(MemberB, Point{0, c.gap}, Point{up * cos, c.gap + up*sin}, Point{up*cos - c.tb*sin, c.gap + up*sin + c.tb*cos}, Point{-foot, c.gap})
	c.fillet()
}

func (c *cut) lap() {
	c.torch = 45
	over := c.reach
	if o := c.t.Overlap.MM(); o > 0 {
		over = math.Min(o, c.reach)
	}
	c.box(MemberA, -over, -c.ta, c.arm(c.t.A), 0)
	c.box(MemberB, -math.Max(over, c.arm(c.t.B)), c.gap, 0, c.gap+c.tb)
	c.fillet()
}

// fillet adds the bead of a fillet in the corner at the origin.
func (c *cut) fillet() {
	if c.st == nil {
		return
	}
	a, b := c.st.LegA.MM(), c.st.LegB.MM()
	if c.st.Hole {
		c.keyhole()
		return
	}
	if a <= 0 || b <= 0 {
		return
	}
	sin, cos := math.Sincos(c.between)
	toe := Point{b * cos, b * sin}
	flat := a * b * sin / math.Hypot(a-toe.Y, toe.Z) // throat of a flat bead
	bulge := c.st.Cap.MM() / flat
	mid := Point{(a + toe.Y) / 2 * (1 + bulge), toe.Z / 2 * (1 + bulge)}
	c.add(Bead, Point{}, Point{a, 0}, mid, toe)
	if c.st.Penetration >= 1 {
		// A fused root takes a little of both members with it.
		c.box(Bead, -c.tb/4, -c.ta/4, a/3, math.Max(c.gap, b/3))
	} else {
		// An unfused root stays open.
		open := (1 - math.Max(0, c.st.Penetration)) * flat / 2
		c.add(Air, Point{}, Point{open, 0}, Point{open * cos, open * sin})
	}
}

// keyhole opens the root of a fillet: the edge of B has drawn back, the pool has
// left a dent in A, and went through it where its far side melted.
func (c *cut) keyhole() {
	w, through := math.Max(c.st.FaceWidth.MM(), 2)/3, c.st.BackWidth.MM()
	const dent = 0.4 // walls
	if c.t.Joint == weld.LapFillet {
		c.box(Air, -w, c.gap, 0, c.gap+c.tb)
	} else {
		c.box(Air, -c.tb, c.gap, 0, c.gap+w)
	}
	c.box(Air, -w/2, -dent*c.ta, w, 0)
	if through > 0 {
		c.box(Air, -through/2, -c.ta, through/2, 0)
	}
}

// corner: A lies on B's edge, flush with its outer face, as the model has it.
func (c *cut) corner() {
	c.torch = 45
	c.box(MemberA, -c.tb-c.arm(c.t.A), 0, 0, c.ta)
	c.box(MemberB, -c.tb, -c.gap-c.arm(c.t.B), 0, -c.gap)
	if c.st == nil {
		return
	}
	half := c.st.FaceWidth.MM() / 2
	if c.st.Hole {
		c.box(Air, -c.tb, -half, c.ta, half)
		return
	}
	// The bead wraps around the corner: down B's face, up A's edge and onto A.
	top := Point{0, math.Min(half, c.ta)}
	if half > c.ta {
		top = Point{c.ta - half, c.ta}
	}
	c.add(Bead, Point{0, -half}, Point{0, math.Min(half, c.ta)}, top, Point{-math.Min(1, c.st.Penetration) * c.tb, 0})
	if h := c.st.Cap.MM(); h > 0 {
		c.add(Bead, Point{0, -half}, Point{h, -half / 3}, Point{h, c.ta / 2}, Point{h / 2, c.ta}, Point{0, math.Min(half, c.ta)})
	}
}

func (c *cut) edge() {
	c.torch = 90
	g := c.gap / 2
	c.box(MemberA, -g-c.ta, -c.arm(c.t.A), -g, 0)
	c.box(MemberB, g, -c.arm(c.t.B), g+c.tb, 0)
	if c.st == nil {
		return
	}
	down := c.st.Down.MM()
	if c.st.Hole { // the nose has run off
		c.box(Air, -g-c.ta, -down, g+c.tb, 0)
		return
	}
	c.bowl(Bead, c.st.FaceWidth.MM(), -down, 0)
	c.cap(c.st.FaceWidth.MM())
}

// tungsten adds the electrode: a ground tip and a shank, the arc's length away.
func (c *cut) tungsten(t Torch) {
	c.held = true
	var base Point // where the arc points
	if c.t.Joint.Fillet() {
		base.Y = t.Aim.MM()
		if t.Work > 0 { // 45 splits the members, whatever their angle
			c.torch = t.Work.Degrees() * c.between / (math.Pi / 2)
		}
	}
	if c.t.Joint == weld.OutsideCorner {
		base = Point{0, c.ta / 2}
	}
	sin, cos := math.Sincos(c.torch * math.Pi / 180)
	at := func(along, across float64) Point {
		return Point{base.Y + along*cos - across*sin, base.Z + along*sin + across*cos}
	}
	r := math.Max(t.Dia.MM(), 0.2) / 2
	tip := math.Min(2*math.Pi/3, math.Max(float64(t.Tip), math.Pi/18))
	from := t.Arc.MM()
	shoulder := from + r/math.Tan(tip/2)
	c.add(Tungsten, at(from, 0), at(shoulder, r), at(math.Max(shoulder, c.stub()), r), at(math.Max(shoulder, c.stub()), -r), at(shoulder, -r))
}

// stub is how far from the root the torch is followed.
func (c *cut) stub() float64 { return c.reach * 0.8 }

// splits says whether the torch comes in between two members at an angle.
func splits(j weld.Joint) bool { return j.Fillet() || j == weld.OutsideCorner }

// hangs gives the position as it is at this place: around a level tube overhead,
// upright and flat follow one another.
func (c *cut) hangs() weld.Position {
	if !c.t.Level() {
		return c.t.Position
	}
	switch tilt := c.t.Round().Tilt(c.at); {
	case tilt > math.Pi*3/4:
		return weld.PE
	case tilt < math.Pi/4:
		return weld.PA
	case c.t.Position == weld.PJ:
		return weld.PG
	}
	return weld.PF
}

// section turns what was drawn into the position it is welded in.
func (c *cut) section() Section {
	s := Section{Shapes: c.shapes}
	turn := 0.0
	angled := splits(c.t.Joint)
	split := c.between / 2 * 180 / math.Pi
	switch c.hangs() {
	case weld.PA:
		if angled {
			turn = 90 - split
		}
	case weld.PC:
		turn = -90
		if angled {
			turn = -split
		}
	case weld.PD, weld.PE:
		turn = 180
		if angled && c.hangs() == weld.PE {
			turn = -90 - split
		}
	case weld.PF, weld.PG:
		s.AlongGravity = true
	}
	s.turn(turn * math.Pi / 180)
	sin, cos := math.Sincos((c.torch + turn) * math.Pi / 180)
	s.Toward = Point{cos, sin}
	if !c.held {
		return s
	}
	s.Tip = Point{s.Toward.Y * c.stub(), s.Toward.Z * c.stub()}
	s.Lo = Point{math.Min(s.Lo.Y, s.Tip.Y), math.Min(s.Lo.Z, s.Tip.Z)}
	s.Hi = Point{math.Max(s.Hi.Y, s.Tip.Y), math.Max(s.Hi.Z, s.Tip.Z)}
	return s
}

// KindAt says what is at the point: the last shape that covers it.
func (s Section) KindAt(p Point) Kind {
	for i := len(s.Shapes) - 1; i >= 0; i-- {
		if s.Shapes[i].holds(p) {
			return s.Shapes[i].Kind
		}
	}
	return Air
}

// holds says whether the point lies in the outline, by the even-odd rule.
func (sh Shape) holds(p Point) bool {
	in := false
	n := len(sh.Corners)
	for i := range n {
		a, b := sh.Corners[i], sh.Corners[(i+1)%n]
		if (a.Z > p.Z) != (b.Z > p.Z) && p.Y < a.Y+(b.Y-a.Y)*(p.Z-a.Z)/(b.Z-a.Z) {
			in = !in
		}
	}
	return in
}

// SectionWords describes the cross-section to someone who cannot see it.
func SectionWords(t weld.Task, sys weld.System) []string {
	a, b := t.Joint.Members()
	ta, tb := t.A.Thickness.Show(sys), t.B.Thickness.Show(sys)
	var how, torch string
	switch t.Joint {
	case weld.TeeFillet, weld.TubeSaddle:
		how = fmt.Sprintf("The %s, %s thick, stands on the %s, %s thick; the weld goes into the corner between them.", b, tb, a, ta)
		torch = "The torch comes into the corner between the two"
	case weld.LapFillet:
		how = fmt.Sprintf("The %s, %s thick, lies on the %s, %s thick; the weld joins its edge to the face below.", b, tb, a, ta)
		torch = "The torch comes into the step between the two"
	case weld.OutsideCorner:
		how = fmt.Sprintf("The %s, %s thick, lies on the edge of the %s, %s thick, flush with its outside; the weld runs along the seam outside.", a, ta, b, tb)
		torch = "The torch comes from outside the corner"
	case weld.EdgeWeld:
		how = fmt.Sprintf("%s, %s thick, and %s, %s thick, lie face to face; the weld melts their edges together.", a, ta, b, tb)
		torch = "The torch comes square onto the edges"
	case weld.TubeButt:
		how = fmt.Sprintf("A tube, %s thick, and another, %s thick, stand end to end; the weld goes through the wall.", ta, tb)
		torch = "The torch comes square onto the tube"
	default:
		how = fmt.Sprintf("%s, %s thick, and %s, %s thick, lie edge to edge in one plane; the weld goes through the wall.", a, ta, b, tb)
		torch = "The torch comes square onto the face"
	}
	how = upper(how)
	out := append([]string{how}, tubeWords(t, sys)...)
	return append(out, "Gap: "+Gap(t, sys)+".", torch+"; "+Gravity(t.Position)+".")
}

// Gravity says which way is down for the position.
func Gravity(p weld.Position) string {
	switch p {
	case weld.PB:
		return "gravity pulls the pool down onto the base"
	case weld.PC:
		return "the seam lies level on an upright wall and gravity pulls the pool towards the lower edge"
	case weld.PD, weld.PE:
		return "the torch points upwards and gravity pulls the pool away from the joint"
	case weld.PF:
		return "the seam stands upright, you weld upwards, and gravity pulls the pool back along it"
	case weld.PG:
		return "the seam stands upright, you weld downwards, and gravity pulls the pool ahead along it"
	case weld.PH:
		return "gravity turns around the tube as you climb it from the bottom"
	case weld.PJ:
		return "gravity turns around the tube as you come down it from the top"
	}
	return "gravity pulls the pool straight into the joint"
}

func upper(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
