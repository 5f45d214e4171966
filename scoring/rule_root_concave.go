package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// rootConcave: where the pool's weight draws it towards the torch, overhead above all,
// and the rod gives little, the root is drawn in. Limit 0.1 of the wall: ISO 5817:2014
// level C, 515 at 0.5-3 mm (secondary copy; check against the book).
func rootConcave(e *evidence) reading {
	if e.task.Joint != weld.SquareButt && e.task.Joint != weld.TubeButt {
		return reading{}
	}
	m, s, span := e.worst(0, 1, func(s *puddle.Station) float64 { return -s.Shape.Root / float64(0.1*e.wall) })
	got, most := mmBoth(-s.Shape.Root, float64(0.1*e.wall))
	return reading{
		margin: m, from: span.From, to: span.To,
		got: "root " + got + " in", want: "at most " + most,
		why:    fmt.Sprintf("hollow root: at %s the pool, %s wide at the back, drew in by %s", mm(s.At), mm(backWidth(s)), got),
		fix:    "a smaller pool, and push the rod into the root",
		source: "ISO 5817:2014 level C, 515; depth: model",
	}
}
