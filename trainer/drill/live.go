package drill

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scenarios/strict"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// Live is the kind of joint that is welded by hand.
const Live question.Kind = "live"

// Asks says whether a kind is a question, and not a weld.
func Asks(k question.Kind) bool { return k != Weld && k != Live }

// speeds are the words for Drill.Slowest.
var speeds = []struct {
	word string
	slow int
}{{"real", 1}, {"half", 2}, {"quarter", 4}}

// readSpeed reads how slow a live joint may be welded.
func readSpeed(v strict.Value, kinds []question.Kind) int {
	if !v.Given() {
		return 1
	}
	var words []string
	for _, s := range speeds {
		words = append(words, s.word)
	}
	word, _ := v.OneOf(words)
	byHand(v, kinds)
	for _, s := range speeds {
		if s.word == word {
			return s.slow
		}
	}
	return 1
}

// byHand tells a key that goes with live joints alone.
func byHand(v strict.Value, kinds []question.Kind) {
	if !slices.Contains(kinds, Live) {
		v.Fail("no joint is welded by hand", "it goes with kinds: [live]")
	}
}

// HappensSeed gives the seed of what happens to a learner at a live joint; 0 for nothing.
func (d Drill) HappensSeed(sc scenarios.Scenario, learner string) int64 {
	if !d.Happens || len(sc.Happens) == 0 {
		return 0
	}
	return d.seed("happens", sc.ID, learner)
}

// Happens gives the seed of what happens at the joint in hand.
func (r *Run) Happens(sc scenarios.Scenario) int64 { return r.drill.HappensSeed(sc, r.r.Learner) }

// Faults says why a run of a hand does not do at a joint, as the learner has it; nil where
// it does.
func (d Drill) Faults(sc scenarios.Scenario, learner string, run arc.Run) []string {
	var out []string
	fault := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if run.Scenario != sc.ID || run.Revision != sc.Revision || run.Seed != sc.Seed {
		fault("is a run on %s, revision %d", scenarios.Name(run.Scenario, run.Seed), run.Revision)
	}
	if want := d.HappensSeed(sc, learner); run.Happens != want {
		fault("was welded with other things happening than the drill gives: --happens %d", want)
	}
	if run.Slow > d.Slowest {
		fault("was welded at %s, slower than the drill allows", view.SpeedWords(run.Slow))
	}
	set, err := run.Set()
	if err != nil {
		fault("has settings that cannot be read: %s", err)
		return out
	}
	for _, f := range weld.Fields {
		if !slices.Contains(sc.Ask, f.Key) && f.Get(set) != f.Get(sc.Given) {
			fault("sets what was not asked: %s", f.Label)
		}
	}
	for _, in := range run.Inputs {
		if in.Do == puddle.Pedal {
			set.Amps = weld.Current(math.Max(float64(set.Amps), in.Value))
		}
	}
	if err := sc.Within(set); err != nil {
		fault("sets what the joint does not allow: %s", err)
	}
	return out
}

// hand gives what the hand did at a coupon; nil for one of settings.
func (a Attempt) hand() (*arc.Run, error) {
	if len(a.Run) == 0 {
		return nil, nil
	}
	run, err := arc.Unpack(a.Run)
	if err != nil {
		return nil, fmt.Errorf("what the hand did: %w", err)
	}
	return &run, nil
}

// again welds the coupon again, by its settings or by what the hand did, and gives the
// answer it comes to.
func (a Attempt) again(judge session.Judge) (scoring.Verdict, weld.Answer, error) {
	answer, err := a.Settings()
	if err != nil {
		return scoring.Verdict{}, answer, err
	}
	run, err := a.hand()
	switch {
	case err != nil:
		return scoring.Verdict{}, answer, err
	case run == nil:
		v, err := judge(a.Task, answer)
		return v, answer, err
	}
	got, err := rejudge(*run, a.Task)
	return got.Verdict, got.Answer, err
}

// rejudge welds a run on a joint, whatever it says it was welded on.
func rejudge(run arc.Run, task weld.Task) (scoring.Run, error) {
	return run.Judge(scenarios.Scenario{ID: run.Scenario, Revision: run.Revision, Seed: run.Seed, Happened: run.Happens, Task: task})
}

// compact gives the text by which equal runs are known; empty for a coupon of settings.
func (a Attempt) compact() string {
	var b bytes.Buffer
	if len(a.Run) == 0 || json.Compact(&b, a.Run) != nil {
		return ""
	}
	return b.String()
}

// errNumbers says that a run comes to another answer than its coupon says.
var errNumbers = errors.New("a run comes to other numbers")

// fewestTaps is how much of a run makes it somebody's: two who only strike do the same.
const fewestTaps = 8

// sameHand tells runs of a hand that are in the results twice: no hand does the same twice.
func sameHand(all []Checked) []Doubt {
	var doubts []Doubt
	of := map[string]string{}
	for _, r := range all {
		for n, a := range r.begun() {
			run, err := a.hand()
			if run == nil || err != nil || len(run.Inputs) < fewestTaps {
				continue
			}
			text := fmt.Sprint(run.Inputs)
			if before, ok := of[text]; ok {
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("coupon %d, %s is the same run of a hand as one in %s", n+1, a.Scenario, before)})
			}
			of[text] = r.File
		}
	}
	return doubts
}
