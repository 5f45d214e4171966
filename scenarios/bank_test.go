package scenarios_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func bank(t *testing.T) []scenarios.Scenario {
	t.Helper()
	all, err := scenarios.Bank()
	require.NoError(t, err)
	return all
}

// Every joint of the bank is welded: the model answer is accepted, and each
// mistake raises the finding it stands for. Under the race detector two joints
// stand for all: what is welded does not depend on it.
func TestBankWelds(t *testing.T) {
	for _, s := range bank(t) {
		if raced && s.ID != "B-01" && s.ID != "T-02" {
			continue
		}
		t.Run(s.ID, func(t *testing.T) {
			t.Parallel()
			v := judge(t, s.Task, s.Model)
			assert.Equal(t, scoring.Accept, v.Outcome, "model answer: %s\n%s", v.Reason, story(v))
			for _, m := range s.Mistakes {
				require.Contains(t, scoring.RuleIDs(), m.Finding)
				v := judge(t, s.Task, m.Answer)
				raised := slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Rule == m.Finding })
				assert.True(t, raised, "%s: no %s\n%s", m.Title, m.Finding, story(v))
			}
		})
	}
}

func judge(t *testing.T, task weld.Task, a weld.Answer) scoring.Verdict {
	t.Helper()
	v, err := scoring.Judge(task, a)
	require.NoError(t, err)
	return v
}

// story tells a verdict in a few lines.
func story(v scoring.Verdict) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s  burn-through %.0f fusion %.0f oxide %.0f\n", v.Outcome, v.Reason, v.Scores.BurnThrough, v.Scores.LackOfFusion, v.Scores.Oxide)
	fmt.Fprintf(&b, "face %.1f back %.1f penetration %.2f legs %.1f %.1f cap %.2f\n", v.Coupon.Worst.FaceWidth.MM(), v.Coupon.Worst.BackWidth.MM(),
		v.Coupon.Worst.Penetration, v.Coupon.Worst.LegA.MM(), v.Coupon.Worst.LegB.MM(), v.Coupon.Worst.Cap.MM())
	for _, f := range v.Findings {
		fmt.Fprintf(&b, "  %s %s: got %s, want %s\n", f.Severity, f.Rule, f.Got, f.Want)
	}
	return b.String()
}

// The bank covers the everyday ground.
func TestBankCovers(t *testing.T) {
	seen := map[string]bool{}
	gaps := false
	for _, s := range bank(t) {
		task := s.Task
		for _, m := range []weld.Member{task.A, task.B} {
			seen[string(m.Metal)] = true
			seen[m.Thickness.Show(weld.Metric)] = true
		}
		seen[string(task.Joint)] = true
		seen[string(task.Position)] = true
		seen[string(task.Chill)] = true
		seen[fmt.Sprint("level ", s.Level)] = true
		gaps = gaps || task.GapEnd > task.Gap
		for _, skill := range s.Skills {
			seen[skill] = true
		}
		assert.GreaterOrEqual(t, len(s.Mistakes), 3, s.ID)
		assert.NotEmpty(t, s.Bench, s.ID)
		assert.NotEmpty(t, s.Access, s.ID)
		assert.NotEmpty(t, s.Coaching.Look, s.ID)
		assert.NotEmpty(t, s.Coaching.Why, s.ID)
		assert.NotEmpty(t, s.Coaching.Try, s.ID)
		if s.Level <= 2 {
			assert.GreaterOrEqual(t, len(s.Ask), 3, s.ID)
			assert.LessOrEqual(t, len(s.Ask), 5, s.ID)
		}
	}
	for _, want := range []string{
		"square butt", "tee fillet", "lap fillet", "outside corner", "edge", "tube butt", "tube saddle", "PA", "PB", "PC", "PD", "PE", "PF", "PH", "PJ",
		"carbon steel", "4130", "304", "6061", "5052", "0.9 mm", "1.4 mm", "2 mm", "3.2 mm",
		"free in air", "clamp bars", "flat on the bench", "level 1", "level 2", "level 3", "level 4",
	} {
		assert.True(t, seen[want], "no joint with %s", want)
	}
	assert.True(t, gaps, "no gap that widens")
	for _, skill := range scenarios.Skills {
		assert.True(t, seen[skill], "no joint practises %s", skill)
	}
}
