package tui_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

func TestALearnerMeetsAKeyholeAndMendsIt(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	l.Choose("T-01").Sees("Rail gusset, far end", "gap", "still to decide")
	l.Fill("60", "120", "3").Press("right").Sees("all decided")
	l.Weld().Sees("coupon 1", "drops out, 46 to 49 mm").SeesNot("REJECT", "keyhole", "nothing held it up")
	l.Press("s").Sees("face width     hole").SeesNot("drops out").Press("s").Sees("drops out")
	l.Say("not bridged in time").Sees("REJECT x", "You said keyhole: yes", "burn-through     31 x", "dab every 1.5 mm", "recorded",
		"smallest change that holds", "dab every 3 mm -> 1.5 mm: burn-through 84")
	l.Press("w").Sees("last coupon REJECT x").Press("tab", "tab", "ctrl-u").Type("1.5").Weld()
	l.Say("it is good").Sees("ACCEPT +", "beside coupon 1", "3 mm -> 1.5 mm", "31 -> 84")
	l.Press("n").Sees("choose a joint")
	require.NoError(t, l.Walker.Close())
	require.Len(t, l.Record.Attempts, 2)
	assert.Equal(t, "keyhole", l.Record.Attempts[0].Guess)
}

func TestFirstStartShowsTheCautions(t *testing.T) {
	seen := 0
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Settings.CautionsSeen = false
		o.Save = func(change func(*record.Settings)) error {
			var s record.Settings
			if change(&s); s.CautionsSeen {
				seen++
			}
			return nil
		}
	})
	l.Sees("This is practice, not a procedure").Press("down", "pgdn", "end").Sees("radioactive")
	assert.Zero(t, seen)
	l.Press("enter").Sees("a new joint").Press("c").Sees("Before the first arc").Press("esc").Sees("a new joint")
	assert.Equal(t, 1, seen)
}

func TestStartOpensAJoint(t *testing.T) {
	tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Start = "b-01" }).Sees("Duct patch [flat]", "Stainless fume")
	tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Start, o.Settings.CautionsSeen = "B-01", false }).Press("enter").Sees("Duct patch [flat]")
	opt := tuitest.Options(&sessiontest.Recorder{})
	opt.Start = "X-99"
	assert.ErrorIs(t, tui.Run(t.Context(), opt), tui.ErrNoJoint)
}

func TestSearching(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Press("n")
	l.Press("/").Type("304 jj").Sees("no joint has all these words", "0 of 3 joints").SeesNot("q quit")
	l.Press("backspace", "backspace").Sees("Duct patch", "1 of 3").SeesNot("Lid of a battery box")
	l.Press("esc").Sees("Lid of a battery box", "q quit")
	l.Press("j", "j", "k", "enter").Sees("Lid of a battery box", "hollow")
}

func TestWrongValuesAreSaidKindlyAndKept(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Choose("T-01")
	l.Type("6o").SeesNot("not a current").Press("enter").Sees("is not a current", "write 60 A", "6o")
	l.Press("backspace").Type("0").SeesNot("is not a current").Sees("1 to 400 A").SeesNot("taken as")
	l.Press("enter").Type("5 ipm").Sees("5 to 1500 mm/min; taken as 127 mm/min")
	l.Press("enter").Type("1/16 in").Press("enter", "z").Sees("one of: push, drag").Press("d").Sees("drag", "all decided")
	l.Press("delete").Sees("still to decide: lean").Press("left").Sees("[ drag")
	l.Press("up", "up", "ctrl-u").Type("NaN").Press("down").Sees("still to decide: travel").Press("up").Sees("does not begin with a number")
}

func TestHints(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Choose("T-01")
	l.Press("?").Sees("About an amp for each thousandth").Press("?").Sees("would you do anything different there?").Press("?").Sees("About an amp")
	l.Fill("60", "120", "1.5").Press("p").Weld().Say("it is good")
	assert.Equal(t, 2, l.Record.Attempts[0].Hints)
	l.Press("t").Sees("ease the pedal")
}

func TestEveryPageHasItsKeys(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	l.Press("?").Sees("Keys on this screen: start", "leave the trainer; what you have typed is kept").Press("esc", "n")
	l.Press("?").Sees("Keys on this screen: choose a joint", "one line up or down").Press("esc").Sees("choose a joint")
	l.Choose("T-01").Press("f1").Sees("Keys on this screen: the joint", "a hint for this field").Press("f1").Sees("amps")
	table := tui.KeyTable()
	for _, want := range []string{"| the coupon | left/right |", "| everywhere | ctrl-c |"} {
		assert.Contains(t, table, want)
	}
}

