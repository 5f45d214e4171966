package precert

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
)

// Readiness is how a learner stands before a test piece. It speaks of welds with nothing
// to mend, which is what the estimate knows; the sheet is stricter in places (a fillet's
// throat above all), and a slip out of the procedure is not in it.
type Readiness struct {
	learner.Spread
	Skills   int    // that the test asks
	Seen     int    // of them, on a coupon
	Finding  string // the rule that it would most likely fail by; empty where none is known for such a joint
	Share    float64
	Weakest  string // skill
	Practise []Practise
}

// Practise is a joint to weld before the test.
type Practise struct {
	Scenario scenarios.Scenario
	Skills   []string // of the test's, the likeliest to fail first
	Chance   float64  // of a coupon with nothing to mend
}

// practised is how many joints are named.
const practised = 3

// Ready estimates from the learner's coupons how a test would come out now.
func (p Piece) Ready(e *learner.Estimate, past []session.Brief, bank []scenarios.Scenario, now time.Time) (Readiness, error) {
	runs, err := p.Joints(bank)
	if err != nil {
		return Readiness{}, err
	}
	var joints []scenarios.Scenario
	for _, r := range runs {
		joints = append(joints, r.Scenario)
	}
	out := Readiness{Spread: e.Together(joints, now), Skills: 0}
	for _, name := range slices.Sorted(maps.Keys(out.Fails)) {
		out.Skills++
		if e.Skill(name, now).Seen > 0 {
			out.Seen++
		}
		if out.Weakest == "" || out.Fails[name] > out.Fails[out.Weakest] {
			out.Weakest = name
		}
	}
	out.Finding, out.Share = likeliest(joints, out.Fails, past, bank)
	out.Practise = practise(joints, out.Fails, e, bank, now)
	return out, nil
}

// ownWeight is what a finding of the learner's own counts beside one that the bank names
// as a typical mistake at such a joint; an assumption.
const ownWeight = 3

// likeliest gives the finding a test would most likely fail by, and its share of all
// that are weighed: those that joints of the same kind and metal are typically spoilt by,
// and the learner's own there, as far as they speak of skills that may fail.
func likeliest(joints []scenarios.Scenario, fails map[string]float64, past []session.Brief, bank []scenarios.Scenario) (rule string, share float64) {
	byID := map[string]scenarios.Scenario{}
	for _, sc := range bank {
		byID[sc.ID] = sc
	}
	weigh := map[string]float64{}
	for _, sc := range joints {
		like := func(o scenarios.Scenario) bool {
			return o.Task.Joint == sc.Task.Joint && o.Task.A.Metal.Family() == sc.Task.A.Metal.Family()
		}
		count := map[string]float64{}
		for _, o := range bank {
			if like(o) {
				for _, m := range o.Mistakes {
					count[m.Finding]++
				}
			}
		}
		for _, b := range past {
			if o, ok := byID[b.Scenario]; ok && like(o) && b.Finding != "" {
				count[b.Finding] += ownWeight
			}
		}
		for r, n := range count {
			told := learner.TellsOf(r, sc.Skills)
			for _, name := range told {
				weigh[r] += n * fails[name] / float64(len(told))
			}
		}
	}
	sum := 0.0
	for _, r := range slices.Sorted(maps.Keys(weigh)) {
		sum += weigh[r]
		if rule == "" || weigh[r] > weigh[rule] {
			rule = r
		}
	}
	if sum == 0 {
		return "", 0
	}
	return rule, weigh[rule] / sum
}

// practise gives the joints that serve the test most: they practise the skills likely to
// fail, on such a joint, and come out right often enough to learn from, best three times
// in four. What one practises counts half for the next.
func practise(joints []scenarios.Scenario, fails map[string]float64, e *learner.Estimate, bank []scenarios.Scenario, now time.Time) []Practise {
	left := maps.Clone(fails)
	var out []Practise
	for range practised {
		best, bestWorth := -1, 0.0
		for i, sc := range bank {
			if slices.ContainsFunc(out, func(p Practise) bool { return p.Scenario.ID == sc.ID }) {
				continue
			}
			worth := 0.0
			for _, name := range sc.Skills {
				worth += left[name]
			}
			off := (e.Chance(sc, now) - 0.75) / 0.75
			if worth *= near(sc.Task, joints) * (1 - 0.8*off*off); worth > bestWorth {
				best, bestWorth = i, worth
			}
		}
		if best < 0 {
			break
		}
		one := Practise{Scenario: bank[best], Chance: e.Chance(bank[best], now)}
		for _, name := range one.Scenario.Skills {
			if left[name] > 0 {
				one.Skills = append(one.Skills, name)
				left[name] /= 2
			}
		}
		slices.SortStableFunc(one.Skills, func(a, b string) int { return cmp.Compare(fails[b], fails[a]) })
		out = append(out, one)
	}
	return out
}

// near says how much a joint is like one of the test's: 1 to 2.9.
func near(t weld.Task, joints []scenarios.Scenario) float64 {
	best := 1.0
	for _, sc := range joints {
		n := 1.0
		if t.Joint == sc.Task.Joint {
			n += 1
		}
		if t.A.Metal.Family() == sc.Task.A.Metal.Family() {
			n += 0.5
		}
		if t.Position == sc.Task.Position {
			n += 0.4
		}
		best = math.Max(best, n)
	}
	return best
}
