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
	long bool   // there is more than fits
	wide bool   // the rest stands beside the findings
	stop func() // ends the search
}

func newVerdictPage(a *app, s *session.Session) *verdictPage {
	p := &verdictPage{basePage: basePage{a}, verdictModel: newVerdictModel(s), stop: func() {}}
	if q, ok := s.Search(); ok {
		p.looking = true
		p.stop = a.start(func(ctx context.Context, post func(func())) { p.search(ctx, q, post) })
	}
	return p
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

func (p *verdictPage) status() line { return p.record() }

func (p *verdictPage) draw(c canvas) {
	const side = 46 // cells of the column beside the findings
	if p.wide = c.w >= wideScreen; !p.wide {
		w := c.w - 2 // for the mark that there is more
		ls := p.scoreLines(c.look, w)
		ls = append(append(ls, nil), p.rescueLines(w)...)
		ls = append(append(ls, p.findingLines(w)...), p.besideLines(w)...)
		p.long = len(ls) > c.h
		p.scroller.draw(c, ls)
		return
	}
	w := min(c.w-side-3, readable)
	ls := append(p.scoreLines(c.look, w), nil)
	ls = append(append(ls, p.rescueLines(w)...), p.findingLines(w)...)
	p.long = len(ls) > c.h
	p.scroller.draw(c.sub(0, 0, w, c.h), ls)
	beside := c.sub(w+3, 0, c.w-w-3, c.h)
	y := 0
	if len(p.try.Verdict.Coupon.Stations) > 0 {
		y = p.drawCoupon(beside)
	}
	for i, l := range append(p.besideLines(min(beside.w, readable)), p.answerLines()...) {
		beside.line(0, y+i, l)
	}
}

// drawCoupon draws the face and the section where it is worst, and gives the row under them.
func (p *verdictPage) drawCoupon(c canvas) int {
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
	pic := newSectionPicture(c.look, task)
	pic.at, pic.coupon, pic.close = at, &st, true
	pic.SetRect(c.x, c.y+face+2, min(c.w, 36), section)
	pic.Draw(c.screen)
	return face + section + 3
}

func (p *verdictPage) can(act action) bool {
	switch act {
	case actAgain:
		return p.app.inBank(p.s.Scenario().ID)
	case actAll:
		return p.more() > 0
	case actSources:
		return len(p.try.Verdict.Findings) > 0
	case actAdvice:
		return p.advice == nil
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		return p.long
	}
	return true
}

func (p *verdictPage) do(act action) {
	switch act {
	case actAgain:
		p.stop()
		p.app.weldAgain(p.s)
	case actOther:
		p.stop()
		p.app.toChoose()
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
		p.stop()
		if len(p.try.Verdict.Coupon.Stations) == 0 {
			p.app.toBeforeCoupon(p.s)
			return
		}
		p.app.show(newCouponPage(p.app, p.s))
	default:
		p.scroller.do(act)
	}
}
