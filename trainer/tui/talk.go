package tui

import (
	"context"
	"errors"
	"runtime"

	"github.com/gdamore/tcell/v2"

	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// Talk is a drill that was run, to be talked through.
type Talk struct {
	Title string
	Talks []drill.Talk // at least one
	Names bool         // begin with names shown
	Judge session.Judge
	Map   session.Map
	Desk  question.Desk
}

// talkPage talks a drill through, joint by joint.
type talkPage struct {
	basePage
	talkModel
	reader scroller
	long   bool   // the text read does not fit
	beside bool   // the pane that goes with the one looked at stands beside it
	stop   func() // ends what is under way
}

func newTalkPage(a *app) *talkPage {
	p := &talkPage{basePage: basePage{a}, talkModel: newTalkModel(*a.opt.Talk, a.opt.Bank, a.opt.Settings.Units), stop: func() {}}
	p.work()
	return p
}

// work makes again what is looked at of the joint and is not there yet.
func (p *talkPage) work() {
	p.stop()
	t, f, from := p.talk(), p.here(), p.app.opt.Talk
	ask, weldThem := t.Quiz != nil && !f.asked, t.Worst != nil && !f.welded
	var axes session.Axes
	mapIt := false
	if len(f.pairs) > 0 {
		axes = p.axes()
		mapIt = f.windows[axes] == nil && f.mapErr[axes] == nil
	}
	around := f.around
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		if ask {
			q, r, err := t.Again(ctx, from.Desk)
			if ctx.Err() != nil {
				return
			}
			post(func() { p.ask(f, q, r, err) })
		}
		if weldThem {
			worst, best, err := weldBoth(ctx, t, from.Judge)
			if ctx.Err() != nil {
				return
			}
			post(func() {
				if f.welded, f.weldErr = true, err; err == nil {
					p.weld(f, t, worst, best)
				}
			})
		}
		if mapIt {
			w, err := session.Await(ctx, session.Background(func() (*scoring.Window, error) {
				return from.Map(t.Task, around, axes.X, axes.Y, session.Cores(ctx, runtime.GOMAXPROCS(0)))
			}))
			if ctx.Err() != nil {
				return
			}
			post(func() { f.windows[axes], f.mapErr[axes] = w, err })
		}
	})
}

// weldBoth welds the worst coupon and the best again.
func weldBoth(ctx context.Context, t drill.Talk, judge session.Judge) (worst, best session.Attempt, err error) {
	again := func(a drill.Answered) (session.Attempt, error) {
		out, err := session.Await(ctx, session.Background(func() (session.Attempt, error) { return a.Weld(judge) }))
		if err == nil && len(out.Verdict.Coupon.Stations) == 0 {
			err = errors.New("nothing is welded so any more")
		}
		return out, err
	}
	if worst, err = again(*t.Worst); err != nil || t.Best == nil {
		return worst, worst, err
	}
	best, err = again(*t.Best)
	return worst, best, err
}

func (p *talkPage) name() screenName { return onTalk }

func (p *talkPage) title() (string, line) {
	return p.jointName(p.talk()), line{{"joint " + itoa(p.at+1) + " of " + itoa(len(p.talks)), inkFaint}}
}

func (p *talkPage) status() line {
	if p.couponsSeen() {
		return line{{shorten(p.betweenWords(), p.width, p.app.look.glyph.dots), inkFaint}}
	}
	return line{{"debrief: " + p.talkModel.title, inkFaint}}
}

// couponsSeen says whether there are coupons to look along.
func (p *talkPage) couponsSeen() bool {
	return (p.sees(paneCoupons) || p.sees(paneBelow)) && p.here().welded && p.here().weldErr == nil
}

// sees says whether a pane is on the screen.
func (p *talkPage) sees(want talkPane) bool {
	is, ok := p.showing()
	return ok && (is == want || p.beside && mate[is] == want)
}

// mate is what may stand beside a pane.
var mate = map[talkPane]talkPane{paneQuestion: paneLook, paneLook: paneQuestion, paneAnswers: paneCoupons, paneCoupons: paneAnswers}

