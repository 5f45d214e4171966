package tui

import (
	"fmt"
)

// filterPage sets what the list of joints shows, with what is left under it.
type filterPage struct {
	basePage
	filterModel
	choose *choosePage
}

func newFilterPage(a *app, choose *choosePage) *filterPage {
	return &filterPage{basePage{a}, newFilterModel(&choose.chooseModel), choose}
}

func (p *filterPage) name() screenName { return onFilter }

func (p *filterPage) title() (string, line) {
	return "puddlewise: filter", line{{fmt.Sprintf("%d of %d joints", len(p.list.shown), len(p.list.bank)), inkFaint}}
}

func (p *filterPage) draw(c canvas) {
	ls := p.lines()
	const label = 40
	c.lines(1, ls)
	below := c.sub(0, len(ls)+2, c.w, c.h-len(ls)-2)
	below.rule(0)
	values := below
	if c.w >= wideScreen { // the values beside the facets
		values = c.sub(label+2, 0, c.w-label-2, len(ls)+1)
		values.lines(1, p.valueLines(values.w, len(ls)))
	} else {
		vs := p.valueLines(values.w, below.h/2)
		below.lines(1, vs)
		below = below.sub(0, len(vs)+2, below.w, below.h)
		below.rule(0)
	}
	found := p.foundLines(38, c.look.glyph.dots)
	rows := below.h - 1
	for i, l := range found {
		if rows < 1 || i/rows*40+38 > below.w {
			break
		}
		below.line(i/rows*40, 1+i%rows, l)
	}
}

func (p *filterPage) can(act action) bool {
	switch act {
	case actUp, actDown, actLeft, actRight:
		return len(p.facets) > 0
	case actClear:
		c, ok := p.marked()
		return ok && p.list.filter[c.Facet] != ""
	case actAll:
		return p.list.filter.Words() != ""
	}
	return true
}

func (p *filterPage) do(act action) {
	switch act {
	case actUp:
		p.move(-1)
	case actDown:
		p.move(1)
	case actLeft:
		p.step(-1)
	case actRight:
		p.step(1)
	case actClear:
		p.any()
	case actAll:
		p.none()
	case actOpen, actBack:
		p.app.show(p.choose)
	}
}
