package tui

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// dabTime is the time there was for a dab, in words as well; while it is looked for Ready is -1.
type dabTime struct {
	scoring.DabTime
	words string
}

// debrief is a judged run that is looked through.
type debrief struct {
	sc    scenarios.Scenario
	run   scoring.Run
	sys   weld.System
	marks []view.RunMark
	mark  int             // that x goes to next
	at    int             // moment
	dabs  map[int]dabTime // by the step of the dab before
}

func newDebrief(sc scenarios.Scenario, run scoring.Run, sys weld.System) *debrief {
	d := &debrief{sc: sc, run: run, sys: sys, marks: view.RunMarks(sc.Task, run, sys), dabs: map[int]dabTime{}}
	if len(d.marks) > 0 {
		d.next()
	}
	return d
}

func (d *debrief) move(by int) { d.at = max(0, min(d.at+by, len(d.run.Line)-1)) }

// next goes to the moment at which the next finding begins.
func (d *debrief) next() {
	d.at = d.marks[d.mark].From
	d.mark = (d.mark + 1) % len(d.marks)
}

// nextDab goes to the next dab, from the last to the first.
func (d *debrief) nextDab() {
	for _, n := range d.run.Dabs {
		if i := (n + scoring.LineEvery - 1) / scoring.LineEvery; i > d.at && i < len(d.run.Line) {
			d.at = i
			return
		}
	}
	d.at = min((d.run.Dabs[0]+scoring.LineEvery-1)/scoring.LineEvery, len(d.run.Line)-1)
}

// moment says what was at the moment looked at, within w cells and h rows: of what there
// is no room for, nothing.
func (d *debrief) moment(w, h int) []line {
	p := d.run.Line[d.at]
	before, _ := view.DabsAbout(d.run, d.at)
	since := "no dab yet"
	if before >= 0 {
		since = fmt.Sprintf("last dab %.1f s before", float64(p.Step-before)*puddle.LiveStep)
	}
	at, state := momentWords(d.run, d.at, d.sys)
	if width(at+state+"   "+since) <= w {
		state += "   " + since
	}
	out := []line{{{at, inkFocus}, {state, inkPlain}}}
	add := func(ls []line) {
		if len(out)+len(ls) <= h {
			out = append(out, ls...)
		}
	}
	add(paragraph(d.dabs[before].words, w, inkPlain))
	for _, m := range d.marks {
		if d.at >= m.From && d.at <= m.To {
			add(labelled(view.SeverityMark(m.Severity), m.Head+": "+m.Fix, 2, w, inkPlain))
		}
	}
	for _, s := range scoring.PoolSigns(d.sc.Task, d.run.Answer, p) {
		add([]line{{{padTo(s.Place, 9), inkFaint}, {s.Words, inkPlain}}})
	}
	return out
}

// momentWords says when and where a moment was, and what there was.
func momentWords(run scoring.Run, i int, sys weld.System) (at, state string) {
	p := run.Line[i]
	show := func(v float64) string { return weld.Length(math.Round(v*1e4) / 1e4).Show(sys) }
	amps := "arc out"
	if p.Lit {
		amps = weld.Current(math.Round(p.Amps)).Show(sys)
	}
	return fmt.Sprintf("%.1f s, at %s", view.RunSecond(p), show(p.At)),
		fmt.Sprintf("   %s   %s   pool %s   back %s", amps, view.Travel(view.RunTravel(run.Line, i), sys), show(p.Width), show(p.Back))
}

// measure is what a time line shows of each moment.
type measure struct {
	name string
	of   []float64
	show func(v float64) string
}

// measures are amps, travel, pool and back of a run.
func measures(run scoring.Run, sys weld.System) []measure {
	long := func(v float64) string { return weld.Length(math.Round(v*1e4) / 1e4).Show(sys) }
	out := []measure{
		{"amps", nil, func(v float64) string { return weld.Current(math.Round(v)).Show(sys) }},
		{"travel", nil, func(v float64) string { return view.Travel(v, sys) }},
		{"pool", nil, long},
		{"back", nil, long},
	}
	for i, p := range run.Line {
		amps := 0.0
		if p.Lit {
			amps = p.Amps
		}
		for k, v := range []float64{amps, view.RunTravel(run.Line, i), p.Width, p.Back} {
			out[k].of = append(out[k].of, v)
		}
	}
	return out
}

// most gives the greatest value.
func (m measure) most() float64 { return slices.Max(append(m.of, 0)) }

// timeline lays runs over so many columns; last is the moment at the right edge, of two
// runs that of the longer.
type timeline struct {
	look *look
	w    int // cells of the plots
	last int // moments
	who  int // cells for whose run a row is, of two
}

// Cells of what stands before a plot: its name and its greatest value.
const plotName, plotMost = 7, 11

func newTimeline(look *look, w, moments, who int) timeline {
	return timeline{look, max(1, w-plotName-plotMost-who-2), max(1, moments), who}
}

// head is what stands before a row.
func (t timeline) head(name, value, who string, axis rune) line {
	return line{{padTo(name, plotName) + padLeft(value, plotMost) + padLeft(who, t.who) + " ", inkFaint}, {string(axis), inkRule}}
}

// column gives the column of a moment.
func (t timeline) column(i int) int { return min(i*t.w/t.last, t.w-1) }

