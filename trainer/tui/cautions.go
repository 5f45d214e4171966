package tui

import (
	"puddlewise/scenarios"
	"puddlewise/trainer/record"
)

// cautionsPage shows the cautions that hold for every joint.
type cautionsPage struct {
	basePage
	scroller
	start *scenarios.Scenario // where to go on at a first start
	under page                // opened again from this page; nil at a first start
}

func newCautionsPage(a *app, start *scenarios.Scenario) *cautionsPage {
	return &cautionsPage{basePage: basePage{a}, start: start}
}

// newCautionsAgain shows the cautions over another page.
func newCautionsAgain(a *app, under page) *cautionsPage {
	return &cautionsPage{basePage: basePage{a}, under: under}
}

func (p *cautionsPage) name() screenName      { return onCautions }
func (p *cautionsPage) title() (string, line) { return "Before the first arc", nil }
func (p *cautionsPage) draw(c canvas)         { p.scroller.draw(c, cautionsLines(min(c.w-2, readable))) }
func (p *cautionsPage) can(act action) bool   { return act != actBack || p.under != nil }

func (p *cautionsPage) do(act action) {
	switch act {
	case actOpen, actBack:
		if p.under != nil {
			p.app.show(p.under)
			return
		}
		p.app.set(func(s *record.Settings) { s.CautionsSeen = true })
		if p.start != nil {
			p.app.begin(*p.start)
			return
		}
		p.app.toStart()
	default:
		p.scroller.do(act)
	}
}

// readable is the widest a paragraph is set: longer lines are hard to follow.
const readable = 100
