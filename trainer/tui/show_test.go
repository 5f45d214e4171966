package tui_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// before takes a class through the butt and the tee of the test bank.
func before(o *tui.Options) {
	o.Show = &tui.Show{
		Drill:  drill.Drill{Title: "Amps for the wall", Aim: "Pick a current.", Hints: true, PerJoint: 4 * time.Minute, Whole: 30 * time.Minute, Varied: drill.VariedSame, Hash: "x"},
		Joints: []scenarios.Scenario{sessiontest.Joint("B-01"), sessiontest.Joint("T-01")},
	}
	o.Past = nil
	so := sessiontest.Options(nil)
	o.NewSession = func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) }
}

func TestAClassIsTakenThroughADrill(t *testing.T) {
	now := sessiontest.Time
	l := tuitest.Sit(t, 80, 24, func(o *tui.Options) {
		before(o)
		o.Now = func() time.Time { return now }
	})
	l.Sees("B-01  Duct patch [flat]", "joint 1 of 2", "joint: left", "drill: left", "still to decide: amps, travel, back of the joint", "One answer for all, or hands")
	now = now.Add(2 * time.Minute)
	l.Press("f2").Sees("joint: STOPPED", "f2 clock on")
	now = now.Add(time.Hour)
	l.Press("f2").Sees("joint: left").SeesNot("TIME")
	l.Type("60: 4, 90").Press("enter").Sees(`"90" is no option with its hands`)
	l.Press("ctrl-u", "?").Sees("About an amp").Type("60: 4, 95: 7").Press("enter").Sees("+ 95", "> travel")
	l.Type("120").Press("enter").Type("argon purge: 9, open air: 2").Press("enter")
	l.Sees("> weld it: amps 95 A, travel 120 mm/min", "argon purge   9", "enter weld")
	now = now.Add(3 * time.Minute)
	l.Press("up").Sees("joint: TIME IS UP", "drill: left").Press("down", "enter").Sees("coupon 1", "Look along the seam").SeesNot("REJECT")
	l.Press("enter").Sees("What went wrong?", "one number or hands").Type("9: 2").Press("enter").Sees(`"9" is none of them`)
	l.Press("esc").Sees("Look along").Press("enter").Type("1: 2, 2: 9").Press("enter").Sees("  9 ", "enter verdict")
	l.Type("0").Sees("enter count").Press("backspace", "enter").Sees("REJECT x", "25:00 drill: left", "You said", "smallest change", "n next joint", "w again", "no record is kept")
	l.Press("tab").Sees("settings window", "o welded, 95 A: 7, 120 mm/min", "1 60 A: 4").Press("tab")
	l.Press("m", "t").Sees("advice").Press("esc").Sees("coupon 1").Press("enter").Sees("w again")

	l.Press("w").Sees("> amps", "+ 95").Press("ctrl-u").Type("60").Press("enter", "enter", "enter", "enter").Sees("coupon 2", "compare")
	l.Press("c").Sees("changed: amps 95 A -> 60 A").Press("esc", "enter").Type("good").Press("enter", "enter").Sees("ACCEPT +")
	l.Press("n").Sees("T-01  Rail gusset", "joint 2 of 2", "joint: left").Press("f3").Sees("B-01", "+ 60").Press("f4", "f4").Sees("That was the last joint.")
	l.Press("esc").Sees("T-01").Press("esc").Sees("Leave the drill?").Press("n").Sees("T-01")
	leave(l, "esc", "y")
	assert.Empty(t, l.Record.Attempts)
}

// A weld that cannot be made, or is out of range, leads back to the joint.
func TestAClassWeldsWhatCannotBe(t *testing.T) {
	l := tuitest.Sit(t, 80, 24, before)
	l.Type("399").Press("enter").Type("120").Press("enter").Type("open air").Press("enter", "enter").Sees("did not close", "> amps")
	l.Press("ctrl-u").Type("400").Press("enter", "enter", "enter", "enter").Sees("NOT SCORED", "w again").Press("w").Sees("> amps", "+ 400")
	require.NoError(t, l.Walker.Resize(60, 20))
	l.Sees("too small")
}

func TestScreensBeforeAClass(t *testing.T) {
	for _, size := range sizes {
		if tui.Raced && size.name != "80x24" {
			continue
		}
		t.Run(size.name, func(t *testing.T) {
			l := tuitest.Sit(t, size.w, size.h, func(o *tui.Options) {
				if size.change != nil {
					size.change(o)
				}
				before(o)
			})
			name := func(s string) string { return s + "-" + size.name }
			l.Golden(name("show"))
			l.Type("60: 4, 95: 7, 50: 2").Press("enter").Type("120: 8, 200: 5").Press("enter").Type("open air").Press("enter").Golden(name("show-hands"))
			l.Press("enter", "enter").Type("1: 2, 2: 9").Press("enter").Golden(name("show-guess"))
			l.Press("enter")
			if size.w < 110 {
				l.Press("tab")
			}
			l.Golden(name("show-window"))
		})
	}
}
