package record

import (
	"bytes"
	"crypto/sha256"
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
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Import takes the attempts of an export that are not in the record yet, and gives
// how many were taken and how many were there already; answered questions come with
// them, not counted. Everything wrong with the
// file is told at once, as strict.Problems; then nothing of it is taken.
func (s *Store) Import(name string) (taken, had int, err error) {
	// What is taken waits in a table of this connection alone: the record is held, and
	// other trainers with it, only for the copy.
	const begin = `DROP TABLE IF EXISTS temp.taking; CREATE TEMP TABLE taking AS SELECT * FROM attempt WHERE 0;
		DROP TABLE IF EXISTS temp.taking_answered; CREATE TEMP TABLE taking_answered AS SELECT * FROM answered WHERE 0`
	if _, err := s.db.Exec(begin); err != nil {
		return 0, 0, s.wrap(err)
	}
	defer s.db.Exec("DROP TABLE IF EXISTS temp.taking; DROP TABLE IF EXISTS temp.taking_answered")
	var problems strict.Problems
	answers := map[string]session.Answered{}
	answer := func(line int, a session.Answered) error {
		wrong := func(message, hint string) {
			problems = append(problems, strict.Problem{File: name, Line: line, Field: "id", Message: message, Hint: hint})
		}
		if before, twice := answers[a.ID]; twice {
			if !reflect.DeepEqual(before, a) {
				wrong(fmt.Sprintf("%.40q stands twice, and not the same", a.ID), "")
			}
			return nil
		}
		answers[a.ID] = a
		old, err := s.answered("WHERE id = $1", a.ID)
		if len(old) > 0 && !reflect.DeepEqual(old[0], a) {
			wrong(fmt.Sprintf("%.40q is in the record already, and not the same answer", a.ID), "one of the two was changed after it was recorded")
		}
		if err != nil || len(old) > 0 || problems != nil {
			return err
		}
		return s.insertAnswered("temp.taking_answered", a)
	}
	seen := map[string][sha256.Size]byte{} // not the attempts: a large record need not fit into memory
	err = readExport(name, &problems, func(line int, raw []byte, a session.Attempt) error {
		wrong := func(field, message, hint string) {
			problems = append(problems, strict.Problem{File: name, Line: line, Field: field, Message: message, Hint: hint})
		}
		sum := sha256.Sum256(raw)
		if before, twice := seen[a.ID]; twice {
			if before != sum {
				wrong("id", fmt.Sprintf("%.40q stands twice, and not the same", a.ID), "")
			}
			return nil
		}
		seen[a.ID] = sum
		there := false
		err := s.Each(Filter{ID: a.ID}, func(old session.Attempt) error {
			if there = true; !reflect.DeepEqual(old, a) {
				wrong("id", fmt.Sprintf("%.40q is in the record already, and not the same attempt", a.ID), "one of the two was changed after it was recorded")
			}
			return nil
		})
		if err != nil || there || problems != nil {
			return err
		}
		r, err := newRow(a)
		if err != nil {
			wrong("", err.Error(), "")
			return nil
		}
		return s.insert("temp.taking", r)
	}, answer)
	if err != nil || problems != nil {
		return 0, 0, orProblems(problems, err)
	}
	columns := briefColumns + ", " + wholeColumns
	tx, err := s.db.Begin()
	if err != nil {
		return 0, 0, s.wrap(err)
	}
	defer tx.Rollback()
	result, err := tx.Exec("INSERT INTO attempt (" + columns + ") SELECT " + columns + " FROM temp.taking WHERE id NOT IN (SELECT id FROM attempt)")
	if err != nil {
		return 0, 0, s.wrap(err)
	}
	n, err := result.RowsAffected()
	if err == nil {
		_, err = tx.Exec("INSERT INTO answered (" + answeredColumns + ") SELECT " + answeredColumns + " FROM temp.taking_answered WHERE id NOT IN (SELECT id FROM answered)")
	}
	if err == nil {
		err = tx.Commit()
	}
	if err != nil {
		return 0, 0, s.wrap(err)
	}
	return int(n), len(seen) - int(n), nil
}

func orProblems(problems strict.Problems, err error) error {
	if err != nil {
		return err
	}
	return problems
}

// readExport hands on every good attempt and answer of an export with its line. What is wrong
// is added to problems; the error is for what is no export at all.
func readExport(name string, problems *strict.Problems, each func(line int, raw []byte, a session.Attempt) error, answer func(line int, a session.Answered) error) error {
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
			if err := each(line, raw, a); err != nil {
				return err
			}
		}
	}
	for i, want := range []json.Token{json.Delim(']'), json.Delim('}'), nil} {
		got, err := d.Token()
		if i == 1 && got == "answers" {
			if more, err := readAnswers(d, lines, name, problems, answer); err != nil {
				return broken(err)
			} else if !more {
				return nil
			}
			got, err = d.Token()
		}
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

// readAnswers reads the list of answered questions of an export. more is false when what
// follows need not be read; what is wrong with an answer is added to problems.
func readAnswers(d *json.Decoder, lines *lineReader, name string, problems *strict.Problems, answer func(int, session.Answered) error) (more bool, err error) {
	if open, err := d.Token(); err != nil || open != json.Delim('[') {
		if err == nil {
			*problems = append(*problems, strict.Problem{File: name, Line: lines.at(d.InputOffset()), Field: "answers", Message: "is no list", Hint: exportHint})
		}
		return false, err
	}
	for d.More() {
		var raw json.RawMessage
		if err := d.Decode(&raw); err != nil {
			return false, err
		}
		line := lines.at(d.InputOffset() - int64(len(raw)) + 1)
		a, found := readAnswer(raw)
		for _, p := range found {
			p.File, p.Line = name, line
			*problems = append(*problems, p)
		}
		if found == nil {
			if err := answer(line, a); err != nil {
				return false, err
			}
		}
	}
	_, err = d.Token()
	return true, err
}

// readAnswer reads one answered question and what is wrong with it.
func readAnswer(raw []byte) (a session.Answered, problems strict.Problems) {
	wrong := func(field, format string, args ...any) {
		problems = append(problems, strict.Problem{Field: field, Message: fmt.Sprintf(format, args...)})
	}
	for _, key := range keysTwice(raw) {
		wrong(key, "stands twice")
	}
	var e exportedAnswer
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&e); err != nil {
		wrong("", "%s", strings.TrimPrefix(err.Error(), "json: "))
		return a, problems
	}
	for _, f := range []struct {
		name, text string
		needed     bool
	}{
		{"id", e.ID, true}, {"learner", e.Learner, false}, {"scenario", e.Scenario, true}, {"kind", e.Kind, true}, {"model_version", e.ModelVersion, true},
	} {
		switch {
		case f.needed && f.text == "":
			wrong(f.name, "is missing")
		case strings.ContainsFunc(f.text, unicode.IsControl) || !utf8.ValidString(f.text):
			wrong(f.name, "%.40q holds a control character", f.text)
		}
	}
	at, err := time.Parse(timeFormat, e.At)
	if err != nil {
		wrong("at", "cannot be %.40q, it is written like %s", e.At, timeFormat)
	}
	if !(e.Right >= 0 && e.Right <= 1) {
		wrong("right", "cannot be %g, it is a share from 0 to 1", e.Right)
	}
	if e.Revision < 0 {
		wrong("revision", "cannot be %d", e.Revision)
	}
	return session.Answered{
		ID: e.ID, At: at.UTC(), Learner: e.Learner, Scenario: e.Scenario, Revision: e.Revision, Kind: e.Kind, Seed: e.Seed,
		ModelVersion: e.ModelVersion, Replies: e.Replies, Rules: e.Rules, Right: e.Right,
	}, problems
}

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
	if len(e.Run) > 0 && string(e.Run) != "null" {
		run, err := decodeRun(e.Run)
		switch {
		case err != nil:
			wrong("run", "%s", err)
		case run.Scenario != a.Scenario || run.Revision != a.Revision || run.Seed != a.Seed || a.Task == (weld.Task{}):
			wrong("run", "is of another joint than the coupon")
		default:
			a.Run = run
		}
	}
	return a, problems
}

