package scoring

import (
	"fmt"
)

// coldStart: the first millimetres are cold metal; move before the pool is there and they are not fused.
func coldStart(e *evidence) reading {
	margin := e.notThrough
	if e.task.Joint.Fillet() {
		margin = e.rootMargin
	}
	inner, to := e.inner()
	n := float64(max(len(e.bead.Stations)-1, 1))
	m, s, span := e.worst(2/n, inner, margin)
	if rest, _, _ := e.worst(inner, to, margin); rest >= 1 {
		return reading{} // the whole run is cold: that is another finding
	}
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    fmt.Sprintf("stood %s before moving", seconds(e.bead.Dwell)),
		want:   "a pool that wets both sides before the torch moves",
		why:    fmt.Sprintf("cold start: the first %s are not fused, the rest is", mm(float64(s.At)+1e-3)),
		fix:    "start on the tack, stand until the pool is there, then move",
		source: bySimulation,
	}
}
