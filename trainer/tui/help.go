package tui

// helpPage lists the keys of the page it covers.
type helpPage struct {
	basePage
	scroller
	under page
}

func newHelpPage(a *app, under page) *helpPage { return &helpPage{basePage: basePage{a}, under: under} }

func (p *helpPage) name() screenName      { return onHelp }
func (p *helpPage) title() (string, line) { return p.under.title() }
func (p *helpPage) can(action) bool       { return true }
func (p *helpPage) draw(c canvas) {
	p.scroller.draw(c, p.app.keys.help(p.under.name(), min(c.w-2, readable)))
}

func (p *helpPage) do(act action) {
	if !p.scroller.do(act) {
		p.app.show(p.under)
	}
}

// askPage asks before something is lost.
type askPage struct {
	basePage
	question, why string
	yes           func()
	under         page
}

func newAskPage(a *app, question, why string, yes func(), under page) *askPage {
	return &askPage{basePage{a}, question, why, yes, under}
}

func (p *askPage) name() screenName      { return onAsk }
func (p *askPage) title() (string, line) { return p.question, nil }
func (p *askPage) can(action) bool       { return true }

func (p *askPage) draw(c canvas) {
	for i, l := range paragraph(p.why, min(c.w, readable), inkPlain) {
		c.line(0, 1+i, l)
	}
}

func (p *askPage) do(act action) {
	if act == actOpen {
		p.yes()
		return
	}
	p.app.show(p.under)
}
