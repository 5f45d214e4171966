package report

import (
	"bytes"
	"encoding/xml"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

var update = flag.Bool("update", false, "write the card's goldens anew")

// season is a made-up apprentice's record: better with every coupon, worst on thin
// aluminium.
func season(coupons int) ([]scenarios.Scenario, []session.Brief) {
	var bank []scenarios.Scenario
	for i, kind := range []struct {
		joint  weld.Joint
		metal  weld.Metal
		skills string
	}{
		{weld.SquareButt, weld.CarbonSteel, "choosing amps|matching travel to amps"},
		{weld.TeeFillet, weld.CarbonSteel, "choosing amps|aiming into a corner"},
		{weld.LapFillet, weld.SS304, "sharing heat between members|cup and gas flow"},
		{weld.SquareButt, weld.SS304, "purging a root|choosing amps"},
		{weld.OutsideCorner, weld.Al5052, "venting a hollow|choosing current type"},
		{weld.TubeButt, weld.Steel4130, "welding around a tube|backing off as it heats"},
	} {
		bank = append(bank, scenarios.Scenario{
			ID: fmt.Sprintf("X-%02d", i+1), Skills: strings.Split(kind.skills, "|"),
			Task: weld.Task{Joint: kind.joint, A: weld.Member{Metal: kind.metal}, B: weld.Member{Metal: kind.metal}},
		})
	}
	wrong := []string{"collapse", "root_not_fused", "flow_low", "back_air", "keyhole", "crater", "undercut"}
	var out []session.Brief
	for i := range coupons {
		sc := bank[(i*i+i/7)%len(bank)]
		b := session.Brief{
			ID: fmt.Sprint(i), At: time.Date(2026, 1, 5, 15, 0, 0, 0, time.UTC).Add(time.Duration(i) * 9 * time.Hour),
			Learner: "Ann <Oakes> & Son", Scenario: sc.ID, Joint: sc.Task.Joint, Metal: session.Metals(sc.Task), Outcome: scoring.Accept,
		}
		hand := 45*float64(i)/float64(coupons) + 5*float64(i%4)
		b.Scores = scoring.Scores{BurnThrough: 30 + hand, LackOfFusion: 42 + hand*0.8, Oxide: 55 + hand*0.5}
		if i%(3+4*i/coupons) == 0 {
			b.Outcome, b.Finding = scoring.Reject, wrong[i*5%len(wrong)]
			b.Told = []session.Told{{Rule: b.Finding, Severity: scoring.Defect}, {Rule: wrong[i%len(wrong)], Severity: scoring.Fault}, {Rule: "long_arc", Severity: scoring.Remark}}
		}
		if i%2 == 0 {
			b.Guess = "collapse"
		}
		out = append(out, b)
	}
	return bank, out
}

func card(coupons int) Card {
	bank, all := season(coupons)
	name := ""
	if all != nil {
		name = all[0].Learner
	}
	return NewCard(name, time.Date(2026, 3, 20, 9, 0, 0, 0, time.UTC), bank, all)
}

func TestCardGoldens(t *testing.T) {
	for _, n := range []int{0, 1, 180} {
		for ext, write := range map[string]func(io.Writer, Card) error{"txt": CardText, "html": CardHTML} {
			var got bytes.Buffer
			require.NoError(t, write(&got, card(n)))
			name := filepath.Join("testdata", fmt.Sprintf("card-%d.%s", n, ext))
			if *update {
				require.NoError(t, os.WriteFile(name, got.Bytes(), 0o644))
			}
			want, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.Equal(t, string(want), got.String(), name)
		}
	}
}

func TestTheCardFitsATerminal(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, CardText(&out, card(180)))
	for _, line := range strings.Split(out.String(), "\n") {
		assert.LessOrEqual(t, len(line), 80, line)
	}
}

// The page needs nothing from elsewhere, says nothing by colour alone, and its
// plots are well formed.
func TestThePageStandsAlone(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, CardHTML(&out, card(180)))
	page := out.String()
	assert.NotRegexp(t, `(?i)<script|<link|<img|<iframe|@import|https?:|src=|\bon[a-z]+=`, page)
	assert.NotContains(t, page, "<Oakes>")
	assert.Contains(t, page, "Ann &lt;Oakes&gt; &amp; Son")
	assert.Contains(t, page, "@page")
	for _, c := range regexp.MustCompile(`#[0-9a-fA-F]{3,6}\b`).FindAllString(page, -1) {
		assert.Regexp(t, `^#(000|999|ddd|fff)$`, c, "greys only")
	}
	plots := regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1)
	assert.Len(t, plots, 3)
	for _, plot := range plots {
		d := xml.NewDecoder(strings.NewReader(plot))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
	}
}

