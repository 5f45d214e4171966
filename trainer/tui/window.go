package tui

import (
	"context"

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
	p.want()
	return p
}

// any says whether there is a window at all.
func (p *windowPane) any() bool { return len(p.pairs) > 0 }

// want has the window looked at mapped, and no other any longer.
func (p *windowPane) want() {
	p.stop()
	if !p.any() {
		return
	}
	if q, ok := p.s.Survey(p.axes()); ok {
		p.stop = p.app.start(func(ctx context.Context, post func(func())) { p.survey(ctx, q, post) })
	}
}

// survey maps a window; it is called on the background goroutine.
func (p *windowPane) survey(ctx context.Context, q session.Survey, post func(func())) {
	select {
	case <-ctx.Done():
	case r := <-q.Start(ctx):
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
	p.want()
}

func (p *windowPane) draw(c canvas) { c.lines(0, p.lines(c.look, c.w, c.h)) }
