package tui

import (
	"testing"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Whatever was drawn before, the terminal shows the last picture and nothing else.
func TestOnlyWhatChangedIsHandedOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := tcell.NewSimulationScreen("UTF-8")
		require.NoError(t, sim.Init())
		defer sim.Fini()
		g := &guarded{Screen: sim}
		cell := rapid.SampledFrom([]rune{' ', 'a', 'b', '█', '\ud55c', 'é'})
		style := rapid.SampledFrom([]tcell.Style{tcell.StyleDefault, tcell.StyleDefault.Bold(true), tcell.StyleDefault.Background(tcell.ColorRed)})
		for range rapid.IntRange(1, 4).Draw(t, "pictures") {
			w, h := rapid.IntRange(1, 9).Draw(t, "w"), rapid.IntRange(1, 3).Draw(t, "h")
			sim.SetSize(w, h)
			g.Clear()
			fresh := tcell.NewSimulationScreen("UTF-8")
			require.NoError(t, fresh.Init())
			fresh.SetSize(w, h)
			fresh.Clear()
			for range rapid.IntRange(0, 12).Draw(t, "cells") {
				x, y, r, st := rapid.IntRange(0, w-1).Draw(t, "x"), rapid.IntRange(0, h-1).Draw(t, "y"), cell.Draw(t, "r"), style.Draw(t, "st")
				g.SetContent(x, y, r, nil, st)
				fresh.SetContent(x, y, r, nil, st)
			}
			g.Show()
			fresh.Show()
			got, _, _ := sim.GetContents()
			want, _, _ := fresh.GetContents()
			for i := range want {
				if i%w > 0 && string(want[i-1].Runes) == "\ud55c" {
					continue // what stands under a wide character's second half is nobody's
				}
				require.Equal(t, string(want[i].Runes), string(got[i].Runes), "cell %d", i)
				require.Equal(t, want[i].Style, got[i].Style, "cell %d", i)
			}
			fresh.Fini()
		}
	})
}