func TestTheStartProposesAJoint(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Sees("> next: B-01", "Choosing amps has not come up yet. About", "A patch is let into a duct")
	l.Press("enter").Sees("still to decide: amps").Fill("60", "120").Press("right").Weld().Press("esc", "esc", "esc")
	l.Sees("> next: ", "1 coupon").SeesNot("next: B-01")
	leave(l.Press("down", "enter").Sees("choose a joint"), "q")

	rec := l.Record
	rec.Attempts[0].Learner = "Bo"
	l = tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Past = rec })
	l.Sees("> next: B-01").SeesNot("1 coupon")
	leave(l, "q")
	l = tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Past = nil })
	l.Sees("> a new joint").SeesNot("next")
	leave(l, "q")
}

// What is left in the middle stands there already, and is not proposed beside it.
func TestWhatIsLeftInTheMiddleIsNotProposed(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Press("enter").Fill("60").Press("esc", "esc")
	l.Sees("> go on with B-01", "next: T-01").SeesNot("next: B-01")
}

func TestGoingBackLosesNothing(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Choose("T-01").Fill("60", "120")
	l.Press("esc").Sees("choose a joint", "> ~ T-01", "~ 2 of 4 filled in, left today 09:30").Press("esc").Choose("T-01").Sees("[ 60", "[ 120")
	l.Press("esc", "esc", "esc").Sees("go on with T-01   Rail gusset, far end; 2 of 4 filled in, left today 09:30", "still to decide")
	l.Press("enter").Sees("[ 60", "still to decide: dab every, lean").Press("esc").Sees("go on with T-01")
	leave(l, "q")
}

func TestWithoutARecordLeavingAsksFirst(t *testing.T) {
	so := sessiontest.Options(nil)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Past = nil
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120").Press("esc", "esc", "q").Sees("Leave?", "Rail gusset, far end").Press("n").Sees("choose a joint")
	leave(l, "q", "y")
}

func TestHoweverItEndsTheNextStartGoesOn(t *testing.T) {
	for _, steps := range [][]string{
		{"enter"},                // half an answer
		{"enter", "p", "enter"},  // a coupon not yet explained
		{"enter", "p", "ctrl-c"}, // leaving
	} {
		l := tuitest.Sit(t, 80, 24, nil).Choose("T-01").Fill("60", "120").Type("1.5")
		_ = l.Walker.Press(steps...)
		kept := *l.Record // as the disk is when the program is killed here
		kept.Typed = maps.Clone(kept.Typed)
		assert.Empty(t, kept.Attempts)

		next := tuitest.Options(&kept)
		again := tuitest.Sit(t, 80, 24, func(o *tui.Options) { *o = next })
		again.Sees("go on with T-01").Press("enter").Sees("[ 60", "[ 120", "[ 1.5")
	}
}

func TestSettingsHoldAtOnceAndAreKept(t *testing.T) {
	kept := record.Settings{Still: true} // what is remembered; this run was told to be mono
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Settings.Theme = "mono"
		o.Save = func(change func(*record.Settings)) error { change(&kept); return nil }
	})
	l.Choose("T-01").Fill("60", "127").Press("esc", "esc", "esc")
	l.Sees("metric, mono, unicode, motion off, apprentice").Press("s").Sees("> units     [metric] inch", "60 mm")
	l.Press("right").Sees("> units      metric [inch]", "0.055 in").Press("j", "j", "l").Sees("[ascii]")
	for _, r := range l.Screen() {
		assert.Less(t, r, rune(128), "%q", r)
	}
	l.Press("up", "up", "up", "ctrl-u").Type("Ann [hj]").Press("f1").Sees("Keys on this screen: settings").Press("esc", "esc")
	l.Sees("inch, mono, ascii, motion off, Ann [hj]")
	assert.Equal(t, record.Settings{Still: true, Units: weld.Imperial, ASCII: true, Name: "Ann [hj]"}, kept, "what the learner did not touch is not changed")
	l.Choose("T-01").Sees("carbon steel, 0.055 in both", "still to decide: amps, travel")
	l.Press("esc", "esc", "esc", "s", "up", "ctrl-u").Type("apprentice").Press("esc").Choose("T-01").Sees("[ 60", "[ 5 ", "ipm")
	l.Press("esc", "esc", "esc", "s", "up", "ctrl-u").Type("Ann [hj]").Press("esc").Choose("T-01")
	l.Fill("60", "5", "0.06").Press("p").Weld().Say("it is good")
	assert.Equal(t, "Ann [hj]", l.Record.Attempts[0].Learner)
	assert.Equal(t, "127 mm/min", l.Record.Attempts[0].Answer.Travel.Show(weld.Metric))
}

