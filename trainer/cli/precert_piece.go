package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/plain"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session"
)

func newPrecertList(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "The test pieces to practise on",
		Long: `List the test pieces that ship; each may be welded by its id. One of your own is a
YAML file: title, designation, procedure (an id), time (30 min), blanks, and welds, a
list of joint (an id of the bank, or a joint written out as in puddlewise new joint)
and restart (yes: stopped and restarted in the middle).` + exitCodes(exitDone, exitUsage),
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			all, err := precert.Pieces()
			if err != nil {
				return err
			}
			for _, p := range all {
				fmt.Fprintf(a.Out, "%s  %s\n       %s\n       procedure %s, %.0f min, %s\n", p.ID, p.Title, p.Test, p.Procedure, p.Time.Minutes(), counted(p.Blanks, "blank"))
			}
			return nil
		},
	}
}

// openPiece finds a test piece that ships by its id, or reads a file.
func openPiece(name string) (precert.Piece, error) {
	all, err := precert.Pieces()
	if err != nil {
		return precert.Piece{}, err
	}
	var ids []string
	for _, p := range all {
		if strings.EqualFold(p.ID, name) {
			return p, nil
		}
		ids = append(ids, p.ID)
	}
	data, err := ownFile(name, "test piece", "precert list", nearest(strings.ToUpper(name), ids))
	if err != nil {
		return precert.Piece{}, err
	}
	return precert.ParsePiece(name, data)
}

type testOptions struct {
	*app
	Name, Out, Joints, Units string
	Seed                     int64
}

func newPrecertTest(a *app) *cobra.Command {
	o := &testOptions{app: a}
	cmd := &cobra.Command{
		Use:   "test ID|FILE --name NAME [--seed N] [--out FILE]",
		Short: "Weld a test piece, line by line",
		Long: `Weld a test piece under a test's rules, line by line: a written procedure, a time
allowed, some blanks to set up on, no hints, and the test piece once. --seed draws the
conditions: gap, draught, the part's temperature. Each weld is then held to the
procedure and inspected as a test piece of ISO 9606-1; the line that fails decides.

Every field is on disk once it is left, every weld before it is shown. After quitting
or a crash the same command goes on where it was, on the same test piece; the time
away stands on the paper. On a machine that is locked to a test (puddlewise precert
lock) nothing need follow.

A restart in the middle is welded as two runs, the second on the heat of the first:
the model lays no run over another's crater. It practises judgement, not hand skill,
and certifies nothing. Coupons of a test are kept in its file and not in the record.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert test TS-01 --name Ann --seed 3",
		Args:    cobra.MaximumNArgs(1),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(strings.Join(args, "")) },
	}
	cmd.Flags().StringVar(&o.Name, "name", "", "the learner's `NAME`")
	cmd.Flags().Int64Var(&o.Seed, "seed", 0, "draw the conditions of this `NUMBER`; 0: as written")
	cmd.Flags().StringVar(&o.Out, "out", "", "the test's `FILE`; ID-NAME.json when not given")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	unitsFlag(cmd, &o.Units)
	return cmd
}

func (o *testOptions) run(id string) error {
	lock, locked, err := o.lock()
	if err == nil && locked {
		id, err = o.locked(lock, id)
	}
	if err != nil {
		return err
	}
	if id == "" {
		return usageError("precert test needs a test piece\npuddlewise precert list names them")
	}
	name := strings.Join(strings.Fields(o.Name), " ")
	if name == "" || len(name) > drill.LongestName {
		return usageError("precert test needs --name, of %d letters at most\nwhose test is it?", drill.LongestName)
	}
	if o.Seed < 0 {
		return usageError("--seed cannot be %d\nwrite 0 or more", o.Seed)
	}
	p, err := openPiece(id)
	if err != nil {
		return err
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	at, err := o.sit()
	if err != nil {
		return err
	}
	return at.end(o.test(at, lock, locked, p, name, joints))
}

// test sits a learner down to a test piece.
func (o *testOptions) test(at *sitting, lock precert.Lock, locked bool, p precert.Piece, name string, joints []scenarios.Scenario) error {
	settings := at.settings
	var err error
	if settings.Units, err = unitsOf(o.Units, settings.Units); err != nil {
		return err
	}
	settings.Name = name
	file := o.Out
	if file == "" {
		file = resultFile(p.ID, name)
	}
	t, resumed, err := precert.Sit(p, precert.Seat{Bank: joints, Learner: name, Seed: o.Seed, File: file, Program: version(), Model: scoring.ModelVersion, Judge: scoring.Judge, Now: o.env.Now})
	var path *fs.PathError
	if errors.Is(err, precert.ErrTaken) && !errors.As(err, &path) {
		return badFile(err)
	} else if err != nil {
		return err
	}
	if locked && !lock.Begun {
		lock.Begun = true
		name, err := o.lockFile()
		if err == nil {
			err = lock.Write(name)
		}
		if err != nil {
			return err
		}
	}
	err = plain.RunTest(at.ctx, plain.Options{
		In: o.In, Out: o.app.Out, Settings: settings, Save: at.save, Now: o.env.Now, Echo: !o.terminal().In,
		NewSession: func(sc scenarios.Scenario) *session.Session {
			return session.New(sc, session.Options{Judge: scoring.Judge, Drafts: t, System: settings.Units, Mode: "test", NoHints: true, Now: o.env.Now, NewID: o.env.NewID})
		},
	}, t, resumed)
	if err == nil || errors.Is(err, context.Canceled) {
		fmt.Fprintf(o.app.Out, "The test is in %s.\n", file)
	}
	return err
}
