package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/practice"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/question"
	"puddlewise/trainer/tui"
)

type practiceOptions struct {
	*app
	Plain    bool
	Scenario string
	Seed     int64
	Joints   string
	Units    string
	Theme    string
	ASCII    bool
	Still    bool
	keepRun  func(arc.Run) error // a live run that ended; nil: none is kept
	happens  int64               // seed of what happens in a live run
}

const plainHint = "puddlewise practice --plain goes line by line"

// newTrainer is the root command: without a word, the trainer opens.
func newTrainer(a *app) *cobra.Command {
	o := &practiceOptions{app: a}
	cmd := &cobra.Command{
		Use:   "puddlewise",
		Short: "Train the eye for manual TIG welding on thin sheet and tube",
		Long: `puddlewise trains apprentices of manual TIG (GTAW) welding on thin sheet and
tube: look at a joint, choose settings and technique, see the coupon a computed
puddle welds from them, and hear why it is accepted or rejected.

Without a command it opens the trainer. It is practice, not a procedure: the
shop's WPS, the local code and a licensed instructor come first.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Args:    noArguments,
		Version: version(),
		RunE:    func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags()) },
	}
	cmd.SetVersionTemplate(versionLine() + "\n")
	o.flags(cmd)
	return cmd
}

func newPractice(a *app) *cobra.Command {
	o := &practiceOptions{app: a}
	cmd := &cobra.Command{
		Use:   "practice [--plain] [--scenario ID|FILE]",
		Short: "Practise, on the screen or line by line",
		Long: `Practise: the same as puddlewise alone, or at one joint with --scenario.

With --plain it goes line by line, for pipes, dumb terminals and screen readers.
What is set on the screen is remembered from one start to the next, and so is
--units; the other flags win over it for this run.` +
			exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Example: "  puddlewise practice --plain --units inch\n  puddlewise practice --scenario B-01",
		Args:    noArguments,
		RunE:    func(cmd *cobra.Command, _ []string) error { return o.run(cmd.Flags()) },
	}
	cmd.Flags().BoolVar(&o.Plain, "plain", false, "line by line, without a screen")
	cmd.Flags().StringVar(&o.Scenario, "scenario", "", "the joint: its `ID`, or a file")
	seedFlag(cmd, &o.Seed)
	offer(cmd, "scenario", jointIDs)
	o.flags(cmd)
	return cmd
}

func (o *practiceOptions) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	cmd.Flags().StringVar(&o.Theme, "theme", "", "`COLOURS` of the screen: "+strings.Join(themes(), ", "))
	cmd.Flags().BoolVar(&o.ASCII, "ascii", false, "draw with plain characters only")
	cmd.Flags().BoolVar(&o.Still, "still", false, "no motion on the screen")
	offer(cmd, "theme", themes)
}

func themes() []string {
	var names []string
	for _, t := range tui.Themes {
		names = append(names, t.Name)
	}
	return names
}

func (o *practiceOptions) run(flags *pflag.FlagSet) error {
	t := o.terminal()
	if !o.Plain && !t.usable() {
		return &codedError{exitNoTerminal, fmt.Errorf("there is no terminal to draw on%s\n%s", whyNot(t), plainHint)}
	}
	if _, err := unitsOf(o.Units, weld.Metric); err != nil {
		return err
	}
	if _, ok := tui.ThemeNamed(o.Theme); !ok && o.Theme != "" {
		return oneOf("theme", o.Theme, themes()...)
	}
	joints, start, err := o.choose()
	if err != nil {
		return err
	}
	at, err := o.sit()
	if err != nil {
		return err
	}
	store, settings := at.store, at.settings
	if o.Units != "" { // remembered, like everything a learner sets
		if settings.Units, err = unitsOf(o.Units, settings.Units); err == nil {
			err = store.SaveSettings(settings)
		}
		if err != nil {
			return at.end(err)
		}
	}
	o.override(&settings, flags)
	return at.end(o.front(at, frontOptions{
		bank: joints, start: start, settings: settings, terminal: t,
		questions: o.desk(joints, store),
		newSession: func(sc scenarios.Scenario) *session.Session {
			return session.New(sc, session.Options{
				Judge: scoring.Judge, Save: scoring.Save, SaveRun: scoring.SaveRun, DabTime: scoring.TimeToDab, Map: scoring.MapWindow, Recorder: store, Drafts: store, System: settings.Units, Learner: settings.Name,
				Mode: "self-study", Now: o.env.Now, NewID: o.env.NewID,
			})
		},
	}))
}

// override lets what was said on the command line win over what is remembered, for this run.
func (o *practiceOptions) override(s *record.Settings, flags *pflag.FlagSet) {
	if o.Theme != "" {
		s.Theme = o.Theme
	}
	if flags.Changed("ascii") {
		s.ASCII = o.ASCII
	}
	if flags.Changed("still") {
		s.Still = o.Still
	}
}

// choose gives the joints to practise, and where to start if one was named.
func (o *practiceOptions) choose() (joints []scenarios.Scenario, start string, err error) {
	if joints, err = bank(o.Joints); err != nil || o.Scenario == "" {
		if err == nil && o.Seed != 0 {
			err = usageError("--seed needs --scenario\npuddlewise joints lists the ids")
		}
		return joints, "", err
	}
	sc, err := scenario(o.Scenario, o.Joints)
	if err == nil {
		err = canVary(sc, o.Seed)
	}
	if err != nil {
		return nil, "", err
	}
	for i, s := range joints {
		if s.ID == sc.ID { // a file may be a learner's own version of a joint in the bank
			joints[i] = sc
			return joints, sc.ID, nil
		}
	}
	return append(joints, sc), sc.ID, nil
}

// frontOptions is what either front end is given.
type frontOptions struct {
	bank       []scenarios.Scenario
	start      string
	settings   record.Settings
	terminal   terminal
	newSession func(scenarios.Scenario) *session.Session
	questions  *question.Desk
}

// front runs the front end that was asked for.
func (o *practiceOptions) front(at *sitting, f frontOptions) error {
	var err error
	if o.Plain {
		err = plain.Run(at.ctx, plain.Options{
			In: o.In, Out: o.Out, Bank: f.bank, Start: f.start, Seed: o.Seed, NewSession: f.newSession, Vary: practice.Vary, Settings: f.settings, Save: at.save, Questions: f.questions,
			Past: at.store, Now: o.env.Now, Echo: !f.terminal.In,
		})
	} else {
		err = tui.Run(at.ctx, tui.Options{
			Bank: f.bank, Start: f.start, Seed: o.Seed, NewSession: f.newSession, Vary: practice.Vary, Settings: f.settings, Save: at.save, Questions: f.questions,
			Term: f.terminal.Kind, Past: at.store, Now: o.env.Now, KeepRun: o.keepRun, Happens: o.happens,
		})
		if errors.Is(err, tui.ErrNoTerminal) {
			err = &codedError{exitNoTerminal, fmt.Errorf("%w\n%s", err, plainHint)}
		}
	}
	return err
}

// whyNot says in brackets what makes a terminal unusable.
func whyNot(t terminal) string {
	switch {
	case !t.In:
		return " (the input is not one)"
	case !t.Out:
		return " (the output is not one)"
	}
	return " (TERM is dumb or not set)"
}