// The mouse is off until it is asked for: terminals mark text with it.
func TestTheMouseIsOffUntilAskedFor(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Sees("> next")
	mouse := func(x, y int, b tcell.ButtonMask) *tuitest.Learner {
		t.Helper()
		require.NoError(t, l.Walker.Mouse(x, y, b))
		return l
	}
	click := func(words string) *tuitest.Learner {
		t.Helper()
		rows := strings.Split(l.Screen(), "\n")
		x := strings.Index(rows[23], words)
		require.Positive(t, x, words)
		mouse(x+1, 23, tcell.Button1)
		return mouse(x+1, 23, tcell.ButtonNone)
	}
	mouse(5, 5, tcell.WheelDown).Sees("> next")
	l.Press("s", "up", "up", "right").Sees("mouse", "[on]").Press("esc")
	mouse(5, 5, tcell.WheelDown).Sees("> a new joint")
	mouse(5, 5, tcell.WheelUp).Sees("> next")
	mouse(5, 5, tcell.Button1)
	mouse(5, 5, tcell.ButtonNone).Sees("> next")
	click("keys").Sees("Keys on this screen: start")
	click("close").Sees("> next")
	click("enter").Sees("still to decide: amps")
	mouse(5, 5, tcell.WheelDown).Sees("> travel")
	click("back").Sees("> next").Press("s", "up", "up", "left").Sees("[off]").Press("esc")
	mouse(5, 5, tcell.WheelDown).Sees("> next")
}

func TestSettingsThatCannotBeKeptAreSaid(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Screen = fewColours{tcell.NewSimulationScreen("UTF-8")}
		o.Save = func(func(*record.Settings)) error { return errors.New("the disk is full") }
	})
	l.Press("s", "right").Sees("[inch]", "the disk is full")
	l.Press("down").Sees("This terminal shows too few colours: drawn as mono").Press("down").Sees("too few characters or colours: drawn as ascii")
	l = tuitest.Sit(t, 80, 24, nil)
	l.Press("s").Sees("these hold for this run")
	var names []string
	for _, th := range tui.Themes {
		names = append(names, th.Name)
	}
	for _, g := range record.AllSettings {
		if g.Key == "theme" {
			assert.Equal(t, names, g.Choices)
		}
	}
}

func TestTheRecordShowsWhatWasWelded(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).SeesNot("record").Choose("T-01").Fill("60", "120", "3").Press("p")
	l.Weld().Say("the root did not fuse").Press("w").Fill("60", "120", "1.5").Weld().Say("it is good")
	l.Press("n", "esc", "esc").Sees("the record    2 coupons, 1 accepted").SeesNot("due again")
	l.Press("r").Sees("2 coupons, 1 accepted", "ACCEPT +", "REJECT x", "keyhole")
	l.Press("j", "enter").Sees("welded today 09:30", "REJECT x", "as it was recorded on 2026-03-02 09:30", "drops out, 46 to 49 mm").SeesNot("what went wrong?")
	l.Press("enter").Sees("You said root not fused", "burn-through     31 x", "recorded", "smallest change that holds").Press("tab").Sees("settings window  1 of 3", "dab every, mm").Press("tab")
	l.Press("esc", "esc").Sees("> today 09:30      T-01  REJECT").Press("enter", "w").Sees("[ 1.5").Press("esc").Sees("puddlewise: the record")
	assert.Len(t, l.Record.Attempts, 2, "looking adds nothing")
	require.NoError(t, l.Walker.Resize(120, 40))
	l.Sees("> today 09:30", "skill, weakest first").SeesNot("tab skills")
	l.Press("esc").Choose("T-01").Fill("60", "120", "3").Weld().Say("it is good").Press("n", "esc", "esc", "r").Sees("1 due again")
}

