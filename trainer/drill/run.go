package drill

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/session"
)

// Run is one learner in a drill. What it has taken is on disk before it says so, and
// another Run opened on the same file goes on where it was. Its clock stands still
// while it is closed; the time away stands in the result.
type Run struct {
	drill   Drill
	joints  []scenarios.Scenario // as the bank has them
	bank    []scenarios.Scenario
	unasked []string // joints that give no question of their kind
	made    map[string]scenarios.Scenario
	vary    Vary
	file    string
	key     []byte
	now     func() time.Time
	r       Result
	begun   time.Time     // of this sitting
	before  time.Duration // worked before it
	came    time.Time     // to the joint in hand, or to this sitting
	used    time.Duration // of the joint's time before that
}

// Sitting is what Open needs from outside.
type Sitting struct {
	Bank           []scenarios.Scenario
	Learner        string
	File           string // where the result is kept
	Key            []byte // of the class; nil: not sealed
	Vary           Vary   // nil: joints as they are written
	Program, Model string // versions
	Now            func() time.Time
}

// ErrResult says that the file that is there cannot be gone on with.
var ErrResult = errors.New("this result cannot be gone on with")

// Open begins a drill, or goes on with the one in the file; resumed says which.
func Open(d Drill, s Sitting) (run *Run, resumed bool, err error) {
	joints, err := d.Pick(s.Bank, s.Learner)
	if err != nil {
		return nil, false, err
	}
	r := &Run{drill: d, joints: joints, bank: s.Bank, made: map[string]scenarios.Scenario{}, vary: s.Vary, file: s.File, key: s.Key, now: s.Now}
	t := r.clock()
	r.begun, r.came = t, t
	old, err := ReadResult(s.File)
	switch {
	case errors.Is(err, os.ErrNotExist):
		r.r = Result{
			Format: resultFormat, Drill: d.Title, Hash: d.Hash, Learner: s.Learner, Program: s.Program, Model: s.Model, Started: t,
			Away: []Away{}, Joints: len(joints), Left: []string{}, Attempts: []Attempt{},
		}
		return r, false, r.write()
	case err != nil:
		return nil, false, fmt.Errorf("%w: %w", ErrResult, err)
	case old.Hash != d.Hash || old.Learner != s.Learner:
		return nil, false, fmt.Errorf("%w: %s holds another drill, %s of %s\nname another file with --out", ErrResult, s.File, old.Drill, old.Learner)
	case s.Key != nil && !old.Sealed(s.Key):
		return nil, false, fmt.Errorf("%w: %s was changed, or sealed with another key\nbegin in another file with --out", ErrResult, s.File)
	}
	r.r = old
	r.before, r.used = seconds(old.Working), seconds(old.HereFor)
	if !old.Done {
		r.r.Away = append(r.r.Away, Away{old.Ended, t})
	}
	return r, true, nil
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

func (r *Run) clock() time.Time { return r.now().UTC().Truncate(time.Millisecond) }

// Drill gives what is run.
func (r *Run) Drill() Drill { return r.drill }

// Result gives what has been taken so far.
func (r *Run) Result() Result { return r.r }

// Done says how many joints are done, of how many.
func (r *Run) Done() (done, all int) {
	for _, j := range r.joints {
		if r.finished(j.ID) {
			done++
		}
	}
	return done, len(r.joints)
}

// Tries gives how many coupons of a joint have been welded or questions answered, and
// whether one passed.
func (r *Run) Tries(id string) (used int, passed bool) {
	for _, a := range r.r.Tried() {
		if a.Scenario == id {
			used++
			passed = passed || a.Passed
		}
	}
	return used, passed
}

// finished says whether a joint takes no more coupons.
func (r *Run) finished(id string) bool {
	used, passed := r.Tries(id)
	return passed || used >= r.drill.Tries || used > 0 && r.Kind(id) != Weld || slices.Contains(r.r.Left, id)
}

// Next gives the joint in hand and starts its clock when it is a new one; ok is false
// when the drill is over.
func (r *Run) Next() (sc scenarios.Scenario, ok bool) {
	if r.Over() {
		return sc, false
	}
	for _, j := range r.joints {
		if r.finished(j.ID) {
			continue
		}
		made, ok := r.made[j.ID]
		if r.Kind(j.ID) != Weld {
			made, ok = j, true
		}
		if !ok { // a variation takes a second or two to draw
			made = r.drill.Make(j, r.r.Learner, r.vary)
			r.made[j.ID] = made
		}
		if r.r.Here != j.ID {
			r.r.Here, r.came, r.used = j.ID, r.clock(), 0
			_ = r.write() // so that a kill does not begin the joint's time anew; Take tells what cannot be written
		}
		return made, true
	}
	return sc, false
}

// Left is the time left; without a limit it is not limited.
type Left struct {
	Joint, Whole               time.Duration
	JointLimited, WholeLimited bool
}

// Up says whether there is none.
func (l Left) Up() bool { return l.WholeLimited && l.Whole <= 0 || l.JointLimited && l.Joint <= 0 }

// Left gives the time left for the joint in hand and for the drill.
func (r *Run) Left() Left {
	return Left{
		Joint: r.drill.PerJoint - r.here(), JointLimited: r.drill.PerJoint > 0,
		Whole: r.drill.Whole - r.working(), WholeLimited: r.drill.Whole > 0,
	}
}

func (r *Run) here() time.Duration    { return r.used + r.clock().Sub(r.came) }
func (r *Run) working() time.Duration { return r.before + r.clock().Sub(r.begun) }

// Over says whether the drill has ended: every joint done, or no time left.
func (r *Run) Over() bool {
	done, all := r.Done()
	return r.r.Done || done == all || r.drill.Whole > 0 && r.working() >= r.drill.Whole
}

// Take keeps a coupon of the joint in hand, as soon as it is welded: whoever has seen it
// has used the try. taken is false for one that came after its
// time: nothing of it is kept, and the joint is left.
func (r *Run) Take(a session.Attempt) (taken, passed bool, err error) {
	if r.Left().Up() {
		return false, false, r.Leave()
	}
	passed = r.drill.Passes(a.Verdict)
	r.r.Attempts = append(r.r.Attempts, newAttempt(a, passed))
	return true, passed, r.write()
}

// Said keeps what the learner said went wrong with the last coupon.
func (r *Run) Said(rule string) error {
	n := len(r.r.Attempts)
	if n == 0 || rule == "" {
		return nil
	}
	r.r.Attempts[n-1].Guess = rule
	return r.put() // it may have been the last coupon, and the drill done
}

// Leave goes on from the joint in hand.
func (r *Run) Leave() error {
	if !r.finished(r.r.Here) {
		r.r.Left = append(r.r.Left, r.r.Here)
	}
	return r.write()
}

// Close keeps how long the learner was at it.
func (r *Run) Close() error { return r.write() }

// write puts the result on disk; one that is done stays as it is.
func (r *Run) write() error {
	if r.r.Done {
		return nil
	}
	r.r.Ended, r.r.Working, r.r.HereFor = r.clock(), r.working().Seconds(), r.here().Seconds()
	r.r.Done = r.Over()
	return r.put()
}

func (r *Run) put() error {
	if err := r.r.Write(r.file, r.key); err != nil {
		return fmt.Errorf("the result is NOT kept: %w", err)
	}
	return nil
}
