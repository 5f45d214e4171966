package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// coldStart: the first millimetres are cold metal; move before the pool is there and they are not fused.
func coldStart(e *evidence) reading {
	margin := e.notThrough
	if e.task.Joint.Fillet() {
		margin = e.rootMargin
	}
	n := float64(max(len(e.bead.Stations)-1, 1))
	m, s, span := e.worst(2/n, e.warmFrom(margin), margin)
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    fmt.Sprintf("stood %s before moving", seconds(e.bead.Dwell)),
		want:   "a pool that wets both sides before the torch moves",
		why:    fmt.Sprintf("cold start: the first %s are not fused, the rest is", mm(math.Max(s.At, float64(span.To))+1e-3)),
		near:   fmt.Sprintf("up to %s the metal only just fused", mm(math.Max(s.At, float64(span.To)))),
		fix:    "start on the tack, stand until the pool is there, then move",
		source: bySimulation,
	}
}

// warmFrom gives the share of the seam from which the run counts as under way: where
// it is fused for good, at the latest after two fifths of it, or inner's when the
// start is sound or the rest is cold too.
func (e *evidence) warmFrom(margin func(s *puddle.Station) float64) float64 {
	from, to := e.inner()
	n := len(e.bead.Stations)
	last := float64(n - 1)
	cold := -1
	for k := int(math.Ceil(float64(from * last))); k <= int(math.Floor(float64(to*last))); k++ {
		if quantised(margin(&e.bead.Stations[k])) >= 1 {
			cold = k
		}
	}
	if share := float64(cold+1) / last; cold >= 0 && share <= 0.4 {
		return share
	}
	return from
}
