package drill

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync/atomic"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
)

// Doubt is what is wrong with a result.
type Doubt struct {
	File string
	What string
}

// Checked is a result with its file.
type Checked struct {
	File string
	Result
}

// Against is what results are held to.
type Against struct {
	Drill *Drill               // nil: results are held to each other's drill alone
	Key   []byte               // of the class; nil: seals are not looked at
	Bank  []scenarios.Scenario // what joints are made from again
	Vary  Vary
	Judge session.Judge
	Desk  *question.Desk // nil: questions are not made again
	Par   scoring.Parallel
	Known Known                           // nil: everything is worked out
	Tell  func(what string, done, of int) // told how far it is, from any goroutine; nil: nobody listens
}

// Work is what a check took.
type Work struct {
	Welded int // coupons, each of equal ones once
	Known  int // coupons that were welded on this machine before and came out as they say
	Same   int // coupons equal to one of those
}

// Check holds results against each other, the drill, the bank and the class key, makes
// every joint again from bank and seed, and welds every coupon again, equal ones once and
// those not at all that are known to come out as they say. It cannot know who sat at the
// keyboard. The error is that of ctx.
func Check(ctx context.Context, all []Checked, by Against) ([]Doubt, Work, error) {
	if by.Known == nil {
		by.Known = nothing{}
	}
	if by.Tell == nil {
		by.Tell = func(string, int, int) {}
	}
	d, key := by.Drill, by.Key
	var doubts []Doubt
	doubt := func(file, format string, args ...any) {
		doubts = append(doubts, Doubt{file, fmt.Sprintf(format, args...)})
	}
	hash := ""
	if d != nil {
		hash = d.Hash
	}
	whose, coupons := map[string]string{}, map[string]string{}
	for _, r := range all {
		if hash == "" {
			hash = r.Hash
		}
		if r.Hash != hash {
			doubt(r.File, "another drill, or the drill's file was changed: %s", r.Drill)
		}
		if key != nil && !r.Sealed(key) {
			if r.Seal == "" {
				doubt(r.File, "is not sealed")
			} else {
				doubt(r.File, "was changed after it was sealed, or sealed with another key")
			}
		}
		if r.Model != scoring.ModelVersion {
			doubt(r.File, "was welded by model %s, this program has %s: a verdict may differ for that", r.Model, scoring.ModelVersion)
		}
		who := strings.ToLower(strings.Join(strings.Fields(r.Learner), " ")) + "\x00" + r.Hash
		if before, ok := whose[who]; ok {
			doubt(r.File, "is a second result of %s; the first is %s", r.Learner, before)
		} else {
			whose[who] = r.File
		}
		for _, a := range r.begun() {
			if before, ok := coupons[a.ID]; ok {
				doubt(r.File, "holds a coupon that is in %s too: %s", before, a.ID)
			}
			coupons[a.ID] = r.File
		}
	}
	for _, r := range all {
		doubts = append(doubts, course(r, by)...)
	}
	doubts = append(append(doubts, copied(all)...), remake(all, by)...)
	doubts = append(append(doubts, twice(all)...), sameHand(all)...)
	doubts = append(doubts, asked(ctx, all, by)...)
	if ctx.Err() != nil {
		return doubts, Work{}, ctx.Err()
	}
	more, work := reweld(all, by)
	return append(doubts, more...), work, ctx.Err()
}

// seeded names a joint of the bank and its variation; equal ones are made once.
type seeded struct {
	id   string
	seed int64
}

// seed gives the seed that a learner's coupon of a joint has to have; ok is false where it
// says another.
func (by Against) seed(sc scenarios.Scenario, learner string, a Attempt) (seed int64, ok bool) {
	if by.Drill == nil {
		return a.Seed, true
	}
	want := by.Drill.Seed(sc, learner)
	return want, a.Seed == want || a.Seed == 0 // as it is written, where none is found
}

