// Package puddle is the heat and the pool: it welds a joint with given settings
// and technique and says what the metal did. Deterministic, no clock, no random,
// no input or output, no text.
//
// Heat: transient enthalpy in three dimensions on the joint's cross-section,
// extruded along the seam, with the arc as a Gaussian, the filler as cold metal at
// each dab, losses to air, fixture and vapour. Pool: collapse against surface
// tension, the keyhole at a gap, fusion of the root, read from the melted envelope.
//
// Valid for walls of 0.5 to 4 mm, tubes of 12 to 95 mm, 5 to 250 A, 0.3 to 15 mm/s. It
// leaves out surface deformation, flow in the pool beyond a stirred conductivity, and
// the spread of melting behaviour between heats of one grade.
package puddle

import (
	"errors"
	"math"
	"slices"

	"puddlewise/scoring/detmath"
	"puddlewise/scoring/metal"
	"puddlewise/scoring/weld"
)

// Bead is what the weld did to the metal, station by station. Lengths in m, temperatures in C.
type Bead struct {
	Stations   []Station
	PoolLength float64 // longest, on the face while travelling
	PoolWidth  float64
	PoolFront  float64   // of the pool ahead of the arc, mean around mid-seam
	Wake       []float64 // C on the face behind the arc, every WakeEvery: at mid-seam, further back later, as far as there is a bead
	Cooling    []float64 // C of the crater after the arc is out, every CoolEvery
	LastPool   float64   // width of the pool when the arc went out, m; 0 when the slope-down had closed it
	Peak       float64
	Dwell      float64   // s stood still at the start
	HeatInput  float64   // J/m, arc energy before efficiency
	Before     float64   // C at the seam's start when the arc is struck
	Closure    float64   // what the energy account misses, as a share
	DabVolume  float64   // m3
	BeadArea   float64   // m2 of filler per length
	Touched    []float64 // m along the seam where the tungsten met the metal; only a live run's can
	RodFast    float64   // s that the rod was frozen to the sheet; a live run's
	Short      float64   // m of the seam that the torch did not come to; a live run's
	Gusts      []Gust    // the steps of a live run with a draught that came and a pool under it
}

// Station is one place along the seam.
type Station struct {
	At           float64
	FaceA, FaceB float64 // melted from the joint outwards, on each member
	BackA, BackB float64 // melted on the far side of each member
	FarTemp      float64 // highest on the far sides
	FaceTemp     float64
	Depth        float64 // melted from the face along the joint, share of the whole
	RootTemp     float64 // fillets: highest temperature of the colder member's root cell
	Back         float64 // butts: highest at the middle of the back
	Down         float64 // edges: how deep they melted, m; the depth asked is the thinner wall
	Bare         float64 // molten and not bridged, longest, m; only at a gap
	Keyhole      float64 // Bare over what the liquid edges can hold: 1 opens
	Lap          float64 // share of the dab's metal that never melted in
	Gap          float64
	Current      float64
	Melt         float64 // edge of the melt, C
	Tilt         float64 // rad from face up: 0 flat, pi/2 vertical, pi overhead
	Between      float64 // rad between the members of a fillet: square but around a saddle
	Solidus      float64
	Dirt         float64 // share of a dirty spot's oxide that was not given the time to swim out
	Shape        Shape   // of the bead
}

// Gust is one step of a live run under a draught that came.
type Gust struct {
	At      float64 // of the arc along the seam, m
	Draught float64 // m/s, with that of the sheet
	Arc     float64 // from the tip to the face, m
	Reach   float64 // of the pool from the arc, sideways or ahead, m
}

// ErrEnergy says that the heat balance of a run did not close: no coupon comes of it.
var ErrEnergy = errors.New("the heat balance did not close")

// Keyhole at a gap: a slot of gap g, molten and bare over L, opens when
// sqrt(g L) > 0.77 h (Taylor and Michael 1973 for the round hole; the constant
// computed with an interface model, +-0.03 for g/h 0.3-0.7); below 0.21 h the
// rounding edges close it by themselves.
const (
	keyholeConstant = 0.77
	selfClosing     = 0.21
)

// BareLimit gives the longest bare molten slot that a gap in a wall can hold; +Inf where it closes by itself.
func BareLimit(gap, wall float64) float64 {
	if gap <= float64(selfClosing*wall) {
		return math.Inf(1)
	}
	return float64(float64(keyholeConstant*keyholeConstant)*float64(wall*wall)) / gap
}

