package tui

import (
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// talkModel is a drill talked through joint by joint, and what has been welded and mapped
// of it so far.
type talkModel struct {
	title string
	talks []drill.Talk
	found []*talkFound // by talk
	bank  []scenarios.Scenario
	sys   weld.System
	names bool // whose is whose
	at    int  // the joint
	pane  int  // of panes
	width int  // of the page, as it was drawn last
}

// talkFound is what has been made again of a joint.
type talkFound struct {
	asked   bool // the question has been made, or cannot be
	q       *question.Question
	result  question.Result
	askErr  error
	looked  []couponModel // the question's coupons
	welded  bool          // the coupons have been, or cannot be
	coupons couponPair
	weldErr error
	around  weld.Answer
	pairs   []session.Axes
	pair    int // the one looked at
	windows map[session.Axes]*scoring.Window
	mapErr  map[session.Axes]error
	only    bool // there is one coupon alone
}

// talkPane is something to look at of a joint.
type talkPane int

const (
	paneQuestion talkPane = iota // what was answered to it, and why
	paneLook                     // its coupons
	paneAnswers                  // the settings window
	paneCoupons                  // worst and best
	paneBelow                    // their backs and sections, where the screen is narrow
)

func newTalkModel(t Talk, bank []scenarios.Scenario, sys weld.System) talkModel {
	m := talkModel{title: t.Title, talks: t.Talks, bank: bank, sys: sys, names: t.Names}
	for _, talk := range t.Talks {
		f := &talkFound{windows: map[session.Axes]*scoring.Window{}, mapErr: map[session.Axes]error{}}
		f.around, f.pairs = talk.Windows()
		m.found = append(m.found, f)
	}
	return m
}

func (m *talkModel) talk() drill.Talk   { return m.talks[m.at] }
func (m *talkModel) here() *talkFound   { return m.found[m.at] }
func (m *talkModel) axes() session.Axes { return m.here().pairs[m.here().pair] }

// panes lists what there is to look at of the joint.
func (m *talkModel) panes() []talkPane {
	var out []talkPane
	if m.talk().Quiz != nil {
		out = append(out, paneQuestion)
		if len(m.here().looked) > 0 {
			out = append(out, paneLook)
		}
	}
	if len(m.here().pairs) > 0 {
		out = append(out, paneAnswers)
	}
	if m.talk().Worst != nil {
		out = append(out, paneCoupons)
		if m.width < wideScreen && m.talk().Best != nil {
			out = append(out, paneBelow)
		}
	}
	return out
}

// showing gives the pane looked at; ok is false where the joint has none.
func (m *talkModel) showing() (p talkPane, ok bool) {
	all := m.panes()
	if len(all) == 0 {
		return 0, false
	}
	return all[m.pane%len(all)], true
}

// next gives the pane that comes after it; ok is false where there is no other.
func (m *talkModel) next() (p talkPane, ok bool) {
	all := m.panes()
	if len(all) < 2 {
		return 0, false
	}
	return all[(m.pane+1)%len(all)], true
}

// turn looks at the next pane.
func (m *talkModel) turn() { m.pane = (m.pane + 1) % max(1, len(m.panes())) }

// to goes to a joint.
func (m *talkModel) to(at int) { m.at, m.pane = at, 0 }

// ask takes the question of a joint, made again.
func (m *talkModel) ask(f *talkFound, q *question.Question, r question.Result, err error) {
	f.asked, f.q, f.result, f.askErr = true, q, r, err
	if err != nil {
		return
	}
	qm := questionModel{sys: m.sys}
	qm.take(q)
	f.looked = qm.coupons
}

// weld takes the worst coupon and the best, the same where there is only one.
func (m *talkModel) weld(f *talkFound, t drill.Talk, worst, best session.Attempt) {
	f.welded, f.only = true, t.Best == nil
	f.coupons = couponPair{compareModel: newCompareModel(couponModel{task: t.Task, try: best, sys: m.sys}, worst, view.AllFields())}
	f.coupons.names = [2]string{"furthest", "best"}
}

// name gives the joint's name and title.
func (m *talkModel) jointName(t drill.Talk) string {
	sc, _ := scenarios.Find(m.bank, t.Scenario)
	return scenarios.Name(t.Scenario, t.Seed) + "  " + sc.Title
}

// headLine is how the class did at the joint.
func (m *talkModel) headLine(look *look, w int) line {
	t := m.talk()
	out := line{{view.PassedWords(t.Passed, t.Tried) + " ", inkStrong}}
	out = append(out, shareBar(look, t.Passed, w/8)...)
	if t.Finding != "" {
		out = append(out, span{"  Most often: " + session.InWords(t.Finding) + ".", inkPlain})
	}
	return out
}

// shareBar draws a share from 0 to 1.
func shareBar(look *look, share float64, cells int) line {
	n := int(share*float64(cells) + 0.5)
	g := look.glyph
	return line{{strings.Repeat(string(g.full), n), inkFocus}, {strings.Repeat(string(g.empty), cells-n), inkRule}}
}

// couponHead says which coupon it is, whose if names are shown, and what came of it.
func (m *talkModel) couponHead(what string, a session.Attempt) line {
	if m.names {
		what += ", " + a.Learner
	}
	if by := view.LiveWords(a.Live()); by != "" {
		what += ", " + by
	}
	v := a.Verdict
	word, mark := view.Outcome(v.Outcome)
	out := line{{what + "   ", inkFaint}, {word + " " + mark, outcomeInk(v.Outcome)}}
	if v.Outcome == scoring.Reject && len(v.Findings) > 0 {
		out = append(out, span{"  " + session.InWords(v.Findings[0].Rule), inkPlain})
	}
	return out
}

// betweenWords says what lies between the worst coupon and the best, or how the only one
// was welded.
func (m *talkModel) betweenWords() string {
	f := m.here()
	if !f.only {
		return "between them: " + f.coupons.changeWords()
	}
	var set []string
	for _, key := range m.talk().Set {
		if fd, ok := weld.FieldByKey(key); ok {
			set = append(set, fd.Label+" "+fd.Show(f.coupons.now.try.Answer, m.sys))
		}
	}
	return strings.Join(set, ", ")
}

// scoreWords says the scores of the worst coupon and of the best, or of the only one.
func (m *talkModel) scoreWords() string {
	f := m.here()
	var out []string
	for _, c := range view.Compare(f.coupons.before.try, f.coupons.now.try, nil, m.sys).Scores {
		text := c.Label + " " + c.Before
		if !f.only {
			text += " -> " + c.After
		}
		out = append(out, text)
	}
	return strings.Join(out, ", ")
}

// answerLines lists the first answers.
func (m *talkModel) answerLines() []line {
	t, x := m.talk(), m.axes()
	fx, _ := weld.FieldByKey(x.X)
	fy, _ := weld.FieldByKey(x.Y)
	out := []line{{{"first answers, " + x.Words(), inkFaint}}}
	for _, p := range view.PointRows(m.here().windows[x], fx, fy, t.Points(fx, fy), m.names, m.sys) {
		mark := span{"N ", inkFocus} // as on the map
		if p.Passed {
			mark.text = "P "
		}
		out = append(out, line{mark, {p.Text, inkPlain}})
	}
	if t.Others > 0 {
		out = append(out, line{{"and " + view.Counted(t.Others, "learner") + " on another variation", inkFaint}})
	}
	return out
}

// chart is the window with the class on it, of so many lines; nil until it is mapped.
func (m *talkModel) chart(h int) *view.Chart {
	const rest = 4 // lines that are not the map
	w := m.here().windows[m.axes()]
	if w == nil {
		return nil
	}
	c := view.ClassChart(w, m.sys, m.talk().Points(w.X, w.Y), h-rest)
	return &c
}

// mapLine says why there is no window yet.
func (m *talkModel) mapLine() line {
	x := m.axes()
	if err := m.here().mapErr[x]; err != nil {
		return line{{"No window of " + x.Words() + ": " + strings.ReplaceAll(err.Error(), "\n", "; "), inkBad}}
	}
	return line{{"mapping " + x.Words() + " ...", inkPlain}, {"   P passed   N did not pass", inkFaint}}
}

// questionLines is what the class answered to the question, what is right and why.
func (m *talkModel) questionLines(look *look, w int) []line {
	z, f := m.talk().Quiz, m.here()
	name, about := view.KindWords(z.Kind)
	out := paragraph("A question, "+name+": "+about+".", w, inkPlain)
	out = append(out, paragraph(view.Counted(z.Right(), "learner")+" of "+itoa(len(z.Said))+" had all of it right.", w, inkStrong)...)
	if z.Others > 0 {
		out = append(out, paragraph(view.Counted(z.Others, "learner")+" had another question of the joint.", w, inkFaint)...)
	}
	switch {
	case !f.asked:
		return append(out, nil, plainLine("welding ..."))
	case f.askErr != nil:
		return append(append(out, nil), paragraph("It cannot be made again: "+strings.ReplaceAll(f.askErr.Error(), "\n", "; "), w, inkBad)...)
	}
	out = append(append(out, nil), paragraph(view.QuestionHead(f.q, m.sys), w, inkFaint)...)
	for _, l := range view.Paper(f.q, m.sys) {
		out = append(out, labelled("  "+l.Label, l.Text, 26, w, inkPlain)...)
	}
	for _, p := range view.Tally(f.q, f.result, z.Said, m.sys) {
		out = append(append(out, nil), paragraph(p.Ask, w, inkStrong)...)
		for i, text := range p.Steps {
			out = append(out, labelled("  "+itoa(i+1), text, 5, w, inkFaint)...)
		}
		for _, o := range p.Said {
			out = append(out, m.talliedLines(look, o, len(z.Said), w)...)
		}
		if p.Truth != "" {
			out = append(out, labelled("  right", p.Truth, 9, w, inkGood)...)
		}
	}
	out = append(out, nil)
	for _, r := range view.Reasons(f.q, f.result, m.sys) {
		out = append(out, labelled(r.Label, r.Text, 11, w, inkPlain)...)
	}
	return out
}

// talliedLines is an option with who chose it.
func (m *talkModel) talliedLines(look *look, o view.Tallied, of, w int) []line {
	const bar = 10
	mark, in := "  ", inkPlain
	if o.Right {
		mark, in = "+ ", inkGood
	}
	head := append(line{{mark, in}, {padLeft(itoa(len(o.Who)), 3) + " ", in}}, shareBar(look, float64(len(o.Who))/float64(max(1, of)), bar)...)
	text := o.Text
	if m.names && len(o.Who) > 0 {
		text += " (" + strings.Join(o.Who, ", ") + ")"
	}
	indent := width(head.String()) + 1
	var out []line
	for i, l := range wrap(text, w-indent) {
		if i > 0 {
			head = plainLine(padTo("", indent-1))
		}
		out = append(out, append(head, span{" " + l, in}))
	}
	return out
}

// listLine is a joint in the list.
func (m *talkModel) listLine(look *look, i, w int, here bool) line {
	t := m.talks[i]
	mark, in := "  ", inkPlain
	if here {
		mark, in = "> ", inkFocus
	}
	const bar, finding = 10, 20
	title := w - bar - finding - 16
	out := line{{mark, in}, {padTo(shorten(m.jointName(t), title, look.glyph.dots), title+1), in}}
	out = append(out, shareBar(look, t.Passed, bar)...)
	out = append(out, span{" " + padTo(itoa(int(t.Passed*float64(t.Tried)+0.5))+" of "+itoa(t.Tried), 11), in})
	if t.Finding != "" {
		out = append(out, span{session.InWords(t.Finding), inkFaint})
	}
	return out
}
