package plain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// ShowDrill takes a class through a drill before one screen: the joint, the clock, a show
// of hands or one agreed answer, the coupon, what went wrong by hands, the verdict and
// what would have changed it. Nothing is kept. tick, when not nil, lets the clock speak
// while the class thinks.
func ShowDrill(ctx context.Context, opt Options, d drill.Drill, vary drill.Vary, tick <-chan time.Time) error {
	r := &runner{console: newConsole(ctx, opt.In, opt.Out, opt.Echo), ctx: ctx, opt: opt, filter: view.Filter{}, drilled: true}
	picked, err := d.Pick(opt.Bank, "")
	if err != nil {
		return err
	}
	r.say(0, d.Title)
	r.say(0, d.Aim)
	r.say(0, "Type one answer that all agree on, or hands: 60 A: 7, 90 A: 4. The most hands are welded. stop stops the clocks, skip leaves a joint, quit the drill.")
	var whole *clock
	for i, sc := range picked {
		r.gap()
		r.line(rule)
		r.say(0, fmt.Sprintf("JOINT %d OF %d", i+1, len(picked)))
		made := d.Make(sc, "", vary)
		if whole == nil { // drawing a variation is nobody's time
			whole = newClock("left for the drill", d.Whole, r.now())
		}
		err := r.showJoint(d, made, whole, tick)
		if errors.Is(err, errSkip) {
			continue
		}
		if errors.Is(err, errLeave) || errors.Is(err, io.EOF) {
			r.say(0, "Left.")
			return r.out.err
		}
		if err != nil {
			return err
		}
	}
	r.gap()
	r.say(0, "That was the last joint.")
	return r.out.err
}

// rule sets what is shown apart, across the screen.
var rule = strings.Repeat("=", columns-1)

func (r *runner) showJoint(d drill.Drill, sc scenarios.Scenario, whole *clock, tick <-chan time.Time) (err error) {
	s := r.open(sc)
	defer func() { err = errors.Join(err, s.Close()) }()
	r.raised = drill.Shown{}
	r.sheet(sc)
	here := newClock("left for this joint", d.PerJoint, r.now())
	r.gap()
	for _, c := range []*clock{here, whole} {
		r.clockSays(c)
	}
	r.ticking(tick, here, whole)
	defer r.ticking(nil)
	for {
		if err := r.hands(s, tick, here, whole); err != nil {
			return err
		}
		r.ticking(nil)
		r.say(0, "Welding ...")
		a, err := s.Weld(r.ctx)
		if err != nil {
			if r.ctx.Err() != nil {
				return err
			}
			r.say(0, "This could not be welded: "+err.Error())
			continue
		}
		r.coupon(s, a)
		if err := r.guessByHands(s); err != nil && !errors.Is(err, errBack) {
			return err
		}
		r.verdict(s, view.TellsAll(sc.Level))
		if err := r.rescue(s); err != nil {
			return err
		}
		again, err := r.afterShow(s)
		if err != nil || !again {
			return err
		}
	}
}

// hands asks the class for every field in turn; the clocks can be stopped.
func (r *runner) hands(s *session.Session, tick <-chan time.Time, clocks ...*clock) error {
	r.gap()
	for i := 0; i < len(s.Entries()); {
		e := s.Entries()[i]
		text, err := r.ask(fieldPrompt(e, s.System()))
		switch {
		case errors.Is(err, errBack) && i > 0:
			i--
			continue
		case errors.Is(err, errBack):
			r.say(2, "This is where the joint begins; skip leaves it.")
			continue
		case err != nil:
			return err
		case text == "skip":
			return errSkip
		case text == "stop":
			if err := r.stopped(tick, clocks...); err != nil {
				return err
			}
			continue
		case text == "" && e.Ready():
			i++
			continue
		case text == "":
			continue
		case text == "?":
			r.say(2, s.Hint(e.Field.Key))
			r.say(2, "Type one answer, or options with their hands: 60 A: 7, 90 A: 4.")
			continue
		}
		up, err := drill.ReadHands(text)
		if err != nil {
			r.say(2, err.Error())
			continue
		}
		if err := drill.SetHands(s, e.Field.Key, up); err != nil {
			r.say(2, problem(err))
			continue
		}
		r.raised[e.Field.Key] = up
		r.bars(up)
		i++
	}
	return nil
}

