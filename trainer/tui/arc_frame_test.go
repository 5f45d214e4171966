package tui

import (
	"context"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
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
	sc := bank[0]
	ti, err := tcell.LookupTerminfo("xterm-256color")
	require.NoError(t, err)
	tty := &meter{w: 80, h: 24, closed: make(chan struct{})}
	screen, err := tcell.NewTerminfoScreenFromTtyTerminfo(tty, ti)
	require.NoError(t, err)
	require.NoError(t, screen.Init())
	defer screen.Fini()
	a := newApp(Options{Bank: bank, Now: time.Now}, screen)
	a.ctx, a.cancel = context.WithCancel(t.Context())
	defer a.cancel()
	a.tv.SetScreen(a.screen).SetRoot(a.shell, true)
	p := &arcPage{basePage: basePage{a}, arcModel: newArcModel(sc, sc.Model), s: session.New(sc, sessiontest.Options(nil))}
	a.show(p)
	p.arcModel.do(actStrike)
	a.tv.ForceDraw()
	tty.take() // the whole screen once
	most, all := 0, 0
	for n := range 250 {
		if n > 60 && n%6 == 0 {
			p.arcModel.do(actAhead)
		}
		p.tick()
		a.tv.ForceDraw()
		b := tty.take()
		most, all = max(most, b), all+b
	}
	t.Logf("at most %d bytes a frame, %d in the mean", most, all/250)
	assert.Positive(t, most)
	assert.Less(t, most, 10<<10)
}
