package tui

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"github.com/gdamore/tcell/v2"
	"github.com/rivo/tview"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// Smallest terminal the screens are laid out for.
const (
	minWidth  = 80
	minHeight = 24
)

// wideScreen is the width of a page from which things stand beside each other
// that otherwise follow one another.
const wideScreen = 110

// Options is what Run needs.
type Options struct {
	Bank       []scenarios.Scenario
	Start      string // id of the joint to begin with; empty: the learner chooses
	Seed       int64  // of its variation; 0 for the joint as it is written
	NewSession func(scenarios.Scenario) *session.Session
	Vary       session.Vary    // nil: there are no variations
	Settings   record.Settings // in force; cautions that have not been seen are shown first
	// Save changes what is remembered of the settings; nil: nothing is.
	Save      func(change func(*record.Settings)) error
	Questions *question.Desk   // nil: no questions are asked
	Past      session.Past     // what has been recorded; nil for nothing
	Now       func() time.Time // nil is the real clock; its zone is the learner's

	Show *Show // a drill to take a class through in place of practice
	Talk *Talk // one to be talked through in place of practice

	Happens int64 // seed of what happens in a live run, where the joint's file names something; 0 for nothing

	// KeepRun is given every live run that ended; nil: none is kept.
	KeepRun func(arc.Run) error

	// Drill takes learners through a drill, in place of what else there is; nil: no drill.
	Drill *Drill

	// Screen is a screen that has been initialised; nil opens the terminal.
	Screen tcell.Screen
	// Term is the terminal's name. One that nobody knows is taken for an xterm,
	// as nearly all are; empty and dumb are taken at their word.
	Term string
	// Ticks makes the clock of what moves; nil is the real one.
	Ticks func(time.Duration) (ticks <-chan time.Time, stop func())
	// Idle is called on the event loop when the key F64 has been read and
	// nothing is running any more. Tests send it to know that all before is done.
	Idle func(tcell.Screen)
}

// Errors of Run.
var (
	// ErrNoTerminal says that there is no terminal a full screen can be drawn on.
	ErrNoTerminal = errors.New("no usable terminal")
	// ErrNoJoint says that Start names no joint of the bank.
	ErrNoJoint = errors.New("no such joint")
)

// Run shows the trainer until the learner leaves or ctx ends. Whatever ends it,
// the terminal is put back as it was, every welded coupon is recorded and what
// has been typed is kept first; the error says so where that failed.
func Run(ctx context.Context, opt Options) error {
	if opt.Now == nil {
		opt.Now = time.Now
	}
	if opt.Ticks == nil {
		opt.Ticks = func(d time.Duration) (<-chan time.Time, func()) {
			t := time.NewTicker(d)
			return t.C, t.Stop
		}
	}
	var start *scenarios.Scenario
	for _, sc := range opt.Bank {
		if opt.Start != "" && strings.EqualFold(sc.ID, opt.Start) {
			sc.Seed = opt.Seed
			start = &sc
		}
	}
	if opt.Start != "" && start == nil {
		return fmt.Errorf("%w: %q", ErrNoJoint, opt.Start)
	}
	if d := opt.Drill; d != nil && len(d.Learners) == 1 {
		if _, _, err := d.Look(ctx, d.Learners[0]); err != nil { // said where it can be read
			return err
		}
	}
	screen := opt.Screen
	if screen == nil {
		var err error
		if screen, err = openScreen(opt.Term); err != nil {
			return fmt.Errorf("%w: %v", ErrNoTerminal, err)
		}
	}
	return newApp(opt, screen).run(ctx, start)
}

// openScreen opens the terminal. It is initialised here because tview drops the
// error when it does that itself.
func openScreen(term string) (tcell.Screen, error) {
	tcell.SetEncodingFallback(tcell.EncodingFallbackASCII)
	screen, err := tcell.NewScreen()
	if err != nil && term != "" && term != "dumb" {
		if xterm, known := tcell.LookupTerminfo("xterm-256color"); known == nil {
			screen, err = tcell.NewTerminfoScreenFromTtyTerminfo(nil, xterm)
		}
	}
	if err != nil {
		return nil, err
	}
	return screen, screen.Init()
}