// variations makes the joints that results are of, as the bank and their seeds give them.
func variations(all []Checked, by Against) map[seeded]scenarios.Scenario {
	made := map[seeded]scenarios.Scenario{}
	var todo []seeded
	for _, r := range all {
		for _, a := range r.begun() {
			sc, err := scenarios.Find(by.Bank, a.Scenario)
			seed, ok := by.seed(sc, r.Learner, a)
			key := seeded{a.Scenario, seed}
			if _, known := made[key]; known || err != nil || !ok || sc.Revision != a.Revision {
				continue
			}
			made[key] = sc
			if seed != 0 && by.Vary != nil {
				todo = append(todo, key)
			}
		}
	}
	out := make([]scenarios.Scenario, len(todo))
	var done atomic.Int64
	by.Par(len(todo), func(i int) {
		out[i] = by.Vary(made[todo[i]], todo[i].seed)
		by.Tell("variations drawn", int(done.Add(1)), len(todo))
	})
	for i, key := range todo {
		made[key] = out[i]
	}
	return made
}

// begun gives every coupon, with the one being welded last.
func (r Result) begun() []Attempt {
	if r.Welding == nil {
		return r.Attempts
	}
	return append(slices.Clone(r.Attempts), *r.Welding)
}

// remake makes the joint of every coupon again and tells the ones that are not what the
// bank and the seed give, or not what the drill gives this learner.
func remake(all []Checked, by Against) []Doubt {
	var doubts []Doubt
	made := variations(all, by)
	var inDrill map[string]bool // nil: not known
	if by.Drill != nil {
		if picked, err := by.Drill.Pick(by.Bank, ""); err == nil {
			inDrill = map[string]bool{}
			for _, sc := range picked {
				inDrill[sc.ID] = true
			}
		}
	}
	for _, r := range all {
		used := map[string]int{}
		if w := r.Welding; w != nil && (r.Done || !w.blank()) {
			doubts = append(doubts, Doubt{r.File, fmt.Sprintf("says of %s, a coupon being welded, what only a finished one has, or is over", w.Scenario)})
		}
		for n, a := range r.begun() {
			doubt := func(format string, args ...any) {
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("coupon %d, %s ", n+1, scenarios.Name(a.Scenario, a.Seed)) + fmt.Sprintf(format, args...)})
			}
			sc, err := scenarios.Find(by.Bank, a.Scenario)
			switch {
			case err != nil:
				doubt("is of a joint that the bank here does not have")
				continue
			case sc.Revision != a.Revision:
				doubt("is of revision %d of its joint, the bank here has %d: the joint cannot be checked", a.Revision, sc.Revision)
				continue
			}
			if by.Drill != nil {
				d := *by.Drill
				used[a.Scenario]++
				if inDrill != nil && !inDrill[a.Scenario] {
					doubt("is of a joint that is not in the drill")
				}
				if used[a.Scenario] == d.Tries+1 {
					doubt("is one more than the drill gives: %d", d.Tries)
				}
			}
			seed, ok := by.seed(sc, r.Learner, a)
			if !ok {
				doubt("is another variation than the drill gives: %d", seed)
				continue
			}
			sc = made[seeded{a.Scenario, seed}]
			run, rerr := a.hand()
			if run != nil {
				sc = sc.Befall(run.Happens)
			}
			if a.Task != sc.Task {
				doubt("is of a joint that was changed: it is not what the bank and its seed give")
				continue
			}
			answer, err := a.Settings()
			if err != nil || rerr != nil { // reweld tells of it
				continue
			}
			if run != nil && (run.Scenario != a.Scenario || run.Revision != a.Revision || run.Seed != sc.Seed) {
				doubt("holds a run of a hand on %s, revision %d", scenarios.Name(run.Scenario, run.Seed), run.Revision)
				continue
			}
			if by.Drill == nil {
				continue
			}
			sc = by.Drill.asked(sc)
			switch live := by.Drill.KindOf(by.Bank, a.Scenario) == Live; {
			case live != (run != nil):
				doubt("was welded %s: the drill has it otherwise", map[bool]string{true: "by hand", false: "by settings"}[run != nil])
				continue
			case run != nil:
				for _, f := range by.Drill.Faults(sc, r.Learner, *run) {
					doubt("%s", f)
				}
				continue
			}
			for _, f := range weld.Fields {
				if !slices.Contains(sc.Ask, f.Key) && f.Get(answer) != f.Get(sc.Given) {
					doubt("sets what was not asked: %s", f.Label)
				}
			}
			if err := sc.Within(answer); err != nil {
				doubt("sets what the joint does not allow: %s", err)
			}
		}
	}
	return doubts
}