func TestTwoCouponsBesideEachOther(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Choose("T-01").Fill("60", "120", "3").Press("p")
	l.Weld().SeesNot("compare").Press("c").Sees("coupon 1", "Look along").Say("not bridged in time")
	l.Press("w").Press("tab", "tab", "ctrl-u").Type("1.5").Weld().Press("pgdn").Sees("compare").Press("c")
	l.Sees("before, today 09:30   REJECT x  keyhole", "coupon 2", "changed: dab every 3 mm -> 1.5 mm", "at 47.5 mm").SeesNot("ACCEPT")
	l.Press("x", "home", "l", "G").Sees("at 60 mm").Press("c").Sees("at 60 mm", "what went wrong?")
	l.Say("it is good").Press("esc", "c").Sees("ACCEPT +")

	// On another day, against the record.
	yesterday := *l.Record
	yesterday.Attempts = slices.Clone(l.Record.Attempts[:1])
	yesterday.Attempts[0].At = sessiontest.Time.Add(-24 * time.Hour)
	opt := tuitest.Options(&yesterday)
	l = tuitest.Sit(t, 120, 40, func(o *tui.Options) { *o = opt })
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p").Weld().Press("c").Sees("before, yesterday 09:30   REJECT x  keyhole", "coupon 1")
}

func TestACouponOfAnotherModelIsWeldedAgain(t *testing.T) {
	a := session.Attempt{ID: "a", Scenario: "T-01", ModelVersion: "0", At: sessiontest.Time, Learner: "apprentice", Task: sessiontest.Joint("T-01").Task, Answer: weld.Defaults()}
	a.Verdict, _ = sessiontest.Judge(a.Task, a.Answer)
	a.Verdict.Outcome, a.Verdict.Reason = scoring.Accept, "sound, as it was thought"
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Past = &sessiontest.Recorder{Attempts: []session.Attempt{a}} })
	l.Press("r", "enter").Sees("model 0; today's is").Press("enter")
	l.Sees("ACCEPT +  sound, as it was thought", "the same weld today, model ", "REJECT x, a keyhole opened", "burn-through 31").SeesNot("smallest change", "window")
}

func TestARecordedCouponWhoseJointIsGone(t *testing.T) {
	whole := session.Attempt{ID: "a", Scenario: "X-09", Title: "Gone", At: sessiontest.Time, Learner: "apprentice", Task: sessiontest.Joint("T-01").Task, Answer: weld.Defaults()}
	whole.Verdict, _ = sessiontest.Judge(whole.Task, whole.Answer)
	bare := whole
	bare.ID, bare.Task, bare.At = "b", weld.Task{}, sessiontest.Time.Add(-time.Hour)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Past = &sessiontest.Recorder{Attempts: []session.Attempt{bare, whole}}
	})
	l.Press("r").Sees("2 coupons").Press("enter").Sees("Gone", "as it was recorded").SeesNot("weld again").Press("w").Sees("Gone")
	l.Press("esc", "down", "enter").Sees("the joint X-09 is not in the bank any more")
}

// leave presses the keys that end the trainer.
func leave(l *tuitest.Learner, keys ...string) {
	l.T.Helper()
	require.ErrorIs(l.T, l.Walker.Press(keys...), tui.ErrEnded)
	assert.NoError(l.T, l.Walker.Ended())
}

func TestLeavingFromEverywhere(t *testing.T) {
	for _, steps := range [][]string{nil, {"?"}, {"c"}, {"n"}, {"n", "/"}, {"n", "f"}, {"n", "enter"}} {
		l := tuitest.Sit(t, 80, 24, nil)
		require.NoError(t, l.Walker.Walk(steps...))
		leave(l, "ctrl-c")
	}
	for _, steps := range [][]string{{"enter"}, {"enter", "enter"}, {"enter", "enter", "enter"}} {
		l := tuitest.Sit(t, 80, 24, nil).Choose("T-01").Fill("60", "120", "3").Press("p")
		require.NoError(t, l.Walker.Walk(steps...))
		leave(l, "ctrl-c")
		assert.Len(t, l.Record.Attempts, 1, "a welded coupon is recorded however the learner leaves")
	}
	leave(tuitest.Sit(t, 80, 24, nil), "q")
}

func TestEndedContextAndClosedTerminal(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	sim := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, sim.Init())
	opt := tuitest.Options(&sessiontest.Recorder{})
	opt.Screen = sim
	require.NoError(t, tui.Run(ctx, opt))

	for _, c := range []struct {
		err  error
		want string
	}{{io.EOF, ""}, {errors.New("the line is dead"), "the line is dead"}} {
		sim := tcell.NewSimulationScreen("UTF-8")
		l := tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Screen = sim })
		require.NoError(t, sim.PostEvent(tcell.NewEventError(c.err)))
		if err := l.Walker.Ended(); c.want == "" {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, c.want)
		}
	}
}

