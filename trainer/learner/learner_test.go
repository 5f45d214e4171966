package learner

import (
	"bufio"
	"fmt"
	"os"
	"slices"
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

var day = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

func later(days int) time.Time { return day.AddDate(0, 0, days) }

func practising(id string, level int, skills ...string) scenarios.Scenario {
	return scenarios.Scenario{ID: id, Title: id, Level: level, Skills: skills, Task: weld.Task{Joint: weld.SquareButt}}
}

// coupon was welded at a time; rules are the defects found on it.
func coupon(id string, at time.Time, rules ...string) session.Brief {
	b := session.Brief{Scenario: id, At: at, Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 90, LackOfFusion: 90, Oxide: 90}}
	for _, r := range rules {
		b.Outcome = scoring.Reject
		b.Told = append(b.Told, session.Told{Rule: r, Severity: scoring.Defect})
		b.Scores = scoring.Scores{BurnThrough: 20, LackOfFusion: 20, Oxide: 20}
	}
	return b
}

func TestEveryFindingTellsOfASkill(t *testing.T) {
	told := map[string]bool{}
	for _, rule := range scoring.RuleIDs() {
		assert.NotEmpty(t, tellsOf[rule], "%s blames no skill", rule)
		for _, s := range tellsOf[rule] {
			assert.Contains(t, scenarios.Skills, s, rule)
			told[s] = true
		}
	}
	for rule := range tellsOf {
		assert.Contains(t, scoring.RuleIDs(), rule)
	}
	for _, s := range scenarios.Skills {
		assert.True(t, told[s], "no finding tells of %s", s)
	}
}

func TestBlame(t *testing.T) {
	f, err := os.Open("../../testdata/learner/blame.txt")
	require.NoError(t, err)
	defer f.Close()
	var name string
	var sc scenarios.Scenario
	var grade map[string]float64
	list := func(s string) []string { return strings.Split(s, ", ") }
	for lines := bufio.NewScanner(f); lines.Scan(); {
		key, value, ok := strings.Cut(strings.TrimSpace(lines.Text()), ": ")
		if !ok || strings.HasPrefix(key, "#") {
			continue
		}
		switch key {
		case "case":
			name = value
		case "skills":
			sc = practising("B-01", 1, list(value)...)
		case "found":
			b := coupon("B-01", day)
			for _, f := range list(value) {
				severity, rule, _ := strings.Cut(f, " ")
				require.Contains(t, scoring.RuleIDs(), rule, name)
				b.Told = append(b.Told, session.Told{Rule: rule, Severity: scoring.Severity(severity)})
				b.Scores = scoring.Scores{BurnThrough: 20, LackOfFusion: 20, Oxide: 20}
			}
			grade = map[string]float64{}
			for i, g := range grades(sc, b, slices.Repeat([]float64{0.8}, len(sc.Skills))) {
				grade[sc.Skills[i]] = g
			}
		case "lowers":
			last := 0.0
			for _, s := range list(value) {
				assert.Less(t, grade[s], 1.0, "%s: %s", name, s)
				assert.GreaterOrEqual(t, grade[s], last, "%s: %s before those after it", name, s)
				last = grade[s]
			}
		case "spares":
			for _, s := range list(value) {
				assert.Equal(t, 1.0, grade[s], "%s: %s", name, s)
			}
		default:
			t.Fatalf("%s: what is %q?", name, key)
		}
	}
	require.NotEmpty(t, name)
}

func TestASkillThatFailsIsWeakAndOneThatHoldsIsSound(t *testing.T) {
	bank := []scenarios.Scenario{practising("B-01", 3, "cleaning", "choosing filler")}
	e := New(bank)
	for i := range 12 {
		e.Add(coupon("B-01", later(i), "dirty_metal"))
	}
	clean, filler := e.Skill("cleaning", later(12)), e.Skill("choosing filler", later(12))
	assert.Equal(t, "weak", clean.Word())
	assert.Equal(t, "sound", filler.Word())
	assert.Less(t, clean.SD, New(bank).Skill("cleaning", day).SD, "twelve coupons tell something")
	assert.Equal(t, "cleaning: weak, seen 12 times, last a day ago", clean.Words())
	assert.Equal(t, "purging a root: not seen yet", e.Skill("purging a root", day).Words())
	assert.Equal(t, "cleaning", e.Skills(later(12))[0].Name, "the weakest comes first")
	assert.Less(t, e.Chance(bank[0], later(12)), 0.4)
}

// A hard joint gone wrong says less against a skill than an easy one, and an easy one
// gone right says less for it.
func TestDifficultyCounts(t *testing.T) {
	after := func(level int, rules ...string) float64 {
		e := New([]scenarios.Scenario{practising("B-01", level, "cleaning")})
		e.Add(coupon("B-01", day, rules...))
		return e.Skill("cleaning", day).Strength
	}
	assert.Greater(t, after(5, "dirty_metal"), after(1, "dirty_metal"))
	assert.Greater(t, after(5), after(1))
}

