package tui

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// benchModel is the answer form over a session: which field has the focus, what
// has been left wrong, what to say under the form.
type benchModel struct {
	s       *session.Session
	focus   int
	flagged map[string]bool // fields left with a text that cannot be taken
	hint    string          // asked for, until another field is looked at
	asked   int             // how often at this field
	typed   string          // letters typed into a field of choices
	hand    bool            // it is welded by hand alone: what that decides is left
}

func newBenchModel(s *session.Session) *benchModel {
	m := &benchModel{s: s, flagged: map[string]bool{}}
	for _, e := range s.Entries() { // left wrong another time
		if e.Err != nil {
			m.flagged[e.Field.Key] = true
		}
	}
	return m
}

// entry gives the field that has the focus; ok is false when nothing is asked.
func (m *benchModel) entry() (e session.Entry, ok bool) {
	es := m.s.Entries()
	if m.focus >= len(es) {
		return session.Entry{}, false
	}
	return es[m.focus], true
}

// set takes what is typed. While it is being typed nothing is held against it.
func (m *benchModel) set(i int, text string) {
	e := m.s.Entries()[i]
	delete(m.flagged, e.Field.Key)
	_ = m.s.Set(e.Field.Key, text) // kept with the entry
}

// check flags the field in focus when its text cannot be taken, and says whether it can.
func (m *benchModel) check() bool {
	e, ok := m.entry()
	if ok && e.Err != nil {
		m.flagged[e.Field.Key] = true
		return false
	}
	return true
}

// move takes the focus to another field, around the ends.
func (m *benchModel) move(by int) {
	m.check()
	if n := len(m.s.Entries()); n > 0 {
		m.focus = ((m.focus+by)%n + n) % n
	}
	m.hint, m.typed, m.asked = "", "", 0
}

// next takes the focus to the next field without a value; it stays where the
// text is wrong, so that the reason can be read.
func (m *benchModel) next() {
	if !m.check() {
		return
	}
	es := m.s.Entries()
	for i := 1; i <= len(es); i++ {
		if !es[(m.focus+i)%len(es)].Ready() {
			m.move(i)
			return
		}
	}
}

// choices gives what the field in focus offers; nil when it takes a number.
func (m *benchModel) choices() []string {
	e, ok := m.entry()
	if !ok {
		return nil
	}
	return e.Field.Choices
}

// step goes through the choices of the field in focus.
func (m *benchModel) step(by int) {
	cs := m.choices()
	if cs == nil {
		return
	}
	e, _ := m.entry()
	at := slices.Index(cs, e.Text)
	if at < 0 && by < 0 {
		at = 0
	}
	m.typed = ""
	m.set(m.focus, cs[((at+by)%len(cs)+len(cs))%len(cs)])
}

// letter takes a letter typed into a field of choices: the letters so far, or
// this one alone, pick the first choice that begins with them, and typing the
// one again picks the next.
func (m *benchModel) letter(r rune) {
	cs := m.choices()
	begins := func(p string) func(string) bool {
		return func(c string) bool { return strings.HasPrefix(strings.ToLower(c), p) }
	}
	one := strings.ToLower(string(r))
	for _, try := range []string{m.typed + one, one} {
		at := slices.IndexFunc(cs, begins(try))
		if at < 0 {
			continue
		}
		e, _ := m.entry()
		if now := slices.Index(cs, e.Text); try == one && m.typed == one && now >= 0 && now+1 < len(cs) && begins(one)(cs[now+1]) {
			at = now + 1
		}
		m.typed = try
		m.set(m.focus, cs[at])
		return
	}
	m.typed = ""
}

// clear empties a field of choices.
func (m *benchModel) clear() {
	m.typed = ""
	m.set(m.focus, "")
}

// ask shows the hint of the field in focus, asked once more what to look at first, and
// then what a good hand sets, where the joint is worked through.
func (m *benchModel) ask() {
	e, ok := m.entry()
	if !ok {
		return
	}
	key := e.Field.Key
	says := []func() string{
		func() string { return m.s.Hint(key) },
		m.s.Look,
		func() string { return view.Worked(m.s.Worked(key)) },
	}
	for range says {
		m.hint = says[m.asked%len(says)]()
		if m.asked++; m.hint != "" {
			return
		}
	}
}

// ready says whether every field holds a value.
func (m *benchModel) ready() bool { return m.s.Missing() == nil }

// mark is the sign behind a field: good, wrong, or not said yet.
func (m *benchModel) mark(e session.Entry) (string, ink) {
	switch {
	case e.Ready():
		return "+", inkGood
	case m.flagged[e.Field.Key]:
		return "x", inkBad
	}
	return " ", inkPlain
}