func TestNoTerminal(t *testing.T) {
	t.Setenv("TERM", "dumb")
	assert.ErrorIs(t, tui.Run(t.Context(), tuitest.Options(&sessiontest.Recorder{})), tui.ErrNoTerminal)
}

func TestTooSmall(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	require.NoError(t, l.Walker.Resize(79, 24))
	assert.Equal(t, "79x24 is too small: 80x24 is needed. ctrl-c leaves", strings.TrimSpace(l.Screen()))
	l.Press("enter", "q", "esc")
	require.NoError(t, l.Walker.Resize(80, 24))
	l.Sees("a new joint", "> ")
	for _, s := range [][2]int{{1, 1}, {20, 3}, {200, 60}, {80, 24}, {500, 150}} {
		require.NoError(t, l.Walker.Resize(s[0], s[1]))
	}
	require.NoError(t, l.Walker.Resize(10, 2))
	leave(l, "ctrl-c")
}

func TestResizeOnEveryPage(t *testing.T) {
	l := tuitest.Sit(t, 120, 40, nil)
	sizes := func() {
		all := [][2]int{{200, 60}, {80, 24}, {81, 25}, {95, 30}, {143, 37}, {160, 24}, {80, 70}}
		if tui.Raced {
			all = all[:2]
		}
		for _, s := range all {
			require.NoError(t, l.Walker.Resize(s[0], s[1]))
		}
	}
	sizes()
	for _, step := range [][]string{{"n"}, {"f"}, {"esc", "down", "enter"}, {"esc", "down", "enter", "type 60", "tab", "type 120", "tab", "type 3", "tab", "p"}, {"enter"}, {"enter"}, {"enter"}, {"m"}, {"tab"}, {"a"}, {"?"}} {
		require.NoError(t, l.Walker.Walk(step...))
		sizes()
	}
}

func TestNothingToPractise(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) { o.Bank = nil })
	l.Sees("0 joints").Press("enter").Sees("there is no joint to practise").Press("enter", "f", "right", "a", "esc", "down", "/").Type("x").Press("enter", "esc", "pgdn")
	leave(l, "q")
}

func TestAJointThatAsksNothing(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		sc := sessiontest.Joint("T-01")
		sc.Ask = nil
		o.Bank, o.Start = []scenarios.Scenario{sc}, sc.ID
	})
	l.Sees("Everything is given at this joint.").Press("x", "down", "left", "?", "backspace")
	require.NoError(t, l.Walker.Paste("60"))
	l.Weld().Sees("coupon 1").Say("not bridged in time").Sees("REJECT x", "no change of what was asked")
}

func TestNotRecordedIsSaid(t *testing.T) {
	full := errors.New("the disk is full")
	so := sessiontest.Options(&sessiontest.Recorder{Err: full})
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p").Weld().Say("it is good")
	l.Sees("this coupon is NOT recorded: the disk is full").Press("m").Sees("NOT recorded")
	l.Press("w").Weld()
	assert.ErrorIs(t, l.Walker.Close(), full, "a coupon that is lost on the way out is not lost in silence")
}

func TestWhatCannotBeWelded(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil).Choose("T-01").Fill("399", "120", "1.5").Press("p")
	l.Weld().Sees("the heat balance did not close", "[ 399")
	l.Press("ctrl-u").Type("400").Weld().Sees("NOT SCORED -", "outside what the model has been checked for", "recorded").SeesNot("accepted from")
	l.Press("esc").Sees("[ 400")
}

// ticking makes a clock that the test moves by hand: the one of the replay, which
// ticks fast, or the one that waits for the model.
func ticking(fast bool) (clock func(time.Duration) (<-chan time.Time, func()), tick func(), stopped <-chan struct{}) {
	ticks, ended := make(chan time.Time), make(chan struct{}, 8)
	clock = func(d time.Duration) (<-chan time.Time, func()) {
		if (d < 100*time.Millisecond) == fast {
			return ticks, func() { ended <- struct{}{} }
		}
		return nil, func() {}
	}
	return clock, func() { ticks <- time.Time{} }, ended
}

func TestTheWeldCanBeStopped(t *testing.T) {
	started, hold := make(chan struct{}), make(chan struct{})
	defer close(hold)
	clock, tick, _ := ticking(false)
	so := sessiontest.Options(nil)
	first := true
	so.Judge = func(task weld.Task, a weld.Answer) (scoring.Verdict, error) {
		if first {
			first = false
			close(started)
			<-hold
		}
		return sessiontest.Judge(task, a)
	}
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Ticks = clock
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p")
	l.Walker.Send(tcell.KeyEnter, 0) // no waiting: the trainer is busy now
	<-started
	tick()
	tick()
	l.Walker.Send(tcell.KeyEsc, 0)
	l.Press("home").Sees("[ 60", "all decided").SeesNot("coupon 1")
	l.Weld().Sees("coupon 1").Say("it is good").Sees("no record is kept")
}

