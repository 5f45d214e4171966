package tui_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// room is where a drill is run: its folder, a clock that only the test moves, and ticks.
type room struct {
	*tuitest.Learner
	drill drill.Drill
	dir   string
	gone  *atomic.Int64
	ticks chan time.Time
	arc   chan time.Time // the live arc's
	opt   func(*tui.Options)
}

const twoJoints = `title: Gaps
aim: Amps and dabs where a gap opens.
joints: [T-01, B-01]
ask: [amps, dab]
hints: no
tries: 2
time: {joint: 5 min, whole: 8 min}
pass: {burn_through: 85}
`

// enter sits learners down at a drill.
func enter(t *testing.T, w, h int, file string, names ...string) *room {
	t.Helper()
	d, err := drill.Parse("gaps.yaml", []byte(file))
	require.NoError(t, err)
	r := &room{drill: d, dir: t.TempDir(), gone: &atomic.Int64{}, arc: make(chan time.Time)}
	r.opt = func(o *tui.Options) {
		o.Past, o.Now = nil, func() time.Time { return sessiontest.Time.Add(time.Duration(r.gone.Load())) }
		so := sessiontest.Options(o.Questions.Answers.(*sessiontest.Recorder))
		so.NoHints, so.Now, so.Drafts = !d.Hints, o.Now, nil
		if !d.Hints {
			so.Save, so.Map = nil, nil
		}
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
		r.ticks = make(chan time.Time)
		ticks := r.ticks
		o.Ticks = func(d time.Duration) (<-chan time.Time, func()) {
			switch d {
			case time.Second:
				return ticks, func() {}
			case 40 * time.Millisecond:
				return r.arc, func() {}
			}
			return nil, func() {}
		}
		o.Drill = &tui.Drill{
			Learners: names, File: func(name string) string { return "gaps-" + name + ".json" },
			Look: func(_ context.Context, name string) (*drill.Run, bool, error) {
				return drill.Look(d, drill.Sitting{Bank: o.Bank, Learner: name, File: filepath.Join(r.dir, name+".json"), Judge: sessiontest.Judge, Now: o.Now})
			},
		}
	}
	r.sit(t, w, h)
	return r
}

// sit begins the program again.
func (r *room) sit(t *testing.T, w, h int) {
	t.Helper()
	r.Learner = tuitest.Sit(t, w, h, r.opt)
}

// wait lets the clock go on, and be heard.
func (r *room) wait(d time.Duration) *tuitest.Learner {
	for d > 0 {
		step := min(d, 50*time.Second)
		d -= step
		r.gone.Add(int64(step))
		r.ticks <- time.Time{}
		r.ticks <- time.Time{} // the one before has been heard
	}
	require.NoError(r.T, r.Walker.Type(""))
	return r.Learner
}

func (r *room) result(name string) drill.Result {
	r.T.Helper()
	res, err := drill.ReadResult(filepath.Join(r.dir, name+".json"))
	require.NoError(r.T, err)
	return res
}

