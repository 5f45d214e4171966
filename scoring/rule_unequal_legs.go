package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// unequalLegs: one member melted much further than the other. Limit 2 mm + 0.15 a:
// ISO 5817:2014 level C, 512 (secondary copy; check against the book).
func unequalLegs(e *evidence) reading {
	if !e.task.Joint.Fillet() {
		return reading{}
	}
	from, to := e.inner()
	limit := func(s *puddle.Station) float64 { return 2e-3 + float64(0.15*throatOf(e.legFromFiller(s), s.Between)) }
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return math.Abs(s.FaceA-s.FaceB) / limit(s) })
	a, b := e.task.Joint.Members()
	apart, most := mmBoth(math.Abs(s.FaceA-s.FaceB), limit(s))
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    "legs " + apart + " apart",
		want:   "within " + most,
		why:    fmt.Sprintf("unequal legs: %s the %s melted %s wide and the %s %s", e.at(s), a, mm(s.FaceA), b, mm(s.FaceB)),
		fix:    "turn the torch so that both sides wet alike",
		source: "ISO 5817:2014 level C, 512",
	}
}