func TestSkillsAreForgottenAndReviewsSpreadOut(t *testing.T) {
	e := New([]scenarios.Scenario{practising("B-01", 2, "cleaning")})
	at, gap, gaps := day, 0, []int{}
	for range 5 {
		e.Add(coupon("B-01", at))
		for gap = 1; e.Skill("cleaning", at.AddDate(0, 0, gap)).Due < 1; gap++ {
		}
		gaps = append(gaps, gap)
		at = at.AddDate(0, 0, gap)
	}
	for i := range gaps[1:] {
		assert.Greater(t, gaps[i+1], gaps[i], "days to the next review: %v", gaps)
	}
	now, then := e.Skill("cleaning", at), e.Skill("cleaning", at.AddDate(0, 6, 0))
	assert.Less(t, then.Strength, now.Strength)
	assert.Greater(t, then.SD, now.SD)
	e.Add(coupon("B-01", at, "dirty_metal"))
	assert.Less(t, e.skill("cleaning").half, float64(gaps[4]), "what failed comes back sooner")
}

func TestHintsAndWeldingAgainAtOnceTellLess(t *testing.T) {
	gained := func(second session.Brief) float64 {
		e := New([]scenarios.Scenario{practising("B-01", 3, "cleaning")})
		e.Add(coupon("B-01", day))
		before := e.Skill("cleaning", second.At).Strength
		e.Add(second)
		return e.Skill("cleaning", second.At).Strength - before
	}
	hinted := coupon("B-01", day.Add(2*time.Hour))
	hinted.Hints = 2
	assert.Less(t, gained(hinted), gained(coupon("B-01", day.Add(2*time.Hour))))
	slow := coupon("B-01", day.Add(2*time.Hour))
	slow.Live = 4
	assert.Less(t, gained(slow), gained(hinted), "by hand at a quarter of the speed")
	slow.Live = 1
	assert.InDelta(t, gained(coupon("B-01", day.Add(2*time.Hour))), gained(slow), 1e-12, "a coupon like any other")
	assert.Less(t, gained(coupon("B-01", day.Add(time.Minute))), gained(coupon("B-01", day.Add(2*time.Hour))))
}

// What was said of a coupon is evidence of the skill it speaks of, less than a weld, and
// no practice.
func TestAnsweredQuestionsTell(t *testing.T) {
	bank := []scenarios.Scenario{practising("J-1", 3, "choosing amps", "cleaning")}
	said := func(right float64) *Estimate {
		e := New(bank)
		for i := range 8 {
			e.AddAnswered(session.Answered{Scenario: "J-1", At: later(i), Rules: []string{"dirty_metal"}, Right: right})
		}
		e.AddAnswered(session.Answered{Scenario: "J-9", At: later(9), Rules: []string{"dirty_metal"}})
		return e
	}
	good, bad, none := said(1), said(0), New(bank)
	at := func(e *Estimate, skill string) Skill { return e.Skill(skill, later(10)) }
	assert.Greater(t, at(good, "cleaning").Right, at(none, "cleaning").Right)
	assert.Less(t, at(bad, "cleaning").Right, at(none, "cleaning").Right)
	assert.Equal(t, at(none, "choosing amps"), at(bad, "choosing amps"), "the finding does not speak of it")
	assert.Zero(t, at(good, "cleaning").Seen)
	welded := New(bank)
	for i := range 8 {
		welded.Add(coupon("J-1", later(i), "dirty_metal"))
	}
	assert.Less(t, at(welded, "cleaning").Right, at(bad, "cleaning").Right)
}

func TestCouponsThatSayNothing(t *testing.T) {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	e := New(bank)
	e.Add(coupon("gone-01", day))
	assert.Equal(t, New(bank), e)

	first, _ := e.Next(day)
	off := coupon(first.Scenario.ID, day)
	off.Outcome = scoring.OutOfRange
	e.Add(off)
	assert.Equal(t, New(bank).Skills(day), e.Skills(day), "what was not scored says nothing of a skill")
	assert.Equal(t, New(bank).Chance(first.Scenario, day), e.Chance(first.Scenario, day))
	second, _ := e.Next(day)
	assert.NotEqual(t, first.Scenario.ID, second.Scenario.ID, "but its joint was welded last")
}

