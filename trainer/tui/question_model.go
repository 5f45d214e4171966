package tui

import (
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// questionModel is a question on its way: which kind, what is asked, what was said.
type questionModel struct {
	kinds   []question.Kind
	sys     weld.System
	q       *question.Question // nil while the kind is chosen
	coupons []couponModel
	look    int // the coupon that is looked at
	replies []string
	result  *question.Result // nil until it is checked
	cursor  int              // of the kinds, or of the options of the part that is asked
	wrong   string           // why the last reply was not taken
}

// take takes a question that has been made.
func (m *questionModel) take(q *question.Question) {
	m.q, m.coupons, m.look, m.replies, m.result, m.cursor, m.wrong = q, nil, 0, nil, nil, 0, ""
	for _, c := range q.Coupons {
		m.lay(c)
	}
}

// lay puts a coupon beside the others, all to one scale.
func (m *questionModel) lay(c question.Coupon) {
	t := m.q.Scenario.Task
	m.coupons = append(m.coupons, couponModel{task: t, try: session.Attempt{Task: t, Answer: c.Answer, Verdict: c.Verdict}, sys: m.sys, blind: true})
	scale := 0.0
	for _, other := range m.coupons {
		scale = max(scale, stripHeight(other.try.Verdict.Coupon))
	}
	for i := range m.coupons {
		m.coupons[i].mm = scale
	}
}

// tell takes how the answer came out, and a coupon it was tried on.
func (m *questionModel) tell(r question.Result) {
	if m.result = &r; r.Tried != nil && len(r.Tried.Verdict.Coupon.Stations) > 0 {
		m.lay(*r.Tried)
	}
}

// drop goes back to the kinds, at the one that was asked.
func (m *questionModel) drop() {
	if m.q != nil {
		for i, k := range m.kinds {
			if k == m.q.Kind {
				m.cursor = i
			}
		}
	}
	m.q, m.coupons, m.result, m.wrong = nil, nil, nil, ""
}

// asking says whether a part waits for its answer.
func (m *questionModel) asking() bool { return m.q != nil && len(m.replies) < len(m.q.Parts) }

// typed says whether the part that waits wants something typed.
func (m *questionModel) typed() bool { return m.asking() && m.q.Parts[len(m.replies)].Typed }

// rows counts what the cursor can mark.
func (m *questionModel) rows() int {
	switch {
	case m.q == nil:
		return len(m.kinds)
	case m.asking() && !m.typed():
		return len(m.q.Parts[len(m.replies)].Options)
	}
	return 0
}

func (m *questionModel) move(by int) { m.cursor = max(0, min(m.rows()-1, m.cursor+by)) }

// number marks the row with the number typed.
func (m *questionModel) number(r rune) {
	if n := int(r - '1'); n >= 0 && n < m.rows() {
		m.cursor = n
	}
}

// say answers the part that is asked; what cannot be taken is told and asked again.
func (m *questionModel) say(reply string) {
	part := len(m.replies)
	if err := m.q.Accept(m.replies, reply, m.sys); err != nil {
		m.wrong = problem(err)
		return
	}
	m.replies, m.cursor, m.wrong = append(m.replies, reply), 0, ""
	if m.asking() && len(m.coupons) > 0 {
		m.look = m.q.Parts[part+1].Coupon
	}
}

// kindLines lists the kinds of question.
func (m *questionModel) kindLines(w int) []line {
	out := []line{{{"What shall it be about?", inkStrong}}, nil}
	for i, k := range m.kinds {
		name, about := view.KindWords(k)
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		out = append(out, line{{mark, in}, {itoa(i+1) + "  ", inkFaint}, {name, in}})
		for _, l := range wrap(about, w-6) {
			out = append(out, line{{"     " + l, inkFaint}})
		}
	}
	return out
}

// askLines is what has been said so far and the part that is asked.
func (m *questionModel) askLines(w int) []line {
	var out []line
	for i, r := range m.replies {
		out = append(out, line{{shorten(view.PartText(m.q, i, m.sys)+"  "+view.ReplyText(m.q, i, r, m.sys), w, "..."), inkFaint}})
	}
	if !m.asking() {
		return out
	}
	part := len(m.replies)
	for _, l := range wrap(view.PartText(m.q, part, m.sys), w) {
		out = append(out, line{{l, inkStrong}})
	}
	if m.typed() {
		for i, text := range view.OptionTexts(m.q, part, m.sys) {
			out = append(out, line{{"  " + itoa(i+1) + "  ", inkFaint}, {text, inkPlain}})
		}
		return append(out, paragraph(view.Wanted(m.q, m.replies, m.sys), w, inkFaint)...)
	}
	for i, text := range view.OptionTexts(m.q, part, m.sys) {
		mark, in := "  ", inkPlain
		if i == m.cursor {
			mark, in = "> ", inkFocus
		}
		out = append(out, line{{mark, in}, {itoa(i+1) + "  ", inkFaint}, {text, in}})
	}
	return out
}

// toldLines says how it came out and why.
func (m *questionModel) toldLines(w int) []line {
	const label = 9
	r := *m.result
	in := inkGood
	if r.Share() < 1 {
		in = inkBad
	}
	out := []line{{{view.RightWords(r), in}}}
	for _, o := range view.Outcomes(m.q, m.replies, r, m.sys) {
		in := inkGood
		if !o.Right {
			in = inkBad
		}
		for i, l := range labelled(o.Label, o.Text, label, w-2, inkPlain) {
			mark := "  "
			if i == 0 {
				mark = o.Mark + " "
			}
			out = append(out, append(line{{mark, in}}, l...))
		}
	}
	out = append(out, nil)
	for _, f := range view.Reasons(m.q, r, m.sys) {
		out = append(out, labelled(f.Label, f.Text, label+2, w, inkPlain)...)
	}
	return out
}
