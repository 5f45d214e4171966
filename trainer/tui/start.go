package tui

import (
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session/view"
)

// startPage says what there is to do now.
type startPage struct {
	basePage
	startModel
}

func newStartPage(a *app) *startPage {
	return &startPage{basePage: basePage{a}, startModel: newStartModel(a.opt.Bank, a.todo(), a.opt.Settings, a.opt.Now(), a.opt.Questions != nil)}
}

// propose looks for the joint that pays most now.
func (p *startPage) propose() {
	var choice learner.Choice
	var ok bool
	now, begun := p.now, p.begun()
	p.app.ask(func(e *learner.Estimate) { choice, ok = e.Next(now, begun...) }, func() { p.take(choice, ok) })
}

func (p *startPage) name() screenName { return onStart }

func (p *startPage) title() (string, line) {
	return "puddlewise", line{{view.Counted(len(p.bank), "joint"), inkFaint}}
}

func (p *startPage) draw(c canvas) {
	const side = 56 // cells of what was welded last, beside the rest
	if c.w >= wideScreen {
		ls := p.latestLines(c.h - 1)
		if ls != nil {
			right := c.sub(c.w-side, 0, side, c.h)
			right.put(0, 1, "welded last", inkStrong)
			right.lines(2, ls)
			c = c.sub(0, 0, c.w-side-3, c.h)
		}
	}
	list := p.listLines(c.w, c.look.glyph.dots)
	c.lines(1, list)
	y := len(list) + 2
	c.rule(y)
	p.drawAbout(c.sub(0, y+2, c.w, c.h-y-2))
}

// drawAbout shows more of what is marked, with its joint drawn where it is one.
func (p *startPage) drawAbout(c canvas) {
	e := p.marked()
	if sc := p.joint(e); sc != nil {
		const picH = 20
		picW := min(c.w*2/5, 50)
		pic := newSectionPicture(c.look, sc.Task, p.app.opt.Settings.Units)
		pic.torch = &view.PlainTorch
		pic.SetRect(c.x, c.y, picW, min(c.h, picH))
		pic.Draw(c.screen)
		c = c.sub(picW+3, 0, c.w-picW-3, c.h)
	}
	c.lines(0, p.aboutLines(e, min(c.w, readable)))
}

func (p *startPage) can(act action) bool {
	switch act {
	case actUp, actDown, actFirst, actLast:
		return len(p.entries) > 1
	case actRecord:
		return p.todo.Tried > 0
	case actQuestion:
		return p.app.opt.Questions != nil
	}
	return true
}

func (p *startPage) do(act action) {
	switch act {
	case actOpen:
		p.open(p.marked())
	case actUp:
		p.move(-1)
	case actDown:
		p.move(1)
	case actFirst:
		p.move(-len(p.entries))
	case actLast:
		p.move(len(p.entries))
	case actCautions:
		p.app.show(newCautionsAgain(p.app, p))
	case actQuit:
		p.app.askToQuit()
	default:
		p.open(startEntry{act: act})
	}
}

func (p *startPage) open(e startEntry) {
	switch e.act {
	case actResume:
		p.app.toJoint(e.begun.Scenario)
	case actPropose:
		if p.choice != nil {
			sc := p.choice.Scenario
			sc.Seed = p.choice.Seed
			p.app.toJoint(sc)
		}
	case actOther:
		p.app.toChoose()
	case actQuestion:
		p.app.toQuestions("", p.app.toStart)
	case actRecord:
		p.app.toRecord()
	case actSettings:
		p.app.show(newSettingsPage(p.app))
	case actDue:
		p.app.toDue(p.todo.Due)
	}
}
