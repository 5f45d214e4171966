package tui_test

import (
	"testing"

	"puddlewise/scenarios"
	"puddlewise/trainer/tui"
	"puddlewise/trainer/tui/tuitest"
)

// BenchmarkKey is what a key costs on each screen of the bank that ships: read, answered,
// drawn, and drawn once more for the walker, who copies the screen.
func BenchmarkKey(b *testing.B) {
	bank, err := scenarios.Bank()
	if err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		screen string
		steps  []string
		keys   []string
	}{
		{"start", nil, []string{"down", "up"}},
		{"choose", []string{"n"}, []string{"down", "up"}},
		{"joint", []string{"n", "/", "type B-01", "enter"}, []string{"down", "up"}},
		{"coupon", []string{"n", "/", "type B-01", "enter", "type 54", "enter", "type 120", "enter", "type 1.6", "enter"}, []string{"left", "right"}},
		{"verdict", []string{"n", "/", "type B-01", "enter", "type 54", "enter", "type 120", "enter", "type 1.6", "enter", "enter", "enter"}, []string{"down", "up"}},
	} {
		b.Run(c.screen, func(b *testing.B) {
			l := tuitest.Sit(b, 80, 24, func(o *tui.Options) { o.Bank = bank })
			if err := l.Walker.Walk(c.steps...); err != nil {
				b.Fatal(err)
			}
			for i := range b.N {
				l.Press(c.keys[i%2])
			}
		})
	}
}