// app is one run of the trainer. All of it but work belongs to the event loop.
type app struct {
	opt    Options
	look   *look
	keys   keyMap // in force
	away   bool   // another window is in front
	tv     *tview.Application
	screen *guarded
	shell  *shell

	choose   *choosePage
	record   *recordPage                 // nil until it is looked at
	sessions map[string]*session.Session // by joint and variation, so that going back loses nothing
	seeds    map[string]int64            // of each joint the last variation opened
	undraw   func()                      // stops the drawing of a variation
	leave    func()                      // from a joint back to where it was chosen
	lead     *showPage                   // a class before the screen; nil: none
	notice   span                        // shown until the next key
	turn     *turn                       // a learner's, at a drill; nil: nobody's
	class    *classPage                  // nil until it is looked at
	late     error                       // of the end of a turn, said once the screen is gone

	work     chan job // the one handed to the background goroutine
	queue    []job    // what waits for it
	working  bool
	workers  sync.WaitGroup
	ctx      context.Context
	cancel   context.CancelFunc
	quitOnce sync.Once
	drawnOne chan struct{} // closed when the first screen has been drawn
	drawOnce sync.Once
	busy     int  // jobs not yet done
	wanted   bool // the idle key waits for them

	fault  sync.Mutex
	failed any   // what a goroutine panicked with
	broken error // what ended the terminal
}

func newApp(opt Options, screen tcell.Screen) *app {
	a := &app{opt: opt, sessions: map[string]*session.Session{}, seeds: map[string]int64{}, undraw: func() {}, work: make(chan job, 1), drawnOne: make(chan struct{}), tv: tview.NewApplication()}
	a.look, a.keys = newLook(opt, screen), keysOf(opt.Settings)
	a.screen = &guarded{Screen: screen, failed: func(err error) {
		a.fault.Lock()
		a.broken = err
		a.fault.Unlock()
		a.quit()
	}}
	a.shell = newShell(a)
	a.choose = newChoosePage(a)
	a.leave = a.toStart
	return a
}

// newLook decides how to draw on the screen: what the learner wants, as far as
// the terminal can.
func newLook(opt Options, screen tcell.Screen) *look {
	const (
		few    = 8   // colours enough to set words off
		enough = 256 // with fewer, patches of the pictures run together
		full   = 1 << 24
	)
	l := &look{theme: themeOf(opt.Settings), glyph: unicodeGlyphs}
	switch n := screen.Colors(); {
	case n < few:
		l.theme = Mono
	case n < enough:
		l.theme = l.theme.few()
	case n >= full:
		l.theme = l.theme.full()
	}
	if opt.Settings.ASCII || screen.CharacterSet() != "UTF-8" || screen.Colors() < enough {
		l.glyph = asciiGlyphs
	}
	return l
}

func (a *app) run(ctx context.Context, start *scenarios.Scenario) error {
	a.ctx, a.cancel = context.WithCancel(ctx)
	defer a.cancel()
	a.tv.SetScreen(a.screen).SetRoot(a.shell, true).EnablePaste(true).EnableMouse(a.opt.Settings.Mouse)
	a.screen.EnableFocus()
	a.tv.SetInputCapture(a.capture)
	a.tv.SetAfterDrawFunc(a.drawn)

	switch {
	case a.opt.Show != nil:
		a.lead = newShowPage(a)
		a.lead.goTo(0)
	case a.opt.Talk != nil:
		a.show(newTalkPage(a))
	case !a.opt.Settings.CautionsSeen:
		a.show(newCautionsPage(a, start))
	case start != nil:
		a.begin(*start)
	default:
		a.toStart()
	}
	a.workers.Add(1)
	a.spawn(func() { defer a.workers.Done(); a.serve() })
	a.spawn(func() { <-a.ctx.Done(); a.quit() })
	if a.opt.Drill != nil || a.opt.Show != nil {
		a.workers.Add(1)
		a.spawn(func() { defer a.workers.Done(); a.tick() })
	}

	err := a.tv.Run()
	a.cancel()
	a.fault.Lock()
	failed := a.failed
	a.fault.Unlock()
	if failed != nil {
		panic(failed)
	}
	if p, ok := a.shell.page.(*arcPage); ok {
		err = errors.Join(err, p.finish())
	}
	for _, s := range a.sessions {
		err = errors.Join(err, s.Close(), s.Keep())
	}
	if a.turn != nil {
		err = errors.Join(err, a.turn.run.Close())
	}
	err = errors.Join(err, a.late)
	a.fault.Lock()
	defer a.fault.Unlock()
	// A terminal that was closed is a way to leave like any other.
	if a.broken != nil && !strings.HasSuffix(a.broken.Error(), io.EOF.Error()) {
		err = errors.Join(err, a.broken)
	}
	return err
}

