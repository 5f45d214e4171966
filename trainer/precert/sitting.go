package precert

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Sitting is one learner taking a test. What is committed to is on disk before it is
// welded, so that nothing is welded twice; another Sitting opened on the same file goes
// on where it was. Its clock stands still while it is closed; the time away stands in
// the result, and so does what was lost when it was cut off.
type Sitting struct {
	piece  Piece
	runs   []Run
	judge  func(weld.Task, weld.Answer) (scoring.Verdict, error)
	file   string
	now    func() time.Time
	t      Taken
	begun  time.Time     // of this sitting
	before time.Duration // worked before it
}

// Seat is what Sit needs from outside.
type Seat struct {
	Bank           []scenarios.Scenario
	Learner        string
	Seed           int64 // of the conditions; 0 for the joints as they are written
	File           string
	Program, Model string // versions
	Judge          func(weld.Task, weld.Answer) (scoring.Verdict, error)
	Now            func() time.Time
}

// ErrTaken says that the file that is there cannot be gone on with.
var ErrTaken = errors.New("this test cannot be gone on with")

// Sit begins a test, or goes on with the one in the file; resumed says which.
func Sit(p Piece, s Seat) (sitting *Sitting, resumed bool, err error) {
	out := &Sitting{piece: p, judge: s.Judge, file: s.File, now: s.Now}
	out.begun = out.clock()
	old, err := ReadTaken(s.File)
	switch {
	case errors.Is(err, os.ErrNotExist):
		if out.runs, err = p.Draw(s.Bank, s.Seed, s.Judge); err != nil {
			return nil, false, err
		}
		out.t = Taken{
			Format: takenFormat, Piece: p.ID, Title: p.Title, Hash: p.Hash, Designation: p.Test.String(), Procedure: p.Procedure, Learner: s.Learner,
			Program: s.Program, Model: s.Model, Seed: s.Seed, Started: out.begun, Allowed: p.Time.Seconds(), Away: []Away{}, Blanks: p.Blanks,
		}
		for _, r := range out.runs {
			out.t.Parts = append(out.t.Parts, Part{Name: r.Name, Scenario: r.Scenario.ID, Task: r.Scenario.Task})
		}
		return out, false, out.write()
	case err != nil:
		return nil, false, fmt.Errorf("%w: %w", ErrTaken, err)
	case old.Hash != p.Hash || old.Learner != s.Learner:
		return nil, false, fmt.Errorf("%w: %s holds another test, %s of %s\nname another file with --out", ErrTaken, s.File, old.Piece, old.Learner)
	case old.Model != s.Model:
		return nil, false, fmt.Errorf("%w: %s was begun with model %s, this program has %s\nbegin again in another file", ErrTaken, s.File, old.Model, s.Model)
	}
	// The conditions are those in the file: what is drawn again must be the same.
	if out.runs, err = p.Draw(s.Bank, old.Seed, s.Judge); err != nil {
		return nil, false, err
	}
	if len(out.runs) != len(old.Parts) {
		return nil, false, fmt.Errorf("%w: %s has %d welds, the test piece %d", ErrTaken, s.File, len(old.Parts), len(out.runs))
	}
	for i, part := range old.Parts {
		if part.Task != out.runs[i].Scenario.Task {
			return nil, false, fmt.Errorf("%w: %s in %s is another joint than the test piece has\nthe file was changed", ErrTaken, part.Name, s.File)
		}
	}
	out.t, out.before = old, time.Duration(old.Working*float64(time.Second))
	if !old.Done {
		out.t.Away = append(out.t.Away, Away{old.Ended, out.begun})
		for i, part := range out.t.Parts { // committed to, and cut off before it was welded
			if len(part.Answer) == 0 || part.Digest != "" {
				continue
			}
			if err := out.finish(i); err != nil {
				return nil, false, err
			}
		}
	}
	return out, true, out.write()
}

func (s *Sitting) clock() time.Time       { return s.now().UTC().Truncate(time.Millisecond) }
func (s *Sitting) working() time.Duration { return s.before + s.clock().Sub(s.begun) }

// Piece gives what is taken.
func (s *Sitting) Piece() Piece { return s.piece }

// Taken gives the test so far.
func (s *Sitting) Taken() Taken { return s.t }

// Left is the time left.
func (s *Sitting) Left() time.Duration { return s.piece.Time - s.working() }

// Blanks is how many are left to set up on.
func (s *Sitting) Blanks() int { return max(0, s.t.Blanks-s.t.Used) }

// Over says whether everything is welded, or the time is up.
func (s *Sitting) Over() bool { return s.t.Done || s.at() < 0 || s.Left() <= 0 }

// at is the part in hand; -1 when all are welded.
func (s *Sitting) at() int {
	for i, p := range s.t.Parts {
		if p.Digest == "" {
			return i
		}
	}
	return -1
}

// Next gives the run in hand, and its place; ok is false when the test is over.
func (s *Sitting) Next() (r Run, n int, ok bool) {
	if s.Over() {
		return Run{}, 0, false
	}
	return s.runs[s.at()], s.at(), true
}