// message is what stands under the form: what is wrong with the field in focus,
// the hint that was asked for, or what the field takes.
func (m *benchModel) message(w int) []line {
	e, ok := m.entry()
	if !ok {
		return paragraph("Everything is given at this joint.", w, inkFaint)
	}
	if m.flagged[e.Field.Key] && e.Err != nil {
		var out []line
		for part := range strings.SplitSeq(problem(e.Err), "\n") {
			out = append(out, paragraph(part, w, inkBad)...)
		}
		return out
	}
	if m.hint != "" {
		return paragraph(m.hint, w, inkWarn)
	}
	text := view.Allowed(e.Field, m.s.System())
	if e.Field.Choices != nil {
		text = "one of: " + text
	} else if _, err := strconv.ParseFloat(e.Text, 64); err != nil && e.Ready() {
		text += "; taken as " + e.Field.Show(m.s.Answer(), m.s.System())
	}
	return paragraph(text, w, inkFaint)
}

// problem says what is wrong with a typed value without naming the field, where the reader is anyway.
func problem(err error) string {
	var fe *weld.FieldError
	if errors.As(err, &fe) {
		return fe.Problem
	}
	return err.Error()
}

// status says how the last coupon came out, or what is still to decide.
func (m *benchModel) status(w int, dots string) line {
	missing := m.s.Missing()
	if m.hand {
		missing = m.s.MissingLive()
	}
	if len(missing) > 0 {
		if len(m.s.MissingLive()) == 0 {
			return line{{shorten("ready for the live arc; "+(&session.MissingError{Fields: missing}).Error(), w, dots), inkFaint}}
		}
		return line{{shorten((&session.MissingError{Fields: missing}).Error(), w, dots), inkFaint}}
	}
	last, ok := m.s.Last()
	if !ok {
		return line{{"all decided", inkFaint}}
	}
	word, mark := view.Outcome(last.Verdict.Outcome)
	out := line{{"last coupon ", inkFaint}, {word + " " + mark, outcomeInk(last.Verdict.Outcome)}}
	for _, sc := range view.Scores(last.Verdict) {
		out = append(out, span{"   " + sc.Name + " " + padLeft(itoa(sc.Value), 2) + " " + sc.Mark(), inkFaint})
	}
	return out
}

// outcomeInk is the ink of an outcome's word.
func outcomeInk(o scoring.Outcome) ink {
	switch o {
	case scoring.Accept:
		return inkGood
	case scoring.Reject:
		return inkBad
	}
	return inkWarn
}

// formLayout is where the fields of the form stand: columns of labels, boxes, units and marks.
type formLayout struct {
	label, box, unit int // cells of each part
	cols, rows       int
}

// column is the width of one column of fields, the space behind it included.
func (l formLayout) column() int { return 2 + l.label + 1 + 2 + l.box + 2 + 1 + l.unit + 3 }

// layoutForm sets the fields in as many columns as fit, filled one after another.
func layoutForm(es []session.Entry, sys weld.System, w int) formLayout {
	l := formLayout{box: 8, unit: 1}
	for _, e := range es {
		l.label = max(l.label, width(e.Field.Label))
		l.unit = max(l.unit, width(e.Field.Unit(sys)))
		for _, c := range e.Field.Choices {
			l.box = max(l.box, width(c))
		}
	}
	l.cols = max(1, min(w/l.column(), 3, len(es)))
	l.rows = (len(es) + l.cols - 1) / l.cols
	return l
}

// sheetLines is the joint sheet beside its picture.
func sheetLines(sh view.Sheet, w int) []line {
	out := paragraph(sh.Job, w, inkPlain)
	out = append(out, nil)
	for _, c := range sh.Cautions {
		for i, l := range paragraph(c, w-2, inkWarn) {
			mark := "  "
			if i == 0 {
				mark = "! "
			}
			out = append(out, append(line{{mark, inkWarn}}, l...))
		}
	}
	if len(sh.Cautions) > 0 {
		out = append(out, nil)
	}
	return append(out, factLines(sh.Facts, w)...)
}

// givenLines is what the sheet gives of settings and technique.
func givenLines(sh view.Sheet, w int) []line {
	if len(sh.Given) == 0 {
		return nil
	}
	return append([]line{{{"given", inkStrong}}}, factLines(sh.Given, w)...)
}

func factLines(fs []view.Fact, w int) []line {
	const label = 10
	var out []line
	for _, f := range fs {
		out = append(out, labelled(f.Label, f.Text, label, w, inkPlain)...)
	}
	return out
}

// tighten takes the empty lines out of a text that does not fit in h lines with them.
func tighten(ls []line, h int) []line {
	if len(ls) <= h {
		return ls
	}
	return slices.DeleteFunc(ls, func(l line) bool { return l == nil })
}
