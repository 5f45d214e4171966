package tui

import (
	"context"
	"strings"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// questionPage asks about coupons: all kinds of question, from choosing one to the
// reasons, with what there is to look at over what is asked.
type questionPage struct {
	basePage
	questionModel
	desk  question.Desk
	joint string // only of this one; empty: of any
	seed  int64
	from  func() // where it was opened
	stop  func() // ends what is under way; nil when nothing is
	ticks int
	input *tview.InputField // of what is typed
	turn  *turn             // the drill it is asked in; nil: none
	scroller
}

// toQuestions opens the questions, of one joint or of any.
func (a *app) toQuestions(joint string, from func()) {
	desk := *a.opt.Questions
	a.show(&questionPage{
		basePage: basePage{a}, input: newInput(a.look), desk: desk, joint: joint, seed: desk.Seed(), from: from,
		questionModel: questionModel{kinds: question.Kinds(), sys: a.opt.Settings.Units},
	})
}

// wait runs work off the event loop and shows that it does.
func wait[T any](p *questionPage, work func(ctx context.Context) <-chan session.Result[T], done func(T, error)) {
	ticks := p.app.opt.Ticks
	p.ticks = 0
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		tick, stop := ticks(modelTick)
		defer stop()
		result := work(ctx)
		for {
			select {
			case <-ctx.Done():
				return
			case <-tick:
				post(func() { p.ticks++ })
			case r := <-result:
				if r.Panic != nil {
					panic(r.Panic)
				}
				post(func() {
					if ctx.Err() == nil {
						p.stop = nil
						done(r.Value, r.Err)
					}
				})
				return
			}
		}
	})
}

// compose makes the question of the seed.
func (p *questionPage) compose(kind question.Kind) {
	joint, seed := p.joint, p.seed
	p.seed++
	wait(p, func(ctx context.Context) <-chan session.Result[*question.Question] {
		return p.desk.Composed(ctx, kind, joint, seed)
	}, func(q *question.Question, err error) {
		switch {
		case err != nil && p.turn != nil:
			p.turn.unasked(joint)
		case err != nil:
			p.drop()
			p.app.warn(err)
		default:
			p.take(q)
		}
	})
}

// check checks what was said, and records it.
func (p *questionPage) check() {
	q, replies := p.q, p.replies
	wait(p, func(ctx context.Context) <-chan session.Result[question.Result] {
		return p.desk.Checked(ctx, q, replies, p.sys)
	}, func(r question.Result, err error) {
		if err != nil {
			p.replies = nil
			p.app.warn(err)
			return
		}
		if p.turn != nil && !p.turn.answered(q, replies, r) { // on disk before it is shown
			return
		}
		p.tell(r)
		p.offset = 0
		p.app.warn(p.desk.Record(q, replies, r, p.app.opt.Settings.Name))
	})
}

func (p *questionPage) name() screenName { return onQuestion }

func (p *questionPage) title() (string, line) {
	if p.q == nil {
		if p.joint != "" {
			return "puddlewise: look at a coupon of " + p.joint, nil
		}
		return "puddlewise: look at a coupon", nil
	}
	right := "question " + itoa(int(p.q.Seed))
	if len(p.coupons) > 1 {
		right = "coupon " + view.CouponLetter(p.look) + "   " + right
	}
	return p.q.Scenario.Title, line{{right, inkFaint}}
}

func (p *questionPage) status() line {
	switch {
	case p.stop != nil:
		return progressLine(p.ticks)
	case p.wrong != "":
		return line{{shorten(strings.ReplaceAll(p.wrong, "\n", "; "), minWidth-2, p.app.look.glyph.dots), inkWarn}}
	case p.result != nil && len(p.coupons) > len(p.q.Coupons):
		if len(p.coupons) == 1 {
			return line{{"this is the coupon it comes to", inkFaint}}
		}
		which := " is yours"
		if p.q.Kind == question.Limit {
			which = " is just beyond"
		}
		return line{{"coupon " + view.CouponLetter(len(p.coupons)-1) + which + ": tab turns to it", inkFaint}}
	}
	return nil
}

func (p *questionPage) draw(c canvas) {
	w := min(c.w, readable)
	if p.q == nil {
		if p.turn == nil {
			c.lines(1, p.kindLines(w))
		}
		return
	}
	c.line(0, 0, line{{shorten(view.QuestionHead(p.q, p.sys), c.w, c.look.glyph.dots), inkFaint}})
	c = c.sub(0, 1, c.w, c.h-1)
	var block []line
	if p.result != nil {
		block = p.toldLines(w)
	} else {
		block, p.offset = p.askLines(w), 0
	}
	typed := len(block)
	if p.typed() {
		block = append(block, nil) // the row it is typed in
	}
	y := p.drawSeen(c, c.h-len(block)-1)
	if len(p.coupons) > 0 {
		head := "what is to be seen"
		if len(p.coupons) > 1 {
			head += " of coupon " + view.CouponLetter(p.look)
		}
		block = append(block, nil, line{{head, inkFaint}})
		block = append(block, signLines(p.coupons[p.look].signs(), w, p.result != nil)...)
	}
	p.scroller.draw(c.sub(0, y, c.w, c.h-y), block)
	if focus(p.input, p.typing()); p.typing() {
		const box = 30
		x := c.put(0, y+typed, "> [ ", inkFocus)
		p.input.SetRect(c.x+x, c.y+y+typed, box, 1)
		p.input.Draw(c.screen)
		c.put(x+box, y+typed, " ]", inkFocus)
	}
}

func (p *questionPage) typing() bool { return p.typed() && p.stop == nil }

