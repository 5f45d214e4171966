package tui

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/gdamore/tcell/v2"
)

// Walker runs the trainer on a screen in memory, key by key. After every step
// it waits until the trainer has nothing left to do; it never sleeps.
type Walker struct {
	sim    tcell.SimulationScreen
	idle   chan Snapshot
	ended  chan struct{}
	err    error
	seen   Snapshot
	cancel context.CancelFunc
}

// ErrEnded says that the trainer has ended, so that no key can reach it.
var ErrEnded = errors.New("the trainer has ended")

// NewWalker starts the trainer on a screen of w by h cells. opt.Screen, when it
// is set, must be a simulation screen; it is initialised here.
func NewWalker(ctx context.Context, opt Options, w, h int) (*Walker, error) {
	sim, ok := opt.Screen.(tcell.SimulationScreen)
	if !ok {
		sim = tcell.NewSimulationScreen("UTF-8")
	}
	if err := sim.Init(); err != nil {
		return nil, err
	}
	sim.SetSize(w, h)
	wk := &Walker{sim: sim, idle: make(chan Snapshot, 1), ended: make(chan struct{})}
	opt.Screen = sim
	opt.Idle = func(s tcell.Screen) { wk.idle <- snapshot(s) }
	ctx, wk.cancel = context.WithCancel(ctx)
	go func() {
		defer close(wk.ended)
		wk.err = Run(ctx, opt)
	}()
	return wk, wk.settle()
}

// settle waits until all keys so far have been answered and drawn. A key that ends
// the trainer gives ErrEnded, always: a trainer that is leaving is not idle any more.
func (wk *Walker) settle() error {
	wk.sim.InjectKey(idleKey, 0, tcell.ModNone)
	select {
	case wk.seen = <-wk.idle:
		return nil
	case <-wk.ended:
		return ErrEnded
	}
}

// keyNames are the keys a step can name.
var keyNames = map[string]tcell.Key{
	"enter": tcell.KeyEnter, "esc": tcell.KeyEsc, "tab": tcell.KeyTab, "shift-tab": tcell.KeyBacktab,
	"up": tcell.KeyUp, "down": tcell.KeyDown, "left": tcell.KeyLeft, "right": tcell.KeyRight,
	"pgup": tcell.KeyPgUp, "pgdn": tcell.KeyPgDn, "home": tcell.KeyHome, "end": tcell.KeyEnd,
	"backspace": tcell.KeyBackspace2, "delete": tcell.KeyDelete, "ctrl-c": tcell.KeyCtrlC, "ctrl-u": tcell.KeyCtrlU, "f1": tcell.KeyF1, "f2": tcell.KeyF2, "f3": tcell.KeyF3, "f4": tcell.KeyF4,
}

// Press presses keys: names such as enter or pgdn, or single characters.
func (wk *Walker) Press(keys ...string) error {
	for _, k := range keys {
		if key, ok := keyNames[k]; ok {
			wk.sim.InjectKey(key, 0, tcell.ModNone)
		} else if r := []rune(k); len(r) == 1 {
			wk.sim.InjectKey(tcell.KeyRune, r[0], tcell.ModNone)
		} else {
			return fmt.Errorf("no key is called %q", k)
		}
		if err := wk.settle(); err != nil {
			return err
		}
	}
	return nil
}

// Type types a text.
func (wk *Walker) Type(s string) error {
	for _, r := range s {
		wk.sim.InjectKey(tcell.KeyRune, r, tcell.ModNone)
	}
	return wk.settle()
}

// Paste pastes a text, as a terminal does that brackets it.
func (wk *Walker) Paste(s string) error {
	if err := wk.sim.PostEvent(tcell.NewEventPaste(true)); err != nil {
		return err
	}
	for _, r := range s {
		wk.sim.InjectKey(tcell.KeyRune, r, tcell.ModNone)
	}
	if err := wk.sim.PostEvent(tcell.NewEventPaste(false)); err != nil {
		return err
	}
	return wk.settle()
}

// Front says that the terminal's window is in front, or no longer.
func (wk *Walker) Front(is bool) error {
	if err := wk.sim.PostEvent(tcell.NewEventFocus(is)); err != nil {
		return err
	}
	return wk.settle()
}

// Send presses a key and does not wait for what comes of it.
func (wk *Walker) Send(key tcell.Key, r rune) { wk.sim.InjectKey(key, r, tcell.ModNone) }

// Mouse sends what a mouse does at a cell.
func (wk *Walker) Mouse(x, y int, buttons tcell.ButtonMask) error {
	wk.sim.InjectMouse(x, y, buttons, tcell.ModNone)
	return wk.settle()
}

// Walk takes steps: "type 60" types a text, anything else is a key for Press.
func (wk *Walker) Walk(steps ...string) error {
	for _, s := range steps {
		err := error(nil)
		if typed, ok := strings.CutPrefix(s, "type "); ok {
			err = wk.Type(typed)
		} else {
			err = wk.Press(s)
		}
		if err != nil {
			return fmt.Errorf("step %q: %w", s, err)
		}
	}
	return nil
}

// Resize gives the terminal another size.
func (wk *Walker) Resize(w, h int) error {
	wk.sim.SetSize(w, h)
	if err := wk.sim.PostEvent(tcell.NewEventResize(w, h)); err != nil {
		return err
	}
	return wk.settle()
}

// Seen gives the screen as it was after the last step.
func (wk *Walker) Seen() Snapshot { return wk.seen }

// Ended waits for the trainer to end and gives what Run returned.
func (wk *Walker) Ended() error {
	<-wk.ended
	return wk.err
}

// Close ends the trainer and gives what Run returned.
func (wk *Walker) Close() error {
	wk.cancel()
	return wk.Ended()
}

// Snapshot is a copy of the cells of a screen.
type Snapshot struct {
	Width, Height int
	Cells         []Cell // row by row
}

// Cell is one character of a snapshot. A wide character is followed by an empty cell.
type Cell struct {
	Text  string
	Style tcell.Style
}

func snapshot(screen tcell.Screen) Snapshot {
	w, h := screen.Size()
	s := Snapshot{w, h, make([]Cell, 0, w*h)}
	for y := range h {
		for x := 0; x < w; x++ {
			text, st, cells := screen.Get(x, y)
			s.Cells = append(s.Cells, Cell{text, st})
			if cells == 2 && x+1 < w {
				x++
				s.Cells = append(s.Cells, Cell{"", st})
			}
		}
	}
	return s
}

// String gives the text of the screen, without the blanks at the ends of lines.
func (s Snapshot) String() string {
	var b strings.Builder
	for y := range s.Height {
		var row strings.Builder
		for x := range s.Width {
			row.WriteString(s.Cells[y*s.Width+x].Text)
		}
		b.WriteString(strings.TrimRight(row.String(), " ") + "\n")
	}
	return b.String()
}
