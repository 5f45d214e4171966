package drill

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
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
	judge   session.Judge
	file    string
	key     []byte
	now     func() time.Time
	r       Result
	begun   time.Time     // of this sitting; zero: the clock stands still
	before  time.Duration // worked before it
	came    time.Time     // to the joint in hand, or to this sitting
	used    time.Duration // of the joint's time before that
	ticked  time.Time     // last, or began
	kept    time.Time     // last on disk
	owed    *Attempt      // was being welded when the drill was closed, and is by now
}

// Sitting is what Open needs from outside.
type Sitting struct {
	Bank           []scenarios.Scenario
	Learner        string
	File           string        // where the result is kept
	Key            []byte        // of the class; nil: not sealed
	Vary           Vary          // nil: joints as they are written
	Judge          session.Judge // welds the coupon that was being welded when the drill was closed
	Program, Model string        // versions
	Now            func() time.Time
}

// ErrResult says that the file that is there cannot be gone on with.
var ErrResult = errors.New("this result cannot be gone on with")

// Open begins a drill, or goes on with the one in the file; resumed says which.
func Open(d Drill, s Sitting) (run *Run, resumed bool, err error) {
	run, resumed, err = Look(d, s)
	if err == nil {
		err = run.Start()
	}
	return run, resumed, err
}

// Look gives a run as it stands on disk; resumed says whether it stands there at all.
// Until Start its clock stands still and nothing is written.
func Look(d Drill, s Sitting) (run *Run, resumed bool, err error) {
	joints, err := d.Pick(s.Bank, s.Learner)
	if err != nil {
		return nil, false, err
	}
	r := &Run{drill: d, joints: joints, bank: s.Bank, made: map[string]scenarios.Scenario{}, vary: s.Vary, judge: s.Judge, file: s.File, key: s.Key, now: s.Now}
	old, err := ReadResult(s.File)
	switch {
	case errors.Is(err, os.ErrNotExist):
		r.r = Result{
			Format: resultFormat, Drill: d.Title, Hash: d.Hash, Learner: s.Learner, Program: s.Program, Model: s.Model,
			Away: []Away{}, Joints: len(joints), Left: []string{}, Attempts: []Attempt{},
		}
		return r, false, nil
	case err != nil:
		return nil, false, fmt.Errorf("%w: %w", ErrResult, err)
	case old.Hash != d.Hash || old.Learner != s.Learner:
		return nil, false, fmt.Errorf("%w: %s holds another drill, %s of %s\nname another file with --out", ErrResult, s.File, old.Drill, old.Learner)
	case s.Key != nil && !old.Sealed(s.Key):
		return nil, false, fmt.Errorf("%w: %s was changed, or sealed with another key\nbegin in another file with --out", ErrResult, s.File)
	}
	r.r = old
	r.before, r.used = seconds(old.Working), seconds(old.HereFor)
	return r, true, nil
}

// Start lets the clock go on. A coupon that was being welded when the drill was closed
// is welded now, and counts.
func (r *Run) Start() error {
	t := r.clock()
	r.begun, r.came, r.ticked, r.kept = t, t, t, t
	if r.r.Started.IsZero() {
		r.r.Started = t
		return r.write()
	}
	if !r.r.Done {
		r.r.Away = append(r.r.Away, Away{r.r.Ended, t})
	}
	if r.r.Welding == nil {
		return nil
	}
	w := *r.r.Welding
	if _, err := w.Settings(); err != nil {
		return fmt.Errorf("%w: %s: the coupon that was being welded: %w", ErrResult, r.file, err)
	}
	r.r.Welding = nil
	if v, answer, err := w.again(r.judge); err == nil && isTry(v, w.Run != nil) {
		w.set(answer)
		w.take(v, r.drill.Passes(v))
		r.r.Attempts = append(r.r.Attempts, w)
		r.owed = &w
	}
	return r.write()
}

// Owed gives the coupon that was being welded when the drill was closed, as it came out;
// nil when there was none.
func (r *Run) Owed() *Attempt { return r.owed }

// Closed says how long the drill has been closed.
func (r *Run) Closed() time.Duration { return r.clock().Sub(r.r.Ended) }

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

// Joints gives the joints in the learner's order, as the bank has them.
func (r *Run) Joints() []scenarios.Scenario { return r.joints }

// Place counts the joints up to one of them, in the learner's order.
func (r *Run) Place(id string) int {
	return 1 + slices.IndexFunc(r.joints, func(sc scenarios.Scenario) bool { return sc.ID == id })
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
	return passed || used >= r.drill.Tries || used > 0 && Asks(r.Kind(id)) || slices.Contains(r.r.Left, id)
}