// drawSeen draws what there is to look at in so many rows and gives the row under it:
// the faces of all coupons where there is room for them beside the signs, else of one.
func (p *questionPage) drawSeen(c canvas, room int) int {
	if len(p.coupons) == 0 {
		return p.drawJoint(c, room)
	}
	const least, most, ruler = 3, 8, 2 // rows of a face, and under it
	m := p.coupons[p.look]
	room -= len(signLines(m.signs(), min(c.w, readable), p.result != nil)) + 2
	n := len(p.coupons)
	if n == 1 || room < n*(least+1)+ruler {
		part := couponPage{couponModel: m}
		return part.drawStrips(c, min(most, max(least, room-ruler-1)), room >= 2*most) + 1
	}
	y := 0
	for i, m := range p.coupons {
		part := couponPage{couponModel: m}
		draw := part.drawSides
		if i == n-1 {
			draw = part.drawStrips
		}
		in := inkPlain
		if i == p.look {
			in = inkFocus
		}
		at := y
		y += draw(c.sub(0, y, c.w, c.h), min(most, (room-ruler)/n-1), false)
		c.put(5, at, view.CouponLetter(i), in)
	}
	return y + 1
}

// drawJoint draws the joint of a question without a coupon, and what the sheet says of it.
func (p *questionPage) drawJoint(c canvas, room int) int {
	const most = 14
	if facts := view.Paper(p.q, p.sys); facts != nil {
		label := 0
		for _, f := range facts {
			label = max(label, width(f.Label)+2)
		}
		var ls []line
		for _, f := range facts {
			ls = append(ls, labelled(f.Label, f.Text, label, min(c.w, readable), inkPlain)...)
		}
		h := max(0, min(len(ls), room))
		c.sub(0, 0, c.w, h).scroll(ls, 0)
		return h + 1
	}
	w := min(c.w*2/5, 50)
	h := min(room, most)
	pic := newSectionPicture(c.look, p.q.Scenario.Task, p.sys)
	pic.torch = &view.PlainTorch
	pic.SetRect(c.x, c.y, w, h)
	pic.Draw(c.screen)
	right := c.sub(w+3, 0, c.w-w-3, h)
	var ls []line
	for _, f := range view.JointSheet(p.q.Scenario, p.sys).Facts {
		ls = append(ls, labelled(f.Label, f.Text, 10, min(right.w, readable), inkPlain)...)
	}
	right.lines(0, ls)
	return h + 1
}

func (p *questionPage) can(act action) bool {
	switch act {
	case actOpen:
		return p.stop == nil && p.result == nil && (p.q != nil || p.turn == nil)
	case actOther:
		return p.stop == nil && p.result != nil && p.turn == nil
	case actGoOn:
		return p.result != nil && p.turn != nil
	case actLeave:
		return p.result == nil && p.turn != nil && len(p.replies) == 0
	case actBack:
		return p.turn == nil || p.result == nil && len(p.replies) > 0
	case actUp, actDown:
		return p.stop == nil && (p.rows() > 1 || p.result != nil)
	case actCompare:
		return len(p.coupons) > 1
	case actWorst:
		return len(p.coupons) > 0
	}
	return true
}

func (p *questionPage) do(act action) {
	switch act {
	case actOpen:
		switch {
		case p.q == nil:
			p.compose(p.kinds[p.cursor])
		case p.asking():
			reply := itoa(p.cursor + 1)
			if p.typed() {
				reply = text(p.input.GetText())
			}
			if p.say(reply); p.wrong == "" {
				p.input.SetText("")
			}
			if !p.asking() {
				p.check()
			}
		}
	case actOther:
		p.compose(p.q.Kind)
	case actGoOn:
		p.turn.goOn()
	case actLeave:
		p.app.show(newLeavingPage(p.app))
	case actUp, actDown:
		if p.result != nil {
			p.scroller.do(act)
			return
		}
		p.move(map[action]int{actUp: -1, actDown: 1}[act])
	case actCompare:
		p.look = (p.look + 1) % len(p.coupons)
	case actWorst:
		p.app.show(newCloserPage(p))
	case actBack:
		switch {
		case p.stop != nil:
			p.stop()
			p.stop = nil
			if p.q != nil && !p.asking() && p.result == nil {
				p.replies = nil
			}
		case p.q != nil && len(p.replies) > 0 && p.result == nil:
			p.replies, p.cursor, p.wrong = p.replies[:len(p.replies)-1], 0, ""
		case p.q != nil:
			p.drop()
		default:
			p.from()
		}
	}
}

func (p *questionPage) key(ev *tcell.EventKey) {
	if p.typing() {
		feed(p.input, ev)
		return
	}
	if ev.Key() == tcell.KeyRune && p.stop == nil {
		p.number(ev.Rune())
	}
}

func (p *questionPage) paste(s string) {
	if p.typing() {
		p.input.PasteHandler()(text(s), func(tview.Primitive) {})
	}
}

// closerPage is a question's coupon to look along: face, back, section and numbers.
type closerPage struct {
	*couponPage
	of *questionPage
}

func newCloserPage(of *questionPage) *closerPage {
	return &closerPage{&couponPage{basePage: of.basePage, couponModel: of.coupons[of.look]}, of}
}

func (p *closerPage) name() screenName      { return onCloser }
func (p *closerPage) title() (string, line) { return p.of.title() }
func (p *closerPage) status() line          { return nil }

func (p *closerPage) can(act action) bool {
	return act != actSigns && act != actNumbers || p.couponPage.can(act)
}

func (p *closerPage) do(act action) {
	if act == actBack {
		p.of.coupons[p.of.look].at = p.at
		p.app.show(p.of)
		return
	}
	p.couponPage.do(act)
}
