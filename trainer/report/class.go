package report

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"html"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// Class is a drill's table, with what a page draws beside it.
type Class struct {
	drill.Table
	Needs  drill.Needs
	Titles map[string]string // of the joints, by id; may lack some
	Plots  []ClassPlot       // may be none
	AtIt   []drill.Standing  // learners who are not done
	Now    time.Time         // on this machine's clock
}

// where says at which of the drill's joints a learner is.
func where(s drill.Standing) string {
	if s.Joint == "" {
		return fmt.Sprintf("before the first of %d", s.Of)
	}
	return fmt.Sprintf("%d of %d, %s", s.Nth, s.Of, s.Joint)
}

func triesOf(s drill.Standing) string {
	if s.Most == 0 {
		return strconv.Itoa(s.Tries)
	}
	return fmt.Sprintf("%d of %d", s.Tries, s.Most)
}

// stuck says why a learner may need somebody; empty for one who gets on.
func stuck(s drill.Standing) string {
	switch s.Stuck {
	case drill.Long:
		return fmt.Sprintf("others took %s", minutes(s.Others))
	case "":
		return ""
	}
	return string(s.Stuck)
}

// since says how long ago the result of a closed drill was written; empty for one that is open.
func (c Class) since(s drill.Standing) string {
	if !s.Closed {
		return ""
	}
	ago := c.Now.Sub(s.Heard)
	if ago < 100*time.Minute {
		return "closed " + minutes(ago) + " ago"
	}
	return "closed since " + s.Heard.In(c.Now.Location()).Format("2 Jan 15:04")
}

func minutes(d time.Duration) string { return fmt.Sprintf("%.0f min", d.Minutes()) }

// standing says in one cell what there is to know of somebody at it.
func (c Class) standing(s drill.Standing) string {
	out := stuck(s)
	if out != "" {
		out = "STUCK: " + out
	}
	if closed := c.since(s); closed != "" {
		out = strings.TrimPrefix(out+"; "+closed, "; ")
	}
	return out
}

// ClassPlot is a joint's window with the answer of every learner in it.
type ClassPlot struct {
	Scenario string
	Window   *scoring.Window
	Points   []view.ChartPoint // every learner's first coupon, without names: a class looks at it
	Others   int               // learners who had another variation of the joint
}

func (c Class) joint(id string) string { return strings.TrimSpace(id + "  " + c.Titles[id]) }

// tells says how a joint tells learners apart.
func tells(r float64) string {
	switch {
	case math.IsNaN(r):
		return "-"
	case r < 0:
		return "against the others"
	case r < 0.2:
		return "little"
	case r < 0.4:
		return "some"
	}
	return "well"
}

func percent(share float64) string { return strconv.Itoa(int(math.Round(100*share))) + " %" }

func finding(rule string) string {
	if rule == "" {
		return "-"
	}
	return session.InWords(rule)
}

