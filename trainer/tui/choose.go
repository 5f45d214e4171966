package tui

import (
	"fmt"
	"slices"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// choosePage is the list of joints with the marked one previewed.
type choosePage struct {
	basePage
	chooseModel
	todo      view.ToDo
	input     *tview.InputField
	searching bool
	rows      int
}

func newChoosePage(a *app) *choosePage {
	p := &choosePage{basePage: basePage{a}, chooseModel: chooseModel{bank: a.opt.Bank, sys: a.opt.Settings.Units, filter: view.Filter{}}, input: newInput(a.look)}
	p.input.SetChangedFunc(p.search)
	p.search("")
	return p
}

// newInput makes a field to type in, without any decoration of its own.
func newInput(l *look) *tview.InputField {
	const most = 48 // characters; no number and no search is longer
	in := tview.NewInputField().SetFieldStyle(l.style(inkField)).SetAcceptanceFunc(tview.InputFieldMaxLength(most))
	in.SetBackgroundColor(tcell.ColorDefault)
	return in
}

// feed gives a key to a field that the page shows.
func feed(in *tview.InputField, ev *tcell.EventKey) {
	in.InputHandler()(ev, func(tview.Primitive) {})
}

// focus gives the cursor to a field, or takes it away.
func focus(in *tview.InputField, on bool) {
	if on {
		in.Focus(func(tview.Primitive) {})
		return
	}
	in.Blur()
}

// refresh brings the marks of what has been welded up to date when the list comes back.
func (p *choosePage) refresh() {
	p.stopSearch()
	p.todo = p.app.todo()
}

func (p *choosePage) name() screenName { return onChoose }
func (p *choosePage) typing() bool     { return p.searching }

func (p *choosePage) title() (string, line) {
	n := fmt.Sprintf("%d joints", len(p.bank))
	if p.narrowed() {
		n = fmt.Sprintf("%d of %d joints", len(p.shown), len(p.bank))
	}
	return "puddlewise: choose a joint", line{{n, inkFaint}}
}

// status says how the marked joint stands.
func (p *choosePage) status() line {
	if sc, ok := p.marked(); ok {
		return line{{shorten(standWords(p.todo, sc.ID, p.app.opt.Now()), minWidth-2, p.app.look.glyph.dots), inkFaint}}
	}
	return nil
}

func (p *choosePage) draw(c canvas) {
	list, preview := layoutChoose(c)
	top := 0
	if only := p.only(); only != "" {
		list.line(0, 0, line{{"only ", inkFocus}, {shorten(only, list.w-5, c.look.glyph.dots), inkPlain}})
		top = 1
	}
	if p.searching || p.query != "" {
		x := list.put(0, top, "search [ ", inkFocus)
		p.input.SetRect(list.x+x, list.y+top, 30, 1)
		p.input.Draw(c.screen)
		list.put(x+30, top, " ]", inkFocus)
		top++
	}
	if top > 0 {
		top++
	}
	p.drawList(list.sub(0, top, list.w, list.h-top))
	if sc, ok := p.marked(); ok {
		p.drawPreview(preview, sc)
	}
}

// layoutChoose gives the list and the preview their places: beside each other
// where it is wide enough, else one above the other.
func layoutChoose(c canvas) (list, preview canvas) {
	const most, beside, under, little = wideScreen, 44, 15, 3
	if rest := c.w - most - 3; rest >= beside {
		return c.sub(0, 0, most, c.h), c.sub(most+3, 0, rest, c.h)
	}
	rows := little
	if c.h >= 2*under {
		rows = under
	}
	return c.sub(0, 0, c.w, c.h-rows-1), c.sub(0, c.h-rows, c.w, rows)
}

// drawPreview shows the marked joint, as much of it as there is room for.
func (p *choosePage) drawPreview(c canvas, sc scenarios.Scenario) {
	const picW, picH = 36, 12
	pic := newSectionPicture(c.look, sc.Task, p.sys)
	pic.torch = &view.PlainTorch
	text := c
	switch {
	case c.h > 2*picH:
		pic.SetRect(c.x, c.y, c.w, picH)
		pic.Draw(c.screen)
		text = c.sub(0, picH+1, c.w, c.h-picH-1)
	case c.h > picH:
		pic.SetRect(c.x, c.y, picW, c.h)
		pic.Draw(c.screen)
		text = c.sub(picW+3, 0, c.w-picW-3, c.h)
	}
	for i, l := range previewLines(sc, p.sys, min(text.w, readable), text.h) {
		text.line(0, i, l)
	}
}

func (p *choosePage) drawList(c canvas) {
	cols := chooseColumns(p.bank, p.sys, c.w)
	x := 0
	for _, col := range cols {
		c.put(x, 0, col.head, inkFaint)
		x += col.width + 1
	}
	p.rows = c.h - 1
	if len(p.shown) == 0 {
		what := "no joint has all this"
		if p.only() == "" {
			what = "no joint has all these words"
		}
		if len(p.bank) == 0 {
			what = "there is no joint to practise"
		}
		c.put(3, 1, what, inkPlain)
		return
	}
	from := p.window(p.rows)
	for i := 0; i < p.rows && from+i < len(p.shown); i++ {
		p.drawRow(c, 1+i, from+i, cols)
	}
	if from > 0 {
		c.right(0, line{{" " + c.look.glyph.up + " more", inkFaint}})
	}
	if from+p.rows < len(p.shown) {
		c.right(c.h-1, line{{" " + c.look.glyph.down + " more", inkFaint}})
	}
}

func (p *choosePage) drawRow(c canvas, y, i int, cols []chooseColumn) {
	sc := p.shown[i]
	row, in := view.JointRow(sc, p.sys), inkPlain
	if i == p.cursor {
		in = inkFocus
		c.put(0, y, ">", in)
	}
	if o, ok := p.lastOutcome(sc.ID); ok {
		_, mark := view.Outcome(o)
		c.put(1, y, mark, outcomeInk(o))
	}
	if slices.ContainsFunc(p.todo.Begun, func(b view.Begun) bool { return b.Scenario.ID == sc.ID }) {
		c.put(2, y, "~", inkWarn)
	}
	x := 0
	for _, col := range cols {
		if col.of != nil {
			c.put(x, y, shorten(col.of(row), col.width, c.look.glyph.dots), in)
		}
		x += col.width + 1
	}
}

// lastOutcome gives how the last coupon of a joint came out, of this run or from the record.
func (p *choosePage) lastOutcome(id string) (scoring.Outcome, bool) {
	var last session.Attempt
	for _, s := range p.app.sessions {
		if a, ok := s.Last(); ok && s.Scenario().ID == id && a.At.After(last.At) {
			last = a
		}
	}
	if last.ID != "" {
		return last.Verdict.Outcome, true
	}
	st, ok := p.todo.Last[id]
	return st.Last.Outcome, ok
}

func (p *choosePage) can(act action) bool {
	switch act {
	case actOpen, actUp, actDown, actPageUp, actPageDown:
		return len(p.shown) > 0
	case actFirst, actLast:
		return len(p.shown) > 0 && !p.searching
	case actSearch, actFilter, actCautions, actHelp:
		return !p.searching
	case actVary:
		sc, ok := p.marked()
		return ok && !p.searching && sc.Varies() && p.app.opt.Vary != nil
	case actClear:
		return p.searching || p.narrowed()
	case actBack:
		return !p.searching && !p.narrowed()
	case actQuit:
		return !p.searching
	}
	return true
}

func (p *choosePage) do(act action) {
	switch act {
	case actOpen:
		if sc, ok := p.marked(); ok {
			p.stopSearch()
			p.app.toBench(sc)
		}
	case actVary:
		if sc, ok := p.marked(); ok {
			p.stopSearch()
			p.app.toFresh(sc)
		}
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		p.move(steps(act, p.rows, len(p.shown)))
	case actSearch:
		p.searching = true
		p.input.SetText("")
		focus(p.input, true)
	case actFilter:
		p.app.show(newFilterPage(p.app, p))
	case actClear:
		p.stopSearch()
		p.input.SetText("")
		p.all()
	case actQuestion:
		if sc, ok := p.marked(); ok {
			p.app.toQuestions(sc.ID, p.app.toChoose)
		}
	case actCautions:
		p.app.show(newCautionsAgain(p.app, p))
	case actBack:
		p.app.toStart()
	case actQuit:
		p.app.askToQuit()
	}
}

// stopSearch leaves the field; what was found stays.
func (p *choosePage) stopSearch() {
	p.searching = false
	focus(p.input, false)
}

func (p *choosePage) key(ev *tcell.EventKey) {
	if p.searching {
		feed(p.input, ev)
	}
}

func (p *choosePage) paste(s string) {
	if p.searching {
		p.input.SetText(p.input.GetText() + text(s))
	}
}
