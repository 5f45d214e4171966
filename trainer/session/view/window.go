package view

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Chart is a settings window made ready to draw: a character a point, the highest
// row first. It is ASCII and says everything without colour.
type Chart struct {
	Up, Across string // what the axes are, with the unit of their numbers
	Margin     int    // cells of the labels before the edge
	Rows       []ChartRow
	Ticks      []Tick // under the rows
	Legend     []ChartMark
	Words      []string  // sentences: where the answer stands, and which way is out
	shown      []float64 // the values of the rows, the lowest first
}

// Tick is a round number at a point of an axis.
type Tick struct {
	At     int
	Number string
}

// ChartRow is a row of points.
type ChartRow struct {
	Label  string // the number at a tick, Margin cells wide
	Edge   rune   // between label and points; > points at the answer
	Points []ChartMark
}

// ChartMark is what stands at a point.
type ChartMark struct {
	Mark   rune
	Region scoring.Region
	You    bool   // the answer
	Word   string // what it means where it is no region
}

// String is the mark with what it means.
func (m ChartMark) String() string {
	if m.You && m.Word == "" {
		return string(m.Mark) + " your point"
	}
	if m.Word != "" {
		return string(m.Mark) + " " + m.Word
	}
	return string(m.Mark) + " " + RegionWord(m.Region)
}

// regions says how a region is told apart without colour, and what it is, in the
// order of the legend.
var regions = []struct {
	region scoring.Region
	mark   rune
	word   string
}{
	{scoring.Cold, '.', "does not fuse"},
	{scoring.Good, '+', "good"},
	{scoring.Through, 'x', "burns through"},
	{scoring.OtherBad, '-', "rejected for another reason"},
	{scoring.Unknown, '?', "outside the range"},
}

// RegionWord says what a region is.
func RegionWord(r scoring.Region) string {
	for _, x := range regions {
		if x.region == r {
			return x.word
		}
	}
	return ""
}

// ChartOf makes a chart of at most so many rows: where there are more, every second
// or third is left out, never the answer's.
func ChartOf(w *scoring.Window, sys weld.System, most int) Chart {
	every := 1
	for (len(w.Ys)+every-1)/every > max(most, 1) {
		every++
	}
	col, row := nearest(w.Xs, w.X0), nearest(w.Ys, w.Y0)
	c := Chart{Up: WithUnit(w.Y, sys), Across: WithUnit(w.X, sys), Words: WindowWords(w, sys)}
	for r := row % every; r < len(w.Ys); r += every {
		c.shown = append(c.shown, w.Ys[r])
		out := ChartRow{Edge: '|'}
		for k, region := range w.Regions[r] {
			out.Points = append(out.Points, mark(region, r == row && k == col))
		}
		c.Rows = append(c.Rows, out)
	}
	for _, t := range axisTicks(w.Y, c.shown, sys, 4, 1) {
		c.Rows[t.At].Label, c.Rows[t.At].Edge = t.Number, '+'
		c.Margin = max(c.Margin, len(t.Number))
	}
	c.Rows[row/every].Edge = '>'
	for r := range c.Rows {
		c.Rows[r].Label = fmt.Sprintf("%*s", c.Margin, c.Rows[r].Label)
	}
	slices.Reverse(c.Rows)
	c.Ticks = axisTicks(w.X, w.Xs, sys, 8, 4)
	c.Legend = []ChartMark{{Mark: 'o', You: true}}
	for _, x := range regions {
		if slices.ContainsFunc(w.Regions, func(row []scoring.Region) bool { return slices.Contains(row, x.region) }) {
			c.Legend = append(c.Legend, mark(x.region, false))
		}
	}
	return c
}

// ChartOption is an option of a show of hands, by the settings of a window, SI.
type ChartOption struct {
	X, Y float64
	Word string // what it is, and how many hands it had
}

