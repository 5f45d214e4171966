package tui

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// A frame of the live arc goes over a slow line as well.
func TestAFrameOfTheArcIsShort(t *testing.T) {
	if Raced {
		t.Skip("one goroutine, and a real weld")
	}
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	p, tty := arcOnAMeter(t, bank[0], 80, 24)
	p.arcModel.do(actStrike)
	p.app.tv.ForceDraw()
	tty.take() // the whole screen once
	most, all := 0, 0
	for n := range 250 {
		if n > 60 && n%6 == 0 {
			p.arcModel.do(actAhead)
		}
		p.tick()
		p.app.tv.ForceDraw()
		b := tty.take()
		most, all = max(most, b), all+b
	}
	t.Logf("at most %d bytes a frame, %d in the mean", most, all/250)
	assert.Positive(t, most)
	assert.Less(t, most, 10<<10)
}

// arcOnAMeter is the arc's page on a terminal that counts what is written to it.
func arcOnAMeter(t testing.TB, sc scenarios.Scenario, w, h int) (*arcPage, *meter) {
	t.Helper()
	ti, err := tcell.LookupTerminfo("xterm-256color")
	require.NoError(t, err)
	tty := &meter{w: w, h: h, closed: make(chan struct{})}
	screen, err := tcell.NewTerminfoScreenFromTtyTerminfo(tty, ti)
	require.NoError(t, err)
	require.NoError(t, screen.Init())
	t.Cleanup(screen.Fini)
	a := newApp(Options{Now: time.Now}, screen)
	a.ctx, a.cancel = context.WithCancel(t.Context())
	t.Cleanup(a.cancel)
	a.tv.SetScreen(a.screen).SetRoot(a.shell, true)
	p := &arcPage{basePage: basePage{a}, arcModel: newArcModel(sc, sc.Model), s: session.New(sc, sessiontest.Options(nil))}
	a.show(p)
	return p, tty
}

// benchArc sets a hand to the torch whose pool is there.
func benchArc(b *testing.B, id string, w, h int) *arcPage {
	bank, err := scenarios.Bank()
	require.NoError(b, err)
	for _, sc := range bank {
		if sc.ID == id {
			p, _ := arcOnAMeter(b, sc, w, h)
			p.arcModel.do(actStrike)
			for range 75 {
				p.tick()
			}
			return p
		}
	}
	b.Fatal(id)
	return nil
}

// BenchmarkArcScreen is a second of welding on the whole screen: 25 steps of the model,
// each drawn, and four taps.
func BenchmarkArcScreen(b *testing.B) {
	for _, c := range []struct {
		name, id string
		w, h     int
	}{{"butt", "B-01", 80, 24}, {"butt", "B-01", 120, 40}, {"tee", "T-01", 80, 24}, {"tee", "T-01", 120, 40}} {
		b.Run(fmt.Sprintf("%s/%dx%d", c.name, c.w, c.h), func(b *testing.B) {
			p := benchArc(b, c.id, c.w, c.h)
			for b.Loop() {
				if p.torch.Pool().At > 0.04 {
					b.StopTimer()
					p = benchArc(b, c.id, c.w, c.h)
					b.StartTimer()
				}
				for n := range 25 {
					if n%6 == 0 {
						p.arcModel.do(actAhead)
					}
					p.tick()
					p.app.tv.ForceDraw()
				}
			}
		})
	}
}

// BenchmarkArcTap is what passes from a tap to its picture, written to the terminal, when
// a step of the model and its picture have just begun: the longest it can be.
func BenchmarkArcTap(b *testing.B) {
	for _, id := range []string{"B-01", "T-01"} {
		b.Run(id, func(b *testing.B) {
			p := benchArc(b, id, 80, 24)
			dab := tcell.NewEventKey(tcell.KeyRune, ' ', tcell.ModNone)
			for b.Loop() {
				p.tick()
				p.app.tv.ForceDraw()
				p.app.shell.InputHandler()(dab, func(tview.Primitive) {})
				p.app.tv.ForceDraw()
			}
		})
	}
}
