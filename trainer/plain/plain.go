// Package plain is the trainer in lines of text, for pipes, dumb terminals and
// screen readers: the same path and the same content as the full screen, said
// in words. It writes ASCII in at most 80 columns.
package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/session/view"
)

// Options is what Run needs.
type Options struct {
	In         io.Reader
	Out        io.Writer
	Bank       []scenarios.Scenario
	Start      string // id of the joint to begin with; empty: the learner chooses
	Seed       int64  // of its variation; 0 for the joint as it is written
	NewSession func(scenarios.Scenario) *session.Session
	Vary       session.Vary                              // nil: there are no variations
	Settings   record.Settings                           // in force; cautions that have not been seen are said first
	Save       func(change func(*record.Settings)) error // changes what is remembered of them; nil: nothing is
	Questions  *question.Desk                            // nil: no questions are asked
	Past       session.Past                              // what has been recorded; nil for nothing
	Now        func() time.Time                          // nil is the real clock; its zone is the learner's
	ReadRun    func(name string) (arc.Run, error)        // reads a run of a hand from a file; a drill with live joints needs it
	Echo       bool                                      // write each answer behind its question, where no terminal does
}

// ErrNoJoint says that Start names no joint of the bank.
var ErrNoJoint = errors.New("no such joint")

// errBack and errLeave end a step: the learner wants to go back, or away.
var (
	errBack  = errors.New("back")
	errLeave = errors.New("leave")
	errSkip  = errors.New("skip") // a joint of a drill
)

// Run takes the learner along until "quit" or the end of the input, which both
// end it without an error. A coupon already welded is recorded before it returns.
func Run(ctx context.Context, opt Options) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt, filter: view.Filter{}, seeds: map[string]int64{}}
	err := r.run()
	if errors.Is(err, errLeave) || errors.Is(err, errBack) || errors.Is(err, io.EOF) {
		err = nil
	}
	return errors.Join(err, r.out.err)
}

type runner struct {
	*console
	ctx     context.Context
	opt     Options
	filter  view.Filter
	seeds   map[string]int64  // of each joint the last variation opened
	drilled bool              // in a drill a joint can be left
	raised  drill.Shown       // hands at the joint before a class; nil elsewhere
	known   *learner.Estimate // of the learner, as the record stood when the joints were listed last
}

func (r *runner) run() error {
	r.say(0, "puddlewise, in lines. At every question: ? helps, back goes back one step, quit leaves.")
	if !r.opt.Settings.CautionsSeen {
		r.cautions()
		r.set(func(s *record.Settings) { s.CautionsSeen = true })
	}
	at, seed := -1, r.opt.Seed
	if r.opt.Start != "" {
		at = slices.IndexFunc(r.opt.Bank, func(sc scenarios.Scenario) bool { return strings.EqualFold(sc.ID, r.opt.Start) })
		if at < 0 {
			return fmt.Errorf("%w: %q", ErrNoJoint, r.opt.Start)
		}
	}
	for {
		if at < 0 {
			var err error
			if at, seed, err = r.choose(); err != nil {
				return err
			}
		}
		sc, err := r.varied(r.opt.Bank[at], seed)
		if err != nil {
			return err
		}
		next, err := r.joint(sc)
		if err != nil {
			return err
		}
		if next && at+1 < len(r.opt.Bank) {
			at, seed = at+1, 0
			continue
		}
		at = -1
	}
}

func (r *runner) cautions() {
	r.gap()
	r.say(0, "Before the first arc")
	for _, c := range scenarios.GeneralCautions {
		r.say(2, "! "+c)
	}
}

// varied gives the variation of a joint, the joint itself for the seed 0.
func (r *runner) varied(sc scenarios.Scenario, seed int64) (scenarios.Scenario, error) {
	if seed == 0 || r.opt.Vary == nil {
		return sc, nil
	}
	r.say(0, "Drawing "+scenarios.Name(sc.ID, seed)+", and welding it once, to see that it can be done ...")
	r.seeds[sc.ID] = max(r.seeds[sc.ID], seed)
	out, err := r.opt.Vary.Now(r.ctx, sc, seed)
	if err == nil && out.Seed != seed {
		r.say(0, "! "+session.NoVariation(sc.ID, seed))
	}
	return out, err
}

