package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/drill"
)

// class is one of two learners and so many joints, one of them not done, with names and
// a title as bad as they come.
func class(joints int) Class {
	now := time.Date(2026, 3, 4, 9, 30, 0, 0, time.UTC)
	c := Class{Table: drill.Table{Drill: "<Amps>"}, Titles: map[string]string{"J0": "=1+1"}, Now: now}
	for _, name := range []string{`=HYPERLINK("http://x")`, "<b>Bo</b>"} {
		row := drill.Row{Learner: name, Joints: make([]drill.Mark, joints), Done: name[0] == '='}
		c.Learners = append(c.Learners, row)
		c.Needs.Learners = append(c.Needs.Learners, drill.Need{Learner: name, Marks: make([]drill.SkillMark, 12), Next: []string{"choosing amps", "travel"}})
	}
	c.Needs.Skills = make([]string, 12)
	for i := range joints {
		c.Joints = append(c.Joints, drill.JointRow{Scenario: "J" + string(rune('0'+i)), Tells: math.NaN()})
	}
	c.AtIt = []drill.Standing{{
		Learner: "<b>Bo</b>", Joint: "J1", Nth: 2, Of: 9, Tries: 1, Most: 3, Here: 9 * time.Minute, Quiet: 4 * time.Minute,
		Heard: now.Add(-12 * time.Minute), Closed: true, Others: 3 * time.Minute, Stuck: drill.Long,
	}}
	return c
}

func TestClassCSV(t *testing.T) {
	for joints, rows := range map[int]int{0: 3, 2: 5} {
		var b bytes.Buffer
		require.NoError(t, ClassCSV(&b, class(joints)))
		text, marked := strings.CutPrefix(b.String(), byteOrderMark)
		assert.True(t, marked)
		all, err := csv.NewReader(strings.NewReader(text)).ReadAll() // every row as long as the head
		require.NoError(t, err)
		require.Len(t, all, rows)
		for _, row := range all {
			for _, cell := range row {
				assert.False(t, strings.ContainsAny(cell[:min(1, len(cell))], "=+-@"), cell)
			}
		}
		last := all[rows-1]
		assert.Equal(t, []string{"choosing amps, travel", "no", "J1", "2", "9", "1", "9.0", "4.0", "2026-03-04 09:18:00.000", "long"}, last[5:])
	}
	for _, s := range []string{" =1", "\n=1", "＝1", "@x", "\tx"} {
		assert.Equal(t, "'"+s, text(s))
	}
	for _, s := range []string{"", "A-1", "Ann", " Ann", "é"} {
		assert.Equal(t, s, text(s))
	}
}

// The page needs nothing from elsewhere, runs nothing, and no table of it is wider than a
// sheet.
func TestClassHTML(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, ClassHTML(&b, class(20), weld.Metric))
	page := b.String()
	for _, bad := range []string{"<b>", "<script", "src=", "href=", "@import", "url("} {
		assert.NotContains(t, page, bad)
	}
	assert.Contains(t, page, "STUCK: others took 3 min; closed 12 min ago")
	for _, head := range regexp.MustCompile(`(?s)<thead>.*?</thead>`).FindAllString(page, -1) {
		assert.LessOrEqual(t, strings.Count(head, "<th>"), mostAcross+4)
	}
	for _, row := range regexp.MustCompile(`(?s)<table>.*?</table>`).FindAllString(page, -1) {
		heads := strings.Count(row, "<th>")
		assert.Zero(t, strings.Count(row, "<td")%heads, row)
	}
}

func TestClassText(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, ClassText(&b, class(2)))
	assert.Regexp(t, `(?m)^<b>Bo</b> +2 of 9, J1  1 of 3  9 min  4 min      STUCK: others took 3 min; closed 12 min ago$`, b.String())
	c := class(2)
	c.AtIt = nil
	b.Reset()
	require.NoError(t, ClassText(&b, c))
	assert.NotContains(t, b.String(), "still at it")
}
