package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// overfill: more rod than the joint asks. Limits, level C of ISO 5817:2014 (secondary
// copy; check against the book): butt cap 1 mm + 0.15 b (502); fillet throat
// 1 mm + 0.2 a too big (5214), bulge 1 mm + 0.15 b (503).
func overfill(e *evidence) reading {
	r := reading{from: 0, to: e.task.Seam, fix: "less rod at each dab, or dab less often"}
	if e.fillet() {
		from, to := e.inner()
		asked := func(s *puddle.Station) float64 { return throatOf(float64(e.task.LegAsked()), s.Between) }
		built := func(s *puddle.Station) float64 { return throatOf(e.legFromFiller(s), s.Between) }
		most := func(s *puddle.Station) float64 { return 1e-3 + float64(0.2*asked(s)) }
		m, s, _ := e.worst(from, to, func(s *puddle.Station) float64 { return (built(s) - asked(s)) / most(s) })
		r.margin = m
		got, limit := mmBoth(built(s), asked(s)+most(s))
		r.got, r.want = "throat "+got, "at most "+limit
		r.why = fmt.Sprintf("overfilled: a throat of %s where %s was asked: heat, rod and pull for nothing", mm(built(s)), mm(asked(s)))
		r.source = "ISO 5817:2014 level C, 5214"
		bulge := func(s *puddle.Station) float64 {
			return 1e-3 + float64(0.15*math.Sqrt(float64(s.Shape.LegA*s.Shape.LegA)+float64(s.Shape.LegB*s.Shape.LegB)))
		}
		m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return s.Shape.Cap / bulge(s) })
		if m > r.margin {
			got, limit := mmBoth(s.Shape.Cap, bulge(s))
			r.margin, r.from, r.to = m, span.From, span.To
			r.got, r.want = "bulges "+got, "at most "+limit
			r.why = fmt.Sprintf("overfilled: the bead bulges %s out of a corner that melted too little to take it in", got)
			r.source = "ISO 5817:2014 level C, 503"
		}
		return r
	}
	most := func(s *puddle.Station) float64 {
		return 1e-3 + float64(0.15*math.Max(s.FaceA+s.FaceB, e.wall))
	}
	m, s, _ := e.worst(0, 1, func(s *puddle.Station) float64 { return s.Shape.Cap / most(s) })
	r.margin = m
	got, limit := mmBoth(s.Shape.Cap, most(s))
	r.got, r.want = "cap "+got, "at most "+limit
	r.why = fmt.Sprintf("overfilled: the cap stands %s proud, with a sharp toe", got)
	r.source = "ISO 5817:2014 level C, 502"
	return r
}
