// Package session walks the learner's path through one joint: read the sheet,
// commit to an answer, weld, look, say what went wrong, weld again, record.
// It knows no screen and no file.
package session

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
)

// Judge welds and judges an answer; scoring.Judge in the program, a fake in tests.
type Judge func(weld.Task, weld.Answer) (scoring.Verdict, error)

// Attempt is one welded coupon, as it is recorded: enough to show it again as it
// was, and to weld it again, whatever became of its scenario since.
type Attempt struct {
	ID           string    // unique
	Started      time.Time // when the learner began on this coupon; zero when not known
	At           time.Time // when the answer was committed
	Learner      string
	Scenario     string
	Revision     int
	Seed         int64     // of the variation; 0 for the joint as its file has it
	Title        string    // of the scenario; empty in the first records
	Task         weld.Task // as it was welded; zero in the first records
	ModelVersion string
	Mode         string // self-study, drill, test
	Answer       weld.Answer
	Run          *arc.Run // what the hand did, of a coupon welded live, whose Answer is what that comes to; else nil
	Verdict      scoring.Verdict
	Guess        string // what the learner said went wrong, a rule id or Nothing; empty when not asked
	Hints        int
}

// Recorder keeps attempts; Add returns only when the attempt is safe on disk.
type Recorder interface {
	Add(Attempt) error
}

// Options is what a session needs from outside.
type Options struct {
	Judge    Judge
	Save     Save     // nil: the smallest change is not looked for
	SaveRun  SaveRun  // the same, of a hand's motion
	DabTime  DabTime  // nil: the time for a dab is not looked for
	Map      Map      // nil: no window is mapped
	Recorder Recorder // nil: coupons are not kept
	Drafts   Drafts   // nil: what is typed is not kept
	System   weld.System
	Learner  string
	Mode     string
	NoHints  bool
	Now      func() time.Time
	NewID    func() string
}

// Session is one learner at one joint. It is not safe for use by several
// goroutines; Job says what may run beside it.
type Session struct {
	sc       scenarios.Scenario
	opt      Options
	entries  []Entry
	answer   weld.Answer
	started  time.Time // on the coupon that comes next
	hinted   map[string]bool
	tries    []Attempt
	pending  bool // the last try waits for the learner's guess before it is recorded
	recorded bool // the last try is on disk
	guess    *Guess
	searched bool // the smallest change has been looked for
	rescue   *scoring.Rescue
	kept     Draft                    // what Drafts holds of this joint
	reviewed bool                     // an old coupon, only looked at
	windows  map[Axes]*scoring.Window // around the last try's answer
	line     *scoring.Run             // the last try's, where it was welded live
	hand     *HandFound               // the smallest change of its motion, looked for
}

// Entry is a field the learner decides, with what has been typed so far.
type Entry struct {
	Field weld.Field
	Text  string // as typed; empty until the learner commits
	Err   error  // why the text cannot be taken; nil when it is empty or good
}

// Ready says whether the entry holds a value to weld with.
func (e Entry) Ready() bool { return e.Text != "" && e.Err == nil }

// New starts a session. Every asked field is empty: the learner has to commit.
func New(sc scenarios.Scenario, opt Options) *Session {
	s := &Session{sc: sc, opt: opt, answer: sc.Given, started: now(opt), hinted: map[string]bool{}}
	for _, key := range sc.Ask {
		if f, ok := weld.FieldByKey(key); ok {
			s.entries = append(s.entries, Entry{Field: f})
		}
	}
	return s
}

// now is the time as the record keeps it.
func now(opt Options) time.Time { return opt.Now().UTC().Truncate(time.Millisecond) }

// Scenario gives the joint.
func (s *Session) Scenario() scenarios.Scenario { return s.sc }

// System gives the units the learner reads and types.
func (s *Session) System() weld.System { return s.opt.System }

// Entries gives the asked fields in the order they are asked.
func (s *Session) Entries() []Entry { return slices.Clone(s.entries) }

// Set keeps what was typed for an asked field and says why it cannot be welded
// with, if so. Empty text takes the field back to unset.
func (s *Session) Set(key, text string) error {
	i := slices.IndexFunc(s.entries, func(e Entry) bool { return e.Field.Key == key })
	if i < 0 {
		return fmt.Errorf("this joint does not ask for %s", key)
	}
	e := &s.entries[i]
	e.Text, e.Err = strings.TrimSpace(text), nil
	if e.Text != "" {
		a := s.answer
		if e.Err = e.Field.Set(&a, e.Text, s.opt.System); e.Err == nil {
			e.Err = s.over(e.Field.Key, a)
		}
		if e.Err == nil {
			s.answer = a
		}
	}
	return e.Err
}

