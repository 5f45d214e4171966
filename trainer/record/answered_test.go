package record_test

import (
	"fmt"
	"path/filepath"
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
