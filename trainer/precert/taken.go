package precert

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
)

// Taken is a test as one learner took it: what is kept in the file. Everything on the
// paper is welded and judged again from it.
type Taken struct {
	Format      int       `json:"puddlewise_test"`
	Piece       string    `json:"piece"`
	Title       string    `json:"title"`
	Hash        string    `json:"piece_hash"`
	Designation string    `json:"designation"`
	Procedure   string    `json:"procedure"`
	Learner     string    `json:"learner"`
	Program     string    `json:"program"`
	Model       string    `json:"model_version"`
	Seed        int64     `json:"seed"`
	Started     time.Time `json:"started"`
	Ended       time.Time `json:"ended"`     // of what was kept last
	Working     float64   `json:"working_s"` // without the time away
	Allowed     float64   `json:"allowed_s"`
	Away        []Away    `json:"away"` // closed in the middle, or cut off
	Done        bool      `json:"done"`
	Blanks      int       `json:"blanks"` // to set up on
	Used        int       `json:"used"`   // of them
	Parts       []Part    `json:"parts"`
}

// Away is a time in which the test was closed.
type Away struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Lost is the time away in all.
func (t Taken) Lost() time.Duration {
	var sum time.Duration
	for _, a := range t.Away {
		sum += a.To.Sub(a.From)
	}
	return sum
}

// Part is one run of the test piece.
type Part struct {
	Name     string            `json:"name"`
	Scenario string            `json:"scenario"`
	Task     weld.Task         `json:"task"`
	Answer   map[string]string `json:"answer"` // field key to exact text; none until it was committed to
	Typed    map[string]string `json:"typed"`  // so far, of the run in hand
	Units    weld.System       `json:"units"`  // of bare numbers in Typed: 0 metric, 1 imperial
	At       time.Time         `json:"at"`
	Digest   string            `json:"digest"` // SHA-256 of the verdict; empty until it is welded
}

const takenFormat = 1

// answer gives what was committed to; ok is false when nothing was.
func (p Part) answer() (a weld.Answer, ok bool, err error) {
	a = weld.Defaults()
	for key, text := range p.Answer {
		f, known := weld.FieldByKey(key)
		if !known {
			return a, false, fmt.Errorf("there is no setting %.20q", key)
		}
		if err := f.SetStrict(&a, text); err != nil {
			return a, false, err
		}
	}
	return a, len(p.Answer) > 0, nil
}

func texts(a weld.Answer) map[string]string {
	out := map[string]string{}
	for _, f := range weld.Fields {
		out[f.Key] = f.Get(a)
	}
	return out
}