func TestALearnerGoesThroughADrill(t *testing.T) {
	r := enter(t, 80, 24, twoJoints, "Ann")
	r.Sees("Amps and dabs where a gap opens.", "learner  Ann", "joints   2, in a fixed order", "5 min 0 s at each joint, 8 min 0 s in all", "no settings window", "at least burn-through 85", "gaps-Ann.json").SeesNot("Goes on")
	_, err := os.Stat(filepath.Join(r.dir, "Ann.json"))
	assert.ErrorIs(t, err, os.ErrNotExist, "reading is not beginning")
	r.gone.Add(int64(time.Hour)) // read slowly
	r.Press("enter").Sees("joint 1 of 2  coupon 1 of 2  left here 5 min 0 s  left in all 8 min 0 s", "still to decide: amps, dab every", "f1 keys").SeesNot("hint", "live arc", "travel   ", "esc back")
	r.Press("?").SeesNot("About an amp").Press("ctrl-u").Press("f2").SeesNot("arc out")
	r.wait(70 * time.Second).Sees("left here 3 min 50 s  left in all 6 min 50 s").SeesNot("! left")

	// What the model cannot weld is no try.
	r.Fill("400", "1.5").Press("enter").Sees("NOT SCORED", "It does not count", "coupon 1 of 2").Press("w").Sees("coupon 1 of 2")
	assert.Empty(t, r.result("Ann").Attempts)
	r.Fill("399", "1.5").Press("enter").Sees("the heat balance did not close", "coupon 1 of 2")

	r.Fill("60", "3").Press("enter").Sees("coupon 1 of 2", "what went wrong?").SeesNot("weld again", "esc back", "compare")
	require.Len(t, r.result("Ann").Attempts, 1, "on disk before it is explained")
	r.Press("esc", "w").Sees("what went wrong?").Say("not bridged in time").Sees("REJECT x", "You said keyhole: yes", "w weld again").SeesNot("smallest change", "window", "advice", "go on", "other joint")
	assert.Equal(t, "keyhole", r.result("Ann").Attempts[0].Guess)
	r.Press("w").Sees("coupon 2 of 2", "[ 60", "last coupon REJECT x").Press("tab", "ctrl-u").Type("1.5").Press("enter").Sees("coupon 2 of 2", "coupon 2").Say("it is good")
	r.Sees("ACCEPT +", "Accepted, but under the drill's marks: burn-through 85", "beside coupon 1", "enter go on").SeesNot("weld again")
	r.Press("esc").SeesNot("weld again").Press("enter", "enter").Sees("joint 2 of 2  coupon 1 of 2  left here 5 min 0 s", "Duct patch")

	// The end comes near, and then the time is up while an answer stands there.
	r.Fill("60", "1.5")
	r.wait(4*time.Minute+10*time.Second).Sees("! left here 50 s", "left in all 2 min 40 s")
	r.wait(50*time.Second).Sees("The time at this joint is up", "not welded and uses no try").SeesNot("amps")
	r.Press("enter").Sees("Drill over: 0 of 2 joints passed, 2 coupons, 6 min 10 s.", "gaps-Ann.json", "x T-01", "not passed, 2 coupons", "- B-01", "not tried")
	leave(r.Learner, "enter")
	res := r.result("Ann")
	assert.True(t, res.Done)
	assert.Equal(t, []string{"B-01"}, res.Left)
	assert.Len(t, r.Record.Attempts, 3, "the record has the coupon out of range too")
	assert.Equal(t, "Ann", r.Record.Attempts[0].Learner)

	r.sit(t, 80, 24)
	r.Sees("Drill over: 0 of 2").Press("?").Sees("Keys on this screen: the drill's end").Press("esc")
	leave(r.Learner, "q")
}

// A joint by hand: a run that was struck is a try, however it ends.
func TestAJointOfADrillIsWeldedByHand(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time, and real welds")
	}
	r := enter(t, 80, 24, "title: Hands\naim: By hand.\njoints: [B-01, T-01]\nkinds: [live, weld]\nspeed: half\nhints: no\ntries: 3\n", "Ann")
	run := func(taps int) {
		for range taps { // three ticks a tap: a key that overtakes one leaves the travel within what is scored
			for range 3 {
				r.arc <- time.Time{}
			}
			r.Press("right")
		}
	}
	r.Sees("by hand where the drill has it so, at half speed or more").Press("enter").Sees("joint 1 of 2  coupon 1 of 3", "still to decide: amps, back").SeesNot("decide: amps, travel")
	r.Fill("60").Press("down", "right").Sees("all decided", "enter weld").Press("enter").Sees("arc out", "The run counts from the strike on", "joint 1 of 2").SeesNot("good hand")
	r.Press("s").Sees("practice speed 1/2").Press("s").SeesNot("practice speed").Press("esc").Sees("f2 live arc").Press("f2").Sees("arc out")
	assert.Nil(t, r.result("Ann").Welding)
	r.Press("enter").Sees("arc lit", "Stopped, or left, it is judged as it stands.")
	require.NotNil(t, r.result("Ann").Welding, "on disk from the strike on")
	for range 3 {
		r.arc <- time.Time{}
	}
	r.Press("esc").Sees("face", "coupon 1").Press("enter").Sees("What went wrong?").Press("enter").Sees("REJECT x", "w weld again").Press("w").Sees("coupon 2 of 3").Press("enter", "enter").Sees("arc lit")
	run(6)
	r.Press("esc").Sees("face", "coupon 2").SeesNot("REJECT", "weld again")
	require.Len(t, r.result("Ann").Attempts, 2)
	r.Press("enter").Sees("What went wrong?").Press("enter").Sees("REJECT x", "by hand", "w weld again").SeesNot("enter go on", "window")
	r.Press("w").Sees("coupon 3 of 3", "[ 60").Press("enter", "enter").Sees("arc lit")
	run(9)
	leave(r.Learner, "ctrl-c")
	res := r.result("Ann")
	require.Len(t, res.Attempts, 3, "left with the arc lit")
	assert.NotEmpty(t, res.Attempts[2].Run)
	assert.Len(t, r.Record.Attempts, 3)

	r.sit(t, 80, 24)
	r.Press("enter").Sees("joint 2 of 2", "travel", "enter next").SeesNot("live arc")
}

