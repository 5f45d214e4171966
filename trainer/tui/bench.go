package tui

import (
	"errors"
	"strconv"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// benchPage is the joint sheet with its picture, and the answer form under it.
type benchPage struct {
	basePage
	*benchModel
	reader  scroller
	picture *sectionPicture
	inputs  []*tview.InputField // by field; nil for fields of choices
	more    bool                // the sheet does not fit
	width   int
}

func newBenchPage(a *app, s *session.Session) *benchPage {
	p := &benchPage{basePage: basePage{a}, benchModel: newBenchModel(s), picture: newSectionPicture(a.look, s.Scenario().Task, s.System())}
	for i, e := range s.Entries() {
		var in *tview.InputField
		if e.Field.Choices == nil {
			in = newInput(a.look).SetText(e.Text)
			in.SetChangedFunc(func(text string) { p.set(i, text) })
		}
		p.inputs = append(p.inputs, in)
	}
	p.hand = a.turn.live()
	if _, welded := s.Last(); !welded && !p.ready() {
		p.begin()
	}
	return p
}

// begin puts the focus on the first field without a value.
func (p *benchPage) begin() {
	for i, e := range p.s.Entries() {
		if !e.Ready() {
			p.focus = i
			return
		}
	}
}

func (p *benchPage) name() screenName { return onBench }
func (p *benchPage) typing() bool     { return true }

func (p *benchPage) title() (string, line) {
	sc := p.s.Scenario()
	return sc.Name() + "  " + sc.Title, line{{string(sc.Task.Joint) + ", " + view.Position(sc.Task) + ", level " + strconv.Itoa(sc.Level), inkFaint}}
}

func (p *benchPage) status() line { return p.benchModel.status(p.width, p.app.look.glyph.dots) }

func (p *benchPage) draw(c canvas) {
	const messageRows = 2
	p.width = c.w
	es := p.s.Entries()
	l := layoutForm(es, p.s.System(), c.w)
	rows := min(l.rows, max(2, c.h-messageRows-12))
	sheet := c.h - rows - messageRows - 1
	p.drawSheet(c.sub(0, 0, c.w, sheet))
	c.rule(sheet)
	p.drawForm(c.sub(0, sheet+1, c.w, rows), l, es)
	for i, m := range p.message(c.w) {
		if i < messageRows {
			c.line(0, c.h-messageRows+i, m)
		}
	}
}

func (p *benchPage) drawSheet(c canvas) {
	pic := min(c.w*2/5, 64, c.h*3)
	torch := view.TorchOf(p.s.Answer(), p.decided)
	p.picture.torch = &torch
	p.picture.SetRect(c.x, c.y, pic, c.h)
	p.picture.Draw(c.screen)

	text := c.sub(pic+3, 0, c.w-pic-3, c.h)
	sh := view.JointSheet(p.s.Scenario(), p.s.System())
	if text.w >= wideScreen {
		// Wide enough for what is given to stand beside the facts.
		half := text.w/2 - 2
		text.sub(half+4, 0, half, text.h).scroll(givenLines(sh, half), 0)
		text = text.sub(0, 0, half, text.h)
		ls := tighten(sheetLines(sh, half), c.h)
		p.more = len(ls) > c.h
		p.reader.draw(text, ls)
		return
	}
	w := min(text.w, readable)
	ls := sheetLines(sh, w)
	if given := givenLines(sh, w); given != nil {
		ls = append(append(ls, nil), given...)
	}
	ls = tighten(ls, c.h)
	p.more = len(ls) > c.h
	p.reader.draw(text, ls)
}

// decided says whether a field's value may be shown in the picture: it is given
// on the sheet, or the learner has set it.
func (p *benchPage) decided(key string) bool {
	for _, e := range p.s.Entries() {
		if e.Field.Key == key {
			return e.Ready()
		}
	}
	return true
}

func (p *benchPage) drawForm(c canvas, l formLayout, es []session.Entry) {
	// Columns are filled one after another; the rows shown follow the focus.
	top := max(0, min(p.focus%max(1, l.rows)-c.h/2, l.rows-c.h))
	for i, e := range es {
		if y := i%l.rows - top; y >= 0 && y < c.h {
			p.drawField(c, i/l.rows*l.column(), y, i, e, l)
		}
	}
	g := c.look.glyph
	if top > 0 {
		c.right(0, line{{g.up, inkFaint}})
	}
	if top+c.h < l.rows {
		c.right(c.h-1, line{{g.down, inkFaint}})
	}
}

func (p *benchPage) drawField(c canvas, x, y, i int, e session.Entry, l formLayout) {
	in, here := inkPlain, i == p.focus
	if here {
		in = inkFocus
		c.put(x, y, ">", in)
	}
	x = c.put(x+2, y, padTo(e.Field.Label, l.label+1), in)
	x = c.put(x, y, "[ ", in)
	if input := p.inputs[i]; input != nil {
		focus(input, here)
		input.SetRect(c.x+x, c.y+y, l.box, 1)
		input.Draw(c.screen)
	} else {
		c.put(x, y, e.Text, inkField)
		if here {
			c.screen.ShowCursor(c.x+x, c.y+y)
		}
	}
	x = c.put(x+l.box, y, " ]", in)
	x = c.put(x+1, y, padTo(e.Field.Unit(p.s.System()), l.unit), inkFaint)
	mark, markInk := p.mark(e)
	c.put(x+1, y, mark, markInk)
}

func (p *benchPage) can(act action) bool {
	switch act {
	case actWeld:
		return p.weldable()
	case actLive:
		return len(p.s.MissingLive()) == 0 && (p.app.turn == nil || p.app.turn.live())
	case actHint:
		return p.s.Helps()
	case actLeave:
		return p.app.turn != nil
	case actBack:
		return p.app.turn == nil
	case actOpen:
		return !p.weldable()
	case actLeft, actRight:
		return p.choices() != nil
	case actPrev, actNext:
		return len(p.s.Entries()) > 1
	case actPageUp, actPageDown:
		return p.more
	}
	return true
}

// weldable says whether enter welds: where a drill has the joint welded by hand, it takes
// the torch up.
func (p *benchPage) weldable() bool {
	if p.app.turn.live() {
		return len(p.s.MissingLive()) == 0
	}
	return p.ready()
}

func (p *benchPage) do(act action) {
	if act == actWeld && p.app.turn.live() {
		act = actLive
	}
	switch act {
	case actWeld:
		p.app.warn(p.s.Keep())
		job, err := p.s.Prepare()
		if err != nil {
			p.app.warn(err)
			return
		}
		if t := p.app.turn; t == nil || t.begin(p.s.Begun(job)) {
			p.app.show(newWeldPage(p.app, p.s, job))
		}
	case actLeave:
		p.app.show(newLeavingPage(p.app))
	case actLive:
		p.app.warn(p.s.Keep())
		p.app.toArc(p.s)
	case actOpen:
		p.next()
		p.app.warn(p.s.Keep())
	case actPrev:
		p.move(-1)
		p.app.warn(p.s.Keep())
	case actNext:
		p.move(1)
		p.app.warn(p.s.Keep())
	case actLeft:
		p.step(-1)
	case actRight:
		p.step(1)
	case actHint:
		p.ask()
	case actPageUp, actPageDown:
		p.reader.do(act)
	case actBack:
		p.app.warn(errors.Join(p.s.Close(), p.s.Keep()))
		p.app.leave()
	}
}

func (p *benchPage) key(ev *tcell.EventKey) {
	if p.focus >= len(p.inputs) {
		return
	}
	if in := p.inputs[p.focus]; in != nil {
		feed(in, ev)
		return
	}
	switch ev.Key() {
	case tcell.KeyRune:
		if ev.Rune() == ' ' && p.typed == "" {
			p.step(1)
			return
		}
		p.letter(ev.Rune())
	case tcell.KeyBackspace, tcell.KeyBackspace2, tcell.KeyDelete:
		p.clear()
	}
}

func (p *benchPage) paste(s string) {
	if p.focus < len(p.inputs) && p.inputs[p.focus] != nil {
		p.inputs[p.focus].PasteHandler()(text(s), func(tview.Primitive) {})
	}
}
