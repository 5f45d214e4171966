package scoring

import (
	"fmt"

	"puddlewise/scoring/weld"
)

// longestPool is how long a pool may be drawn out, m.
func longestPool(t weld.Task) float64 {
	walls := 11.0
	switch {
	case family(t) == weld.Aluminium:
		walls = 14
	case t.Joint.Fillet():
		walls = 5
	}
	return float64(walls * float64(t.Thinner()))
}

// overheated: a pool drawn out long behind the arc leaves pointed ripples and says
// that the part is hotter than the weld needs. Limits: common practice, no source.
func overheated(e *evidence) reading {
	l, limit := e.bead.PoolLength, longestPool(e.task)
	got, most := mmBoth(l, limit)
	return reading{
		margin: l / limit, from: 0, to: e.task.Seam,
		got:    "pool " + got + " long",
		want:   "under " + most,
		why:    fmt.Sprintf("too hot: the pool is drawn out %s long, its ripples run to a point", got),
		fix:    "less current, or let the part cool between runs",
		source: byPractice,
	}
}
