package tui

import (
	"fmt"

	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
)

// recordPage is the learner's record: coupons and skills.
type recordPage struct {
	basePage
	recordModel
	skillReader scroller
	wide        bool // both stand beside each other
	rows        int
}

func newRecordPage(a *app) *recordPage { return &recordPage{basePage: basePage{a}} }

// refresh reads the record again.
func (p *recordPage) refresh() {
	const most = 1000 // coupons listed; the command lists all
	var coupons []session.Brief
	if p.app.opt.Past != nil {
		var err error
		coupons, err = p.app.opt.Past.Recent(p.app.opt.Settings.Name, most)
		p.app.warn(err)
	}
	p.take(p.app.opt.Bank, p.app.todo(), coupons, p.app.opt.Now())
	var skills []learner.Skill
	now := p.now
	p.app.ask(func(e *learner.Estimate) { skills = e.Skills(now) }, func() { p.skills = skills })
}

func (p *recordPage) name() screenName { return onRecord }
func (p *recordPage) title() (string, line) {
	return "puddlewise: the record", line{{p.totals(), inkFaint}}
}

func (p *recordPage) draw(c canvas) {
	const coupons, apart = 80, 3 // cells the list takes with the joints' titles
	skills := skillsWide
	if c.w < coupons+apart+skills {
		skills = skillsNarrow
	}
	beside := p.skillLines(skills)
	p.wide = c.w >= wideScreen && len(beside) < c.h
	switch {
	case p.wide:
		c.sub(c.w-skills, 0, skills, c.h).lines(1, beside)
		c = c.sub(0, 0, c.w-skills-apart, c.h)
	case p.turned:
		p.skillReader.draw(c.sub(0, 1, c.w, c.h-1), p.skillLines(c.w-2))
		return
	}
	const about = 7 // rows for more of the marked coupon, where there are plenty
	if c.h >= 4*about {
		below := c.sub(0, c.h-about, c.w, about)
		below.rule(0)
		below.lines(2, p.aboutLines(min(c.w, readable)))
		c.h -= about
	}
	p.rows = c.h - 2
	c.lines(1, p.couponLines(c.w, p.rows, c.look.glyph.dots))
}

func (p *recordPage) can(act action) bool {
	switch act {
	case actOpen:
		return len(p.coupons) > 0 && (p.wide || !p.turned)
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		return len(p.coupons) > 0
	case actSkills:
		return !p.wide && !p.turned
	case actCoupons:
		return !p.wide && p.turned
	}
	return true
}

func (p *recordPage) do(act action) {
	if p.turned && !p.wide && p.skillReader.do(act) {
		return
	}
	switch act {
	case actOpen:
		p.open()
	case actUp, actDown, actPageUp, actPageDown, actFirst, actLast:
		p.move(steps(act, p.rows, len(p.coupons)))
	case actSkills, actCoupons:
		p.turned = !p.turned
	case actBack:
		p.app.toStart()
	}
}

// open shows the marked coupon again: its metal, or where it has none its verdict.
func (p *recordPage) open() {
	b, ok := p.marked()
	if !ok {
		return
	}
	a, err := p.app.opt.Past.Attempt(b.ID)
	if err != nil {
		p.app.warn(err)
		return
	}
	s, ok := session.Review(p.app.opt.Bank, a, p.app.open)
	switch {
	case !ok:
		p.app.warn(fmt.Errorf("the joint %s is not in the bank any more, and this coupon is too old to hold it", b.Scenario))
	case len(a.Verdict.Coupon.Stations) == 0:
		p.app.toVerdict(s)
	default:
		p.app.show(newCouponPage(p.app, s))
	}
}
