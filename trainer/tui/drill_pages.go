package tui

import (
	"strings"

	"github.com/gdamore/tcell/v2"

	"puddlewise/trainer/session/view"
)

var (
	drillKeys = []command{
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "begin", help: "begin, or go on where it was; the clock starts then"},
		rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast,
		{act: actCautions, keys: []stroke{char('c')}, name: "c", does: "cautions", help: "read the cautions again"},
		rowBack,
		{act: actQuit, keys: []stroke{char('q')}, name: "q", does: "quit", help: "leave; the drill is not begun"},
		rowHelp, rowQuitNow,
	}
	classKeys = []command{
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "next", help: "the marked learner's turn"},
		rowUp, rowDown, rowPageUp, rowPageDown, rowFirst, rowLast,
		{act: actCautions, keys: []stroke{char('c')}, name: "c", does: "cautions", help: "read the cautions again"},
		{act: actQuit, keys: []stroke{char('q')}, name: "q", does: "quit", help: "leave; what has been welded is kept"},
		rowHelp, rowQuitNow,
	}
	betweenKeys = []command{
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "go on", help: "on to the next joint"},
		rowHelp, rowQuitNow,
	}
	leavingKeys = []command{
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "do it", help: "do what is marked"},
		rowUp, rowDown,
		{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "stay", help: "back to the joint; the clock has gone on"},
		rowHelp, rowQuitNow,
	}
	overKeys = []command{
		{act: actOpen, keys: []stroke{named(tcell.KeyEnter), named(tcell.KeyEsc), char('q')}, name: "enter", does: "done", help: "leave; where a class takes turns, back to its list, also esc and q"},
		rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast, rowHelp, rowQuitNow,
	}
)

// drillPage is what a learner reads before a drill.
type drillPage struct {
	basePage
	scroller
	drillModel
	turn *turn
	long bool // there is more than fits
}

func (p *drillPage) name() screenName { return onDrill }
func (p *drillPage) title() (string, line) {
	return "puddlewise: a drill", line{{p.learner, inkFaint}}
}

func (p *drillPage) draw(c canvas) {
	ls := p.lines(p.turn.file, min(c.w-2, readable))
	p.long = len(ls) > c.h
	p.scroller.draw(c, ls)
}

func (p *drillPage) can(act action) bool {
	class := len(p.app.opt.Drill.Learners) > 1
	switch act {
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		return p.long
	case actBack:
		return class
	case actQuit:
		return !class
	}
	return true
}

func (p *drillPage) do(act action) {
	switch act {
	case actOpen:
		p.turn.start()
	case actCautions:
		p.app.show(newCautionsAgain(p.app, p))
	case actBack:
		p.app.toDrill()
	case actQuit:
		p.app.quit()
	default:
		p.scroller.do(act)
	}
}

// betweenPage stands between two joints: while one is drawn, or once the time of one is up.
type betweenPage struct {
	basePage
	turn  *turn
	up    string // that the time of a joint was up; empty while the next is drawn
	ticks int
}

func (p *betweenPage) name() screenName { return onBetween }
func (p *betweenPage) title() (string, line) {
	return p.turn.run.Drill().Title, line{{p.app.opt.Settings.Name, inkFaint}}
}

func (p *betweenPage) draw(c canvas) {
	if p.up == "" {
		c.line(3, c.h/2-3, drawnLine(p.ticks))
		return
	}
	c.line(0, 1, line{{p.up, inkStrong}})
	c.lines(2, paragraph("What stood there is not welded and uses no try. What was welded before is kept.", min(c.w, readable), inkPlain))
}

func (p *betweenPage) can(act action) bool { return p.up != "" }

func (p *betweenPage) do(act action) {
	if act == actOpen {
		p.turn.goOn()
	}
}

// leavingPage asks what shall be left.
type leavingPage struct {
	basePage
	under  page
	cursor int
}

func newLeavingPage(a *app) *leavingPage {
	return &leavingPage{basePage: basePage{a}, under: a.shell.page}
}

