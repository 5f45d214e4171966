package record

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"time"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/session"
)

var (
	_ session.Recorder = (*Store)(nil)
	_ session.Drafts   = (*Store)(nil)
	_ session.Past     = (*Store)(nil)
)

// Add records the attempt and returns when it is safe on disk. An attempt that
// would not come back as it is, to the millisecond, is refused.
func (s *Store) Add(a session.Attempt) error {
	if a.ID == "" || a.Scenario == "" {
		return errors.New("an attempt without id or scenario cannot be recorded")
	}
	r, err := newRow(a)
	if err == nil {
		err = s.insert("attempt", r)
	}
	if err != nil {
		return fmt.Errorf("attempt %s: %w", a.ID, err)
	}
	return nil
}

// row is an attempt as the database holds it: the brief, and as text the rest.
type row struct {
	session.Brief
	title, task, answer, verdict, run string
}

func newRow(a session.Attempt) (r row, err error) {
	r.Brief, r.title = session.NewBrief(a), a.Title
	if a.Task != (weld.Task{}) {
		if r.task, err = encode("joint", a.Task); err != nil {
			return r, err
		}
	}
	if r.answer, err = encodeAnswer(a.Answer); err != nil {
		return r, err
	}
	if a.Run != nil {
		if r.run, err = encodeRun(*a.Run); err != nil {
			return r, err
		}
	}
	r.verdict, err = encode("verdict", a.Verdict)
	return r, err
}

func (r row) attempt() (session.Attempt, error) {
	b := r.Brief
	a := session.Attempt{
		ID: b.ID, Started: b.Started, At: b.At, Learner: b.Learner,
		Scenario: b.Scenario, Revision: b.Revision, Seed: b.Seed, Title: r.title,
		ModelVersion: b.ModelVersion, Mode: b.Mode, Guess: b.Guess, Hints: b.Hints,
	}
	var err error
	if r.task != "" {
		if a.Task, err = decode[weld.Task]("joint", r.task); err != nil {
			return a, err
		}
	}
	if a.Answer, err = decodeAnswer(r.answer); err != nil {
		return a, err
	}
	if r.run != "" {
		if a.Run, err = decodeRun([]byte(r.run)); err != nil {
			return a, fmt.Errorf("the recorded run: %w", err)
		}
	}
	a.Verdict, err = decode[scoring.Verdict]("verdict", r.verdict)
	return a, err
}

// briefColumns are those of the index attempt_brief, wholeColumns the others.
const (
	briefColumns = "id, started, at, learner, scenario, revision, seed, joint, metal, model_version, mode, guess, hints, outcome, burn_through, lack_of_fusion, oxide, finding, told, live"
	wholeColumns = "title, task, answer, verdict, run"
)

