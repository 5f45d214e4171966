package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"puddlewise/trainer/drill"
	"puddlewise/trainer/precert"
)

// lockName is the lock's file, beside the record.
const lockName = "test-lock.json"

func (a *app) lockFile() (string, error) {
	dir, err := a.env.dataFolder()
	return filepath.Join(dir, lockName), err
}

// lock reads the lock that is on this machine. Without a folder for it there is none.
func (a *app) lock() (l precert.Lock, on bool, err error) {
	name, err := a.lockFile()
	if err != nil {
		return precert.Lock{}, false, nil
	}
	return precert.ReadLock(name)
}

// whileLocked are the commands that a locked machine still runs: the test, the
// procedure it is held to, and what tells nothing of welding.
var whileLocked = []string{"precert test", "precert procedure", "precert unlock", "help", "version"}

// held refuses a command on a machine that is locked to a test.
func (a *app) held(cmd *cobra.Command) error {
	path := strings.TrimSpace(strings.TrimPrefix(cmd.CommandPath(), cmd.Root().Name()))
	if slices.Contains(whileLocked, path) {
		return nil
	}
	l, on, err := a.lock()
	if err != nil {
		return err
	}
	if on {
		return fmt.Errorf("this machine is locked to the test %s of %s\npuddlewise precert test goes on with it; the instructor takes the lock off: puddlewise precert unlock", l.Piece, l.Learner)
	}
	return nil
}

type lockOptions struct {
	*app
	Name, Out string
	Seed      int64
}

func newPrecertLock(a *app) *cobra.Command {
	o := &lockOptions{app: a}
	cmd := &cobra.Command{
		Use:   "lock ID|FILE --name NAME [--seed N] [--out FILE]",
		Short: "Lock this machine to a test",
		Long: `Lock this machine to one learner's test, with a passphrase that is asked for (or read
as a line where there is no terminal). Until it is taken off, puddlewise runs that
test, shows practice procedures, and refuses all else: no windows, no hints, no other
joints. A test's file that is deleted is not begun again.

It holds who keeps to it. It cannot keep anyone from deleting its file, from another
account, another machine, another program or a telephone, and it does not know who
sits at the keyboard. Whoever invigilates has to look.` + exitCodes(exitDone, exitError, exitUsage, exitBadFile),
		Example: "  puddlewise precert lock TS-01 --name Ann --seed 3",
		Args:    oneFile("a test piece of puddlewise precert list, or a file"),
		RunE:    func(_ *cobra.Command, args []string) error { return o.run(args[0]) },
	}
	cmd.Flags().StringVar(&o.Name, "name", "", "the learner's `NAME`")
	cmd.Flags().Int64Var(&o.Seed, "seed", 0, "draw the conditions of this `NUMBER`; 0: as written")
	cmd.Flags().StringVar(&o.Out, "out", "", "the test's `FILE`; ID-NAME.json when not given")
	return cmd
}

func (o *lockOptions) run(id string) error {
	name := strings.Join(strings.Fields(o.Name), " ")
	if name == "" || len(name) > drill.LongestName {
		return usageError("precert lock needs --name, of %d letters at most\nwhose test is it?", drill.LongestName)
	}
	if o.Seed < 0 {
		return usageError("--seed cannot be %d\nwrite 0 or more", o.Seed)
	}
	p, err := openPiece(id)
	if err != nil {
		return err
	}
	piece := p.ID
	if strings.ContainsAny(id, `./\`) {
		if piece, err = filepath.Abs(id); err != nil {
			return err
		}
	}
	out := o.Out
	if out == "" {
		out = resultFile(p.ID, name)
	}
	if out, err = filepath.Abs(out); err != nil {
		return err
	}
	file, err := o.lockFile()
	if err != nil {
		return err
	}
	phrase, err := o.passphrase("Passphrase: ")
	if err != nil {
		return err
	}
	if o.terminal().In {
		again, err := o.passphrase("The same again: ")
		if err != nil {
			return err
		}
		if again != phrase {
			return errors.New("the two are not the same\nnothing is locked")
		}
	}
	l, err := precert.NewLock(piece, name, o.Seed, out, o.env.Now(), phrase)
	if err != nil {
		return usageError("%v", err)
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o700); err != nil {
		return err
	}
	if err := l.Write(file); err != nil {
		return fmt.Errorf("this machine is NOT locked: %w", err)
	}
	_, err = fmt.Fprintf(o.app.Out, "Locked to the test %s of %s. puddlewise precert test begins it.\nIt holds who keeps to it: deleting %s takes it off as well.\n", piece, name, file)
	return err
}

func newPrecertUnlock(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "unlock",
		Short: "Take the lock to a test off",
		Long:  "Take the lock to a test off this machine, with the passphrase it was put on with." + exitCodes(exitDone, exitError, exitUsage),
		Args:  noArguments,
		RunE: func(*cobra.Command, []string) error {
			l, on, err := a.lock()
			switch {
			case err != nil:
				return err
			case !on:
				_, err := fmt.Fprintln(a.Out, "This machine is not locked.")
				return err
			}
			phrase, err := a.passphrase("Passphrase: ")
			if err != nil {
				return err
			}
			if !l.Opens(phrase) {
				return errors.New("that is not the passphrase\nthe lock stays on")
			}
			file, err := a.lockFile()
			if err == nil {
				err = os.Remove(file)
			}
			if err != nil {
				return fmt.Errorf("the lock is NOT off: %w", err)
			}
			_, err = fmt.Fprintln(a.Out, "The lock is off.")
			return err
		},
	}
}

// passphrase asks for one, unseen on a terminal; else it reads a line.
func (a *app) passphrase(prompt string) (string, error) {
	if fd, ok := terminalOf(a.In); ok {
		fmt.Fprint(a.Err, prompt)
		raw, err := term.ReadPassword(fd)
		fmt.Fprintln(a.Err)
		return string(raw), err
	}
	line, err := bufio.NewReader(io.LimitReader(a.In, 4096)).ReadString('\n')
	if errors.Is(err, io.EOF) {
		err = nil
	}
	return strings.TrimRight(line, "\r\n"), err
}

// locked takes from the lock what the command did not say, and refuses what it said otherwise.
func (o *testOptions) locked(l precert.Lock, id string) (string, error) {
	file := ""
	if o.Out != "" {
		var err error
		if file, err = filepath.Abs(o.Out); err != nil {
			return "", err
		}
	}
	if id != "" && !strings.EqualFold(id, l.Piece) || o.Name != "" && strings.Join(strings.Fields(o.Name), " ") != l.Learner || o.Seed != 0 && o.Seed != l.Seed || file != "" && file != l.File || o.Joints != "" {
		return "", usageError("this machine is locked to the test %s of %s\npuddlewise precert test, and nothing after it, goes on with it", l.Piece, l.Learner)
	}
	if _, err := os.Stat(l.File); l.Begun && errors.Is(err, os.ErrNotExist) {
		return "", fmt.Errorf("the test was begun and its file is gone: %s\nit is not begun again; call the instructor", l.File)
	}
	o.Name, o.Seed, o.Out = l.Learner, l.Seed, l.File
	return l.Piece, nil
}
