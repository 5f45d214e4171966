package tui

import (
	"context"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// Show is a drill that a class is taken through before one screen. Nothing is kept.
type Show struct {
	Drill  drill.Drill
	Joints []scenarios.Scenario // its own, picked; at least one
	Vary   drill.Vary           // nil: joints as they are written
}

// showPage is the instructor's screen: the joint large, the clocks, and what the class says.
// It stays while the class welds and looks: it knows where in the drill it is.
type showPage struct {
	basePage
	showModel
	reader  scroller
	long    bool // the facts do not fit
	inputs  []*tview.InputField
	picture *sectionPicture
	stop    func() // ends the making of a joint
}

func newShowPage(a *app) *showPage {
	return &showPage{basePage: basePage{a}, showModel: newShowModel(a.opt.Show.Drill, a.opt.Show.Joints), stop: func() {}}
}

// mostHandsTyped is how many characters a show of hands takes at most.
const mostHandsTyped = 160

func newHandsInput(l *look) *tview.InputField {
	return newInput(l).SetAcceptanceFunc(tview.InputFieldMaxLength(mostHandsTyped))
}

// goTo goes to a joint, and has it made the first time; beyond the last is the end.
func (p *showPage) goTo(at int) {
	p.stop()
	p.decided()
	if at >= len(p.picked) {
		p.app.show(&showEndPage{basePage{p.app}, p})
		return
	}
	p.at = max(0, at)
	p.inputs, p.reader.offset = nil, 0
	p.app.show(p)
	if p.joint() != nil {
		p.lay()
		return
	}
	at, sc, show := p.at, p.picked[p.at], p.app.opt.Show
	p.stop = p.app.start(func(ctx context.Context, post func(func())) {
		made, err := session.Await(ctx, session.Background(func() (scenarios.Scenario, error) { return show.Drill.Make(sc, "", show.Vary), nil }))
		if err != nil {
			return
		}
		post(func() {
			if ctx.Err() == nil {
				p.take(at, p.app.open(made))
				p.lay()
			}
		})
	})
}

// lay lays the joint out to be decided on.
func (p *showPage) lay() {
	j := p.joint()
	p.picture = newSectionPicture(p.app.look, j.s.Scenario().Task, j.s.System())
	p.inputs = nil
	for i := range j.s.Entries() {
		p.inputs = append(p.inputs, newHandsInput(p.app.look).SetText(j.texts[i]).SetChangedFunc(func(text string) { j.texts[i], j.message = text, "" }))
	}
	p.deciding(p.app.opt.Now(), true)
}

// decided lets the joint's clock stand.
func (p *showPage) decided() { p.deciding(p.app.opt.Now(), false) }

// back shows the joint again, to be decided anew.
func (p *showPage) back() {
	p.joint().focus = 0
	p.lay()
	p.app.show(p)
}

func (p *showPage) name() screenName { return onShow }
func (p *showPage) typing() bool     { return true }

func (p *showPage) title() (string, line) {
	sc := p.picked[p.at]
	if j := p.joint(); j != nil {
		sc = j.s.Scenario()
	}
	return sc.Name() + "  " + sc.Title, line{{"joint " + itoa(p.at+1) + " of " + itoa(len(p.picked)), inkStrong}}
}

func (p *showPage) status() line {
	return line{{shorten(p.d.Title+": "+p.d.Aim, minWidth-2, p.app.look.glyph.dots), inkFaint}}
}

func (p *showPage) draw(c canvas) {
	const least, tall, few, many = 3, 50, 3, 6
	j := p.joint()
	if j == nil {
		c.line(3, c.h/2, plainLine("drawing a variation of "+p.picked[p.at].ID+" ..."))
		return
	}
	panel := few
	if c.h >= tall {
		panel = many
	}
	rows := min(len(p.inputs), max(least, c.h/5))
	top := c.h - rows - 1 - panel - 1
	p.drawJoint(c.sub(0, 0, c.w, top), j)
	c.rule(top)
	p.drawForm(c.sub(0, top+1, c.w, rows), j)
	c.line(0, top+1+rows, j.weldLine())
	under := c.sub(2, top+2+rows, c.w-2, panel)
	under.lines(0, j.panelLines(c.look, min(under.w, wideScreen), panel))
}

// drawJoint draws the section as large as there is room for, and beside it the clocks and
// what the sheet says.
func (p *showPage) drawJoint(c canvas, j *showJoint) {
	const apart, least = 3, 40 // cells; two clocks take the least
	right := max(least, c.w*12/25)
	torch := view.TorchOf(j.s.Answer(), func(key string) bool {
		for _, e := range j.s.Entries() {
			if e.Field.Key == key {
				return e.Ready()
			}
		}
		return true
	})
	p.picture.torch = &torch
	p.picture.SetRect(c.x, c.y, c.w-right-apart, c.h)
	p.picture.Draw(c.screen)
	text := c.sub(c.w-right, 0, right, c.h)
	clocks := clockLines(c.look, p.faces(p.app.opt.Now()), right, max(c.h/2, 7))
	text.lines(0, clocks)
	y := len(clocks)
	if len(p.faces(p.app.opt.Now())) == 0 {
		y = 0
	}
	text = text.sub(0, y, right, c.h-y)
	ls := showFacts(view.JointSheet(j.s.Scenario(), j.s.System()), right-1, text.h)
	p.long = len(ls) > text.h
	p.reader.draw(text, ls)
}

func (p *showPage) drawForm(c canvas, j *showJoint) {
	const widestBox, apart, echo = 48, 3, 18 // cells; echo is what stands around a box
	es := j.s.Entries()
	label := 0
	for _, e := range es {
		label = max(label, width(e.Field.Label))
	}
	box := min(widestBox, c.w-label-echo)
	from := max(0, min(j.focus-c.h/2, len(es)-c.h))
	for i := 0; i < c.h && from+i < len(es); i++ {
		e, at := es[from+i], from+i
		in, here := inkPlain, at == j.focus
		if here {
			in = inkFocus
			c.put(0, i, ">", in)
		}
		x := c.put(2, i, padTo(e.Field.Label, label+1)+"[ ", in)
		focus(p.inputs[at], here)
		p.inputs[at].SetRect(c.x+x, c.y+i, box, 1)
		p.inputs[at].Draw(c.screen)
		x = c.put(x+box, i, " ] ", in)
		switch tally := tallyLine(c.look, j.hands[e.Field.Key], c.w-x-apart); {
		case e.Ready() && tally != nil && c.w >= wideScreen:
			c.line(c.put(x, i, "+  ", inkGood), i, tally)
		case e.Ready():
			c.put(x, i, "+ "+e.Text, inkGood)
		case j.wrong && here:
			c.put(x, i, "x", inkBad)
		default:
			c.put(x, i, e.Field.Unit(j.s.System()), inkFaint)
		}
	}
}

func (p *showPage) can(act action) bool {
	j := p.joint()
	if j == nil {
		return act != actOpen && act != actWeld && act != actPrev && act != actNext && act != actHint && act != actClockStop && act != actClockGo && act != actPageUp && act != actPageDown
	}
	weldNow := j.focus == len(j.s.Entries()) && j.ready()
	clocks := p.d.PerJoint > 0 || p.d.Whole > 0
	switch act {
	case actWeld:
		return weldNow
	case actOpen:
		return !weldNow
	case actHint:
		return p.d.Hints && j.focus < len(p.inputs)
	case actClockStop:
		return clocks && !p.stopped
	case actClockGo:
		return clocks && p.stopped
	case actPageUp, actPageDown:
		return p.long
	case actJointBefore:
		return p.at > 0
	}
	return true
}

func (p *showPage) do(act action) {
	switch act {
	case actWeld:
		job, err := p.joint().s.Prepare()
		if err != nil {
			p.app.warn(err)
			return
		}
		p.decided()
		p.app.show(newWeldPage(p.app, p.joint().s, job))
	case actOpen:
		p.joint().next()
	case actPrev:
		p.joint().move(-1)
	case actNext:
		p.joint().move(1)
	case actHint:
		p.joint().hint()
	case actClockStop, actClockGo:
		p.showModel.stop(p.app.opt.Now())
	case actPageUp, actPageDown:
		p.reader.do(act)
	case actJointBefore:
		p.goTo(p.at - 1)
	case actJointAfter:
		p.goTo(p.at + 1)
	case actBack:
		p.app.show(newAskPage(p.app, "Leave the drill?", "Nothing of it is kept.", p.app.quit, p))
	}
}

func (p *showPage) key(ev *tcell.EventKey) {
	if j := p.joint(); j != nil && j.focus < len(p.inputs) {
		feed(p.inputs[j.focus], ev)
	}
}

func (p *showPage) paste(s string) {
	if j := p.joint(); j != nil && j.focus < len(p.inputs) {
		p.inputs[j.focus].PasteHandler()(text(s), func(tview.Primitive) {})
	}
}

// showGuessPage asks the class what went wrong, by hands.
type showGuessPage struct {
	basePage
	of      *showPage
	coupon  *couponPage
	choices []session.Cause
	input   *tview.InputField
	read    string // as it was when it was counted
	up      []drill.Hand
	rules   []string
	wrong   string
}

func newShowGuessPage(of *showPage, s *session.Session) *showGuessPage {
	return &showGuessPage{basePage: of.basePage, of: of, coupon: newCouponPage(of.app, s), choices: s.Choices(), input: newHandsInput(of.app.look)}
}

func (p *showGuessPage) name() screenName { return onShowGuess }
func (p *showGuessPage) title() (string, line) {
	left, right := p.coupon.title()
	return left, append(p.of.wholeLine(p.app.opt.Now()), right...)
}
func (p *showGuessPage) typing() bool { return true }

// counted says whether what is typed has been counted and not changed since.
func (p *showGuessPage) counted() bool { return p.rules != nil && p.read == p.input.GetText() }

func (p *showGuessPage) draw(c canvas) {
	const face, box = 6, 48
	seen := signLines(p.coupon.signs(), min(c.w, readable), false)
	block := len(p.choices) + 4
	y := 0
	if c.h-block-len(seen)-1 >= face {
		y = p.coupon.drawStrips(c, 4, c.h-block-len(seen)-1 >= 3*face) + 1
	}
	if y+len(seen)+block < c.h {
		c.lines(y, seen)
		y += len(seen) + 1
	}
	c.put(0, y, "What went wrong?", inkStrong)
	c.lines(y+1, causeLines(c.look, p.choices, p.up, p.rules, c.w))
	y += 1 + len(p.choices)
	x := c.put(0, y, "> one number or hands [ ", inkFocus)
	focus(p.input, true)
	p.input.SetRect(c.x+x, c.y+y, box, 1)
	p.input.Draw(c.screen)
	c.put(x+box, y, " ]", inkFocus)
	if p.wrong != "" {
		c.lines(y+1, paragraph(p.wrong, c.w, inkBad))
	} else if !p.counted() {
		c.put(2, y+1, "such as 3, or 1: 5, 3: 8", inkFaint)
	}
}

func (p *showGuessPage) can(act action) bool {
	switch act {
	case actOpen:
		return !p.counted()
	case actVerdict:
		return p.counted()
	}
	return true
}

func (p *showGuessPage) do(act action) {
	switch act {
	case actOpen:
		up, rules, err := drill.CauseHands(p.choices, p.input.GetText())
		if p.up, p.rules, p.wrong = up, rules, ""; err != nil {
			p.wrong = err.Error()
			return
		}
		p.read = p.input.GetText()
	case actVerdict:
		_, err := p.coupon.s.Say(p.rules[0])
		p.app.toVerdict(p.coupon.s)
		p.app.warn(err)
	case actBack:
		p.app.show(p.coupon)
	}
}

func (p *showGuessPage) key(ev *tcell.EventKey) { feed(p.input, ev) }

func (p *showGuessPage) paste(s string) {
	p.input.PasteHandler()(text(s), func(tview.Primitive) {})
}

// showVerdictPage is the verdict before a class, with its hands on the window.
type showVerdictPage struct {
	*verdictPage
	of *showPage
}

func newShowVerdictPage(of *showPage, s *session.Session) *showVerdictPage {
	p := &showVerdictPage{newVerdictPage(of.app, s), of}
	p.window.hands = func(w *scoring.Window) (string, []view.ChartOption) { return of.joint().hands.On(w, s) }
	return p
}

func (p *showVerdictPage) name() screenName { return onShowVerdict }

func (p *showVerdictPage) title() (string, line) {
	left, right := p.verdictPage.title()
	return left, append(p.of.wholeLine(p.app.opt.Now()), right...)
}

func (p *showVerdictPage) can(act action) bool {
	return act == actAgain || act == actJointAfter || p.verdictPage.can(act)
}

func (p *showVerdictPage) do(act action) {
	switch act {
	case actAgain:
		p.leave()
		p.of.back()
	case actJointAfter:
		p.leave()
		p.of.goTo(p.of.at + 1)
	default:
		p.verdictPage.do(act)
	}
}

// showEndPage stands after the last joint.
type showEndPage struct {
	basePage
	of *showPage
}

func (p *showEndPage) name() screenName { return onShowEnd }
func (p *showEndPage) title() (string, line) {
	return p.of.d.Title, line{{view.Counted(len(p.of.picked), "joint"), inkFaint}}
}
func (p *showEndPage) can(action) bool { return true }

func (p *showEndPage) draw(c canvas) {
	c.line(3, c.h/2-1, line{{"That was the last joint.", inkStrong}})
}

func (p *showEndPage) do(act action) {
	if act == actQuit {
		p.app.quit()
		return
	}
	p.of.goTo(len(p.of.picked) - 1)
}

// showKeys are the keys of the joint before a class.
var showKeys = []command{
	{act: actWeld, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "weld", help: "weld what had the most hands, once every field has an answer", typing: true},
	{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "take it", help: "take what is typed, and on to the next field", typing: true},
	{act: actPrev, keys: []stroke{named(tcell.KeyUp), named(tcell.KeyBacktab)}},
	{act: actNext, keys: []stroke{named(tcell.KeyDown), named(tcell.KeyTab)}, name: "up/down", does: "field", help: "the field before or after, also tab and shift-tab"},
	{act: actHint, keys: []stroke{char('?')}, name: "?", does: "hint", help: "a hint for this field", typing: true},
	{act: actClockStop, keys: []stroke{named(tcell.KeyF2)}, name: "f2", does: "stop clock"},
	{act: actClockGo, keys: []stroke{named(tcell.KeyF2)}, name: "f2", does: "clock on", help: "stop the clocks, and let them go on"},
	{act: actJointBefore, keys: []stroke{named(tcell.KeyF3)}},
	{act: actJointAfter, keys: []stroke{named(tcell.KeyF4)}, name: "f3/f4", does: "joint", help: "the joint before or after, whether it was welded or not"},
	{act: actPageUp, keys: []stroke{named(tcell.KeyPgUp), named(tcell.KeyCtrlB)}},
	{act: actPageDown, keys: []stroke{named(tcell.KeyPgDn), named(tcell.KeyCtrlF)}, name: "pgup/pgdn", does: "read", help: "read on in the joint sheet, also ctrl-b and ctrl-f"},
	{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "leave", help: "leave the drill; it asks first"},
	{act: actHelp, keys: []stroke{named(tcell.KeyF1)}, name: "f1", does: "keys", help: "this list"},
	rowQuitNow,
}

var showGuessKeys = []command{
	{act: actOpen, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "count", help: "count the hands", typing: true},
	{act: actVerdict, keys: []stroke{named(tcell.KeyEnter)}, name: "enter", does: "verdict", help: "then the verdict", typing: true},
	{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "coupon", help: "back to the coupon"},
	{act: actHelp, keys: []stroke{named(tcell.KeyF1)}, name: "f1", does: "keys", help: "this list"},
	rowQuitNow,
}

var showVerdictKeys = []command{
	{act: actJointAfter, keys: []stroke{char('n'), named(tcell.KeyF4)}, name: "n", does: "next joint", help: "on to the next joint, also f4"},
	{act: actAgain, keys: []stroke{char('w'), named(tcell.KeyEnter)}, name: "w", does: "again", help: "this joint again with other answers, also enter"},
	{act: actWindow, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "window", help: "the settings window with what had hands, and back"},
	{act: actFindings, keys: []stroke{named(tcell.KeyTab), named(tcell.KeyEsc)}, name: "tab", does: "findings"},
	{act: actPictures, keys: []stroke{named(tcell.KeyTab)}, name: "tab", does: "coupon"},
	{act: actAxes, keys: []stroke{char('a')}, name: "a", does: "other settings", help: "two other settings in the window"},
	{act: actAll, keys: []stroke{char('m')}, name: "m", does: "all", help: "tell every finding, or only the first again"},
	{act: actAdvice, keys: []stroke{char('t')}, name: "t", does: "advice", help: "what a good hand would try"},
	{act: actSources, keys: []stroke{char('s')}, name: "s", does: "sources", help: "where each finding comes from: a standard, a handbook, the model or common practice"},
	rowUp, rowRead, rowPageUp, rowPageDown, rowFirst, rowLast,
	{act: actBack, keys: []stroke{named(tcell.KeyEsc)}, name: "esc", does: "coupon", help: "back to the coupon"},
	rowHelp, rowQuitNow,
}

var showEndKeys = []command{
	{act: actQuit, keys: []stroke{char('q'), named(tcell.KeyEnter)}, name: "q", does: "quit", help: "leave, also enter"},
	{act: actJointBefore, keys: []stroke{named(tcell.KeyF3), named(tcell.KeyEsc)}, name: "f3", does: "last joint", help: "back to the last joint, also esc"},
	rowHelp, rowQuitNow,
}
