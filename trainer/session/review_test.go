package session_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func opened(sc scenarios.Scenario) *session.Session {
	return session.New(sc, sessiontest.Options(nil))
}

func TestReviewShowsTheCouponAsItWas(t *testing.T) {
	rec := &sessiontest.Recorder{}
	s := tee(t, rec, with("dab", "3"))
	_, err := s.Weld(t.Context())
	require.NoError(t, err)
	_, err = s.Say("crater")
	require.NoError(t, err)
	bank := sessiontest.Bank()
	for i := range bank {
		bank[i].Task.Seam *= 2 // the joint has been changed since
	}
	r, ok := session.Review(bank, rec.Attempts[0], opened)
	require.True(t, ok)
	last, _ := r.Last()
	assert.Equal(t, rec.Attempts[0], last)
	assert.Equal(t, rec.Attempts[0].Task, r.Scenario().Task, "on the joint it was welded on")
	g, said := r.Said()
	assert.True(t, said)
	assert.Equal(t, session.Present, g.Hit)
	assert.True(t, r.Told() && r.Reviewed() && r.Recorded())
	_, ok = r.Search()
	assert.True(t, ok)
	w, err := r.WindowNow(t.Context(), r.Axes()[0])
	require.NoError(t, err)
	assert.NotNil(t, w)
	older := rec.Attempts[0]
	older.ModelVersion = "0"
	o, ok := session.Review(bank, older, opened)
	require.True(t, ok)
	_, ok = o.Search()
	assert.False(t, ok, "today's model would speak of another coupon")
	assert.False(t, o.Maps())
	_, ok = r.Today()
	assert.False(t, ok)
	j, ok := o.Today()
	require.True(t, ok, "both verdicts are shown")
	v, err := session.Await(t.Context(), j.Start())
	require.NoError(t, err)
	assert.Equal(t, older.Verdict.Scores, v.Scores)
	require.NoError(t, r.Close())
	assert.Len(t, rec.Attempts, 1)

	before, err := r.Before(rec)
	require.NoError(t, err)
	assert.Nil(t, before)
	next := rec.Attempts[0]
	next.At = next.At.Add(time.Hour)
	r, _ = session.Review(bank, next, opened)
	before, err = r.Before(rec)
	require.NoError(t, err)
	assert.Equal(t, &rec.Attempts[0], before)
	next.Task.Seam /= 2
	r, _ = session.Review(bank, next, opened)
	before, err = r.Before(rec)
	require.NoError(t, err)
	assert.Nil(t, before, "another joint by now")

	old := rec.Attempts[0]
	old.Task, old.Guess = weld.Task{}, ""
	r, ok = session.Review(bank, old, opened)
	require.True(t, ok, "the bank's joint stands in")
	assert.Len(t, r.Entries(), 4)
	_, said = r.Said()
	assert.False(t, said)
	assert.True(t, r.Told())
	_, ok = session.Review(nil, old, opened)
	assert.False(t, ok)
}
