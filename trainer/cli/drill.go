package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode"

	"github.com/spf13/cobra"

	"puddlewise/scenarios"
	"puddlewise/scenarios/strict"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/practice"
	"puddlewise/trainer/session"
)

func newDrill(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "drill",
		Short: "Run a class through the same joints",
		Long: `Run a class through the same joints: each learner gets a result, an instructor
checks the results by welding every coupon again, and reads the class's table.` + exitCodes(exitDone, exitUsage),
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newDrillList(a), newDrillCheck(a), newDrillNew(a), newDrillRun(a), newDrillShow(a), newDrillVerify(a), newDrillReport(a), newDrillDebrief(a), newDrillForget(a))
	return cmd
}

func newDrillList(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "list",
		Short: "The drills that ship",
		Long:  "List the drills that ship; each may be run by its name." + exitCodes(exitDone, exitUsage),
		Args:  noArguments,
		RunE: func(*cobra.Command, []string) error {
			all, err := drill.Shipped()
			if err != nil {
				return err
			}
			w := tabwriter.NewWriter(a.Out, 0, 0, 2, ' ', 0)
			for _, d := range all {
				n := len(d.Joints)
				if n == 0 {
					n = d.Choose.Count
				}
				fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", d.ID, d.Title, counted(n, "joint"), limits(d))
			}
			return w.Flush()
		},
	}
}

// limits says what a drill allows, in a few words.
func limits(d drill.Drill) string {
	parts := []string{counted(d.Tries, "coupon") + " each"}
	if d.Whole > 0 {
		parts = append(parts, fmt.Sprintf("%.0f min in all", d.Whole.Minutes()))
	}
	switch d.Varied {
	case drill.VariedSame:
		parts = append(parts, "varied")
	case drill.VariedOwn:
		parts = append(parts, "varied for each")
	}
	if slices.ContainsFunc(d.Kinds, drill.Asks) {
		parts = append(parts, "with questions")
	}
	if slices.Contains(d.Kinds, drill.Live) {
		parts = append(parts, "by hand")
	}
	if !d.Hints {
		parts = append(parts, "no hints")
	}
	return strings.Join(parts, ", ")
}

func drillIDs() []string {
	var out []string
	all, _ := drill.Shipped()
	for _, d := range all {
		out = append(out, d.ID)
	}
	return out
}

// openDrill finds one that ships by its name, or reads a file.
func openDrill(name string) (drill.Drill, error) {
	all, err := drill.Shipped()
	if err != nil {
		return drill.Drill{}, err
	}
	for _, d := range all {
		if strings.EqualFold(d.ID, name) {
			return d, nil
		}
	}
	data, err := ownFile(name, "drill", "drill list", nearest(name, drillIDs()))
	if err != nil {
		return drill.Drill{}, err
	}
	return drill.Parse(name, data)
}

