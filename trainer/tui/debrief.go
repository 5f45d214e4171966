package tui

import (
	"context"
	"strings"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// debriefPage is the verdict on a run of the hand, to look through.
type debriefPage struct {
	basePage
	*debrief
	s       *session.Session
	try     session.Attempt
	before  *session.Attempt // the run of this joint before it; nil for none
	asks    chan dabAsk      // the one that waits
	looking bool             // for the smallest change
	working bool             // something is looked for
	stop    func()           // ends what is looked for
}

// dabAsk asks for the time there was for a dab.
type dabAsk struct {
	before, after int // steps of the dabs about it
	session.DabSearch
}

func newDebriefPage(a *app, s *session.Session) *debriefPage {
	try, _ := s.Last()
	p := &debriefPage{basePage: basePage{a}, debrief: newDebrief(s.Scenario(), *s.Line(), s.System()), s: s, try: try, asks: make(chan dabAsk, 1)}
	if old := a.before(s); old != nil && old.Run != nil {
		p.before = old
	}
	p.stop = func() {}
	if q, ok := s.SearchHand(); ok {
		p.looking = true
		p.look(&q)
	}
	p.ask()
	return p
}

// look looks for the smallest change, where q is one, and beside it for the times for dabs
// that are asked for, until there is nothing more to look for.
func (p *debriefPage) look(q *session.HandSearch) {
	p.working = true
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		var found <-chan session.Result[session.HandFound]
		if q != nil {
			found = q.Start(ctx)
		}
		for ctx.Err() == nil && (found != nil || len(p.asks) > 0) {
			select {
			case <-ctx.Done():
			case r := <-found:
				if r.Panic != nil {
					panic(r.Panic)
				}
				found = nil
				post(func() {
					p.looking = false
					if r.Err == nil {
						p.s.FoundHand(*q, r.Value)
					}
				})
			case ask := <-p.asks:
				d, err := session.Await(ctx, ask.Start())
				post(func() {
					delete(p.dabs, ask.before)
					if err == nil {
						p.dabs[ask.before] = dabTime{d, view.DabWords(d, ask.after)}
					}
				})
			}
		}
		post(func() {
			p.working = false
			if ctx.Err() == nil && len(p.asks) > 0 { // asked meanwhile
				p.look(nil)
			}
		})
	})
}

// ask asks for the time there was for the dab of the moment; of what waits it takes the place.
func (p *debriefPage) ask() {
	if len(p.run.Line) == 0 {
		return
	}
	before, after := view.DabsAbout(p.run, p.at)
	if _, known := p.dabs[before]; known {
		return
	}
	q, ok := p.s.TimeToDab(before)
	if !ok {
		return
	}
	select {
	case old := <-p.asks:
		delete(p.dabs, old.before)
	default:
	}
	p.dabs[before] = dabTime{scoring.DabTime{Ready: -1}, "time to dab: looking ..."}
	p.asks <- dabAsk{before, after, q}
	if !p.working {
		p.look(nil)
	}
}

// toDebrief shows the last coupon's run; one of the record is welded again first.
func (a *app) toDebrief(s *session.Session) {
	show := func() {
		a.show(newDebriefPage(a, s))
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
	if t := p.app.turn; t != nil {
		if words := t.run.Drill().Counts(p.try); words != "" {
			return line{{words, inkWarn}}
		}
	}
	return recordLine(p.s)
}

func (p *debriefPage) draw(c canvas) {
	ls := p.headLines(min(c.w, readable))
	if len(p.run.Line) == 0 {
		c.lines(0, ls)
		return
	}
	const foot, tall = 5, 30 // rows of the moment; of a page with room
	ls = append(ls, p.changeLines(min(c.w, readable))...)
	if c.h >= tall {
		ls = append(ls, nil)
	}
	ls = append(ls, p.lines(p.app.look, p.changes(), c.w, c.h-len(ls)-foot)...)
	if c.h >= tall {
		ls = append(ls, nil)
	}
	c.lines(0, append(ls, p.moment(min(c.w, readable), c.h-len(ls))...))
}

// beside welds another run and sets it beside this one, when it is welded.
func (p *debriefPage) beside(l session.Live, show func(other scoring.Run) *runsPage) {
	p.stop()
	p.working = false
	p.app.notice = span{"Welding the run that stands beside it ...", inkPlain}
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		other, err := session.Await(ctx, l.Start())
		post(func() {
			if ctx.Err() != nil || p.app.shell.page != page(p) {
				return
			}
			p.app.notice = span{}
			if err != nil {
				p.app.warn(err)
				return
			}
			p.app.show(show(other))
		})
	})
}