// spawn runs f on a goroutine. A panic ends the application, which puts the
// terminal back, and is raised again by run.
func (a *app) spawn(f func()) {
	go func() {
		defer func() {
			if p := recover(); p != nil {
				a.fault.Lock()
				a.failed = p
				a.fault.Unlock()
				a.quit()
			}
		}()
		f()
	}()
}

// quit ends the run in order: stop the work, wait until it no longer needs the
// event loop, then stop the loop. It may be called from anywhere.
func (a *app) quit() {
	a.quitOnce.Do(func() {
		a.cancel() // at once: nothing is idle any more
		a.spawn(func() {
			a.workers.Wait()
			<-a.drawnOne // tview cannot be stopped before it runs
			a.tv.Stop()
		})
	})
}

// job is work off the event loop. post runs a function on the loop and redraws.
type job struct {
	ctx context.Context
	run func(ctx context.Context, post func(func()))
}

// start hands work to the one background goroutine and gives the means to stop it.
func (a *app) start(run func(ctx context.Context, post func(func()))) (stop func()) {
	ctx, cancel := context.WithCancel(a.ctx)
	a.busy++
	a.queue = append(a.queue, job{ctx, run})
	a.feed()
	return cancel
}

// feed hands the next job to the background goroutine when it has none, so that
// the event loop never waits for it.
func (a *app) feed() {
	if !a.working && len(a.queue) > 0 {
		a.working = true
		a.work <- a.queue[0]
		a.queue = a.queue[1:]
	}
}

// serve and tick are the only goroutines that may queue updates.
func (a *app) serve() {
	post := func(f func()) { a.tv.QueueUpdateDraw(f) }
	for {
		select {
		case <-a.ctx.Done():
			return
		case j := <-a.work:
			if j.ctx.Err() == nil {
				j.run(j.ctx, post)
			}
			post(func() {
				a.busy--
				a.working = false
				a.feed()
			})
		}
	}
}

// Keys no terminal sends.
const (
	idleKey = tcell.KeyF64
	awayKey = tcell.KeyF63 // stands for the window gone from the front, and backKey for its return
	backKey = tcell.KeyF62
)

// capture sees every key first.
func (a *app) capture(ev *tcell.EventKey) *tcell.EventKey {
	switch ev.Key() {
	case idleKey:
		a.wanted = true
		return nil
	case awayKey, backKey:
		a.away = ev.Key() == awayKey
		return nil
	case tcell.KeyCtrlC:
		a.quit()
		return nil
	}
	a.away = false // who types is here, whatever the terminal says
	return ev
}

// drawn tells whoever waits for it that the screen shows the end of all that was asked.
func (a *app) drawn(screen tcell.Screen) {
	a.drawOnce.Do(func() { close(a.drawnOne) })
	if a.wanted && a.busy == 0 && a.opt.Idle != nil && a.ctx.Err() == nil {
		a.wanted = false
		a.opt.Idle(screen)
	}
}

// show puts a page on the screen.
func (a *app) show(p page) { a.shell.show(p) }

