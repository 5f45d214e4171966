package tui

import (
	"context"
	"io"
	"sync"
	"testing"
	"time"

	"github.com/gdamore/tcell/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

// meter is a terminal that counts what is written to it.
type meter struct {
	w, h   int
	mu     sync.Mutex
	count  int
	closed chan struct{}
	once   sync.Once
}

func (m *meter) Start() error        { return nil }
func (m *meter) Stop() error         { return nil }
func (m *meter) Close() error        { return nil }
func (m *meter) NotifyResize(func()) {}
func (m *meter) Drain() error        { m.once.Do(func() { close(m.closed) }); return nil }
func (m *meter) Read([]byte) (int, error) {
	<-m.closed
	return 0, io.EOF
}
func (m *meter) WindowSize() (tcell.WindowSize, error) {
	return tcell.WindowSize{Width: m.w, Height: m.h}, nil
}
func (m *meter) Write(b []byte) (int, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.count += len(b)
	return len(b), nil
}

// take gives the bytes written since it was asked last.
func (m *meter) take() int {
	m.mu.Lock()
	defer m.mu.Unlock()
	n := m.count
	m.count = 0
	return n
}

// The replay of a weld goes over a slow line as well: at 80x24 a frame takes less
// than 10 KB, at 25 frames a second a quarter of a megabyte. The coupon is a
// real one, with the tints of stainless.
func TestAFrameOfTheWeldIsShort(t *testing.T) {
	if Raced {
		t.Skip("one goroutine, and a real weld")
	}
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	for _, sc := range bank {
		if sc.ID != "B-03" { // quick to weld, and many-coloured
			continue
		}
		so := sessiontest.Options(nil)
		so.Judge = scoring.Judge
		s := session.New(sc, so)
		for _, e := range s.Entries() {
			require.NoError(t, s.Set(e.Field.Key, e.Field.Get(sc.Model)))
		}
		job, err := s.Prepare()
		require.NoError(t, err)
		welded := <-job.Start()
		for _, size := range []struct {
			term       string
			w, h, most int
		}{{"xterm-256color", 80, 24, 10 << 10}, {"xterm-256color", 200, 60, 20 << 10}, {"xterm-truecolor", 80, 24, 10 << 10}} {
			ti, err := tcell.LookupTerminfo(size.term)
			require.NoError(t, err)
			tty := &meter{w: size.w, h: size.h, closed: make(chan struct{})}
			screen, err := tcell.NewTerminfoScreenFromTtyTerminfo(tty, ti)
			require.NoError(t, err)
			require.NoError(t, screen.Init())
			a := newApp(Options{Bank: bank, Now: time.Now}, screen)
			a.ctx, a.cancel = context.WithCancel(t.Context())
			a.tv.SetScreen(a.screen).SetRoot(a.shell, true)
			p := newWeldPage(a, s, job)
			a.show(p)
			p.welded(welded)
			require.True(t, p.running)
			a.tv.ForceDraw()
			tty.take() // the whole screen once
			most, all := 0, 0
			for p.replay.frame = 1; !p.replay.over(); p.replay.frame++ {
				a.tv.ForceDraw()
				n := tty.take()
				most, all = max(most, n), all+n
			}
			t.Logf("%s at %dx%d, %s: at most %d bytes a frame, %d in the mean", sc.ID, size.w, size.h, size.term, most, all/(replayFrames-1))
			assert.Positive(t, most)
			assert.Less(t, most, size.most, "%s at %dx%d", sc.ID, size.w, size.h)
			a.cancel()
			screen.Fini()
		}
	}
}
