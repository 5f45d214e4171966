package report

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
)

func paper(pass bool) Paper {
	day := time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)
	part := precert.Part{Name: "weld 1 of 2", Task: weld.Task{Joint: weld.SquareButt, Position: weld.PA, A: weld.Member{Metal: weld.CarbonSteel}, B: weld.Member{Metal: weld.CarbonSteel}, Seam: 40 * weld.Millimetre}}
	j := precert.Judged{Part: part, Welded: true, Changed: !pass}
	for i := range 5 {
		j.Verdict.Coupon.Stations = append(j.Verdict.Coupon.Stations, scoring.Station{At: weld.Length(i) * 10 * weld.Millimetre, FaceWidth: 4 * weld.Millimetre, BackWidth: 2 * weld.Millimetre})
	}
	j.Sheet = []scoring.Inspected{{Imperfection: "5011", Name: "undercut", Got: "0.4 mm", Want: "none", Result: scoring.Failed, At: 12 * weld.Millimetre, Source: "ISO 5817"}}
	j.Procedure = []precert.Line{{Variable: "gas", Have: "helium", May: "argon", Result: precert.NewOne}}
	return Paper{
		Taken: precert.Taken{
			Piece: "TS-01", Title: "Butt <in> sheet", Designation: "141 P BW FM1 S s1.5 PA ss nb", Procedure: "PS-01", Learner: "Zoë", Started: day, Ended: day.Add(time.Hour),
			Working: 1500, Allowed: 1800, Away: []precert.Away{{From: day.Add(10 * time.Minute), To: day.Add(45 * time.Minute)}}, Done: true, Blanks: 2, Used: 1, Seed: 3, Parts: []precert.Part{part},
		},
		Outcome: precert.Outcome{Parts: []precert.Judged{j, {Part: precert.Part{Name: "weld 2 of 2"}}}, Pass: pass, Decided: "no line fails"},
		Made:    day,
	}
}

func TestPaperHTML(t *testing.T) {
	var b strings.Builder
	require.NoError(t, PaperHTML(&b, paper(false)))
	for _, want := range []string{
		"<h1>PRACTICE RECORD. IT CERTIFIES NOTHING.</h1>", "size: A4", "licensed examiner", "Butt &lt;in&gt; sheet", "Result: DOES NOT PASS", "It qualifies for nothing; had it passed",
		"35 min 00 s in all", "25 min 00 s of 30 min 00 s", "1 of 2 used", "FAIL at 12 mm", "NO: needs a new procedure", "Doubt: weld 1 of 2", "Not welded.", "<polygon", "drawn, seed 3",
	} {
		assert.Contains(t, b.String(), want)
	}
	b.Reset()
	p := paper(true)
	p.Letter = true
	require.NoError(t, PaperHTML(&b, p))
	assert.Contains(t, b.String(), "size: letter")
	assert.Contains(t, b.String(), "What such a test would qualify for")
	assert.NotContains(t, b.String(), "Doubt")
	assert.Contains(t, b.String(), "2026-09-04", "the dates that would follow")
	assert.NotContains(t, b.String(), "http", "it needs nothing from elsewhere")
	b.Reset()
	p.Taken.Done = false
	require.NoError(t, PaperHTML(&b, p))
	assert.Contains(t, b.String(), "Result: NOT FINISHED")
}

// The same paper gives the same bytes, on the sheet that was asked for.
func TestPaperPDF(t *testing.T) {
	write := func(p Paper) []byte {
		var b bytes.Buffer
		require.NoError(t, PaperPDF(&b, p))
		return b.Bytes()
	}
	a4 := write(paper(false))
	assert.Equal(t, a4, write(paper(false)))
	assert.Contains(t, string(a4), "/MediaBox [0 0 595.28 841.89]")
	p := paper(true)
	p.Letter = true
	p.Taken.Learner = "Анна, who has a long name " + strings.Repeat("x", 300)
	letter := write(p)
	assert.Contains(t, string(letter), "/MediaBox [0 0 612.00 792.00]")
	p.Made = p.Made.AddDate(0, 0, 1)
	assert.NotEqual(t, letter, write(p), "the day stands on it")
}
