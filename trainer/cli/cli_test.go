package cli

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The test binary doubles as the program, so that scripts run what is tested.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"puddlewise": func() {
			os.Exit(Main(os.Args[1:], Streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr}, System()))
		},
	})
}

func TestScripts(t *testing.T) {
	repo, err := filepath.Abs("../..")
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/scripts",
		Setup: func(e *testscript.Env) error {
			// Each script has a home of its own.
			e.Setenv("XDG_DATA_HOME", e.WorkDir+"/data")
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("REPO", repo)
			e.Setenv("LANG", "C.UTF-8")
			e.Setenv("LC_ALL", "")
			e.Setenv("TERM", "xterm")
			e.Setenv("TZ", "UTC")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":   cmdExits,
			"isjson":  cmdIsJSON,
			"spoil":   cmdSpoil,
			"repeats": cmdRepeats,
		},
		Condition: func(cond string) (bool, error) {
			switch cond {
			case "owner": // of everything: permissions do not hold it back
				return os.Geteuid() == 0, nil
			case "raced":
				return raced, nil
			}
			return false, errors.New("unknown condition " + cond)
		},
	})
}

// run calls the program in this process.
func run(t *testing.T, args ...string) (code int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	env := Environment{
		Getenv: func(string) string { return "" }, GOOS: "linux",
		Now: func() time.Time { return time.Date(2026, 3, 4, 12, 0, 0, 0, time.UTC) }, NewID: func() string { return "id" },
	}
	code = Main(args, Streams{In: strings.NewReader(""), Out: &stdout, Err: &stderr}, env)
	return code, stdout.String(), stderr.String()
}

func TestAPanicIsOneLineAndAnError(t *testing.T) {
	var stderr bytes.Buffer
	env := Environment{Getenv: func(string) string { panic("lost\n\nthe thread") }, GOOS: "linux"}
	code := Main([]string{"record"}, Streams{In: strings.NewReader(""), Out: io.Discard, Err: &stderr}, env)
	assert.Equal(t, exitError, code)
	assert.Equal(t, "puddlewise: this is a bug in puddlewise, not yours: lost the thread\n", stderr.String())
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestOutputThatCannotBeWrittenIsAnError(t *testing.T) {
	for _, args := range [][]string{{"joints"}, {"joints", "--json"}, {"version"}, {"--help"}, {"weld", "--scenario", "B-01", "--answer", "model"}} {
		var stderr bytes.Buffer
		code := Main(args, Streams{In: strings.NewReader(""), Out: fullDisk{}, Err: &stderr}, Environment{Getenv: func(string) string { return "" }})
		assert.Equal(t, exitError, code, args)
		assert.Contains(t, stderr.String(), "no space left", args)
	}
}

// Each command says in its help which codes it ends with, how it is called in
// 80 columns, and never that it can end with a code the program does not have.
func TestHelpOfEveryCommand(t *testing.T) {
	var visit func(c *cobra.Command)
	visit = func(c *cobra.Command) {
		for _, sub := range c.Commands() {
			visit(sub)
		}
		if c.Name() == "help" {
			return
		}
		args := append(strings.Fields(c.CommandPath())[1:], "--help")
		code, out, errs := run(t, args...)
		require.Equal(t, exitDone, code, args)
		assert.Empty(t, errs, args)
		for _, line := range strings.Split(out, "\n") {
			assert.LessOrEqual(t, len(line), 90, "%v: %s", args, line)
			assert.Equal(t, strings.TrimRight(line, " "), line, "%v: spaces at the end", args)
		}
		if c.Runnable() {
			assert.Contains(t, out, "Exit codes:\n  0  done", args)
			assert.Contains(t, out, "\n  2  ", args)
		}
		for _, m := range regexp.MustCompile(`(?m)^  (\d)  `).FindAllStringSubmatch(out, -1) {
			assert.Contains(t, []string{"0", "1", "2", "4", "5"}, m[1], args)
		}
	}
	visit(newRoot(&app{env: Environment{Getenv: func(string) string { return "" }}}))
}

func TestErrorsAreLowerCaseWithAHintBelow(t *testing.T) {
	for _, args := range [][]string{
		{"jonts"}, {"joints", "--jsn"}, {"joints", "extra"}, {"check"}, {"weld"}, {"weld", "--scenario"},
		{"weld", "--scenario", "B-99", "--answer", "model"}, {"practice", "--units", "inches"}, {"record"},
	} {
		code, out, errs := run(t, args...)
		assert.NotZero(t, code, args)
		assert.Empty(t, out, args)
		assert.Regexp(t, `^puddlewise: [a-z-].*[^.\n]\n.+`, errs, "%v", args)
	}
}