// vary takes "vary T-07" or "vary T-07 3": a joint by number or id, and the variation;
// one that the learner has not welded where none is named.
func (r *runner) vary(text string) (at int, seed int64, ok bool) {
	words := strings.Fields(text)
	at = -1
	if len(words) > 0 {
		at = slices.IndexFunc(r.opt.Bank, func(sc scenarios.Scenario) bool { return strings.EqualFold(sc.ID, words[0]) })
		if n, err := strconv.Atoi(words[0]); at < 0 && err == nil && n >= 1 && n <= len(r.opt.Bank) {
			at = n - 1
		}
	}
	switch {
	case r.opt.Vary == nil:
		r.say(2, "There are no variations in this run.")
	case at < 0 || len(words) > 2:
		r.say(2, "Type vary, a joint's number or id, and the number of the variation if you want a certain one, such as: vary T-02 or vary T-02 3.")
	case !r.opt.Bank[at].Varies():
		r.say(2, "There are no variations of "+r.opt.Bank[at].ID+".")
	case len(words) == 1:
		id := r.opt.Bank[at].ID
		return at, max(r.seeds[id]+1, r.known.NextSeed(id)), true
	default:
		seed, err := strconv.ParseInt(words[1], 10, 64)
		if err == nil && seed > 0 {
			return at, seed, true
		}
		r.say(2, fmt.Sprintf("%q is not the number of a variation: 1 or more.", cut(words[1], 40)))
	}
	return 0, 0, false
}

// choose says what there is to do and takes a number, an id, words to search for
// or one of the words it offers.
func (r *runner) choose() (at int, seed int64, err error) {
	r.list(r.shown(r.opt.Bank))
	td, proposed := r.todo()
	for {
		text, err := r.ask("joint (number, id or words to search for): ")
		if errors.Is(err, errBack) {
			r.say(0, "This is where it begins; quit leaves.")
			continue
		}
		if err != nil {
			return 0, 0, err
		}
		word, rest, _ := strings.Cut(text, " ")
		switch {
		case text == "":
			continue
		case text == "?":
			r.say(0, "Type the number or the id of a joint, or words that must all occur in its line, such as: butt 304. next opens the one proposed, vary and a joint open it with other numbers, list shows them all, filter narrows them, cautions says the cautions.")
			continue
		case text == "list":
			r.list(r.shown(r.opt.Bank))
			continue
		case text == "cautions":
			r.cautions()
			continue
		case word == "filter":
			r.setFilter(rest)
			continue
		case word == "settings":
			was := r.opt.Settings.Name
			r.settings(rest)
			if r.opt.Settings.Name != was {
				td, proposed = r.todo()
			}
			continue
		case text == "go on" && len(td.Begun) > 0:
			return r.index(td.Begun[0].Scenario.ID), td.Begun[0].Draft.Seed, nil
		case text == "next" && proposed.ok:
			return r.index(proposed.Scenario.ID), proposed.Seed, nil
		case word == "ask" && r.opt.Questions != nil:
			if err := r.questions(strings.TrimSpace(rest)); !errors.Is(err, errBack) { // it ends with an error alone
				return 0, 0, err
			}
			td, proposed = r.todo()
			continue
		case word == "vary":
			if at, seed, ok := r.vary(rest); ok {
				return at, seed, nil
			}
			continue
		case text == "arc":
			r.say(0, "Line by line no weld can be live: a hand's taps need a screen, puddlewise arc. What is welded there is in the record, for lines too; a run's file is scored by puddlewise arc --replay FILE.")
			continue
		case word == "record":
			r.record(td, rest)
			continue
		case text == "due" && len(td.Due) > 0:
			r.due(td)
			continue
		}
		if n, err := strconv.Atoi(text); err == nil && n >= 1 && n <= len(r.opt.Bank) {
			return n - 1, 0, nil
		}
		found := view.Find(r.opt.Bank, text, r.opt.Settings.Units)
		if len(found) > 1 {
			found = r.shown(found)
		}
		switch len(found) {
		case 0:
			r.say(0, fmt.Sprintf("No joint matches %q. list shows them all.", cut(text, 40)))
		case 1:
			return r.index(found[0].ID), 0, nil
		default:
			r.list(found)
		}
	}
}

func (r *runner) index(id string) int {
	return slices.IndexFunc(r.opt.Bank, func(sc scenarios.Scenario) bool { return sc.ID == id })
}

func (r *runner) list(scs []scenarios.Scenario) {
	r.gap()
	if len(scs) == 0 {
		r.say(0, "There is no joint to practise.")
	}
	for _, sc := range scs {
		row := view.JointRow(sc, r.opt.Settings.Units)
		r.line(fmt.Sprintf("%3d  %-6s %s", r.index(sc.ID)+1, row.ID, row.Title))
		gap := "gap " + row.Gap
		if row.Gap == "tight" {
			gap = "no gap"
		}
		r.say(5, strings.Join([]string{row.Joint, row.Metal, row.Thickness, gap, row.Position, "level " + strconv.Itoa(row.Level)}, ", "))
	}
}

