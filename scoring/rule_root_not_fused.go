package scoring

import (
	"fmt"
	"math"

	"puddlewise/scoring/puddle"
)

// rootNotFused: the corner of both members melts together, not only their faces.
func rootNotFused(e *evidence) reading {
	if !e.task.Joint.Fillet() {
		return reading{}
	}
	_, to := e.inner()
	m, s, span := e.worst(e.warmFrom(e.rootMargin), to, e.rootMargin)
	root, melts := celsiusBoth(s.RootTemp, s.Melt)
	reached := fmt.Sprintf("%s the corner reached %s, this metal melts at %s", e.at(s), root, melts) + e.sluggishText()
	return e.leftOff(reading{
		margin: m, from: span.From, to: span.To,
		got:    "root at " + root,
		want:   "both members melted at the root, " + melts,
		why:    "root not fused: " + reached,
		near:   reached,
		fix:    "more current, a shorter arc pointed into the corner, or slower travel",
		source: bySimulation,
	}, s)
}

// rootMargin is 1 where the colder member's root just melts.
func (e *evidence) rootMargin(s *puddle.Station) float64 {
	r := rise(s.RootTemp, s.Melt) - float64(sluggishCost*e.sluggish)
	if r < 1 {
		return 1 + float64(4*(1-r))
	}
	return 1 - math.Min(0.7, float64(5*(r-1)))
}