// ClassText writes the table in lines.
func ClassText(out io.Writer, c Class) error {
	fmt.Fprintf(out, "%s: %s\n\n", c.Drill, view.Counted(len(c.Learners), "learner"))
	if len(c.AtIt) > 0 {
		if err := AtItText(out, c); err != nil {
			return err
		}
		fmt.Fprintln(out)
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "learner\tpassed\tcoupons\tmin\taway\tmost often")
	for _, l := range c.Learners {
		name := l.Learner
		if !l.Done {
			name += " (not done)"
		}
		fmt.Fprintf(w, "%s\t%d of %d\t%d\t%.0f\t%d\t%s\n", name, l.Passed, c.Of, l.Coupons, l.Minutes, l.Away, finding(l.Finding))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(c.Joints) == 0 {
		return nil // nothing is welded yet
	}
	fmt.Fprintln(out)
	fmt.Fprintln(w, "joint\tpassed\ttells apart\tmost often")
	for _, j := range c.Joints {
		fmt.Fprintf(w, "%s\t%s of %d\t%s\t%s\n", c.joint(j.Scenario), percent(j.Passed), j.Tried, tells(j.Tells), finding(j.Finding))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(out)
	fmt.Fprintln(w, "learner\tneeds next")
	for _, l := range c.Needs.Learners {
		fmt.Fprintf(w, "%s\t%s\n", l.Learner, next(l))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if len(c.Findings) > 0 {
		fmt.Fprintf(out, "\nTo talk about: %s, on %s.\n", finding(c.Findings[0].Rule), view.Counted(c.Findings[0].Coupons, "coupon"))
	}
	return nil
}

// AtItText writes those who are not done, in lines.
func AtItText(out io.Writer, c Class) error {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintln(w, "still at it\tjoint\ttries\tthere\tno coupon\t")
	for _, s := range c.AtIt {
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\t%s\t%s\n", s.Learner, where(s), triesOf(s), minutes(s.Here), minutes(s.Quiet), c.standing(s))
	}
	return w.Flush()
}

// next says what a learner needs.
func next(l drill.Need) string {
	if l.Next == nil {
		return "-"
	}
	return strings.Join(l.Next, ", ")
}

// byteOrderMark makes a spreadsheet read names as UTF-8.
const byteOrderMark = "\ufeff"

// ClassCSV writes a row a learner and joint, or a learner alone where nothing is welded
// yet. What is known of the learner stands in each row, the last columns of those who
// are not done.
func ClassCSV(out io.Writer, c Class) error {
	w := csv.NewWriter(out)
	rows := [][]string{{
		byteOrderMark + "learner", "joint", "title", "coupons", "passed", "needs next",
		"done", "now at", "which is joint", "of", "tries there", "minutes there", "minutes without a coupon", "last heard", "stuck",
	}}
	for k, l := range c.Learners {
		needs := ""
		if c.Needs.Learners[k].Next != nil {
			needs = next(c.Needs.Learners[k])
		}
		about := []string{text(needs), yes(l.Done), "", "", "", "", "", "", "", ""}
		for _, s := range c.AtIt {
			if s.Learner == l.Learner {
				copy(about[2:], []string{
					text(s.Joint), strconv.Itoa(s.Nth), strconv.Itoa(s.Of), strconv.Itoa(s.Tries), fmt.Sprintf("%.1f", s.Here.Minutes()), fmt.Sprintf("%.1f", s.Quiet.Minutes()),
					clock(s.Heard), string(s.Stuck),
				})
				break
			}
		}
		if len(l.Joints) == 0 {
			rows = append(rows, append([]string{text(l.Learner), "", "", "0", "no"}, about...))
		}
		for i, m := range l.Joints {
			id := c.Joints[i].Scenario
			rows = append(rows, append([]string{text(l.Learner), text(id), text(c.Titles[id]), strconv.Itoa(m.Tries), yes(m.Passed)}, about...))
		}
	}
	return w.WriteAll(rows)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// So many columns of joints and of skills fit a printed sheet beside a name, and what is
// read of a learner beside the last of them.
const mostAcross, mostSkillsAcross = 8, 5

const classStyle = `
@page { margin: 12mm }
body { font: 14px/1.4 sans-serif; color: #000; background: #fff; max-width: 980px; margin: 1em auto; padding: 0 1em }
table { border-collapse: collapse; margin: 0.6em 0 1.4em }
thead { display: table-header-group }
tr { break-inside: avoid }
th, td { border-bottom: 1px solid #bbb; padding: 0.2em 0.5em; text-align: left; vertical-align: top }
td.n { text-align: right }
figure { margin: 0 0 1.4em; break-inside: avoid }
figcaption { margin-bottom: 0.4em }
`

// ClassHTML writes the table as one page that needs nothing from elsewhere, to read or print.
func ClassHTML(out io.Writer, c Class, sys weld.System) error {
	var b strings.Builder
	p := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	e := html.EscapeString
	p(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>%s, class table</title>
<style>%s</style>
</head>
<body>
<h1>%s</h1>
<p>%s. + is passed, x is not, blank was not welded; a number is how many coupons it took.</p>`, e(c.Drill), classStyle, e(c.Drill), view.Counted(len(c.Learners), "learner"))
	if len(c.AtIt) > 0 {
		p("<h2>Still at it</h2>\n<table><thead><tr><th>learner</th><th>joint</th><th>tries</th><th>there</th><th>no coupon for</th><th></th></tr></thead>")
		for _, s := range c.AtIt {
			p("<tr><td>%s</td><td>%s</td><td>%s</td><td class=\"n\">%s</td><td class=\"n\">%s</td><td>%s</td></tr>", e(s.Learner), e(where(s)), triesOf(s), minutes(s.Here), minutes(s.Quiet), e(c.standing(s)))
		}
		p("</table>")
	}
	for from := 0; from == 0 || from < len(c.Joints); from += mostAcross { // as many as a sheet is wide
		to := min(from+mostAcross, len(c.Joints))
		p("<table><thead><tr><th>learner</th>")
		for _, j := range c.Joints[from:to] {
			p("<th>%s</th>", e(j.Scenario))
		}
		if to == len(c.Joints) {
			p("<th>passed</th><th>min</th><th>most often</th>")
		}
		p("</tr></thead>")
		for _, l := range c.Learners {
			name := l.Learner
			if !l.Done {
				name += " (not done)"
			}
			p("<tr><td>%s</td>", e(name))
			for _, m := range l.Joints[from:to] {
				mark := ""
				switch {
				case m.Passed:
					mark = fmt.Sprintf("+ %d", m.Tries)
				case m.Tries > 0:
					mark = fmt.Sprintf("x %d", m.Tries)
				}
				p("<td>%s</td>", mark)
			}
			if to == len(c.Joints) {
				p(`<td class="n">%d of %d</td><td class="n">%.0f</td><td>%s</td>`, l.Passed, c.Of, l.Minutes, e(finding(l.Finding)))
			}
			p("</tr>")
		}
		p("</table>")
	}
	p("<table><thead><tr><th>joint</th><th>passed</th><th>welded by</th><th>tells learners apart</th><th>most often</th></tr></thead>")
	for _, j := range c.Joints {
		p(`<tr><td>%s</td><td class="n">%s</td><td class="n">%d</td><td>%s</td><td>%s</td></tr>`, e(c.joint(j.Scenario)), percent(j.Passed), j.Tried, tells(j.Tells), e(finding(j.Finding)))
	}
	p("</table>")
	if len(c.Findings) > 0 {
		p("<h2>What went wrong, and on how many coupons</h2>\n<ol>")
		for _, f := range c.Findings {
			p("<li>%s: %d</li>", e(finding(f.Rule)), f.Coupons)
		}
		p("</ol>")
	}
	if len(c.Needs.Skills) > 0 {
		p("<h2>Skills: joints passed of those welded, and what each needs next</h2>")
		skills := c.Needs.Skills
		for from := 0; from < len(skills); from += mostSkillsAcross {
			to := min(from+mostSkillsAcross, len(skills))
			p("<table><thead><tr><th>learner</th>")
			for _, s := range skills[from:to] {
				p("<th>%s</th>", e(s))
			}
			if to == len(skills) {
				p("<th>needs next</th>")
			}
			p("</tr></thead>")
			for _, l := range c.Needs.Learners {
				p("<tr><td>%s</td>", e(l.Learner))
				for _, m := range l.Marks[from:to] {
					text := ""
					if m.Of > 0 {
						text = fmt.Sprintf("%d of %d", m.Passed, m.Of)
					}
					p("<td>%s</td>", text)
				}
				if to == len(skills) {
					p("<td>%s</td>", e(next(l)))
				}
				p("</tr>")
			}
			p("</table>")
		}
	}
	for _, plot := range c.Plots {
		others := ""
		if plot.Others > 0 {
			others = fmt.Sprintf("; %s had another variation", view.Counted(plot.Others, "learner"))
		}
		p("<figure><figcaption>%s: every learner's first coupon; a ring passed, a cross did not, at the edge also those beyond it%s</figcaption>", e(c.joint(plot.Scenario)), others)
		plotSVG(&b, plot, sys)
		p("</figure>")
	}
	p("</body>\n</html>")
	_, err := io.WriteString(out, b.String())
	return err
}

// plotSVG draws the window small, and the points where they stand; what lies outside is
// drawn at its edge.
func plotSVG(out io.Writer, c ClassPlot, sys weld.System) {
	const cell, left, top = 12, 60, 8
	w := c.Window
	across, up := len(w.Xs), len(w.Ys)
	p := func(format string, args ...any) { fmt.Fprintf(out, format+"\n", args...) }
	width, base := left+cell*across+20, top+cell*up
	p(`<svg xmlns="http://www.w3.org/2000/svg" width="%d" height="%d" viewBox="0 0 %d %d" font-family="sans-serif" font-size="12">`, width, base+44, width, base+44)
	for r, row := range w.Regions {
		for k, region := range row {
			p(`<rect x="%d" y="%d" width="%d" height="%d" fill="%s"/>`, left+k*cell, top+(up-1-r)*cell, cell, cell, regionFill[region])
		}
	}
	for _, name := range []scoring.Region{scoring.Cold, scoring.Good, scoring.Through, scoring.OtherBad} {
		x, y, n := 0, 0, 0
		for r, row := range w.Regions {
			for k, region := range row {
				if region == name {
					x, y, n = x+k, y+r, n+1
				}
			}
		}
		if n > across*up/40 { // a word on each tint: colour alone says nothing
			p(`<text x="%d" y="%d" text-anchor="middle" fill="#444">%s</text>`, left+(x/n)*cell, top+(up-1-y/n)*cell, view.RegionWord(name))
		}
	}
	place := func(v []float64, x float64) float64 {
		at := (x - v[0]) / (v[len(v)-1] - v[0])
		return math.Min(1, math.Max(0, at))
	}
	points := slices.Clone(c.Points)
	slices.SortFunc(points, func(a, b view.ChartPoint) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	for _, pt := range points {
		x := left + int(math.Round(place(w.Xs, pt.X)*float64(cell*(across-1)))) + cell/2
		y := top + cell*up - cell/2 - int(math.Round(place(w.Ys, pt.Y)*float64(cell*(up-1))))
		if pt.Passed {
			p(`<circle cx="%d" cy="%d" r="5" fill="none" stroke="#000" stroke-width="2"/>`, x, y)
		} else {
			p(`<path d="M%d %dl8 8m-8 0l8 -8" stroke="#000" stroke-width="2"/>`, x-4, y-4)
		}
	}
	for _, k := range []int{0, across / 2, across - 1} {
		p(`<text x="%d" y="%d" text-anchor="middle">%s</text>`, left+k*cell+cell/2, base+16, html.EscapeString(bare(w.X, w.Xs[k], sys)))
	}
	for _, r := range []int{0, up / 2, up - 1} {
		p(`<text x="%d" y="%d" text-anchor="end">%s</text>`, left-6, top+(up-1-r)*cell+cell-2, html.EscapeString(bare(w.Y, w.Ys[r], sys)))
	}
	p(`<text x="%d" y="%d">%s across, %s up</text>`, left, base+36, html.EscapeString(view.WithUnit(w.X, sys)), html.EscapeString(view.WithUnit(w.Y, sys)))
	p("</svg>")
}