// over says that a field asks more of the machine than it gives.
func (s *Session) over(key string, a weld.Answer) error {
	var over *weld.FieldError
	if err := s.sc.Within(a); errors.As(err, &over) && over.Key == key {
		return over
	}
	return nil
}

// Answer gives what would be welded: what is given, overwritten by what is set.
func (s *Session) Answer() weld.Answer { return s.answer }

// Missing gives the asked fields that hold no value yet.
func (s *Session) Missing() []weld.Field {
	var out []weld.Field
	for _, e := range s.entries {
		if !e.Ready() {
			out = append(out, e.Field)
		}
	}
	return out
}

// Helps says whether hints are given.
func (s *Session) Helps() bool { return !s.opt.NoHints }

// Hint gives the field's hint and counts it, once.
func (s *Session) Hint(key string) string {
	f, ok := weld.FieldByKey(key)
	if !ok {
		return ""
	}
	if s.opt.NoHints {
		return "There are no hints here."
	}
	s.hinted[key] = true
	return f.Hint
}

// Followed counts a good hand that was followed as a hint.
func (s *Session) Followed() { s.hinted["good hand"] = true }

// Look gives what an instructor would look at first and counts it as a hint;
// empty when the joint has nothing to say.
func (s *Session) Look() string {
	if s.sc.Coaching.Look != "" {
		s.hinted["coaching.look"] = true
	}
	return s.sc.Said(s.sc.Coaching.Look, s.opt.System)
}

// Worked gives what a good hand sets in a field, and why, and counts it as a hint;
// ok is false when the joint is not worked through.
func (s *Session) Worked(key string) (choice, reason string, ok bool) {
	f, known := weld.FieldByKey(key)
	reason = s.sc.Worked[key]
	if !known || reason == "" {
		return "", "", false
	}
	s.hinted["worked."+key] = true
	return f.Show(s.sc.Model, s.System()), reason, true
}

// Advice gives why this joint behaves as it does and what a good hand would
// try, and counts it as a hint for the coupons that follow.
func (s *Session) Advice() []string {
	var out []string
	for _, t := range []string{s.sc.Coaching.Why, s.sc.Coaching.Try} {
		if t != "" {
			out = append(out, s.sc.Said(t, s.opt.System))
		}
	}
	if out != nil {
		s.hinted["coaching.try"] = true
	}
	return out
}

// Hints counts the different hints taken at this joint.
func (s *Session) Hints() int { return len(s.hinted) }

// A MissingError names the fields that still hold no value.
type MissingError struct{ Fields []weld.Field }

func (e *MissingError) Error() string {
	labels := make([]string, len(e.Fields))
	for i, f := range e.Fields {
		labels[i] = f.Label
	}
	return "still to decide: " + strings.Join(labels, ", ")
}

// Prepare makes the weld of the present answer, or says what is missing.
func (s *Session) Prepare() (Job, error) {
	if m := s.Missing(); m != nil {
		return Job{}, &MissingError{m}
	}
	return Job{s.opt.Judge, s.sc.Task, s.answer, now(s.opt), s.opt.NewID()}, nil
}

// Begun gives the attempt that a weld under way becomes, without its verdict.
func (s *Session) Begun(j Job) Attempt {
	return Attempt{
		ID: j.id, Started: s.started, At: j.at, Learner: s.opt.Learner,
		Scenario: s.sc.ID, Revision: s.sc.Revision, Seed: s.sc.Seed, Title: s.sc.Title, Task: j.task,
		ModelVersion: scoring.ModelVersion, Mode: s.opt.Mode, Answer: j.answer, Hints: s.Hints(),
	}
}

// Take puts the finished weld among the tries. It waits there for Say, or for
// Close, to be recorded; a coupon that is not scored is recorded at once. The
// error says that the try before it, or this one, could not be recorded.
func (s *Session) Take(j Job, v scoring.Verdict) (Attempt, error) {
	a := s.Begun(j)
	a.Verdict = v
	return s.take(a)
}

func (s *Session) take(a Attempt) (Attempt, error) {
	err := s.Close()
	s.tries = append(s.tries, a)
	s.started = now(s.opt)
	s.pending, s.recorded, s.guess, s.line, s.hand = true, false, nil, nil, nil
	s.searched, s.rescue, s.windows = false, nil, map[Axes]*scoring.Window{}
	if a.Verdict.Outcome == scoring.OutOfRange {
		err = errors.Join(err, s.Close())
	}
	return a, err
}

// Weld prepares, runs and takes a weld. Cancelling ctx leaves the session as it was.
func (s *Session) Weld(ctx context.Context) (Attempt, error) {
	job, err := s.Prepare()
	if err != nil {
		return Attempt{}, err
	}
	v, err := Await(ctx, job.Start())
	if err != nil {
		return Attempt{}, err
	}
	return s.Take(job, v)
}

