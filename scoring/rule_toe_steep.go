package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// toeSteep: the bead meets the plate at a notch. Least angle through the metal: 110 degrees
// on a butt, 100 on a fillet: ISO 5817:2014 level C, 505 (secondary copy; check against the
// book). A remark: the model's bead lies still, and where a gap widens every dab is alike.
func toeSteep(e *evidence) reading {
	least := 110 * math.Pi / 180
	if e.fillet() {
		least = 100 * math.Pi / 180
	}
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return least / math.Max(s.Shape.Toe, 0.1) })
	got, want := both(s.Shape.Toe*180/math.Pi, least*180/math.Pi, 0, " deg")
	return reading{
		margin: m, from: span.From, to: span.To,
		got: "toe at " + got, want: want + " or flatter",
		why:    fmt.Sprintf("steep toe: %s the bead meets the plate at %s, a notch where it is pulled on", e.at(s), got),
		fix:    "less rod at each dab, or more heat so that it wets out",
		source: "ISO 5817:2014 level C, 505; angle: model",
	}
}
