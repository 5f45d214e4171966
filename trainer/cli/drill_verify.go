package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"puddlewise/scoring"
	"puddlewise/trainer/drill"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

type drillVerifyOptions struct {
	*app
	Drill, Key, Joints string
	JSON, Afresh       bool
}

func newDrillVerify(a *app) *cobra.Command {
	o := &drillVerifyOptions{app: a}
	cmd := &cobra.Command{
		Use:   "verify FILE|DIR... [--drill DRILL|FILE] [--key FILE]",
		Short: "Weld every coupon of results again",
		Long: `Make every joint of the results again from the bank and its seed, weld every coupon
again, and tell what does not hold: a joint that was changed, a verdict that comes
out otherwise, a changed or another drill, a coupon or a learner twice, a result copied
from another's with new names, a clock that ran backwards, times that do not add up, and
with --key a seal that is missing or wrong. With the drill, also a joint, a setting, a
coupon, an order or a time it does not give. Of a coupon welded by hand the run is
welded again, and told when it is there twice; whose hand it was nobody can know. Exit
code 1 when something is.

Without a seal whoever edits with care is not found: who changes the name, leaves out the
last coupons, or invents good settings and times that agree. With one, that takes the key
or an older copy of the result put back.

What this very program has welded on this machine, in a drill run or an earlier verify,
and what came out just as the result says, is not welded twice: verify while the class
is at it, and only what is new is welded. Stopped with Ctrl-C it goes on from there. It
trusts a file beside the record for that, which holds no names and which whoever uses
this account could change; another build of the program starts it anew. --afresh welds
everything.

With --json, one object: results, coupons, welded, known (coupons that differ, welded
now and before), drill_known, seals_checked, doubts (file, what).` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise drill verify results --drill amps-first --key class.key",
		Args:    someFiles("puddlewise drill verify results"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args) },
	}
	cmd.Flags().StringVar(&o.Drill, "drill", "", "the `DRILL` it must have been; else what the results say, if it ships")
	cmd.Flags().StringVar(&o.Key, "key", "", "the class key's `FILE`")
	cmd.Flags().BoolVar(&o.Afresh, "afresh", false, "weld also what was welded on this machine before")
	cmd.Flags().StringVar(&o.Joints, "joints", "", jointsFlagHelp)
	cmd.Flags().BoolVar(&o.JSON, "json", false, "print an object")
	return cmd
}

// shippedAs gives the drill that ships and that the first result was made with, nil for none.
func shippedAs(all []drill.Checked) *drill.Drill {
	shipped, _ := drill.Shipped()
	for _, d := range shipped {
		if len(all) > 0 && d.Hash == all[0].Hash {
			return &d
		}
	}
	return nil
}

// machineKnown is what this program has worked out on this machine. It opens the file at the first question: to tell one build from another it reads
// the whole program, which takes some 50 ms.
type machineKnown struct {
	*app
	once   sync.Once
	file   *record.Known // nil where it cannot be had
	afresh bool
}

func (k *machineKnown) open() *record.Known {
	k.once.Do(func() {
		build, err := buildSum()
		if err != nil {
			return // a program that cannot read itself knows nothing
		}
		dir, err := k.env.dataFolder()
		if err == nil {
			k.file, err = record.OpenKnown(dir, build)
		}
		if err != nil {
			fmt.Fprintf(k.Err, "puddlewise: %s\n", oneLine(err.Error()))
		}
	})
	return k.file
}

func (k *machineKnown) close() {
	if k.file != nil {
		k.file.Close() // every line is written already
	}
}

func (k *machineKnown) Get(question string) (answer string, ok bool) {
	if f := k.open(); f != nil && !k.afresh {
		return f.Get(question)
	}
	return "", false
}

func (k *machineKnown) Put(question, answer string) {
	if f := k.open(); f != nil {
		f.Put(question, answer)
	}
}

// buildSum tells one build of the program from another: the SHA-256 of its file.
func buildSum() (string, error) {
	name, err := os.Executable()
	if err != nil {
		return "", err
	}
	f, err := os.Open(name)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	_, err = io.Copy(sum, f)
	return fmt.Sprintf("%x", sum.Sum(nil)[:16]), err
}

