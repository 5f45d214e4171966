package tui

import (
	"context"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// windowPane is the settings window of the last coupon, mapped in the background.
type windowPane struct {
	windowModel
	app  *app
	stop func() // ends what is being mapped
}

func newWindowPane(a *app, s *session.Session) *windowPane {
	p := &windowPane{windowModel: newWindowModel(s), app: a, stop: func() {}}
	p.want(true)
	return p
}

// any says whether there is a window at all.
func (p *windowPane) any() bool { return len(p.pairs) > 0 }

// want has the window looked at mapped, and no other any longer: at once, beside what
// else runs in the background, or when that is done, so that a learner who leafs through
// the settings begins none that is not wanted by then.
func (p *windowPane) want(atOnce bool) {
	p.stop()
	if !p.any() {
		return
	}
	q, ok := p.s.Survey(p.axes())
	if !ok {
		return
	}
	ctx, cancel := context.WithCancel(p.app.ctx)
	var result <-chan session.Result[*scoring.Window]
	if atOnce {
		result = q.Start(ctx)
	}
	stop := p.app.start(func(_ context.Context, post func(func())) {
		if result == nil {
			result = q.Start(ctx)
		}
		p.survey(ctx, q, result, post)
	})
	p.stop = func() { cancel(); stop() }
}

// survey waits for a window; it is called on the background goroutine.
func (p *windowPane) survey(ctx context.Context, q session.Survey, result <-chan session.Result[*scoring.Window], post func(func())) {
	select {
	case <-ctx.Done():
	case r := <-result:
		if r.Panic != nil {
			panic(r.Panic)
		}
		post(func() {
			switch {
			case r.Err == nil:
				p.s.Mapped(q, r.Value)
			case ctx.Err() == nil:
				p.err = r.Err
			}
		})
	}
}

// turn looks at the next two settings.
func (p *windowPane) turn() {
	p.next()
	p.want(false)
}

func (p *windowPane) draw(c canvas) { c.lines(0, p.lines(c.look, c.w, c.h)) }
