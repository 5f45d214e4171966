package tui

import (
	"context"
	"errors"
	"time"

	"puddlewise/trainer/arc"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

// arcPage is the live arc: the face under the torch, and the hand's keys.
type arcPage struct {
	basePage
	*arcModel
	s     *session.Session
	stop  func()
	live  session.Live  // from the strike on
	held  *session.Live // the run that is over, while it is judged
	want  chan struct{} // asks for a good hand's run
	begun chan struct{} // starts the clock
}

// toArc takes the torch up with what is set on the joint's sheet.
func (a *app) toArc(s *session.Session) {
	happens := a.opt.Happens
	if a.turn != nil {
		happens = a.turn.run.Happens(s.Scenario())
	}
	a.takeTorch(s, happens)
}

// takeTorch takes it up where things happen by a seed; 0: where nothing does.
func (a *app) takeTorch(s *session.Session, happens int64) {
	p := &arcPage{basePage: basePage{a}, arcModel: newArcModel(s.Scenario().Befall(happens), s.Answer()), s: s, want: make(chan struct{}, 1), begun: make(chan struct{}, 1)}
	if a.turn != nil {
		p.may = a.turn.run.Drill().Slowest
	}
	if s.Helps() {
		p.follow(a.opt.Settings.GoodHand)
	}
	p.stop = a.start(func(ctx context.Context, post func(func())) {
		post(func() { a.busy-- }) // a clock that waits for a hand is no work
		p.play(ctx, post)
		post(func() { a.busy++ })
	})
	a.show(p)
}

// happening draws the seed of what happens in a run: that of the command, if it has one.
func (a *app) happening() int64 {
	if a.opt.Happens != 0 {
		return a.opt.Happens
	}
	const short = 1_000_000 // as a question's seed is
	return 1 + int64(uint64(a.opt.Now().UnixMilli())%short)
}

// play lets the clock go on from the strike on; it is called on the background goroutine.
func (p *arcPage) play(ctx context.Context, post func(func())) {
	var ticks <-chan time.Time // none before: a picture that stands costs nothing
	stop := func() {}
	defer func() { stop() }()
	for {
		select {
		case <-ctx.Done():
			return
		case <-p.begun:
			ticks, stop = p.app.opt.Ticks(arcTick)
		case <-p.want: // the clock waits for it
			path := arc.Good(p.sc)
			post(func() { p.good = &path })
		case <-ticks:
			post(func() {
				if ctx.Err() == nil {
					p.step()
				}
			})
		}
	}
}

// stands says that the clock stands: the hand cannot see what it does.
func (p *arcPage) stands() bool { return p.app.away || p.app.shell.small || p.app.shell.page != p }

// step lets a tick pass.
func (p *arcPage) step() {
	if p.stands() {
		return
	}
	before := p.torch.Seconds()
	more := p.tick()
	if p.follows == "bell" && p.torch.Seconds() > before && p.goodDabs(1) {
		p.app.warn(p.app.screen.Beep())
	}
	if !more {
		p.end()
	}
}

// follow shows a good hand, as the setting has it.
func (p *arcPage) follow(how string) {
	if p.follows = how; how != "" && p.good == nil {
		select {
		case p.want <- struct{}{}:
		default: // asked for already
		}
	}
}

// strike keeps in a drill that a try is begun: whoever leaves from here on has used it.
func (p *arcPage) strike() {
	p.live = p.s.Hold(p.torch.Run())
	if t := p.app.turn; t != nil && !t.begin(p.s.BegunRun(p.live)) {
		p.stop()
		if p.app.shell.page == p {
			p.app.toBench(p.s.Scenario())
		}
	}
}

// end takes the run into the session, judged off the event loop by welding it again from
// what was kept; the coupon is looked at before anything is said.
func (p *arcPage) end() {
	p.stop()
	run := p.run()
	if keep := p.app.opt.KeepRun; keep != nil {
		p.app.warn(keep(run))
	}
	l := p.live.Ended(run)
	p.held = &l
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		judged, err := session.Await(ctx, l.Start())
		post(func() {
			if ctx.Err() != nil {
				return
			}
			if err != nil {
				p.app.toBench(p.s.Scenario())
				p.app.warn(err)
				if t := p.app.turn; t != nil {
					p.app.warn(t.drop())
				}
				return
			}
			try, err := p.s.TakeRun(l, judged)
			p.app.warn(err)
			if t := p.app.turn; t != nil { // on disk before it is shown
				p.app.warn(t.take(try))
			}
			if len(try.Verdict.Coupon.Stations) == 0 {
				p.app.toVerdict(p.s)
				return
			}
			p.app.show(newCouponPage(p.app, p.s))
		})
	})
}