// Show puts options that were not welded on the chart, numbered, and says what the welded
// one is. What lies outside the window stands at its edge; of two in one place the first
// stands there.
func (c *Chart) Show(w *scoring.Window, welded string, options []ChartOption) {
	const most = 9
	c.Legend[0].Word = welded
	for i, o := range options[:min(len(options), most)] {
		m := ChartMark{Mark: rune('1' + i), Word: o.Word}
		if beyond(w, o.X, o.Y) {
			m.Word += ", beyond the edge"
		}
		c.Legend = slices.Insert(c.Legend, 1+i, m)
		p := &c.Rows[len(c.Rows)-1-nearest(c.shown, o.Y)].Points[nearest(w.Xs, o.X)]
		if m.Region = p.Region; !p.You && p.Word == "" {
			*p = m
		}
	}
}

func beyond(w *scoring.Window, x, y float64) bool {
	return x < w.Xs[0] || x > w.Xs[len(w.Xs)-1] || y < w.Ys[0] || y > w.Ys[len(w.Ys)-1]
}

// ChartPoint is one learner's answer on a window.
type ChartPoint struct {
	Learner string
	X, Y    float64 // SI
	Passed  bool
}

// PointRow is one learner's answer in words.
type PointRow struct {
	Text   string
	Passed bool
}

// PointRows says each learner's answer in the two settings, in order; whose it is only
// where names are shown, and that it is off the map w, when there is one.
func PointRows(w *scoring.Window, x, y weld.Field, points []ChartPoint, names bool, sys weld.System) []PointRow {
	points = slices.SortedFunc(slices.Values(points), func(a, b ChartPoint) int {
		if c := strings.Compare(a.Learner, b.Learner); names && c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y))
	})
	var out []PointRow
	for _, p := range points {
		text := shown(x, p.X, sys) + ", " + shown(y, p.Y, sys)
		if w != nil && beyond(w, p.X, p.Y) {
			text += " (off map)"
		}
		if names {
			text = p.Learner + ": " + text
		}
		out = append(out, PointRow{text, p.Passed})
	}
	return out
}

// classMarks says what stands where learners' answers are: all there passed, none did, both.
var classMarks = []ChartMark{{Mark: 'P', Word: "passed"}, {Mark: 'N', Word: "did not pass"}, {Mark: 'B', Word: "some passed, some did not"}}

// ClassChart is a chart with the answers of a class in place of one's own. What lies
// outside the window stands at its edge, what falls on a row left out for want of room in
// the next. It has no words: a class has no one way out.
func ClassChart(w *scoring.Window, sys weld.System, points []ChartPoint, most int) Chart {
	c := ChartOf(w, sys, most)
	c.Words, c.Legend = nil, c.Legend[1:]
	type cell struct{ row, col int }
	there := map[cell]int{} // index into classMarks, and 1
	for _, p := range points {
		at, is := cell{len(c.Rows) - 1 - nearest(c.shown, p.Y), nearest(w.Xs, p.X)}, 2
		if p.Passed {
			is = 1
		}
		there[at] |= is
	}
	used := 0
	for r := range c.Rows {
		if c.Rows[r].Edge == '>' {
			c.Rows[r].Edge = '|'
		}
		for k := range c.Rows[r].Points {
			p := &c.Rows[r].Points[k]
			if is := there[cell{r, k}]; is > 0 {
				m := classMarks[is-1]
				p.Mark, p.Word, p.You = m.Mark, m.Word, false
				used |= 1 << is
			} else if p.You {
				*p = mark(p.Region, false)
			}
		}
	}
	for i := len(classMarks) - 1; i >= 0; i-- {
		if used&(2<<i) != 0 {
			c.Legend = slices.Insert(c.Legend, 0, classMarks[i])
		}
	}
	return c
}

func mark(r scoring.Region, you bool) ChartMark {
	m := ChartMark{Region: r, You: you}
	for _, x := range regions {
		if x.region == r {
			m.Mark = x.mark
		}
	}
	if you {
		m.Mark = 'o'
	}
	return m
}

