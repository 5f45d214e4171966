// Package arc keeps live runs: what a hand did at which step, as a file that welds
// the same coupon again, and hands that are scripted.
package arc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// Format is the number of the run file's format.
const Format = 1

// largest run file that is read, bytes.
const largest = 4 << 20

// mostInputs of a run: several times what a long seam takes, so that a drill's result stays small.
const mostInputs = 2000

// Run is one live run: the joint, what was set before the arc, and what the hand did.
type Run struct {
	Format   int               `json:"format"`
	Scenario string            `json:"scenario"`
	Revision int               `json:"revision"`
	Seed     int64             `json:"seed"`
	Happens  int64             `json:"happens,omitempty"` // seed of what happened while it was welded; 0 for nothing
	Drawn    []string          `json:"drawn,omitempty"`   // what that was
	Model    string            `json:"model_version"`
	Answer   map[string]string `json:"answer"`         // every field, as it is typed
	Slow     int               `json:"slow,omitempty"` // how many times slower than real it was at its slowest: 2, 4; 0 for real
	Steps    int               `json:"steps"`          // of 0.04 s
	Inputs   []puddle.Input    `json:"inputs"`
}

// newRun begins a run on a joint with what is set before the arc.
func newRun(sc scenarios.Scenario, a weld.Answer) Run {
	r := Run{Format: Format, Scenario: sc.ID, Revision: sc.Revision, Seed: sc.Seed, Happens: sc.Happened, Drawn: sc.WhatHappens(), Model: scoring.ModelVersion, Answer: map[string]string{}}
	for _, f := range weld.Fields {
		r.Answer[f.Key] = f.Get(a)
	}
	return r
}

// Write puts the run out as JSON, an input on each line.
func (r Run) Write(w io.Writer) error {
	inputs := r.Inputs
	r.Inputs = nil
	head, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	b.Write(bytes.TrimSuffix(head, []byte("null\n}")))
	b.WriteString("[")
	for i, in := range inputs {
		line, err := json.Marshal(in)
		if err != nil {
			return err
		}
		if i > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n    ")
		b.Write(line)
	}
	b.WriteString("\n  ]\n}\n")
	_, err = w.Write(b.Bytes())
	return err
}

// Read takes a run from its file; name stands in the errors, which say line, field and
// what is allowed.
func Read(r io.Reader, name string) (Run, error) {
	data, err := io.ReadAll(io.LimitReader(r, largest+1))
	if err != nil {
		return Run{}, err
	}
	if len(data) > largest {
		return Run{}, fmt.Errorf("%s: the file is larger than %d MB\na run of ten minutes is smaller", name, largest>>20)
	}
	var run Run
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&run); err != nil {
		return Run{}, fmt.Errorf("%s:%d: %s\na run is JSON as puddlewise arc --hand good --out FILE writes it", name, lineOf(data, err, d.InputOffset()), plain(err))
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return Run{}, fmt.Errorf("%s:%d: something stands after the run\na file holds one", name, line(data, d.InputOffset()))
	}
	if err := run.check(); err != nil {
		return Run{}, fmt.Errorf("%s: %w", name, err)
	}
	return run, nil
}

// plain says a reading error in fewer words.
func plain(err error) string {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		return fmt.Sprintf("%s cannot be a %s", kind.Field, kind.Value)
	}
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return "the file ends too early"
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

func lineOf(data []byte, err error, at int64) int {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		at = syntax.Offset
	case errors.As(err, &kind):
		at = kind.Offset
	}
	return line(data, at)
}

func line(data []byte, at int64) int {
	return 1 + bytes.Count(data[:min(max(at, 0), int64(len(data)))], []byte("\n"))
}

