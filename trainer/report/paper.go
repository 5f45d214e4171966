package report

import (
	"fmt"
	"strings"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session/view"
)

// Paper is the practice record of a test: what a test's paper would hold, and that it
// certifies nothing. Lengths are metric, as in the standards.
type Paper struct {
	Taken   precert.Taken
	Outcome precert.Outcome
	Made    time.Time // the day stands on the paper
	Letter  bool      // the sheet; else A4
}

// What stands on every sheet.
const (
	paperWords  = "PRACTICE RECORD. IT CERTIFIES NOTHING."
	paperReason = "Settings were typed in and a coupon was computed. No hand was watched and no metal was welded. " +
		"A qualification is made by a licensed examiner, with a test piece, to the code in force. Limits and ranges are from copies of the standards, not the books."
)

// block is a piece of the paper: a heading, words, a table or a drawing.
type block struct {
	heading string
	words   string
	bold    bool
	table   [][]string
	widths  []float64 // of the table's columns, parts of the whole
	head    bool      // the table's first row is its head
	seam    *seamPlot
}

// seamPlot is a coupon drawn from above: widths of face and back along the seam, mm.
type seamPlot struct {
	long       float64
	at         []float64
	face, back []float64
}

// most is the greater half width, mm: at least 1.
func (s seamPlot) most() float64 {
	out := 1.0
	for i := range s.at {
		out = max(out, s.face[i]/2, s.back[i]/2)
	}
	return out
}

// stamp is a time to the minute, as everywhere in UTC.
const stamp = "2006-01-02 15:04"

func spent(d time.Duration) string {
	d = d.Round(time.Second)
	return fmt.Sprintf("%d min %02d s", int(d.Minutes()), int(d.Seconds())%60)
}

// verdict is the result in capitals.
func (p Paper) verdict() string {
	switch {
	case !p.Taken.Done:
		return "NOT FINISHED"
	case p.Outcome.Pass:
		return "WOULD PASS"
	}
	return "DOES NOT PASS"
}

// blocks is the paper from top to bottom.
func (p Paper) blocks() []block {
	t := p.Taken
	out := []block{
		{words: paperReason},
		{heading: "The test", table: p.facts(), widths: []float64{24, 76}},
		{heading: "Result: " + p.verdict(), words: p.Outcome.Decided, bold: true},
	}
	for _, j := range p.Outcome.Parts {
		if j.Changed {
			out = append(out, block{words: "Doubt: " + j.Part.Name + ", welded again for this paper, comes out otherwise than when it was taken: the file was changed, or the model is another.", bold: true})
		}
	}
	out = append(out, p.covers(t)...)
	for _, j := range p.Outcome.Parts {
		out = append(out, partBlocks(j)...)
	}
	return out
}

func (p Paper) facts() [][]string {
	t := p.Taken
	rows := [][]string{
		{"welder", t.Learner},
		{"test piece", t.Piece + ", " + t.Title},
		{"designation", t.Designation},
		{"procedure", t.Procedure + ", a practice procedure, no WPS"},
		{"welded", t.Started.Format(stamp) + " to " + t.Ended.Format(stamp) + " UTC"},
		{"time used", spent(time.Duration(t.Working*float64(time.Second))) + " of " + spent(time.Duration(t.Allowed*float64(time.Second)))},
	}
	lost := "none: taken in one sitting"
	if len(t.Away) > 0 {
		var each []string
		for _, a := range t.Away {
			each = append(each, a.From.Format(stamp)+" for "+spent(a.To.Sub(a.From)))
		}
		lost = spent(t.Lost()) + " in all, the clock stood still: " + strings.Join(each, "; ")
	}
	conditions := "as written"
	if t.Seed != 0 {
		conditions = fmt.Sprintf("drawn, seed %d", t.Seed)
	}
	return append(rows, []string{"time lost", lost}, []string{"blanks", fmt.Sprintf("%d of %d used to set up on", t.Used, t.Blanks)},
		[]string{"conditions", conditions}, []string{"program", "puddlewise " + t.Program + ", model " + t.Model}, []string{"paper made", p.Made.Format(time.DateOnly)})
}