func TestNext(t *testing.T) {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	e := New(bank)
	c, ok := e.Next(day)
	require.True(t, ok)
	assert.Equal(t, 1, c.Scenario.Level, "a beginner begins at the beginning")
	assert.Contains(t, c.Why, "has not come up yet")
	last, seen := "", map[string]bool{}
	for i := range 365 { // everything goes right
		c, ok := e.Next(later(i))
		require.True(t, ok)
		assert.NotEqual(t, last, c.Scenario.ID, "the same joint twice running")
		assert.Contains(t, c.Scenario.Skills, c.Skill.Name)
		same, _ := e.Next(later(i))
		assert.Equal(t, c, same, "the same coupons at the same time")
		last, seen[c.Scenario.ID] = c.Scenario.ID, true
		e.Add(coupon(c.Scenario.ID, later(i)))
	}
	assert.Greater(t, len(seen), len(bank)/2, "joints met in a year")

	_, ok = New(nil).Next(day)
	assert.False(t, ok)
	_, ok = New([]scenarios.Scenario{{ID: "B-01"}}).Next(day)
	assert.False(t, ok, "a joint that practises nothing")
	only := []scenarios.Scenario{practising("B-01", 1, "cleaning")}
	c, ok = Next(only, []session.Brief{coupon("B-01", day)}, day)
	assert.True(t, ok, "the only joint may come again")
	assert.Equal(t, "B-01", c.Scenario.ID)
}

func TestNextGoesForWhatIsWeak(t *testing.T) {
	bank := []scenarios.Scenario{
		practising("A-01", 1, "cleaning"), practising("A-02", 1, "choosing filler"), practising("A-03", 1, "choosing current type"), practising("A-04", 1, "venting a hollow"),
	}
	e := New(bank)
	for i := range 8 {
		e.Add(coupon("A-01", later(4*i)))
		e.Add(coupon("A-02", later(4*i+1), "wrong_filler"))
		e.Add(coupon("A-03", later(4*i+2)))
		e.Add(coupon("A-04", later(4*i+3)))
	}
	c, _ := e.Next(later(32))
	assert.Equal(t, "A-02", c.Scenario.ID)
	assert.Regexp(t, `^Choosing filler is weak and last came up 3 days ago\. `, c.Why)
}

// Two joints alike but for what their skills build on: the one whose ground holds comes first.
func TestWhatASkillBuildsOnComesFirst(t *testing.T) {
	bank := []scenarios.Scenario{practising("A-01", 1, "welding overhead"), practising("A-02", 1, "working in a draught"), practising("A-03", 1, "welding vertical up"), practising("A-04", 1, "cup and gas flow")}
	e := New(bank)
	for i := range 6 {
		e.Add(coupon("A-03", later(2*i), "downhill", "undercut"))
		e.Add(coupon("A-04", later(2*i+1)))
	}
	e.order = []string{"A-01", "A-02"}
	c, _ := e.Next(later(12))
	assert.Equal(t, "A-02", c.Scenario.ID, "vertical up does not hold yet")
}

// A clock that was set back does not make anything come up in the future.
func TestTimeDoesNotRunBackwards(t *testing.T) {
	bank, err := scenarios.Bank()
	require.NoError(t, err)
	e := New(bank)
	e.Add(coupon("B-01", later(30)))
	e.Add(coupon("T-01", day))
	c, ok := e.Next(day)
	assert.True(t, ok)
	assert.GreaterOrEqual(t, c.Skill.Days, 0)
}

// BenchmarkNext is what choosing costs with as many coupons as are read and 150 joints.
func BenchmarkNext(b *testing.B) {
	var bank []scenarios.Scenario
	for i := range 150 {
		var skills []string
		for k := range 4 {
			skills = append(skills, scenarios.Skills[(i*5+k*7)%len(scenarios.Skills)])
		}
		bank = append(bank, practising(fmt.Sprintf("X-%03d", i), 1+i%5, skills...))
	}
	var coupons []session.Brief
	for i := range Reach {
		coupons = append(coupons, coupon(bank[i*31%len(bank)].ID, day.Add(time.Duration(i)*time.Hour), scoring.RuleIDs()[i%40]))
	}
	for b.Loop() {
		if _, ok := Next(bank, coupons, later(100)); !ok {
			b.Fatal("no joint")
		}
	}
}

// A joint welded before comes as a variation not yet welded, where it has some.
func TestNextIsAFreshVariation(t *testing.T) {
	only := []scenarios.Scenario{{ID: "B-01", Skills: []string{"choosing amps"}, Vary: []scenarios.Span{{Key: "gap", Values: []string{"0 mm", "1 mm"}}}}}
	c, ok := Next(only, nil, day)
	require.True(t, ok)
	assert.Zero(t, c.Seed, "first as it is written")
	third, first := coupon("B-01", day), coupon("B-01", day.Add(time.Hour))
	third.Seed, first.Seed = 3, 1
	c, _ = Next(only, []session.Brief{third, first}, day.Add(48*time.Hour))
	assert.Equal(t, int64(4), c.Seed)
	only[0].Vary = nil
	c, _ = Next(only, []session.Brief{third}, day)
	assert.Zero(t, c.Seed)
	assert.Equal(t, int64(1), (*Estimate)(nil).NextSeed("B-01"))
}
