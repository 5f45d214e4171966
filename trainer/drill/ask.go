package drill

import (
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
)

// Weld is the kind of joint at which a coupon is welded and no question asked.
const Weld question.Kind = "weld"

// mostKinds is how many kinds a file may name: they come one after the other, joint by joint.
const mostKinds = 12

func readKinds(v strict.Value) []question.Kind {
	if !v.Given() {
		return nil
	}
	names := []string{string(Weld), string(Live)}
	for _, k := range question.Kinds() {
		names = append(names, string(k))
	}
	var out []question.Kind
	list, _ := v.List(mostKinds)
	for _, k := range list {
		if word, ok := k.OneOf(names); ok {
			out = append(out, question.Kind(word))
		}
	}
	if len(list) == 0 {
		v.Fail("names no kind", "such as [weld, spot]; leave it out to weld every joint")
	}
	return out
}

// KindOf says what is done at a joint, by its place among the picked, unshuffled joints.
func (d Drill) KindOf(bank []scenarios.Scenario, id string) question.Kind {
	if len(d.Kinds) == 0 {
		return Weld
	}
	d.Shuffled = false
	picked, _ := d.Pick(bank, "") // whoever asks has picked already
	i := slices.IndexFunc(picked, func(sc scenarios.Scenario) bool { return sc.ID == id })
	return d.Kinds[max(i, 0)%len(d.Kinds)]
}

// QuestionSeed gives the seed of a learner's question at a joint: the class's, or with
// VariedOwn the learner's own.
func (d Drill) QuestionSeed(id, learner string) int64 {
	return d.seed("question", id, learner)
}

// seed draws what goes by the drill's file and, with VariedOwn, by the learner.
func (d Drill) seed(what, id, learner string) int64 {
	text := d.Hash + "\x00" + what + "\x00" + id
	if d.Varied == VariedOwn {
		text += "\x00" + learner
	}
	sum := sha256.Sum256([]byte(text))
	return 1 + int64(binary.BigEndian.Uint32(sum[:4])%mostSeed)
}

// Answer is an answered question of a drill.
type Answer struct {
	Scenario string        `json:"scenario"`
	Revision int           `json:"revision"`
	Kind     question.Kind `json:"kind"`
	Seed     int64         `json:"seed"` // with kind and joint it gives the question again
	At       time.Time     `json:"at"`
	Replies  []string      `json:"replies"` // part by part, as typed
	Inch     bool          `json:"inch"`    // what bare numbers meant
	Rules    []string      `json:"rules"`   // the findings it was about
	Right    float64       `json:"right"`   // share of its parts
}

// Passed says whether all of it was right.
func (a Answer) Passed() bool { return a.Right == 1 }

func (a Answer) units() weld.System {
	if a.Inch {
		return weld.Imperial
	}
	return weld.Metric
}

// Kind says what is done at the joint in hand.
func (r *Run) Kind(id string) question.Kind {
	if slices.Contains(r.unasked, id) {
		return Weld
	}
	return r.drill.KindOf(r.bank, id)
}

// QuestionSeed gives the seed of the question at a joint.
func (r *Run) QuestionSeed(id string) int64 { return r.drill.QuestionSeed(id, r.r.Learner) }

// Unasked says that a joint gives no question of its kind: it is welded in place of it.
func (r *Run) Unasked(id string) { r.unasked = append(r.unasked, id) }

// TakeAnswer keeps an answered question; one that came after its time is not taken, and
// the joint is left.
func (r *Run) TakeAnswer(q *question.Question, replies []string, sys weld.System, res question.Result) (taken bool, err error) {
	if r.Left().Up() {
		return false, r.Leave()
	}
	r.r.Answers = append(r.r.Answers, Answer{
		Scenario: q.Scenario.ID, Revision: q.Scenario.Revision, Kind: q.Kind, Seed: q.Seed, At: r.clock(), Replies: slices.Clone(replies),
		Inch: sys == weld.Imperial, Rules: slices.Clone(q.Rules), Right: res.Share(),
	})
	return true, r.write()
}

// Tried is one coupon or question of a result.
type Tried struct {
	Scenario string
	Passed   bool
	Rule     string // what it was about where it was not passed; may be empty
}