// open makes a session for the learner.
func (r *runner) open(sc scenarios.Scenario) *session.Session {
	s := r.opt.NewSession(sc)
	s.Use(r.opt.Settings.Units, r.opt.Settings.Name)
	return s
}

// joint walks one joint until the learner wants another; next asks for the one
// that follows in the bank.
func (r *runner) joint(sc scenarios.Scenario) (next bool, err error) {
	s := r.open(sc)
	defer func() { err = errors.Join(err, s.Close(), s.Keep()) }()
	if r.opt.Past != nil {
		if err := s.Recall(r.opt.Past); err != nil {
			r.say(0, "! "+err.Error())
		}
	}
	r.sheet(sc)
	for {
		if err := r.answer(s); errors.Is(err, errBack) {
			return false, nil
		} else if err != nil {
			return false, err
		}
		r.say(0, "Welding ...")
		a, err := s.Weld(r.ctx)
		var lost *session.RecordError
		if err != nil && !errors.As(err, &lost) {
			if r.ctx.Err() != nil {
				return false, err
			}
			r.say(0, "This could not be welded: "+err.Error())
			continue
		}
		if err != nil {
			r.say(0, "! "+err.Error())
		}
		r.coupon(s, a)
		if err := r.guess(s); err != nil && !errors.Is(err, errBack) {
			return false, err
		}
		r.verdict(s, view.TellsAll(sc.Level))
		if err := r.rescue(s); err != nil {
			return false, err
		}
		again, next, err := r.after(s)
		if err != nil {
			return false, err
		}
		if !again {
			return next, nil
		}
	}
}

func (r *runner) sheet(sc scenarios.Scenario) {
	sh := view.JointSheet(sc, r.opt.Settings.Units)
	r.gap()
	r.say(0, fmt.Sprintf("%s  %s", sh.ID, sh.Title))
	r.say(0, sh.Position+", level "+strconv.Itoa(sh.Level))
	r.gap()
	r.say(0, sh.Job)
	for _, c := range sh.Cautions {
		r.say(0, "! caution: "+c)
	}
	r.gap()
	r.say(0, "Cross-section")
	for _, w := range view.SectionWords(sc.Task, r.opt.Settings.Units) {
		r.say(2, w)
	}
	r.gap()
	r.say(0, "Joint")
	r.facts(sh.Facts)
	if len(sh.Given) > 0 {
		r.say(0, "Given")
		r.facts(sh.Given)
	}
}

func (r *runner) facts(facts []view.Fact) {
	for _, f := range facts {
		r.hang(2, 12, f.Label, f.Text)
	}
}

// answer asks for every field in turn. What was set before is kept by an empty line.
func (r *runner) answer(s *session.Session) error {
	r.gap()
	for i := 0; i < len(s.Entries()); {
		e := s.Entries()[i]
		text, err := r.ask(fieldPrompt(e, s.System()))
		switch {
		case errors.Is(err, errBack) && i > 0:
			i--
			continue
		case err != nil:
			return err
		case text == "" && e.Ready():
			i++
			continue
		case text == "skip" && r.drilled:
			return errSkip
		case text == "??" && r.drilled && s.Scenario().Coaching.Look == "":
			r.say(2, s.Hint(e.Field.Key))
			continue
		case text == "" || text == "??" && s.Scenario().Coaching.Look == "":
			continue
		case text == "?":
			r.say(2, s.Hint(e.Field.Key))
			if s.Scenario().Coaching.Look != "" {
				r.say(2, "(?? asks what to look at first in this joint)")
			}
			if s.Scenario().Worked != nil {
				r.say(2, "(??? asks what a good hand sets here, and why)")
			}
			continue
		case text == "???" && s.Scenario().Worked != nil:
			r.say(2, view.Worked(s.Worked(e.Field.Key)))
			continue
		case text == "??":
			r.say(2, s.Look())
			continue
		}
		if err := s.Set(e.Field.Key, text); err != nil {
			_ = s.Set(e.Field.Key, e.Text) // what stood there before stays
			r.say(2, problem(err))
			continue
		}
		if err := s.Keep(); err != nil {
			r.say(0, "! "+err.Error())
		}
		i++
	}
	return nil
}

