package drill

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"
	"unicode"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

// Result is what a learner hands in: every coupon, and enough to weld it again.
type Result struct {
	Format   int       `json:"puddlewise_drill_result"`
	Drill    string    `json:"drill"` // title
	Hash     string    `json:"drill_hash"`
	Learner  string    `json:"learner"`
	Program  string    `json:"program"`
	Model    string    `json:"model_version"`
	Started  time.Time `json:"started"`
	Ended    time.Time `json:"ended"`     // of the last coupon; Done says whether that was the end
	Working  float64   `json:"working_s"` // without the time away
	Away     []Away    `json:"away"`      // closed in the middle
	Done     bool      `json:"done"`
	Joints   int       `json:"joints"` // of the drill
	Left     []string  `json:"left"`   // joints gone on from with tries unused
	Here     string    `json:"here"`   // the joint in hand, and how long it has been
	HereFor  float64   `json:"here_s"`
	Attempts []Attempt `json:"attempts"`
	Answers  []Answer  `json:"answers,omitempty"` // to questions
	Welding  *Attempt  `json:"welding,omitempty"` // a coupon begun and not yet seen; it has no outcome
	Typed    *Typed    `json:"typed,omitempty"`   // an answer on its way at the joint in hand
	Seal     string    `json:"seal"`              // HMAC-SHA256 with the class key of everything else; empty without one
}

// Away is a time in which the drill was closed.
type Away struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Attempt is one coupon of a drill.
type Attempt struct {
	ID       string            `json:"id"`
	Scenario string            `json:"scenario"`
	Revision int               `json:"revision"`
	Seed     int64             `json:"seed,omitempty"` // of the variation; 0 for the joint as it is written
	Task     weld.Task         `json:"task"`
	Started  time.Time         `json:"started"`
	At       time.Time         `json:"at"`
	Answer   map[string]string `json:"answer"`        // field key to exact text; of a run, what it comes to
	Run      json.RawMessage   `json:"run,omitempty"` // what the hand did, packed, of a coupon welded live
	Guess    string            `json:"guess"`
	Hints    int               `json:"hints"`
	Outcome  scoring.Outcome   `json:"outcome"`
	Scores   scoring.Scores    `json:"scores"`
	Findings []string          `json:"findings"` // rules, worst first
	Passed   bool              `json:"passed"`
	Digest   string            `json:"digest"` // SHA-256 of the verdict
}

const resultFormat = 1

// Digest is the SHA-256 of a verdict: the same on every machine, as the verdict is.
func Digest(v scoring.Verdict) string {
	raw, err := json.Marshal(v)
	if err != nil { // a verdict holds nothing that cannot be written
		return "not written: " + err.Error()
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// newAttempt takes a coupon that is begun out of a session.
func newAttempt(a session.Attempt) Attempt {
	out := Attempt{
		ID: a.ID, Scenario: a.Scenario, Revision: a.Revision, Seed: a.Seed, Task: a.Task, Started: a.Started, At: a.At,
		Guess: a.Guess, Hints: a.Hints, Findings: []string{},
	}
	if a.Run != nil {
		out.Run, _ = a.Run.Pack() // texts and whole numbers: they can be written
	}
	out.set(a.Answer)
	return out
}

func (a *Attempt) set(answer weld.Answer) {
	a.Answer = map[string]string{}
	for _, f := range weld.Fields {
		a.Answer[f.Key] = f.Get(answer)
	}
}

// take takes how the coupon came out.
func (a *Attempt) take(v scoring.Verdict, passed bool) {
	a.Outcome, a.Scores, a.Findings, a.Passed, a.Digest = v.Outcome, v.Scores, rules(v), passed, Digest(v)
}

// blank says whether nothing is said of how the coupon came out.
func (a Attempt) blank() bool {
	return a.Outcome == "" && a.Scores == scoring.Scores{} && len(a.Findings) == 0 && !a.Passed && a.Digest == "" && a.Guess == ""
}

// rules names the findings of a verdict, worst first.
func rules(v scoring.Verdict) []string {
	out := []string{}
	for _, f := range v.Findings {
		out = append(out, f.Rule)
	}
	return out
}

// Settings gives the answer back; the error names a field that cannot be read.
func (a Attempt) Settings() (weld.Answer, error) {
	out := weld.Defaults()
	for key, text := range a.Answer {
		f, ok := weld.FieldByKey(key)
		if !ok {
			return out, fmt.Errorf("there is no setting %.20q", key)
		}
		if err := f.SetStrict(&out, text); err != nil {
			return out, err
		}
	}
	return out, nil
}

// seal computes the seal with a key.
func (r Result) seal(key []byte) (string, error) {
	r.Seal = ""
	raw, err := json.Marshal(r)
	if err != nil {
		return "", err
	}
	mac := hmac.New(sha256.New, key)
	mac.Write(raw)
	return hex.EncodeToString(mac.Sum(nil)), nil
}

// Sealed says whether the seal is the key's.
func (r Result) Sealed(key []byte) bool {
	want, err := r.seal(key)
	return err == nil && r.Seal != "" && hmac.Equal([]byte(want), []byte(r.Seal))
}

// Write seals the result, when there is a key, and puts it on disk whole: the file is
// the old one or the new one, whatever happens in between.
func (r *Result) Write(name string, key []byte) error {
	r.Seal = ""
	if key != nil {
		seal, err := r.seal(key)
		if err != nil {
			return err
		}
		r.Seal = seal
	}
	return record.WriteWhole(name, r)
}

// maxResult is the largest result that is read, in bytes: 50 joints with 10 tries take
// about a tenth of it by settings, a quarter by hand, all of it by a hand that never rests.
const maxResult = 20 << 20

// ReadResult reads one from a file. Unknown keys, a second object and a newer format are errors.
func ReadResult(name string) (Result, error) {
	raw, err := record.ReadWhole(name, maxResult)
	if err != nil {
		return Result{}, err
	}
	if len(raw) > maxResult {
		return Result{}, fmt.Errorf("%s: is larger than a result can be, %d MB", name, maxResult>>20)
	}
	r, err := parseResult(raw)
	if err != nil {
		return Result{}, fmt.Errorf("%s: %w", name, err)
	}
	return r, nil
}

// shown lists the texts of a result that screens and reports show as they are.
func (r Result) shown() []string {
	out := append([]string{r.Drill, r.Learner, r.Program, r.Model, r.Here}, r.Left...)
	for _, a := range r.begun() {
		out = append(append(out, a.ID, a.Scenario, a.Guess, string(a.Outcome)), a.Findings...)
	}
	for _, a := range r.Answers {
		out = append(append(out, a.Scenario, string(a.Kind)), a.Rules...)
	}
	return out
}

func parseResult(raw []byte) (Result, error) {
	var r Result
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&r); err != nil {
		return Result{}, fmt.Errorf("is not a result of a drill: %w", err)
	}
	if dec.More() {
		return Result{}, errors.New("holds more than one result")
	}
	switch {
	case r.Format == 0:
		return Result{}, errors.New("is not a result of a drill\nit does not begin with puddlewise_drill_result")
	case r.Format > resultFormat:
		return Result{}, fmt.Errorf("is written in format %d, this program reads %d\nuse a newer puddlewise", r.Format, resultFormat)
	}
	for _, text := range r.shown() {
		if strings.ContainsFunc(text, unicode.IsControl) { // it would move an instructor's terminal
			return Result{}, fmt.Errorf("holds %.40q, which no result of this program does", text)
		}
	}
	return r, nil
}