// More says whether a joint takes another coupon.
func (r *Run) More(id string) bool { return !r.finished(id) && !r.Left().Up() }

// Next gives the joint in hand and starts its clock when it is a new one; one whose time
// is up is left. ok is false when the drill is over.
func (r *Run) Next() (sc scenarios.Scenario, ok bool) {
	if r.Over() {
		return sc, false
	}
	for _, j := range r.joints {
		if r.finished(j.ID) {
			continue
		}
		if j.ID == r.r.Here && r.Left().Up() {
			_ = r.Leave() // as below
			continue
		}
		made, ok := r.made[j.ID]
		if Asks(r.Kind(j.ID)) {
			made, ok = j, true
		}
		if !ok { // a variation takes a second or two to draw
			made = r.drill.Make(j, r.r.Learner, r.vary)
			r.made[j.ID] = made
		}
		if r.r.Here != j.ID {
			r.r.Here, r.r.Typed, r.came, r.used = j.ID, nil, r.clock(), 0
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

func (r *Run) here() time.Duration    { return r.used + r.since(r.came) }
func (r *Run) working() time.Duration { return r.before + r.since(r.begun) }

// since is the time since t, none while the clock stands still.
func (r *Run) since(t time.Time) time.Duration {
	if r.begun.IsZero() {
		return 0
	}
	return r.clock().Sub(t)
}

// Over says whether the drill has ended: every joint done, or no time left, and no coupon
// being welded.
func (r *Run) Over() bool {
	done, all := r.Done()
	return r.r.Done || r.r.Welding == nil && (done == all || r.drill.Whole > 0 && r.working() >= r.drill.Whole)
}

// Begin keeps that a coupon of the joint in hand is being welded, before it is: whoever
// ends the program from here on has used the try. begun is false where the time is up:
// the joint is left. Take or Drop follows.
func (r *Run) Begin(a session.Attempt) (begun bool, err error) {
	if r.Left().Up() {
		return false, r.Leave()
	}
	w := newAttempt(a)
	r.r.Welding = &w
	if err := r.write(); err != nil {
		r.r.Welding = nil
		return false, err
	}
	return true, nil
}

// IsTry says whether a coupon uses a try: not one that the model cannot weld, but every
// one of a hand, who else could get out of a weld that goes wrong.
func IsTry(a session.Attempt) bool { return isTry(a.Verdict, a.Run != nil) }

func isTry(v scoring.Verdict, hand bool) bool { return hand || v.Outcome != scoring.OutOfRange }

// Take keeps the coupon that was begun, before it is shown, and says whether it passed.
// What was begun in time counts.
func (r *Run) Take(a session.Attempt) (passed bool, err error) {
	if r.r.Welding == nil || r.r.Welding.ID != a.ID {
		return false, fmt.Errorf("coupon %.40q was not begun", a.ID)
	}
	passed = r.drill.Passes(a.Verdict)
	w := newAttempt(a)
	w.take(a.Verdict, passed)
	r.r.Attempts, r.r.Welding = append(r.r.Attempts, w), nil
	return passed, r.write()
}

// Drop takes back a coupon that was begun and that the model cannot weld: it is no try.
func (r *Run) Drop() error {
	r.r.Welding = nil
	return r.write()
}

// How often a run is kept while nothing happens, and the longest time between two ticks
// that is not taken for a machine that slept: common practice, no source.
const (
	keepEvery = 10 * time.Second
	mostGap   = time.Minute
)

// Tick is called about each second while the learner is at it. It keeps the time used
// every ten seconds, so that a kill hides no more of it, and takes a gap for time away.
func (r *Run) Tick() error {
	t, last := r.clock(), r.ticked
	r.ticked = t
	gap := t.Sub(last)
	switch {
	case r.r.Done:
		return nil
	case gap > mostGap:
		r.r.Away = append(r.r.Away, Away{last, t})
		r.begun, r.came = r.begun.Add(gap), r.came.Add(gap)
	case t.Sub(r.kept) < keepEvery:
		return nil
	}
	return r.write()
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

// write puts the result on disk; one that is done, or not begun, stays as it is.
func (r *Run) write() error {
	if r.r.Done || r.begun.IsZero() {
		return nil
	}
	r.r.Ended, r.r.Working, r.r.HereFor = r.clock(), r.working().Seconds(), r.here().Seconds()
	if r.r.Done = r.Over(); r.r.Done {
		r.r.Typed = nil
	}
	return r.put()
}

func (r *Run) put() error {
	r.kept = r.clock()
	if err := r.r.Write(r.file, r.key); err != nil {
		return fmt.Errorf("the result is NOT kept: %w", err)
	}
	return nil
}
