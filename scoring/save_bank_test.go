package scoring_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// The bank's mistakes, by moving what the joint asks for: one mistake each of some
// joints, unless all are asked for.
func TestSaveBank(t *testing.T) {
	if scoring.Brief() {
		t.Skip("nothing is shared here")
	}
	all, err := scenarios.Bank()
	require.NoError(t, err)
	const few = 2
	every := len(all) / few
	var tally scoring.Saves
	for i, sc := range all {
		for k, m := range sc.Mistakes {
			if (i%every != 0 || k != i/every%len(sc.Mistakes)) && !*scoring.SaveAll {
				continue
			}
			v, err := scoring.Judge(sc.Task, m.Answer)
			require.NoError(t, err)
			if v.Outcome == scoring.Reject {
				tally.Try(t, sc.ID+" "+m.Title, sc.Task, m.Answer, sc.Ask, weld.System(i/every%2))
			}
		}
	}
	tally.Enough(t)
}

// One setting that would do is found before any two, however far it is to go: at first
// the pool is as wide as the sheet, and fewer amps seem to mend nothing.
func TestSaveFromFarOff(t *testing.T) {
	if scoring.Brief() {
		t.Skip("nothing is shared here")
	}
	all, err := scenarios.Bank()
	require.NoError(t, err)
	i := slices.IndexFunc(all, func(sc scenarios.Scenario) bool { return sc.ID == "B-01" })
	require.GreaterOrEqual(t, i, 0)
	sc := all[i]
	a := sc.Model
	a.Amps, a.Travel = 160, 60*weld.MillimetrePerMin
	r, ok := scoring.Save(sc.Task, a, sc.Ask, weld.Metric, scoring.InOrder)
	require.True(t, ok)
	assert.Equal(t, []string{"amps 160 A -> 45 A"}, r.Words(weld.Metric))
	for amps, outcome := range map[weld.Current]scoring.Outcome{45: scoring.Accept, 50: scoring.Reject} {
		a.Amps = amps
		v, err := scoring.Judge(sc.Task, a)
		require.NoError(t, err)
		assert.Equal(t, outcome, v.Outcome, "%v A", amps)
	}
	// Neither amps nor travel does anything by itself here.
	a.Amps, a.Travel = 160, 762*weld.MillimetrePerMin
	r, ok = scoring.Save(sc.Task, a, sc.Ask, weld.Metric, scoring.InOrder)
	require.True(t, ok)
	assert.Len(t, r.Changes, 2)
	assert.Equal(t, scoring.Accept, r.Verdict.Outcome)
}

// BenchmarkSave looks for the smallest change on one core; cpu-s/op is what it costs
// in processor time on top of the judging that came before.
func BenchmarkSave(b *testing.B) {
	all, err := scenarios.Bank()
	require.NoError(b, err)
	for _, sc := range all {
		for _, m := range sc.Mistakes {
			v, err := scoring.Judge(sc.Task, m.Answer)
			require.NoError(b, err)
			if v.Outcome != scoring.Reject {
				continue
			}
			b.Run(fmt.Sprintf("%s/%s", sc.ID, m.Title), func(b *testing.B) {
				for b.Loop() {
					scoring.Save(sc.Task, m.Answer, sc.Ask, weld.Metric, scoring.InOrder)
				}
			})
		}
	}
}