type drillVerifyJSON struct {
	Results int         `json:"results"`
	Coupons int         `json:"coupons"`
	Welded  int         `json:"welded"`
	Known   int         `json:"known"`
	Drill   bool        `json:"drill_known"`
	Seals   bool        `json:"seals_checked"`
	Doubts  []doubtJSON `json:"doubts"`
}

type doubtJSON struct {
	File string `json:"file"`
	What string `json:"what"`
}

func (o *drillVerifyOptions) run(names []string) error {
	all, err := readResults(names)
	if err != nil {
		return err
	}
	key, err := readKey(o.Key)
	if err != nil {
		return err
	}
	var d *drill.Drill
	if o.Drill != "" {
		one, err := openDrill(o.Drill)
		if err != nil {
			return err
		}
		d = &one
	}
	joints, err := bank(o.Joints)
	if err != nil {
		return err
	}
	if d == nil {
		d = shippedAs(all)
	}
	ctx, stop := interruptible()
	defer stop()
	known := &machineKnown{app: o.app, afresh: o.Afresh}
	defer known.close()
	same := 0
	out := drillVerifyJSON{Results: len(all), Drill: d != nil, Seals: key != nil, Doubts: []doubtJSON{}}
	doubts, err := session.Await(context.Background(), session.Background(func() ([]drill.Doubt, error) {
		doubts, work, err := drill.Check(ctx, all, drill.Against{
			Drill: d, Key: key, Bank: joints, Vary: drill.Varying(varied(ctx), known), Judge: scoring.Judge, Desk: o.desk(joints, nil),
			Par: session.Cores(ctx, runtime.GOMAXPROCS(0)), Known: known, Tell: o.progress(),
		})
		out.Welded, out.Known, same = work.Welded, work.Known, work.Same
		return doubts, err
	}))
	if errors.Is(err, context.Canceled) {
		return errors.New("stopped before all was checked\nwhat was welded is known; the same command goes on from there")
	}
	if err != nil {
		return err
	}
	for _, r := range all {
		out.Coupons += len(r.Attempts)
	}
	for _, x := range doubts {
		out.Doubts = append(out.Doubts, doubtJSON(x))
	}
	if o.JSON {
		err = printJSON(o.Out, out)
	} else {
		for _, x := range doubts {
			fmt.Fprintf(o.Out, "%s: %s\n", x.File, x.What)
		}
		fmt.Fprintf(o.Out, "%s, %s; %d welded again", counted(out.Results, "result"), counted(out.Coupons, "coupon"), out.Welded)
		if out.Known > 0 {
			fmt.Fprintf(o.Out, ", %d welded on this machine before", out.Known)
		}
		if same > 0 {
			fmt.Fprintf(o.Out, ", %d the same as others", same)
		}
		fmt.Fprintf(o.Out, ": %s\n", counted(len(doubts), "doubt"))
		if d == nil {
			fmt.Fprintln(o.Out, "The drill is not known: --drill FILE holds joints, settings, tries and times to it.")
		}
		if key == nil && slices.ContainsFunc(all, func(r drill.Checked) bool { return r.Seal != "" }) {
			fmt.Fprintln(o.Out, "The seals were not looked at: that takes --key FILE.")
		}
	}
	if err == nil && doubts != nil {
		err = &codedError{exitError, errors.New("the results do not all hold")}
	}
	return err
}

// progressEvery is how often a terminal is told how far it is: a line that a screen
// reader can keep up with.
const progressEvery = 5 * time.Second

// progress says on a terminal's error stream how far a check is, and about how long it
// takes from there; nil elsewhere.
func (o *drillVerifyOptions) progress() func(what string, done, of int) {
	if _, ok := terminalOf(o.Err); !ok {
		return nil
	}
	var mu sync.Mutex
	var doing string
	var began, told time.Time
	return func(what string, done, of int) {
		mu.Lock()
		defer mu.Unlock()
		now := o.env.Now()
		if what != doing {
			doing, began, told = what, now, now
		}
		if now.Sub(told) < progressEvery || done == of {
			return
		}
		told = now
		left := time.Duration(float64(now.Sub(began)) / float64(done) * float64(of-done))
		fmt.Fprintf(o.Err, "%d of %d %s, about %s left\n", done, of, what, max(left, time.Second).Round(time.Second))
	}
}
