package tui_test

import (
	"strings"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// A seam is welded by taps on a clock the test moves, and looked through.
func TestWeldingLive(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time, and a real weld")
	}
	ticks := make(chan time.Time)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Settings.Theme = "mono"
		o.Ticks = func(time.Duration) (<-chan time.Time, func()) { return ticks, func() {} }
	})
	// At half speed every second tick is a step; the last one sent is none, so that it
	// does not matter whether a key overtakes it.
	wait := func(steps int) {
		for range 2 * steps {
			ticks <- time.Time{}
		}
	}
	l.Choose("T-01").Fill("60", "120", "2.5").Press("right").Press("f2").Sees("arc out", "60 A", "live arc").SeesNot("pool 0 mm wide")
	l.Press("right", "d").Press("s").Sees("practice speed 1/2").Press("enter").Sees("arc lit", "no pool yet", "arc out")
	ticks <- time.Time{}
	wait(40)
	l.Press("n").Sees("at 0 mm of", "rod drawn back").Press("up").Sees("62 A").Press("down")
	for n := range 30 {
		if n%5 == 0 {
			l.Press("d")
		}
		l.Press("right")
		wait(6)
	}
	l.Sees("at 15 mm of").Golden("arc_80x24_mono")
	l.Press("esc").Sees("face", "coupon 1, by hand, practice speed 1/2", "Look along the seam").SeesNot("REJECT")
	l.Press("enter").Sees("What went wrong?").Press("enter").Sees("REJECT x", "amps", "travel", "dabs", "by hand, practice speed 1/2", "recorded").SeesNot("NOT recorded")
	l.Press("x").Sees("here you had 0.8 s to dab", "smallest change").Press("v").Sees("yours", "changed", "travel, mean").Press("x", "right", "end", "esc").Sees("smallest change").Press("d", "home", "left", "pgdn", "w").Sees("arc out").Press("esc").Sees("amps")

	require.Len(t, l.Record.Attempts, 1)
	assert.Equal(t, 2, l.Record.Attempts[0].Live())
	l.Press("esc", "esc", "esc", "r").Sees("T-01 hand").Press("enter").Sees("face", "as it was recorded").Press("enter").Sees("by hand, practice speed 1/2", "dabs", "as it was recorded")
	l.Press("esc").Sees("face").Press("esc").Sees("T-01 hand")
}

// The arc's keys are changed on a page of their own, from the arc and from the settings,
// and kept; footer, list and dispatch follow.
func TestTheArcsKeysCanBeChanged(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time")
	}
	var kept record.Settings
	ticks := make(chan time.Time)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Ticks = func(time.Duration) (<-chan time.Time, func()) { return ticks, func() {} }
		o.Save = func(change func(*record.Settings)) error { change(&kept); return nil }
	})
	l.Choose("T-01").Fill("60", "120", "2.5").Press("right").Sees("f2 live arc").Press("f2").Sees("f2 own keys", "enter strike")
	l.Press("f2").Sees("[given] left  right\n", "> enter     strike the arc", "One hand is enough").Golden("arc-keys_80x24")
	l.Press("down", "down", "enter").Sees("The key for: dab the rod", "> ...", "any key is its key").SeesNot("esc back")
	l.Press("right").Sees("right is taken: half a millimetre ahead").Press("?").Sees("? is taken: keys").Press("f1").Sees("is taken")
	l.Press("shift-tab").Sees("> shift-tab dab the rod", "[own]")
	assert.Equal(t, "own", kept.ArcKeys)
	assert.Contains(t, kept.OwnKeys, "dab=shift-tab hotter=up")
	l.Press("enter", "esc").Sees("> shift-tab").Press("left").Sees("> k ", "[right]").Press("left", "left").Sees("[given]", " own").Press("left").Sees("[own]", "> shift-tab")
	l.Press("enter", "x").Sees("> x ").Press("esc").Sees("arc out").Press("enter").Sees("x dab", "enter arc out").Press(" ").Sees("no pool yet").Press("x").Sees("rod")
	l.Press("f2").Sees("arc lit").Press("esc", "esc", "esc", "esc").Press("s", "f2").Sees("[own]").Press("g").Sees("[given]").Press("esc").Sees("arc-keys  [given]")
	assert.Empty(t, kept.ArcKeys)
	assert.Contains(t, kept.OwnKeys, "dab=x")
}

// rung counts the bells.
type rung struct {
	tcell.SimulationScreen
	n *int
}

func (r rung) Beep() error { *r.n++; return nil }

