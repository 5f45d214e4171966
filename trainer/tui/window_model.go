package tui

import (
	"strings"

	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// windowModel is the settings windows of the last coupon and which of them is looked at.
type windowModel struct {
	s     *session.Session
	pairs []session.Axes
	at    int
	err   error // why the window looked at could not be computed
	// hands says what was welded and what else had hands, where a class chose; else nil.
	hands func(*scoring.Window) (welded string, others []view.ChartOption)
}

func newWindowModel(s *session.Session) windowModel {
	m := windowModel{s: s}
	if s.Maps() {
		m.pairs = s.Axes()
	}
	return m
}

// axes gives the two settings looked at.
func (m *windowModel) axes() session.Axes { return m.pairs[m.at] }

// next looks at the next two.
func (m *windowModel) next() { m.at, m.err = (m.at+1)%len(m.pairs), nil }

// regionInk is how a region is coloured, beside its mark.
var regionInk = map[scoring.Region]ink{
	scoring.Cold: inkBlue, scoring.Good: inkGood, scoring.Through: inkBad, scoring.OtherBad: inkWarn, scoring.Unknown: inkFaint,
}

func markSpan(m view.ChartMark, s string) span {
	if m.You || m.Word != "" { // one's own answer, or a class's
		return span{s, inkFocus}
	}
	return span{s, regionInk[m.Region]}
}

// lines is the window in w by h cells: legend and words beside it where there is
// room, under it otherwise. Where not every row fits, some are left out.
func (m *windowModel) lines(look *look, w, h int) []line {
	head := line{{"settings window", inkStrong}}
	if len(m.pairs) > 1 {
		head = append(head, span{"  " + itoa(m.at+1) + " of " + itoa(len(m.pairs)), inkFaint})
	}
	x := m.axes()
	win := m.s.Window(x)
	if win == nil {
		text, in := "computing "+x.Words()+" ...", inkPlain
		if m.err != nil {
			text, in = "No window of "+x.Words()+": "+strings.ReplaceAll(m.err.Error(), "\n", "; "), inkBad
		}
		return append([]line{head}, paragraph(text, w, in)...)
	}
	const rows, beside, apart = 5, 26, 3 // lines that are not the map; the least a legend beside it takes
	c := m.chart(win, h-rows)
	chart := c.Margin + 1 + len(win.Xs)
	if room := w - chart - apart; room >= beside {
		left := append([]line{head}, chartLines(look, c)...)
		right := append(legendLines(c, beside), nil)
		for _, s := range c.Words {
			right = append(append(right, paragraph(s, min(room, readable), inkPlain)...), nil)
		}
		for i, l := range right {
			if at := i + 2; at < len(left) {
				left[at] = append(padLine(left[at], chart+apart), l...)
			}
		}
		return left
	}
	under := append(legendLines(c, w), nil)
	for _, s := range c.Words {
		under = append(under, paragraph(s, w, inkPlain)...)
	}
	c = m.chart(win, h-rows-len(under))
	return append(append([]line{head}, chartLines(look, c)...), under...)
}

// chart is the window, of at most so many rows, with what a class chose.
func (m *windowModel) chart(w *scoring.Window, most int) view.Chart {
	c := view.ChartOf(w, m.s.System(), most)
	if m.hands != nil {
		welded, others := m.hands(w)
		c.Show(w, welded, others)
	}
	return c
}

// chartLines is the map with its axes.
func chartLines(look *look, c view.Chart) []line {
	g := look.glyph
	axes := strings.NewReplacer("|", string(g.limit), "+", string(g.edgeMark))
	out := []line{{{c.Up, inkFaint}}}
	for _, r := range c.Rows {
		edge := span{axes.Replace(string(r.Edge)), inkRule}
		if r.Edge == '>' {
			edge.ink = inkFocus
		}
		l := line{{r.Label, inkFaint}, edge}
		for _, p := range r.Points {
			if n := len(l) - 1; l[n].ink == markSpan(p, "").ink && n > 1 {
				l[n].text += string(p.Mark)
			} else {
				l = append(l, markSpan(p, string(p.Mark)))
			}
		}
		out = append(out, l)
	}
	blank := strings.Repeat(" ", c.Margin)
	under, numbers := c.Bottom()
	ruler := strings.NewReplacer("-", string(g.tickLine), "+", string(g.tickMark), "^", string(g.cursor))
	return append(out,
		line{{blank + string(g.corner) + ruler.Replace(under[1:]), inkRule}},
		line{{blank + numbers, inkFaint}},
		line{{blank + " " + c.Across, inkFaint}})
}

// legendLines says what the marks mean, as many to a line as it takes.
func legendLines(c view.Chart, w int) []line {
	var out []line
	for _, row := range c.LegendRows(w) {
		var l line
		for i, m := range row {
			if i > 0 {
				l = append(l, span{"   ", inkPlain})
			}
			mark, words, _ := strings.Cut(m.String(), " ")
			l = append(l, markSpan(m, mark), span{" " + words, inkPlain})
		}
		out = append(out, l)
	}
	return out
}

// padLine fills a line with blanks to w cells.
func padLine(l line, w int) line {
	return append(l, span{padTo("", w-width(l.String())), inkPlain})
}