const (
	stationEvery = 1e-3
	// WakeEvery is the spacing of Bead.Wake, m.
	WakeEvery  = 2e-3
	wakePoints = 111 // as far as the longest trailing shield and its cup reach
	dwellMost  = 4.0 // s a hand waits for the pool before moving anyway: common practice, no source
	// CoolEvery is the spacing of Bead.Cooling, s.
	CoolEvery  = 0.5
	coolPoints = 81
)

// Grade is how finely a weld is computed.
type Grade uint8

// Fine is what verdicts stand on. Coarse is three to four times quicker and within
// about 5 % of its margins: for maps and for finding where to look.
const (
	Fine Grade = iota
	Coarse
	Finer // half the cell of Fine: only to see what that would change
)

// Weld runs the seam.
func Weld(t weld.Task, a weld.Answer) (*Bead, error) { return WeldAt(t, a, Fine) }

// WeldAt runs the seam at the given grade.
func WeldAt(t weld.Task, a weld.Answer, g Grade) (*Bead, error) {
	return newRun(t, a, g).weld()
}

// run is one weld under way.
type run struct {
	t       weld.Task
	a       weld.Answer
	j       *joint
	s       *solver
	rec     *recorder
	lap     *lapRecord
	b       *Bead
	x0, x1  float64 // of the seam in the coupon
	wall    float64
	melt    float64
	solidus float64
	bridged float64 // up to where the gap is closed
	lastDab float64
	targets []target
	bare    []float64 // by station
	lead    path
	coarser float64
	aimed   float64     // deviation the arc was last spread with, m
	fronts  float64     // looks that PoolFront is the mean of
	round   *weld.Round // of a seam around a tube; nil else
	crowd   float64     // heat for each length of seam, against a flat sheet's
	held    *Live       // the hand that holds the torch; nil where an answer does
	loose   float64     // spread of the arc against that of a sound tungsten
}

func newRun(t weld.Task, a weld.Answer, g Grade) *run {
	i := max(a.CurrentAt(0), a.CurrentAt(1))
	sigma := float64(Spread(a, i))
	coarser := 1.0
	switch g {
	case Coarse:
		coarser = 1.5
	case Finer:
		coarser = 0.5
	}
	r := &run{t: t, a: a, j: newJoint(t, a, sigma, coarser), b: &Bead{}, coarser: coarser, loose: 1}
	r.x0 = float64(t.RunOut)
	length := r.x0 + float64(t.Seam) + float64(t.RunOut)
	r.wall, r.crowd = float64(t.Thinner()), 1
	if t.Joint.Tube() {
		r.round = t.Round()
		length = float64(r.round.Whole())
		r.x0 = length / 4
	}
	if t.Joint == weld.TubeButt {
		// A tube's wall is shorter inside than the outside it is unrolled by, and takes
		// the same heat with so much less metal.
		r.crowd = 1 / (1 - r.wall/float64(t.Diameter))
	}
	r.x1 = r.x0 + float64(t.Seam)
	pa, pb := metal.Of(t.A.Metal), metal.Of(t.B.Metal)
	r.melt = math.Max(pa.MeltMid(), pb.MeltMid())
	r.solidus = math.Min(pa.Solidus, pb.Solidus)
	spec := Spec{Start: t.PartTemp.Celsius(), Convection: 10, Emissivity: math.Max(pa.Emissivity, pb.Emissivity)}
	r.s = newSolver(r.j.sec, length, r.j.d, r.j.mats, spec)
	r.s.col.ring = t.Joint.Tube()
	r.s.col.layout()
	for k := range r.s.rows {
		p := pa
		if r.j.sec.cells[k].member == 1 {
			p = pb
		}
		row := &r.s.rows[k]
		row.solidus, row.liquidus = row.table.ThetaAt(p.Solidus), row.table.ThetaAt(p.Liquidus)
		row.k = p.Conductivity(float64(0.8 * p.Solidus))
	}
	for k := range r.j.sec.faces {
		f := &r.j.sec.faces[k]
		if h := r.j.chill(t.Chill, f); h > 0 {
			row := &r.s.rows[f.cell]
			row.bench += float64(h*f.length()) / row.area
		}
	}
	hot := float64(0.7 * pa.Solidus)
	r.s.setStep(float64(coarser * StepFor(sigma, float64(a.Travel), r.j.mats[0].ThetaAt(hot)/r.j.mats[0].Enthalpy(hot))))
	r.planFiller()
	r.watch()
	return r
}