// leavings is what may be left, the least first.
var leavings = []string{
	"stay at the joint",
	"leave the joint: it takes no more coupons, the next one follows",
	"leave the drill: all is kept, and it goes on another time where it was",
}

func (p *leavingPage) name() screenName      { return onLeaving }
func (p *leavingPage) title() (string, line) { return p.under.title() }
func (p *leavingPage) can(action) bool       { return true }

func (p *leavingPage) draw(c canvas) {
	c.line(0, 1, line{{"What shall be left?", inkStrong}})
	for i, text := range leavings {
		mark, in := "  ", inkPlain
		if i == p.cursor {
			mark, in = "> ", inkFocus
		}
		c.line(0, 3+i, line{{mark, in}, {text, in}})
	}
}

func (p *leavingPage) do(act action) {
	switch {
	case act == actUp:
		p.cursor = max(0, p.cursor-1)
	case act == actDown:
		p.cursor = min(len(leavings)-1, p.cursor+1)
	case act == actBack || p.cursor == 0:
		p.app.show(p.under)
	case p.cursor == 1:
		p.app.turn.leaveJoint()
	default:
		p.app.turn.leaveDrill()
	}
}

// overPage is how a learner's drill came out.
type overPage struct {
	basePage
	scroller
	turn *turn
	long bool
}

func newOverPage(t *turn) *overPage { return &overPage{basePage: basePage{t.app}, turn: t} }

func (p *overPage) name() screenName { return onOver }
func (p *overPage) title() (string, line) {
	return p.turn.run.Drill().Title, line{{p.turn.run.Result().Learner, inkFaint}}
}

func (p *overPage) draw(c canvas) {
	ls := overLines(p.turn.run, p.turn.file, min(c.w-2, readable))
	p.long = len(ls) > c.h
	p.scroller.draw(c, ls)
}

func (p *overPage) can(act action) bool {
	return act == actOpen || act == actHelp || p.long
}

func (p *overPage) do(act action) {
	if act == actOpen {
		p.turn.done(nil)
		return
	}
	p.scroller.do(act)
}

// classPage lists a class that takes turns.
type classPage struct {
	basePage
	classModel
	drill string // its title
	rows  int
}

func newClassPage(a *app) *classPage {
	p := &classPage{basePage: basePage{a}, classModel: newClassModel(a.opt.Drill.Learners)}
	for i := range p.names {
		p.refresh(i)
	}
	p.next(0)
	return p
}

// refresh reads how a learner stands.
func (p *classPage) refresh(i int) {
	run, begun, err := p.app.opt.Drill.Look(p.app.ctx, p.names[i])
	if err != nil {
		p.stands[i] = stand{words: "cannot go on", why: strings.ReplaceAll(err.Error(), "\n", "; ")}
		return
	}
	p.drill = run.Drill().Title
	done, all := run.Done()
	over := begun && run.Over()
	p.stands[i] = stand{words: standing(begun, over, done, all), over: over, open: !over}
}

func (p *classPage) name() screenName { return onClass }
func (p *classPage) title() (string, line) {
	over := 0
	for _, s := range p.stands {
		if s.over {
			over++
		}
	}
	return p.drill + ": who is next?", line{{itoa(over) + " of " + view.Counted(len(p.names), "learner") + " over", inkFaint}}
}

func (p *classPage) draw(c canvas) {
	why := paragraph(p.stands[p.cursor].why, min(c.w, readable), inkWarn)
	p.rows = c.h - 2 - len(why)
	c.lines(1, p.lines(p.rows, c.w, c.look.glyph.dots))
	c.lines(c.h-len(why), why)
}

func (p *classPage) can(act action) bool { return act != actOpen || p.stands[p.cursor].open }

func (p *classPage) do(act action) {
	switch act {
	case actOpen:
		p.app.toTurn(p.names[p.cursor])
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		p.move(steps(act, p.rows, len(p.names)))
	case actCautions:
		p.app.show(newCautionsAgain(p.app, p))
	case actQuit:
		p.app.quit()
	}
}
