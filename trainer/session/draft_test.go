package session_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func TestWhatIsTypedOutlivesTheSession(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, map[string]string{"amps": "60", "dab": "1/16 in"})
	require.Error(t, s.Set("travel", "12o"))
	s.Hint("dab")
	assert.Empty(t, rec.Typed, "nothing is written while it is typed")
	require.NoError(t, s.Keep())

	// The program was killed. The next session takes it up, wrong texts and all.
	s = tee(t, rec, nil)
	require.NoError(t, s.Recall(rec))
	var typed []string
	for _, e := range s.Entries() {
		typed = append(typed, e.Text)
	}
	assert.Equal(t, []string{"60", "12o", "1/16 in", ""}, typed)
	assert.Error(t, s.Entries()[1].Err)
	assert.Equal(t, 1, s.Hints(), "hints are not forgotten by leaving")

	// It lasts until the coupon is on disk, then there is nothing to go on with.
	for _, k := range []string{"travel", "direction"} {
		require.NoError(t, s.Set(k, good()[k]))
	}
	require.NoError(t, s.Keep())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	require.NoError(t, s.Keep())
	assert.Contains(t, rec.Typed, "apprentice/T-01", "the coupon is not on disk before the learner has said what went wrong")
	require.NoError(t, s.Close())
	assert.Len(t, rec.Attempts, 1)
	assert.Empty(t, rec.Typed)

	require.NoError(t, s.Set("amps", "61"))
	require.NoError(t, s.Keep())
	assert.Contains(t, rec.Typed, "apprentice/T-01", "a change on the way to the next coupon")
	require.NoError(t, s.Set("amps", "60"))
	require.NoError(t, s.Keep())
	assert.Empty(t, rec.Typed, "taken back: there is nothing to lose")
}

func TestAnEditMadeBeforeTheGuessIsKept(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, good())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	require.NoError(t, s.Set("dab", "2"))
	require.NoError(t, s.Close())
	assert.Len(t, rec.Attempts, 1)
	assert.Equal(t, "2", rec.Typed["apprentice/T-01"].Typed["dab"])
}

func TestACouponThatCannotBeRecordedLeavesItsDraft(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, good())
	require.NoError(t, s.Keep())
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	rec.Err = errors.New("the disk is full")
	require.ErrorIs(t, s.Close(), rec.Err)
	rec.Err = nil
	require.NoError(t, s.Keep())
	assert.Contains(t, rec.Typed, "apprentice/T-01")
}

func TestUnitsChangeOnTheWay(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, map[string]string{"amps": "60", "travel": "127", "dab": "1/16 in"})
	require.Error(t, s.Set("dab", "0.1"), "less than is taken, in mm")
	s.Use(weld.Imperial, "apprentice")
	es := s.Entries()
	assert.Equal(t, "60", es[0].Text, "an amp is an amp")
	assert.Equal(t, "5", es[1].Text)
	assert.Equal(t, "127 mm/min", s.Answer().Travel.Show(weld.Metric))
	assert.Equal(t, "0.1 mm", es[2].Text, "not silently taken for inches")
	require.Error(t, es[2].Err)

	require.NoError(t, s.Set("travel", "6"))
	require.NoError(t, s.Keep())
	s = tee(t, nil, nil) // a session in metric units
	require.NoError(t, s.Recall(rec))
	assert.Equal(t, "152", s.Entries()[1].Text)
}

func TestDraftsOfOtherJointsAreLeftAlone(t *testing.T) {
	s := tee(t, nil, nil)
	s.Resume(session.Draft{Scenario: "B-01", Typed: map[string]string{"amps": "60"}})
	s.Resume(session.Draft{Scenario: "T-01", Typed: map[string]string{"cup": "8", "no such": "1"}})
	assert.Len(t, s.Missing(), 4)
}

func TestWhoTakesANameTakesTheDraftAlong(t *testing.T) {
	rec := &sessiontest.Recorder{}
	so := sessiontest.Options(rec)
	so.Learner = ""
	s := session.New(sessiontest.Joint("T-01"), so)
	require.NoError(t, s.Set("amps", "60"))
	require.NoError(t, s.Keep())
	s.Use(so.System, "Ann")
	require.NoError(t, s.Keep())
	got, err := rec.Drafts("Ann")
	require.NoError(t, err)
	assert.Len(t, got, 1)
	assert.Len(t, rec.Typed, 1, "and leaves none behind")
}
