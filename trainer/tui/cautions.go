package tui

import "puddlewise/scenarios"

// cautionsPage shows the cautions that hold for every joint.
type cautionsPage struct {
	basePage
	scroller
	start  *scenarios.Scenario // where to go on at a first start
	reread bool                // opened again from the list of joints
}

func newCautionsPage(a *app, start *scenarios.Scenario) *cautionsPage {
	return &cautionsPage{basePage: basePage{a}, start: start}
}

func (p *cautionsPage) name() screenName      { return onCautions }
func (p *cautionsPage) title() (string, line) { return "Before the first arc", nil }
func (p *cautionsPage) draw(c canvas)         { p.scroller.draw(c, cautionsLines(min(c.w-2, readable))) }
func (p *cautionsPage) can(act action) bool   { return act != actBack || p.reread }

func (p *cautionsPage) do(act action) {
	switch act {
	case actOpen:
		if !p.reread && p.app.opt.Seen != nil {
			p.app.opt.Seen()
		}
		if p.start != nil {
			p.app.toBench(*p.start)
			return
		}
		p.app.toChoose()
	case actBack:
		p.app.toChoose()
	default:
		p.scroller.do(act)
	}
}

// readable is the widest a paragraph is set: longer lines are hard to follow.
const readable = 100
