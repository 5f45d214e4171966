package verify

import (
	"testing"

	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
)

// BenchmarkAgainstFiniteElements runs the cases that finite elements were timed on, for
// the time the arc is on, and reports how many times quicker the model is than mesh M1
// with its step of 0.05 s (0.1 s for the tee): the seconds stand under cost in the case files.
func BenchmarkAgainstFiniteElements(b *testing.B) {
	seconds := map[string]float64{"P1": 1.01, "P2": 1.72, "P3": 0.92, "P4": 1.46, "T1": 6.40}
	all, err := Cases()
	require.NoError(b, err)
	for _, c := range all {
		if seconds[c.ID] == 0 {
			continue
		}
		heat := c.heat
		heat.CoolFor = 0
		var probes []puddle.Probe
		for _, p := range c.Probes {
			if p.probe.Quantity != puddle.Temperature { // read at a time, some after the arc
				probes = append(probes, p.probe)
			}
		}
		b.Run(c.ID, func(b *testing.B) {
			for b.Loop() {
				_, _, err := heat.Run(probes)
				require.NoError(b, err)
			}
			b.ReportMetric(seconds[c.ID]*float64(b.N)/b.Elapsed().Seconds(), "times-M1")
		})
	}
}