// planFiller works out what each dab brings.
func (r *run) planFiller() {
	if r.a.Filler == weld.NoFiller {
		return
	}
	spacing := float64(r.a.DabSpacing)
	rod := float64(math.Pi / 4 * float64(float64(r.a.Rod)*float64(r.a.Rod)))
	want := float64(r.wantedArea() * spacing)
	if r.a.DabSize > 0 {
		want = float64(rod * float64(r.a.DabSize))
	}
	// A rod cannot melt off in less than about half its own diameter.
	want = math.Max(want, float64(rod*float64(r.a.Rod))/2)
	r.b.DabVolume = want
	r.b.BeadArea = want / spacing
	r.targets = r.j.fill(r.b.BeadArea)
	for _, t := range r.targets {
		r.s.makeFull(t.row)
	}
}

// wantedArea is the filler a sound bead needs, m2: the gap filled and a low cap
// on a butt, the leg filled on a fillet.
func (r *run) wantedArea() float64 {
	gap := (float64(r.t.Gap) + float64(r.t.GapEnd)) / 2
	if r.t.Joint.Fillet() {
		z := float64(r.t.LegAsked())
		return float64(z*z)/2 + float64(gap*z)
	}
	if r.t.Joint == weld.OutsideCorner || r.t.Joint == weld.EdgeWeld {
		return float64(0.3 * float64(r.wall*r.wall))
	}
	return float64(0.3*float64(r.wall*r.wall)) + float64(gap*r.wall)
}

// watch names the faces and cells whose highest temperatures are kept.
func (r *run) watch() {
	j := r.j
	var faces, cells []int
	for _, p := range []path{j.faceA, j.faceB, j.backA, j.backB} {
		for k, f := range p.faces {
			if math.Abs(p.s[k]) < fineBand(r.wall)+2e-3 {
				faces = append(faces, f)
			}
		}
	}
	for _, d := range j.depth {
		cells = append(cells, d.a, d.b)
	}
	for _, c := range slices.Concat(j.rootA, j.rootB) {
		cells = append(cells, c.cell)
	}
	r.rec = newRecorder(r.s, faces, cells)
	near := func(p path) path {
		out := path{mirror: p.mirror, corner: p.corner}
		for k, f := range p.faces {
			if r.rec.at[f] >= 0 {
				out.faces, out.s, out.half = append(out.faces, f), append(out.s, p.s[k]), append(out.half, p.half[k])
			}
		}
		return out
	}
	j.faceA, j.faceB, j.backA, j.backB = near(j.faceA), near(j.faceB), near(j.backA), near(j.backB)
	r.lead = j.faceA.first(1)
	if len(r.targets) > 0 {
		r.lap = newLapRecord(r.s, r.targets)
	}
}

func (r *run) weld() (*Bead, error) {
	r.strike()
	r.stand()
	r.travel()
	r.finish()
	return r.end()
}

// end measures the coupon once all is cold enough.
func (r *run) end() (*Bead, error) {
	r.b.Closure = r.s.closure()
	if !(r.b.Closure < maxClosure) {
		return nil, ErrEnergy
	}
	r.measure()
	return r.b, nil
}

// strike brings the part to where an arc is struck at the seam's start.
func (r *run) strike() {
	s := r.s
	s.stored0 = s.energy()
	r.warm()
	r.bare = make([]float64, int(math.Round(float64(r.t.Seam)/stationEvery))+1)
	gap := math.Max(float64(r.t.Gap), float64(r.t.GapEnd))
	if r.j.gapArc >= 0 {
		s.gapClosed = make([]float64, s.col.fineColumns())
	}
	// The run starts on a tack, which holds the gap shut under it.
	r.bridged = r.x0 + 1.5e-3
	if s.gapClosed != nil {
		s.refine(r.x0-fineBehind, r.x0+fineBefore)
		for k := range s.col.n {
			if ahead := s.col.from(r.bridged, k); ahead < 0 && (ahead > -3e-3 || !s.col.ring) || gap < selfClosing*r.wall {
				s.gapClosed[k] = 1
			}
		}
		r.catchGap()
	}
}

