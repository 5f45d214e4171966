package drill

import (
	"slices"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
)

// Needs says by skill how a class stands and what each learner needs next.
type Needs struct {
	Skills   []string // that the drill's joints practise, in the order of scenarios.Skills
	Learners []Need   // by name
}

// Need is how one learner stands.
type Need struct {
	Learner string
	Marks   []SkillMark // by Needs.Skills
	// Next are at most two skills, what their coupons at joints not passed speak of most
	// first; empty when every joint welded was passed.
	Next []string
}

// SkillMark counts a learner's joints of a skill: those passed, and those welded.
type SkillMark struct{ Passed, Of int }

// mostNext is how many skills a learner is sent off with: what fits in a head.
const mostNext = 2

// NewNeeds reads it out of results; joints that the bank does not have speak of nothing.
func NewNeeds(all []Checked, bank []scenarios.Scenario) Needs {
	t := NewTable(all)
	var n Needs
	joints := make([]scenarios.Scenario, len(t.Joints))
	practised := map[string]bool{}
	for i, j := range t.Joints {
		joints[i], _ = scenarios.Find(bank, j.Scenario) // one that is not there has no skills
		for _, s := range joints[i].Skills {
			practised[s] = true
		}
	}
	for _, s := range scenarios.Skills {
		if practised[s] {
			n.Skills = append(n.Skills, s)
		}
	}
	tried := map[string][]Tried{}
	for _, r := range all {
		tried[r.Learner] = append(tried[r.Learner], r.Tried()...)
	}
	for _, l := range t.Learners {
		need, told := Need{Learner: l.Learner, Marks: make([]SkillMark, len(n.Skills))}, map[string]int{}
		for i, m := range l.Joints {
			if m.Tries == 0 {
				continue
			}
			for _, s := range joints[i].Skills {
				mark := &need.Marks[slices.Index(n.Skills, s)]
				mark.Of++
				if m.Passed {
					mark.Passed++
				}
			}
			if m.Passed || len(joints[i].Skills) == 0 {
				continue
			}
			for _, a := range tried[l.Learner] {
				if a.Scenario == joints[i].ID && a.Rule != "" {
					told[learner.TellsOf(a.Rule, joints[i].Skills)[0]]++
				}
			}
		}
		need.Next = ranked(told)
		need.Next = need.Next[:min(len(need.Next), mostNext)]
		n.Learners = append(n.Learners, need)
	}
	return n
}