// session gives the session of a joint, a new one the first time.
func (a *app) session(sc scenarios.Scenario) *session.Session {
	s, ok := a.sessions[sc.Name()]
	if !ok {
		s = a.open(sc)
		if a.opt.Past != nil {
			a.warn(s.Recall(a.opt.Past))
		}
		if a.turn != nil {
			s.KeepIn(a.turn.run, a.turn.run.Draft())
		}
		a.sessions[sc.Name()] = s
	}
	return s
}

// open makes a session for the learner.
func (a *app) open(sc scenarios.Scenario) *session.Session {
	s := a.opt.NewSession(sc)
	s.Use(a.opt.Settings.Units, a.opt.Settings.Name)
	return s
}

// todo reads what there is to do off the record.
func (a *app) todo() view.ToDo {
	if a.opt.Past == nil {
		return view.NewToDo(a.opt.Bank, nil, nil, nil)
	}
	td, err := view.ReadToDo(a.opt.Bank, a.opt.Past, a.opt.Settings.Name)
	a.warn(err)
	return td
}

// ask reads what the record says of the learner and asks it, off the event loop; then
// shows the answer on it. Where nothing is recorded nothing is asked, and there is no answer.
func (a *app) ask(question func(*learner.Estimate), show func()) {
	past, bank, name := a.opt.Past, a.opt.Bank, a.opt.Settings.Name
	if past == nil {
		show()
		return
	}
	a.start(func(_ context.Context, post func(func())) {
		e, err := learner.Read(past, bank, name)
		question(e)
		post(func() { a.warn(err); show() })
	})
}

func (a *app) toStart() {
	if a.opt.Drill != nil {
		a.toDrill()
		return
	}
	a.leave = a.toStart
	p := newStartPage(a)
	a.show(p)
	p.propose()
}

func (a *app) toChoose() {
	a.leave = a.toChoose
	a.choose.refresh()
	a.show(a.choose)
}

// toDue shows the joints that were rejected last time.
func (a *app) toDue(due []session.Brief) {
	a.toChoose()
	a.choose.all()
	for _, b := range due {
		a.choose.due = append(a.choose.due, b.Scenario)
	}
	a.choose.narrow()
}

// toBench goes to a joint whose numbers are known.
func (a *app) toBench(sc scenarios.Scenario) {
	if a.lead != nil {
		a.lead.back()
		return
	}
	a.show(newBenchPage(a, a.session(sc)))
}

// toGuess asks what went wrong.
func (a *app) toGuess(s *session.Session) {
	if a.lead != nil {
		a.show(newShowGuessPage(a.lead, s))
		return
	}
	a.show(newGuessPage(a, s))
}

// toJoint goes to a joint of the bank, or to its variation of the seed that it names,
// once that is drawn.
func (a *app) toJoint(sc scenarios.Scenario) {
	seed := sc.Seed
	if s, known := a.sessions[sc.Name()]; known {
		a.toBench(s.Scenario())
		return
	}
	sc.Seed = 0
	if seed == 0 || a.opt.Vary == nil {
		a.toBench(sc)
		return
	}
	a.draw(sc, func() int64 { return seed })
}

// begin goes to the joint of a first page.
func (a *app) begin(sc scenarios.Scenario) {
	if sc.Seed != 0 {
		a.toStart() // stands there while the variation is drawn
	}
	a.toJoint(sc)
}

// toFresh goes to a variation of a joint that the learner has not welded.
func (a *app) toFresh(sc scenarios.Scenario) {
	past, bank, name, opened := a.opt.Past, a.opt.Bank, a.opt.Settings.Name, a.seeds[sc.ID]
	a.draw(sc, func() int64 {
		if past == nil {
			return opened + 1
		}
		e, _ := learner.Read(past, bank, name) // what cannot be read has been told when the list was
		return max(opened+1, e.NextSeed(sc.ID))
	})
}