// headLines is the verdict, how it compares with what was said of it, and what has no place.
func (p *debriefPage) headLines(w int) []line {
	v := p.run.Verdict
	word, mark := view.Outcome(v.Outcome)
	head := word + " " + mark + " "
	var out []line
	for i, text := range wrap(view.Said(v.Reason, p.sys), w-width(head)) {
		if i == 0 {
			out = append(out, line{{head, outcomeInk(v.Outcome)}, {text, inkPlain}})
			continue
		}
		out = append(out, plainLine(padTo("", width(head))+text))
	}
	if g, ok := p.s.Said(); ok {
		out = append(out, paragraph(view.GuessWords(g), w, inkFaint)...)
	}
	if last, ok := p.s.Last(); ok {
		if words := view.HappenedWords(last.Task.Happens, p.sys); words != "" {
			out = append(out, paragraph("what happened: "+words, w, inkPlain)...)
		}
	}
	var also []string
	for i, f := range v.Findings {
		if i > 0 && f.To <= 0 && f.Severity != scoring.Remark {
			also = append(also, session.InWords(f.Rule))
		}
	}
	if also != nil {
		out = append(out, paragraph("also: "+strings.Join(also, ", "), w, inkPlain)...)
	}
	return out
}

// changeLines tells the smallest change of the hand that would have saved the run.
func (p *debriefPage) changeLines(w int) []line {
	found := p.s.HandRescue()
	words := "looking ..."
	switch {
	case found != nil:
		words = strings.Join(view.HandRescueWords(found.HandRescue, found.Found, p.sys), "; ")
	case !p.looking:
		return nil
	}
	return labelled("smallest change ", words, 16, w, inkPlain)
}

// changes are where the smallest change holds, once it is found.
func (p *debriefPage) changes() []view.RunMark {
	if found := p.s.HandRescue(); found != nil && found.Found {
		return view.ChangeMarks(p.run, found.HandRescue)
	}
	return nil
}

func (p *debriefPage) can(act action) bool {
	switch act {
	case actWorst:
		return len(p.marks) > 0
	case actNextDab:
		return len(p.run.Dabs) > 0
	case actAgain:
		return p.app.canWeld(p.sc.ID)
	case actGoOn:
		return p.app.turn != nil && !p.app.canWeld(p.sc.ID)
	case actPictures:
		return len(p.try.Verdict.Coupon.Stations) > 0
	case actBack: // one key
		return len(p.try.Verdict.Coupon.Stations) == 0 && p.app.turn == nil
	case actCompare:
		return p.before != nil
	case actChanged:
		_, ok := p.s.Changed()
		return ok
	}
	return true
}

func (p *debriefPage) do(act action) {
	switch act {
	case actLeft, actRight, actFarLeft, actFarRight, actFirst, actLast:
		p.move(along(act, len(p.run.Line)))
	case actWorst:
		p.next()
	case actNextDab:
		p.nextDab()
	case actAgain:
		p.stop()
		if p.s.Reviewed() || p.app.turn != nil {
			p.app.weldAgain(p.s)
			return
		}
		p.app.toArc(p.s)
		return
	case actGoOn:
		p.stop()
		p.app.turn.goOn()
		return
	case actPictures:
		p.stop()
		p.app.show(newCouponPage(p.app, p.s))
		return
	case actCompare:
		if l, ok := p.before.Hand(p.sc); ok {
			p.beside(l, func(other scoring.Run) *runsPage {
				when := "before: " + view.When(p.before.At, p.app.opt.Now()) + ", now: " + p.app.couponName(p.s)
				return &runsPage{p.basePage, newRunPair(p.sc.Task, other, p.run, [2]string{"before", "now"}, p.sys), p, when}
			})
		}
		return
	case actChanged:
		if l, ok := p.s.Changed(); ok {
			p.beside(l, func(other scoring.Run) *runsPage {
				return &runsPage{p.basePage, newRunPair(p.sc.Task, p.run, other, [2]string{"yours", "changed"}, p.sys), p, "with the smallest change made"}
			})
		}
		return
	case actBack:
		p.stop()
		p.app.toBeforeCoupon(p.s)
		return
	}
	p.ask()
}