func (r Run) check() error {
	if r.Format != Format {
		return fmt.Errorf("format: %d is not known\nthis puddlewise reads format %d", r.Format, Format)
	}
	if r.Scenario == "" {
		return errors.New("scenario: it names no joint\npuddlewise joints lists the ids")
	}
	if (r.Happens == 0) != (r.Drawn == nil) || r.Drawn != nil && len(r.Drawn) == 0 {
		return errors.New("happens: the seed and what was drawn go together\na run in which nothing happens has neither")
	}
	if r.Steps < 1 || r.Steps > puddle.LiveSteps {
		return fmt.Errorf("steps: %d cannot be\nallowed are 1 to %d, of %g s", r.Steps, puddle.LiveSteps, puddle.LiveStep)
	}
	if r.Slow != 0 && r.Slow != 2 && r.Slow != 4 {
		return fmt.Errorf("slow: %d cannot be\nallowed are 2 and 4, how many times slower than real", r.Slow)
	}
	if _, err := r.Set(); err != nil {
		return err
	}
	if len(r.Inputs) > mostInputs {
		return fmt.Errorf("inputs: there are %d\nallowed are %d", len(r.Inputs), mostInputs)
	}
	last := 0
	for i, in := range r.Inputs {
		if err := in.Check(); err != nil {
			return fmt.Errorf("input %d: %w", i+1, err)
		}
		if in.Step < last || in.Step >= r.Steps {
			return fmt.Errorf("input %d: step %d is out of order\nallowed are %d to %d here", i+1, in.Step, last, r.Steps-1)
		}
		last = in.Step
	}
	return nil
}

// Set gives what was set before the arc.
func (r Run) Set() (weld.Answer, error) {
	a := weld.Defaults()
	for key := range r.Answer {
		if _, ok := weld.FieldByKey(key); !ok {
			return a, fmt.Errorf("answer: there is no field %.40q\npuddlewise help answer lists them", key)
		}
	}
	for _, f := range weld.Fields {
		text, ok := r.Answer[f.Key]
		if !ok {
			return a, fmt.Errorf("answer: %s is missing\na run holds every field, so that it is welded again as it was", f.Key)
		}
		if err := f.SetStrict(&a, text); err != nil {
			return a, fmt.Errorf("answer: %s: %w", f.Key, err)
		}
	}
	return a, nil
}

// Judge welds the run again on its joint; of the answer it comes to, a number no learner
// can type is the nearest one can. The error says that the joint is another
// than the run's, or what cannot be done.
func (r Run) Judge(sc scenarios.Scenario) (scoring.Run, error) {
	a, err := r.on(sc)
	if err != nil {
		return scoring.Run{}, err
	}
	got, err := scoring.JudgeRun(sc.Task, a, r.Inputs, r.Steps)
	for _, f := range weld.Fields {
		if v, ok := f.Value(got.Answer); ok {
			f.SetValue(&got.Answer, v)
		}
	}
	return got, err
}

// Hand gives the run with what it stands on, to look for what would have saved it. The
// error is that of Judge.
func (r Run) Hand(sc scenarios.Scenario) (scoring.HandRun, error) {
	set, err := r.on(sc)
	return scoring.HandRun{Task: sc.Task, Set: set, Inputs: r.Inputs, Steps: r.Steps, Most: sc.MostAmps}, err
}

// on gives what was set before the arc, if the joint is the run's.
func (r Run) on(sc scenarios.Scenario) (weld.Answer, error) {
	if sc.ID != r.Scenario || sc.Revision != r.Revision || sc.Seed != r.Seed {
		return weld.Answer{}, fmt.Errorf("the run was welded on %s, revision %d, seed %d; this is %s, revision %d, seed %d\na run is scored on its own joint", r.Scenario, r.Revision, r.Seed, sc.ID, sc.Revision, sc.Seed)
	}
	if sc.Happened != r.Happens || !slices.Equal(sc.WhatHappens(), r.Drawn) {
		return weld.Answer{}, fmt.Errorf("drawn: what happened in the run, %s, is not what seed %d draws on this joint, %s\na run is scored with what happened in it", told(r.Drawn), r.Happens, told(sc.WhatHappens()))
	}
	return r.Set()
}

// told lists what happened in a few words.
func told(drawn []string) string {
	if len(drawn) == 0 {
		return "nothing"
	}
	return fmt.Sprintf("%.200s", strings.Join(drawn, "; "))
}