// insert puts a row into the table of attempts, or one like it.
func (s *Store) insert(table string, r row) error {
	b := r.Brief
	told := make([]string, len(b.Told))
	for i, t := range b.Told {
		told[i] = string(t.Severity) + ":" + t.Rule
	}
	_, err := s.db.Exec("INSERT INTO "+table+" ("+briefColumns+", "+wholeColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, $25)`,
		b.ID, milliseconds(b.Started), milliseconds(b.At), b.Learner, b.Scenario, b.Revision, b.Seed, b.Joint, b.Metal,
		b.ModelVersion, b.Mode, b.Guess, b.Hints, b.Outcome, b.Scores.BurnThrough, b.Scores.LackOfFusion, b.Scores.Oxide,
		b.Finding, strings.Join(told, " "), b.Live, r.title, r.task, r.answer, r.verdict, r.run)
	return s.wrap(err)
}

// milliseconds since 1970; 0 for the zero time.
func milliseconds(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// Filter says which attempts are wanted; its zero value wants all.
type Filter struct {
	ID       string
	Learner  string
	Scenario string
	Last     int // only so many, the newest; zero for all
	// Own takes Learner at its word: who has no name is not everybody.
	Own bool

	at     int64 // of that very millisecond; zero for all
	before int64 // older than that millisecond; zero for all
}

// Briefs gives the attempts asked for in brief, oldest first. A hundred thousand
// take about a second, the last few hundred of them no time.
func (s *Store) Briefs(f Filter) ([]session.Brief, error) {
	var out []session.Brief
	err := s.rows(f, false, func(r row) error {
		out = append(out, r.Brief)
		return nil
	})
	if f.Last > 0 {
		slices.Reverse(out)
	}
	return out, err
}

// Recent gives the last so many attempts of a learner in brief, oldest first.
func (s *Store) Recent(learner string, n int) ([]session.Brief, error) {
	return s.Briefs(Filter{Learner: learner, Own: true, Last: n})
}

const standingQuery = "SELECT scenario, COUNT(*), SUM(CASE WHEN outcome = 'accept' THEN 1 ELSE 0 END), MAX(at) " +
	"FROM attempt INDEXED BY attempt_standing WHERE learner = $1 GROUP BY scenario ORDER BY scenario"

// Standings says of every joint a learner tried how it stands, in the order of ids.
func (s *Store) Standings(learner string) ([]session.Standing, error) {
	rows, err := s.db.Query(standingQuery, learner)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var out []session.Standing
	var last []Filter
	for rows.Next() {
		var st session.Standing
		f := Filter{Learner: learner, Own: true, Last: 1}
		if err := rows.Scan(&f.Scenario, &st.Tried, &st.Accepted, &f.at); err != nil {
			return nil, s.wrap(err)
		}
		out, last = append(out, st), append(last, f)
	}
	if err := rows.Err(); err != nil {
		return nil, s.wrap(err)
	}
	rows.Close()
	for i, f := range last {
		err := s.rows(f, false, func(r row) error {
			out[i].Last = r.Brief
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// Attempt gives one attempt whole.
func (s *Store) Attempt(id string) (session.Attempt, error) {
	all, err := s.Attempts(Filter{ID: id})
	if err != nil {
		return session.Attempt{}, err
	}
	if len(all) == 0 {
		return session.Attempt{}, fmt.Errorf("%s holds no attempt %q", s.path, id)
	}
	return all[0], nil
}

// Before gives the coupon of a joint that a learner welded last before a time; ok is
// false when there is none.
func (s *Store) Before(learner, scenario string, at time.Time) (a session.Attempt, ok bool, err error) {
	all, err := s.Attempts(Filter{Learner: learner, Own: true, Scenario: scenario, before: at.UnixMilli(), Last: 1})
	if err != nil || len(all) == 0 {
		return session.Attempt{}, false, err
	}
	return all[0], true, nil
}

// Find gives the ids that begin so, oldest first; for an empty beginning the last.
func (s *Store) Find(beginning string) (ids []string, err error) {
	if beginning == "" {
		last, err := s.Briefs(Filter{Last: 1})
		for _, b := range last {
			ids = append(ids, b.ID)
		}
		return ids, err
	}
	rows, err := s.db.Query("SELECT id FROM attempt INDEXED BY attempt_brief WHERE substr(id, 1, length($1)) = $1 ORDER BY at, id", beginning)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, s.wrap(err)
		}
		if id == beginning {
			return []string{id}, nil
		}
		ids = append(ids, id)
	}
	return ids, s.wrap(rows.Err())
}

// Attempts gives the attempts asked for, oldest first.
func (s *Store) Attempts(f Filter) ([]session.Attempt, error) {
	var out []session.Attempt
	err := s.Each(f, func(a session.Attempt) error {
		out = append(out, a)
		return nil
	})
	if f.Last > 0 {
		slices.Reverse(out)
	}
	return out, err
}

// Each hands on the attempts asked for one by one, so that a large record need not
// fit into memory: oldest first, or with Last newest first. What it calls must not
// use the store.
func (s *Store) Each(f Filter, do func(session.Attempt) error) error {
	return s.rows(f, true, func(r row) error {
		a, err := r.attempt()
		if err != nil {
			return fmt.Errorf("%s: attempt %s: %w", s.path, a.ID, err)
		}
		return do(a)
	})
}

// rows hands on the rows asked for in the order of Each; in brief they hold no text.
func (s *Store) rows(f Filter, whole bool, each func(row) error) error {
	query, args := f.query(whole)
	rows, err := s.db.Query(query, args...)
	if err != nil {
		return s.wrap(err)
	}
	defer rows.Close()
	for rows.Next() {
		var r row
		var started, at int64
		var told string
		into := []any{
			&r.ID, &started, &at, &r.Learner, &r.Scenario, &r.Revision, &r.Seed, &r.Joint, &r.Metal, &r.ModelVersion, &r.Mode, &r.Guess, &r.Hints,
			&r.Outcome, &r.Scores.BurnThrough, &r.Scores.LackOfFusion, &r.Scores.Oxide, &r.Finding, &told, &r.Live,
		}
		if whole {
			into = append(into, &r.title, &r.task, &r.answer, &r.verdict, &r.run)
		}
		if err := rows.Scan(into...); err != nil {
			return s.wrap(err)
		}
		r.At = time.UnixMilli(at).UTC()
		if started != 0 {
			r.Started = time.UnixMilli(started).UTC()
		}
		for _, t := range strings.Fields(told) {
			severity, rule, _ := strings.Cut(t, ":")
			r.Told = append(r.Told, session.Told{Rule: rule, Severity: scoring.Severity(severity)})
		}
		if err := each(r); err != nil {
			return err
		}
	}
	return s.wrap(rows.Err())
}

// query reads the index alone when the rest of the rows is not wanted.
func (f Filter) query(whole bool) (query string, args []any) {
	query = "SELECT " + briefColumns + " FROM attempt INDEXED BY attempt_brief"
	if whole {
		query = "SELECT " + briefColumns + ", " + wholeColumns + " FROM attempt"
	}
	and := " WHERE "
	for _, c := range []struct {
		column, value string
		always        bool
	}{{"id", f.ID, false}, {"learner", f.Learner, f.Own}, {"scenario", f.Scenario, false}} {
		if c.value != "" || c.always {
			args = append(args, c.value)
			query += fmt.Sprintf("%s%s = $%d", and, c.column, len(args))
			and = " AND "
		}
	}
	if f.at != 0 {
		args = append(args, f.at)
		query += fmt.Sprintf("%sat = $%d", and, len(args))
		and = " AND "
	}
	if f.before != 0 {
		args = append(args, f.before)
		query += fmt.Sprintf("%sat < $%d", and, len(args))
	}
	if f.Last > 0 {
		return query + fmt.Sprintf(" ORDER BY at DESC, id DESC LIMIT %d", f.Last), args
	}
	return query + " ORDER BY at, id", args
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

// encodeRun keeps a live run as it is packed.
func encodeRun(r arc.Run) (string, error) {
	b, err := r.Pack()
	if err != nil {
		return "", fmt.Errorf("the run cannot be kept: %w", err)
	}
	back, err := decodeRun(b)
	if err != nil {
		return "", fmt.Errorf("the run cannot be kept: %w", err)
	}
	if !reflect.DeepEqual(*back, r) {
		return "", errors.New("the run does not survive being written and cannot be kept")
	}
	return string(b), nil
}

func decodeRun(b []byte) (*arc.Run, error) {
	r, err := arc.Unpack(b)
	return &r, err
}

// encode keeps a joint or a verdict whole, under the names it has in Go; a test
// holds those names still.
func encode[T any](what string, v T) (string, error) {
	b, err := json.Marshal(v)
	if err != nil {
		return "", fmt.Errorf("the %s cannot be kept: %w", what, err)
	}
	back, err := decode[T](what, string(b))
	if err != nil {
		return "", err
	}
	if !reflect.DeepEqual(back, v) {
		return "", fmt.Errorf("the %s does not survive being written and cannot be kept", what)
	}
	return string(b), nil
}

func decode[T any](what, text string) (T, error) {
	var v T
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		return v, fmt.Errorf("the recorded %s: %w", what, err)
	}
	return v, nil
}
