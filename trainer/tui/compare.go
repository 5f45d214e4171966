package tui

import (
	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// comparePage sets a coupon beside the one before it.
type comparePage struct {
	basePage
	couponPair
	coupon *couponPage
}

// couponPair draws two coupons: beside each other where it is wide enough, else one above
// the other.
type couponPair struct {
	compareModel
	strips int // cells along the seam
}

func newComparePage(coupon *couponPage) *comparePage {
	return &comparePage{
		basePage: coupon.basePage, coupon: coupon,
		couponPair: couponPair{compareModel: newCompareModel(coupon.couponModel, *coupon.before, coupon.s.Entries())},
	}
}

func (p *comparePage) name() screenName { return onCompare }
func (p *comparePage) title() (string, line) {
	return p.coupon.s.Scenario().Title, line{{"two coupons", inkFaint}}
}
func (p *comparePage) status() line {
	return line{{shorten("changed: "+p.changeWords(), minWidth-2, p.app.look.glyph.dots), inkFaint}}
}

func (p *comparePage) draw(c canvas) { p.drawBoth(c, p.beforeHead(), p.nowHead()) }

// drawBoth draws the two coupons, each under its head.
func (p *couponPair) drawBoth(c canvas, before, now line) {
	if c.w >= wideScreen {
		p.drawBeside(c, before, now)
		return
	}
	const face = 4
	y := p.drawOne(c, &p.before, before, face, false, false)
	y += p.drawOne(c.sub(0, y, c.w, c.h), &p.now, now, face, false, true)
	c.sub(0, y, c.w, c.h-y).lines(0, p.numberLines(c.w, c.h-y))
}

// drawBeside draws one coupon left and one right, with their sections, and the
// numbers under both.
func (p *couponPair) drawBeside(c canvas, before, now line) {
	face := min(8, 4+(c.h-20)/6)
	half := (c.w - 3) / 2
	numbers := len(p.now.measures()) + 2
	y := 0
	for i, m := range []*couponModel{&p.before, &p.now} {
		at := c.sub(i*(half+3), 0, half, c.h)
		head := before
		if i == 1 {
			head = now
		}
		y = max(y, p.drawOne(at, m, head, face, true, true))
	}
	const least, low, few = 5, 8, 7 // rows of a section worth its place, of a low one, of the first numbers
	section := min(14, c.h-y-numbers-1)
	if section < least { // before the last of the numbers
		section = min(low, c.h-y-few-1)
	}
	if section >= least {
		for i, m := range []*couponModel{&p.before, &p.now} {
			part := couponPage{couponModel: *m}
			part.drawSection(c, c.sub(i*(half+3), y, min(half, 3*section), section))
		}
		y += section + 1
	}
	const numbersWide = 46 // cells
	c.sub(0, y, c.w, c.h-y).lines(0, p.numberLines(numbersWide, c.h-y))
	// What was to be seen, of each if there is room for both.
	seen := func(m *couponModel, head string, at canvas) {
		at.put(0, 0, head, inkFaint)
		at.lines(1, signLines(m.signs(), min(at.w, readable), false))
	}
	seen(&p.now, "seen "+p.names[1], c.sub(half+3, y, half, c.h-y))
	if room := half - numbersWide; room >= numbersWide {
		seen(&p.before, "seen "+p.names[0], c.sub(numbersWide, y, room, c.h-y))
	}
}

// drawBelow draws what there is no room for beside the faces on a narrow screen: both backs to
// the faces' scale, and both sections where they are looked at.
func (p *couponPair) drawBelow(c canvas, before, now line) {
	const back, least = 4, 4 // rows; as many as a face has on such a screen
	y := 0
	heads := []line{before, now}
	for i, m := range []*couponModel{&p.before, &p.now} {
		c.line(0, y, heads[i])
		pic := newSeamPicture(c.look, m.try.Verdict.Coupon, m.task.Seam)
		pic.back, pic.height = true, m.mm
		p.strips = c.w - stripLabel
		pic.SetRect(c.x+stripLabel, c.y+y+1, p.strips, back)
		pic.Draw(c.screen)
		c.put(0, y+1, "back", inkPlain)
		y += 1 + back
	}
	c.cell(stripLabel+p.now.column(p.strips), y, c.look.glyph.cursor, c.look.style(inkFocus))
	place := "section at " + view.Along(p.now.at, p.now.sys)
	x := stripLabel + p.now.column(p.strips) + 2
	if x+width(place) > c.w {
		x -= width(place) + 3
	}
	c.put(x, y, place, inkFaint)
	if y++; c.h-y < least {
		return
	}
	half := (c.w - 3) / 2
	for i, m := range []*couponModel{&p.before, &p.now} {
		part := couponPage{couponModel: *m}
		part.drawSection(c, c.sub(i*(half+3), y, half, c.h-y))
	}
}

// drawOne draws a coupon's head and strips and gives the row under them.
func (p *couponPair) drawOne(c canvas, m *couponModel, head line, face int, withBack, withRuler bool) int {
	c.line(0, 0, head)
	part := couponPage{couponModel: *m}
	draw := part.drawSides
	if withRuler {
		draw = part.drawStrips
	}
	y := 1 + draw(c.sub(0, 1, c.w, c.h), face, withBack)
	p.strips = part.strips
	return y
}

func (p *comparePage) beforeHead() line {
	v := p.before.try.Verdict
	word, mark := view.Outcome(v.Outcome)
	out := line{{"before, " + view.When(p.before.try.At, p.app.opt.Now()) + "   ", inkFaint}, {word + " " + mark, outcomeInk(v.Outcome)}}
	if v.Outcome == scoring.Reject && len(v.Findings) > 0 {
		out = append(out, span{"  " + session.InWords(v.Findings[0].Rule), inkPlain})
	}
	return out
}

func (p *comparePage) nowHead() line {
	out := line{{p.app.couponName(p.coupon.s), inkFaint}}
	if p.coupon.told() {
		word, mark := view.Outcome(p.now.try.Verdict.Outcome)
		out = append(out, span{"   " + word + " " + mark, outcomeInk(p.now.try.Verdict.Outcome)})
	}
	return out
}

func (p *comparePage) can(action) bool { return true }

func (p *comparePage) do(act action) {
	switch act {
	case actWorst:
		p.now.worst()
		p.look(p.now.at)
	case actBack:
		p.coupon.at = p.now.at
		p.app.show(p.coupon)
	default:
		p.along(act)
	}
}

// along looks further along both seams.
func (p *couponPair) along(act action) {
	const leap = 0.1
	switch act {
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
	}
}
