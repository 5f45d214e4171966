package view

import (
	"fmt"
	"math"
	"strings"

	"puddlewise/scoring/weld"
)

// TubeView shows which way the run goes around: a tube looked at on its end, a branch
// from the side of the two tubes' plane, both as they hang. It is not to scale through
// the wall. here marks a place of the seam, when it is not negative. ok is false where
// there is no tube.
func TubeView(t weld.Task, here weld.Length) (s Section, ok bool) {
	if !t.Joint.Tube() || t.Diameter <= 0 {
		return Section{}, false
	}
	if t.Joint == weld.TubeSaddle {
		return branchView(t, here), true
	}
	return endView(t, here), true
}

// endView is the tube's end, seen so that the run goes up or down past three o'clock.
func endView(t weld.Task, here weld.Length) Section {
	const inner = 0.78 // of the radius, thick enough to be seen
	round := t.Round()
	r := t.Diameter.MM() / 2
	at := func(turn, share float64) Point {
		sin, cos := math.Sincos(turn)
		return Point{r * share * sin, -r * share * cos}
	}
	s := Section{Lo: Point{-r, -1.35 * r}, Hi: Point{r, 1.35 * r}, FromAbove: t.Position == weld.PC}
	const steps = 48
	run := 2 * math.Pi * float64(round.Run()) / float64(round.Whole())
	for k := range steps {
		a, b := 2*math.Pi*float64(k)/steps, 2*math.Pi*float64(k+1)/steps
		kind := MemberA
		if b <= run+1e-9 {
			kind = Bead
		}
		s.Shapes = append(s.Shapes, Shape{kind, []Point{at(a, 1), at(b, 1), at(b, inner), at(a, inner)}})
	}
	mark := func(turn, share float64, text string) {
		s.Marks = append(s.Marks, Mark{At: at(turn, share), Lines: []string{text}})
	}
	const outside = 1.22
	first, last := 0.0, math.Pi
	if t.Position == weld.PJ {
		first, last = last, first
	}
	if t.Position == weld.PA {
		mark(math.Pi, outside, "arc")
	} else {
		mark(first, outside, "start")
		mark(last, outside, "end")
	}
	switch t.Position {
	case weld.PA:
		mark(0, 0, "turns")
	case weld.PH:
		mark(0, 0, "up")
	case weld.PJ:
		mark(0, 0, "down")
	}
	if !s.FromAbove {
		for quarter, text := range []string{"6", "3", "12", "9"} {
			mark(math.Pi/2*float64(quarter), 0.55, text)
		}
	}
	if here >= 0 {
		mark(round.Turn(here), (1+inner)/2, "o")
	}
	return s
}

// branchView is the two tubes from the side: the plane of their axes.
func branchView(t weld.Task, here weld.Length) Section {
	d, through := t.Diameter.MM(), t.Through.MM()
	sinB, cosB := math.Sincos(float64(t.Branch))
	long := 1.3 * d // of the branch over its tube
	arm := 0.7*d/sinB + 0.35*d
	s := Section{Shapes: []Shape{
		{MemberA, []Point{{-arm, -through}, {arm, -through}, {arm, 0}, {-arm, 0}}},
		{MemberB, []Point{{d / 2 / sinB, 0}, {d/2/sinB + long*cosB, long * sinB}, {-d/2/sinB + long*cosB, long * sinB}, {-d / 2 / sinB, 0}}},
	}}
	crotch := "crown"
	if t.Branch < weld.MaxBranch {
		crotch = "crotch"
	}
	first, last := "start", "end"
	switch t.Position {
	case weld.PA:
		first, last = "start, end", ""
	case weld.PJ:
		first, last = last, first
	}
	right := Mark{Point{arm, -0.3 * through}, []string{crotch, first}, Ends}
	left := Mark{Point{-arm, -0.3 * through}, []string{"crown", last}, Begins}
	if t.Level() { // one over the other, beside the branch
		right = Mark{Point{d/2/sinB + 0.1*d, 0.2 * d}, []string{crotch, first}, Begins}
		left = Mark{Point{-d/2/sinB - 0.35*d, 0.2 * d}, []string{last, "crown"}, Begins}
	}
	s.Marks = []Mark{left, right}
	if here >= 0 {
		s.Marks = append(s.Marks, Mark{At: Point{d / 2 / sinB * math.Cos(t.Round().Turn(here)), 0}, Lines: []string{"o"}})
	}
	spin := 0.0
	switch t.Position {
	case weld.PB: // the branch stands upright
		spin = math.Pi/2 - float64(t.Branch)
	case weld.PH, weld.PJ: // the branch lies level, the crotch under it
		spin = -float64(t.Branch)
	}
	s.turn(spin)
	return s
}

