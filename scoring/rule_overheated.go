package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// overheated: a pool drawn out long behind the arc leaves pointed ripples and says
// that the part is hotter than the weld needs. Limits: common practice, no source.
func overheated(e *evidence) reading {
	limit := 11.0
	switch {
	case e.family == weld.Aluminium:
		limit = 14
	case e.task.Joint.Fillet():
		limit = 5
	}
	l := e.bead.PoolLength
	got, most := mmBoth(l, float64(limit*e.wall))
	return reading{
		margin: l / float64(limit*e.wall), from: 0, to: e.task.Seam,
		got:    "pool " + got + " long",
		want:   "under " + most,
		why:    fmt.Sprintf("too hot: the pool is drawn out %s long, its ripples run to a point", got),
		fix:    "less current, or let the part cool between runs",
		source: byPractice,
	}
}
