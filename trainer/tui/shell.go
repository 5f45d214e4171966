package tui

import (
	"fmt"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"
)

// page is what stands between the title and the footer.
type page interface {
	name() screenName
	title() (left string, right line)
	draw(c canvas)
	status() line // one line above the footer; may be empty
	can(action) bool
	do(action)
	key(*tcell.EventKey) // a key no command took
	paste(string)
	typing() bool // characters are text now, not commands
}

// basePage does nothing: what most pages do of most things.
type basePage struct{ app *app }

func (basePage) status() line        { return nil }
func (basePage) key(*tcell.EventKey) {}
func (basePage) paste(string)        {}
func (basePage) typing() bool        { return false }

// scroller is a page of lines that can be read up and down.
type scroller struct {
	offset, height int
}

// draw shows the lines from where the reader is.
func (s *scroller) draw(c canvas, ls []line) {
	s.height = c.h
	s.offset = c.scroll(ls, s.offset)
}

// do moves the reader and says whether the action was one of reading.
func (s *scroller) do(a action) bool {
	switch a {
	case actUp:
		s.offset--
	case actDown:
		s.offset++
	case actPageUp:
		s.offset -= max(1, s.height-1)
	case actPageDown:
		s.offset += max(1, s.height-1)
	case actFirst:
		s.offset = 0
	case actLast:
		s.offset = 1 << 20
	default:
		return false
	}
	s.offset = max(0, s.offset)
	return true
}

// steps gives how far an action moves the mark in a list of all lines, of which so many rows are seen.
func steps(a action, rows, all int) int {
	switch a {
	case actUp:
		return -1
	case actDown:
		return 1
	case actPageUp:
		return -rows
	case actPageDown:
		return rows
	case actFirst:
		return -all
	}
	return all
}

// along gives how far an action moves the mark along a run of so many moments.
func along(a action, moments int) int {
	switch tenth := max(1, moments/10); a {
	case actLeft:
		return -1
	case actRight:
		return 1
	case actFarLeft:
		return -tenth
	case actFarRight:
		return tenth
	case actFirst:
		return -moments
	}
	return moments
}

// shell is the root: title, thin rule, page, status and footer.
type shell struct {
	*tview.Box
	app   *app
	page  page
	small bool // the terminal is too small to show anything

	columns, rows int // of the terminal
}

func newShell(a *app) *shell { return &shell{Box: tview.NewBox(), app: a} }

func (s *shell) show(p page) { s.page = p }

// Draw draws the whole screen.
func (s *shell) Draw(screen tcell.Screen) {
	screen.HideCursor()
	w, h := screen.Size()
	s.columns, s.rows = w, h
	c := canvas{screen, s.app.look, 0, 0, w, h}
	if s.small = w < minWidth || h < minHeight; s.small {
		c.put(0, 0, fmt.Sprintf("%dx%d is too small: %dx%d is needed. ctrl-c leaves", w, h, minWidth, minHeight), inkPlain)
		return
	}
	left, right := s.page.title()
	c.put(1, 0, shorten(left, w-3-width(right.String()), c.look.glyph.dots), inkStrong)
	c.sub(0, 0, w-1, 1).right(0, right)
	c.rule(1)
	c.sub(1, 1, w-2, 1).line(0, 0, s.app.turnLine())
	s.page.draw(c.sub(1, 2, w-2, h-4))
	if s.app.notice.text != "" {
		c.line(1, h-2, line{{shorten(s.app.notice.text, w-2, c.look.glyph.dots), s.app.notice.ink}})
	} else {
		c.sub(1, h-2, w-2, 1).line(0, 0, s.page.status())
	}
	c.line(1, h-1, s.app.keys.footer(s.page.name(), w-2, s.page.can))
}

// InputHandler sends keys to the page by way of the key table.
func (s *shell) InputHandler() func(*tcell.EventKey, func(tview.Primitive)) {
	return s.WrapInputHandler(func(ev *tcell.EventKey, _ func(tview.Primitive)) {
		if s.small {
			return
		}
		s.app.notice = span{}
		p := s.page
		act := s.app.keys.find(p.name(), ev, p.typing(), p.can)
		if act == actNone {
			p.key(ev)
		}
		s.do(act)
	})
}

func (s *shell) do(act action) {
	switch act {
	case actNone:
	case actHelp:
		s.show(newHelpPage(s.app, s.page))
	default:
		s.page.do(act)
	}
}

// MouseHandler takes the wheel for the arrow keys, and a click on a word of the footer
// for its key; at the arc the wheel for the pedal and a click for a dab. It hears nothing
// while the mouse is off.
func (s *shell) MouseHandler() func(tview.MouseAction, *tcell.EventMouse, func(tview.Primitive)) (bool, tview.Primitive) {
	return s.WrapMouseHandler(func(a tview.MouseAction, ev *tcell.EventMouse, _ func(tview.Primitive)) (bool, tview.Primitive) {
		if s.small || !s.app.opt.Settings.Mouse {
			return false, nil
		}
		act := actNone
		onArc := s.page.name() == onArc
		switch x, y := ev.Position(); {
		case a == tview.MouseLeftDown && onArc && y != s.rows-1:
			act = actDab
		case a == tview.MouseScrollUp && onArc:
			act = actHotter
		case a == tview.MouseScrollDown && onArc:
			act = actColder
		case a == tview.MouseScrollUp:
			act = s.app.keys.find(s.page.name(), tcell.NewEventKey(tcell.KeyUp, 0, tcell.ModNone), s.page.typing(), s.page.can)
		case a == tview.MouseScrollDown:
			act = s.app.keys.find(s.page.name(), tcell.NewEventKey(tcell.KeyDown, 0, tcell.ModNone), s.page.typing(), s.page.can)
		case (a == tview.MouseLeftClick || a == tview.MouseLeftDoubleClick) && y == s.rows-1:
			act = s.app.keys.clicked(s.page.name(), s.columns-2, x-1, s.page.can)
		default:
			return false, nil
		}
		s.app.notice, s.app.away = span{}, false
		if onArc && !s.page.can(act) {
			act = actNone
		}
		s.do(act)
		return true, nil
	})
}

// PasteHandler sends pasted text to the page.
func (s *shell) PasteHandler() func(string, func(tview.Primitive)) {
	return s.WrapPasteHandler(func(text string, _ func(tview.Primitive)) {
		if !s.small {
			s.page.paste(text)
		}
	})
}