func (p *talkPage) draw(c canvas) {
	const window, apart = 80, 3 // cells of a window with the answers beside it
	c.line(0, 0, p.headLine(c.look, c.w))
	under := c.sub(0, 1, c.w, 1)
	c = c.sub(0, 2, c.w, c.h-2)
	p.long, p.beside, p.width = false, false, c.w // the panes go by it
	is, ok := p.showing()
	if !ok {
		return
	}
	left, right := c, c
	switch is {
	case paneQuestion, paneLook:
		if p.beside = c.w >= wideScreen && len(p.here().looked) > 0; p.beside {
			half := (c.w - apart) / 2
			left, right = c.sub(0, 0, half, c.h), c.sub(half+apart, 0, c.w-half-apart, c.h)
		}
	case paneAnswers, paneCoupons:
		if p.beside = c.w >= window+apart+wideScreen && len(p.here().pairs) > 0; p.beside {
			left, right = c.sub(0, 0, window, c.h), c.sub(window+apart, 0, c.w-window-apart, c.h)
		}
	}
	if p.sees(paneQuestion) {
		w := min(left.w-2, readable)
		p.read(left, p.questionLines(c.look, w))
	}
	if p.sees(paneLook) {
		p.drawLook(right)
	}
	if p.sees(paneAnswers) {
		p.drawAnswers(left)
	}
	if p.sees(paneCoupons) || p.sees(paneBelow) {
		p.drawCoupons(right)
	}
	if p.couponsSeen() {
		under.line(0, 0, line{{p.scoreWords(), inkFaint}})
	}
}

// read shows a text that may be longer than its place.
func (p *talkPage) read(c canvas, ls []line) {
	p.long = len(ls) > c.h
	p.reader.draw(c, ls)
}

// drawAnswers draws the window with the class on it and lists the answers beside it.
func (p *talkPage) drawAnswers(c canvas) {
	const apart = 3
	chart := p.chart(c.h)
	if chart == nil {
		c.line(0, 0, p.mapLine())
		p.read(c.sub(0, 2, c.w, c.h-2), p.answerLines())
		return
	}
	c.lines(0, chartLines(c.look, *chart))
	x := chart.Margin + 1 + len(chart.Rows[0].Points) + apart
	side := c.sub(x, 0, c.w-x, c.h)
	legend := legendLines(*chart, side.w)
	side.lines(0, legend)
	p.read(side.sub(0, len(legend)+1, side.w, side.h-len(legend)-1), p.answerLines())
}

// drawCoupons draws the worst coupon and the best, or the only one.
func (p *talkPage) drawCoupons(c canvas) {
	f := p.here()
	switch {
	case !f.welded:
		c.line(0, 0, plainLine("welding ..."))
	case f.weldErr != nil:
		c.lines(0, paragraph("It cannot be welded again: "+f.weldErr.Error(), c.w, inkBad))
	case f.only:
		c.line(0, 0, p.couponHead("the only coupon", f.coupons.now.try))
		part := couponPage{couponModel: f.coupons.now}
		part.draw(c.sub(0, 1, c.w, c.h-1))
		f.coupons.strips = part.strips
	default:
		draw := f.coupons.drawBoth
		if p.sees(paneBelow) {
			draw = f.coupons.drawBelow
		}
		draw(c, p.couponHead("furthest off", f.coupons.before.try), p.couponHead("the best", f.coupons.now.try))
	}
}

// drawLook draws the question's coupons, one under the other, and under all what was to be
// seen of them.
func (p *talkPage) drawLook(c canvas) {
	const face, least = 4, 6
	all := p.here().looked
	y := 0
	var seen []line
	for i, m := range all {
		part := couponPage{couponModel: m}
		head := ""
		if len(all) > 1 {
			head = "coupon " + view.CouponLetter(i)
			seen = append(seen, line{{head, inkFaint}})
		}
		seen = append(seen, signLines(m.signs(), min(c.w-2, readable), true)...)
		if y+least <= c.h {
			c.put(0, y, head, inkFaint)
			y += min(len(head), 1)
			y += part.drawSides(c.sub(0, y, c.w, c.h-y), face, len(all) == 1)
		}
	}
	rest := c.sub(0, y+1, c.w, c.h-y-1)
	if p.beside { // the text beside it is the one that is read
		rest.scroll(seen, 0)
		return
	}
	p.read(rest, seen)
}

// paneActs are the actions that turn to a pane.
var paneActs = map[action]talkPane{actQuestion: paneQuestion, actPictures: paneLook, actWindow: paneAnswers, actCoupons: paneCoupons, actSections: paneBelow}

func (p *talkPage) can(act action) bool {
	if pane, ok := paneActs[act]; ok {
		next, any := p.next()
		return any && next == pane && !p.sees(pane)
	}
	switch act {
	case actPrev, actNext, actList:
		return len(p.talks) > 1
	case actLeft, actRight, actWorst:
		return p.couponsSeen()
	case actPageUp, actPageDown:
		return p.long
	case actAxes:
		return p.sees(paneAnswers) && len(p.here().pairs) > 1
	}
	return true
}

