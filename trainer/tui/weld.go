package tui

import (
	"context"

	"github.com/gdamore/tcell/v2"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// weldPage waits for the model and then runs the bead along the seam once more,
// quickly, for the eye.
type weldPage struct {
	basePage
	s       *session.Session
	job     session.Job
	ticks   int
	stop    func()
	left    bool // the learner has gone on; what still arrives is dropped
	running bool // the replay runs
	replay  replay
	number  int // of the coupon, at its joint
	picture *seamPicture
}

func newWeldPage(a *app, s *session.Session, job session.Job) *weldPage {
	p := &weldPage{basePage: basePage{a}, s: s, job: job, number: len(s.Tries()) + 1}
	if a.turn != nil {
		used, _ := a.turn.run.Tries(s.Scenario().ID)
		p.number = used + 1
	}
	p.stop = a.start(p.weld)
	return p
}

// weld runs the model; it is called on the background goroutine.
func (p *weldPage) weld(ctx context.Context, post func(func())) {
	ticks, stop := p.app.opt.Ticks(modelTick)
	defer stop()
	result := p.job.Start()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticks:
			post(func() { p.ticks++ })
		case r := <-result:
			if r.Panic != nil {
				panic(r.Panic)
			}
			post(func() { p.welded(r) })
			return
		}
	}
}

// welded takes the finished coupon into the session.
func (p *weldPage) welded(r session.Result[scoring.Verdict]) {
	if p.left {
		return
	}
	if r.Err != nil {
		p.leave()
		p.app.toBench(p.s.Scenario())
		p.app.warn(r.Err)
		if t := p.app.turn; t != nil {
			p.app.warn(t.drop())
		}
		return
	}
	try, err := p.s.Take(p.job, r.Value)
	p.app.warn(err)
	if t := p.app.turn; t != nil { // on disk before it is shown
		p.app.warn(t.take(try))
	}
	if try.Verdict.Outcome == scoring.OutOfRange {
		p.leave()
		p.app.toVerdict(p.s)
		return
	}
	if p.app.opt.Settings.Still || len(try.Verdict.Coupon.Stations) == 0 {
		p.toCoupon()
		return
	}
	sc := p.s.Scenario()
	p.running = true
	p.replay = replay{task: sc.Task, try: try}
	p.picture = newSeamPicture(p.app.look, try.Verdict.Coupon, sc.Task.Seam)
	p.picture.dab, p.picture.hot = ripples(try.Answer), sc.Task
	p.stop = p.app.start(p.play)
}

// play moves the replay on; it is called on the background goroutine.
func (p *weldPage) play(ctx context.Context, post func(func())) {
	ticks, stop := p.app.opt.Ticks(replayTick)
	defer stop()
	for over := false; !over; {
		select {
		case <-ctx.Done():
			return
		case <-ticks:
			post(func() {
				p.replay.frame++
				if over = p.replay.over(); over && !p.left {
					p.toCoupon()
				}
			})
		}
	}
}

func (p *weldPage) leave() {
	p.left = true
	p.stop()
}

func (p *weldPage) toCoupon() {
	p.leave()
	p.app.show(newCouponPage(p.app, p.s))
}

func (p *weldPage) name() screenName { return onWeld }

func (p *weldPage) title() (string, line) {
	return p.s.Scenario().Title, line{{"coupon " + itoa(p.number), inkFaint}}
}

func (p *weldPage) draw(c canvas) {
	mid := c.h/2 - 3
	if !p.running {
		c.line(3, mid, progressLine(p.ticks))
		return
	}
	p.picture.done = p.replay.at()
	strip := c.sub(0, mid-2, c.w-3, min(8, 4+(c.h-20)/6))
	p.picture.SetRect(strip.x, strip.y, strip.w, strip.h)
	p.picture.Draw(c.screen)
	ticks, numbers, unit := ruler(c.look.glyph, p.replay.task.Seam, c.w-3, p.s.System())
	c.put(0, mid-2+strip.h, ticks, inkRule)
	c.put(0, mid-1+strip.h, numbers, inkFaint)
	c.put(c.w-2, mid-1+strip.h, unit, inkFaint)
	c.line(0, mid+1+strip.h, p.replay.readout(p.s.System()))
	c.lines(mid+3+strip.h, signLines(p.replay.signs(p.s.System()), min(c.w, readable), false))
}

func (p *weldPage) can(act action) bool {
	return (act == actSkip) == p.running && (act != actBack || p.app.turn == nil) // a drill's coupon that is begun is welded
}

func (p *weldPage) do(act action) {
	if act == actBack {
		p.leave()
		p.app.toBench(p.s.Scenario())
	}
}

// key skips the replay, whatever the key.
func (p *weldPage) key(*tcell.EventKey) {
	if p.running {
		p.toCoupon()
	}
}
