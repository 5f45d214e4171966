package record

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"reflect"
	"sort"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// Import takes the attempts of an export that are not in the record yet, and gives
// how many were taken and how many were there already. Everything wrong with the
// file is told at once, as strict.Problems; then nothing of it is taken.
func (s *Store) Import(name string) (taken, had int, err error) {
	// Read through first: the record is held, and other trainers with it, only to write.
	var problems strict.Problems
	seen := map[string]session.Attempt{}
	err = readExport(name, &problems, func(line int, a session.Attempt) error {
		if before, twice := seen[a.ID]; twice && !same(before, a) {
			problems = append(problems, strict.Problem{File: name, Line: line, Field: "id", Message: fmt.Sprintf("%.40q stands twice, with different attempts", a.ID)})
		}
		seen[a.ID] = a
		return nil
	})
	if err != nil || problems != nil {
		return 0, 0, orProblems(problems, err)
	}
	tx, err := s.db.Begin()
	if err != nil {
		return 0, 0, s.wrap(err)
	}
	defer tx.Rollback()
	err = readExport(name, &problems, func(line int, a session.Attempt) error {
		there := false
		err := s.each(tx, Filter{ID: a.ID}, func(old session.Attempt) error {
			if there = true; !same(old, a) {
				problems = append(problems, strict.Problem{
					File: name, Line: line, Field: "id", Message: fmt.Sprintf("%.40q is in the record already, and not the same attempt", a.ID),
					Hint: "one of the two was changed after it was recorded",
				})
			}
			return nil
		})
		if err != nil {
			return err
		}
		if there {
			had++
			return nil
		}
		r, err := newRow(a)
		if err != nil {
			return err
		}
		taken++
		return s.insert(tx, r)
	})
	if err != nil || problems != nil {
		return 0, 0, orProblems(problems, err)
	}
	if err := tx.Commit(); err != nil {
		return 0, 0, s.wrap(err)
	}
	return taken, had, nil
}

// same compares attempts as the record keeps them.
func same(a, b session.Attempt) bool { return reflect.DeepEqual(a, b) }

func orProblems(problems strict.Problems, err error) error {
	if err != nil {
		return err
	}
	return problems
}

// readExport hands on every good attempt of an export with its line. What is wrong
// is added to problems; the error is for what is no export at all.
func readExport(name string, problems *strict.Problems, each func(line int, a session.Attempt) error) error {
	f, err := os.Open(name)
	if err != nil {
		return fmt.Errorf("the export cannot be read: %w", err)
	}
	defer f.Close()
	lines := &lineReader{in: f}
	d := json.NewDecoder(lines)
	broken := func(err error) error {
		p := strict.Problem{File: name, Line: lines.at(d.InputOffset()), Message: "this is not JSON: " + strings.TrimPrefix(err.Error(), "json: ")}
		var syntax *json.SyntaxError
		switch {
		case errors.As(err, &syntax):
			p.Line = lines.at(syntax.Offset)
		case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
			p.Message = "the file is cut short"
		default:
			return fmt.Errorf("%s: %w", name, err)
		}
		p.Hint = exportHint
		*problems = append(*problems, p)
		return nil
	}
	for _, want := range []json.Token{json.Delim('{'), "puddlewise_record", float64(exportFormat), "attempts", json.Delim('[')} {
		got, err := d.Token()
		if err != nil {
			return broken(err)
		}
		if got == want {
			continue
		}
		p := strict.Problem{File: name, Line: lines.at(d.InputOffset()), Message: "this is not an export of a record", Hint: exportHint}
		if n, ok := got.(float64); ok && want == float64(exportFormat) {
			p.Field, p.Message, p.Hint = "puddlewise_record", fmt.Sprintf("format %g is not known, only %d", n, exportFormat), "update puddlewise to take it"
		}
		*problems = append(*problems, p)
		return nil
	}
	for d.More() {
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			return broken(err)
		}
		line := lines.at(d.InputOffset() - int64(len(raw)) + 1)
		a, found := readAttempt(raw)
		for _, p := range found {
			p.File, p.Line = name, line
			*problems = append(*problems, p)
		}
		if found == nil {
			if err := each(line, a); err != nil {
				return err
			}
		}
	}
	for _, want := range []json.Token{json.Delim(']'), json.Delim('}'), nil} {
		got, err := d.Token()
		if want == nil && errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return broken(err)
		}
		if got != want {
			*problems = append(*problems, strict.Problem{File: name, Line: lines.at(d.InputOffset()), Message: "there is more in the file than an export holds"})
			return nil
		}
	}
	return nil
}

const exportHint = "import takes what puddlewise record export --json wrote"