func (p *talkPage) do(act action) {
	if _, ok := paneActs[act]; ok {
		p.turn()
		p.reader.offset = 0
		return
	}
	switch act {
	case actPrev:
		p.goTo(p.at - 1)
	case actNext:
		p.goTo(p.at + 1)
	case actList:
		p.app.show(newTalkListPage(p))
	case actNames:
		p.names = !p.names
	case actWorst:
		c := &p.here().coupons
		c.before.worst()
		c.look(c.before.at)
	case actAxes:
		f := p.here()
		f.pair = (f.pair + 1) % len(f.pairs)
		p.work()
	case actPageUp, actPageDown:
		p.reader.do(act)
	case actQuit:
		p.app.quit()
	default:
		p.here().coupons.along(act)
	}
}

// goTo goes to a joint, the first or the last where there is none.
func (p *talkPage) goTo(i int) {
	p.to(max(0, min(len(p.talks)-1, i)))
	p.reader.offset = 0
	p.work()
}

// talkListPage lists the joints of a drill, most missed first.
type talkListPage struct {
	basePage
	of     *talkPage
	order  []int
	cursor int
}

func newTalkListPage(of *talkPage) *talkListPage {
	p := &talkListPage{basePage: of.basePage, of: of, order: drill.MostMissed(of.talks)}
	for i, at := range p.order {
		if at == of.at {
			p.cursor = i
		}
	}
	return p
}

func (p *talkListPage) name() screenName { return onTalkList }
func (p *talkListPage) title() (string, line) {
	return "debrief: " + p.of.talkModel.title, line{{"most missed first", inkFaint}}
}
func (p *talkListPage) can(action) bool { return true }

func (p *talkListPage) draw(c canvas) {
	from := max(0, min(p.cursor-c.h/2, len(p.order)-c.h))
	for i := 0; i < c.h && from+i < len(p.order); i++ {
		c.line(0, i, p.of.listLine(c.look, p.order[from+i], min(c.w, wideScreen), from+i == p.cursor))
	}
	if from > 0 {
		c.right(0, line{{c.look.glyph.up, inkFaint}})
	}
	if from+c.h < len(p.order) {
		c.right(c.h-1, line{{c.look.glyph.down, inkFaint}})
	}
}

func (p *talkListPage) do(act action) {
	switch act {
	case actUp:
		p.cursor = max(0, p.cursor-1)
	case actDown:
		p.cursor = min(len(p.order)-1, p.cursor+1)
	case actFirst:
		p.cursor = 0
	case actLast:
		p.cursor = len(p.order) - 1
	case actOpen:
		p.of.goTo(p.order[p.cursor])
		p.app.show(p.of)
	case actBack:
		p.app.show(p.of)
	}
}

// talkKeys are the keys of a debrief.
var talkKeys = []command{
	{act: actPrev, keys: []stroke{named(tcell.KeyUp), char('k')}},
	{act: actNext, keys: []stroke{named(tcell.KeyDown), char('j'), named(tcell.KeyEnter)}, name: "up/down", does: "joint", help: "the joint before or after, also k and j, and enter goes on"},
	{act: actWindow, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "answers"},
	{act: actCoupons, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "two coupons"},
	{act: actSections, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "sections"},
	{act: actQuestion, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "question"},
	{act: actPictures, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "its coupon", help: "from the class's answers to the coupons furthest off and best and their sections, to the question and what it showed; wide screens show two"},
	{act: actList, keys: []stroke{char('m')}, name: "m", does: "most missed", help: "the joints, those that fewest passed first"},
	{act: actNames, keys: []stroke{char('n')}, name: "n", does: "names", help: "show whose answers and coupons are whose, or hide it again"},
	{act: actAxes, keys: []stroke{char('a')}, name: "a", does: "other settings", help: "two other settings in the window"},
	{act: actLeft, keys: []stroke{named(tcell.KeyLeft), char('h')}},
	{act: actRight, keys: []stroke{named(tcell.KeyRight), char('l')}, name: "left/right", does: "along", help: "move along both seams, also h and l"},
	{act: actWorst, keys: []stroke{char('x')}, name: "x", does: "worst place", help: "to where the coupon furthest off looks worst"},
	{act: actPageUp, keys: []stroke{named(tcell.KeyPgUp), named(tcell.KeyCtrlB)}},
	{act: actPageDown, keys: []stroke{named(tcell.KeyPgDn), named(tcell.KeyCtrlF)}, name: "pgup/pgdn", does: "read", help: "read on in what does not fit, also ctrl-b and ctrl-f"},
	{act: actQuit, keys: []stroke{char('q')}, name: "q", does: "quit", help: "leave"},
	rowHelp, rowQuitNow,
}

var talkListKeys = []command{
	{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "talk about it", help: "to the marked joint"},
	rowUp, rowDown, rowFirst, rowLast, rowBack, rowHelp, rowQuitNow,
}
