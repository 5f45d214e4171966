package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
)

// Inspected is a line of an inspector's sheet.
type Inspected struct {
	Imperfection visual.Imperfection // its number in ISO 6520-1
	Name         string
	Got, Want    string
	At           weld.Length // where the most of it is
	Result       Result
	Source       string
}

// Result of a line.
type Result string

// Results.
const (
	Passed     Result = "pass"
	Failed     Result = "fail"
	NotChecked Result = "not checked here"
)

// readable is the least that an inspector's gauge tells from nothing: common practice, no source.
const readable = 0.05 * weld.Millimetre

// look is one thing an inspector looks for: how much of it is at a place, and the width
// that its limit goes by.
type look struct {
	id    visual.Imperfection
	name  string
	much  func(s *Station) weld.Length
	width func(s *Station) weld.Length
}

// looks gives what is looked for on a joint.
func looks(t weld.Task) []look {
	wall := float64(t.Thinner())
	least := func(v weld.Length) weld.Length { return max(v, 0) }
	face := func(s *Station) weld.Length { return s.FaceWidth }
	all := []look{
		{id: visual.LackOfFusion, name: "lack of fusion", much: func(s *Station) weld.Length {
			if s.ColdLap || t.Joint.Fillet() && s.Penetration < 1 {
				return t.Thinner()
			}
			return 0
		}},
		{id: visual.BurnThrough, name: "burn-through", much: func(s *Station) weld.Length {
			if s.Hole {
				return t.Thinner()
			}
			return 0
		}},
		{id: visual.Undercut, name: "undercut", much: func(s *Station) weld.Length { return s.Undercut }},
	}
	switch {
	case t.Joint.Fillet():
		between := func(*Station) float64 { return math.Pi / 2 }
		if t.Joint == weld.TubeSaddle {
			round := t.Round()
			between = func(s *Station) float64 { return round.Between(s.At) }
		}
		throat := func(s *Station) weld.Length { return weld.Length(throatOf(float64(t.LegAsked()), between(s))) }
		chord := func(s *Station) weld.Length {
			a, b := float64(s.LegA), float64(s.LegB)
			return weld.Length(math.Sqrt(float64(a*a) + float64(b*b)))
		}
		return append(all,
			look{id: visual.Convexity, name: "convexity", much: func(s *Station) weld.Length { return least(s.Cap) }, width: chord},
			look{id: visual.UnequalLegs, name: "unequal legs", much: func(s *Station) weld.Length { return weld.Length(math.Abs(float64(s.LegA - s.LegB))) }},
			look{id: visual.ThroatTooSmall, name: "throat too small", much: func(s *Station) weld.Length { return least(throat(s) - s.Throat) }},
			look{id: visual.ThroatTooBig, name: "throat too big", much: func(s *Station) weld.Length { return least(s.Throat - throat(s)) }},
			look{id: visual.ToeAngle, name: "toe angle"},
		)
	case t.Joint == weld.SquareButt || t.Joint == weld.TubeButt:
		return append(all,
			look{id: visual.RootPenetration, name: "incomplete root penetration", much: func(s *Station) weld.Length {
				return weld.Length(float64(wall * math.Max(0, 1-s.Penetration)))
			}},
			look{id: visual.ExcessWeld, name: "excess weld metal", much: func(s *Station) weld.Length { return least(s.Cap) }, width: face},
			look{id: visual.Sagging, name: "sagging", much: func(s *Station) weld.Length { return least(-s.Cap) }},
			look{id: visual.ExcessRoot, name: "excess penetration", much: func(s *Station) weld.Length { return least(s.Root) }, width: func(s *Station) weld.Length { return s.BackWidth }},
			look{id: visual.RootConcavity, name: "root concavity", much: func(s *Station) weld.Length { return least(-s.Root) }},
			look{id: visual.ToeAngle, name: "toe angle"},
		)
	}
	return all
}

