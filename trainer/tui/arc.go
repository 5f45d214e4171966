package tui

import (
	"context"

	"puddlewise/scoring/puddle"
	"puddlewise/trainer/session"
)

// arcPage is the live arc: the face under the torch, and the hand's keys.
type arcPage struct {
	basePage
	*arcModel
	s       *session.Session
	stop    func()
	judging bool
}

// toArc takes the torch up with what is set on the joint's sheet.
func (a *app) toArc(s *session.Session) {
	p := &arcPage{basePage: basePage{a}, arcModel: newArcModel(s.Scenario(), s.Answer()), s: s}
	p.stop = a.start(func(ctx context.Context, post func(func())) {
		post(func() { a.busy-- }) // a clock that waits for a hand is no work
		p.play(ctx, post)
		post(func() { a.busy++ })
	})
	a.show(p)
}

// play lets the clock go on; it is called on the background goroutine.
func (p *arcPage) play(ctx context.Context, post func(func())) {
	ticks, stop := p.app.opt.Ticks(arcTick)
	defer stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticks:
			post(func() {
				if ctx.Err() == nil && !p.tick() {
					p.end()
				}
			})
		}
	}
}

// end judges the run, off the event loop, by welding it again from what was kept.
func (p *arcPage) end() {
	p.stop()
	p.judging = true
	run := p.torch.Run()
	if keep := p.app.opt.KeepRun; keep != nil {
		p.app.warn(keep(run))
	}
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		judged, err := run.Judge(p.sc)
		post(func() {
			if ctx.Err() != nil {
				return
			}
			if err != nil {
				p.app.toBench(p.sc)
				p.app.warn(err)
				return
			}
			p.app.show(&debriefPage{basePage{p.app}, &debrief{sc: p.sc, run: judged, slowest: p.slowest}, p.s})
		})
	})
}

func (p *arcPage) name() screenName { return onArc }

func (p *arcPage) title() (string, line) {
	return p.sc.Name() + "  " + p.sc.Title, line{{"live arc", inkFaint}}
}

func (p *arcPage) draw(c canvas) {
	if p.judging {
		c.line(3, c.h/2-3, plainLine("the arc is out; the coupon cools"))
		return
	}
	pool, band := p.torch.Pool(), p.torch.Band()
	const height = 7
	c.lines(0, p.readout(pool, p.s.System()))
	top := 4
	per := max(1, min(3, c.w/len(band)))
	left := (c.w - per*len(band)) / 2
	strip := c.sub(left, top+1, per*len(band), height)
	wall := p.sc.Task.Thinner().MM() * 1e-3
	scale := float64(height) / (7 * wall) // rows for a metre: seven walls fill the strip
	width := max(pool.Width, 2*wall)
	for col := range per * len(band) {
		off := (float64(col)+0.5)/float64(per)*puddle.BandEvery - puddle.BandBehind - puddle.BandEvery/2
		wide, in := face(pool, off, band[col/per], width)
		half := max(wide*scale, 0.3) / 2
		if c.look.patches() {
			strip.bandColumn(col, height/2.0-half, height/2.0+half, in, inkSheetA)
		} else {
			strip.bandCells(col, height/2.0-half, height/2.0+half, in, inkSheetA)
		}
	}
	torch := left + int(float64(per)*(puddle.BandBehind/puddle.BandEvery+0.5))
	mark := "v"
	if p.lit {
		mark = "V"
	}
	c.put(torch, top, mark, inkTungsten)
	c.put(torch+2+int(p.rod/2), top, "--- rod", inkFaint)
	c.lines(top+height+2, p.signs(pool))
}

func (p *arcPage) can(act action) bool {
	switch act {
	case actBack, actHelp:
		return act == actBack || !p.lit // the clock runs on behind a help page
	case actStrike, actArcKeys:
		return !p.lit && !p.judging
	case actPutOut, actAhead, actDab:
		return p.lit && !p.judging
	}
	return !p.judging
}

func (p *arcPage) do(act action) {
	switch act {
	case actBack:
		p.stop()
		p.app.toBench(p.sc)
		return
	case actArcKeys:
		p.app.show(newArcKeysPage(p.app, p))
		return
	}
	p.arcModel.do(act)
	if act == actPutOut {
		p.end()
	}
}
