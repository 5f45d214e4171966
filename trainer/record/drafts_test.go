package record_test

import (
	"database/sql"
	"os"
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
		{Scenario: "B-03", Seed: 3, At: noon, Typed: map[string]string{"amps": "70"}}, // a variation's lies beside the joint's
	}
	gone := session.Draft{Scenario: "C-01", At: noon, Typed: map[string]string{"amps": "60"}}
	for _, d := range []*session.Draft{&old, &gone, &want[0], &want[1], &want[2]} {
		d.Learner = "Ann"
		require.NoError(t, s.KeepDraft(*d))
	}
	other := want[0]
	other.Learner = "Bo"
	require.NoError(t, s.KeepDraft(other))
	require.NoError(t, s.DropDraft("Ann", "C-01", 0))
	require.NoError(t, s.DropDraft("Ann", "never there", 3))
	assert.Error(t, s.KeepDraft(session.Draft{}))
	require.NoError(t, s.Close())
	s = open(t, path)
	got, err := s.Drafts("Ann")
	require.NoError(t, err)
	assert.Equal(t, want, got)
	got, err = s.Drafts("Bo")
	require.NoError(t, err)
	assert.Equal(t, []session.Draft{other}, got, "a draft is its learner's")
}

// Before drafts had a learner they were those of whoever the trainer was set to.
func TestDraftsOfNobodyGoToTheLearner(t *testing.T) {
	path := filepath.Join(t.TempDir(), record.FileName)
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join("migrations", "000[1-5]_*.sql"))
	require.NoError(t, err)
	require.Len(t, files, 5)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		_, err = db.Exec(string(text))
		require.NoError(t, err, f)
	}
	_, err = db.Exec(`PRAGMA application_id = 1885629559; PRAGMA user_version = 5;
		INSERT INTO setting (key, value) VALUES ('name', 'Ann');
		INSERT INTO draft (scenario, at, units, typed, hinted) VALUES ('B-03', 0, 'metric', '{"amps":"60"}', '[]')`)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	got, err := open(t, path).Drafts("Ann")
	require.NoError(t, err)
	require.Len(t, got, 1)
	assert.Equal(t, "60", got[0].Typed["amps"])
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
		before, ok, err := s.Before(a.Learner, a.Scenario, at)
		require.NoError(t, err)
		assert.Equal(t, want, before.ID)
		assert.Equal(t, want != "", ok)
	}
	_, ok, err := s.Before(a.Learner, "T-01", noon.Add(time.Hour))
	require.NoError(t, err)
	assert.False(t, ok)
	_, err = s.Attempt("c")
	assert.ErrorContains(t, err, `no attempt "c"`)
}