// readAttempt reads one attempt and everything that is wrong with it.
func readAttempt(raw []byte) (a session.Attempt, problems strict.Problems) {
	wrong := func(field, format string, args ...any) {
		message, hint, _ := strings.Cut(fmt.Sprintf(format, args...), "\n")
		problems = append(problems, strict.Problem{Field: field, Message: message, Hint: hint})
	}
	if !utf8.Valid(raw) {
		wrong("", "this attempt is not UTF-8 text")
		return a, problems
	}
	for _, key := range keysTwice(raw) {
		wrong(key, "stands twice")
	}
	var e exported
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&e); err != nil {
		var kind *json.UnmarshalTypeError
		if errors.As(err, &kind) {
			wrong(kind.Field, "cannot be a %s", kind.Value)
		} else {
			wrong("", "%s", strings.TrimPrefix(err.Error(), "json: "))
		}
		return a, problems
	}
	a = session.Attempt{
		ID: e.ID, Learner: e.Learner, Scenario: e.Scenario, Revision: e.Revision, Seed: e.Seed, Title: e.Title,
		ModelVersion: e.ModelVersion, Mode: e.Mode, Guess: e.Guess, Hints: e.Hints, Verdict: e.Verdict,
	}
	if e.Task != nil {
		a.Task = *e.Task
	}
	for _, f := range []struct {
		name, text string
		needed     bool
	}{
		{"id", e.ID, true}, {"learner", e.Learner, false}, {"scenario", e.Scenario, true}, {"title", e.Title, false},
		{"model_version", e.ModelVersion, true}, {"mode", e.Mode, true}, {"guess", e.Guess, false},
	} {
		switch {
		case f.needed && f.text == "":
			wrong(f.name, "is missing")
		case strings.ContainsFunc(f.text, unicode.IsControl):
			wrong(f.name, "%.40q holds a control character", f.text)
		}
	}
	for _, f := range []struct {
		name, text string
		into       *time.Time
	}{{"started", e.Started, &a.Started}, {"at", e.At, &a.At}} {
		t, err := time.Parse(timeFormat, f.text)
		switch {
		case f.text == "" && f.name == "started":
		case err != nil || t.UnixMilli() == 0:
			wrong(f.name, "cannot be %.40q, it is written like %s", f.text, timeFormat)
		default:
			*f.into = t.UTC()
		}
	}
	if a.Started.After(a.At) {
		wrong("started", "is after at")
	}
	if e.Revision < 0 {
		wrong("revision", "cannot be %d", e.Revision)
	}
	if e.Hints < 0 {
		wrong("hints", "cannot be %d", e.Hints)
	}
	switch v := e.Verdict; v.Outcome {
	case scoring.Accept, scoring.Reject, scoring.OutOfRange:
		for _, x := range []float64{v.Scores.BurnThrough, v.Scores.LackOfFusion, v.Scores.Oxide} {
			if x < 0 || x > 100 {
				wrong("verdict.Scores", "a score cannot be %g, they run from 0 to 100", x)
			}
		}
	default:
		wrong("verdict.Outcome", "cannot be %.40q, allowed are %s, %s, %s", v.Outcome, scoring.Accept, scoring.Reject, scoring.OutOfRange)
	}
	var err error
	if len(e.Answer) == 0 {
		wrong("answer", "is missing")
	} else if a.Answer, err = decodeAnswer(string(e.Answer)); err != nil {
		wrong("answer", "%s", strings.TrimPrefix(err.Error(), "the recorded answer: "))
	}
	if problems == nil {
		if _, err := newRow(a); err != nil {
			wrong("", "%s", err)
		}
	}
	return a, problems
}

// keysTwice names the keys that stand twice in one object, where a JSON reader
// silently takes the last.
func keysTwice(raw []byte) (twice []string) {
	type level struct {
		keys map[string]bool // nil in a list
		key  string
		want bool // a key comes next
	}
	var stack []level
	for d := json.NewDecoder(bytes.NewReader(raw)); ; {
		t, err := d.Token()
		if err != nil {
			return twice
		}
		top := len(stack) - 1
		if key, ok := t.(string); ok && top >= 0 && stack[top].want {
			stack[top].key, stack[top].want = key, false
			if lower := strings.ToLower(key); stack[top].keys[lower] { // a reader takes keys in any case
				var path []string
				for _, l := range stack {
					if l.keys != nil {
						path = append(path, l.key)
					}
				}
				twice = append(twice, strings.Join(path, "."))
			} else {
				stack[top].keys[lower] = true
			}
			continue
		}
		if delim, ok := t.(json.Delim); ok {
			switch delim {
			case '{':
				stack = append(stack, level{keys: map[string]bool{}, want: true})
				continue
			case '[':
				stack = append(stack, level{})
				continue
			}
			stack = stack[:top]
		}
		if top = len(stack) - 1; top >= 0 {
			stack[top].want = stack[top].keys != nil
		}
	}
}

// lineReader knows on which line an offset of what it has read lies.
type lineReader struct {
	in    io.Reader
	read  int64
	feeds []int64 // where line feeds stand
}

func (r *lineReader) Read(b []byte) (int, error) {
	n, err := r.in.Read(b)
	for i, c := range b[:n] {
		if c == '\n' {
			r.feeds = append(r.feeds, r.read+int64(i))
		}
	}
	r.read += int64(n)
	return n, err
}

// at gives the line, from 1, on which the byte before offset lies.
func (r *lineReader) at(offset int64) int {
	return 1 + sort.Search(len(r.feeds), func(i int) bool { return r.feeds[i] >= offset-1 })
}
