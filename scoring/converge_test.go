package scoring

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// What decides a score may not hang on the grid: with the cell and the step halved the
// highest margin of each score moves by two hundredths of the limit at most.
func TestHalvingTheCellMovesNoMargin(t *testing.T) {
	if brief() {
		t.Skip("brief")
	}
	sum, n := 0.0, 0.0
	for _, on := range []string{"steel butt", "steel tee", "stainless tee", "gap tee", "steel lap"} {
		s := setups(t)[on]
		s.task.Seam = 25 * weld.Millimetre
		deciding := func(g puddle.Grade) map[string]float64 {
			b, err := puddle.WeldAt(s.task, s.answer, g)
			require.NoError(t, err)
			most := map[string]float64{}
			for i, m := range margins(s.task, s.answer, b) {
				if name := rules[i].score; name != noScore {
					most[name] = max(most[name], m)
				}
			}
			return most
		}
		verdict, halved := deciding(puddle.Fine), deciding(puddle.Finer)
		for name, m := range verdict {
			assert.InDelta(t, halved[name], m, 0.0205, "%s, %s", on, name)
			sum += abs(halved[name] - m)
			n++
		}
	}
	t.Logf("mean %.4f over %.0f margins", sum/n, n)
	assert.Less(t, sum/n, 0.012)
}