// catchGap lets the arc's middle warm the bridge once the gap is closed.
func (r *run) catchGap() {
	gap := (float64(r.t.Gap) + float64(r.t.GapEnd)) / 2
	row := &r.s.rows[r.j.gapArc]
	sigma := float64(Spread(r.a, r.a.Amps))
	share := normalShare(0, gap/2, widened(sigma, r.j.d))
	if !r.j.half {
		share *= 2
	}
	row.gapArc = share / row.area
}

// beat advances one step with the arc at x and current i, 0 with the arc out, and looks at the pool.
func (r *run) beat(x float64, i weld.Current) {
	s := r.s
	power, sigma := 0.0, 1e-3
	if i > 0 {
		sigma = float64(float64(Spread(r.a, i)) * r.loose)
		power = float64(float64(Absorbed(r.a, i)) * r.crowd)
		across := float64(sigma * r.opening(x))
		if math.Abs(across-r.aimed) > 0.005*across { // spreading the arc anew is work; below half a per cent it changes nothing
			s.aim(r.j.torch, across, r.j.d)
			r.aimed = across
		}
	}
	s.refine(x-fineBehind, x+fineBefore)
	s.step(power, x, sigma)
	r.rec.update()
	if r.lap != nil {
		r.lap.update()
	}
}

// stand holds the torch still until the pool is there. Its last step is cut to end
// about then: how long a hand waits may not hang on the size of a step.
func (r *run) stand() {
	if r.a.Start == weld.GoAtOnce {
		return
	}
	whole := r.s.tau
	defer func() { r.s.setStep(whole) }()
	before := r.poolShare()
	for r.b.Dwell < dwellMost {
		r.beat(r.x0, r.a.CurrentAt(0))
		r.b.Dwell += r.s.tau
		now := r.poolShare()
		if now >= 1-eps {
			return
		}
		if left := (1 - now) / (now - before); left > 0 && left < 1 {
			r.s.setStep(float64(whole * math.Max(left, 0.1)))
		}
		before = now
	}
}

// poolShare says how near the pool is that a hand would wait for: 1 when both members of
// a fillet are wet at the root, or a butt's pool is about to sink through.
func (r *run) poolShare() float64 {
	p := r.station(0)
	if r.j.rootA != nil {
		return rise(p.RootTemp, r.melt)
	}
	return p.Depth / 0.95
}

// travel runs the seam, dabbing on the way.
func (r *run) travel() {
	v := float64(r.a.Travel)
	seam := float64(r.t.Seam)
	spacing := float64(r.a.DabSpacing)
	steps := int(math.Ceil(seam / v / r.s.tau))
	if len(r.targets) > 0 && spacing < seam {
		// Whole steps between two dabs: when a dab comes may not hang on the step.
		between := math.Ceil(spacing / v / r.s.tau)
		steps = int(math.Round(float64(seam / spacing * between)))
	}
	r.s.setStep(seam / v / float64(steps))
	move := float64(v * r.s.tau)
	r.lastDab = r.x0 - spacing // the first dab comes as the torch moves off
	gap := math.Max(float64(r.t.Gap), float64(r.t.GapEnd)) > 0
	for n := range steps {
		at := float64(float64(n) * move)
		x := r.x0 + at + move/2
		r.dabs(r.x0+at, spacing)
		r.beat(x, r.a.CurrentAt((at+move/2)/seam))
		if n%4 == 0 || gap {
			r.look(x+move/2, n, steps)
		}
	}
}

// dabs puts in the rod wherever the spacing has come round.
func (r *run) dabs(x, spacing float64) {
	if len(r.targets) == 0 {
		return
	}
	for x >= r.lastDab+spacing-eps {
		r.lastDab += spacing
		r.dab(r.lastDab, x, 0)
	}
}

// dab puts the rod in at a place while the arc stands at x. The rod meets the pool's
// front edge and its metal runs back to the last dab, over at least a length.
func (r *run) dab(at, x, least float64) {
	to := at + math.Max(r.front(x), 0)
	from := math.Max(r.x0, math.Min(math.Max(r.bridged, r.x0), to-least))
	r.slot(at, to-r.bridged)
	if to > from {
		r.deposit(from, to)
	}
}

