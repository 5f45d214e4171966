package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
)

// keyhole: a gap, molten and bare since the last dab, opens when it is too long for the wall.
func keyhole(e *evidence) reading {
	m, s, span := e.worst(0, 1, func(s *puddle.Station) float64 { return s.Keyhole })
	if m == 0 {
		return reading{}
	}
	limit := puddle.BareLimit(s.Gap, e.wall)
	bare, bridged := mmBoth(s.Bare, limit)
	open := fmt.Sprintf("gap %s, %s of melted edge since the last dab; this wall bridges %s", mm(s.Gap), bare, bridged)
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    bare + " bare since the last dab",
		want:   "at most " + bridged,
		why:    "keyhole: " + open,
		near:   open,
		fix:    "dab sooner where the gap is wide, or close the gap",
		source: "model: Taylor and Michael 1973, hole in a liquid sheet",
	}
}
