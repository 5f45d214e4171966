package apprentice

import (
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/learner"
)

// Result is what was measured over many apprentices, each welding the same number of
// coupons on the same days in three orders: as chosen, at random, and by level as the
// bank has them.
type Result struct {
	Apprentices      int
	Joints           int
	Attempts         int     // coupons each
	ToWeakest        float64 // mean number of coupons until the three weakest skills are named, and the two coupons after still
	ToWeakestRandom  float64 // the same in random order
	CalibrationError float64 // mean distance of estimated from true chances of a coupon with nothing to mend, over the bank, in ten bands, after the last coupon
	WorstBand        float64 // the same of the worst band that holds a twentieth of them
	Gain             float64 // rise of the mean true chance of doing a skill right at a joint of level 3
	GainRandom       float64
	GainFixed        float64
	// How the chosen coupons came out: all of them, and those of the second half.
	All, Late Outcome
}

// Outcome is what came of coupons, as shares of 1.
type Outcome struct {
	Clean    float64 // with nothing to mend
	Accepted float64
	Right    float64 // of the skills they exercised, those done right
}

const (
	attempts  = 200
	aDay      = 8    // coupons in one sitting; sittings come every other day, with a week off after each fourth
	stays     = 3    // coupons in a row that must name the same three
	firstSeed = 7000 // the constants of package learner were set on other apprentices
)

var start = time.Date(2026, 1, 5, 17, 0, 0, 0, time.UTC)

// when gives the time of the k-th coupon.
func when(k int) time.Time {
	sitting := k / aDay
	return start.AddDate(0, 0, 2*sitting+7*(sitting/4)).Add(time.Duration(k%aDay) * 6 * time.Minute)
}

// Measure runs the apprentices. even makes them learn as much from every joint, which
// takes away all that the order gains but practice where it is needed.
func Measure(bank []scenarios.Scenario, apprentices int, even bool) Result {
	byLevel := slices.Clone(bank)
	slices.SortStableFunc(byLevel, func(a, b scenarios.Scenario) int { return a.Level - b.Level })
	r := Result{Apprentices: apprentices, Joints: len(bank), Attempts: attempts}
	var bands [10]band
	for seed := range uint64(apprentices) {
		make := func() *Apprentice { return New(bank, firstSeed+seed, start, even) }
		rng, last := rand.New(rand.NewPCG(seed, 11)), -1

		a := make()
		chosen := train(a, bank, func(e *learner.Estimate, k int) scenarios.Scenario {
			c, _ := e.Next(when(k))
			return c.Scenario
		})
		random := train(make(), bank, func(*learner.Estimate, int) scenarios.Scenario {
			i := rng.IntN(len(bank))
			for i == last {
				i = rng.IntN(len(bank))
			}
			last = i
			return bank[i]
		})
		fixed := train(make(), bank, func(_ *learner.Estimate, k int) scenarios.Scenario { return byLevel[k%len(byLevel)] })

		r.ToWeakest += float64(chosen.named)
		r.ToWeakestRandom += float64(random.named)
		r.Gain += chosen.gain
		r.GainRandom += random.gain
		r.GainFixed += fixed.gain
		r.All.add(chosen.all)
		r.Late.add(chosen.late)
		for _, sc := range bank {
			said, is := chosen.estimate.Chance(sc, when(attempts)), a.Chance(sc, when(attempts))
			b := &bands[min(9, int(said*10))]
			b.n, b.said, b.is = b.n+1, b.said+said, b.is+is
		}
	}
	n := float64(apprentices)
	for _, v := range []*float64{&r.ToWeakest, &r.ToWeakestRandom, &r.Gain, &r.GainRandom, &r.GainFixed, &r.All.Clean, &r.All.Accepted, &r.All.Right, &r.Late.Clean, &r.Late.Accepted, &r.Late.Right} {
		*v /= n
	}
	all := n * float64(len(bank))
	for _, b := range bands {
		off := math.Abs(b.said - b.is)
		r.CalibrationError += off / all
		if b.n >= all/20 {
			r.WorstBand = max(r.WorstBand, off/b.n)
		}
	}
	return r
}

// band holds the chances that were estimated alike: how many, what was said, what is true.
type band struct{ n, said, is float64 }

// trained is how one apprentice fared in one order.
type trained struct {
	estimate  *learner.Estimate
	named     int     // coupons until the three weakest were named; all of them when they never were
	gain      float64 // see Result
	all, late Outcome
}

func (o *Outcome) add(x Outcome) {
	o.Clean += x.Clean
	o.Accepted += x.Accepted
	o.Right += x.Right
}

// of gives the shares of n coupons.
func (o Outcome) of(n float64) Outcome { return Outcome{o.Clean / n, o.Accepted / n, o.Right / n} }

func train(a *Apprentice, bank []scenarios.Scenario, next func(e *learner.Estimate, k int) scenarios.Scenario) trained {
	t := trained{estimate: learner.New(bank), named: attempts}
	before, run := a.Right(start), 0
	for k := range attempts {
		coupon, right := a.Weld(next(t.estimate, k), when(k))
		t.estimate.Add(coupon)
		came := Outcome{Right: right}
		if len(coupon.Told) == 0 {
			came.Clean = 1
		}
		if coupon.Outcome == scoring.Accept {
			came.Accepted = 1
		}
		if t.all.add(came); k >= attempts/2 {
			t.late.add(came)
		}
		run++
		for _, s := range t.estimate.Skills(when(k))[:3] {
			if !slices.Contains(a.Weak, s.Name) {
				run = 0
			}
		}
		if run == stays {
			t.named = min(t.named, k+2-stays)
		}
	}
	t.gain = a.Right(when(attempts)) - before
	t.all, t.late = t.all.of(attempts), t.late.of(attempts/2)
	return t
}