// KeepDraft keeps what is typed at the run in hand, and how long the learner has been at
// it: a crash loses no more than the field being typed.
func (s *Sitting) KeepDraft(d session.Draft) error {
	if n := s.at(); n >= 0 {
		s.t.Parts[n].Typed, s.t.Parts[n].Units = d.Typed, d.System
	}
	return s.write()
}

// DropDraft drops what is typed at the run in hand.
func (s *Sitting) DropDraft(string, string, int64) error { return s.KeepDraft(session.Draft{}) }

// Draft gives what was typed at the run in hand.
func (s *Sitting) Draft() session.Draft {
	n := s.at()
	if n < 0 {
		return session.Draft{}
	}
	sc, p := s.runs[n].Scenario, s.t.Parts[n]
	return session.Draft{Learner: s.t.Learner, Scenario: sc.ID, Seed: sc.Seed, System: p.Units, Typed: p.Typed}
}

// ErrNoBlank says that there is none left to set up on.
var ErrNoBlank = errors.New("there is no blank left\nthe next weld is the test piece")

// Blank welds a blank of the run in hand. It counts for nothing.
func (s *Sitting) Blank(a weld.Answer) (scoring.Verdict, error) {
	r, _, ok := s.Next()
	if !ok {
		return scoring.Verdict{}, ErrOver
	}
	if s.Blanks() == 0 {
		return scoring.Verdict{}, ErrNoBlank
	}
	s.t.Used++
	if err := s.write(); err != nil {
		return scoring.Verdict{}, err
	}
	return s.judge(r.Scenario.Task, a)
}

// ErrOver says that the test takes nothing more.
var ErrOver = errors.New("the test is over")

// Weld welds the run in hand, once and for all. What the model cannot answer for is not
// taken, and may be welded again.
func (s *Sitting) Weld(a weld.Answer) (scoring.Verdict, error) {
	_, n, ok := s.Next()
	if !ok {
		return scoring.Verdict{}, errors.Join(ErrOver, s.write())
	}
	s.t.Parts[n].Answer, s.t.Parts[n].At = texts(a), s.clock()
	if err := s.write(); err != nil {
		s.t.Parts[n].Answer = nil
		return scoring.Verdict{}, err
	}
	v, err := s.weld(n)
	return v, errors.Join(err, s.write())
}

func (s *Sitting) finish(n int) error {
	_, err := s.weld(n)
	return err
}

// weld welds what is committed to.
func (s *Sitting) weld(n int) (scoring.Verdict, error) {
	p := &s.t.Parts[n]
	a, _, err := p.answer()
	if err != nil {
		return scoring.Verdict{}, fmt.Errorf("%w: %s: %w", ErrTaken, p.Name, err)
	}
	v, err := s.judge(p.Task, a)
	if err != nil || v.Outcome == scoring.OutOfRange {
		p.Answer = nil
		return v, err
	}
	p.Digest, p.Typed = digest(v), nil
	return v, nil
}

// Close keeps how long the learner was at it.
func (s *Sitting) Close() error { return s.write() }

// write puts the test on disk; one that is done stays as it is.
func (s *Sitting) write() error {
	if s.t.Done {
		return nil
	}
	s.t.Ended, s.t.Working = s.clock(), s.working().Seconds()
	s.t.Done = s.Over()
	if err := s.t.Write(s.file); err != nil {
		return fmt.Errorf("the test is NOT kept: %w", err)
	}
	return nil
}

// mostDraws bounds the search for conditions under which the test can be passed.
const mostDraws = 4

// Draw gives the runs under the conditions of a seed: the first draw of each joint whose
// own good answer passes. Where none does, and for the seed 0, the joint is as it is written.
func (p Piece) Draw(bank []scenarios.Scenario, seed int64, judge func(weld.Task, weld.Answer) (scoring.Verdict, error)) ([]Run, error) {
	runs, err := p.Joints(bank)
	if err != nil || seed == 0 {
		return runs, err
	}
	proc, err := FindProcedure(p.Procedure)
	if err != nil {
		return nil, err
	}
	for from := 0; from < len(runs); {
		to := from + 1 // the two halves of a weld lie under the same conditions
		for to < len(runs) && runs[to].Scenario.ID == runs[from].Scenario.ID {
			to++
		}
		for draw := 0; draw < mostDraws && runs[from].Scenario.Varies(); draw++ {
			drawn := slices.Clone(runs[from:to])
			ok := true
			for i := range drawn {
				drawn[i].Scenario = drawn[i].Scenario.Draw(seed, draw)
				ok = ok && passes(drawn[i].Scenario, proc, judge)
			}
			if ok {
				copy(runs[from:to], drawn)
				break
			}
		}
		from = to
	}
	return runs, nil
}

// passes says whether a joint's own good answer passes.
func passes(sc scenarios.Scenario, proc Procedure, judge func(weld.Task, weld.Answer) (scoring.Verdict, error)) bool {
	lines := proc.Check(sc.Task, sc.Model, weld.Metric)
	if len(Worst(lines)) > 0 {
		return false
	}
	v, err := judge(sc.Task, sc.Model)
	if err != nil {
		return false
	}
	ok, _ := decide([]Judged{{Welded: true, Verdict: v, Procedure: lines, Sheet: scoring.Inspect(sc.Task, v.Coupon, visual.Test)}})
	return ok
}
