package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
)

// coldLapLimit is the share of a dab that may stay below the melt. Set so that dabs up
// to 1/8 in apart melt in on a tight fillet of 1.4 mm (common practice, no source): the
// model lays a dab cold over its whole length, where a pool would stir it.
const coldLapLimit = 0.5

// coldLap: a dab that the pool cannot melt lies on the metal, not in it.
func coldLap(e *evidence) reading {
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return e.lapped(s) / coldLapLimit })
	got, limit := percentBoth(e.lapped(s), coldLapLimit)
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    got + " of the dab stayed cold",
		want:   "under " + limit,
		why:    fmt.Sprintf("cold lap: %s the pool did not melt %s of the dab in", e.at(s), got),
		near:   fmt.Sprintf("%s the pool left %s of the dab cold; from %s on it lies on the metal, not in it", e.at(s), got, limit),
		fix:    "thinner rod or smaller dabs more often, and dab into the pool's front edge, not ahead of it",
		source: bySimulation,
	}
}

// lapped gives the share of a dab around a station that never melted in: the mean
// over one dab's length.
func (e *evidence) lapped(s *puddle.Station) float64 {
	half := float64(float64(e.answer.DabSpacing)/2) + 0.5e-3
	sum, n := 0.0, 0.0
	for i := range e.bead.Stations {
		if o := &e.bead.Stations[i]; o.At >= s.At-half && o.At <= s.At+half {
			sum += o.Lap
			n++
		}
	}
	return sum / n
}