// covers says what the test would qualify for, were it one.
func (p Paper) covers(t precert.Taken) []block {
	test, err := precert.ParseTest(t.Designation)
	if err != nil {
		return []block{{words: "The designation cannot be read: " + err.Error()}}
	}
	rows := [][]string{{"variable", "range", "by", "note"}}
	for _, c := range test.Range() {
		rows = append(rows, []string{c.Variable, c.Covers, c.Source, c.Note})
	}
	heading := "What such a test would qualify for"
	if !p.Outcome.Pass {
		heading = "It qualifies for nothing; had it passed"
	}
	out := []block{{heading: heading, table: rows, widths: []float64{18, 27, 26, 29}, head: true}}
	if due := test.Code.Validity(t.Ended); due != nil && p.Outcome.Pass {
		rows := [][]string{{"date", "what", "by"}}
		for _, d := range due {
			rows = append(rows, []string{d.On.Format(time.DateOnly), d.What, d.Source})
		}
		out = append(out, block{heading: "Dates that would follow", table: rows, widths: []float64{14, 60, 26}, head: true})
	}
	return out
}

// partBlocks shows one run: the coupon measured, the inspector's sheet, the procedure's check.
func partBlocks(j precert.Judged) []block {
	name := strings.ToUpper(j.Part.Name[:1]) + j.Part.Name[1:]
	if !j.Welded {
		return []block{{heading: name, words: "Not welded."}}
	}
	t := j.Part.Task
	out := []block{{heading: name, words: fmt.Sprintf("%s, %s, %s, walls %s and %s, gap %s to %s.", t.Joint, t.Position, metals(t), t.A.Thickness.Show(weld.Metric), t.B.Thickness.Show(weld.Metric), t.Gap.Show(weld.Metric), t.GapEnd.Show(weld.Metric))}}
	if plot := plotOf(t, j.Verdict.Coupon); plot != nil {
		out = append(out, block{seam: plot})
	}
	if rows := view.Table(t, j.Verdict.Coupon, 7, weld.Metric); rows != nil {
		pen := "penetration"
		if t.Joint.Fillet() {
			pen = "root fused"
		}
		table := [][]string{{"at", "face width", "back width", pen, "face colour", "note"}}
		for _, r := range rows {
			table = append(table, []string{r.At, r.Face, r.Back, r.Pen, r.Colour, r.Note})
		}
		out = append(out, block{table: table, widths: []float64{12, 15, 15, 15, 18, 25}, head: true})
	}
	sheet := [][]string{{"no.", "imperfection", "measured", "allowed", "result", "by"}}
	for _, l := range j.Sheet {
		result := string(l.Result)
		if l.Result == scoring.Failed {
			result = "FAIL at " + l.At.Show(weld.Metric)
		}
		sheet = append(sheet, []string{string(l.Imperfection), l.Name, l.Got, l.Want, result, l.Source})
	}
	check := [][]string{{"variable", "set", "allowed", "result"}}
	for _, l := range j.Procedure {
		result := string(l.Result)
		if l.Result != precert.Allowed {
			result = "NO: " + result
		}
		check = append(check, []string{l.Variable, l.Have, l.May, result})
	}
	return append(out,
		block{words: "Inspector's sheet", bold: true}, block{table: sheet, widths: []float64{7, 22, 13, 19, 14, 25}, head: true},
		block{words: "Held to the procedure", bold: true}, block{table: check, widths: []float64{24, 18, 40, 18}, head: true})
}

func metals(t weld.Task) string {
	if t.A.Metal == t.B.Metal {
		return string(t.A.Metal)
	}
	return string(t.A.Metal) + " to " + string(t.B.Metal)
}

func plotOf(t weld.Task, c scoring.Coupon) *seamPlot {
	if len(c.Stations) < 2 {
		return nil
	}
	out := &seamPlot{long: t.Seam.MM()}
	for _, s := range c.Stations {
		out.at = append(out.at, s.At.MM())
		out.face = append(out.face, s.FaceWidth.MM())
		out.back = append(out.back, s.BackWidth.MM())
	}
	return out
}