func digest(v scoring.Verdict) string {
	raw, err := json.Marshal(v)
	if err != nil { // a verdict holds nothing that cannot be written
		return "not written: " + err.Error()
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// Write puts the test on disk whole: the file is the old one or the new one, whatever
// happens in between.
func (t Taken) Write(name string) error { return record.WriteWhole(name, t) }

// maxTaken is the largest test that is read, in bytes: twelve parts take a tenth of it.
const maxTaken = 1 << 20

// ReadTaken reads one from a file. Unknown keys, a second object and a newer format are errors.
func ReadTaken(name string) (Taken, error) {
	raw, err := record.ReadWhole(name, maxTaken)
	if err != nil {
		return Taken{}, err
	}
	t, err := parseTaken(raw)
	if err != nil {
		return Taken{}, fmt.Errorf("%s: %w", name, err)
	}
	return t, nil
}

func parseTaken(raw []byte) (Taken, error) {
	if len(raw) > maxTaken {
		return Taken{}, errors.New("is larger than a test can be, 1 MB")
	}
	var t Taken
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&t); err != nil {
		return Taken{}, fmt.Errorf("is not a test as it was taken: %w", err)
	}
	switch {
	case dec.More():
		return Taken{}, errors.New("holds more than one test")
	case t.Format == 0:
		return Taken{}, errors.New("is not a test as it was taken\nit does not begin with puddlewise_test")
	case t.Format > takenFormat:
		return Taken{}, fmt.Errorf("is written in format %d, this program reads %d\nuse a newer puddlewise", t.Format, takenFormat)
	case len(t.Parts) == 0 || len(t.Parts) > 2*mostWelds:
		return Taken{}, fmt.Errorf("has %d welds, 1 to %d are taken", len(t.Parts), 2*mostWelds)
	}
	if _, err := ParseTest(t.Designation); err != nil {
		return Taken{}, fmt.Errorf("designation: %w", err)
	}
	return t, nil
}

// Judged is one part welded, held to the procedure and inspected.
type Judged struct {
	Part      Part
	Answer    weld.Answer
	Welded    bool
	Verdict   scoring.Verdict
	Procedure []Line
	Sheet     []scoring.Inspected // at level test
	Changed   bool                // it comes out otherwise than when it was welded
}

// Outcome is a test judged.
type Outcome struct {
	Parts   []Judged
	Pass    bool
	Decided string // the line that decided, in words; metric
}

// Judge welds what was committed to and says how the test came out: each part welded,
// within the procedure, passed by the inspector's sheet, and nothing rejected of what
// no inspector sees.
func (t Taken) Judge(judge func(weld.Task, weld.Answer) (scoring.Verdict, error)) (Outcome, error) {
	proc, err := FindProcedure(t.Procedure)
	if err != nil {
		return Outcome{}, err
	}
	out := Outcome{}
	for _, p := range t.Parts {
		j := Judged{Part: p}
		a, ok, err := p.answer()
		if err != nil {
			return Outcome{}, fmt.Errorf("%s: %w", p.Name, err)
		}
		if j.Answer = a; ok && p.Digest != "" {
			if j.Verdict, err = judge(p.Task, a); err != nil {
				return Outcome{}, fmt.Errorf("%s cannot be welded: %w", p.Name, err)
			}
			j.Welded, j.Changed = true, digest(j.Verdict) != p.Digest
			j.Procedure = proc.Check(p.Task, a, weld.Metric)
			j.Sheet = scoring.Inspect(p.Task, j.Verdict.Coupon, visual.Test)
		}
		out.Parts = append(out.Parts, j)
	}
	out.Pass, out.Decided = decide(out.Parts)
	return out, nil
}

// decide gives the result and the line that decided it: the first that is missing, then
// the procedure's, the inspector's, the model's.
func decide(parts []Judged) (pass bool, line string) {
	for _, j := range parts {
		if !j.Welded {
			return false, j.Part.Name + " was not welded"
		}
	}
	for _, j := range parts {
		if bad := Worst(j.Procedure); len(bad) > 0 {
			l := bad[0]
			return false, fmt.Sprintf("%s, procedure: %s was %s, allowed is %s (%s)", j.Part.Name, l.Variable, l.Have, l.May, l.Result)
		}
	}
	for _, j := range parts {
		if l, ok := j.failed(); ok {
			return false, fmt.Sprintf("%s, inspector: %s %s, %s at %s; wanted %s", j.Part.Name, l.Imperfection, l.Name, l.Got, l.At.Show(weld.Metric), l.Want)
		}
	}
	for _, j := range parts {
		if j.Verdict.Outcome != scoring.Accept {
			return false, j.Part.Name + ", what the model sees and no inspector's gauge does: " + j.Verdict.Reason
		}
	}
	checked := false
	for _, j := range parts {
		for _, l := range j.Sheet {
			checked = checked || l.Result != scoring.NotChecked
		}
	}
	if !checked {
		return true, "the model's verdict alone: no published limit for this metal is checked here"
	}
	return true, "no line fails"
}

// failed gives the first line of the sheet that fails.
func (j Judged) failed() (scoring.Inspected, bool) {
	for _, l := range j.Sheet {
		if l.Result == scoring.Failed {
			return l, true
		}
	}
	return scoring.Inspected{}, false
}