// deposit lays one dab's metal from..to, all of it even when the stretch is short.
func (r *run) deposit(from, to float64) {
	scale := r.b.DabVolume / (float64(r.b.BeadArea) * (to - from))
	targets := r.targets
	if math.Abs(scale-1) > 1e-9 {
		targets = make([]target, len(r.targets))
		for i, t := range r.targets {
			targets[i] = target{t.row, float64(t.area * math.Min(scale, 3))}
		}
	}
	r.s.deposit(targets, from, to)
	r.lap.reset(from, to)
	r.bridged = math.Max(r.bridged, to)
}

// front gives how far ahead of x the face is molten.
func (r *run) front(x float64) float64 {
	_, ahead := r.molten(x, r.melt)
	return ahead
}

// molten gives how far behind and ahead of x the first face cells are above t.
func (r *run) molten(x, t float64) (behind, ahead float64) {
	p := r.lead
	if len(p.faces) == 0 {
		return 0, 0
	}
	c := r.s.col
	f := p.faces[0]
	th := r.s.rows[r.j.sec.faces[f].cell].table.ThetaAt(t)
	at, next, _ := c.columnAt(x)
	hot := func(k int) bool { return r.rec.surface(f, k) >= th }
	if !hot(at) && !hot(next) {
		return 0, 0
	}
	reach := func(start, way int) float64 {
		if !hot(start) {
			return 0
		}
		k, far := start, math.Abs(c.from(x, start))
		for range c.n {
			o, ok := c.step(k, way)
			if !ok {
				return far
			}
			gap := (c.w[k] + c.w[o]) / 2
			if !hot(o) {
				a, b := r.rec.surface(f, k), r.rec.surface(f, o)
				return far + float64(gap*((a-th)/(a-b)))
			}
			k, far = o, far+gap
		}
		return far
	}
	return reach(at, -1), reach(next, 1)
}

// look takes the pool's measures as a hand would see them pass.
func (r *run) look(x float64, n, steps int) {
	behind, ahead := r.molten(x, r.melt)
	b := r.b
	b.PoolLength = math.Max(b.PoolLength, behind+ahead)
	if middle := float64(n) / float64(steps); middle > 0.4 && middle < 0.6 {
		r.fronts++
		b.PoolFront += (ahead - b.PoolFront) / r.fronts // the mean: it swings with the dabs
	}
	if n >= steps/2/4*4 {
		r.trace(x)
	}
	if len(r.targets) == 0 {
		r.slot(x, x+ahead-r.bridged)
	}
}

// trace reads the wake as far as the bead reaches behind x: half the seam at its
// middle. What is further back is where the seam began, read as the arc gets there.
func (r *run) trace(x float64) {
	f := r.lead.faces[0]
	table := r.s.rows[r.j.sec.faces[f].cell].table
	for len(r.b.Wake) < wakePoints {
		back := float64(float64(len(r.b.Wake)) * WakeEvery)
		if back > x-r.x0 && len(r.b.Wake) > 1 || r.s.col.ring && back > float64(r.round.Whole())/2 { // halfway round the arc's own warmth comes from ahead
			return
		}
		i, o, w := r.s.col.columnAt(x - back)
		a, c := r.rec.surface(f, i), r.rec.surface(f, o)
		r.b.Wake = append(r.b.Wake, table.TemperatureAt(a+float64(w*(c-a))))
	}
}

// slot notes how long the gap's edges are molten and bare at x: from the last dab's
// metal to the pool's front edge.
func (r *run) slot(x, bare float64) {
	if bare <= 0 || r.gapAt(x-r.x0) <= float64(selfClosing*r.wall) {
		return
	}
	k := min(max(int(math.Round((x-r.x0)/stationEvery)), 0), len(r.bare)-1)
	r.bare[k] = math.Max(r.bare[k], bare)
}

// finish eases the current out over the crater, then lets it cool.
func (r *run) finish() {
	r.s.setStep(float64(0.06 * r.coarser))
	n := int(math.Round(float64(r.a.SlopeDown) / r.s.tau))
	last := r.a.CurrentAt(1)
	for k := range n {
		share := 1 - 0.8*float64(k+1)/float64(n)
		r.beat(r.x1, max(weld.Current(float64(float64(last)*share)), 5))
	}
	r.b.LastPool = r.poolWidth(r.x1)
	r.cool(r.x1)
}

// poolWidth gives how wide the face is molten where the arc stands at x, across the
// middle of the pool.
func (r *run) poolWidth(x float64) float64 {
	behind, ahead := r.molten(x, r.melt)
	if behind+ahead == 0 {
		return 0
	}
	now := r.rec.nowAt(x + (ahead-behind)/2)
	return now.profile(r.j.faceA).reach(r.melt) + now.profile(r.j.faceB).reach(r.melt)
}

