package tui

import (
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// couponPage is the welded piece to look at: face, back, section, numbers.
type couponPage struct {
	basePage
	couponModel
	s      *session.Session
	strips int // cells along the seam
}

func newCouponPage(a *app, s *session.Session) *couponPage {
	return &couponPage{basePage: basePage{a}, couponModel: newCouponModel(s), s: s}
}

func (p *couponPage) name() screenName { return onCoupon }

func (p *couponPage) title() (string, line) {
	right := line{{"coupon " + itoa(len(p.s.Tries())), inkFaint}}
	if p.told() {
		word, mark := view.Outcome(p.try.Verdict.Outcome)
		right = append(right, span{"   " + word + " " + mark, outcomeInk(p.try.Verdict.Outcome)})
	}
	return p.s.Scenario().Title, right
}

// told says whether the learner has said what went wrong, and so may know.
func (p *couponPage) told() bool {
	_, ok := p.s.Said()
	return ok
}

func (p *couponPage) status() line {
	if p.told() {
		return nil
	}
	return line{{"Look along the seam before you say what went wrong.", inkFaint}}
}

func (p *couponPage) draw(c canvas) {
	face := min(8, 4+(c.h-20)/6)
	y := p.drawStrips(c, face) + 1
	const sectionWidth = 26
	rest := c.h - y
	pic := newSectionPicture(c.look, p.task)
	st, _ := view.StationAt(p.try.Verdict.Coupon, p.at)
	st.Hole = view.HoleAt(p.try.Verdict.Coupon, st.At)
	pic.at, pic.coupon, pic.close = p.at, &st, true
	w := min(max(sectionWidth, c.w/3), rest*3)
	pic.SetRect(c.x+c.w-w, c.y+y, w, rest)
	pic.Draw(c.screen)

	left := c.sub(0, y, c.w-w-1, rest)
	left.line(0, 0, p.head())
	wide := c.w >= wideScreen
	ls := p.measureLines(min(rest-1, 6), false)
	if wide {
		ls = p.measureLines(min(rest-1, 12), true)
	}
	for i, l := range ls {
		left.line(0, 1+i, l)
	}
	switch y := 2 + len(ls); {
	case wide && left.w >= 100:
		table := left.sub(48, 0, left.w-48, left.h)
		for i, l := range p.tableLines(table.h) {
			table.line(0, i, l)
		}
	case rest-y > 5:
		table := left.sub(0, y, left.w, rest-y-1)
		for i, l := range p.tableLines(table.h) {
			table.line(0, i, l)
		}
	}
}

// drawStrips draws face and back along the seam, both to one scale, and gives
// the row under them.
func (p *couponPage) drawStrips(c canvas, face int) int {
	const label = 7
	w := c.w - label
	p.strips = w
	coupon := p.try.Verdict.Coupon
	mm := stripHeight(coupon)
	back := 2 // rows; more where the back melted wider
	for float64(back)*mm/float64(face) < widest(coupon, true)+1 && back < face {
		back = min(face, back+2)
	}
	y := 0
	for _, side := range []struct {
		name string
		rows int
		back bool
	}{{"face", face, false}, {"back", back, true}} {
		pic := newSeamPicture(c.look, coupon, p.task.Seam)
		pic.back, pic.height = side.back, mm*float64(side.rows)/float64(face)
		if !side.back {
			pic.dab = p.dab()
		}
		pic.SetRect(c.x+label, c.y+y, w, side.rows)
		pic.Draw(c.screen)
		c.put(0, y, side.name, inkPlain)
		c.put(0, y+1, weld.Length(pic.height*float64(weld.Millimetre)).Show(p.sys), inkFaint)
		y += side.rows
		tint := tintRow(coupon, p.task.Seam, w, side.back)
		c.put(label, y, tint, inkFaint)
		if tint != "" || !side.back {
			y++
		}
	}
	ticks, numbers, unit := ruler(c.look.glyph, p.task.Seam, w, p.sys)
	c.put(label, y, ticks, inkRule)
	c.cell(label+p.column(w), y, c.look.glyph.cursor, c.look.style(inkFocus))
	c.put(label, y+1, numbers, inkFaint)
	c.put(0, y+1, unit, inkFaint)
	return y + 2
}

// dab gives the spacing of the ripples: none without a rod.
func (p *couponPage) dab() weld.Length {
	if p.try.Answer.Filler == weld.NoFiller {
		return 0
	}
	return p.try.Answer.DabSpacing
}

func (p *couponPage) can(act action) bool {
	switch act {
	case actOpen:
		return !p.told()
	case actVerdict:
		return p.told()
	}
	return true
}

func (p *couponPage) do(act action) {
	const leap = 0.1
	switch act {
	case actOpen:
		p.app.show(newGuessPage(p.app, p.s))
	case actVerdict:
		p.app.toVerdict(p.s)
	case actLeft:
		p.move(-1 / float64(max(1, p.strips)))
	case actRight:
		p.move(1 / float64(max(1, p.strips)))
	case actFarLeft:
		p.move(-leap)
	case actFarRight:
		p.move(leap)
	case actFirst:
		p.move(-1)
	case actLast:
		p.move(1)
	case actWorst:
		p.worst()
	case actAgain, actBack:
		p.app.toBench(p.s.Scenario())
	}
}
