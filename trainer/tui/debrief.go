package tui

import (
	"context"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// debriefPage is the verdict on a run of the hand, to look through.
type debriefPage struct {
	basePage
	*debrief
	s   *session.Session
	try session.Attempt
}

// toDebrief shows the last coupon's run; one of the record is welded again first.
func (a *app) toDebrief(s *session.Session) {
	show := func() {
		try, _ := s.Last()
		a.show(&debriefPage{basePage{a}, &debrief{sc: s.Scenario(), run: *s.Line()}, s, try})
	}
	again, ok := s.Again()
	if !ok {
		show()
		return
	}
	from := a.shell.page
	a.notice = span{"Welding it again from what the hand did ...", inkPlain}
	a.start(func(ctx context.Context, post func(func())) {
		run, err := session.Await(ctx, again.Start())
		post(func() {
			if ctx.Err() != nil || a.shell.page != from {
				return
			}
			a.notice = span{}
			if err != nil {
				a.warn(err)
				return
			}
			s.Ran(run)
			show()
		})
	})
}

func (p *debriefPage) name() screenName { return onDebrief }

func (p *debriefPage) title() (string, line) {
	return p.sc.Name() + "  " + p.sc.Title, line{{p.app.couponName(p.s) + ", " + view.LiveWords(p.try.Live()), inkFaint}}
}

func (p *debriefPage) status() line {
	if p.s.Reviewed() {
		return line{{p.app.recordedWords(p.try), inkFaint}}
	}
	return recordLine(p.s)
}

func (p *debriefPage) draw(c canvas) {
	v := p.run.Verdict
	head, in := "ACCEPT + ", inkGood
	switch v.Outcome {
	case scoring.Reject:
		head, in = "REJECT x ", inkBad
	case scoring.OutOfRange:
		head, in = "NOT SCORED ", inkWarn
	}
	var ls []line
	for i, text := range wrap(v.Reason, min(c.w, readable)-len(head)) {
		if i == 0 {
			ls = append(ls, line{{head, in}, {text, inkPlain}})
			continue
		}
		ls = append(ls, plainLine(padTo("", len(head))+text))
	}
	for i, f := range v.Findings {
		if i > 0 && i < 4 { // the first is the reason
			ls = append(ls, plainLine(fit("  "+f.Why, c.w)))
		}
	}
	if g, ok := p.s.Said(); ok {
		ls = append(ls, paragraph(view.GuessWords(g), min(c.w, readable), inkFaint)...)
	}
	ls = append(ls, nil)
	ls = append(ls, p.rows(c.w)...)
	ls = append(ls, nil)
	c.lines(0, append(ls, p.moment(p.s.System())...))
}

func (p *debriefPage) can(act action) bool {
	switch act {
	case actWorst:
		return len(p.run.Verdict.Findings) > 0
	case actAgain:
		return p.app.inBank(p.sc.ID)
	}
	return true
}

func (p *debriefPage) do(act action) {
	tenth := max(1, len(p.run.Line)/10)
	switch act {
	case actLeft:
		p.move(-1)
	case actRight:
		p.move(1)
	case actFarLeft:
		p.move(-tenth)
	case actFarRight:
		p.move(tenth)
	case actWorst:
		p.next()
	case actAgain:
		if p.s.Reviewed() {
			p.app.weldAgain(p.s)
			return
		}
		p.app.toArc(p.s)
	case actBack:
		if len(p.try.Verdict.Coupon.Stations) == 0 {
			p.app.toBeforeCoupon(p.s)
			return
		}
		p.app.show(newCouponPage(p.app, p.s))
	}
}
