package tui

import (
	"github.com/gdamore/tcell/v2"

	"puddlewise/trainer/session"
)

// guessPage asks what went wrong before anything is said of it. The face of the
// coupon stays in view.
type guessPage struct {
	basePage
	guessModel
	coupon *couponPage
	s      *session.Session
}

func newGuessPage(a *app, s *session.Session) *guessPage {
	return &guessPage{basePage: basePage{a}, guessModel: guessModel{choices: s.Choices()}, coupon: newCouponPage(a, s), s: s}
}

func (p *guessPage) name() screenName      { return onGuess }
func (p *guessPage) title() (string, line) { return p.coupon.title() }
func (p *guessPage) can(action) bool       { return true }

func (p *guessPage) draw(c canvas) {
	seen := signLines(p.coupon.signs(), min(c.w, readable), false)
	// The signs are the evidence: where there is no room for all, the pictures make way.
	const face, strips = 8, 13 // rows at most
	y, room := 0, c.h-len(p.choices)-len(seen)-2
	if seen == nil || room >= face {
		y = p.coupon.drawStrips(c, 4, seen == nil || room >= strips) + 1
	}
	c.put(0, y, "What went wrong?", inkStrong)
	c.lines(y+1, p.lines())
	if y += 1 + len(p.choices); seen != nil {
		c.put(0, y, "what was to be seen", inkFaint)
		c.lines(y+1, seen)
	}
}

func (p *guessPage) do(act action) {
	switch act {
	case actOpen:
		g, err := p.s.Say(p.choices[p.cursor].Rule)
		p.app.toVerdict(p.s)
		p.app.warn(err)
		if t := p.app.turn; t != nil {
			p.app.warn(t.run.Said(g.Cause.Rule))
		}
	case actUp:
		p.move(-1)
	case actDown:
		p.move(1)
	case actBack:
		p.app.show(p.coupon)
	}
}

func (p *guessPage) key(ev *tcell.EventKey) {
	if ev.Key() == tcell.KeyRune {
		p.number(ev.Rune())
	}
}
