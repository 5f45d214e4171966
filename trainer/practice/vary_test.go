package practice

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

func joint(t *testing.T, id string) scenarios.Scenario {
	t.Helper()
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	sc, err := scenarios.Find(bank, id)
	require.NoError(t, err)
	return sc
}

// window is a judge that takes so many amps a millimetre of wall.
func window(lo, hi float64, judged *int) func(weld.Task, weld.Answer) (scoring.Verdict, error) {
	return func(t weld.Task, a weld.Answer) (scoring.Verdict, error) {
		*judged++
		v := scoring.Verdict{Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 80, LackOfFusion: 80, Oxide: 80}}
		switch per := float64(a.Amps) / t.Thinner().MM(); {
		case per < lo:
			v.Outcome, v.Scores.LackOfFusion = scoring.Reject, 20
			v.Findings = []scoring.Finding{{Rule: "no_penetration", Severity: scoring.Defect}}
		case per > hi:
			v.Outcome, v.Scores.BurnThrough = scoring.Reject, 20
			v.Findings = []scoring.Finding{{Rule: "collapse", Severity: scoring.Defect}}
		}
		return v, nil
	}
}

// The search on its own, under a judge that is known: B-01 answers 35 A a millimetre,
// and the usual guess is 39.
func TestSearch(t *testing.T) {
	for _, c := range []struct {
		name   string
		lo, hi float64
		ok     bool
	}{
		{"the scaled answer holds", 30, 37, true},
		{"a little colder", 26, 33, true},
		{"a little hotter", 40, 48, true},
		{"too narrow for a hand", 31.5, 32.5, false},
		{"the guess is right", 30, 45, false},
		{"far off", 70, 80, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			sc, judged, saved := joint(t, "B-01"), 0, 0
			w := &welder{judge: window(c.lo, c.hi, &judged), par: scoring.InOrder,
				save: func(weld.Task, weld.Answer, []string, weld.System, scoring.Parallel) (scoring.Rescue, bool) {
					saved++
					return scoring.Rescue{}, false
				}}
			out, ok := w.vary(sc, 7)
			assert.Equal(t, c.ok, ok)
			assert.LessOrEqual(t, judged, 30)
			assert.LessOrEqual(t, saved, mostSaved)
			if !ok {
				assert.Equal(t, sc, out, "the joint as it is written")
				return
			}
			assert.Equal(t, int64(7), out.Seed)
			for by, least := range map[float64]int{1: 1, 1 + room: 0, 1 - room: 0} {
				v, _ := w.judge(out.Task, current(out, by))
				assert.True(t, v.Outcome == scoring.Accept || least == 0)
			}
			v, _ := w.judge(out.Task, out.Guess())
			assert.Equal(t, scoring.Reject, v.Outcome)
		})
	}
}

// What a variation answers is what a learner could: the given stays given.
func TestTheChangeStaysWithinWhatIsAsked(t *testing.T) {
	sc := joint(t, "B-14") // asks amps, and amps at the end
	sc.Model.AmpsEnd, sc.Model.Rod = 40.4, 5*weld.Millimetre
	a := answered(sc)
	assert.Equal(t, weld.Current(40), a.AmpsEnd)
	assert.Equal(t, sc.Given.Rod, a.Rod)
}

func TestWithoutRangesOrSeed(t *testing.T) {
	w := &welder{judge: func(weld.Task, weld.Answer) (scoring.Verdict, error) { panic("nothing is to be welded") }}
	sc := joint(t, "T-01")
	out, ok := w.vary(sc, 0)
	assert.True(t, ok)
	assert.Equal(t, sc, out)
	sc.Vary = nil
	out, ok = w.vary(sc, 3)
	assert.False(t, ok)
	assert.Zero(t, out.Seed)
}

// One variation under the model itself: accepted, not guessed, and the same again.
func TestVary(t *testing.T) {
	if raced {
		t.Skip("one goroutine, and a welder under the race detector takes twenty times as long")
	}
	sc := joint(t, "B-12")
	out, ok := Vary(sc, 2, scoring.InOrder)
	require.True(t, ok)
	assert.NotEqual(t, sc.Task, out.Task)
	v, err := scoring.Judge(out.Task, out.Model)
	require.NoError(t, err)
	assert.Equal(t, scoring.Accept, v.Outcome, v.Reason)
	for _, f := range weld.Fields {
		if !slices.Contains(out.Ask, f.Key) {
			assert.Equal(t, f.Get(out.Given), f.Get(out.Model), f.Key)
		}
	}
	again, _ := Vary(sc, 2, func(n int, work func(int)) { // any number of cores
		for i := range n {
			work(n - 1 - i)
		}
	})
	assert.Equal(t, out, again)
}