// stopped stops the clocks until the class goes on.
func (r *runner) stopped(tick <-chan time.Time, clocks ...*clock) error {
	from := r.now()
	r.ticking(nil)
	_, err := r.ask("The clocks stand still. Enter goes on: ")
	if errors.Is(err, errBack) {
		err = nil
	}
	for _, c := range clocks {
		c.later(r.now().Sub(from))
	}
	r.ticking(tick, clocks...)
	return err
}

// bars shows how many hands each option had.
func (r *runner) bars(up []drill.Hand) {
	const wide = 40
	for _, h := range up {
		if h.Count == 0 && len(up) == 1 {
			return
		}
		r.line(fmt.Sprintf("  %-22.22s %3d %s", ascii(h.Option), h.Count, strings.Repeat("#", (h.Count*wide+up[0].Count-1)/up[0].Count)))
	}
}

// guessByHands asks what went wrong; causes are told by their numbers.
func (r *runner) guessByHands(s *session.Session) error {
	cs := r.causes(s)
	if cs == nil {
		return nil
	}
	for {
		text, err := r.ask("what went wrong, one number or hands (1: 5, 3: 8): ")
		if err != nil {
			return err
		}
		if text == "" || text == "?" {
			r.say(2, "Type one number that all agree on, or numbers with their hands.")
			continue
		}
		up, rules, err := drill.CauseHands(cs, text)
		if err != nil {
			r.say(2, err.Error())
			continue
		}
		r.bars(up)
		_, err = s.Say(rules[0])
		return err
	}
}

func (r *runner) afterShow(s *session.Session) (again bool, err error) {
	for windows := 0; ; {
		text, err := r.ask("next, again, window, all, advice or quit: ")
		if errors.Is(err, errBack) {
			text, err = "again", nil
		}
		if err != nil {
			return false, err
		}
		switch text {
		case "next", "n", "skip":
			return false, nil
		case "again", "a":
			return true, nil
		case "window":
			if err := r.window(s, windows, "window once more"); err != nil {
				return false, err
			}
			windows++
		case "all":
			r.verdict(s, true)
		case "advice":
			r.advice(s)
		case "":
		default:
			r.say(2, "next shows the joint that follows, again welds this one with other answers, window maps two settings around the class's answer, all tells every finding, advice what a good hand would try, quit leaves.")
		}
	}
}

// clock counts down and speaks at round times.
type clock struct {
	what string
	end  time.Time // zero: no limit
	said time.Duration
}

func newClock(what string, limit time.Duration, now time.Time) *clock {
	c := &clock{what: what}
	if limit > 0 {
		c.end, c.said = now.Add(limit), limit+time.Hour
	}
	return c
}

// later puts the end off by a time in which the clock stood still.
func (c *clock) later(by time.Duration) {
	if !c.end.IsZero() {
		c.end = c.end.Add(by)
	}
}

// speaks gives what the clock says now, "" for nothing: whole minutes, then 30 and 10 s
// before the end, then that the time is up.
func (c *clock) speaks(now time.Time) string {
	if c.end.IsZero() || c.said == 0 {
		return ""
	}
	left := max(0, c.end.Sub(now))
	mark := left.Truncate(time.Minute) + time.Minute
	for _, m := range []time.Duration{left.Truncate(time.Minute), 30 * time.Second, 10 * time.Second} {
		if left <= m {
			mark = m
		}
	}
	switch {
	case left == 0:
		c.said = 0
		return "The time is up: no time " + c.what + "."
	case mark >= c.said:
		return ""
	}
	c.said = mark
	return view.Spell(left) + " " + c.what + "."
}

func (r *runner) clockSays(c *clock) {
	if text := c.speaks(r.now()); text != "" {
		r.say(0, text)
	}
}

// ticking lets clocks speak while a question waits; with tick nil they are silent.
func (r *runner) ticking(tick <-chan time.Time, clocks ...*clock) {
	r.tick, r.ticked = tick, nil
	if tick != nil {
		r.ticked = func() (said []string) {
			for _, c := range clocks {
				if text := c.speaks(r.now()); text != "" {
					said = append(said, text)
				}
			}
			return said
		}
	}
}
