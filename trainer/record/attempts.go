package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

var _ session.Recorder = (*Store)(nil)

// Add records the attempt and returns when it is safe on disk. An attempt that
// would not come back as it is, to the millisecond, is refused.
func (s *Store) Add(a session.Attempt) error {
	if a.ID == "" || a.Scenario == "" {
		return errors.New("an attempt without id or scenario cannot be recorded")
	}
	answer, err := encodeAnswer(a.Answer)
	if err != nil {
		return fmt.Errorf("attempt %s: %w", a.ID, err)
	}
	verdict, err := encodeVerdict(a.Verdict)
	if err != nil {
		return fmt.Errorf("attempt %s: %w", a.ID, err)
	}
	_, err = s.db.Exec(`INSERT INTO attempt
		(id, at, learner, scenario, revision, model_version, mode, guess, hints, answer, verdict)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`,
		a.ID, a.At.UnixMilli(), a.Learner, a.Scenario, a.Revision, a.ModelVersion, a.Mode, a.Guess, a.Hints, answer, verdict)
	return s.wrap(err)
}

// Filter says which attempts are wanted; its zero value wants all.
type Filter struct {
	Learner  string
	Scenario string
	Last     int // only so many, the newest; zero for all
}

// Attempts gives the attempts asked for, oldest first.
func (s *Store) Attempts(f Filter) ([]session.Attempt, error) {
	var where []string
	var args []any
	for _, c := range []struct{ column, value string }{{"learner", f.Learner}, {"scenario", f.Scenario}} {
		if c.value != "" {
			args = append(args, c.value)
			where = append(where, fmt.Sprintf("%s = $%d", c.column, len(args)))
		}
	}
	query := `SELECT id, at, learner, scenario, revision, model_version, mode, guess, hints, answer, verdict FROM attempt`
	if where != nil {
		query += " WHERE " + strings.Join(where, " AND ")
	}
	query += " ORDER BY at DESC, id DESC"
	if f.Last > 0 {
		query += fmt.Sprintf(" LIMIT %d", f.Last)
	}
	rows, err := s.db.Query(query, args...)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var out []session.Attempt
	for rows.Next() {
		var a session.Attempt
		var at int64
		var answer, verdict string
		if err := rows.Scan(&a.ID, &at, &a.Learner, &a.Scenario, &a.Revision, &a.ModelVersion, &a.Mode, &a.Guess, &a.Hints, &answer, &verdict); err != nil {
			return nil, s.wrap(err)
		}
		a.At = time.UnixMilli(at).UTC()
		if a.Answer, err = decodeAnswer(answer); err != nil {
			return nil, fmt.Errorf("%s: attempt %s: %w", s.path, a.ID, err)
		}
		if a.Verdict, err = decodeVerdict(verdict); err != nil {
			return nil, fmt.Errorf("%s: attempt %s: %w", s.path, a.ID, err)
		}
		out = append(out, a)
	}
	if err := rows.Err(); err != nil {
		return nil, s.wrap(err)
	}
	for i, j := 0, len(out)-1; i < j; i, j = i+1, j-1 {
		out[i], out[j] = out[j], out[i]
	}
	return out, nil
}

// encodeAnswer keeps each field as the exact text that reads back to it, so
// the record does not depend on how an Answer lies in memory.
func encodeAnswer(a weld.Answer) (string, error) {
	m := map[string]string{}
	for _, f := range weld.Fields {
		m[f.Key] = f.Get(a)
	}
	b, err := json.Marshal(m)
	if err != nil {
		return "", err
	}
	back, err := decodeAnswer(string(b))
	if err != nil {
		return "", fmt.Errorf("the answer cannot be kept: %w", err)
	}
	if back != a {
		return "", errors.New("the answer holds more than its fields say and cannot be kept")
	}
	return string(b), nil
}

func decodeAnswer(text string) (weld.Answer, error) {
	var m map[string]string
	if err := json.Unmarshal([]byte(text), &m); err != nil {
		return weld.Answer{}, fmt.Errorf("the recorded answer: %w", err)
	}
	// A field younger than the record stands at the plain set-up, as it did unsaid.
	a := weld.Defaults()
	for key, value := range m {
		f, ok := weld.FieldByKey(key)
		if !ok {
			return weld.Answer{}, fmt.Errorf("the recorded answer has an unknown field %q", key)
		}
		if err := f.SetStrict(&a, value); err != nil {
			return weld.Answer{}, fmt.Errorf("the recorded answer: %w", err)
		}
	}
	return a, nil
}

// encodeVerdict keeps the verdict whole, under the names it has in Go; a test
// holds those names still.
func encodeVerdict(v scoring.Verdict) (string, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("the verdict cannot be kept: %w", err)
	}
	back, err := decodeVerdict(string(b))
	if err != nil {
		return "", err
	}
	if !reflect.DeepEqual(back, v) {
		return "", errors.New("the verdict does not survive being written and cannot be kept")
	}
	return string(b), nil
}

func decodeVerdict(text string) (scoring.Verdict, error) {
	var v scoring.Verdict
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		return v, fmt.Errorf("the recorded verdict: %w", err)
	}
	return v, nil
}
