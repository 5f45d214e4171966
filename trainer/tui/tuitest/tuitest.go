// Package tuitest drives the full-screen trainer in tests, in the learner's
// words: choose a joint, type a value, weld, expect a finding. It runs on a
// screen in memory and waits for the trainer to be idle, never for a clock.
package tuitest

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
	"puddlewise/trainer/tui"
)

var update = flag.Bool("update", false, "write the screens as they are now")

// Learner sits at the trainer.
type Learner struct {
	T      testing.TB
	Walker *tui.Walker
	Record *sessiontest.Recorder
}

// Options is the test bank under a judge, a clock and ids that are always the same, without motion.
func Options(rec *sessiontest.Recorder) tui.Options {
	so := sessiontest.Options(rec)
	return tui.Options{
		Bank: sessiontest.Bank(), Settings: record.Settings{CautionsSeen: true, Units: so.System, Still: true, Name: so.Learner}, Past: rec, Now: so.Now, Questions: sessiontest.Desk(rec),
		NewSession: func(sc scenarios.Scenario) *session.Session { return session.New(sc, so) },
	}
}

// Sit opens the trainer on a screen of w by h cells; change may adjust the options.
func Sit(t testing.TB, w, h int, change func(*tui.Options)) *Learner {
	t.Helper()
	l := &Learner{T: t, Record: &sessiontest.Recorder{}}
	opt := Options(l.Record)
	if change != nil {
		change(&opt)
	}
	wk, err := tui.NewWalker(t.Context(), opt, w, h)
	require.NoError(t, err)
	l.Walker = wk
	t.Cleanup(func() { _ = wk.Close() })
	return l
}

// Press presses keys.
func (l *Learner) Press(keys ...string) *Learner {
	l.T.Helper()
	require.NoError(l.T, l.Walker.Press(keys...))
	return l
}

// Type types a text.
func (l *Learner) Type(s string) *Learner {
	l.T.Helper()
	require.NoError(l.T, l.Walker.Type(s))
	return l
}

// Choose opens a joint from the list by searching for its id; from the start
// screen it goes there first.
func (l *Learner) Choose(id string) *Learner {
	l.T.Helper()
	if !strings.Contains(l.Screen(), "choose a joint") {
		l.Press("n").Sees("choose a joint")
	}
	return l.Press("/").Type(id).Press("enter")
}

// Fill types values into the fields from the one in focus on, tab after each.
func (l *Learner) Fill(values ...string) *Learner {
	l.T.Helper()
	for _, v := range values {
		l.Press("ctrl-u").Type(v).Press("tab")
	}
	return l
}

// Weld lights the arc and waits for the coupon.
func (l *Learner) Weld() *Learner {
	l.T.Helper()
	return l.Press("enter")
}

// Say answers what went wrong with the line that holds the words.
func (l *Learner) Say(words string) *Learner {
	l.T.Helper()
	l.Press("enter").Sees("What went wrong?")
	for range 10 {
		if strings.Contains(l.marked(), words) {
			return l.Press("enter")
		}
		l.Press("down")
	}
	l.T.Fatalf("no answer %q on the screen:\n%s", words, l.Screen())
	return l
}

// marked gives the line with the cursor mark.
func (l *Learner) marked() string {
	for row := range strings.SplitSeq(l.Screen(), "\n") {
		if strings.HasPrefix(strings.TrimSpace(row), "> ") {
			return row
		}
	}
	return ""
}

// Screen gives what is on the screen.
func (l *Learner) Screen() string { return l.Walker.Seen().String() }

// Sees asserts that all the words are on the screen.
func (l *Learner) Sees(words ...string) *Learner {
	l.T.Helper()
	for _, w := range words {
		assert.Contains(l.T, l.Screen(), w)
	}
	return l
}

// SeesNot asserts that none of the words are on the screen.
func (l *Learner) SeesNot(words ...string) *Learner {
	l.T.Helper()
	for _, w := range words {
		assert.NotContains(l.T, l.Screen(), w)
	}
	return l
}

// Golden compares the screen with the file of that name in testdata/screens at
// the root of the repository; -update writes it.
func (l *Learner) Golden(name string) *Learner {
	l.T.Helper()
	path := filepath.Join("..", "..", "testdata", "screens", name+".txt")
	got := l.Screen()
	if *update {
		require.NoError(l.T, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(l.T, os.WriteFile(path, []byte(got), 0o644))
		return l
	}
	want, err := os.ReadFile(path)
	require.NoError(l.T, err, "go test ./trainer/tui -update writes it")
	assert.Equal(l.T, string(want), got)
	return l
}
