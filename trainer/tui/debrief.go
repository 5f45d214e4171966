package tui

import (
	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// debriefPage looks through a run that is over.
type debriefPage struct {
	basePage
	*debrief
	s *session.Session
}

func (p *debriefPage) name() screenName { return onDebrief }

func (p *debriefPage) title() (string, line) {
	right := "live run, not recorded"
	if w := speedWords(p.slowest); w != "" {
		right = w + ", " + right
	}
	return p.sc.Name() + "  " + p.sc.Title, line{{right, inkFaint}}
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
	ls = append(ls, nil)
	ls = append(ls, p.rows(c.w)...)
	ls = append(ls, nil)
	c.lines(0, append(ls, p.moment(p.s.System())...))
}

func (p *debriefPage) can(act action) bool {
	return act != actWorst || len(p.run.Verdict.Findings) > 0
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
		p.app.toArc(p.s)
	case actBack:
		p.app.toBench(p.sc)
	}
}