// A good hand strikes with the learner's: where it is and when it dabs is marked and said,
// and heard where that is wanted; it is remembered.
func TestAGoodHandCanBeFollowed(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time, and two real welds")
	}
	var kept record.Settings
	bells := 0
	ticks := make(chan time.Time)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Settings.Theme = "mono"
		o.Screen = rung{tcell.NewSimulationScreen("UTF-8"), &bells}
		o.Ticks = func(time.Duration) (<-chan time.Time, func()) { return ticks, func() {} }
		o.Save = func(change func(*record.Settings)) error { change(&kept); return nil }
	})
	wait := func(steps int) *tuitest.Learner { // at half speed: see TestWeldingLive
		for range 2 * steps {
			ticks <- time.Time{}
		}
		return l
	}
	l.Choose("T-01").Fill("60", "120", "2.5").Press("right").Press("f2").SeesNot("good hand").Press("g", "s", "enter")
	ticks <- time.Time{}
	wait(10).Press("n").Sees("good hand waits for its pool")
	assert.Equal(t, "on", kept.GoodHand)
	for range 12 { // it waits four seconds at the most
		if wait(10).Press("n"); strings.Contains(l.Screen(), "mm ahead") {
			break
		}
	}
	l.Sees("good hand ", " mm ahead")
	assert.Zero(t, bells)
	l.Press("g")
	for range 15 {
		if wait(4).Press("n"); strings.Contains(l.Screen(), "dabs now") {
			break
		}
	}
	l.Sees("mm ahead, dabs now", "dab\n").Golden("arc-good-hand_80x24_mono")
	require.NoError(t, l.Walker.Resize(120, 40))
	l.Golden("arc-good-hand_120x40_mono")
	require.NoError(t, l.Walker.Resize(80, 24))
	assert.Equal(t, "bell", kept.GoodHand)
	assert.Positive(t, bells)
	for range 50 {
		l.Press("right")
	}
	l.Sees("behind", "<").Press("g").SeesNot("good hand ", "<")
	assert.Empty(t, kept.GoodHand)
}

// The mouse dabs and works the pedal where it is on; the clock stands while nobody can
// see the torch; what no key is does nothing.
func TestTheArcWaitsForItsHand(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time")
	}
	ticks := make(chan time.Time)
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		o.Settings.Mouse = true
		o.Ticks = func(time.Duration) (<-chan time.Time, func()) { return ticks, func() {} }
	})
	second := func() *tuitest.Learner {
		for range 26 { // the last may come before the next key or after it
			ticks <- time.Time{}
		}
		return l
	}
	mouse := func(buttons ...tcell.ButtonMask) {
		for _, b := range append(buttons, tcell.ButtonNone) {
			require.NoError(t, l.Walker.Mouse(20, 10, b))
		}
	}
	l.Choose("T-01").Fill("60", "120", "2.5").Press("right").Press("f2")
	mouse(tcell.Button1)
	l.SeesNot("freezes").Press("?").Sees("mouse         not needed").Press("esc", "enter")
	mouse(tcell.WheelUp)
	l.Sees("62 A")
	mouse(tcell.WheelDown, tcell.ButtonNone, tcell.WheelDown)
	l.Sees("58 A", "  0.0 s")
	mouse(tcell.Button1)
	l.Sees("rod  ")
	require.NoError(t, l.Walker.Front(false))
	second().Press().Sees("58 A")
	require.NoError(t, l.Walker.Front(false))
	l.Sees("  0.0 s", "The clock stands while another window is in front")
	require.NoError(t, l.Walker.Front(true))
	l.SeesNot("clock stands")
	second()
	require.NoError(t, l.Walker.Resize(60, 20))
	l.Sees("too small")
	second()
	require.NoError(t, l.Walker.Resize(80, 24))
	l.Press("?").Sees("Keys on this screen: the arc")
	second().Press("esc")
	assert.Regexp(t, `arc lit +58 A +1\.[01] s`, l.Screen())
	l.Press("ctrl-u", "home", "z").Sees("arc lit")
	require.NoError(t, l.Walker.Resize(120, 40))
	l.Sees("arc lit", "58 A")
}

// Things happen to whoever asks for it before the strike, where the joint's file has any.
func TestThingsHappenOnRequest(t *testing.T) {
	if tui.Raced {
		t.Skip("one goroutine at a time")
	}
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		for i := range o.Bank {
			if o.Bank[i].ID == "T-01" {
				o.Bank[i].Happens = []scenarios.Thing{{What: weld.GustComes, At: []string{"5 mm"}, Much: []string{"2 m/s"}, Lasts: 2}}
			}
		}
	})
	l.Choose("T-01").Fill("60", "120", "2.5").Press("right", "f2").Sees("f3 lets things happen").SeesNot("Things will happen")
	l.Press("f3").Sees("Things will happen").Press("f3").Sees("f3 lets things happen").Press("?", "end").Sees("let things happen meanwhile").Press("esc", "esc", "esc", "esc")
	l.Choose("B-01").Fill("60", "120").Press("right", "f2").Sees("arc out").SeesNot("f3").Press("f3").SeesNot("Things will happen")
}
