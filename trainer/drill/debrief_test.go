package drill

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

func TestTalks(t *testing.T) {
	c := newClass(t, "tries: 2\nvariations: same\n")
	for _, n := range []string{"Ann", "Bo", "Cy"} {
		r, _, err := c.open(n)
		require.NoError(t, err)
		if n != "Ann" {
			c.weld(r, 30)
		}
		c.weld(r, 55)
	}
	all := c.handIn("Ann", "Bo", "Cy")
	all[2].Attempts[0].Task.A.Thickness *= 2 // another variation
	talks := Talks(all)
	require.Len(t, talks, 1)
	got := talks[0]
	assert.Equal(t, "no_penetration", got.Finding)
	assert.Len(t, got.Answers, 2)
	assert.Equal(t, []string{"amps"}, got.Set)
	assert.Equal(t, 1, got.Others)
	assert.NotZero(t, got.Seed)
	assert.Equal(t, "Bo", got.Worst.Learner)
	assert.False(t, got.Worst.Passed)
	assert.Equal(t, "Ann", got.Best.Learner)
	all[2].Attempts[1].Task, all[2].Attempts[1].Scores = all[0].Attempts[0].Task, scoring.Scores{LackOfFusion: 90}
	all[1].Attempts[1].Scores, all[0].Attempts[0].Scores = scoring.Scores{LackOfFusion: 40}, scoring.Scores{}
	got = Talks(all)[0]
	assert.Equal(t, []string{"Ann", "Cy"}, []string{got.Worst.Learner, got.Best.Learner}, "all that decide are 0")
	assert.Nil(t, Talks(c.handIn("Ann"))[0].Best, "one coupon is nobody's best")
}

// A class's answers to the question most of them had; it is made again and checked.
func TestTalksOfAQuestion(t *testing.T) {
	desk := *sessiontest.Desk(nil)
	q, err := desk.Compose(t.Context(), question.Spot, "T-01", 7)
	require.NoError(t, err)
	truth := func(wrong int) []string { // so many parts wrong
		r, err := desk.Check(t.Context(), q, []string{"1", "1", "1"}, weld.Metric)
		require.NoError(t, err)
		var out []string
		for i, k := range r.Truth {
			if i < wrong {
				k = (k + 1) % len(q.Parts[i].Options)
			}
			out = append(out, fmt.Sprint(k+1))
		}
		return out
	}
	answer := func(name string, seed int64, right float64, replies []string) Checked {
		return Checked{Result: Result{Learner: name, Answers: []Answer{{Scenario: "T-01", Revision: 1, Kind: question.Spot, Seed: seed, Replies: replies, Right: right}}}}
	}
	all := []Checked{
		answer("Ann", 9, 1, truth(0)), answer("Bo", 7, 0, truth(3)), answer("Cy", 7, 1, truth(0)), answer("Dee", 7, 0.6, truth(1)), answer("Eli", 7, 1, []string{"edited"}),
	}
	talks := Talks(all)
	require.Len(t, talks, 1)
	z := talks[0].Quiz
	assert.Equal(t, []any{question.Spot, int64(7), 1, 2}, []any{z.Kind, z.Seed, z.Others, z.Right()})
	_, pairs := talks[0].Windows()
	assert.Nil(t, pairs, "nothing was welded")

	made, r, err := talks[0].Again(t.Context(), desk)
	require.NoError(t, err)
	assert.Equal(t, []bool{true, true, true}, r.Right)
	for i, p := range view.Tally(made, r, z.Said, weld.Metric) {
		n := 0
		for _, o := range p.Said {
			if n += len(o.Who); o.Right {
				assert.Equal(t, [][]string{{"Cy"}, {"Cy", "Dee"}, {"Cy", "Dee"}}[i], o.Who)
			}
		}
		assert.Equal(t, 3, n, "what was edited is left out")
	}

	z.Revision++
	_, _, err = talks[0].Again(t.Context(), desk)
	assert.ErrorContains(t, err, "of revision 2")
	z.Revision, z.Said = 1, z.Said[3:]
	_, _, err = talks[0].Again(t.Context(), desk)
	assert.ErrorContains(t, err, "none of its answers can be read")
}
