package record

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// exportFormat is the number an export begins with; it changes when an older
// program could misread a newer file.
const exportFormat = 1

// exported is one attempt in an export. Nothing of it is left out: importing it
// gives the attempt back as it was.
type exported struct {
	ID           string          `json:"id"`
	Started      string          `json:"started"` // RFC 3339, UTC, milliseconds; empty when not known
	At           string          `json:"at"`
	Learner      string          `json:"learner"`
	Scenario     string          `json:"scenario"`
	Revision     int             `json:"revision"`
	Seed         int64           `json:"seed"`
	Title        string          `json:"title"`
	Task         *weld.Task      `json:"task"` // null when not known
	ModelVersion string          `json:"model_version"`
	Mode         string          `json:"mode"`
	Guess        string          `json:"guess"`
	Hints        int             `json:"hints"`
	Answer       json.RawMessage `json:"answer"`        // field key to exact text
	Run          json.RawMessage `json:"run,omitempty"` // what the hand did, packed, of a coupon welded live
	Verdict      scoring.Verdict `json:"verdict"`
}

// exportedAnswer is one answered question in an export, whole as well.
type exportedAnswer struct {
	ID           string   `json:"id"`
	At           string   `json:"at"`
	Learner      string   `json:"learner"`
	Scenario     string   `json:"scenario"`
	Revision     int      `json:"revision"`
	Kind         string   `json:"kind"`
	Seed         int64    `json:"seed"`
	ModelVersion string   `json:"model_version"`
	Replies      []string `json:"replies"`
	Rules        []string `json:"rules"`
	Right        float64  `json:"right"`
}

// timeFormat is exact to what the record keeps.
const timeFormat = "2006-01-02T15:04:05.000Z"

// Stamp writes a time as exports do; the zero time is empty.
func Stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(timeFormat)
}

// Export writes the attempts asked for, and the questions their learners answered, as one
// JSON object that Import takes, an attempt or an answer a line.
func (s *Store) Export(out io.Writer, f Filter) error {
	w := bufio.NewWriter(out)
	fmt.Fprintf(w, `{"puddlewise_record": %d, "attempts": [`, exportFormat)
	sep := "\n"
	err := s.Each(f, func(a session.Attempt) error {
		b, err := newExported(a)
		if err != nil {
			return err
		}
		w.WriteString(sep)
		sep = ",\n"
		_, err = w.Write(b)
		return err
	})
	if err != nil {
		return err
	}
	rest, args := "WHERE learner = $1 ORDER BY at, id", []any{f.Learner}
	if f.Learner == "" && !f.Own {
		rest, args = "ORDER BY at, id", nil
	}
	answers, err := s.answered(rest, args...)
	if err != nil {
		return err
	}
	for i, a := range answers {
		sep := ",\n"
		if i == 0 {
			sep = "\n], \"answers\": [\n"
		}
		b, err := json.Marshal(exportedAnswer{
			ID: a.ID, At: Stamp(a.At), Learner: a.Learner, Scenario: a.Scenario, Revision: a.Revision, Kind: a.Kind, Seed: a.Seed,
			ModelVersion: a.ModelVersion, Replies: a.Replies, Rules: a.Rules, Right: a.Right,
		})
		if err != nil {
			return err
		}
		w.WriteString(sep)
		w.Write(b)
	}
	w.WriteString("\n]}\n")
	return w.Flush()
}

func newExported(a session.Attempt) ([]byte, error) {
	answer, err := encodeAnswer(a.Answer)
	if err != nil {
		return nil, err
	}
	e := exported{
		ID: a.ID, Started: Stamp(a.Started), At: Stamp(a.At), Learner: a.Learner,
		Scenario: a.Scenario, Revision: a.Revision, Seed: a.Seed, Title: a.Title,
		ModelVersion: a.ModelVersion, Mode: a.Mode, Guess: a.Guess, Hints: a.Hints,
		Answer: json.RawMessage(answer), Verdict: a.Verdict,
	}
	if a.Task != (weld.Task{}) {
		e.Task = &a.Task
	}
	if a.Run != nil {
		if e.Run, err = a.Run.Pack(); err != nil {
			return nil, err
		}
	}
	return json.Marshal(e)
}
