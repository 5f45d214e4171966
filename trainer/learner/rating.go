package learner

import (
	"math"
	"time"
)

// The method: every skill and every joint has a rating, and a weld is a game between
// them, as in the Elo system in Pelanek, "Applications of the Elo rating system in
// adaptive educational systems", Computers & Education 98 (2016). A rating knows how
// uncertain it is, and that grows with time, by the equations of Glickman, "Parameter
// estimation in large dynamic paired comparison experiments", Applied Statistics 48
// (1999), on the logistic scale (q = 1). A skill is forgotten towards a floor by a
// half-life that grows with each review that comes late and succeeds, after Settles and
// Meeder, "A trainable spaced repetition model for language learning" (2016, from
// memory). The constants below are ours, set on simulated apprentices.
const (
	startMean = 1.4  // of a learner nothing is known of, in logits above a joint of level 3
	startSD   = 0.7  // of that
	skillSD   = 1.8  // how far one skill lies from the learner's mean
	levelStep = 0.7  // from one level of joints to the next
	jointSD   = 0.5  // how far a joint lies from its level
	drift     = 0.15 // a skill changes by practice: SD gained with each weld
	grow      = 0.10 // and by disuse: SD gained with the root of each day
	floorDrop = 1.0  // how far a skill sinks when it is never used again
	firstHalf = 5.0  // days to half of that for a skill seen once
	regained  = 0.7  // share of what was forgotten that comes back with the first weld
	learnt    = 0.06 // strength that a weld adds
	leastHalf = 2.0
	mostHalf  = 365.0
)

// rating is a strength with its uncertainty, in logits.
type rating struct{ mean, sd float64 }

// chance of getting the better of an opponent d, with both uncertainties.
func (r rating) chance(d rating) float64 {
	return logistic(damp(math.Hypot(r.sd, d.sd)) * (r.mean - d.mean))
}

// meet rates the outcome against d: grade from 0 to 1, weight 1 for a full observation.
func (r rating) meet(d rating, grade, weight float64) rating {
	g := damp(d.sd)
	e := logistic(g * (r.mean - d.mean))
	v := 1 / (1/(r.sd*r.sd) + weight*g*g*e*(1-e))
	return rating{r.mean + v*weight*g*(grade-e), math.Sqrt(v)}
}

// damp is Glickman's g: how far uncertainty pulls a chance towards even.
func damp(sd float64) float64 { return 1 / math.Sqrt(1+3*sd*sd/(math.Pi*math.Pi)) }

func logistic(x float64) float64 { return 1 / (1 + math.Exp(-x)) }

// ofLevel is what is known of a joint that nobody has welded.
func ofLevel(level int) rating { return rating{levelStep * float64(level-3), jointSD} }

// skill is what is known of one skill as of the last time it was practised.
type skill struct {
	rating
	seen int
	last time.Time
	half float64 // days
}

// at gives the skill's rating at a time: what is left and how sure that is.
func (s skill) at(now time.Time) rating {
	days := s.idle(now)
	kept := math.Exp2(-days / s.half)
	return rating{s.mean - floorDrop*(1-kept), min(skillSD, math.Sqrt(s.sd*s.sd+grow*grow*days))}
}

// idle is the time since the skill was practised, in days; 0 when it never was.
func (s skill) idle(now time.Time) float64 {
	if s.seen == 0 {
		return 0
	}
	return max(0, now.Sub(s.last).Hours()/24)
}

// due says how far the time has come at which the skill should be met again: 1 when it has.
func (s skill) due(now time.Time) float64 { return s.idle(now) / s.half }

// practised takes an outcome in.
func (s *skill) practised(now time.Time, joint rating, grade, weight float64) {
	r := s.at(now)
	lost := s.mean - r.mean
	r = r.meet(joint, grade, weight)
	r.mean += regained*lost + learnt
	r.sd = math.Hypot(r.sd, drift)
	if grade >= 0.5 {
		s.half = min(mostHalf, s.half*(1+min(1, s.due(now))))
	} else {
		s.half = max(leastHalf, s.half*0.6)
	}
	s.rating, s.seen, s.last = r, s.seen+1, now
}