// Inspect measures the coupon as an inspector would and holds it to a published level.
// The seam's two ends are left to the crater's own line. Aluminium has a standard of its
// own, ISO 10042, whose numbers no source at hand confirms: nothing is checked there.
func Inspect(t weld.Task, c Coupon, level visual.Level) []Inspected {
	if len(c.Stations) < 3 {
		return nil
	}
	size := visual.Size{T: t.Thinner(), Fillet: t.Joint.Fillet()}
	if size.Fillet {
		size.A = weld.Length(float64(t.LegAsked()) / math.Sqrt2)
	}
	limit := func(i visual.Imperfection, s visual.Size) (visual.Limit, bool) {
		if t.A.Metal.Family() == weld.Aluminium || t.B.Metal.Family() == weld.Aluminium {
			return visual.Limit{Source: "ISO 10042"}, false
		}
		if level == visual.D11 {
			return visual.AWSD11(i, s)
		}
		return visual.ISO5817(i, level, s), true
	}
	var out []Inspected
	inner := c.Stations[1 : len(c.Stations)-1]
	for _, l := range looks(t) {
		if l.id == visual.ToeAngle {
			out = append(out, toes(l, inner, size, limit))
			continue
		}
		out = append(out, l.inspect(t, inner, size, limit))
	}
	crater := Inspected{Imperfection: visual.EndCrater, Name: "end crater", At: t.Seam}
	most, ok := limit(visual.EndCrater, size)
	crater.fill(c.Crater, most, ok)
	out = append(out, crater)
	return append(out, unmeasured(c)...)
}

type limits func(visual.Imperfection, visual.Size) (visual.Limit, bool)

// inspect looks for one thing along the seam: at the place that is worst against its own limit.
func (l look) inspect(t weld.Task, st []Station, size visual.Size, limit limits) Inspected {
	line := Inspected{Imperfection: l.id, Name: l.name}
	var worst visual.Limit
	var much weld.Length
	known, found := false, 0
	for k := range st {
		s := size
		if l.width != nil {
			s.B = l.width(&st[k])
		}
		v := l.much(&st[k])
		if v >= readable {
			found++
		}
		most, ok := limit(l.id, s)
		if k == 0 || v-most.Most > much-worst.Most {
			much, worst, known, line.At = v, most, ok, st[k].At
		}
	}
	line.fill(much, worst, known)
	if stretch := weld.Length(float64(float64(found) * float64(weld.Millimetre))); known && worst.Short && worst.Most > 0 {
		allowed := visual.ShortStretch(t.Seam)
		line.Want += fmt.Sprintf(", on %s at most", mm(float64(allowed)))
		if line.Result == Passed && stretch > allowed {
			line.Result = Failed
			line.Got += fmt.Sprintf(", on %s", mm(float64(stretch)))
		}
	}
	return line
}

// fill says what was found against what is allowed.
func (line *Inspected) fill(much weld.Length, most visual.Limit, known bool) {
	if much < readable {
		much = 0
	}
	got, want := both(much.MM(), most.Most.MM(), 2, " mm")
	line.Got, line.Want, line.Source, line.Result = got, "at most "+want, most.Source, Passed
	switch {
	case much == 0:
		line.Got = "none"
	case line.Imperfection == visual.LackOfFusion, line.Imperfection == visual.BurnThrough:
		line.Got = "yes"
	}
	switch {
	case !known:
		line.Result, line.Want = NotChecked, ""
	case most.Allowed:
		line.Want = "allowed"
	case most.Most == 0:
		line.Want = "none"
	}
	if known && !most.Allowed && quantised(much.MM()) > quantised(most.Most.MM()) {
		line.Result = Failed
	}
}

// toes reads the sharpest toe.
func toes(l look, st []Station, size visual.Size, limit limits) Inspected {
	least := st[0]
	for _, s := range st {
		if s.Toe < least.Toe {
			least = s
		}
	}
	line := Inspected{Imperfection: l.id, Name: l.name, At: least.At, Got: fmt.Sprintf("%.0f deg", least.Toe.Degrees()), Result: NotChecked}
	if most, ok := limit(l.id, size); ok {
		line.Want, line.Source, line.Result = fmt.Sprintf("at least %.0f deg", most.Least.Degrees()), most.Source, Passed
		if math.Round(least.Toe.Degrees()) < math.Round(most.Least.Degrees()) {
			line.Result = Failed
		}
	}
	return line
}

// unmeasured names what an inspector looks at and the model does not compute, and the
// colour of a back, which a contract decides.
func unmeasured(c Coupon) []Inspected {
	out := []Inspected{
		{Imperfection: "2017", Name: "surface pores", Got: "estimated only", Result: NotChecked, Source: "ISO 5817"},
		{Imperfection: "601", Name: "stray arc", Result: NotChecked, Source: "ISO 5817"},
	}
	if c.BackSample > 0 {
		out = append(out, Inspected{Imperfection: "610", Name: "colour of the back", Got: fmt.Sprintf("as sample %d", c.BackSample), Want: "the contract says", Result: NotChecked, Source: "AWS D18.2"})
	}
	return out
}
