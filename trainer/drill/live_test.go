package drill

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
)

// hand runs quickly over the first millimetres of a joint.
func hand(t testing.TB, sc scenarios.Scenario, taps int) arc.Run {
	t.Helper()
	torch := arc.Take(sc, sc.Model)
	require.NoError(t, torch.Do(puddle.Arc, 1))
	for range taps {
		torch.Step()
		require.NoError(t, torch.Do(puddle.Move, 0.5))
	}
	require.NoError(t, torch.Do(puddle.Arc, 0))
	return torch.Run()
}

// byHand welds a coupon of the joint in hand live.
func (c *class) byHand(r *Run, taps int) {
	sc, ok := r.Next()
	require.True(c.t, ok)
	run := hand(c.t, sc, taps)
	require.Empty(c.t, c.drill.Faults(sc, "Ann", run))
	a := session.Attempt{ID: string(rune('a' + c.ids)), Scenario: sc.ID, Revision: sc.Revision, Seed: sc.Seed, Task: sc.Task, Answer: sc.Model, Run: &run, Started: c.now, At: c.now}
	c.ids++
	begun, err := r.Begin(a)
	require.NoError(c.t, err)
	require.True(c.t, begun)
	got, err := run.Judge(sc)
	require.NoError(c.t, err)
	a.Answer, a.Verdict = got.Answer, got.Verdict
	_, err = r.Take(a)
	require.NoError(c.t, err)
}