// However it ends, it goes on where it was: a coupon begun has used its try.
func TestADrillOnTheScreenGoesOn(t *testing.T) {
	r := enter(t, 80, 24, twoJoints, "Ann")
	r.Press("enter").Fill("60", "1.5")
	r.wait(time.Minute)
	r.Press("esc").Sees("What shall be left?", "> stay").Press("up", "enter").Sees("[ 60").Press("esc", "down", "down", "down")
	leave(r.Learner, "enter")
	assert.Equal(t, 60.0, r.result("Ann").Working)

	run, _, err := drill.Open(r.drill, drill.Sitting{Bank: sessiontest.Bank(), Learner: "Ann", File: filepath.Join(r.dir, "Ann.json"), Judge: sessiontest.Judge, Now: func() time.Time { return sessiontest.Time.Add(time.Minute) }})
	require.NoError(t, err)
	sc, _ := run.Next()
	_, err = run.Begin(session.Attempt{ID: "killed", Scenario: sc.ID, Task: sc.Task, Answer: sc.Model})
	require.NoError(t, err) // and killed here

	r.gone.Add(int64(time.Hour))
	r.sit(t, 80, 24)
	r.Sees("Goes on: 0 of 2 joints done. Closed for 60 min 0 s", "! A coupon was being welded")
	r.Press("enter").Sees("The coupon that was being welded when this was closed counts: T-01, accept.", "coupon 2 of 2", "left here 4 min 0 s", "[ 60", "[ 1.5")
	require.Len(t, r.result("Ann").Attempts, 1)

	// A joint is left for the next one.
	r.Press("esc", "down", "enter").Sees("joint 2 of 2").Press("esc", "esc").Sees("joint 2 of 2")
	leave(r.Learner, "ctrl-c")
	res := r.result("Ann")
	assert.Equal(t, []string{"T-01"}, res.Left)
	assert.False(t, res.Done)
	assert.Len(t, res.Away, 2)
}

// A class takes turns: nobody sees anything of the one before.
func TestAClassTakesTurns(t *testing.T) {
	r := enter(t, 80, 24, twoJoints, "Ann", "Bo", "Cy")
	require.NoError(t, os.WriteFile(filepath.Join(r.dir, "Cy.json"), []byte("{}"), 0o644))
	r.sit(t, 80, 24)
	r.Sees("Gaps: who is next?", "0 of 3 learners over", "> Ann   not begun", "Cy    cannot go on").Press("end").Sees("> Cy", "is not a result of a drill").SeesNot("enter next").Press("enter", "c").Sees("This is practice").Press("esc", "home")
	r.Press("enter").Sees("learner  Ann").Press("esc").Sees("who is next?").Press("enter", "enter").Fill("60", "1.5").Weld().Say("it is good")
	r.Press("w").Sees("[ 60").Press("esc", "down", "down", "enter").Sees("Ann   0 of 2 joints done", "> Bo")
	r.Press("enter").Sees("learner  Bo").Press("enter").Sees("coupon 1 of 2", "still to decide: amps, dab every").SeesNot("[ 60", "last coupon")
	r.Press("esc", "down", "enter", "esc", "down", "enter").Sees("Drill over: 0 of 2 joints passed, 0 coupons").Press("enter")
	r.Sees("1 of 3 learners over", "> Ann", "Bo    over").Press("enter").Sees("Goes on: 0 of 2").Press("enter").Sees("coupon 2 of 2").SeesNot("[ 60")
	leave(r.Learner, "ctrl-c")
	assert.Equal(t, "Ann", r.Record.Attempts[0].Learner)
	assert.Len(t, r.result("Ann").Attempts, 1)
}