// keysTwice names the keys that stand twice in one object, where a JSON reader
// silently takes the last. The text has to be sound JSON. It goes byte by byte: a
// reader of tokens takes four times as long, most of an import.
func keysTwice(raw []byte) (twice []string) {
	type level struct {
		keys map[string]bool // nil in a list
		key  string          // that holds what comes next
	}
	var stack []level
	isKey := false
	for i := 0; i < len(raw); i++ {
		switch raw[i] {
		case '{':
			stack, isKey = append(stack, level{keys: map[string]bool{}}), true
		case '[':
			stack, isKey = append(stack, level{}), false
		case '}', ']':
			stack = stack[:len(stack)-1]
		case ',':
			isKey = stack[len(stack)-1].keys != nil
		case '"':
			start := i
			for i++; raw[i] != '"'; i++ {
				if raw[i] == '\\' {
					i++
				}
			}
			if !isKey {
				continue
			}
			isKey = false
			top := &stack[len(stack)-1]
			if json.Unmarshal(raw[start:i+1], &top.key) != nil {
				return twice
			}
			if lower := strings.ToLower(top.key); !top.keys[lower] { // a reader takes keys in any case
				top.keys[lower] = true
				continue
			}
			var path []string
			for _, l := range stack {
				if l.keys != nil {
					path = append(path, l.key)
				}
			}
			twice = append(twice, strings.Join(path, "."))
		}
	}
	return twice
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