func TestAJointByHandIsHeldToItsRun(t *testing.T) {
	c := newClass(t, "kinds: [live, weld]\nspeed: half\ntries: 2\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	assert.Equal(t, Live, r.Kind("B-01"))
	c.byHand(r, 8)
	c.byHand(r, 9)
	c.weld(r, 55)
	all := c.handIn("Ann")
	assert.Empty(t, c.check(all))
	assert.True(t, all[0].Done)

	has := func(want string, edit func(*Attempt)) {
		t.Helper()
		all := c.handIn("Ann")
		edit(&all[0].Attempts[0])
		all[0].Attempts = all[0].Attempts[:1]
		assert.Contains(t, strings.Join(c.check(all), "\n"), want)
	}
	in := func(a *Attempt, from, to string) {
		text := a.compact()
		require.Contains(t, text, from)
		a.Run = json.RawMessage(strings.Replace(text, from, to, 1))
	}
	has("comes out otherwise: what the hand did", func(a *Attempt) { in(a, "1move0.5", "1move0.6") })
	has("comes out otherwise: what the hand did", func(a *Attempt) { a.Answer["amps"] = "99 A" })
	has("was welded at practice speed 1/4, slower than the drill allows", func(a *Attempt) { in(a, `"steps"`, `"slow":4,"steps"`) })
	has("holds a run of a hand on B-02", func(a *Attempt) { in(a, "B-01", "B-02") })
	has("sets what was not asked: gas flow", func(a *Attempt) { in(a, `"flow":"`, `"flow":"1`) })
	has("is not what seed 1 draws on this joint", func(a *Attempt) { in(a, `"model_version"`, `"happens":1,"drawn":["a storm"],"model_version"`) })
	has("cannot be welded: input 2: step", func(a *Attempt) { in(a, "1move", "9999move") })
	has("was welded by settings: the drill has it otherwise", func(a *Attempt) { a.Run = nil })
	all = c.handIn("Ann")
	all[0].Attempts[1].Run = all[0].Attempts[0].Run
	all[0].Attempts[2].Run = all[0].Attempts[0].Run
	said := strings.Join(c.check(all), "\n")
	assert.Contains(t, said, "coupon 3, B-02 holds a run of a hand on B-01")
	assert.Contains(t, said, "coupon 2, B-01 is the same run of a hand as one in Ann")
	_, pairs := Talks(all)[0].Windows()
	assert.Empty(t, pairs, "no window around a hand")
}

// What happens at a live joint is the drill's, and verify draws it again.
func TestWhatHappensIsTheDrills(t *testing.T) {
	c := newClass(t, "kinds: [live]\nhappens: yes\n")
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	sc, _ := r.Next()
	require.NotEmpty(t, sc.Happens, "B-01 names something")
	seed := r.Happens(sc)
	assert.Positive(t, seed)
	assert.Equal(t, seed, c.drill.HappensSeed(sc, "Bo"), "the same for all")
	own := c.drill
	own.Varied = VariedOwn
	assert.NotEqual(t, own.HappensSeed(sc, "Ann"), own.HappensSeed(sc, "Bo"))
	run := hand(t, sc.Befall(seed), 2)
	assert.Empty(t, c.drill.Faults(sc, "Ann", run))
	assert.Contains(t, strings.Join(own.Faults(sc, "Bo", run), "\n"), "other things happening than the drill gives")
	assert.Contains(t, strings.Join(c.drill.Faults(sc, "Ann", arc.Take(sc, sc.Model).Run()), "\n"), "other things happening")
	befallen := sc.Befall(seed)
	got, err := run.Judge(befallen)
	require.NoError(t, err)
	a := session.Attempt{ID: "a", Scenario: sc.ID, Revision: sc.Revision, Seed: sc.Seed, Task: befallen.Task, Answer: got.Answer, Run: &run, Verdict: got.Verdict, Started: c.now, At: c.now}
	_, err = r.Begin(a)
	require.NoError(t, err)
	_, err = r.Take(a)
	require.NoError(t, err)
	assert.Empty(t, c.check(c.handIn("Ann")))
}

// A kill with the arc lit uses the try: what is on disk is the strike.
func TestAKillWithTheArcLitUsesTheTry(t *testing.T) {
	c := newClass(t, "kinds: [live]\ntries: 2\n")
	for _, name := range []string{"Ann", "Bo"} {
		c.struck(name)
	}
	assert.Empty(t, c.check(c.handIn("Ann", "Bo")), "every strike is like another")
}

func (c *class) struck(name string) {
	t := c.t
	r, _, err := c.open(name)
	require.NoError(t, err)
	sc, _ := r.Next()
	torch := arc.Take(sc, sc.Model)
	require.NoError(t, torch.Do(puddle.Arc, 1))
	run := torch.Run()
	begun, err := r.Begin(session.Attempt{ID: "of " + name, Scenario: sc.ID, Revision: sc.Revision, Task: sc.Task, Answer: sc.Model, Run: &run, Started: c.now, At: c.now})
	require.NoError(t, err)
	require.True(t, begun)
	c.now = c.now.Add(time.Hour)
	r, _, err = c.open(name)
	require.NoError(t, err)
	used, passed := r.Tries("B-01")
	assert.Equal(t, 1, used)
	assert.False(t, passed)
}

func TestSpeedGoesWithAHand(t *testing.T) {
	for text, want := range map[string]string{
		"kinds: [weld]\nspeed: half\n":  "no joint is welded by hand",
		"kinds: [live]\nspeed: third\n": "speed",
		"kinds: [weld]\nhappens: no\n":  "no joint is welded by hand",
		"kinds: [live]\nspeed: real\n":  "",
	} {
		_, err := Parse("d.yaml", []byte("title: x\naim: y\njoints: [B-01]\n"+text))
		if want == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, want)
		}
	}
}

// The largest drill, each coupon by a hand that never rests, is no larger than what is read.
func TestTheLargestResultCanBeHandedIn(t *testing.T) {
	sc := bank(t)[0]
	torch := arc.Take(sc, sc.Model)
	for torch.Do(puddle.RodTip, 10.12) == nil {
	}
	run := torch.Run()
	run.Steps = puddle.LiveSteps
	a := newAttempt(session.Attempt{ID: "a", Scenario: sc.ID, Task: sc.Task, Answer: weld.Defaults(), Run: &run})
	a.take(scoring.Verdict{Outcome: scoring.Reject}, false)
	size := func(coupons int) int {
		r := Result{Attempts: []Attempt{a, a}[:coupons]}
		raw, err := json.MarshalIndent(r, "", " ") // as record.WriteWhole has it
		require.NoError(t, err)
		return len(raw)
	}
	assert.Less(t, size(1)+mostJoints*mostTries*(size(2)-size(1)), maxResult)
}
