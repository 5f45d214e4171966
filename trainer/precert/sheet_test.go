package precert_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
)

// One line of the sheet is wrong and no other, and the same seed asks the same.
func TestOneLineIsWrong(t *testing.T) {
	if raced {
		t.Skip("no two things run at once here")
	}
	const seeds = int64(3)
	judge := once(scoring.Judge)
	for seed := range seeds {
		f, err := precert.FillIn(bank(t), seed, judge)
		require.NoError(t, err)
		var truth []scoring.Inspected
		for _, l := range scoring.Inspect(f.Scenario.Task, f.Verdict.Coupon, visual.Test) {
			if l.Result != scoring.NotChecked {
				truth = append(truth, l)
			}
		}
		require.Len(t, f.Lines, len(truth))
		for i := range truth {
			assert.Equal(t, i == f.Wrong, truth[i] != f.Lines[i], "%s, %s", f.Scenario.ID, truth[i].Name)
		}
		assert.Equal(t, truth[f.Wrong], f.Truth)
		n, ok := f.Find(string(f.Truth.Imperfection))
		assert.True(t, ok)
		assert.Equal(t, f.Wrong, n)
		again, err := precert.FillIn(bank(t), seed, judge)
		require.NoError(t, err)
		assert.Equal(t, f, again)
	}
}

func TestNoSheetOfAluminium(t *testing.T) {
	var light []scenarios.Scenario
	for _, sc := range bank(t) {
		if sc.Task.A.Metal.Family() == weld.Aluminium {
			light = append(light, sc)
		}
	}
	_, err := precert.FillIn(light, 1, scoring.Judge)
	require.ErrorIs(t, err, precert.ErrNoSheet)
}