func TestTheSearchDoesNotHoldTheLearner(t *testing.T) {
	started := make(chan struct{})
	so := sessiontest.Options(nil)
	so.Save = func(_ weld.Task, _ weld.Answer, _ []string, _ weld.System, par scoring.Parallel) (scoring.Rescue, bool) {
		close(started)
		for {
			par(1, func(int) {})
		}
	}
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "3").Press("p").Weld().Press("enter")
	l.Walker.Send(tcell.KeyEnter, 0)
	<-started
	l.Walker.Send(tcell.KeyRune, 'm') // read while it looks
	l.Press("w").Sees("last coupon REJECT x")
}

func TestTheWindowArrivesBesideTheVerdict(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, nil)
	l.Choose("T-01").Fill("80", "120", "1.5").Press("p").Weld().Say("burnt through").SeesNot("settings window")
	l.Press("tab").Sees("settings window  1 of 3", "amps, A", "travel, mm/min", "o your point", "18 A less (62 A) puts you in")
	l.Press("a").Sees("2 of 3", "dab every, mm").Press("a").Sees("3 of 3").Press("a").Sees("1 of 3")
	l.Press("?").Sees("two other settings in the window").Press("esc").Sees("settings window")
	l.Press("esc").Sees("smallest change that holds").Press("tab").Sees("settings window").Press("tab", "esc").Sees("coupon 1", "worst")
	l.Press("enter").Sees("smallest change that holds").Press("tab").Sees("settings window")
	require.NoError(t, l.Walker.Resize(120, 40))
	l.Sees("settings window", "smallest change that holds").SeesNot("section at")
	l.Press("tab").Sees("section at").SeesNot("settings window")
	require.NoError(t, l.Walker.Resize(200, 60))
	l.Sees("settings window", "section at", "smallest change that holds")
}

// computing is a learner who looks at a window that is being computed and never done.
func computing(t *testing.T) (l *tuitest.Learner, started, ended <-chan string) {
	begin, end := make(chan string, 64), make(chan string, 64)
	so := sessiontest.Options(nil)
	so.Map = func(_ weld.Task, _ weld.Answer, x, y string, par scoring.Parallel) (*scoring.Window, error) {
		begin <- x + " " + y
		defer func() { end <- x + " " + y }()
		for {
			par(1, func(int) {})
		}
	}
	l = tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p").Weld().Press("enter")
	l.Walker.Send(tcell.KeyEnter, 0)
	assert.Equal(t, "amps travel", <-begin)
	l.Walker.Send(tcell.KeyTab, 0)
	return l, begin, end
}

func TestTheWindowDoesNotHoldTheLearner(t *testing.T) {
	l, started, ended := computing(t)
	l.Walker.Send(tcell.KeyRune, 'a')
	assert.Equal(t, "amps travel", <-ended, "other settings end the survey before")
	assert.Equal(t, "amps dab", <-started)
	for range 20 { // more than a queue would hold
		l.Walker.Send(tcell.KeyRune, 'a')
	}
	l.Walker.Send(tcell.KeyEsc, 0)
	l.Press("esc").Sees("coupon 1", "ACCEPT +").Press("esc").Sees("last coupon ACCEPT +")
	assert.Equal(t, "amps dab", <-ended)

	l, _, _ = computing(t)
	l.Walker.Send(tcell.KeyCtrlC, 0)
	assert.NoError(t, l.Walker.Ended(), "leaving in the middle of it")
}

func TestAWindowThatCannotBeMappedIsSaid(t *testing.T) {
	so := sessiontest.Options(nil)
	so.Map = func(weld.Task, weld.Answer, string, string, scoring.Parallel) (*scoring.Window, error) {
		return nil, errors.New("the map is torn\nmend it")
	}
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p").Weld().Say("it is good").Press("tab")
	l.Sees("No window of amps and travel: the map is torn; mend it").Press("a").Sees("No window of amps and dab every")
	so.Map = nil
	l = tuitest.Sit(t, 120, 40, func(o *tui.Options) {
		o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
	})
	l.Choose("T-01").Fill("60", "120", "1.5").Press("p").Weld().Say("it is good").Press("tab", "a")
	l.SeesNot("window").Sees("section at")
}

