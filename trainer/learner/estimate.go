package learner

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// Estimate is what is known of a learner. Make it with New and feed it coupons
// with Add, oldest first; what it has seen it need not see again.
type Estimate struct {
	bank   map[string]scenarios.Scenario
	order  []string // ids of the bank, as given
	skills map[string]*skill
	whole  rating // over all skills: what a skill not yet seen is taken for
	joints map[string]*joint
	seeds  map[string]int64 // of each joint the last variation welded
	recent []string         // ids of the last joints welded, newest first
}

// joint is how hard a joint has shown itself, and when it was welded last.
type joint struct {
	rating
	last time.Time
}

const remembered = 6 // joints welded lately that count in what comes next

// New starts with nothing known of the learner. Only the joints of the bank are rated.
func New(bank []scenarios.Scenario) *Estimate {
	e := &Estimate{
		bank: map[string]scenarios.Scenario{}, skills: map[string]*skill{}, joints: map[string]*joint{}, seeds: map[string]int64{},
		whole: rating{startMean, startSD},
	}
	for _, sc := range bank {
		e.bank[sc.ID] = sc
		e.order = append(e.order, sc.ID)
	}
	return e
}

// Of estimates from the coupons, oldest first.
func Of(bank []scenarios.Scenario, coupons []session.Brief) *Estimate {
	e := New(bank)
	for _, b := range coupons {
		e.Add(b)
	}
	return e
}

// Reach is how many of the newest coupons an estimate needs: at ten a day most of a
// year. Older ones change it by nothing that could be seen, and reading them takes time.
const Reach = 2000

// Read estimates the learner of that name from the record: coupons and answered questions.
func Read(past session.Past, bank []scenarios.Scenario, name string) (*Estimate, error) {
	coupons, err := past.Recent(name, Reach)
	answered, aerr := past.Answered(name, Reach)
	e := New(bank)
	for _, b := range coupons {
		for len(answered) > 0 && answered[0].At.Before(b.At) {
			e.AddAnswered(answered[0])
			answered = answered[1:]
		}
		e.Add(b)
	}
	for _, a := range answered {
		e.AddAnswered(a)
	}
	return e, errors.Join(err, aerr)
}

// saidWeight is what an answered question tells of a skill, beside a coupon: who sees
// what is wrong need not be able to do it (an assumption).
const saidWeight = 0.25

// AddAnswered takes an answered question in: the skills its findings speak of at its
// joint were known as far as it was answered right. It is no practice: nobody has welded.
func (e *Estimate) AddAnswered(a session.Answered) {
	sc, known := e.bank[a.Scenario]
	if !known {
		return
	}
	var told []string
	for _, rule := range a.Rules {
		for _, name := range TellsOf(rule, sc.Skills) {
			if !slices.Contains(told, name) {
				told = append(told, name)
			}
		}
	}
	joint := e.joint(sc).rating
	for _, name := range told {
		s := e.skill(name)
		s.rating = s.meet(joint, a.Right, saidWeight/float64(len(told)))
		e.skills[name] = &s
	}
}

// Add takes a coupon in. One of a joint that is not in the bank says nothing; one that
// was not scored says only that its joint was welded.
func (e *Estimate) Add(b session.Brief) {
	sc, known := e.bank[b.Scenario]
	if !known {
		return
	}
	e.seeds[sc.ID] = max(e.seeds[sc.ID], b.Seed)
	j := e.joint(sc)
	if b.Outcome == scoring.OutOfRange {
		e.welded(sc.ID, j, b.At)
		return
	}
	chances := make([]float64, len(sc.Skills))
	for i, name := range sc.Skills {
		chances[i] = e.skill(name).at(b.At).chance(j.rating)
	}
	// A coupon made with hints, or at once after the last one was explained, tells less.
	weight := 1.0
	if b.Hints > 0 {
		weight /= 2
	}
	if b.Live > 1 { // at practice speed there is time to think
		weight /= float64(b.Live)
	}
	if !j.last.IsZero() && b.At.Sub(j.last) < time.Hour {
		weight /= 2
	}
	before := j.rating
	for i, grade := range grades(sc, b, chances) {
		s := e.skill(sc.Skills[i])
		was := s.at(b.At)
		s.practised(b.At, before, grade, weight)
		e.skills[sc.Skills[i]] = &s
		e.whole = e.whole.meet(rating{before.mean, math.Hypot(skillSD, jointSD)}, grade, weight)
		j.rating = j.meet(was, 1-grade, weight/2)
	}
	e.welded(sc.ID, j, b.At)
}

// welded remembers that a joint was welded, and how hard it is now.
func (e *Estimate) welded(id string, j joint, at time.Time) {
	j.last = at
	e.joints[id] = &j
	e.recent = slices.Insert(e.recent, 0, id)
	e.recent = e.recent[:min(len(e.recent), remembered)]
}

// skill gives what is known of a skill: of one not yet seen, what the others say.
func (e *Estimate) skill(name string) skill {
	if s := e.skills[name]; s != nil {
		return *s
	}
	return skill{rating: rating{e.whole.mean, skillSD}, half: firstHalf}
}

func (e *Estimate) joint(sc scenarios.Scenario) joint {
	if j := e.joints[sc.ID]; j != nil {
		return *j
	}
	return joint{rating: ofLevel(sc.Level)}
}

// NextSeed gives a variation of the joint that the learner has not welded.
func (e *Estimate) NextSeed(id string) int64 {
	if e == nil {
		return 1
	}
	return e.seeds[id] + 1
}

// Chance estimates how likely the learner's next coupon of the joint has nothing to
// mend: neither defect nor fault.
func (e *Estimate) Chance(sc scenarios.Scenario, now time.Time) float64 {
	p, j := 1.0, e.joint(sc)
	for _, name := range sc.Skills {
		p *= e.skill(name).at(now).chance(j.rating)
	}
	return p
}

// Skill is what is known of one skill at a time.
type Skill struct {
	Name     string
	Seen     int
	Last     time.Time // zero when never seen
	Days     int       // since then, whole
	Strength float64   // logits above a joint of level 3
	SD       float64   // of Strength
	Right    float64   // chance of doing it right at a joint of level 3
	Due      float64   // 1 when it should be met again
}

// Skills gives every skill that a joint of the bank practises, the weakest first.
func (e *Estimate) Skills(now time.Time) []Skill {
	var out []Skill
	for _, name := range scenarios.Skills {
		for _, sc := range e.bank {
			if slices.Contains(sc.Skills, name) {
				out = append(out, e.Skill(name, now))
				break
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Skill) int { return cmp.Compare(a.Strength, b.Strength) })
	return out
}

// Skill gives what is known of one skill.
func (e *Estimate) Skill(name string, now time.Time) Skill {
	s := e.skill(name)
	r := s.at(now)
	out := Skill{Name: name, Seen: s.seen, Last: s.last, Strength: r.mean, SD: r.sd, Right: r.chance(ofLevel(3))}
	if s.seen > 0 {
		out.Days, out.Due = int(s.idle(now)), s.due(now)
	}
	return out
}