// Search makes the look for the smallest change that would have saved the last
// coupon; ok is false when it is not rejected, not yet explained, welded by hand, or nobody can look.
func (s *Session) Search() (q Search, ok bool) {
	last, welded := s.Last()
	if !welded || last.Run != nil || s.opt.Save == nil || !s.Told() || s.searched || last.Verdict.Outcome != scoring.Reject {
		return Search{}, false
	}
	fields := slices.Clone(s.sc.Ask)
	if s.sc.MostAmps > 0 && last.Verdict.Scores.LackOfFusion < scoring.Limit { // more than the machine gives is no help
		fields = slices.DeleteFunc(fields, func(key string) bool { return key == "amps" || key == "amps_end" })
	}
	return Search{s.opt.Save, s.sc.Task, last.Answer, fields, s.opt.System, last.ID}, true
}

// Found takes what a search found, unless another coupon has been welded since.
func (s *Session) Found(q Search, r *scoring.Rescue) {
	if last, ok := s.Last(); ok && last.ID == q.try {
		s.searched, s.rescue = true, r
	}
}

// Rescue gives the smallest change that would have saved the last coupon, nil
// for none within reach; done is false before Found.
func (s *Session) Rescue() (r *scoring.Rescue, done bool) { return s.rescue, s.searched }

// Rescued runs the search for the last coupon to its end.
func (s *Session) Rescued(ctx context.Context) error {
	q, ok := s.Search()
	if !ok {
		return nil
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	r, err := Await(ctx, q.Start(ctx))
	if err != nil {
		return err
	}
	s.Found(q, r)
	return nil
}

// Maps says whether windows are mapped at all: not around what a hand did.
func (s *Session) Maps() bool {
	last, _ := s.Last()
	return s.opt.Map != nil && last.Run == nil
}

// Survey makes the mapping of two settings around the last coupon's answer; ok is
// false when it is not yet explained, mapped already, or nobody can map.
func (s *Session) Survey(x Axes) (q Survey, ok bool) {
	last, welded := s.Last()
	told := s.Told() || last.Verdict.Outcome == scoring.OutOfRange
	if !welded || !s.Maps() || !told || s.windows[x] != nil {
		return Survey{}, false
	}
	return Survey{s.opt.Map, s.sc.Task, last.Answer, x, last.ID}, true
}

// Mapped takes the window of a survey, unless another coupon has been welded since.
func (s *Session) Mapped(q Survey, w *scoring.Window) {
	if last, ok := s.Last(); ok && last.ID == q.try {
		s.windows[q.axes] = w
	}
}

// Window gives the window around the last coupon's answer, nil before Mapped.
func (s *Session) Window(x Axes) *scoring.Window { return s.windows[x] }

// WindowNow runs the survey to its end, unless the window is mapped already; it is nil
// where none can be.
func (s *Session) WindowNow(ctx context.Context, x Axes) (*scoring.Window, error) {
	if q, ok := s.Survey(x); ok {
		ctx, cancel := context.WithCancel(ctx)
		defer cancel()
		w, err := Await(ctx, q.Start(ctx))
		if err != nil {
			return nil, err
		}
		s.Mapped(q, w)
	}
	return s.Window(x), nil
}

// Tries gives the coupons welded so far, oldest first.
func (s *Session) Tries() []Attempt { return slices.Clone(s.tries) }

// Last gives the coupon welded last; ok is false when there is none.
func (s *Session) Last() (a Attempt, ok bool) {
	if len(s.tries) == 0 {
		return Attempt{}, false
	}
	return s.tries[len(s.tries)-1], true
}

// Recorded says whether the last coupon is on disk.
func (s *Session) Recorded() bool { return s.recorded }

// Keeps says whether coupons are recorded at all.
func (s *Session) Keeps() bool { return s.opt.Recorder != nil }

// A RecordError says that a coupon could not be recorded. The weld itself stands.
type RecordError struct{ Err error }

func (e *RecordError) Error() string { return "this coupon is NOT recorded: " + e.Err.Error() }

func (e *RecordError) Unwrap() error { return e.Err }

// Close records a coupon that still waits for the learner's guess. The session
// may go on afterwards.
func (s *Session) Close() error {
	if !s.pending {
		return nil
	}
	s.pending = false
	if s.opt.Recorder == nil {
		return nil
	}
	if err := s.opt.Recorder.Add(s.tries[len(s.tries)-1]); err != nil {
		return &RecordError{err}
	}
	s.recorded = true
	return s.Keep() // drops the draft of what is a recorded coupon now
}

// Dirty says whether something was typed since the last weld.
func (s *Session) Dirty() bool {
	last, ok := s.Last()
	for _, e := range s.entries {
		if e.Text == "" {
			continue
		}
		if !ok || e.Err != nil || e.Field.Get(s.answer) != e.Field.Get(last.Set()) {
			return true
		}
	}
	return false
}