func TestAQuestionInADrill(t *testing.T) {
	r := enter(t, 80, 24, "title: x\naim: y\njoints: [T-01, B-01]\nkinds: [spot, weld]\ntime: {joint: 2 min}\n", "Ann")
	r.Press("enter").Sees("joint 1 of 2  a question  left here 2 min 0 s", "What is wrong with this coupon?").SeesNot("What shall it be about?", "esc back", "coupon 1 of")
	r.Press("esc", "esc", "enter").Sees("Which setting did it?", "esc back").Press("esc").Sees("What is wrong")
	r.Press("enter", "enter", "enter").Sees("ight", "enter go on").SeesNot("next question", "esc")
	require.Len(t, r.result("Ann").Answers, 1)
	require.Len(t, r.Record.Asked, 1)
	r.Press("enter").Sees("joint 2 of 2  coupon 1 of 1", "? hint")
	leave(r.Learner, "ctrl-c")

	late := enter(t, 80, 24, "title: x\naim: y\njoints: [T-01, B-01]\nkinds: [spot, weld]\ntime: {joint: 2 min}\n", "Ann")
	late.Press("enter", "c")
	late.wait(2 * time.Minute).Sees("The time at this joint is up")
	assert.Empty(t, late.result("Ann").Answers)
}

func TestADrillSaysTheCautionsOnce(t *testing.T) {
	r := enter(t, 80, 24, twoJoints, "Ann")
	seen, opt := 0, r.opt
	r.opt = func(o *tui.Options) {
		opt(o)
		o.Settings.CautionsSeen = false
		o.Save = func(change func(*record.Settings)) error { seen++; return nil }
	}
	r.sit(t, 80, 24)
	r.Sees("This is practice").Press("enter").Sees("learner  Ann")
	assert.Equal(t, 1, seen)
}

func TestScreensOfADrill(t *testing.T) {
	for _, size := range sizes {
		if size.name == "200x60" || tui.Raced && size.name != "80x24" {
			continue
		}
		t.Run(size.name, func(t *testing.T) {
			r := enter(t, size.w, size.h, twoJoints, "Ann Berg", "Bo")
			opt := r.opt
			r.opt = func(o *tui.Options) {
				opt(o)
				if size.change != nil {
					size.change(o)
				}
			}
			r.sit(t, size.w, size.h)
			name := func(s string) string { return "drill-" + s + "-" + size.name }
			r.Press("enter").Golden(name("first"))
			r.Press("enter")
			r.wait(4*time.Minute + 15*time.Second).Golden(name("joint"))
			r.Press("esc").Golden(name("leaving")).Press("esc")
			r.Fill("60", "3").Weld().Say("not bridged in time").Golden(name("verdict"))
			r.Press("w")
			r.wait(45 * time.Second).Golden(name("up"))
			r.Press("enter", "esc", "down", "down", "enter").Golden(name("class"))
			r.Press("up", "enter").Golden(name("on"))
			r.Press("enter", "esc", "down", "enter").Golden(name("over"))
		})
	}
}

func TestADrillThatCannotGoOnIsSaidBeforeTheScreen(t *testing.T) {
	r := enter(t, 80, 24, twoJoints, "Ann")
	require.NoError(t, os.WriteFile(filepath.Join(r.dir, "Ann.json"), []byte("{}"), 0o644))
	opt := tuitest.Options(&sessiontest.Recorder{})
	r.opt(&opt)
	err := tui.Run(t.Context(), opt)
	assert.ErrorIs(t, err, drill.ErrResult)
	assert.True(t, strings.Contains(err.Error(), "is not a result"), err)
}