// draw makes a variation off the event loop and goes to it, unless the learner has gone
// elsewhere in the meantime.
func (a *app) draw(sc scenarios.Scenario, seedOf func() int64) {
	from := a.shell.page
	a.undraw()
	a.notice = span{"Drawing a variation of " + sc.ID + " and welding it, to see that it can be done ...", inkPlain}
	a.undraw = a.start(func(ctx context.Context, post func(func())) {
		seed := seedOf()
		select {
		case <-ctx.Done():
		case r := <-a.opt.Vary.Start(ctx, sc, seed):
			if r.Panic != nil {
				panic(r.Panic)
			}
			post(func() {
				if ctx.Err() != nil || r.Err != nil || a.shell.page != from {
					return
				}
				a.notice = span{}
				a.seeds[sc.ID] = max(a.seeds[sc.ID], seed)
				a.toBench(r.Value)
				if r.Value.Seed != seed {
					a.notice = span{session.NoVariation(sc.ID, seed), inkWarn}
				}
			})
		}
	})
}

// toVerdict shows what was found; a coupon that is not scored comes here at once.
func (a *app) toVerdict(s *session.Session) {
	if a.lead != nil {
		a.show(newShowVerdictPage(a.lead, s))
		return
	}
	if try, _ := s.Last(); try.Run != nil {
		a.toDebrief(s)
		return
	}
	a.show(newVerdictPage(a, s))
}

// toRecord shows the record where it was left.
func (a *app) toRecord() {
	a.leave = a.toRecord
	if a.record == nil {
		a.record = newRecordPage(a)
	}
	a.record.refresh()
	a.show(a.record)
}

// toBeforeCoupon goes back from a coupon to where it came from.
func (a *app) toBeforeCoupon(s *session.Session) {
	if s.Reviewed() {
		a.toRecord()
		return
	}
	a.toBench(s.Scenario())
}

// weldAgain goes to the joint of a coupon as the bank has it.
func (a *app) weldAgain(s *session.Session) {
	if a.turn != nil {
		a.turn.goOn()
		return
	}
	if a.lead != nil {
		a.lead.back()
		return
	}
	for _, sc := range a.opt.Bank {
		if sc.ID == s.Scenario().ID {
			sc.Seed = s.Scenario().Seed
			a.toJoint(sc)
		}
	}
}

// canWeld says whether the joint of a coupon can be welded again.
func (a *app) canWeld(id string) bool {
	if a.turn != nil {
		return a.turn.run.More(id)
	}
	return slices.ContainsFunc(a.opt.Bank, func(sc scenarios.Scenario) bool { return sc.ID == id })
}

// couponNumber counts the coupons of a joint up to the one a page shows.
func (a *app) couponNumber(s *session.Session) int {
	if a.turn != nil {
		return a.turn.number(s)
	}
	return len(s.Tries())
}

// couponName names the coupon a page shows.
func (a *app) couponName(s *session.Session) string {
	name := "coupon " + itoa(a.couponNumber(s))
	if try, ok := s.Last(); ok && s.Reviewed() {
		name = "welded " + view.When(try.At, a.opt.Now())
	}
	if seed := s.Scenario().Seed; seed != 0 {
		return fmt.Sprintf("variation %d, %s", seed, name)
	}
	return name
}

// before gives the coupon of a joint welded before the one a page shows, with metal
// to look at; nil for none.
func (a *app) before(s *session.Session) *session.Attempt {
	old, err := s.Before(a.opt.Past)
	a.warn(err)
	if old == nil || len(old.Verdict.Coupon.Stations) == 0 {
		return nil
	}
	return old
}

// recordedWords says of an old coupon how it comes to be shown.
func (a *app) recordedWords(try session.Attempt) string {
	out := "as it was recorded on " + try.At.In(a.opt.Now().Location()).Format("2006-01-02 15:04")
	if try.ModelVersion != scoring.ModelVersion {
		out += ", model " + try.ModelVersion + "; today's is " + scoring.ModelVersion
	}
	return out
}

