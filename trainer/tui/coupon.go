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
	s       *session.Session
	strips  int              // cells along the seam
	wide    bool             // numbers and signs stand beside each other
	numbers bool             // they are shown where only one of the two fits
	before  *session.Attempt // the coupon of this joint before it; nil for none
}

func newCouponPage(a *app, s *session.Session) *couponPage {
	p := &couponPage{basePage: basePage{a}, couponModel: newCouponModel(s), s: s}
	p.before = a.before(s)
	return p
}

func (p *couponPage) name() screenName { return onCoupon }

func (p *couponPage) title() (string, line) {
	name := p.app.couponName(p.s)
	if by := view.LiveWords(p.try.Live()); by != "" {
		name += ", " + by
	}
	right := line{{name, inkFaint}}
	if p.told() {
		word, mark := view.Outcome(p.try.Verdict.Outcome)
		right = append(right, span{"   " + word + " " + mark, outcomeInk(p.try.Verdict.Outcome)})
	}
	return p.s.Scenario().Title, right
}

// told says whether the learner has said what went wrong, and so may know.
func (p *couponPage) told() bool { return p.s.Told() }

func (p *couponPage) status() line {
	if p.s.Reviewed() {
		return line{{p.app.recordedWords(p.try), inkFaint}}
	}
	if p.told() {
		return nil
	}
	return line{{"Look along the seam before you say what went wrong.", inkFaint}}
}

func (p *couponPage) draw(c canvas) {
	face := min(8, 4+(c.h-20)/6)
	y := p.drawStrips(c, face, true) + 1
	const sectionWidth = 26
	rest := c.h - y
	w := min(max(sectionWidth, c.w/3), rest*3)
	left := c.sub(0, y, c.w-w-1, rest)
	left.line(0, 0, p.head(left.w))
	if p.wide = c.w >= wideScreen; p.wide {
		p.drawBeside(left)
	} else if !p.drawOne(left) {
		c.sub(0, y, c.w, rest).lines(1, signLines(p.signs(), c.w, false))
		return
	}
	p.drawSection(c, c.sub(c.w-w, y, w, rest))
}

// drawSection draws the section where the learner looks.
func (p *couponPage) drawSection(c, at canvas) {
	pic := newSectionPicture(c.look, p.task, p.sys)
	st, _ := view.StationAt(p.try.Verdict.Coupon, p.at)
	st.Hole = view.HoleAt(p.try.Verdict.Coupon, st.At)
	pic.at, pic.coupon, pic.close = p.at, &st, true
	pic.SetRect(at.x, at.y, at.w, at.h)
	pic.Draw(c.screen)
}

// drawBeside draws the numbers, the signs beside them, and the table under both.
func (p *couponPage) drawBeside(c canvas) {
	const numbers = 42
	ms := p.measureLines(min(c.h-1, 12), true)
	c.lines(1, ms)
	seen := signLines(p.signs(), min(c.w-numbers, readable), false)
	c.sub(numbers, 0, c.w-numbers, c.h).lines(1, seen)
	if y := 2 + max(len(ms), len(seen)); c.h-y > 5 {
		c.lines(y, p.tableLines(c.h-y-1))
	}
}

// drawOne draws the signs or the numbers, with the table where there is room; it is
// false, and draws nothing, where the signs take more lines than there are.
func (p *couponPage) drawOne(c canvas) bool {
	ls := signLines(p.signs(), c.w, false)
	if p.numbers || ls == nil {
		ls = p.measureLines(min(c.h-1, 6), false)
	}
	if len(ls) > c.h-1 {
		return false
	}
	c.lines(1, ls)
	if y := 2 + len(ls); c.h-y > 5 {
		c.lines(y, p.tableLines(c.h-y-1))
	}
	return true
}

// stripLabel is the width of what stands before the strips.
const stripLabel = 7

// drawStrips draws face and back along the seam, both to one scale, or the face alone,
// with the ruler, and gives the row under them.
func (p *couponPage) drawStrips(c canvas, face int, withBack bool) int {
	y := p.drawSides(c, face, withBack)
	w := c.w - stripLabel
	ticks, numbers, unit := ruler(c.look.glyph, p.task.Seam, w, p.sys)
	c.put(stripLabel, y, ticks, inkRule)
	c.cell(stripLabel+p.column(w), y, c.look.glyph.cursor, c.look.style(inkFocus))
	c.put(stripLabel, y+1, numbers, inkFaint)
	c.put(0, y+1, unit, inkFaint)
	return y + 2
}

// drawSides is drawStrips without the ruler.
func (p *couponPage) drawSides(c canvas, face int, withBack bool) int {
	const label = stripLabel
	w := c.w - label
	p.strips = w
	coupon := p.try.Verdict.Coupon
	mm := p.mm
	if mm == 0 {
		mm = stripHeight(coupon)
	}
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
		if side.back && (!withBack || p.task.Joint == weld.EdgeWeld) { // an edge has no back
			break
		}
		pic := newSeamPicture(c.look, coupon, p.task.Seam)
		pic.back, pic.height = side.back, mm*float64(side.rows)/float64(face)
		if !side.back {
			pic.dab = ripples(p.try.Answer)
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
	return y
}

func (p *couponPage) can(act action) bool {
	switch act {
	case actOpen:
		return !p.told()
	case actVerdict:
		return p.told()
	case actAgain:
		return p.app.canWeld(p.s.Scenario().ID) && (p.app.turn == nil || p.told())
	case actBack:
		return p.app.turn == nil
	case actCompare:
		return p.before != nil
	case actSigns:
		return !p.wide && p.numbers && p.signs() != nil
	case actNumbers:
		return !p.wide && !p.numbers && p.signs() != nil
	}
	return true
}

func (p *couponPage) do(act action) {
	const leap = 0.1
	switch act {
	case actOpen:
		p.app.toGuess(p.s)
	case actVerdict:
		p.app.toVerdict(p.s)
	case actSigns, actNumbers:
		p.numbers = !p.numbers
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
	case actCompare:
		p.app.show(newComparePage(p))
	case actAgain:
		p.app.weldAgain(p.s)
	case actBack:
		p.app.toBeforeCoupon(p.s)
	}
}
