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
	tenth := max(1, p.moments()/10)
	switch act {
	case actLeft:
		p.move(-1)
	case actRight:
		p.move(1)
	case actFarLeft:
		p.move(-tenth)
	case actFarRight:
		p.move(tenth)
	case actFirst:
		p.move(-p.moments())
	case actLast:
		p.move(p.moments())
	case actWorst:
		p.next()
	case actBack:
		back := newDebriefPage(p.app, p.of.s)
		back.at = p.of.at
		back.ask()
		p.app.show(back)
	}
}
