package scoring_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// The bank's mistakes, by moving what the joint asks for: one mistake each of some
// joints, unless all are asked for.
func TestSaveBank(t *testing.T) {
	all, err := scenarios.Bank()
	require.NoError(t, err)
	few := 6
	if scoring.Brief() {
		few = 2
	}
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