// turn turns the picture and finds its corners.
func (s *Section) turn(by float64) {
	sin, cos := math.Sincos(by)
	spin := func(p Point) Point { return Point{p.Y*cos - p.Z*sin, p.Y*sin + p.Z*cos} }
	s.Lo, s.Hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for i := range s.Shapes {
		for j, p := range s.Shapes[i].Corners {
			p = spin(p)
			s.Shapes[i].Corners[j] = p
			s.Lo = Point{math.Min(s.Lo.Y, p.Y), math.Min(s.Lo.Z, p.Z)}
			s.Hi = Point{math.Max(s.Hi.Y, p.Y), math.Max(s.Hi.Z, p.Z)}
		}
	}
	for i := range s.Marks {
		s.Marks[i].At = spin(s.Marks[i].At)
	}
}

// TubeCaption says from where TubeView looks.
func TubeCaption(t weld.Task) string {
	switch {
	case t.Joint == weld.TubeSaddle:
		return "side view"
	case t.Position == weld.PC:
		return "from above"
	}
	return "tube end"
}

// tubes says how thick the tubes are outside and how they meet.
func tubes(t weld.Task, sys weld.System) string {
	if t.Joint != weld.TubeSaddle {
		return t.Diameter.Show(sys) + " outside"
	}
	how := "square to it"
	if t.Branch < weld.MaxBranch {
		how = "leaning at " + t.Branch.Show(sys)
	}
	return fmt.Sprintf("branch %s outside on a tube of %s, %s", t.Diameter.Show(sys), t.Through.Show(sys), how)
}

// around says how the run goes around a tube.
func around(t weld.Task, sys weld.System) string {
	first, last := "the crotch", "the crown"
	if t.Branch >= weld.MaxBranch {
		first, last = "one crown", "the other"
	} else if t.Position == weld.PJ {
		first, last = last, first
	}
	saddle := t.Joint == weld.TubeSaddle
	var way []string
	switch t.Position {
	case weld.PA:
		from := ""
		if saddle {
			from = " from " + first
		}
		return t.Seam.Show(sys) + ", once around" + from + " and over its own start"
	case weld.PH:
		way = append(way, "from six o'clock up past three to twelve")
	case weld.PJ:
		way = append(way, "from twelve o'clock down past three to six")
	}
	if saddle {
		way = append(way, "from "+first+" around a flank to "+last)
	} else if way == nil {
		way = append(way, "half the way around")
	}
	return t.Seam.Show(sys) + ", " + strings.Join(way, ", ") + "; the other half is another run"
}

// tubeWords says in words what TubeView shows.
func tubeWords(t weld.Task, sys weld.System) []string {
	if !t.Joint.Tube() {
		return nil
	}
	out := []string{upper(tubes(t, sys)) + ".", "The run: " + around(t, sys) + "."}
	if t.Joint == weld.TubeSaddle {
		narrow := "the crowns lie where the tubes meet square, the flanks between them"
		if t.Branch < weld.MaxBranch {
			narrow = "the crotch lies where the branch leans over and the angle is tightest, the crown across from it, the flanks between them"
		}
		r := t.Round()
		out = append(out, fmt.Sprintf("Around the branch %s; the tubes meet at %.0f deg where the run starts and at %.0f deg on the flank.", narrow,
			weld.Angle(r.Between(0)).Degrees(), 90+weld.Angle(math.Asin(float64(t.Diameter)/float64(t.Through))).Degrees()))
	}
	return out
}
