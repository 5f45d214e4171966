package report

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// CouponsCSV writes a row a coupon: what was welded, what came of it, and every
// setting, numbers bare in the metric unit that the head names. A coupon that is
// not scored has no scores.
func CouponsCSV(out io.Writer, coupons func(each func(session.Attempt) error) error) error {
	c := csv.NewWriter(out)
	head := []string{
		"id", "started", "at", "learner", "scenario", "title", "revision", "seed", "joint", "metal", "model version", "mode", "live",
		"outcome", "burn-through", "lack of fusion", "oxide", "finding", "all findings", "guess", "hints",
	}
	for _, f := range weld.Fields {
		head = append(head, view.WithUnit(f, weld.Metric))
	}
	if err := c.Write(head); err != nil {
		return err
	}
	err := coupons(func(a session.Attempt) error {
		b := session.NewBrief(a)
		var told []string
		for _, t := range b.Told {
			told = append(told, t.Rule)
		}
		row := []string{
			text(b.ID), clock(b.Started), clock(b.At), text(b.Learner), text(b.Scenario), text(a.Title), strconv.Itoa(b.Revision), strconv.FormatInt(b.Seed, 10),
			text(string(b.Joint)), text(b.Metal), text(b.ModelVersion), text(b.Mode), view.LiveWords(b.Live), text(string(b.Outcome)), "", "", "",
			text(b.Finding), text(strings.Join(told, " ")), text(b.Guess), strconv.Itoa(b.Hints),
		}
		if b.Outcome != scoring.OutOfRange {
			for i, x := range []float64{b.Scores.BurnThrough, b.Scores.LackOfFusion, b.Scores.Oxide} {
				row[14+i] = strconv.FormatFloat(math.Floor(x*10)/10, 'f', -1, 64) // down, so that what is short never shows as the limit
			}
		}
		for _, f := range weld.Fields {
			if f.Numeric() {
				row = append(row, f.Bare(a.Answer, weld.Metric))
			} else {
				row = append(row, text(f.Get(a.Answer)))
			}
		}
		return c.Write(row)
	})
	c.Flush()
	if err != nil {
		return err
	}
	return c.Error()
}

// clock writes a time as spreadsheets read it, UTC; nothing when it is not known.
func clock(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02 15:04:05.000")
}

// text keeps a spreadsheet from running a text as a formula: with a ' before it, it
// is a text. The beginnings that need it are those of OWASP, "CSV Injection", after
// whatever blanks.
func text(s string) string {
	first, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(s, unicode.IsSpace))
	if strings.ContainsRune("=+-@＝＋－＠", first) || s != "" && strings.ContainsRune("\t\r\n", rune(s[0])) {
		return "'" + s
	}
	return s
}
