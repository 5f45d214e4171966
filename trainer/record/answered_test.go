package record_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

func TestAnsweredQuestionsComeBackAndAreNoCoupons(t *testing.T) {
	path := filepath.Join(t.TempDir(), record.FileName)
	s := open(t, path)
	var want []session.Answered
	for i := range 3 {
		a := session.Answered{
			ID: fmt.Sprint(i), At: noon.Add(time.Duration(i) * time.Second), Learner: "Ann", Scenario: "T-01", Revision: 2, Kind: "spot",
			Seed: 1 << 60, ModelVersion: "1", Replies: []string{"2", "70 A"}, Rules: []string{"keyhole"}, Right: 2.0 / 3,
		}
		require.NoError(t, s.AddAnswered(a))
		want = append(want, a)
	}
	require.NoError(t, s.AddAnswered(session.Answered{ID: "b", At: noon, Learner: "Bo", Scenario: "T-01", Kind: "spot"}))
	assert.Error(t, s.AddAnswered(want[0]), "the id is taken")
	assert.ErrorContains(t, s.AddAnswered(session.Answered{ID: "x"}), "cannot be recorded")
	require.NoError(t, s.Close())

	s = open(t, path)
	got, err := s.Answered("Ann", 2)
	require.NoError(t, err)
	assert.Equal(t, want[1:], got)
	coupons, err := s.Briefs(record.Filter{})
	require.NoError(t, err)
	assert.Empty(t, coupons)
}

// Exports hold answered questions; importing them twice, or half of them spoilt, changes
// nothing.
func TestAnsweredQuestionsAreExportedAndTaken(t *testing.T) {
	answered := func(id, learner string) session.Answered {
		return session.Answered{
			ID: id, At: noon, Learner: learner, Scenario: "T-01", Revision: 1, Kind: "spot", Seed: 7, ModelVersion: "1",
			Replies: []string{"2"}, Rules: []string{"keyhole"}, Right: 0.5,
		}
	}
	from := recordOf(t, attempt("a", noon))
	want := []session.Answered{answered("p", "Ann"), answered("q", "Ann")}
	for _, a := range append([]session.Answered{answered("o", "Bo")}, want...) {
		require.NoError(t, from.AddAnswered(a))
	}
	learners, err := from.Learners()
	require.NoError(t, err)
	assert.Equal(t, []record.Learner{{Name: "Ann", Coupons: 1, Answers: 2, First: noon, Last: noon}, {Name: "Bo", Answers: 1, First: noon, Last: noon}}, learners)

	text := exportOf(t, from, record.Filter{Learner: "Ann"})
	assert.NotContains(t, text, "Bo")
	into := recordOf(t)
	for range 2 {
		_, _, err := into.Import(fileOf(t, text))
		require.NoError(t, err)
		got, err := into.Answered("Ann", 9)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	assert.Equal(t, text, exportOf(t, into, record.Filter{Learner: "Ann"}))

	for _, c := range []struct{ is, instead, want string }{
		{`"right":0.5}` + "\n]}", `"right":1.5}` + "\n]}", ":5: right: cannot be 1.5"},
		{`"id":"q"`, `"id":""`, ":5: id: is missing"},
		{`"id":"q","at"`, `"id":"p","at"`, ""}, // the same twice is taken once
		{`"replies":["2"],"rules":["keyhole"],"right":0.5}` + "\n]}", `"replies":"2"}` + "\n]}", ":5: "},
		{`"answers": [`, `"answers": {`, ":3: "},
		{`"kind":"spot","seed":7,"model_version":"1","replies":["2"],"rules":["keyhole"],"right":0.5}` + "\n]}", `"kind":"spo`, ":5: this is not JSON"},
	} {
		require.Contains(t, text, c.is)
		s := recordOf(t)
		_, _, err := s.Import(fileOf(t, strings.Replace(text, c.is, c.instead, 1)))
		got, gerr := s.Answered("Ann", 9)
		require.NoError(t, gerr)
		if c.want == "" {
			require.NoError(t, err)
			assert.Len(t, got, 1)
			continue
		}
		assert.ErrorContains(t, err, c.want)
		assert.Empty(t, got, "nothing is taken")
	}

	changed := recordOf(t)
	other := want[0]
	other.Right = 1
	require.NoError(t, changed.AddAnswered(other))
	_, _, err = changed.Import(fileOf(t, text))
	assert.ErrorContains(t, err, "not the same answer")
}
