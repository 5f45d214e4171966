package tui

import (
	"context"
	"errors"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
)

// Drill is what a drill on the full screen needs.
type Drill struct {
	Learners []string // one alone, or a class that takes turns
	// Look gives a learner's run as it stands; the end of ctx ends what the run draws.
	Look func(ctx context.Context, learner string) (run *drill.Run, resumed bool, err error)
	File func(learner string) string // where the result is
}

// turn is one learner's turn at a drill. What may be done, and when it is over, is the
// run's to say.
type turn struct {
	app      *app
	run      *drill.Run
	file     string
	busy     bool   // the run is in the hands of the background goroutine
	deciding bool   // an answer is being decided on: it ends with the time
	joint    string // in hand; empty between joints
	told     bool   // of the coupon owed
	asked    *questionPage
}

// toDrill shows where a drill begins: the one learner's first page, or the class.
func (a *app) toDrill() {
	d := a.opt.Drill
	if len(d.Learners) > 1 {
		if a.class == nil {
			a.class = newClassPage(a)
		}
		a.show(a.class)
		return
	}
	a.toTurn(d.Learners[0])
}

// toTurn shows the first page of a learner's turn.
func (a *app) toTurn(learner string) {
	run, resumed, err := a.opt.Drill.Look(a.ctx, learner)
	if err != nil {
		a.warn(err)
		return
	}
	t := &turn{app: a, run: run, file: a.opt.Drill.File(learner)}
	if run.Over() {
		a.show(newOverPage(t))
		return
	}
	a.show(&drillPage{basePage: basePage{a}, drillModel: newDrillModel(run, resumed), turn: t})
}

// start begins the turn, or goes on with it.
func (t *turn) start() {
	t.app.opt.Settings.Name = t.run.Result().Learner
	t.app.turn = t
	t.after(t.run.Start)
}

// goOn goes to the joint in hand, or to the end of the drill.
func (t *turn) goOn() { t.after(func() error { return nil }) }

// after does what comes first and then goes on: a variation takes a second or two to
// draw, so it is done off the event loop.
func (t *turn) after(first func() error) {
	a, run := t.app, t.run
	t.busy, t.deciding, t.asked = true, false, nil
	p := &betweenPage{basePage: basePage{a}, turn: t}
	a.show(p)
	a.start(func(_ context.Context, post func(func())) {
		ticks, stop := a.opt.Ticks(modelTick)
		defer stop()
		done := session.Background(func() (sc *scenarios.Scenario, err error) {
			if err := first(); err != nil {
				return nil, err
			}
			if next, ok := run.Next(); ok {
				sc = &next
			}
			return sc, nil
		})
		for { // to its end whatever happens: the run is in its hands
			select {
			case <-ticks:
				post(func() { p.ticks++ })
			case r := <-done:
				if r.Panic != nil {
					panic(r.Panic)
				}
				post(func() { t.busy = false; t.arrive(r.Value, r.Err) })
				return
			}
		}
	})
}

// arrive shows the joint that was come to; nil for the end.
func (t *turn) arrive(sc *scenarios.Scenario, err error) {
	a := t.app
	switch {
	case err != nil:
		a.warn(errors.Join(err, t.finish()))
		a.show(newOverPage(t))
	case sc == nil:
		a.warn(t.finish())
		a.show(newOverPage(t))
	default:
		if w := t.run.Owed(); w != nil && !t.told {
			t.told = true
			a.notice = span{drill.OwedWords(*w), inkWarn}
		}
		t.open(*sc)
	}
}

// open shows the page of what is done at a joint: here each kind has its own.
func (t *turn) open(sc scenarios.Scenario) {
	t.joint, t.deciding = sc.ID, true
	switch kind := t.run.Kind(sc.ID); kind {
	case drill.Weld, drill.Live:
		t.app.toBench(sc)
	default:
		t.ask(sc, kind)
	}
}

// live says whether the joint in hand is welded by hand.
func (t *turn) live() bool { return t != nil && t.run.Kind(t.joint) == drill.Live }

// ask asks the question of a joint, once.
func (t *turn) ask(sc scenarios.Scenario, kind question.Kind) {
	a := t.app
	t.asked = &questionPage{
		basePage: basePage{a}, input: newInput(a.look), desk: *a.opt.Questions, joint: sc.ID, seed: t.run.QuestionSeed(sc.ID), turn: t,
		questionModel: questionModel{sys: a.opt.Settings.Units},
	}
	a.show(t.asked)
	t.asked.compose(kind)
}

