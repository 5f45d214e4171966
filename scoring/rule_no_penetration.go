package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// noPenetration: a butt, corner or edge weld goes the whole way.
func noPenetration(e *evidence) reading {
	if e.task.Joint.Fillet() {
		return reading{}
	}
	_, to := e.inner()
	m, s, span := e.worst(e.warmFrom(e.notThrough), to, e.notThrough)
	reached := fmt.Sprintf("%.0f %% of the wall", math.Floor(float64(100*s.Depth)))
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    reached,
		want:   "melted through to the back",
		why:    fmt.Sprintf("not through: %s the melt reached %s", e.at(s), reached) + e.sluggishText(),
		near:   fmt.Sprintf("%s the melt only just reached the back: %s wide there", e.at(s), mm(backWidth(s))) + e.sluggishText(),
		fix:    "more current or slower travel; wait until the pool sinks before moving",
		source: bySimulation,
	}
}

// notThrough gives the margin of penetration at a station: 1 where the melt just touches the back.
func (e *evidence) notThrough(s *puddle.Station) float64 {
	slow := float64(4 * float64(sluggishCost*e.sluggish))
	if s.Depth < 1 {
		return 1 + float64(2*(1-s.Depth)) + slow
	}
	return 1 - float64(0.7*math.Min(1, backWidth(s)/e.wall)) - e.deepEdge(s) + slow
}

// sluggishText adds that oxide had a part in it.
func (e *evidence) sluggishText() string {
	if e.sluggish < 0.5 {
		return ""
	}
	return "; the oxide in it made the pool sluggish"
}

// deepEdge credits an edge weld, which has no back to melt, with the heat at its root.
func (e *evidence) deepEdge(s *puddle.Station) float64 {
	if backWidth(s) > 0 || s.FarTemp > 100 {
		return 0
	}
	return float64(0.7 * math.Min(1, math.Max(0, 4*(rise(s.Back, s.Melt)-1))))
}