func TestReplay(t *testing.T) {
	clock, tick, stopped := ticking(true)
	moving := func(o *tui.Options) { o.Settings.Still, o.Ticks = false, clock }
	prepared := func() *tuitest.Learner {
		return tuitest.Sit(t, 80, 24, moving).Choose("T-01").Fill("60", "120", "1.5").Press("p")
	}
	l := prepared()
	l.Walker.Send(tcell.KeyEnter, 0)
	for range 75 {
		tick()
	}
	<-stopped // the last frame is drawn: a key sent before would only skip it
	l.Press("home").Sees("coupon 1", "at 0 mm")

	l = prepared()
	l.Walker.Send(tcell.KeyEnter, 0)
	tick()
	l.Walker.Send(tcell.KeyRune, 'x')
	l.Press("home").Sees("coupon 1", "at 0 mm")
	leave(l, "ctrl-c")

	l = prepared()
	l.Walker.Send(tcell.KeyEnter, 0)
	tick()
	l.Walker.Send(tcell.KeyCtrlC, 0)
	assert.NoError(t, l.Walker.Ended(), "leaving in the middle of the replay")
}

func TestAPanicOfTheJudgeEndsTheRunInOrder(t *testing.T) {
	sim := tcell.NewSimulationScreen("UTF-8")
	require.NoError(t, sim.Init())
	sim.SetSize(80, 24)
	opt := tuitest.Options(&sessiontest.Recorder{})
	opt.Screen, opt.Start = sim, "T-01"
	go func() {
		for _, r := range "398\t120\t1.5\tp" {
			if r == '\t' {
				sim.InjectKey(tcell.KeyTab, 0, tcell.ModNone)
			} else {
				sim.InjectKey(tcell.KeyRune, r, tcell.ModNone)
			}
		}
		sim.InjectKey(tcell.KeyEnter, 0, tcell.ModNone)
	}()
	assert.PanicsWithValue(t, "the judge's own fault", func() { _ = tui.Run(t.Context(), opt) })
}

func TestHostileTextsMoveNothing(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		sc := sessiontest.Joint("T-01")
		sc.Title = "A\x1b[2J\x07[red]B\u202eC\ud55c\u0301 " + strings.Repeat("long ", 60)
		sc.Job = strings.Repeat("\u2026x", 500) + " [::b]bold\x00"
		o.Bank, o.Start = []scenarios.Scenario{sc}, sc.ID
	})
	l.Sees("A[2J[red]BC")
	for _, r := range l.Screen() {
		assert.True(t, r == '\n' || r >= ' ', "%q", r)
	}
	require.NoError(t, l.Walker.Paste("[red]6\x1b[0m\n0"))
	l.Sees("d]6[0m0") // the end of it, as it was pasted
}

func TestASCIIScreensAreASCII(t *testing.T) {
	for i, sim := range []tcell.SimulationScreen{tcell.NewSimulationScreen("US-ASCII"), fewColours{tcell.NewSimulationScreen("UTF-8")}} {
		if tui.Raced && i > 0 {
			break
		}
		l := tuitest.Sit(t, 120, 40, func(o *tui.Options) { o.Screen = sim })
		check := func() {
			for _, r := range l.Screen() {
				assert.Less(t, r, rune(128), "%q", r)
			}
		}
		check()
		for _, step := range []string{"n", "f", "esc", "down", "down", "enter", "type 60", "tab", "type 120", "tab", "type 3", "tab", "p", "enter", "enter", "enter", "m", "tab", "a", "tab", "?"} {
			require.NoError(t, l.Walker.Walk(step))
			check()
		}
	}
}

// fewColours is a terminal that shows none, as NO_COLOR asks for.
type fewColours struct{ tcell.SimulationScreen }

func (fewColours) Colors() int { return 0 }

// oldTerminal shows 16 colours.
type oldTerminal struct{ tcell.SimulationScreen }

func (oldTerminal) Colors() int { return 16 }

// Few colours set words off; pictures are told apart by characters. None is used that
// the terminal does not have.
func TestSixteenColours(t *testing.T) {
	for _, theme := range []string{"dark", "light", "mono"} {
		if tui.Raced && theme != "dark" {
			continue
		}
		l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
			o.Screen, o.Settings.Theme = oldTerminal{tcell.NewSimulationScreen("UTF-8")}, theme
		})
		l.Choose("T-01").Fill("60", "120", "3").Press("p").Sees("gravity v").Weld().Say("not bridged in time")
		coloured := 0
		for _, c := range l.Walker.Seen().Cells {
			fg, bg, _ := c.Style.Decompose()
			assert.Equal(t, tcell.ColorDefault, bg)
			if fg != tcell.ColorDefault {
				coloured++
				assert.Less(t, fg, tcell.PaletteColor(8))
			}
		}
		assert.Equal(t, theme != "mono", coloured > 0, theme)
	}
}

