package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// underfill: a gap takes wall times gap of metal for each length, and a back that is
// melted wide lets the pool sink out of it; less rod than that leaves the face low. Limit: 0.1 of the wall, ISO 5817:2014 level C, 509/511 at 0.5-3 mm
// (secondary copy; check against the book).
func underfill(e *evidence) reading {
	if e.task.Joint != weld.SquareButt && e.task.Joint != weld.TubeButt {
		return reading{}
	}
	m, s, span := e.worst(0, 1, func(s *puddle.Station) float64 { return -s.Shape.Cap / float64(0.1*e.wall) })
	got, most := mmBoth(-s.Shape.Cap, float64(0.1*e.wall))
	r := reading{
		margin: m, from: span.From, to: span.To,
		got:    got + " below the face",
		want:   "at most " + most,
		why:    fmt.Sprintf("underfilled: the face lies %s low: the gap of %s took more metal than the rod gave", got, mm(s.Gap)),
		fix:    "more rod: thicker, or more of it at each dab",
		source: "ISO 5817:2014 level C, 509/511",
	}
	if s.Gap == 0 {
		r.why = fmt.Sprintf("underfilled: the face lies %s low: the metal sank out of a back melted %s wide, and the rod gave too little to make up for it", got, mm(backWidth(s)))
	}
	return r
}
