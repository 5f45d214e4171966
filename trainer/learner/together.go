package learner

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"puddlewise/scenarios"
)

// Spread is a chance with what is not known of it.
type Spread struct {
	Chance    float64
	Low, High float64            // three times in four the learner's own chance lies between them
	Fails     map[string]float64 // for each skill the chance that it is not done right somewhere
}

// draws is how many learners, all as likely as this one, are asked: the chance is then
// within 1.5 points, the ends within 3.
const draws = 1000

// slips is how often a skill that is there fails all the same: an assumption, which only
// shows where many skills have to come right together.
const slips = 0.015

// Together estimates how likely the learner's next coupons of the joints, one of each,
// all have nothing to mend. The same skill serves several joints, so that the chances
// are not independent: they are counted over learners drawn as the estimate has it, the
// same ones whenever it is asked.
func (e *Estimate) Together(joints []scenarios.Scenario, now time.Time) Spread {
	rng := rand.New(rand.NewPCG(9606, 1))
	normal := func(r rating) float64 { return r.mean + r.sd*rng.NormFloat64() }
	out := Spread{Fails: map[string]float64{}}
	var names []string // in the order met, so that the draws do not depend on a map's
	var different []scenarios.Scenario
	for _, sc := range joints {
		if !slices.ContainsFunc(different, func(d scenarios.Scenario) bool { return d.ID == sc.ID }) {
			different = append(different, sc)
		}
		for _, name := range sc.Skills {
			if !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	all := make([]float64, draws)
	for k := range all {
		strength, hard := map[string]float64{}, map[string]float64{}
		// What is not known of a learner never seen is mostly shared by the skills.
		whole := e.whole.sd * rng.NormFloat64()
		for _, name := range names {
			strength[name] = normal(e.skill(name).at(now))
			if e.skills[name] == nil {
				strength[name] += whole
			}
		}
		for _, sc := range different {
			hard[sc.ID] = normal(e.joint(sc).rating)
		}
		all[k] = 1
		right := map[string]float64{}
		for _, sc := range joints {
			for _, name := range sc.Skills {
				p := (1 - slips) * logistic(strength[name]-hard[sc.ID])
				all[k] *= p
				if _, ok := right[name]; !ok {
					right[name] = 1
				}
				right[name] *= p
			}
		}
		for _, name := range names {
			out.Fails[name] += (1 - right[name]) / draws
		}
		out.Chance += all[k] / draws
	}
	slices.Sort(all)
	out.Low, out.High = all[int(math.Round(0.1*(draws-1)))], all[int(math.Round(0.9*(draws-1)))]
	return out
}
