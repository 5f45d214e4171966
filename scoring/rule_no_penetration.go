package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// noPenetration: a butt or corner weld goes the whole way, an edge weld as deep as the
// thinner wall.
func noPenetration(e *evidence) reading {
	if e.task.Joint.Fillet() {
		return reading{}
	}
	_, to := e.inner()
	m, s, span := e.worst(e.warmFrom(e.notThrough), to, e.notThrough)
	reached := fmt.Sprintf("%.0f %% of the wall", math.Floor(float64(100*s.Depth)))
	if e.task.Joint == weld.EdgeWeld {
		got, asked := mmBoth(s.Down, e.wall)
		return e.leftOff(reading{
			margin: m, from: span.From, to: span.To,
			got:    got + " melted down",
			want:   asked + " or more, the thinner wall",
			why:    fmt.Sprintf("not deep enough: %s the edges melted %s down, a wall of %s is asked", e.at(s), got, asked) + e.sluggishText(),
			near:   fmt.Sprintf("%s the edges melted only %s down, a wall of %s is asked", e.at(s), got, asked) + e.sluggishText(),
			fix:    "more current, a shorter arc or slower travel",
			source: bySimulation + "; a wall deep: common practice, no source",
		}, s)
	}
	return e.leftOff(reading{
		margin: m, from: span.From, to: span.To,
		got:    reached,
		want:   "melted through to the back",
		why:    fmt.Sprintf("not through: %s the melt reached %s", e.at(s), reached) + e.sluggishText(),
		near:   fmt.Sprintf("%s the melt only just reached the back: %s wide there", e.at(s), mm(backWidth(s))) + e.sluggishText(),
		fix:    "more current or slower travel; wait until the pool sinks before moving",
		source: bySimulation,
	}, s)
}

// notThrough gives the margin of penetration at a station: 1 where the melt just touches the back.
func (e *evidence) notThrough(s *puddle.Station) float64 {
	slow := float64(4 * float64(sluggishCost*e.sluggish))
	if s.Depth < 1 {
		return 1 + float64(2*(1-s.Depth)) + slow
	}
	beyond := backWidth(s) / e.wall
	if e.task.Joint == weld.EdgeWeld {
		beyond = 2 * (s.Down/e.wall - 1) // half a wall deeper is as good as it gets
	}
	return 1 - float64(0.7*math.Min(1, beyond)) + slow
}

// sluggishText adds that oxide had a part in it.
func (e *evidence) sluggishText() string {
	if e.sluggish < 0.5 {
		return ""
	}
	return "; the oxide in it made the pool sluggish"
}
