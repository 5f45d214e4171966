package tui_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// sizes are the terminals every screen is kept for.
var sizes = []struct {
	name   string
	w, h   int
	change func(*tui.Options)
}{
	{"80x24", 80, 24, nil},
	{"120x40", 120, 40, nil},
	{"200x60", 200, 60, nil},
	{"mono", 80, 24, func(o *tui.Options) { o.Settings.Theme, o.Settings.ASCII = tui.Mono.Name, true }},
}

func TestScreens(t *testing.T) {
	for _, size := range sizes {
		if tui.Raced && size.name != "80x24" {
			continue // what is drawn does not race; who draws it does
		}
		t.Run(size.name, func(t *testing.T) {
			sit := func(extra func(*tui.Options)) *tuitest.Learner {
				return tuitest.Sit(t, size.w, size.h, func(o *tui.Options) {
					if size.change != nil {
						size.change(o)
					}
					if extra != nil {
						extra(o)
					}
				})
			}
			name := func(s string) string { return s + "-" + size.name }
			sit(func(o *tui.Options) { o.Settings.CautionsSeen = false }).Golden(name("cautions"))
			l := sit(nil).Golden(name("start-first"))
			l.Press("s").Golden(name("settings"))
			l.Press("esc", "n").Golden(name("choose"))
			l.Press("f", "right", "down", "right").Golden(name("filter"))
			l.Press("esc").Golden(name("choose-filtered"))
			l.Press("esc")
			l.Choose("T-01").Golden(name("bench-empty"))
			l.Fill("6o").Press("shift-tab").Golden(name("bench-wrong"))
			l.Press("esc", "esc", "esc").Golden(name("start"))
			l.Choose("T-01")
			l.Fill("60", "120", "3").Press("p").Golden(name("bench-ready"))
			l.Weld().Golden(name("coupon"))
			l.Press("enter").Golden(name("guess"))
			l.Press("esc").Say("not bridged in time").Golden(name("verdict"))
			l.Press("m").Golden(name("verdict-all"))
			l.Press("?").Golden(name("keys"))
			l.Press("esc", "m", "a", "tab").Golden(name("verdict-turned"))
			l.Press("tab", "w", "tab", "tab", "ctrl-u").Type("1.5").Press("enter").Golden(name("coupon-again"))
			l.Press("c").Golden(name("compare"))
			l.Press("esc").Say("it is good").Golden(name("verdict-again"))
			l.Press("tab", "a").Golden(name("verdict-again-turned"))
			l.Press("n").Golden(name("choose-after"))
			l.Choose("B-01").Fill("60", "120").Press("right").Golden(name("bench-butt"))
			l.Weld().Golden(name("coupon-butt"))
			l.Press("esc", "esc", "esc", "esc").Golden(name("start-after"))
			l.Press("r").Golden(name("record"))
			l.Press("tab").Golden(name("record-skills"))
			l.Press("tab", "down", "down", "enter").Golden(name("coupon-recorded"))
			l.Press("enter").Golden(name("verdict-recorded"))
			assert.Len(t, l.Record.Attempts, 3)
			sit(func(o *tui.Options) { o.Start = "C-01" }).Golden(name("bench-all-fields"))
			sit(nil).Choose("T-01").Fill("95", "500", "3").Press("p").Weld().Say("wider than the wall carries").Golden(name("verdict-three"))
		})
	}
}

// A tube and a branch show which way the run goes around them.
func TestScreensAround(t *testing.T) {
	for _, size := range sizes {
		if size.name == "200x60" || tui.Raced && size.name != "80x24" {
			continue
		}
		t.Run(size.name, func(t *testing.T) {
			at := func(joint string) *tuitest.Learner {
				return tuitest.Sit(t, size.w, size.h, func(o *tui.Options) {
					if size.change != nil {
						size.change(o)
					}
					o.Bank, o.Start = sessiontest.Around(), joint
				})
			}
			l := at("P-01").Golden("bench-tube-" + size.name)
			l.Fill("80", "120").Press("right").Weld().Golden("coupon-tube-" + size.name)
			l.Say("burnt through").Golden("verdict-tube-" + size.name)
			at("S-01").Golden("bench-branch-"+size.name).Fill("60", "120").Press("right").Weld().Golden("coupon-branch-" + size.name)
			at("E-01").Golden("bench-edge-"+size.name).Fill("60", "120").Press("right").Weld().Golden("coupon-edge-" + size.name)
		})
	}
}
