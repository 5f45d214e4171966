package learner

import (
	"math"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/session"
)

// What a next joint should be. Practice pays and courage lasts where 70 to 85 coupons of
// 100 are accepted (after Wilson and others, "The eighty five percent rule for optimal
// learning", Nature Communications 10 (2019), from memory). The band is of chances of a
// coupon with nothing to mend. One is accepted a little oftener; but weak skills draw the
// choice to the band's low end, and the joint that looks best of many has mostly been
// taken for too easy, so it lies higher. Set on simulated apprentices, as the rest here.
const (
	bandLow, bandHigh = 0.75, 0.90
	findLow, findHigh = 0.70, 0.85 // the same while the learner is little known: harder joints tell more
	bandSlack         = 0.30       // how far outside it a joint still pays
	looseFit          = 0.35       // what a joint far outside is worth while the learner is little known
	strictFit         = 0.05       // and before and after that
	easyStart         = 4          // joints that are chosen to come out right, before harder ones may find out what is weak
	knownAfter        = 7          // times seen after which a skill is known well enough
	mayBeUnknown      = 2          // skills that may still be less known
	goal              = 1.6        // strength, in logits above a joint of level 3, that practice aims at
	caution           = 2.0        // standard deviations by which a skill is taken for weaker than it looks
	unseen            = 6.0        // need of a skill that has not come up
	leastNeed         = 0.1
	ready             = 0.70 // chance at which what a skill builds on holds
	notYet            = 0.25 // what a joint is worth when that has not come up at all
	newJoint          = 1.4  // how much more a joint is worth that has never been welded: skill is to carry over
)

// Choice is a proposed joint and why.
type Choice struct {
	Scenario scenarios.Scenario // as it is written
	Seed     int64              // of the variation to weld, where it has some and was welded before; else 0
	Skill    Skill              // the one it is chosen for
	Chance   float64            // of a coupon with nothing to mend
	Why      string             // two short sentences
}

// Next proposes the joint to weld next from a bank and the coupons so far, oldest
// first. See Estimate.Next.
func Next(bank []scenarios.Scenario, coupons []session.Brief, now time.Time) (c Choice, ok bool) {
	return Of(bank, coupons).Next(now)
}

// Next proposes the joint that pays most now: one that practises skills that are weak,
// little known or due, once what they build on holds; hard enough to teach and easy
// enough to come out right mostly; and other than the last ones. Never the joint welded
// last, unless it is the only one. After the first few, and as long as the learner is
// little known, harder joints count too: they tell more. The same coupons at the same
// time give the same joint. Those of but are left out. ok is false when no joint of the
// bank that is left practises a skill.
func (e *Estimate) Next(now time.Time, but ...string) (c Choice, ok bool) {
	now = e.notBefore(now)
	strength := make(map[string]rating, len(scenarios.Skills))
	need := make(map[string]float64, len(scenarios.Skills))
	unknown := 0
	for _, name := range scenarios.Skills {
		s := e.skill(name)
		r := s.at(now)
		strength[name] = r
		need[name] = unseen
		if s.seen > 0 {
			need[name] = max(leastNeed, goal-r.mean+caution*r.sd) * e.rested(name)
		}
		need[name] *= need[name]
		if s.seen < knownAfter {
			unknown++
		}
	}
	aim := unknown <= mayBeUnknown || len(e.recent) < easyStart
	best, focus := 0.0, ""
	for _, id := range e.order {
		sc := e.bank[id]
		if len(sc.Skills) == 0 || slices.Contains(but, id) || len(e.recent) > 0 && id == e.recent[0] && len(e.order) > 1 {
			continue
		}
		j := e.joint(sc)
		chance, value, held, most, of := 1.0, 0.0, 1.0, 0.0, ""
		for _, name := range sc.Skills {
			p := strength[name].chance(j.rating)
			chance *= p
			gain := need[name]
			if !aim {
				gain *= p * (1 - p) // what the outcome tells
			}
			if value += gain; gain > most {
				most, of = gain, name
			}
			for _, n := range scenarios.Needs(name) {
				held *= min(1, strength[n].chance(j.rating)/ready)
				if e.skills[n] == nil && !slices.Contains(sc.Skills, n) {
					held *= notYet
				}
			}
		}
		if value *= fit(chance, aim) * held * e.fresh(sc); value > best {
			best, focus = value, of
			c = Choice{Scenario: sc, Chance: chance}
		}
	}
	if focus == "" {
		return Choice{}, false
	}
	if id := c.Scenario.ID; c.Scenario.Varies() && e.joints[id] != nil {
		c.Seed = e.NextSeed(id)
	}
	c.Skill = e.Skill(focus, now)
	c.Why = why(c)
	return c, true
}

// fit says how well a chance of success teaches: 1 in the band, less outside.
func fit(p float64, aim bool) float64 {
	low, high, least := findLow, findHigh, looseFit
	if aim {
		low, high, least = bandLow, bandHigh, strictFit
	}
	out := max(0, low-p, p-high) / bandSlack
	return least + (1-least)*math.Exp(-out*out)
}

// rested lets a skill wait that was practised a moment ago: what comes in turn with
// others stays longer than what comes in a row.
func (e *Estimate) rested(name string) float64 {
	for i, id := range e.recent[:min(2, len(e.recent))] {
		if slices.Contains(e.bank[id].Skills, name) {
			return 0.5 + 0.2*float64(i)
		}
	}
	return 1
}

// fresh lets a joint wait that was welded lately, and a kind of joint that was welded
// last, and brings on those never welded.
func (e *Estimate) fresh(sc scenarios.Scenario) float64 {
	f := 1.0
	if e.joints[sc.ID] == nil {
		f = newJoint
	}
	if i := slices.Index(e.recent, sc.ID); i >= 0 {
		f = 0.3 + 0.1*float64(i)
	}
	if len(e.recent) > 0 && e.bank[e.recent[0]].Task.Joint == sc.Task.Joint {
		f *= 0.9
	}
	return f
}

// notBefore keeps time from running backwards, should a clock have been set back.
func (e *Estimate) notBefore(now time.Time) time.Time {
	if len(e.recent) > 0 {
		if t := e.joints[e.recent[0]].last; t.After(now) {
			return t
		}
	}
	return now
}