// fieldPrompt is the prompt of a field: label, what is allowed, what stands there.
func fieldPrompt(e session.Entry, sys weld.System) string {
	q := e.Field.Label + " (" + view.Allowed(e.Field, sys) + ")"
	if e.Ready() {
		q += " [" + e.Text + "]"
	}
	return q + ": "
}

// problem says what is wrong with a typed value without the field's key, which
// the learner has just been asked for.
func problem(err error) string {
	var fe *weld.FieldError
	if errors.As(err, &fe) {
		return fe.Problem
	}
	return err.Error()
}

func (r *runner) coupon(s *session.Session, a session.Attempt) {
	r.gap()
	r.say(0, fmt.Sprintf("Coupon %d", len(s.Tries())))
	r.piece(s.Scenario().Task, a.Verdict, s.System())
}

// piece says what there is to see of a welded piece, and its numbers.
func (c *console) piece(task weld.Task, v scoring.Verdict, sys weld.System) {
	for _, w := range view.CouponWords(task, v, sys) {
		c.say(2, w)
	}
	if seen := view.Signs(task, v, sys); seen != nil {
		c.gap()
		c.say(0, "What was to be seen")
		for _, at := range seen {
			for _, sign := range at.Signs {
				c.hang(2, 10, at.Place, sign.Text)
			}
		}
	}
	rows := view.Table(task, v.Coupon, tableRows, sys)
	if rows == nil {
		return
	}
	pen := "penetration"
	if task.Joint.Fillet() {
		pen = "root fused"
	}
	c.gap()
	c.line(fmt.Sprintf("  %-10s %-11s %-11s %-12s %s", "at", "face width", "back width", pen, "face colour"))
	for _, row := range rows {
		c.line(fmt.Sprintf("  %-10s %-11s %-11s %-12s %-11s %s", row.At, row.Face, row.Back, row.Pen, row.Colour, row.Note))
	}
}

// tableRows is how many lines the numbers along the seam take: enough to see a
// trend, few enough to be read aloud.
const tableRows = 11

// causes says what may have gone wrong; nil where there is nothing to say.
func (r *runner) causes(s *session.Session) []session.Cause {
	cs := s.Choices()
	if cs == nil {
		return nil
	}
	r.gap()
	r.say(0, "What went wrong?")
	for i, c := range cs {
		r.say(2, fmt.Sprintf("%d  %s", i+1, c.Text))
	}
	return cs
}

// guess asks what went wrong before anything is said of it.
func (r *runner) guess(s *session.Session) error {
	cs := r.causes(s)
	if cs == nil {
		return nil
	}
	for {
		text, err := r.ask("what went wrong (1 to " + strconv.Itoa(len(cs)) + "): ")
		if err != nil {
			return err
		}
		if text == "?" {
			r.say(2, "Look at the numbers along the seam: where do they change, and what would make them change there?")
			continue
		}
		if rule := session.PickCause(cs, text); rule != "" {
			if _, err := s.Say(rule); err != nil {
				r.say(0, "! "+err.Error())
			}
			return nil
		}
		if text != "" {
			r.say(2, "Type one of the numbers, or a word that stands in only one of the lines.")
		}
	}
}

func (r *runner) verdict(s *session.Session, all bool) {
	a, _ := s.Last()
	v, sys := a.Verdict, s.System()
	word, mark := view.Outcome(v.Outcome)
	r.gap()
	r.say(0, word+" "+mark+"   "+view.Said(v.Reason, sys))
	if g, ok := s.Said(); ok {
		r.say(0, view.GuessWords(g))
	}
	for _, sc := range view.Scores(v) {
		r.line(fmt.Sprintf("  %-16s %3d %s", sc.Name, sc.Value, sc.Mark()))
	}
	if v.Outcome != scoring.OutOfRange {
		r.say(2, fmt.Sprintf("(0 to 100; %.0f is the limit of what is accepted)", scoring.Limit))
	}
	told := view.Explain(s.Scenario().Task, v, all, sys)
	for _, f := range told.Findings {
		r.gap()
		r.say(0, view.SeverityMark(f.Severity)+" "+string(f.Severity)+": "+f.Head)
		for _, fact := range f.Facts {
			r.hang(2, 6, fact.Label, fact.Text)
		}
	}
	if told.More > 0 {
		r.gap()
		r.say(0, fmt.Sprintf("(and %d more: all tells them)", told.More))
	}
	if told.Signs != nil {
		r.gap()
		r.say(0, "What else was to be seen")
		for _, seen := range told.Signs {
			for _, sign := range seen.Signs {
				r.hang(2, 10, seen.Place, sign.Explained())
			}
		}
	}
	r.compare(s)
	switch {
	case s.Recorded():
		r.say(0, "Recorded.")
	case !s.Keeps():
		r.say(0, "Not recorded: no record is kept in this run.")
	}
}