// The fullest card: every joint in more metals than are shown, every finding, every
// skill. Beside the plots its page holds a heading, three lines, three titles and a
// foot: 60 mm.
func TestTheFullestCardFitsASheet(t *testing.T) {
	bank, coupons := season(30)
	joints := []weld.Joint{weld.SquareButt, weld.TeeFillet, weld.LapFillet, weld.OutsideCorner, weld.EdgeWeld, weld.TubeButt, weld.TubeSaddle}
	for i := range 100 {
		b := coupons[i%30]
		b.Joint, b.Metal = joints[i%7], fmt.Sprintf("metal %d", i%10)
		b.Told = nil
		for _, rule := range scoring.RuleIDs() {
			b.Told = append(b.Told, session.Told{Rule: rule, Severity: scoring.Fault})
		}
		coupons = append(coupons, b)
	}
	bank[0].Skills = scenarios.Skills
	var out bytes.Buffer
	require.NoError(t, CardHTML(&out, NewCard("Ann", coupons[0].At, bank, coupons)))
	var heights []float64
	for _, m := range regexp.MustCompile(`<svg[^>]* height="([0-9.]+)mm"`).FindAllStringSubmatch(out.String(), -1) {
		h, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		heights = append(heights, h)
	}
	require.Len(t, heights, 3)
	assert.LessOrEqual(t, heights[0]+heights[1]+heights[2]+60, 279.4-20, "a Letter sheet without its margins")
	assert.Equal(t, mostSkills, strings.Count(out.String(), "<dt>"), "skills are as high as findings")
	assert.Contains(t, out.String(), "left out, welded least: ")
}

func TestACardCounts(t *testing.T) {
	at := time.Date(2026, 1, 5, 23, 30, 0, 0, time.UTC)
	bank := []scenarios.Scenario{{ID: "B-01", Skills: []string{"choosing amps"}, Task: weld.Task{Joint: weld.SquareButt, A: weld.Member{Metal: weld.SS304}}}, {ID: "B-02"}}
	hole := []session.Told{{Rule: "keyhole", Severity: scoring.Defect}, {Rule: "keyhole", Severity: scoring.Defect}, {Rule: "long_arc", Severity: scoring.Remark}}
	c := NewCard("Ann", at.In(time.FixedZone("", 3600)), bank, []session.Brief{
		{Scenario: "B-01", At: at, Outcome: scoring.Reject, Finding: "keyhole", Guess: "keyhole", Told: hole, Scores: scoring.Scores{BurnThrough: 20, LackOfFusion: 60, Oxide: 90}},
		{Scenario: "B-01", At: at.Add(time.Hour), Outcome: scoring.Accept, Live: 2, Guess: session.Nothing, Scores: scoring.Scores{BurnThrough: 61, LackOfFusion: 60, Oxide: 90}},
		{Scenario: "B-01", At: at.Add(25 * time.Hour), Outcome: scoring.OutOfRange},
		{Scenario: "own", At: at.Add(26 * time.Hour), Outcome: scoring.Accept, Guess: "keyhole", Joint: weld.SquareButt, Metal: "304", Scores: scoring.Scores{BurnThrough: 60, LackOfFusion: 60, Oxide: 90}},
	})
	assert.Equal(t, []int{4, 2, 1, 2, 1, 2, 3, 2}, []int{c.Coupons, c.Accepted, c.NotScored, c.Days, c.Joints, c.Bank, c.Said, c.Right})
	assert.Equal(t, []FindingCount{{"keyhole", 1, 1}}, c.Findings, "once a coupon, without remarks")
	assert.Equal(t, []Kind{{"304", weld.SquareButt, 3, 2, [3]float64{47, 60, 90}}}, c.Kinds, "the bank says what the first records do not")
	assert.Equal(t, []SkillLine{{"choosing amps", "perhaps weak, seen 2 times, last today"}}, c.Skills)
	assert.Equal(t, "4 coupons, 1 by hand: 2 accepted, 1 rejected, 1 not scored.", c.summary()[0])
	steps := c.Steps(2)
	require.Len(t, steps, 2)
	assert.Equal(t, []int{2, 1}, []int{steps[0].Coupons, steps[1].Coupons})
	assert.InDelta(t, 40.5, steps[0].Scores[0], 1e-9)
}