// cool follows the crater until it no longer takes oxide, in steps half a second
// long: within 3 % of ten times shorter ones from the first second on.
func (r *run) cool(x float64) {
	until := math.Min(coldEnough(r.t.A.Metal), coldEnough(r.t.B.Metal))
	r.s.refine(x, x)
	r.s.setStep(CoolEvery)
	for len(r.b.Cooling) < coolPoints {
		t := r.hottestNow(x)
		r.b.Cooling = append(r.b.Cooling, t)
		if t < until {
			return
		}
		r.s.step(0, x, 1e-3)
	}
}

// coldEnough is the temperature below which a crater out of the gas takes nothing more
// that shows, C; carbon steel and aluminium are not followed.
func coldEnough(m weld.Metal) float64 {
	switch m.Family() {
	case weld.Stainless:
		return 600
	case weld.TitaniumMF:
		return metal.Of(m).OxidisesAbove
	}
	return math.Inf(1)
}

// hottestNow gives the face's highest temperature around x, C.
func (r *run) hottestNow(x float64) float64 {
	top := metal.Ambient
	for d := -6e-3; d <= 2e-3; d += 1e-3 {
		now := r.rec.nowAt(x + d)
		for _, p := range []path{r.j.faceA, r.j.faceB} {
			t, _ := now.profile(p).max()
			top = math.Max(top, t)
		}
	}
	return top
}

// measure reads the stations when all is done.
func (r *run) measure() {
	b := r.b
	n := len(r.bare)
	shapes := newShaper(r.t, r.a, b.BeadArea)
	for k := range n {
		at := math.Min(float64(float64(k)*stationEvery), float64(r.t.Seam))
		st := r.station(at)
		st.Bare = r.bare[k]
		if g := st.Gap; g > 0 {
			// A station inherits the slot that passed over it.
			for i := max(0, k-1); i <= min(n-1, k+1); i++ {
				st.Bare = math.Max(st.Bare, r.bare[i])
			}
			st.Keyhole = st.Bare / BareLimit(g, r.wall)
		}
		if r.lap != nil {
			st.Lap = r.lap.share(r.x0 + at)
		}
		if r.held != nil {
			st.Current, shapes.fill = r.held.currentAt(k), r.held.fillAt(k)
			if st.FaceTemp >= r.melt {
				st.Dirt = r.held.dirt[k]
			}
		}
		st.Shape = shapes.of(&st)
		b.Stations = append(b.Stations, st)
		b.Peak = math.Max(b.Peak, st.FaceTemp)
		b.PoolWidth = math.Max(b.PoolWidth, st.FaceA+st.FaceB)
	}
	i := (float64(r.a.CurrentAt(0)) + float64(r.a.CurrentAt(1))) / 2
	if r.held != nil {
		b.HeatInput = r.held.heatInput()
		return
	}
	b.HeatInput = float64(float64(Volts(r.a, weld.Current(i)))*i) / float64(r.a.Travel)
}