// unasked welds a joint that gives no question of its kind.
func (t *turn) unasked(joint string) {
	t.run.Unasked(joint)
	t.goOn()
	t.app.notice = span{"It gives no such question: it is welded.", inkWarn}
}

// answered keeps an answer; false where its time was up.
func (t *turn) answered(q *question.Question, replies []string, r question.Result) bool {
	taken, err := t.run.TakeAnswer(q, replies, t.app.opt.Settings.Units, r)
	t.deciding = false
	if !taken && err == nil {
		t.timeUp()
		return false
	}
	t.app.warn(err)
	return true
}

// begin keeps that a coupon is being welded; false where it is not to be.
func (t *turn) begin(a session.Attempt) bool {
	begun, err := t.run.Begin(a)
	switch {
	case err != nil:
		t.app.warn(err)
	case !begun:
		t.timeUp()
	default:
		t.deciding = false
	}
	return begun
}

// take keeps a coupon that was welded.
func (t *turn) take(try session.Attempt) error {
	if !drill.IsTry(try) {
		return t.drop()
	}
	_, err := t.run.Take(try)
	return err
}

// drop gives the try of a coupon back that the model cannot weld.
func (t *turn) drop() error {
	t.deciding = true
	return t.run.Drop()
}

// leaveJoint leaves the joint in hand for good.
func (t *turn) leaveJoint() {
	t.halt()
	err := t.run.Leave()
	t.goOn()
	t.app.warn(err)
}

// leaveDrill ends the turn: the same command, or the learner's line in the list, goes on
// where it was.
func (t *turn) leaveDrill() {
	t.halt()
	t.done(t.finish())
}

// done goes where a turn ends.
func (t *turn) done(err error) {
	a := t.app
	if len(a.opt.Drill.Learners) > 1 {
		a.class.refresh(a.class.cursor)
		a.class.next(1)
		a.toDrill()
		a.warn(err)
		return
	}
	a.late = err
	a.quit()
}

// halt ends the making of a question, and the clock of an arc that was not struck.
func (t *turn) halt() {
	if p, ok := t.app.shell.page.(*arcPage); ok {
		p.stop()
	}
	if t.asked != nil && t.asked.stop != nil {
		t.asked.stop()
		t.asked.stop = nil
	}
}

// finish keeps all of a turn and takes it off the screens: the next learner sees nothing of it.
func (t *turn) finish() error {
	a := t.app
	err := t.run.Close()
	for name, s := range a.sessions {
		err = errors.Join(err, s.Close(), s.Keep())
		delete(a.sessions, name)
	}
	a.turn = nil
	return err
}

// timeUp leaves a joint whose time is up: what stands is not welded.
func (t *turn) timeUp() {
	t.halt()
	left := t.run.Left()
	t.joint, t.deciding = "", false
	t.app.warn(t.run.Leave())
	t.app.show(&betweenPage{basePage: basePage{t.app}, turn: t, up: timeUpWords(left, t.run.Over())})
}

// heard lets the run hear the clock.
func (t *turn) heard() {
	if t.busy {
		return
	}
	t.app.warn(t.run.Tick())
	if t.deciding && t.run.Left().Up() {
		t.timeUp()
	}
}

// number counts the coupons of the joint up to the last one.
func (t *turn) number(s *session.Session) int {
	used, _ := t.run.Tries(s.Scenario().ID)
	last, ok := s.Last()
	if all := t.run.Result().Attempts; ok && (len(all) == 0 || all[len(all)-1].ID != last.ID) {
		used++ // one that does not count
	}
	return used
}

// tick lets a drill hear the clock, and be seen to, each second; it is called on a
// goroutine of its own.
func (a *app) tick() {
	ticks, stop := a.opt.Ticks(time.Second)
	defer stop()
	for {
		select {
		case <-a.ctx.Done():
			return
		case <-ticks:
			a.tv.QueueUpdateDraw(func() {
				if a.turn != nil {
					a.turn.heard()
				}
			})
		}
	}
}

// turnLine says where in a drill the learner is and how much time is left.
func (a *app) turnLine() line {
	if a.turn == nil || a.turn.busy || a.turn.joint == "" {
		return nil
	}
	return turnLine(a.turn.run, a.turn.joint, a.turn.deciding)
}
