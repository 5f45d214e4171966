package view_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/view"
)

// windowCase is a drawn map and what is said of it.
type windowCase struct {
	title      string
	sys        weld.System
	across, up [3]string // setting, value, step
	here       string
	rows       []string
	says       []string
}

func windowCases(t *testing.T) []windowCase {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "window", "words.txt"))
	require.NoError(t, err)
	var cases []windowCase
	for n, line := range strings.Split(string(b), "\n") {
		if strings.HasPrefix(line, "#") || strings.TrimSpace(line) == "" {
			continue
		}
		if row, ok := strings.CutPrefix(line, "  "); ok {
			c := &cases[len(cases)-1]
			c.rows = append(c.rows, row)
			continue
		}
		key, value, _ := strings.Cut(line, ": ")
		if key == "case" {
			cases = append(cases, windowCase{title: value})
			continue
		}
		c := &cases[len(cases)-1]
		switch key {
		case "units":
			c.sys = map[string]weld.System{"metric": weld.Metric, "imperial": weld.Imperial}[value]
		case "across":
			c.across = [3]string(strings.Split(value, ", "))
		case "up":
			c.up = [3]string(strings.Split(value, ", "))
		case "here":
			c.here = value
		case "says":
			c.says = append(c.says, value)
		default:
			t.Fatalf("words.txt:%d: no line is called %q", n+1, key)
		}
	}
	return cases
}

// window builds what the case draws.
func (c windowCase) window(t *testing.T) *scoring.Window {
	t.Helper()
	marks := map[rune]scoring.Region{'.': scoring.Cold, '+': scoring.Good, 'x': scoring.Through, '-': scoring.OtherBad, '?': scoring.Unknown}
	axis := func(of [3]string, n, at int) (f weld.Field, v0 float64, vs []float64) {
		f, ok := weld.FieldByKey(of[0])
		require.True(t, ok, of[0])
		var a weld.Answer
		require.NoError(t, f.SetStrict(&a, of[1]))
		v0, _ = f.Value(a)
		number, unit, _ := strings.Cut(of[2], " ")
		var step float64
		_, err := fmt.Sscan(number, &step)
		require.NoError(t, err)
		require.Equal(t, unit, f.Unit(c.sys), "a step is in the units of the case")
		for i := range n {
			vs = append(vs, v0+float64(i-at)*step*f.UnitSize(c.sys))
		}
		return f, v0, vs
	}
	w, col, row := &scoring.Window{}, -1, -1
	for i := range c.rows {
		text := c.rows[len(c.rows)-1-i]
		require.Len(t, text, len(c.rows[0]))
		var out []scoring.Region
		for k, m := range text {
			if m == 'o' {
				col, row, m = k, i, rune(c.here[0])
			}
			r, ok := marks[m]
			require.True(t, ok, "%c is not a mark", m)
			out = append(out, r)
		}
		w.Regions = append(w.Regions, out)
	}
	require.GreaterOrEqual(t, col, 0, "no o on the map")
	w.X, w.X0, w.Xs = axis(c.across, len(c.rows[0]), col)
	w.Y, w.Y0, w.Ys = axis(c.up, len(c.rows), row)
	return w
}

func TestWindowWords(t *testing.T) {
	cases := windowCases(t)
	require.NotEmpty(t, cases)
	for _, c := range cases {
		t.Run(c.title, func(t *testing.T) {
			assert.Equal(t, c.says, view.WindowWords(c.window(t), c.sys))
		})
	}
}

// The chart shows the map as it is drawn, whatever its size.
func TestChartShowsTheMap(t *testing.T) {
	for _, c := range windowCases(t) {
		w := c.window(t)
		chart := view.ChartOf(w, c.sys, len(w.Ys))
		require.Len(t, chart.Rows, len(c.rows))
		for i, r := range chart.Rows {
			assert.Equal(t, c.rows[i], marksOf(r), c.title)
			assert.Equal(t, strings.Contains(c.rows[i], "o"), r.Edge == '>', "the edge points at the answer's row")
			assert.NotEqual(t, "-0", strings.TrimSpace(r.Label))
		}
		assert.Equal(t, "o your point", chart.Legend[0].String())
		for _, m := range chart.Legend[1:] {
			assert.Contains(t, strings.Join(c.rows, "")+c.here, string(m.Mark))
		}
		under, _ := chart.Bottom()
		assert.Equal(t, strings.Index(strings.Join(c.rows, ""), "o")%len(c.rows[0]), strings.Index(under, "^")-1)
	}
}

func marksOf(r view.ChartRow) string {
	var b strings.Builder
	for _, m := range r.Points {
		b.WriteRune(m.Mark)
	}
	return b.String()
}

