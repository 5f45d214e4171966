// Package apprentice makes up apprentices whose skills are known, lets them weld
// joints in one order or another, and measures what the estimate of package learner
// and its choice of joints are worth. What is measured holds for such apprentices: no
// real one has been asked.
package apprentice

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
)

// The truth about an apprentice is of another make than the estimate: forgetting by a
// power law, not by halves; joints that lie off their level; a second failure often
// hidden by the first; findings that name the wrong skill; slips.
const (
	levelStep  = 0.7  // logits from one level of joints to the next
	jointSpan  = 0.5  // SD of a joint about its level
	slip       = 0.01 // a skill that is there fails all the same
	misled     = 0.05 // the finding speaks of another skill of the joint
	hidden     = 0.20 // a failure beside another is not told
	top        = 3.5  // strength that practice tends to
	gain       = 0.02 // share of the way there that a good weld brings
	regained   = 0.7  // share of what was forgotten that comes back at once
	forgetting = 1.2  // strength that is lost in the long run
)

// truth is one skill of an apprentice.
type truth struct {
	strength float64 // when last practised, logits above a joint of level 3
	keeps    float64 // days until forgetting bites
	last     time.Time
}

// Apprentice is one made-up learner.
type Apprentice struct {
	skills map[string]*truth
	Weak   []string // the three skills made weak
	hard   map[string]float64
	rng    *rand.Rand
	even   bool // learns as much from every joint, hard, easy, or too early
}

// New makes an apprentice as of start: skills about a level of the apprentice's own, three
// of them, picked at random, far below. The same seed makes the same apprentice.
func New(bank []scenarios.Scenario, seed uint64, start time.Time, even bool) *Apprentice {
	a := &Apprentice{skills: map[string]*truth{}, hard: map[string]float64{}, rng: rand.New(rand.NewPCG(seed, 7)), even: even}
	level := 1.4 + 0.6*a.rng.NormFloat64()
	for _, name := range scenarios.Skills {
		a.skills[name] = &truth{level + 0.4*a.rng.NormFloat64(), 3 + 12*a.rng.Float64(), start}
	}
	for len(a.Weak) < 3 {
		name := scenarios.Skills[a.rng.IntN(len(scenarios.Skills))]
		if !slices.Contains(a.Weak, name) {
			a.Weak = append(a.Weak, name)
			a.skills[name].strength = level - 3.5 + 0.2*a.rng.NormFloat64()
		}
	}
	for _, sc := range bank {
		a.hard[sc.ID] = levelStep*float64(sc.Level-3) + jointSpan*a.rng.NormFloat64()
	}
	return a
}

// now is what is left of a skill.
func (t *truth) now(at time.Time) float64 {
	days := at.Sub(t.last).Hours() / 24
	return t.strength - forgetting*(1-1/math.Sqrt(1+days/t.keeps))
}

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// Strength gives a skill's true strength.
func (a *Apprentice) Strength(name string, at time.Time) float64 { return a.skills[name].now(at) }

// Right gives the true mean chance of doing a skill right at a joint of level 3.
func (a *Apprentice) Right(at time.Time) float64 {
	sum := 0.0
	for _, name := range scenarios.Skills {
		sum += (1 - slip) * logistic(a.skills[name].now(at))
	}
	return sum / float64(len(scenarios.Skills))
}

// Chance gives the true chance of a coupon with nothing to mend.
func (a *Apprentice) Chance(sc scenarios.Scenario, at time.Time) float64 {
	p := 1.0
	for _, name := range sc.Skills {
		p *= (1 - slip) * logistic(a.skills[name].now(at)-a.hard[sc.ID])
	}
	return p
}

// Weld has the apprentice weld the joint and learn from it; right is the share of the
// joint's skills that were done right, told or not.
func (a *Apprentice) Weld(sc scenarios.Scenario, at time.Time) (b session.Brief, right float64) {
	b, right = session.Brief{At: at, Scenario: sc.ID, Outcome: scoring.Accept, Scores: scoring.Scores{BurnThrough: 90, LackOfFusion: 90, Oxide: 90}}, 1
	whole := a.Chance(sc, at)
	for _, name := range sc.Skills {
		u := a.rng.Float64()
		z := a.skills[name].now(at) - a.hard[sc.ID] + math.Log(u/(1-u)) // right when above 0
		if a.rng.Float64() < slip {
			z = -1
		}
		if z < 0 {
			right -= 1 / float64(len(sc.Skills))
		}
		if z < 0 && !(len(b.Told) > 0 && a.rng.Float64() < hidden) {
			a.tell(&b, sc, name, z)
		}
	}
	for _, name := range sc.Skills {
		a.learn(name, whole, at)
	}
	return b, right
}

// tell makes the finding of a skill that failed by z. One that lowers a score lowers it
// by as much; of the others every second is a fault.
func (a *Apprentice) tell(b *session.Brief, sc scenarios.Scenario, name string, z float64) {
	if a.rng.Float64() < misled {
		name = sc.Skills[a.rng.IntN(len(sc.Skills))]
	}
	rules := rulesOf[name]
	f := session.Told{Rule: rules[a.rng.IntN(len(rules))], Severity: scoring.Defect}
	score := map[string]*float64{"burn-through": &b.Scores.BurnThrough, "lack of fusion": &b.Scores.LackOfFusion, "oxide": &b.Scores.Oxide}[scoring.ScoreOf(f.Rule)]
	if score != nil {
		*score = min(*score, max(0, scoring.Limit+25*z))
	} else if a.rng.IntN(2) == 0 {
		f.Severity = scoring.Fault
	}
	if f.Severity == scoring.Defect {
		b.Outcome = scoring.Reject
	}
	b.Told = append(b.Told, f)
}

// rulesOf gives the findings that speak of a skill, each as often as it is likely: one
// that names the skill first twice as often as one that names it second, and so on.
var rulesOf = func() map[string][]string {
	out := map[string][]string{}
	for _, rule := range scoring.RuleIDs() {
		for i, skill := range learner.TellsOf(rule, scenarios.Skills) {
			for range 12 / (i + 1) {
				out[skill] = append(out[skill], rule)
			}
		}
	}
	return out
}()

// learn brings back what was forgotten and adds to it: the nearer the top the less; most
// from joints that come out right four times in five, little from those that never do;
// less as long as what a skill builds on does not hold. What comes back late keeps longer.
func (a *Apprentice) learn(name string, whole float64, at time.Time) {
	t := a.skills[name]
	is := t.now(at)
	suits := 0.7
	if !a.even {
		off := (whole - 0.8) / 0.8
		suits = 1 - 0.8*off*off
		for _, n := range scenarios.Needs(name) {
			suits *= 0.5 + 0.5*logistic(2*a.skills[n].now(at))
		}
	}
	lost := t.strength - is
	back := is + regained*lost
	t.strength = back + gain*suits*max(0, top-back)
	t.keeps *= 1 + min(1, 2*lost/forgetting)
	t.last = at
}
