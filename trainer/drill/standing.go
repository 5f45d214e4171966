package drill

import (
	"cmp"
	"slices"
	"time"
)

// Standing is how far a learner is who is not done.
type Standing struct {
	Learner string
	Joint   string // in hand; empty before the first
	Nth, Of int    // it is the nth of so many
	Tries   int    // used at it
	Most    int    // that the drill gives; 0 where the drill is not known
	Here    time.Duration
	Quiet   time.Duration // at work since the last coupon or answer, or since the start
	Heard   time.Time     // when the result was written last
	Closed  bool          // nothing was heard for longer than a drill that is open keeps silent
	Others  time.Duration // median time of those done with the joint; 0 with fewer than three
	Stuck   Stuck
}

// Stuck is why a learner who is at it may need somebody.
type Stuck string

// The reasons, the gravest first. A learner with none gets on.
const (
	LastTry Stuck = "last try"  // of several at this joint, and none passed
	Long    Stuck = "long"      // more than slowBy the median time of those done with it, and slowFrom at least
	NotIn   Stuck = "no coupon" // where no median is known yet: quietFrom without one
)

// What bounds the reasons: common practice, no source.
const (
	slowBy     = 2
	slowFrom   = 2 * time.Minute
	quietFrom  = 8 * time.Minute
	fewest     = 3           // learners make a median
	heardEvery = time.Minute // a drill that is open is kept every ten seconds
)

// NewStandings gives the learners who are not done, those who are stuck first, then by
// name: what their results said when
// they were written last. d may be nil; now is this machine's clock, the results' times
// are those of the learners'.
func NewStandings(all []Checked, d *Drill, now time.Time) []Standing {
	times := map[string][]time.Duration{}
	for _, r := range all {
		for id, t := range r.took() {
			times[id] = append(times[id], t)
		}
	}
	var out []Standing
	for _, r := range all {
		if r.Done {
			continue
		}
		s := Standing{Learner: r.Learner, Joint: r.Here, Of: r.Joints, Here: seconds(r.HereFor), Heard: r.Ended, Closed: now.Sub(r.Ended) > heardEvery}
		been := map[string]bool{r.Here: true}
		for _, id := range r.Left {
			been[id] = true
		}
		for _, t := range r.Tried() {
			been[t.Scenario] = true
			if t.Scenario == r.Here {
				s.Tries++
			}
		}
		if r.Welding != nil {
			s.Tries++
		}
		if s.Nth = len(been); r.Here == "" {
			s.Nth--
		}
		if d != nil {
			s.Most = d.Tries
		}
		last := r.Started
		for _, e := range r.events() {
			last = e.at
		}
		s.Quiet = r.worked(last, r.Ended)
		if t := times[r.Here]; len(t) >= fewest {
			slices.Sort(t)
			s.Others = (t[(len(t)-1)/2] + t[len(t)/2]) / 2
		}
		switch {
		case r.passed(r.Here): // and on the way to the next
		case s.Most > 1 && s.Tries == s.Most-1:
			s.Stuck = LastTry
		case s.Others > 0 && s.Here > slowBy*s.Others && s.Here >= slowFrom:
			s.Stuck = Long
		case s.Others == 0 && s.Quiet >= quietFrom:
			s.Stuck = NotIn
		}
		out = append(out, s)
	}
	slices.SortStableFunc(out, func(a, b Standing) int {
		if (a.Stuck == "") != (b.Stuck == "") {
			return cmp.Compare(len(b.Stuck), len(a.Stuck))
		}
		return cmp.Compare(a.Learner, b.Learner)
	})
	return out
}

// event is a coupon or an answer in time.
type event struct {
	id     string
	at     time.Time
	passed bool
}

// events lists coupons and answers as they came.
func (r Result) events() []event {
	var out []event
	for i := range r.Attempts { // an attempt is large
		out = append(out, event{r.Attempts[i].Scenario, r.Attempts[i].At, r.Attempts[i].Passed})
	}
	for _, a := range r.Answers {
		out = append(out, event{a.Scenario, a.At, a.Passed()})
	}
	slices.SortStableFunc(out, func(a, b event) int { return a.at.Compare(b.at) })
	return out
}

// took gives the time that each joint took that is done: from the last coupon before it
// to its own last, so that a joint left without one counts to the next.
func (r Result) took() map[string]time.Duration {
	out := map[string]time.Duration{}
	from := r.Started
	for _, e := range r.events() {
		out[e.id] += r.worked(from, e.at)
		from = e.at
	}
	if !r.Done && !r.passed(r.Here) {
		delete(out, r.Here)
	}
	return out
}

func (r Result) passed(id string) bool {
	return slices.ContainsFunc(r.Tried(), func(t Tried) bool { return t.Scenario == id && t.Passed })
}

// worked is the time between two, without that away; never below 0.
func (r Result) worked(from, to time.Time) time.Duration {
	d := to.Sub(from)
	for _, a := range r.Away {
		b, e := a.From, a.To
		if b.Before(from) {
			b = from
		}
		if e.After(to) {
			e = to
		}
		d -= max(0, e.Sub(b))
	}
	return max(0, d)
}