// ownFile reads a file that is named where one that ships could be; near is a hint at
// what ships under a name like it.
func ownFile(name, what, list, near string) ([]byte, error) {
	if !strings.ContainsAny(name, `./\`) {
		if near == "" {
			near = "\npuddlewise " + list + " names them; a file's name ends in .yaml"
		}
		return nil, badFile(fmt.Errorf("there is no %s %.40q%s", what, name, near))
	}
	dir, base := filepath.Split(filepath.Clean(name))
	if dir == "" {
		dir = "."
	}
	if !fs.ValidPath(base) || base == "." {
		return nil, badFile(fmt.Errorf("%s is a folder, not a file\nname one file in it", name))
	}
	return strict.Bytes(os.DirFS(dir), base, name)
}

func newDrillCheck(a *app) *cobra.Command {
	var joints string
	cmd := &cobra.Command{
		Use:   "check FILE...",
		Short: "Check drills you have written",
		Long:  "Check drills you have written: every mistake at once, and whether the bank has\nwhat they ask for." + exitCodes(exitDone, exitUsage, exitBadFile),
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usageError("drill check needs a file\npuddlewise drill check monday.yaml")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			all, err := bank(joints)
			if err != nil {
				return err
			}
			var problems strict.Problems
			for _, name := range args {
				d, err := openDrill(name)
				if err == nil {
					if _, err = d.Pick(all, ""); err != nil {
						message, hint, _ := strings.Cut(err.Error(), "\n")
						err = strict.Problems{{File: name, Message: message, Hint: hint}}
					}
				}
				var ps strict.Problems
				switch {
				case errors.As(err, &ps):
					problems = append(problems, ps...)
				case err != nil:
					return err
				}
			}
			if problems != nil {
				return problems
			}
			fmt.Fprintf(a.Out, "ok: %s\n", counted(len(args), "file"))
			return nil
		},
	}
	cmd.Flags().StringVar(&joints, "joints", "", jointsFlagHelp)
	return cmd
}

const drillText = `# A drill of your own. Ask   puddlewise drill check %[1]s
title: Amps for the wall
aim: >
  One or two sentences, said to the class first.

# The joints by id, or in place of it
#   choose: {skill: choosing amps, metal: 304, level: 2, count: 5}
joints: [B-01, T-01]
order: fixed             # or shuffled: each learner has an order of their own
# kinds: [weld, spot]    # joint by joint, over and over: weld, live (by hand), or a question of puddlewise ask
# speed: real            # the slowest a live joint may be welded at: real, half, quarter
# happens: no            # yes: a draught, a gap that opens...: what the joint's file names may happen to a hand
variations: none         # or same: other numbers, the same for all; own: for each their own

# What is asked. Left out: what each joint asks by itself.
# ask: [amps, travel]
hints: yes
tries: 2                 # coupons at a joint
time: {joint: 5 min, whole: 40 min}   # either may be left out
pass: {burn_through: 50, lack_of_fusion: 50, oxide: 50}
`

func newDrillNew(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "new FILE",
		Short: "Start a file with a drill of your own",
		Long:  "Write a file with a whole drill, commented, to change into your own. A file that is\nthere already is left as it is." + exitCodes(exitDone, exitError, exitUsage),
		Args:  oneFile("puddlewise drill new monday.yaml"),
		RunE: func(_ *cobra.Command, args []string) error {
			f, err := os.OpenFile(args[0], os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
			if err != nil {
				return fmt.Errorf("the drill was not started: %w", err)
			}
			_, err = fmt.Fprintf(f, drillText, args[0])
			if err = errors.Join(err, f.Close()); err != nil {
				return err
			}
			fmt.Fprintf(a.Out, "started %s\n", args[0])
			return nil
		},
	}
}

// readKey reads a class key: any file of 8 to 4096 bytes.
func readKey(name string) ([]byte, error) {
	if name == "" {
		return nil, nil
	}
	key, err := os.ReadFile(name)
	if err != nil {
		return nil, badFile(err)
	}
	key = bytes.TrimSpace(key)
	if len(key) < 8 || len(key) > 4096 {
		return nil, badFile(fmt.Errorf("%s is no class key: %d bytes, 8 to 4096 are taken\na line of words nobody guesses will do", name, len(key)))
	}
	return key, nil
}

// resultFile is where a learner's result goes when nobody says.
func resultFile(id, learner string) string {
	clean := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '-' {
			return r
		}
		return '_'
	}, learner)
	return id + "-" + clean + ".json"
}

// varied draws variations for a drill; once ctx has ended a joint stays as it is.
func varied(ctx context.Context) drill.Vary {
	return func(sc scenarios.Scenario, seed int64) scenarios.Scenario {
		out, err := session.Await(ctx, session.Background(func() (scenarios.Scenario, error) {
			out, _ := practice.Vary(sc, seed, session.Cores(ctx, runtime.GOMAXPROCS(0)))
			return out, nil
		}))
		if err != nil {
			return sc
		}
		return out
	}
}

// readResults reads every file named, and every .json of a folder named.
func readResults(names []string) ([]drill.Checked, error) {
	var files []string
	for _, name := range names {
		if info, err := os.Stat(name); err == nil && info.IsDir() {
			found, err := filepath.Glob(filepath.Join(name, "*.json"))
			if err != nil {
				return nil, err
			}
			files = append(files, found...)
			continue
		}
		files = append(files, name)
	}
	var out []drill.Checked
	var errs []error
	for _, f := range files {
		r, err := drill.ReadResult(f)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		out = append(out, drill.Checked{File: f, Result: r})
	}
	if errs != nil {
		return nil, badFile(errors.Join(errs...))
	}
	if out == nil {
		return nil, badFile(errors.New("there is no result here\nresults end in .json"))
	}
	return out, nil
}

func someFiles(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return usageError("%s needs results: files or folders\n%s", cmd.CommandPath(), what)
		}
		return nil
	}
}
