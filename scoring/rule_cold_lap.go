package scoring

import (
	"fmt"

	"puddlewise/scoring/puddle"
)

// coldLapLimit is the share of a dab that may stay below the melt, at the toes.
const coldLapLimit = 0.25

// coldLap: a dab that the pool cannot melt lies on the metal, not in it.
func coldLap(e *evidence) reading {
	from, to := e.inner()
	m, s, span := e.worst(from, to, func(s *puddle.Station) float64 { return s.Lap / coldLapLimit })
	return reading{
		margin: m, from: span.From, to: span.To,
		got:    fmt.Sprintf("%.0f %% of the dab stayed cold", 100*s.Lap),
		want:   fmt.Sprintf("under %.0f %%", 100*coldLapLimit),
		why:    fmt.Sprintf("cold lap: at %s the pool did not melt %.0f %% of the dab in", mm(s.At), 100*s.Lap),
		fix:    "thinner rod or smaller dabs more often, and dab into the pool's front edge, not ahead of it",
		source: bySimulation,
	}
}
