package view_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/session/view"
)

// What a class typed is counted by what it means, not by how it was typed.
func TestATallyOfWhatWasTyped(t *testing.T) {
	desk := *sessiontest.Desk(nil)
	for _, c := range []struct {
		kind question.Kind
		said [][]string // the last two mean the same
		part int
		want []string
	}{
		{question.Limit, [][]string{{"2"}, {"3 mm"}, {"3"}}, 0, []string{"2 3 mm", "1 2 mm"}},
		{question.Order, [][]string{{"123456"}, {"213456"}, {"2,1 3-4 5 6"}}, 0, []string{"2 213456", "1 123456"}},
		{question.One, [][]string{{"1", "50 A"}, {"1", "55"}, {"1", "55 A"}}, 1, []string{"2 amps 55 A", "1 amps 50 A"}},
	} {
		q, err := desk.Compose(t.Context(), c.kind, "", 1)
		require.NoError(t, err, c.kind)
		var said []question.Said
		for i, replies := range c.said {
			require.True(t, q.Taken(question.Said{Replies: replies}), "%s %v", c.kind, replies)
			said = append(said, question.Said{Learner: fmt.Sprint(i), Replies: replies})
		}
		said = append(said, question.Said{Learner: "edited", Replies: []string{"x", "y"}})
		r, err := desk.Check(t.Context(), q, c.said[0], weld.Metric)
		require.NoError(t, err)
		tally := view.Tally(q, r, said, weld.Metric)
		require.Len(t, tally, len(q.Parts))
		var got []string
		for _, o := range tally[c.part].Said {
			got = append(got, fmt.Sprint(len(o.Who), " ", o.Text))
		}
		assert.Equal(t, c.want, got, c.kind)
		assert.Equal(t, c.kind == question.Limit, tally[c.part].Truth != "")
		assert.Equal(t, c.kind == question.Order, tally[c.part].Steps != nil)
	}
}
