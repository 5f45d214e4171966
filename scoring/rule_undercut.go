package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
)

// undercut: where a toe is melted well beyond what the rod's metal can fill, the
// pool's face hangs hollow between the toes and freezes below the plate; on a level seam
// its weight draws it out of the upper toe as well. Depth: the pool's shape at rest,
// from its metal. Limit 0.1 of the wall: ISO 5817:2014 level C, 5011/5012 at 0.5-3 mm
// (secondary copy; check against the book).
func undercut(e *evidence) reading {
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return s.Shape.Undercut / float64(0.1*e.wall) })
	got, most := mmBoth(s.Shape.Undercut, float64(0.1*e.wall))
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    "groove of " + got,
		want:   "at most " + most,
		why:    fmt.Sprintf("undercut: %s the pool washed %s wide and the rod gave too little to fill it: a groove of %s along the toe", e.at(s), mm(s.FaceA+s.FaceB), got),
		fix:    "shorter arc, a little less current, and let the rod fill the upper toe before moving on",
		source: "ISO 5817:2014 level C, 5011/5012; depth of the groove: model",
	}
}