// plot draws a measure as bars, rows high, to a scale that ends at most.
func (t timeline) plot(m measure, most float64, rows int, who string) []line {
	g := t.look.glyph
	out := make([]line, rows)
	cells := make([][]rune, rows)
	for r := range cells {
		cells[r] = []rune(strings.Repeat(" ", t.w))
	}
	for col := range t.w {
		from, to := col*t.last/t.w, max(col*t.last/t.w+1, (col+1)*t.last/t.w)
		if from >= len(m.of) || most <= 0 {
			break
		}
		high := slices.Max(m.of[from:min(to, len(m.of))]) / most * float64(rows)
		for r := range rows {
			cells[r][col] = barCell(g, high-float64(rows-1-r), rows)
		}
	}
	for r := range rows {
		name, value, axis := "", "", g.limit
		if r == 0 {
			name, value, axis = m.name, m.show(most), g.edgeMark
		}
		if r == rows-1 && rows > 1 {
			value = "0"
		}
		whose := ""
		if r == 0 {
			whose = who
		}
		out[r] = append(t.head(name, value, whose, axis), span{string(cells[r]), inkPlain})
	}
	return out
}

// barCell is the part of a bar in one cell: in letters by quarters, or where one row is all
// there is as a digit.
func barCell(g glyphs, high float64, rows int) rune {
	high = math.Max(0, math.Min(1, high))
	switch {
	case !g.ascii:
		return eighths[int(math.Round(8*high))]
	case rows == 1:
		return []rune(" 123456789")[int(math.Round(9*high))]
	}
	return []rune(" .:##")[int(math.Round(4*high))]
}

func (t timeline) blank() []rune { return []rune(strings.Repeat(" ", t.w)) }

// dabs marks each dab, and from when to when there was time for one: to where it was too
// late, or as far as it was looked ahead.
func (t timeline) dabs(run scoring.Run, who string, time scoring.DabTime) line {
	cells := t.blank()
	if time.Ready >= 0 {
		to := time.Ready + int(scoring.DabHurry/puddle.LiveStep)
		if time.Late >= 0 {
			to = max(time.Ready, time.Late)
		}
		for col := t.column(time.Ready / scoring.LineEvery); col <= t.column(to/scoring.LineEvery); col++ {
			cells[col] = t.look.glyph.full
		}
		if time.Late >= 0 {
			cells[t.column(to/scoring.LineEvery)] = 'x'
		}
	}
	for _, n := range run.Dabs {
		cells[t.column(n/scoring.LineEvery)] = '|'
	}
	return append(t.head("dabs", itoa(len(run.Dabs)), who, t.look.glyph.limit), span{string(cells), inkPlain})
}

// mark draws where a finding lies, with its words beside it, or in it.
func (t timeline) mark(m view.RunMark, who string) line {
	in, char := inkWarn, []rune(view.SeverityMark(m.Severity))[0]
	switch m.Severity {
	case scoring.Defect:
		in = inkBad
	case "":
		in, char = inkGood, '>'
	}
	cells := t.blank()
	from, to := t.column(m.From), t.column(m.To)
	for col := from; col <= to; col++ {
		cells[col] = char
	}
	words := []rune(shorten(m.Head, t.w, t.look.glyph.dots))
	at := to + 2
	switch {
	case at+len(words) <= t.w:
	case from-1-len(words) >= 0:
		at = from - 1 - len(words)
	default:
		words = []rune(" " + shorten(m.Head, max(1, t.w-2), t.look.glyph.dots) + " ")
		at = max(0, min((from+to+1-len(words))/2, t.w-len(words)))
	}
	copy(cells[at:], words)
	return append(t.head("", "", who, t.look.glyph.limit), span{string(cells), in})
}

// axis is the clock under the plots, with the moment looked at.
func (t timeline) axis(here int) []line {
	g := t.look.glyph
	ticks, numbers := []rune(strings.Repeat(string(g.tickLine), t.w)), t.blank()
	seconds := float64(t.last) * scoring.LineEvery * puddle.LiveStep
	step := view.NiceStep(seconds / float64(t.w) * 8)
	for i := 0; ; i++ {
		v := float64(i) * step
		col := int(math.Round(v / seconds * float64(t.w)))
		if col >= t.w {
			break
		}
		ticks[col] = g.tickMark
		n := strconv.FormatFloat(v, 'g', 4, 64)
		copy(numbers[min(col, t.w-len(n)):], []rune(n))
	}
	at := t.column(here)
	return []line{
		append(t.head("", "", "", g.corner), span{string(ticks[:at]), inkRule}, span{string(g.cursor), inkFocus}, span{string(ticks[at+1:]), inkRule}),
		append(t.head("", "s", "", ' '), span{strings.TrimRight(string(numbers), " "), inkFaint}),
	}
}

// lines are the time lines, with what went wrong and the smallest change marked, over w
// cells and at most h rows.
func (d *debrief) lines(look *look, changes []view.RunMark, w, h int) []line {
	t := newTimeline(look, w, len(d.run.Line), 0)
	const under, mostRows, mostMarks = 3, 7, 6 // dabs and axis; of one plot
	ms := measures(d.run, d.sys)
	gravest := min(1, len(d.marks))
	marks := slices.Concat(d.marks[:gravest], changes, d.marks[gravest:])
	marks = marks[:min(len(marks), mostMarks, max(1, h-under-len(ms)))]
	rows := max(1, min(mostRows, (h-under-len(marks))/len(ms)))
	var out []line
	for _, m := range ms {
		out = append(out, t.plot(m, m.most(), rows, "")...)
	}
	time := scoring.DabTime{Ready: -1}
	before, _ := view.DabsAbout(d.run, d.at)
	if known, ok := d.dabs[before]; ok {
		time = known.DabTime
	}
	out = append(out, t.dabs(d.run, "", time))
	for _, m := range marks {
		out = append(out, t.mark(m, ""))
	}
	return append(out, t.axis(d.at)...)
}
