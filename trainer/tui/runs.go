package tui

// runsPage sets a run of the hand beside another: the one of this joint before it, or
// itself with its smallest change made.
type runsPage struct {
	basePage
	*runPair
	of   *debriefPage // where it came from
	head string
}

func (p *runsPage) name() screenName { return onRuns }

func (p *runsPage) title() (string, line) {
	return p.of.sc.Name() + "  " + p.of.sc.Title, line{{p.head, inkFaint}}
}

func (p *runsPage) draw(c canvas) { c.lines(0, p.lines(p.app.look, c.w, c.h)) }

func (p *runsPage) can(act action) bool { return act != actWorst || p.marked() }

func (p *runsPage) do(act action) {
	switch act {
	case actLeft, actRight, actFarLeft, actFarRight, actFirst, actLast:
		p.move(along(act, p.moments()))
	case actWorst:
		p.next()
	case actBack:
		back := newDebriefPage(p.app, p.of.s)
		back.at = p.of.at
		back.ask()
		p.app.show(back)
	}
}
