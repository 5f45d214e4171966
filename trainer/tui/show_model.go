package tui

import (
	"fmt"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// countdown is a clock that can be stopped.
type countdown struct {
	limit time.Duration // zero: there is none
	used  time.Duration // until it was last set going
	since time.Time     // zero while it stands still
}

func (c *countdown) run(now time.Time) {
	if c.since.IsZero() {
		c.since = now
	}
}

func (c *countdown) halt(now time.Time) {
	if !c.since.IsZero() {
		c.used += now.Sub(c.since)
		c.since = time.Time{}
	}
}

func (c countdown) left(now time.Time) time.Duration {
	if !c.since.IsZero() {
		c.used += now.Sub(c.since)
	}
	return max(0, c.limit-c.used)
}

// text is the time left in minutes and seconds; a second that has begun counts whole.
func (c countdown) text(now time.Time) string {
	s := int((c.left(now) + time.Second - 1) / time.Second)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// digitRows draws the characters of a clock, five rows each.
var digitRows = map[rune][5]string{
	'0': {"###", "# #", "# #", "# #", "###"},
	'1': {" # ", "## ", " # ", " # ", "###"},
	'2': {"###", "  #", "###", "#  ", "###"},
	'3': {"###", "  #", " ##", "  #", "###"},
	'4': {"# #", "# #", "###", "  #", "  #"},
	'5': {"###", "#  ", "###", "  #", "###"},
	'6': {"###", "#  ", "###", "# #", "###"},
	'7': {"###", "  #", "  #", " # ", " # "},
	'8': {"###", "# #", "###", "# #", "###"},
	'9': {"###", "# #", "###", "  #", "###"},
	':': {" ", "#", " ", "#", " "},
}

// bigText draws the characters of a clock so many cells to a dot across and up.
func bigText(s string, across, up int, dot rune) []string {
	var out []string
	for row := range 5 {
		var l strings.Builder
		for i, r := range s {
			if i > 0 {
				l.WriteString(strings.Repeat(" ", across))
			}
			for _, d := range digitRows[r][row] {
				if d == '#' {
					l.WriteString(strings.Repeat(string(dot), across))
				} else {
					l.WriteString(strings.Repeat(" ", across))
				}
			}
		}
		for range up {
			out = append(out, l.String())
		}
	}
	return out
}

// bigWidth is how many cells across bigText takes.
func bigWidth(s string, across int) int { return width(bigText(s, across, 1, '#')[0]) }

// clockFace is a clock ready to draw.
type clockFace struct {
	label, text string
	ink         ink
}

// faces are the clocks of the joint in hand: of those that have a limit.
func (m *showModel) faces(now time.Time) []clockFace {
	var out []clockFace
	for _, c := range []struct {
		of    string
		clock countdown
	}{{"joint", m.joint().here}, {"drill", m.whole}} {
		if c.clock.limit == 0 {
			continue
		}
		f := clockFace{c.of + ": left", c.clock.text(now), inkPlain}
		switch left := c.clock.left(now); {
		case left == 0:
			f.label, f.ink = c.of+": TIME IS UP", inkBad
		case m.stopped:
			f.label, f.ink = c.of+": STOPPED", inkFaint
		case left <= time.Minute:
			f.label, f.ink = "! "+f.label, inkWarn
		}
		out = append(out, f)
	}
	return out
}

// wholeLine is the drill's clock in words, for where the class looks and talks; nil without one.
func (m *showModel) wholeLine(now time.Time) line {
	for _, f := range m.faces(now) {
		if strings.Contains(f.label, "drill") {
			return line{{f.text + " " + f.label + "   ", f.ink}}
		}
	}
	return nil
}

// clockLines draws clocks in w by h cells, as large as they fit: one under the other or, low,
// beside each other.
func clockLines(look *look, faces []clockFace, w, h int) []line {
	dot := '#'
	if !look.glyph.ascii {
		dot = '█'
	}
	const apart = 3
	for _, size := range [][2]int{{4, 2}, {3, 1}, {2, 1}, {1, 1}} {
		wide, all := 0, -apart
		for _, f := range faces {
			one := max(bigWidth(f.text, size[0]), width(f.label))
			wide, all = max(wide, one), all+one+apart
		}
		rows := 5*size[1] + 1
		if wide <= w && len(faces)*(rows+1) <= h {
			var out []line
			for _, f := range faces {
				for _, l := range bigText(f.text, size[0], size[1], dot) {
					out = append(out, line{{l, f.ink}})
				}
				out = append(out, line{{f.label, f.ink}}, nil)
			}
			return out
		}
		if all <= w && rows < h {
			out := make([]line, rows)
			for i, f := range faces {
				one := max(bigWidth(f.text, size[0]), width(f.label))
				gap := ""
				if i > 0 {
					gap = padTo("", apart)
				}
				for r, l := range append(bigText(f.text, size[0], size[1], dot), f.label) {
					out[r] = append(out[r], span{gap + padTo(l, one), f.ink})
				}
			}
			return append(out, nil)
		}
	}
	var out []line // too narrow for more than words
	for _, f := range faces {
		out = append(out, line{{f.text + " " + f.label, f.ink}})
	}
	return append(out, nil)
}

// showModel is a drill before a class: its joints, what had how many hands, and the clocks.
type showModel struct {
	d       drill.Drill
	picked  []scenarios.Scenario
	joints  []*showJoint // as far as they have been looked at; nil before
	at      int
	whole   countdown
	stopped bool // the clocks are
}

// showJoint is a joint before a class.
type showJoint struct {
	s       *session.Session
	here    countdown
	texts   []string // as typed, by field
	hands   drill.Shown
	focus   int    // of the fields, or of the weld after them
	message string // why what was typed is not taken, or a hint
	wrong   bool   // it is the former
}

func newShowModel(d drill.Drill, picked []scenarios.Scenario) showModel {
	return showModel{d: d, picked: picked, joints: make([]*showJoint, len(picked)), whole: countdown{limit: d.Whole}}
}

func (m *showModel) joint() *showJoint { return m.joints[m.at] }

// take takes a joint that has been made.
func (m *showModel) take(at int, s *session.Session) {
	j := &showJoint{s: s, here: countdown{limit: m.d.PerJoint}, hands: drill.Shown{}}
	for range s.Entries() {
		j.texts = append(j.texts, "")
	}
	m.joints[at] = j
}

// deciding sets the clocks going while the class decides: the joint's stands still while it
// welds and looks.
func (m *showModel) deciding(now time.Time, on bool) {
	j := m.joint()
	if j == nil {
		return
	}
	if m.stopped {
		on = false
	} else {
		m.whole.run(now)
	}
	if on {
		j.here.run(now)
	} else {
		j.here.halt(now)
	}
}

// stop stops the clocks, or sets them going again.
func (m *showModel) stop(now time.Time) {
	if m.stopped = !m.stopped; m.stopped {
		m.whole.halt(now)
	}
	m.deciding(now, true)
}

// ready says whether every field has an answer.
func (j *showJoint) ready() bool { return j.s.Missing() == nil }

// read takes what is typed at the field in focus and says whether it can be.
func (j *showJoint) read() bool {
	es := j.s.Entries()
	if j.focus >= len(es) {
		return true
	}
	e, text := es[j.focus], j.texts[j.focus]
	j.message, j.wrong = "", false
	if strings.TrimSpace(text) == "" {
		_ = j.s.Set(e.Field.Key, "")
		delete(j.hands, e.Field.Key)
		return true
	}
	up, err := drill.ReadHands(text)
	if err == nil {
		err = drill.SetHands(j.s, e.Field.Key, up)
	}
	if err != nil {
		j.message, j.wrong = problem(err), true
		return false
	}
	j.hands[e.Field.Key] = up
	return true
}

// move reads the field in focus and goes to another, or to the weld after the last.
func (j *showJoint) move(by int) {
	j.read()
	n := len(j.s.Entries()) + 1
	j.focus = (j.focus + by + n) % n
}

// next goes to the next field once the one in focus can be read.
func (j *showJoint) next() {
	if j.read() && j.focus < len(j.s.Entries()) && j.s.Entries()[j.focus].Ready() {
		j.focus++
	}
}

// hint asks for the hint of the field in focus.
func (j *showJoint) hint() {
	if es := j.s.Entries(); j.focus < len(es) {
		j.message, j.wrong = j.s.Hint(es[j.focus].Field.Key), false
	}
}

// weldLine is the row after the fields: what will be welded.
func (j *showJoint) weldLine() line {
	in, mark := inkPlain, "  "
	if j.focus == len(j.s.Entries()) {
		in, mark = inkFocus, "> "
	}
	if missing := j.s.Missing(); missing != nil {
		return line{{mark, in}, {(&session.MissingError{Fields: missing}).Error(), inkFaint}}
	}
	var set []string
	for _, e := range j.s.Entries() {
		set = append(set, e.Field.Label+" "+e.Field.Show(j.s.Answer(), j.s.System()))
	}
	return line{{mark + "weld it", in}, {": " + strings.Join(set, ", "), inkPlain}}
}

// panelLines stand under the form: what is wrong, the hint, the hands, or what may be typed.
func (j *showJoint) panelLines(look *look, w, h int) []line {
	if j.message != "" {
		in := inkWarn
		if j.wrong {
			in = inkBad
		}
		var out []line
		for part := range strings.SplitSeq(j.message, "\n") {
			out = append(out, paragraph(part, w, in)...)
		}
		return out
	}
	es := j.s.Entries()
	if j.focus < len(es) {
		if ls := barLines(look, j.hands[es[j.focus].Field.Key], w, h); ls != nil && es[j.focus].Ready() {
			return ls
		}
		kind := view.Allowed(es[j.focus].Field, j.s.System())
		return append(paragraph("One answer for all, or hands (60 A: 7, 90 A: 4): the most are welded.", w, inkFaint),
			paragraph(es[j.focus].Field.Label+": "+kind, w, inkFaint)...)
	}
	for i := len(es) - 1; i >= 0; i-- {
		if ls := barLines(look, j.hands[es[i].Field.Key], w, h); ls != nil {
			return ls
		}
	}
	return nil
}

// barLines draws a show of hands in h lines, the most first, in as many columns as it takes;
// nothing for an answer all agree on.
func barLines(look *look, up []drill.Hand, w, h int) []line {
	if len(up) == 0 || up[0].Count == 0 {
		return nil
	}
	w /= (len(up) + h - 1) / h
	long := 0
	for _, x := range up {
		long = max(long, min(width(x.Option), w/3))
	}
	const beside = 14 // cells of the count, the gaps and the word
	most := max(1, w-long-beside)
	out := make([]line, min(h, len(up)))
	for i, x := range up {
		in, said := inkPlain, ""
		if i == 0 {
			in, said = inkFocus, " welded"
		}
		n := (x.Count*most + up[0].Count - 1) / up[0].Count
		text := padTo(shorten(x.Option, long, look.glyph.dots), long) + padLeft(itoa(x.Count), 4) + " " + strings.Repeat(string(look.glyph.full), n) + said
		out[i%h] = append(out[i%h], span{padTo(text, w), in})
	}
	return out
}

// tallyLine is a show of hands in one row, for where there is room beside a field.
func tallyLine(look *look, up []drill.Hand, w int) line {
	if len(up) == 0 || up[0].Count == 0 {
		return nil
	}
	const bar = 10
	var out line
	for i, h := range up {
		in := inkPlain
		if i == 0 {
			in = inkFocus
		}
		text := h.Option + " " + strings.Repeat(string(look.glyph.full), (h.Count*bar+up[0].Count-1)/up[0].Count) + " " + itoa(h.Count) + "   "
		if rest := look.glyph.dots; width(out.String()+text) > w-width(rest) {
			return append(out, span{rest, inkPlain})
		}
		out = append(out, span{text, in})
	}
	return out
}

// showFacts are the facts of a sheet in large spacing where h lines hold it.
func showFacts(sh view.Sheet, w, h int) []line {
	const label = 10
	var out []line
	for _, f := range sh.Facts {
		out = append(append(out, labelled(f.Label, f.Text, label, w, inkPlain)...), nil)
	}
	if given := givenLines(sh, w); given != nil {
		out = append(append(out, given...), nil)
	}
	for _, c := range sh.Cautions {
		out = append(out, append(labelled("!", c, 2, w, inkWarn), nil)...)
	}
	return tighten(append(out, paragraph(sh.Job, w, inkFaint)...), h)
}

// causeLines lists what may have gone wrong, with the hands each had.
func causeLines(look *look, cs []session.Cause, up []drill.Hand, rules []string, w int) []line {
	const bar = 20
	var out []line
	for i, c := range cs {
		in, count, n := inkPlain, "", 0
		for k, rule := range rules {
			if rule != c.Rule {
				continue
			}
			if k == 0 {
				in = inkFocus
			}
			count = "<" // what all agree on
			if up[0].Count > 0 {
				count, n = itoa(up[k].Count), (up[k].Count*bar+up[0].Count-1)/up[0].Count
			}
		}
		text := min(w-bar-10, 62)
		l := line{{padLeft(itoa(i+1), 2) + "  ", inkFaint}, {padTo(shorten(c.Text, text, look.glyph.dots), text), in}, {padLeft(count, 4) + " ", in}}
		out = append(out, append(l, span{strings.Repeat(string(look.glyph.full), n), in}))
	}
	return out
}