// coupon is what decides a verdict; equal ones are welded once.
type coupon struct {
	task   weld.Task
	answer weld.Answer
	run    string // of a hand, packed; empty for settings
}

// reweld welds every coupon of the results and tells the ones that come out otherwise.
func reweld(all []Checked, by Against) ([]Doubt, Work) {
	type job struct {
		coupon
		said outcome // by every coupon like it
		outcome
		err  error
		weld bool
	}
	var jobs []*job
	same := 0
	like := map[coupon]*job{}
	of := make([][]*job, len(all)) // each coupon's; nil where its settings cannot be read
	for i, r := range all {
		of[i] = make([]*job, len(r.Attempts))
		for n, a := range r.Attempts {
			answer, err := a.Settings()
			if err != nil {
				continue
			}
			c := coupon{a.Task, answer, a.compact()}
			j := like[c]
			if j == nil {
				j = &job{coupon: c, said: a.outcome()}
				like[j.coupon] = j
				jobs = append(jobs, j)
			} else {
				same++
			}
			j.weld = j.weld || !j.said.equal(a.outcome())
			of[i][n] = j
		}
	}
	var todo []*job
	for _, j := range jobs {
		if _, known := by.Known.Get(claim(j.coupon, j.said)); known && !j.weld { // no doubt comes from memory: only what holds is known
			j.outcome = j.said
			continue
		}
		todo = append(todo, j)
	}
	var done atomic.Int64
	by.Par(len(todo), func(i int) {
		j := todo[i]
		v, err := j.coupon.weld(by.Judge, by.Known)
		j.outcome, j.err = outcomeOf(v), err
		by.Tell("coupons welded", int(done.Add(1)), len(todo))
	})
	var doubts []Doubt
	for i, r := range all {
		for n, a := range r.Attempts {
			where := fmt.Sprintf("coupon %d, %s", n+1, a.Scenario)
			j := of[i][n]
			switch {
			case j == nil:
				_, err := a.Settings()
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("%s: %s", where, err)})
			case errors.Is(j.err, errNumbers):
				doubts = append(doubts, Doubt{r.File, where + " comes out otherwise: what the hand did comes to other numbers than it says"})
			case j.err != nil:
				doubts = append(doubts, Doubt{r.File, where + " cannot be welded: " + j.err.Error()})
			case j.Digest != a.Digest:
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("%s comes out otherwise: handed in as %s, welded again %s", where, a.Outcome, j.Outcome)})
			case j.Outcome != a.Outcome || j.Scores != a.Scores:
				doubts = append(doubts, Doubt{r.File, where + " says other scores than its verdict has"})
			case !slices.Equal(a.Findings, j.Findings):
				doubts = append(doubts, Doubt{r.File, where + " says other findings than its verdict has"})
			case a.Passed && j.Outcome != scoring.Accept || by.Drill != nil && a.Passed != by.Drill.passes(j.Outcome, j.Scores):
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("%s is said to be passed: %t, and its verdict says otherwise", where, a.Passed)})
			}
		}
	}
	return doubts, Work{Welded: len(todo), Known: len(jobs) - len(todo), Same: same}
}