// run gives what the hand did, and how slowly.
func (p *arcPage) run() arc.Run {
	run := p.torch.Run()
	if p.slowest > 1 {
		run.Slow = p.slowest
	}
	if p.follows != "" {
		p.s.Followed()
	}
	return run
}

// finish records a run that is over when the trainer is left while it is judged; in a
// drill also one whose arc is lit.
func (p *arcPage) finish() error {
	t := p.app.turn
	if t != nil && p.lit && p.held == nil {
		p.arcModel.do(actPutOut)
		l := p.live.Ended(p.run())
		p.held = &l
	}
	if p.held == nil {
		return nil
	}
	judged, err := session.Await(context.Background(), p.held.Start())
	if err != nil {
		return err
	}
	try, err := p.s.TakeRun(*p.held, judged)
	if t != nil {
		err = errors.Join(err, t.take(try))
	}
	return err
}

func (p *arcPage) status() line {
	if p.held != nil {
		return nil
	}
	if !p.lit && p.can(actHappens) {
		if p.sc.Happened != 0 {
			return line{{"The run counts from the strike on. Things will happen; only signs tell.", inkWarn}}
		}
		return line{{"The run counts from the strike on; f3 lets things happen meanwhile.", inkFaint}}
	}
	if !p.lit {
		return line{{"The run counts from the strike on.", inkFaint}}
	}
	if p.stands() {
		return line{{"The clock stands while another window is in front.", inkWarn}}
	}
	if p.app.turn != nil {
		return line{{"Stopped, or left, it is judged as it stands.", inkFaint}}
	}
	return line{{"Stopped, it is judged as it stands; left with ctrl-c it does not count.", inkFaint}}
}

func (p *arcPage) name() screenName { return onArc }

func (p *arcPage) title() (string, line) {
	return p.sc.Name() + "  " + p.sc.Title, line{{"live arc", inkFaint}}
}

func (p *arcPage) draw(c canvas) {
	if p.held != nil {
		c.line(3, c.h/2-3, plainLine("the arc is out; the coupon cools"))
		return
	}
	pool := p.torch.Pool()
	c.lines(0, p.readout(pool, p.s.System()))
	const under = 3 // the readout's rows
	l := layoutArc(c.w, c.h, p.sc.Task.Thinner().MM())
	p.picture(c.look).draw(c.sub(0, under, c.w, l.side+1+l.face), l)
	ls := p.signs(pool)
	if words, ahead, ok := p.goodHand(p.s.System()); ok {
		p.drawGoodHand(c.sub(l.left, under+l.side, l.width, 1), l.column(ahead*1e3))
		ls = append([]line{{{"good hand ", inkFaint}, {words, inkFocus}}}, ls...)
	}
	c.lines(under+l.side+1+l.face, ls)
}

// drawGoodHand marks the column of the good hand between the two views; one that is out
// of them is pointed to.
func (p *arcPage) drawGoodHand(c canvas, col int) {
	mark := c.look.glyph.down
	switch {
	case col < 0:
		col, mark = 0, "<"
	case col >= c.w:
		col, mark = c.w-1, ">"
	}
	c.put(col, 0, mark, inkFocus)
	if p.goodDabs(dabShows) {
		const dab = "dab"
		if col+1+len(dab) > c.w {
			col -= 2 + len(dab)
		}
		c.put(col+1, 0, dab, inkFocus)
	}
}

func (p *arcPage) can(act action) bool {
	switch act {
	case actHelp:
		return !p.lit || p.app.turn == nil && p.held == nil // the clock stands behind it; a drill's does not
	case actStrike, actArcKeys:
		return !p.lit && p.held == nil
	case actPutOut, actAhead, actDab:
		return p.lit && p.held == nil
	case actSlower:
		return p.may > 1 && p.held == nil
	case actHappens:
		return p.app.turn == nil && p.sc.Happens != nil && !p.lit && p.held == nil
	case actFollow:
		return p.s.Helps() && p.held == nil
	}
	return p.held == nil
}

func (p *arcPage) do(act action) {
	switch act {
	case actBack:
		if p.lit { // a stopped weld is a weld, with a crater
			act = actPutOut
			break
		}
		p.stop()
		p.app.toBench(p.s.Scenario())
		return
	case actArcKeys:
		p.app.show(newArcKeysPage(p.app, p))
		return
	case actHappens:
		seed := int64(0)
		if p.sc.Happened == 0 {
			seed = p.app.happening()
		}
		p.stop()
		p.app.takeTorch(p.s, seed)
		return
	case actFollow:
		how := map[string]string{"": "on", "on": "bell"}[p.follows]
		p.app.set(func(s *record.Settings) { s.GoodHand = how })
		p.follow(how)
		return
	}
	p.arcModel.do(act)
	switch act {
	case actStrike:
		p.begun <- struct{}{} // once: putting the arc out ends the run
		p.strike()
	case actPutOut:
		p.end()
	}
}