func TestPicture(t *testing.T) {
	steps := []string{"n", "down", "down", "enter", "type 60", "tab", "type 120", "tab", "type 3", "tab", "p", "enter"}
	one, err := tui.Picture(t.Context(), tuitest.Options(&sessiontest.Recorder{}), steps, 80, 24)
	require.NoError(t, err)
	two, err := tui.Picture(t.Context(), tuitest.Options(&sessiontest.Recorder{}), steps, 80, 24)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(one, two), "the same steps give the same picture")
	dec := xml.NewDecoder(bytes.NewReader(one))
	for {
		_, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	assert.Contains(t, string(one), ">coupon<")
	_, err = tui.Picture(t.Context(), tuitest.Options(&sessiontest.Recorder{}), []string{"no such key"}, 80, 24)
	assert.ErrorContains(t, err, "no key is called")
}

// vary stands in for the drawing of variations: each is a tenth thicker than the one before.
func vary(sc scenarios.Scenario, seed int64, _ scoring.Parallel) (scenarios.Scenario, bool) {
	if seed > 2 {
		return sc, false
	}
	sc.Seed = seed
	sc.Task.A.Thickness += weld.Length(seed) * 0.1 * weld.Millimetre
	return sc, true
}

func varying(opt *tui.Options) {
	opt.Vary = vary
	for i := range opt.Bank {
		opt.Bank[i].Vary = []scenarios.Span{{Key: "thickness", Values: []string{"1.5 mm", "1.6 mm"}}}
	}
}

func TestAVariationIsDrawnAndWelded(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, varying).Press("n", "v").Sees("B-01, variation 1  Duct patch", "1.5 mm")
	l.Fill("60", "120", "argon purge").Weld().Sees("variation 1, coupon 1")
	l.Say("it is good").Press("n").Sees("+").Press("v").Sees("B-01, variation 2") // another one each time
	l.Press("esc", "v").Sees("none found that can be welded").SeesNot("variation 3  ")
	l.Press("esc", "esc", "r").Sees("B-01 v1  ACCEPT +").Press("enter").Sees("variation 1, welded today").Press("w").Sees("B-01, variation 1  Duct patch")
	require.NoError(t, l.Walker.Close())
	require.Len(t, l.Record.Attempts, 1)
	assert.Equal(t, int64(1), l.Record.Attempts[0].Seed)
	assert.InDelta(t, 1.5, l.Record.Attempts[0].Task.A.Thickness.MM(), 1e-9)
}

func TestAVariationLeftInTheMiddleIsGoneOnWith(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, varying).Press("n", "v").Type("60").Press("tab")
	require.NoError(t, l.Walker.Close())
	require.Len(t, l.Record.Typed, 1)
	again := tuitest.Sit(t, 80, 24, func(opt *tui.Options) {
		*opt = tuitest.Options(l.Record)
		varying(opt)
	})
	again.Sees("go on with B-01, variation 1").Press("enter").Sees("B-01, variation 1  Duct", "60")
}

func TestAVariationIsProposedOfAJointWeldedBefore(t *testing.T) {
	rec := &sessiontest.Recorder{}
	l := tuitest.Sit(t, 80, 24, func(opt *tui.Options) {
		*opt = tuitest.Options(rec)
		opt.Bank = opt.Bank[:1]
		varying(opt)
	})
	l.Sees("next: B-01 ").Press("n", "enter").Fill("60", "120", "argon purge").Weld()
	l.Say("it is good").Press("n", "esc").Sees("next: B-01, variation 1", "the same job with other numbers").Press("enter").Sees("B-01, variation 1  Duct")
}

func TestAJointWithoutRangesHasNoVariations(t *testing.T) {
	l := tuitest.Sit(t, 120, 40, func(opt *tui.Options) { opt.Vary = vary })
	l.Press("n").SeesNot("v vary").Press("v").Sees("choose a joint")
}

func TestAVariationToBeginWith(t *testing.T) {
	tuitest.Sit(t, 80, 24, func(opt *tui.Options) { varying(opt); opt.Start, opt.Seed = "T-01", 2 }).Sees("T-01, variation 2")
}
