package record_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

func TestDraftsComeBackNewestFirst(t *testing.T) {
	path := filepath.Join(t.TempDir(), record.FileName)
	s := open(t, path)
	old := session.Draft{Scenario: "B-03", At: noon, Typed: map[string]string{"amps": "6o", "dab": "1/16 in"}}
	want := []session.Draft{
		{Scenario: "T-01", At: noon.Add(time.Hour), System: weld.Imperial, Typed: map[string]string{"amps": "60"}, Hinted: []string{"amps"}},
		{Scenario: "B-03", At: noon.Add(time.Minute), Typed: map[string]string{"amps": "60"}},
	}
	gone := session.Draft{Scenario: "C-01", At: noon, Typed: map[string]string{"amps": "60"}}
	for _, d := range []session.Draft{old, gone, want[0], want[1]} {
		require.NoError(t, s.KeepDraft(d))
	}
	require.NoError(t, s.DropDraft("C-01"))
	require.NoError(t, s.DropDraft("never there"))
	assert.Error(t, s.KeepDraft(session.Draft{}))
	require.NoError(t, s.Close())
	got, err := open(t, path).Drafts()
	require.NoError(t, err)
	assert.Equal(t, want, got)
}

func TestCouponsInBrief(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	a, b := attempt("a", noon), attempt("b", noon.Add(-time.Hour))
	require.NoError(t, s.Add(a))
	require.NoError(t, s.Add(b))
	got, err := s.Recent(a.Learner, 9)
	require.NoError(t, err)
	assert.Equal(t, []session.Brief{session.NewBrief(b), session.NewBrief(a)}, got)
	assert.Equal(t, "keyhole", got[0].Finding)
	one, err := s.Attempt("a")
	require.NoError(t, err)
	assert.Equal(t, a, one)
	for at, want := range map[time.Time]string{noon: "b", noon.Add(time.Millisecond): "a", noon.Add(-time.Hour): ""} {
		before, ok, err := s.Before(a.Scenario, at)
		require.NoError(t, err)
		assert.Equal(t, want, before.ID)
		assert.Equal(t, want != "", ok)
	}
	_, ok, err := s.Before("T-01", noon.Add(time.Hour))
	require.NoError(t, err)
	assert.False(t, ok)
	_, err = s.Attempt("c")
	assert.ErrorContains(t, err, `no attempt "c"`)
}