// askToQuit leaves at once when nothing would be lost, and asks otherwise.
func (a *app) askToQuit() {
	var typed []string
	for _, name := range slices.Sorted(maps.Keys(a.sessions)) {
		if s := a.sessions[name]; s.Dirty() && !s.KeepsDrafts() {
			typed = append(typed, s.Scenario().Title)
		}
	}
	if typed == nil {
		a.quit()
		return
	}
	a.show(newAskPage(a, "Leave?", "What you have typed for "+strings.Join(typed, ", ")+" has not been welded and would be lost.", a.quit, a.shell.page))
}

// set changes a setting, at once and from now on.
func (a *app) set(change func(*record.Settings)) {
	was := a.opt.Settings.Name
	change(&a.opt.Settings)
	if was != "" && was != a.opt.Settings.Name { // another learner; who takes a name keeps what is typed
		for id, s := range a.sessions {
			a.warn(errors.Join(s.Close(), s.Keep()))
			delete(a.sessions, id)
		}
	}
	if a.opt.Save != nil {
		a.warn(a.opt.Save(change))
	}
	*a.look = *newLook(a.opt, a.screen) // every page holds this one
	a.keys = keysOf(a.opt.Settings)
	a.tv.EnableMouse(a.opt.Settings.Mouse)
	for _, s := range a.sessions {
		s.Use(a.opt.Settings.Units, a.opt.Settings.Name)
	}
	a.choose.use(a.opt.Settings.Units)
}

// warn shows an error until the next key.
func (a *app) warn(err error) {
	if err != nil {
		a.notice = span{strings.ReplaceAll(err.Error(), "\n", "; "), inkBad}
	}
}

// guarded is the screen with its errors caught: a terminal that goes away must
// end the run in order, not under the feet of the background goroutine. And it holds a
// picture back until Show, which hands on the cells that have changed: cleared and drawn
// again, every cell with anything in it is new to tcell and is written to the terminal.
type guarded struct {
	tcell.Screen
	failed  func(error)
	next    tcell.CellBuffer // the picture being drawn
	resized atomic.Bool      // what the terminal shows is not known any more
}

// Clear begins a picture.
func (g *guarded) Clear() {
	w, h := g.Size()
	if oldW, oldH := g.next.Size(); g.resized.Swap(false) || w != oldW || h != oldH {
		g.Screen.Clear() // blanks are written too
	}
	g.next.Resize(w, h)
	g.next.Fill(' ', tcell.StyleDefault)
}

// SetContent draws a cell of the picture, Get and GetContent tell one.
func (g *guarded) SetContent(x, y int, r rune, combining []rune, style tcell.Style) {
	g.next.Put(x, y, string(r)+string(combining), style)
}

// Get is of the picture being drawn.
func (g *guarded) Get(x, y int) (string, tcell.Style, int) { return g.next.Get(x, y) }

// GetContent is of the picture being drawn.
func (g *guarded) GetContent(x, y int) (rune, []rune, tcell.Style, int) {
	text, style, cells := g.next.Get(x, y)
	r, size := utf8.DecodeRuneInString(text)
	return r, []rune(text[size:]), style, cells
}

// Show shows the picture.
func (g *guarded) Show() {
	w, h := g.next.Size()
	for y := range h {
		for x := 0; x < w; x++ {
			text, style, cells := g.next.Get(x, y)
			if old, was, _ := g.Screen.Get(x, y); old != text || was != style {
				g.Screen.Put(x, y, text, style)
			}
			x += cells - 1 // a wide character's second cell is its own
		}
	}
	g.Screen.Show()
}

// Init does nothing: the screen has been initialised, and doing it twice would reset it.
func (g *guarded) Init() error { return nil }

// PollEvent gives the next event that is not an error.
func (g *guarded) PollEvent() tcell.Event {
	for {
		ev := g.Screen.PollEvent()
		switch e := ev.(type) {
		case *tcell.EventError:
			g.failed(e)
			continue
		case *tcell.EventResize:
			g.resized.Store(true)
		case *tcell.EventFocus: // which tview does not know
			if e.Focused {
				return tcell.NewEventKey(backKey, 0, tcell.ModNone)
			}
			return tcell.NewEventKey(awayKey, 0, tcell.ModNone)
		}
		return ev
	}
}