// sources says where the findings come from.
func (r *runner) sources(s *session.Session) {
	a, _ := s.Last()
	told := view.Explain(s.Scenario().Task, a.Verdict, true, s.System())
	if told.Findings == nil {
		r.say(2, "There is no finding.")
	}
	for _, f := range told.Findings {
		r.say(2, f.Head+": "+f.Source)
	}
}

func (r *runner) compare(s *session.Session) {
	last, _ := s.Last()
	before, err := s.Before(r.opt.Past)
	if err != nil {
		r.say(0, "! "+err.Error())
	}
	if before == nil {
		return
	}
	c := view.Compare(*before, last, s.Entries(), s.System())
	r.gap()
	if n := len(s.Tries()); n > 1 {
		r.say(0, fmt.Sprintf("Beside coupon %d", n-1))
	} else {
		r.say(0, "Beside the coupon before it, welded "+view.When(before.At, r.now()))
	}
	if c.Changes == nil {
		r.say(2, "nothing was changed")
	}
	for _, ch := range append(append(c.Changes, c.Outcome), c.Scores...) {
		r.say(2, ch.Label+": "+ch.Before+" -> "+ch.After)
	}
}

// rescue looks for the smallest change that would have saved the coupon.
func (r *runner) rescue(s *session.Session) error {
	if try, _ := s.Last(); try.Run != nil {
		return r.byHand(s)
	}
	if _, ok := s.Search(); !ok {
		return nil
	}
	if err := s.Rescued(r.ctx); err != nil {
		return err
	}
	found, _ := s.Rescue()
	r.gap()
	r.say(0, "Smallest change that holds")
	for _, text := range view.RescueWords(found, s.System()) {
		r.say(2, text)
	}
	return nil
}

// window maps two settings around the answer and draws them: the n-th pair there is.
// again is what asks for the pair that follows.
func (r *runner) window(s *session.Session, n int, again string) error {
	pairs := s.Axes()
	if !s.Maps() || len(pairs) == 0 {
		r.say(2, "There is no window to map.")
		return nil
	}
	x := pairs[n%len(pairs)]
	r.say(0, "Mapping "+x.Words()+" ...")
	w, err := s.WindowNow(r.ctx, x)
	switch {
	case r.ctx.Err() != nil:
		return r.ctx.Err()
	case err != nil:
		r.say(2, "It could not be mapped: "+err.Error())
	case w == nil:
		r.say(2, "It is mapped once you have said what went wrong.")
	default:
		c := view.ChartOf(w, s.System(), len(w.Ys))
		if r.raised != nil {
			welded, others := r.raised.On(w, s)
			c.Show(w, welded, others)
		}
		r.gap()
		r.say(0, strings.Join(c.Words, " "))
		r.gap()
		for _, l := range c.Lines() {
			r.line(l)
		}
	}
	if len(pairs) > 1 {
		r.gap()
		r.say(0, "("+again+": "+pairs[(n+1)%len(pairs)].Words()+")")
	}
	return nil
}

// advice says what a good hand would try.
func (r *runner) advice(s *session.Session) {
	advice := s.Advice()
	if advice == nil {
		r.say(2, "There is no advice for this joint.")
	}
	for _, t := range advice {
		r.say(2, t)
	}
}

// after asks how to go on when the verdict has been read.
func (r *runner) after(s *session.Session) (again, next bool, err error) {
	for windows := 0; ; {
		text, err := r.ask("again, next, list, window, all, sources, advice or quit: ")
		if errors.Is(err, errBack) {
			text, err = "again", nil
		}
		if err != nil {
			return false, false, err
		}
		switch text {
		case "again", "a", "w", "weld":
			return true, false, nil
		case "next", "n":
			return false, true, nil
		case "list", "l":
			return false, false, nil
		case "all":
			r.verdict(s, true)
		case "window":
			if err := r.window(s, windows, "window once more"); err != nil {
				return false, false, err
			}
			windows++
		case "sources":
			r.sources(s)
		case "advice":
			r.advice(s)
		case "":
		default:
			r.say(2, "again welds this joint once more with your answers kept, next takes the joint that follows in the list, list chooses another, window maps two settings around yours: where the joint fuses, holds or burns through, all tells every finding, sources says where they come from, advice says what a good hand would try, quit leaves.")
		}
	}
}
