package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Card is a learner's record on one sheet: how the three scores went, what keeps
// going wrong, where it is strong and weak.
type Card struct {
	Learner     string
	Made        time.Time // in the learner's time zone, as all its times
	First, Last time.Time // zero without a coupon
	Coupons     int
	Accepted    int
	NotScored   int
	ByHand      int // welded live
	Days        int // on which something was welded
	Joints      int // of the bank that were tried
	Bank        int
	Said        int // times it was said what went wrong
	Right       int // of these, right
	Findings    []FindingCount
	Lately      int // how many of the last coupons count as lately
	Kinds       []Kind
	Skills      []SkillLine

	scored []session.Brief
}

// FindingCount is on how many coupons a finding was made.
type FindingCount struct {
	Name   string
	All    int
	Lately int
}

// Kind is one metal in one joint.
type Kind struct {
	Metal    string
	Joint    weld.Joint
	Coupons  int // scored
	Accepted int
	Scores   [3]float64 // means: burn-through, lack of fusion, oxide
}

// SkillLine is a skill and how it stands, weakest first.
type SkillLine struct{ Name, Words string }

// Step is a run of coupons one after the other, and the means of their scores.
type Step struct {
	From, To time.Time
	Coupons  int
	Scores   [3]float64
}

// ScoreNames are the three scores in the order they stand everywhere.
var ScoreNames = [3]string{"burn-through", "lack of fusion", "oxide"}

const lately = 20 // coupons

// NewCard reads a card off a learner's coupons, oldest first.
func NewCard(learner string, now time.Time, bank []scenarios.Scenario, coupons []session.Brief) Card {
	joints := map[string]scenarios.Scenario{}
	for _, sc := range bank {
		joints[sc.ID] = sc
	}
	c := Card{Learner: learner, Made: now, Coupons: len(coupons), Bank: len(bank), Lately: min(lately, len(coupons))}
	days, tried := map[string]bool{}, map[string]bool{}
	findings, kinds := map[string]*FindingCount{}, map[[2]string]*Kind{}
	for i, b := range coupons {
		at := b.At.In(now.Location())
		if i == 0 {
			c.First = at
		}
		c.Last = at
		days[at.Format(time.DateOnly)] = true
		sc, known := joints[b.Scenario]
		if known {
			tried[b.Scenario] = true
			if b.Joint == "" { // the first records do not say
				b.Joint, b.Metal = sc.Task.Joint, session.Metals(sc.Task)
			}
		}
		if b.Live > 0 {
			c.ByHand++
		}
		if b.Guess != "" {
			c.Said++
			if b.Guess == cmp.Or(b.Finding, session.Nothing) {
				c.Right++
			}
		}
		if b.Outcome == scoring.OutOfRange {
			c.NotScored++
			continue
		}
		c.scored = append(c.scored, b)
		if b.Outcome == scoring.Accept {
			c.Accepted++
		}
		seen := map[string]bool{}
		for _, t := range b.Told {
			if t.Severity == scoring.Remark || seen[t.Rule] {
				continue
			}
			seen[t.Rule] = true
			f := findings[t.Rule]
			if f == nil {
				f = &FindingCount{Name: session.InWords(t.Rule)}
				findings[t.Rule] = f
			}
			f.All++
			if i >= len(coupons)-c.Lately {
				f.Lately++
			}
		}
		if b.Joint == "" {
			continue
		}
		k := kinds[[2]string{b.Metal, string(b.Joint)}]
		if k == nil {
			k = &Kind{Metal: b.Metal, Joint: b.Joint}
			kinds[[2]string{b.Metal, string(b.Joint)}] = k
		}
		k.Coupons++
		if b.Outcome == scoring.Accept {
			k.Accepted++
		}
		for j, x := range three(b.Scores) {
			k.Scores[j] += x
		}
	}
	c.Days, c.Joints = len(days), len(tried)
	for _, f := range findings {
		c.Findings = append(c.Findings, *f)
	}
	slices.SortFunc(c.Findings, func(a, b FindingCount) int { return cmp.Or(b.All-a.All, cmp.Compare(a.Name, b.Name)) })
	for _, k := range kinds {
		for j := range k.Scores {
			k.Scores[j] /= float64(k.Coupons)
		}
		c.Kinds = append(c.Kinds, *k)
	}
	slices.SortFunc(c.Kinds, func(a, b Kind) int {
		return cmp.Or(b.Coupons-a.Coupons, cmp.Compare(a.Joint, b.Joint), cmp.Compare(a.Metal, b.Metal))
	})
	c.Skills = skills(now, bank, coupons)
	return c
}

func three(s scoring.Scores) [3]float64 { return [3]float64{s.BurnThrough, s.LackOfFusion, s.Oxide} }

// Steps cuts the scored coupons into at most n runs of one length; the last may be shorter.
func (c Card) Steps(n int) (out []Step) {
	if len(c.scored) == 0 {
		return nil
	}
	for run := range slices.Chunk(c.scored, (len(c.scored)+n-1)/n) {
		s := Step{From: run[0].At.In(c.Made.Location()), To: run[len(run)-1].At.In(c.Made.Location()), Coupons: len(run)}
		for _, b := range run {
			for j, x := range three(b.Scores) {
				s.Scores[j] += x / float64(len(run))
			}
		}
		out = append(out, s)
	}
	return out
}

// each says what a step stands for.
func (s Step) each() string {
	if s.Coupons == 1 {
		return "each coupon"
	}
	return fmt.Sprintf("means of %d coupons each", s.Coupons)
}