// station reads the record at a place along the seam.
func (r *run) station(at float64) Station {
	x := r.x0 + at
	j := r.j
	st := Station{At: at, Gap: r.gapAt(at), Melt: r.melt, Solidus: r.solidus, Tilt: tilt(r.t, r.round, at), Between: r.between(at)}
	st.Current = float64(r.a.CurrentAt(at / math.Max(float64(r.t.Seam), 1e-3)))
	read := func(p path) (reach, peak float64, prof profile) {
		if len(p.faces) == 0 {
			return 0, metal.Ambient, profile{}
		}
		prof = r.rec.peakProfile(p, x)
		peak, _ = prof.max()
		return prof.reach(r.melt), peak, prof
	}
	var fa, fb, ba, bb profile
	var pa, pb, qa, qb float64
	st.FaceA, pa, fa = read(j.faceA)
	st.FaceB, pb, fb = read(j.faceB)
	st.FaceTemp = math.Max(pa, pb)
	if j.rootA != nil {
		// The far side of a fillet melts in a strip: its width, not its reach.
		_, qa, ba = read(j.backA)
		_, qb, bb = read(j.backB)
		st.BackA, st.BackB = ba.width(r.melt), bb.width(r.melt)
	} else {
		st.BackA, qa, ba = read(j.backA)
		st.BackB, qb, bb = read(j.backB)
	}
	st.FarTemp = math.Max(qa, qb)
	cellTemp := func(c int, x float64) float64 {
		i, k, w := r.s.col.fineAt(x)
		v := r.rec.cellPeak[r.rec.cellAt[c]]
		return r.s.rows[c].table.TemperatureAt(v[i] + float64(w*(v[k]-v[i])))
	}
	if j.rootA != nil {
		// The mean of a station's length: a root swings with each dab.
		at := func(corner []share) float64 {
			sum := 0.0
			for _, c := range corner {
				mean := (cellTemp(c.cell, x-stationEvery/2) + float64(2*cellTemp(c.cell, x)) + cellTemp(c.cell, x+stationEvery/2)) / 4
				sum += float64(c.part * mean)
			}
			return sum
		}
		st.RootTemp = math.Min(at(j.rootA), at(j.rootB))
		st.Depth = math.Min(1, rise(st.RootTemp, r.melt))
		return st
	}
	var z, temps []float64
	first := math.Min(at0(fa), at0(fb))
	z, temps = append(z, 0), append(temps, first)
	for _, d := range j.depth {
		z = append(z, d.s)
		temps = append(temps, math.Min(cellTemp(d.a, x), cellTemp(d.b, x)))
	}
	if r.t.Joint != weld.EdgeWeld {
		last := math.Min(at0(ba), at0(bb))
		z, temps = append(z, j.depthWhole), append(temps, last)
		st.Back = last
	}
	down := crossing(z, temps, r.melt)
	if r.t.Joint == weld.EdgeWeld {
		st.Down = down
		st.FaceA, st.FaceB = toTheEdge(j.faceA, st.FaceA), toTheEdge(j.faceB, st.FaceB)
	}
	st.Depth = math.Min(1, down/j.depthWhole)
	return st
}

// rise gives the share of the way from cold to the melt that a temperature is.
func rise(t, melt float64) float64 { return (t - metal.Ambient) / (melt - metal.Ambient) }

func at0(p profile) float64 {
	if len(p.s) == 0 {
		return metal.Ambient
	}
	return p.at(0)
}

// toTheEdge gives a reach that ends in the path's last face its full width.
func toTheEdge(p path, reach float64) float64 {
	if n := len(p.s); n > 0 && reach >= p.s[n-1] {
		return p.s[n-1] + p.half[n-1]
	}
	return reach
}

// width gives how much of the path is above t.
func (p profile) width(t float64) float64 {
	sum := 0.0
	for i := 1; i < len(p.s); i++ {
		a, b := p.t[i-1]-t, p.t[i]-t
		d := p.s[i] - p.s[i-1]
		switch {
		case a >= 0 && b >= 0:
			sum += d
		case a >= 0:
			sum += float64(d * (a / (a - b)))
		case b >= 0:
			sum += float64(d * (b / (b - a)))
		}
	}
	return sum
}

// gapAt gives the gap at a place along the seam: the sheet's, and what opened in a live run.
func (r *run) gapAt(at float64) float64 {
	gap := float64(r.t.GapAt(weld.Length(at)))
	if r.held != nil {
		gap += r.held.opened(at)
	}
	return gap
}

// tilt gives how far the face is turned from lying up at a place along the seam.
func tilt(t weld.Task, round *weld.Round, at float64) float64 {
	switch t.Position {
	case weld.PB:
		return math.Pi / 4
	case weld.PC, weld.PF, weld.PG:
		return math.Pi / 2
	case weld.PD:
		return 3 * math.Pi / 4
	case weld.PE:
		return math.Pi
	case weld.PH, weld.PJ:
		return round.Tilt(weld.Length(at))
	}
	return 0
}

// between gives the angle between the members at a place along the seam.
func (r *run) between(at float64) float64 {
	if r.round == nil {
		return math.Pi / 2
	}
	return r.round.Between(weld.Length(at))
}

// opening gives how the arc's spread across the seam changes with the angle between
// the members, against the right angle of the section: where it opens each face
// stands squarer to the torch and the heat is tighter on it.
func (r *run) opening(x float64) float64 {
	if r.t.Joint != weld.TubeSaddle {
		return 1
	}
	return math.Sqrt2 / 2 / detmath.Sin(r.between(x-r.x0)/2)
}
