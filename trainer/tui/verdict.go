package tui

import (
	"context"

	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// verdictPage is what the inspector says and why.
type verdictPage struct {
	basePage
	scroller
	verdictModel
	window *windowPane
	mapped bool   // the window is looked at instead of the findings
	coupon bool   // or, on a wide screen, the coupon instead of the window
	long   bool   // there is more than fits
	wide   bool   // the window or the coupon stands beside the findings
	both   bool   // there is room for both
	stop   func() // ends the search
}

func newVerdictPage(a *app, s *session.Session) *verdictPage {
	p := &verdictPage{basePage: basePage{a}, verdictModel: newVerdictModel(s), stop: func() {}}
	if a.turn != nil {
		p.number, p.counts = a.couponNumber(s), a.turn.run.Drill().Counts(p.try)
	}
	if q, ok := s.Search(); ok {
		p.looking = true
		p.stop = a.start(func(ctx context.Context, post func(func())) { p.search(ctx, q, post) })
	}
	if j, ok := s.Today(); ok {
		p.old = true
		p.stop = a.start(func(ctx context.Context, post func(func())) { p.weldToday(ctx, j, post) })
	}
	p.window = newWindowPane(a, s)
	return p
}

// weldToday welds a coupon of another model's time with today's; it is called on the
// background goroutine.
func (p *verdictPage) weldToday(ctx context.Context, j session.Job, post func(func())) {
	v, err := session.Await(ctx, j.Start())
	if ctx.Err() == nil {
		post(func() { p.today = view.TodayWords(v, err, p.s.System()) })
	}
}

// search looks for the smallest change; it is called on the background goroutine.
func (p *verdictPage) search(ctx context.Context, q session.Search, post func(func())) {
	select {
	case <-ctx.Done():
	case r := <-q.Start(ctx):
		if r.Panic != nil {
			panic(r.Panic)
		}
		if r.Err == nil {
			post(func() { p.s.Found(q, r.Value) })
		}
	}
}

func (p *verdictPage) name() screenName { return onVerdict }

func (p *verdictPage) title() (string, line) {
	word, mark := view.Outcome(p.try.Verdict.Outcome)
	return p.s.Scenario().Title, line{{p.app.couponName(p.s) + "   ", inkFaint}, {word + " " + mark, outcomeInk(p.try.Verdict.Outcome)}}
}

func (p *verdictPage) status() line { return recordLine(p.s) }

// showsWindow says whether the settings window is on the screen.
func (p *verdictPage) showsWindow() bool {
	if p.wide {
		return p.window.any() && (p.both || !p.coupon)
	}
	return p.window.any() && p.mapped
}

func (p *verdictPage) draw(c canvas) {
	const (
		side     = 46 // cells of the column beside the findings, enough for a window
		pictures = 54 // lines from which coupon and window both fit there
	)
	p.wide = c.w >= wideScreen
	p.both = p.wide && c.h >= pictures && p.window.any()
	if !p.wide && p.showsWindow() {
		p.long = false
		p.window.draw(c)
		return
	}
	w := c.w - 2 // for the mark that there is more
	if p.wide {
		w = min(c.w-side-3, readable)
	}
	ls := append(p.scoreLines(c.look, w), nil)
	ls = append(append(ls, p.rescueLines(w)...), p.findingLines(w)...)
	rest := append(p.besideLines(w), p.answerLines()...)
	beside := c.sub(w+3, 0, c.w-w-3, c.h)
	switch {
	case !p.wide:
		ls = append(ls, p.besideLines(w)...)
	case p.showsWindow():
		ls = append(ls, rest...)
		if p.both {
			beside = beside.sub(0, p.drawCoupon(beside), beside.w, beside.h)
		}
		p.window.draw(beside)
	default:
		beside.lines(p.drawCoupon(beside), rest)
	}
	p.long = len(ls) > c.h
	p.scroller.draw(c.sub(0, 0, w, c.h), ls)
}

// drawCoupon draws the face and the section where it is worst, and gives the row under
// them; nothing where nothing was welded.
func (p *verdictPage) drawCoupon(c canvas) int {
	if len(p.try.Verdict.Coupon.Stations) == 0 {
		return 0
	}
	task := p.s.Scenario().Task
	at := view.WorstPlace(p.try.Verdict, task.Seam)
	const face, section = 4, 10
	strip := newSeamPicture(c.look, p.try.Verdict.Coupon, task.Seam)
	strip.SetRect(c.x, c.y, c.w, face)
	strip.Draw(c.screen)
	m := couponModel{task: task, at: at}
	c.cell(m.column(c.w), face, c.look.glyph.cursor, c.look.style(inkFocus))
	place := "section at " + view.Along(at, p.s.System())
	c.put(max(0, min(m.column(c.w)+2, c.w-width(place))), face, place, inkFaint)
	st, _ := view.StationAt(p.try.Verdict.Coupon, at)
	st.Hole = view.HoleAt(p.try.Verdict.Coupon, at)
	pic := newSectionPicture(c.look, task, p.s.System())
	pic.at, pic.coupon, pic.close = at, &st, true
	pic.SetRect(c.x, c.y+face+2, min(c.w, 36), section)
	pic.Draw(c.screen)
	return face + section + 3
}

func (p *verdictPage) can(act action) bool {
	hidden := !p.wide && p.showsWindow() // the findings are
	switch act {
	case actAgain:
		return p.app.canWeld(p.s.Scenario().ID)
	case actWindow:
		return p.window.any() && !p.showsWindow()
	case actFindings:
		return hidden
	case actPictures:
		return p.wide && p.showsWindow() && !p.both && len(p.try.Verdict.Coupon.Stations) > 0
	case actAxes:
		return p.showsWindow() && len(p.window.pairs) > 1
	case actAll:
		return p.more() > 0 && !hidden
	case actSources:
		return len(p.try.Verdict.Findings) > 0 && !hidden
	case actAdvice:
		return p.advice == nil && !hidden && p.s.Helps()
	case actOther:
		return p.app.turn == nil
	case actGoOn:
		return p.app.turn != nil && !p.can(actAgain)
	case actBack:
		return !hidden && (p.app.turn == nil || len(p.try.Verdict.Coupon.Stations) > 0)
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		return p.long
	}
	return true
}

// leave ends what is under way for this page.
func (p *verdictPage) leave() {
	p.stop()
	p.window.stop()
}

func (p *verdictPage) do(act action) {
	switch act {
	case actAgain:
		p.leave()
		p.app.weldAgain(p.s)
	case actOther:
		p.leave()
		p.app.toChoose()
	case actGoOn:
		p.leave()
		p.app.turn.goOn()
	case actWindow, actFindings, actPictures:
		if p.wide {
			p.coupon = !p.coupon
		} else {
			p.mapped = !p.mapped
		}
	case actAxes:
		p.window.turn()
	case actAll:
		p.all = !p.all
	case actSources:
		p.sources = !p.sources
	case actAdvice:
		p.takeAdvice()
		if !p.wide {
			p.scroller.do(actLast) // where it stands
		}
	case actBack:
		p.leave()
		if len(p.try.Verdict.Coupon.Stations) == 0 {
			p.app.toBeforeCoupon(p.s)
			return
		}
		p.app.show(newCouponPage(p.app, p.s))
	default:
		p.scroller.do(act)
	}
}