// Bottom is the line under the rows with its ticks, ^ under the answer, and the
// numbers under the ticks; both begin under the edge.
func (c Chart) Bottom() (line, numbers string) {
	points := c.Rows[0].Points
	marks, row := []rune(strings.Repeat("-", len(points))), []rune(strings.Repeat(" ", len(points)))
	free := 0
	for _, t := range c.Ticks {
		marks[t.At] = '+'
		if at := max(0, min(t.At, len(points)-len(t.Number))); at >= free { // else it would run into the one before
			copy(row[at:], []rune(t.Number))
			free = at + len(t.Number) + 1
		}
	}
	for _, r := range c.Rows {
		for k, m := range r.Points {
			if m.You {
				marks[k] = '^'
			}
		}
	}
	return "+" + string(marks), " " + strings.TrimRight(string(row), " ")
}

// WithUnit names a field with its unit.
func WithUnit(f weld.Field, sys weld.System) string {
	if u := f.Unit(sys); u != "" {
		return f.Label + ", " + u
	}
	return f.Label
}

// axisTicks gives round numbers in the learner's unit for the values of an axis, so
// many values apart or more; where that would leave fewer than two, down to least.
func axisTicks(f weld.Field, vs []float64, sys weld.System, apart, least int) []Tick {
	per := f.UnitSize(sys)
	lo, hi := vs[0]/per, vs[len(vs)-1]/per
	if hi <= lo {
		return nil
	}
	var out []Tick
	step := NiceStep((hi - lo) / float64(len(vs)-1) * float64(apart))
	if math.Floor(hi/step+1e-9)-math.Ceil(lo/step-1e-9) < 1 && apart > least {
		return axisTicks(f, vs, sys, apart-1, least)
	}
	for k := math.Ceil(lo/step - 1e-9); k*step <= hi+step*1e-9; k++ {
		out = append(out, Tick{nearest(vs, k*step*per), plainNumber(k * step)})
	}
	return out
}

// plainNumber prints without the last bits of a sum, and nought without a sign.
func plainNumber(v float64) string { return strconv.FormatFloat(v+0, 'g', 6, 64) }

// NiceStep rounds up to 1, 2 or 5 times a power of ten.
func NiceStep(x float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(x)))
	for _, n := range []float64{1, 2, 5} {
		if n*p >= x-1e-12 {
			return n * p
		}
	}
	return 10 * p
}

// nearest gives the index of the value nearest v.
func nearest(vs []float64, v float64) int {
	best := 0
	for i, u := range vs {
		if math.Abs(u-v) < math.Abs(vs[best]-v) {
			best = i
		}
	}
	return best
}

// textColumns is the widest a line of text is set.
const textColumns = 80

// LegendRows sorts the legend into rows of w cells, three apart.
func (c Chart) LegendRows(w int) [][]ChartMark {
	var out [][]ChartMark
	used := w
	for _, m := range c.Legend {
		size := 3 + len(m.String())
		if used+size > w+3 {
			out, used = append(out, nil), 0
		}
		out[len(out)-1] = append(out[len(out)-1], m)
		used += size
	}
	return out
}

// LegendLines is the legend in lines of text.
func (c Chart) LegendLines() []string {
	var out []string
	for _, row := range c.LegendRows(textColumns) {
		words := make([]string, len(row))
		for i, m := range row {
			words[i] = m.String()
		}
		out = append(out, strings.Join(words, "   "))
	}
	return out
}

// Lines is the chart in lines of text, for paper, pipes and screen readers.
func (c Chart) Lines() []string {
	out := []string{c.Up}
	for _, r := range c.Rows {
		line := r.Label + " " + string(r.Edge)
		for _, p := range r.Points {
			line += string(p.Mark)
		}
		out = append(out, line)
	}
	blank := strings.Repeat(" ", c.Margin+1)
	line, numbers := c.Bottom()
	out = append(out, blank+line, blank+numbers, blank+" "+c.Across)
	return append(out, c.LegendLines()...)
}
