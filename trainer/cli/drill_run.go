package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/session"
	"puddlewise/trainer/tui"
)

type drillRunOptions struct {
	*app
	screenOptions
	Name, Roster, Out, Key, Joints, Units string
}

func newDrillRun(a *app) *cobra.Command {
	o := &drillRunOptions{app: a}
	cmd := &cobra.Command{
		Use:   "run DRILL|FILE --name NAME|--roster FILE [--out FILE|DIR] [--plain]",
		Short: "Go through a drill, on the screen or line by line",
		Long: `Go through a drill: in a terminal on the full screen, else and with --plain line by
line; the one goes on with what the other began. Every coupon is on disk before it is
welded, so whoever ends the program in the middle of a weld has used the try, and every
field once it is left. The same command goes on where it was, after quitting, a crash or
a closed lid. The clock stands still while it is closed or the machine sleeps, and the
result says how often and how long that was; killed, the last ten seconds before it
count as away too.

A joint that the drill has welded by hand is a try from the strike on. Line by line it
takes a run's file: weld it on the screen (puddlewise arc --out FILE), say run FILE.

With --roster a class takes turns at one machine: a CSV file, names under a head that
says name, other columns are left alone; --out is then a folder, made if need be. The
screen lists the class and how each stands; nobody sees another's answers or coupons.
Names are only what you typed; puddlewise drill forget and record forget --learner
remove a learner.

With --key the result is sealed with the class key, a file only the instructor and
the class's machines have: a line of words nobody guesses will do. A seal shows a later
change by anyone without that file. It does not show who sat at the keyboard, nor a
change by somebody who has the key, nor a machine whose clock was set.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile, exitNoTerminal),
		Example: "  puddlewise drill run amps-first --name Ann --key class.key",
		Args:    oneFile("a drill of puddlewise drill list, or a file"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args[0]) },
	}
	cmd.Flags().StringVar(&o.Name, "name", "", "the learner's `NAME`")
	cmd.Flags().StringVar(&o.Roster, "roster", "", "the names of a class that takes turns, a CSV `FILE`")
	cmd.Flags().StringVar(&o.Out, "out", "", "the result's `FILE`, else DRILL-NAME.json; with --roster a folder")
	cmd.Flags().StringVar(&o.Key, "key", "", "seal the result with the class key in `FILE`")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	o.flags(cmd)
	return cmd
}

func (o *drillRunOptions) run(name string) error {
	learners, err := o.learners()
	if err != nil {
		return err
	}
	d, err := openDrill(name)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	key, err := readKey(o.Key)
	if err != nil {
		return err
	}
	if err := o.room(d, learners); err != nil {
		return err
	}
	at, err := o.sit()
	if err != nil {
		return err
	}
	err = o.front(at, d, learners, joints, key)
	var path *fs.PathError
	if errors.Is(err, drill.ErrResult) && !errors.As(err, &path) {
		err = badFile(err)
	}
	return at.end(err)
}

// front runs a drill in the front end that was asked for.
func (o *drillRunOptions) front(at *sitting, d drill.Drill, learners []string, joints []scenarios.Scenario, key []byte) error {
	settings := at.settings
	var err error
	if settings.Units, err = unitsOf(o.Units, settings.Units); err != nil {
		return err
	}
	known := &machineKnown{app: o.app} // so that verify need not weld it again here
	defer known.close()
	judge := drill.Judging(scoring.Judge, known)
	helps := session.Options{
		Judge: judge, Recorder: at.store, System: settings.Units, Mode: "drill", NoHints: !d.Hints, Now: o.env.Now, NewID: o.env.NewID,
	}
	if d.Hints { // the smallest change and the window are hints too
		helps.Save, helps.SaveRun, helps.DabTime, helps.Map = scoring.Save, scoring.SaveRun, scoring.TimeToDab, scoring.MapWindow
	}
	look := func(ctx context.Context, learner string) (*drill.Run, bool, error) {
		return drill.Look(d, drill.Sitting{
			Bank: joints, Learner: learner, File: o.file(d, learner), Key: key, Vary: drill.Varying(varied(ctx), known), Judge: judge,
			Program: version(), Model: scoring.ModelVersion, Now: o.env.Now,
		})
	}
	newSession := func(sc scenarios.Scenario) *session.Session { return session.New(sc, helps) }
	desk := o.desk(joints, at.store)
	if t := o.terminal(); o.full(t) {
		err = noScreen(tui.Run(at.ctx, tui.Options{
			Bank: joints, Settings: settings, Save: at.save, Term: t.Kind, Now: o.env.Now, Questions: desk, NewSession: newSession,
			Drill: &tui.Drill{Learners: learners, Look: look, File: func(learner string) string { return o.file(d, learner) }},
		}))
		if err == nil {
			o.left(d, learners)
		}
		return err
	}
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	err = plain.RunDrill(at.ctx, plain.Options{
		In: o.In, Out: o.app.Out, Settings: settings, Save: at.save, Now: o.env.Now, Echo: !o.terminal().In, Questions: desk, NewSession: newSession, ReadRun: readRun,
	}, learners, func(learner string) (*drill.Run, bool, error) {
		run, resumed, err := look(at.ctx, learner)
		if err == nil {
			err = run.Start()
		}
		return run, resumed, err
	}, tick.C)
	if (err == nil || errors.Is(err, context.Canceled)) && len(learners) == 1 {
		fmt.Fprintf(o.app.Out, "The result is in %s.\n", o.file(d, learners[0]))
	}
	return err
}

// left says, once the screen is gone, how to go on and where the result is.
func (o *drillRunOptions) left(d drill.Drill, learners []string) {
	for _, learner := range learners {
		r, err := drill.ReadResult(o.file(d, learner))
		if err == nil && !r.Done {
			fmt.Fprintln(o.app.Out, "Left. The same command goes on where this was.")
			break
		}
	}
	if file := o.file(d, learners[0]); len(learners) == 1 {
		if _, err := os.Stat(file); err == nil {
			fmt.Fprintf(o.app.Out, "The result is in %s.\n", file)
		}
	}
}

// learners gives the one named, or those of the roster.
func (o *drillRunOptions) learners() ([]string, error) {
	if o.Roster != "" && o.Name != "" {
		return nil, usageError("--name and --roster do not go together\none learner, or a class")
	}
	if o.Roster != "" {
		f, err := os.Open(o.Roster)
		if err != nil {
			return nil, badFile(err)
		}
		defer f.Close()
		names, err := drill.ReadRoster(o.Roster, f)
		if err != nil {
			return nil, badFile(err)
		}
		return names, nil
	}
	name := strings.Join(strings.Fields(o.Name), " ")
	if name == "" || len(name) > drill.LongestName || strings.ContainsFunc(name, unicode.IsControl) {
		return nil, usageError("drill run needs --name, of %d letters at most, or --roster\nwhose result is it?", drill.LongestName)
	}
	return []string{name}, nil
}

// room makes the folder that results go to, before anybody is asked for an answer, and
// says of two learners whose results would be one file.
func (o *drillRunOptions) room(d drill.Drill, learners []string) error {
	of := map[string]string{}
	for _, learner := range learners {
		file := o.file(d, learner)
		if info, err := os.Stat(file); err == nil && info.IsDir() {
			return badFile(fmt.Errorf("%s is a folder, the result is a file\n--out %s", file, filepath.Join(file, resultFile(d.ID, learner))))
		}
		name := strings.ToLower(file) // some machines take the two for one
		if other, twice := of[name]; twice {
			return badFile(fmt.Errorf("%s: %s and %s would both be kept in %s\ntell them apart by letters or digits", o.Roster, other, learner, file))
		}
		of[name] = learner
	}
	if err := os.MkdirAll(filepath.Dir(o.file(d, learners[0])), 0o755); err != nil {
		return badFile(err)
	}
	return nil
}

// file is where a learner's result goes.
func (o *drillRunOptions) file(d drill.Drill, learner string) string {
	switch {
	case o.Roster != "":
		return filepath.Join(o.Out, resultFile(d.ID, learner))
	case o.Out == "":
		return resultFile(d.ID, learner)
	}
	return o.Out
}
