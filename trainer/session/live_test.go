package session_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// A run of the hand goes the way of every coupon: what went wrong is asked first, and the
// record welds it again.
func TestARunOfTheHandIsAnAttempt(t *testing.T) {
	sc := sessiontest.Joint("B-01")
	sc.Task.Seam = 12 * weld.Millimetre
	rec := &sessiontest.Recorder{}
	s := session.New(sc, sessiontest.Options(rec))
	for key, text := range map[string]string{"amps": "30", "travel": "120", "back": "argon purge"} {
		require.NoError(t, s.Set(key, text))
	}
	require.NoError(t, s.Keep())
	torch := sc
	torch.Model = s.Answer()
	run, ok := arc.Scripted(torch, "hasty")
	require.True(t, ok)
	run.Slow = 2
	held := s.Hold(run)
	got, err := session.Await(t.Context(), held.Start())
	require.NoError(t, err)
	a, err := s.TakeRun(held, got)
	require.NoError(t, err)
	assert.Empty(t, rec.Attempts, "the guess belongs to the record")
	assert.Greater(t, a.Answer.Travel, 2*s.Answer().Travel, "its answer is what the hand did")
	assert.Equal(t, s.Answer(), a.Set())
	assert.NotEmpty(t, s.Line().Line)
	assert.False(t, s.Maps(), "no setting stands for a hand")
	require.Equal(t, scoring.Reject, a.Verdict.Outcome)

	g, err := s.Say("no_penetration")
	require.NoError(t, err)
	assert.Equal(t, session.Decisive, g.Hit)
	require.Len(t, rec.Attempts, 1)
	old := rec.Attempts[0]
	assert.Equal(t, &run, old.Run)
	assert.Equal(t, 2, session.NewBrief(old).Live)
	assert.Empty(t, rec.Typed, "nothing is left to weld")
	assert.False(t, s.Dirty())
	_, ok = s.Search()
	assert.False(t, ok)

	later := sc
	later.Revision++
	r, ok := session.Review([]scenarios.Scenario{later}, old, opened)
	require.True(t, ok)
	assert.Nil(t, r.Line())
	l, ok := r.Again()
	require.True(t, ok)
	again, err := session.Await(t.Context(), l.Start())
	require.NoError(t, err)
	assert.Equal(t, got.Verdict, again.Verdict, "from the record as from the hand")
	r.Ran(again)
	_, ok = r.Again()
	assert.False(t, ok, "it is there")

	old.ModelVersion = "0"
	r, _ = session.Review([]scenarios.Scenario{later}, old, opened)
	j, ok := r.Today()
	require.True(t, ok)
	v, err := session.Await(t.Context(), j.Start())
	require.NoError(t, err)
	assert.Equal(t, got.Verdict, v, "today's model welds the hand, not its mean")
}

// A hand that never moves comes to numbers nobody can type; they are kept all the same.
func TestARunThatNeverMoved(t *testing.T) {
	sc := sessiontest.Joint("B-01")
	sc.Task.Seam = 12 * weld.Millimetre
	rec := &sessiontest.Recorder{}
	s := session.New(sc, sessiontest.Options(rec))
	torch := arc.Take(sc, s.Answer())
	require.NoError(t, torch.Do("arc", 1))
	for range 20 {
		torch.Step()
	}
	require.NoError(t, torch.Do("arc", 0))
	l := s.Hold(torch.Run())
	got, err := session.Await(t.Context(), l.Start())
	require.NoError(t, err)
	a, err := s.TakeRun(l, got)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	for _, f := range weld.Fields {
		b := a.Answer
		assert.NoError(t, f.SetStrict(&b, f.Get(a.Answer)), f.Key)
	}
	require.Len(t, rec.Attempts, 1)
	t.Log(a.Verdict.Outcome, a.Verdict.Reason)
}

// What the hand decides while the arc burns need not be set before.
func TestALiveWeldNeedsNoTravel(t *testing.T) {
	s := session.New(sessiontest.Joint("B-01"), sessiontest.Options(&sessiontest.Recorder{}))
	require.NoError(t, s.Set("travel", "120"))
	require.NoError(t, s.Set("back", "argon purge"))
	require.Len(t, s.MissingLive(), 1, "amps")
	require.NoError(t, s.Set("amps", "30"))
	require.NoError(t, s.Set("travel", ""))
	assert.Empty(t, s.MissingLive())
	assert.NotEmpty(t, s.Missing())
}