// Tried lists coupons and questions.
func (r Result) Tried() []Tried {
	var out []Tried
	add := func(id string, passed bool, rules []string) {
		t := Tried{Scenario: id, Passed: passed}
		if !passed && len(rules) > 0 {
			t.Rule = rules[0]
		}
		out = append(out, t)
	}
	for _, a := range r.Attempts {
		add(a.Scenario, a.Passed, a.Findings)
	}
	for _, a := range r.Answers {
		add(a.Scenario, a.Passed(), a.Rules)
	}
	return out
}

// asked makes every question again and checks what was answered, but what is known to
// hold.
func asked(ctx context.Context, all []Checked, by Against) []Doubt {
	var doubts []Doubt
	type key struct {
		id   string
		kind question.Kind
		seed int64
	}
	made := map[key]*question.Question{}
	compose := func(k key) *question.Question { // nil where there is none
		if _, ok := made[k]; !ok {
			made[k], _ = by.Desk.Compose(ctx, k.kind, k.id, k.seed)
		}
		return made[k]
	}
	bank := sync.OnceValue(func() [sha256.Size]byte {
		raw, _ := json.Marshal(by.Bank) // files hold no number that cannot be written
		return sha256.Sum256(raw)
	})
	done, of := 0, 0
	for _, r := range all {
		of += len(r.Answers)
	}
	for _, r := range all {
		for n, a := range r.Attempts {
			if by.Drill == nil || by.Desk == nil {
				continue
			}
			kind := by.Drill.KindOf(by.Bank, a.Scenario)
			if !Asks(kind) {
				continue
			}
			k := key{a.Scenario, kind, by.Drill.QuestionSeed(a.Scenario, r.Learner)}
			none := fmt.Sprintf("no question %q of %q, seed %d, bank %x", k.kind, k.id, k.seed, bank())
			if _, ok := by.Known.Get(none); ok {
				continue
			}
			if compose(k) == nil {
				if ctx.Err() != nil {
					return doubts
				}
				by.Known.Put(none, "")
				continue
			}
			doubts = append(doubts, Doubt{r.File, fmt.Sprintf("coupon %d, %s was welded where the drill asks a question", n+1, a.Scenario)})
		}
		for n, a := range r.Answers {
			done++
			doubt := func(format string, args ...any) {
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("question %d, %s ", n+1, a.Scenario) + fmt.Sprintf(format, args...)})
			}
			if d := by.Drill; d != nil && (a.Kind != d.KindOf(by.Bank, a.Scenario) || a.Seed != d.QuestionSeed(a.Scenario, r.Learner)) {
				doubt("is another than the drill asks")
				continue
			}
			if by.Desk == nil {
				continue
			}
			said := a
			said.At = time.Time{}
			raw, _ := json.Marshal(said)
			holds := fmt.Sprintf("answer %s of bank %x", raw, bank())
			if _, ok := by.Known.Get(holds); ok {
				continue
			}
			q := compose(key{a.Scenario, a.Kind, a.Seed})
			if by.Tell("questions made again", done, of); ctx.Err() != nil {
				return doubts
			}
			switch {
			case q == nil:
				doubt("cannot be made again: no such question of this joint")
				continue
			case q.Scenario.Revision != a.Revision:
				doubt("is of revision %d of its joint, the bank here has %d: it cannot be checked", a.Revision, q.Scenario.Revision)
				continue
			}
			res, err := by.Desk.Check(ctx, q, a.Replies, a.units())
			switch {
			case ctx.Err() != nil:
				return doubts
			case err != nil:
				doubt("has answers that cannot be read: %s", err)
			case res.Share() != a.Right || !slices.Equal(a.Rules, q.Rules):
				doubt("comes out otherwise: handed in as %s right, checked again %s", scoreOf(a.Right), scoreOf(res.Share()))
			default:
				by.Known.Put(holds, "")
			}
		}
	}
	return doubts
}

func scoreOf(share float64) string { return fmt.Sprintf("%.0f %%", 100*share) }

// twice tells answers to a joint beyond the first.
func twice(all []Checked) []Doubt {
	var doubts []Doubt
	for _, r := range all {
		seen := map[string]bool{}
		for n, a := range r.Answers {
			if seen[a.Scenario] {
				doubts = append(doubts, Doubt{r.File, fmt.Sprintf("question %d, %s is answered twice", n+1, a.Scenario)})
			}
			seen[a.Scenario] = true
		}
	}
	return doubts
}
