package drill

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

// What was welded on this machine is not welded again, but whatever says something else
// of itself is.
func TestOnlyWhatIsNewIsWelded(t *testing.T) {
	c := newClass(t, "variations: own\ntries: 2\n")
	known, err := record.OpenKnown(filepath.Join(c.dir, "known"), "b")
	require.NoError(t, err)
	defer known.Close()
	for _, n := range []string{"Ann", "Bo"} {
		r, _, err := c.open(n)
		require.NoError(t, err)
		c.weld(r, 55)
		c.weld(r, 30)
		c.weld(r, 30)
	}
	welds := 0
	counting := func(task weld.Task, a weld.Answer) (scoring.Verdict, error) {
		welds++
		return judge(task, a)
	}
	check := func(all []Checked) (doubts []Doubt, w Work) {
		by := c.against()
		by.Judge, by.Known = counting, known
		welds = 0
		doubts, w, err = Check(t.Context(), all, by)
		require.NoError(t, err)
		assert.Equal(t, welds, w.Welded)
		return doubts, w
	}
	doubts, w := check(c.handIn("Ann"))
	assert.Empty(t, doubts)
	assert.Equal(t, Work{Welded: 2, Same: 1}, w)
	doubts, w = check(c.handIn("Ann", "Bo"))
	assert.Empty(t, doubts)
	assert.Equal(t, Work{Welded: 2, Known: 2, Same: 2}, w)
	doubts, w = check(c.handIn("Ann", "Bo"))
	assert.Empty(t, doubts)
	assert.Zero(t, w.Welded)

	all := c.handIn("Ann", "Bo")
	all[0].Attempts[2].Outcome = scoring.Accept // another like it still says what is so
	doubts, w = check(all)
	assert.Equal(t, 1, w.Welded)
	assert.Contains(t, doubts[len(doubts)-1].What, "says other scores than its verdict has")
	all = c.handIn("Ann")
	all[0].Attempts[0].Passed = false
	doubts, _ = check(all)
	assert.Contains(t, doubts[len(doubts)-1].What, "is said to be passed: false", "the mark is the drill's, and is no memory")
}

// A variation that is known is the one that was made, to the last bit.
func TestAKnownVariationIsTheSame(t *testing.T) {
	known, err := record.OpenKnown(t.TempDir(), "b")
	require.NoError(t, err)
	defer known.Close()
	made := 0
	vary := Varying(func(sc scenarios.Scenario, seed int64) scenarios.Scenario {
		made++
		return sc.Draw(seed, 0)
	}, known)
	all := bank(t)
	for range 2 {
		for _, sc := range all {
			if sc.Varies() {
				assert.Equal(t, sc.Draw(7, 0), vary(sc, 7), sc.ID)
			}
		}
	}
	varying := made
	vary(all[0], 8)
	changed := all[0]
	changed.Task.A.Thickness *= 2
	vary(changed, 8)
	assert.Equal(t, varying+2, made, "another seed, and another joint of the same name, are made")
}

// A check that is stopped keeps what was welded until then, and goes on from there.
func TestAStoppedCheckGoesOn(t *testing.T) {
	c := newClass(t, "tries: 2\n")
	known, err := record.OpenKnown(c.dir, "b")
	require.NoError(t, err)
	defer known.Close()
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	c.weld(r, 30)
	c.weld(r, 55)
	c.weld(r, 60)
	check := func(ctx context.Context, judge session.Judge) (w Work, err error) {
		by := c.against()
		by.Known, by.Judge, by.Par = known, judge, session.Cores(ctx, 1)
		r := <-session.Background(func() (Work, error) {
			_, w, err := Check(ctx, c.handIn("Ann"), by)
			return w, err
		})
		require.Nil(t, r.Panic)
		return r.Value, r.Err
	}
	ctx, stop := context.WithCancel(t.Context())
	_, err = check(ctx, func(task weld.Task, a weld.Answer) (scoring.Verdict, error) {
		stop() // in the middle of the first
		return judge(task, a)
	})
	require.ErrorIs(t, err, context.Canceled)
	w, err := check(t.Context(), judge)
	require.NoError(t, err)
	assert.Equal(t, Work{Welded: 2, Known: 1}, w)
}
