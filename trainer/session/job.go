package session

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Result is what a job on another goroutine ends in.
type Result[T any] struct {
	Value T
	Err   error
	Panic any // what the work panicked with, for the waiting goroutine to raise again
}

// Background runs work on its own goroutine and sends the result once. A result
// nobody waits for is dropped.
func Background[T any](work func() (T, error)) <-chan Result[T] {
	out := make(chan Result[T], 1)
	go func() {
		var r Result[T]
		defer func() {
			if r.Panic = recover(); r.Panic == errStopped {
				r.Panic, r.Err = nil, context.Canceled
			}
			out <- r
		}()
		r.Value, r.Err = work()
	}()
	return out
}

// Await waits for a result or the end of ctx, and raises the work's panic again.
func Await[T any](ctx context.Context, results <-chan Result[T]) (T, error) {
	select {
	case <-ctx.Done():
		var none T
		return none, ctx.Err()
	case r := <-results:
		if r.Panic != nil {
			panic(r.Panic)
		}
		return r.Value, r.Err
	}
}

// Job is a weld ready to run. It shares nothing with its session, so it may run
// on another goroutine; the verdict goes back in through Take.
type Job struct {
	judge  Judge
	task   weld.Task
	answer weld.Answer
	at     time.Time
	id     string // of the attempt it becomes
}

// Start runs the weld.
func (j Job) Start() <-chan Result[scoring.Verdict] {
	return Background(func() (scoring.Verdict, error) { return j.judge(j.task, j.answer) })
}

// Save looks for the smallest change that the model accepts; scoring.Save in the
// program. fields names what may be moved, to round numbers of sys; par spreads the
// work over the cores.
type Save func(t weld.Task, a weld.Answer, fields []string, sys weld.System, par scoring.Parallel) (scoring.Rescue, bool)

// Search is the look for the smallest change that would have saved a coupon. It
// shares nothing with its session; what it finds goes back in through Found.
type Search struct {
	save   Save
	task   weld.Task
	answer weld.Answer
	fields []string
	system weld.System
	try    string
}

// Start runs the search; the end of ctx stops it. A nil rescue says that no
// change within reach saves the coupon.
func (q Search) Start(ctx context.Context) <-chan Result[*scoring.Rescue] {
	return Background(func() (*scoring.Rescue, error) {
		r, ok := q.save(q.task, q.answer, q.fields, q.system, Cores(ctx, runtime.GOMAXPROCS(0)))
		if !ok {
			return nil, nil
		}
		return &r, nil
	})
}

// Vary makes the joint of a seed; ok is false when it gives the joint as it is written
// instead, because none of the seed's can be welded and is worth welding.
// practice.Vary in the program. par spreads its work over the cores.
type Vary func(sc scenarios.Scenario, seed int64, par scoring.Parallel) (out scenarios.Scenario, ok bool)

// Start makes the joint; the end of ctx stops it. A result with seed 0 is the joint as
// it is written.
func (v Vary) Start(ctx context.Context, sc scenarios.Scenario, seed int64) <-chan Result[scenarios.Scenario] {
	return Background(func() (scenarios.Scenario, error) {
		out, _ := v(sc, seed, Cores(ctx, runtime.GOMAXPROCS(0)-1))
		return out, nil
	})
}

// Now makes the joint and waits for it.
func (v Vary) Now(ctx context.Context, sc scenarios.Scenario, seed int64) (scenarios.Scenario, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	return Await(ctx, v.Start(ctx, sc, seed))
}

// NoVariation says that a seed gives the joint as it is written.
func NoVariation(id string, seed int64) string {
	return scenarios.Name(id, seed) + ": none found that can be welded and that the usual guess does not get right; this is the joint as it is written."
}

// Map maps two settings around an answer; scoring.MapWindow in the program.
type Map func(t weld.Task, a weld.Answer, x, y string, par scoring.Parallel) (*scoring.Window, error)

// Axes are the two settings of a window, by key: one across, one up.
type Axes struct{ X, Y string }

// Words names the settings.
func (x Axes) Words() string {
	a, _ := weld.FieldByKey(x.X)
	b, _ := weld.FieldByKey(x.Y)
	return a.Label + " and " + b.Label
}

// Survey is the mapping of two settings around a coupon's answer. It shares nothing
// with its session; the window goes back in through Mapped.
type Survey struct {
	mapping Map
	task    weld.Task
	answer  weld.Answer
	axes    Axes
	try     string
}

// Start runs the survey on every core; the end of ctx stops it.
func (q Survey) Start(ctx context.Context) <-chan Result[*scoring.Window] {
	return Background(func() (*scoring.Window, error) {
		return q.mapping(q.task, q.answer, q.axes.X, q.axes.Y, Cores(ctx, runtime.GOMAXPROCS(0)))
	})
}

// errStopped is what stops a search from inside: spreading the work is the one
// thing it asks for, so there it can be told.
var errStopped any = new(struct{ stopped bool })

// Cores gives a Parallel that works on so many cores at once, until ctx ends.
func Cores(ctx context.Context, cores int) scoring.Parallel {
	return func(n int, work func(int)) {
		var (
			next  atomic.Int64
			wg    sync.WaitGroup
			once  sync.Once
			fault any
		)
		for range min(n, max(1, cores)) {
			wg.Add(1)
			go func() {
				defer wg.Done()
				defer func() {
					if p := recover(); p != nil {
						once.Do(func() { fault = p })
					}
				}()
				for ctx.Err() == nil {
					i := int(next.Add(1)) - 1
					if i >= n {
						return
					}
					work(i)
				}
			}()
		}
		wg.Wait()
		if fault != nil {
			panic(fault)
		}
		if ctx.Err() != nil {
			panic(errStopped)
		}
	}
}
