package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// undercut: where a toe is melted well beyond what the bead fills, its metal runs
// into the pool and leaves a groove. Depth: an eighth of the bare melted width beyond
// half a wall, an engineering estimate. Limit 0.1 of the wall: ISO 5817:2014 level C,
// 5011/5012 at 0.5-3 mm (secondary copy; check against the book).
func undercut(e *evidence) reading {
	if e.task.Joint == weld.EdgeWeld || e.task.Joint == weld.OutsideCorner || e.answer.Filler == weld.NoFiller {
		return reading{}
	}
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return e.groove(s) / float64(0.1*e.wall) })
	got, most := mmBoth(e.groove(s), float64(0.1*e.wall))
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    "groove of about " + got,
		want:   "at most " + most,
		why:    fmt.Sprintf("undercut: at %s the toe melted %s wide and the rod filled %s of it: a groove of about %s", mm(s.At), mm(math.Max(s.FaceA, s.FaceB)), mm(e.filledTo()), got),
		fix:    "shorter arc, a little less current, and let the rod fill the upper toe before moving on",
		source: "ISO 5817:2014 level C, 5011/5012; depth of the groove: engineering estimate",
	}
}

// groove gives the depth of an undercut at a station, m.
func (e *evidence) groove(s *puddle.Station) float64 {
	bare := math.Max(s.FaceA, s.FaceB) - e.filledTo() - float64(e.wall/2)
	return math.Max(0, bare/8)
}

// filledTo is how far from the joint the bead's metal reaches on either side, m.
func (e *evidence) filledTo() float64 {
	if e.fillet() {
		return math.Max(e.legFromFiller(), float64(e.task.LegAsked()))
	}
	return e.bead.FilletReach
}