// Any setting, at any value, in either system: the axes have numbers that do not run
// into each other, whatever is left out the answer's row is shown, and the text is ASCII.
func TestAnyChart(t *testing.T) {
	var fields []weld.Field
	for _, f := range weld.Fields {
		if f.Numeric() {
			fields = append(fields, f)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		axis := func(n int) (f weld.Field, v0 float64, vs []float64) {
			f = rapid.SampledFrom(fields).Draw(rt, "field")
			var a weld.Answer
			f.SetValue(&a, 1e9)
			most, _ := f.Value(a)
			v0 = most * rapid.Float64Range(0.01, 1).Draw(rt, "value")
			at := rapid.IntRange(0, n-1).Draw(rt, "at")
			for i := range n {
				vs = append(vs, v0*(1+0.9*float64(i-at)/float64(n-1)))
			}
			return f, v0, vs
		}
		w := &scoring.Window{}
		w.X, w.X0, w.Xs = axis(scoring.WindowX)
		w.Y, w.Y0, w.Ys = axis(scoring.WindowY)
		for range w.Ys {
			row := make([]scoring.Region, len(w.Xs))
			for k := range row {
				row[k] = scoring.Region(rapid.IntRange(0, 4).Draw(rt, "region"))
			}
			w.Regions = append(w.Regions, row)
		}
		most := rapid.IntRange(1, 40).Draw(rt, "rows")
		sys := rapid.SampledFrom([]weld.System{weld.Metric, weld.Imperial}).Draw(rt, "units")
		c := view.ChartOf(w, sys, most)
		if len(c.Rows) > most || len(c.Rows) == 0 {
			rt.Fatalf("%d rows of %d", len(c.Rows), most)
		}
		text := strings.Join(c.Lines(), "\n")
		you := 0
		for _, r := range c.Rows {
			you += strings.Count(marksOf(r), "o")
		}
		if you != 1 {
			rt.Fatalf("%d answers", you)
		}
		for _, r := range text + strings.Join(c.Words, "") {
			if r != '\n' && (r < ' ' || r > '~') {
				rt.Fatalf("%q", r)
			}
		}
		_, numbers := c.Bottom()
		var want []string
		for _, tick := range c.Ticks {
			want = append(want, tick.Number)
		}
		for _, n := range strings.Fields(numbers) {
			if !slices.Contains(want, n) {
				rt.Fatalf("%q under %v", numbers, want)
			}
		}
		if strings.TrimSpace(numbers) == "" {
			rt.Fatalf("no numbers under %v", want)
		}
		for _, l := range c.Lines() {
			if len(l) > 80 {
				rt.Fatalf("%d: %s", len(l), l)
			}
		}
		if len(c.Words) == 0 || strings.Contains(strings.Join(c.Words, ""), "NaN") {
			rt.Fatalf("%q", c.Words)
		}
	})
}

// A class's answers stand where they are, those beyond the map at its edge.
func TestClassChart(t *testing.T) {
	w := windowCases(t)[0].window(t)
	last := len(w.Xs) - 1
	far := w.Xs[last] + 100
	chart := view.ClassChart(w, weld.Metric, []view.ChartPoint{
		{X: w.Xs[0], Y: w.Ys[0], Passed: true}, {X: w.Xs[0], Y: w.Ys[1], Passed: true}, {X: w.Xs[0], Y: w.Ys[1]}, {X: far, Y: w.Ys[0]},
	}, len(w.Ys))
	n := len(chart.Rows)
	first, second := marksOf(chart.Rows[n-1]), marksOf(chart.Rows[n-2])
	assert.Equal(t, "P", first[:1])
	assert.Equal(t, "N", first[last:last+1])
	assert.Equal(t, "B", second[:1])
	all := strings.Join(chart.Lines(), "\n")
	assert.NotContains(t, all, "your point")
	assert.Contains(t, all, "P passed   N did not pass   B some passed, some did not")
	assert.Empty(t, chart.Words)
	rows := view.PointRows(w, w.X, w.Y, []view.ChartPoint{{X: far, Y: w.Ys[0]}, {X: w.Xs[0], Y: w.Ys[0]}}, false, weld.Metric)
	assert.NotContains(t, rows[0].Text, "off map")
	assert.Contains(t, rows[1].Text, "(off map)")
}

// The options of a show of hands are numbered; the welded one keeps its mark.
func TestChartOfHands(t *testing.T) {
	w := windowCases(t)[0].window(t)
	chart := view.ChartOf(w, weld.Metric, len(w.Ys))
	chart.Show(w, "60 A, 7 hands, welded", []view.ChartOption{
		{X: w.Xs[0], Y: w.Y0, Word: "40 A, 4 hands"}, {X: w.X0, Y: w.Ys[len(w.Ys)-1] * 2, Word: "300 mm/min, 2 hands"}, {X: w.X0, Y: w.Y0, Word: "the same, 1 hand"},
	})
	all := strings.Join(chart.Lines(), "\n")
	for _, want := range []string{"o 60 A, 7 hands, welded", "1 40 A, 4 hands", "2 300 mm/min, 2 hands, beyond the edge", "3 the same, 1 hand"} {
		assert.Contains(t, all, want)
	}
	assert.Contains(t, marksOf(chart.Rows[0]), "2")
	assert.NotContains(t, marksOf(chart.Rows[0]), "3")
	assert.Equal(t, 2, strings.Count(all, "o 60 A")+strings.Count(marksOf(rowOfAnswer(chart)), "o"))
	assert.Equal(t, "1", marksOf(rowOfAnswer(chart))[:1])
}

func rowOfAnswer(c view.Chart) view.ChartRow {
	for _, r := range c.Rows {
		if r.Edge == '>' {
			return r
		}
	}
	return view.ChartRow{}
}
