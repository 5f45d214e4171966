package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

// runAt calls the program with its record in a folder.
func runAt(t *testing.T, data string, args ...string) (code int, out, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	env := Environment{
		Getenv: func(name string) string { return map[string]string{"XDG_DATA_HOME": data}[name] }, GOOS: "linux",
		Now: func() time.Time { return time.Date(2026, 3, 4, 12, 0, 0, 0, time.UTC) }, NewID: func() string { return "id" },
	}
	code = Main(args, Streams{In: strings.NewReader(""), Out: &stdout, Err: &stderr}, env)
	return code, stdout.String(), stderr.String()
}

// kept records attempts in a new folder.
func kept(t *testing.T, attempts ...session.Attempt) (data string) {
	t.Helper()
	data = t.TempDir()
	s, err := record.Open(filepath.Join(data, "puddlewise", record.FileName))
	require.NoError(t, err)
	for _, a := range attempts {
		require.NoError(t, s.Add(a))
	}
	require.NoError(t, s.Close())
	return data
}

// welded is a joint of the bank, welded by its first mistake.
func welded(t *testing.T, id, joint string) session.Attempt {
	t.Helper()
	sc, err := scenario(joint, "")
	require.NoError(t, err)
	answer := sc.Mistakes[0].Answer
	v, err := scoring.Judge(sc.Task, answer)
	require.NoError(t, err)
	at := time.Date(2026, 3, 3, 15, 4, 0, 0, time.UTC)
	return session.Attempt{
		ID: id, Started: at.Add(-time.Minute), At: at, Learner: "Ann", Scenario: sc.ID, Revision: sc.Revision, Title: sc.Title, Task: sc.Task,
		ModelVersion: scoring.ModelVersion, Mode: "self-study", Answer: answer, Guess: "keyhole", Hints: 2, Verdict: v,
	}
}

func printed(sc scenarios.Scenario, v scoring.Verdict) string {
	var b bytes.Buffer
	printVerdict(&b, sc, v, weld.Metric)
	return b.String()
}

func TestShownAgainExactly(t *testing.T) {
	a := welded(t, "aa11", "B-01")
	sc, err := scenario("B-01", "")
	require.NoError(t, err)
	code, out, errs := runAt(t, kept(t, a), "record", "show", "aa")
	require.Equal(t, exitDone, code, errs)
	_, got, found := strings.Cut(out, "AS RECORDED, model "+scoring.ModelVersion+"\n\n")
	require.True(t, found, out)
	assert.Equal(t, printed(sc, a.Verdict), got)
	assert.Contains(t, out, "coupon aa11, ")
	assert.Contains(t, out, "said: keyhole")
}

// A coupon welded by hand says so, is welded again from what the hand did, and gives its run.
func TestACouponOfTheHandIsShown(t *testing.T) {
	if raced {
		t.Skip("one goroutine, and a real weld")
	}
	sc, err := scenario("B-01", "")
	require.NoError(t, err)
	a := welded(t, "aa11", "B-01")
	run, _ := arc.Scripted(sc, "hasty")
	run.Slow = 2
	got, err := run.Judge(sc)
	require.NoError(t, err)
	a.Run, a.Answer, a.Verdict = &run, got.Answer, got.Verdict
	was := a
	was.ID, was.ModelVersion = "bb22", "0"
	data := kept(t, a, was, welded(t, "cc33", "B-01"))

	_, out, _ := runAt(t, data, "record")
	assert.Contains(t, out, "B-01, by hand, practice speed 1/2  REJECT x")
	_, out, _ = runAt(t, data, "record", "--json")
	assert.Contains(t, out, `"live": 0.5`)
	code, out, errs := runAt(t, data, "record", "show", "bb22")
	require.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "welded by hand, practice speed 1/2: ")
	_, today, _ := strings.Cut(out, "\nTHE SAME WELD TODAY, model "+scoring.ModelVersion+"\n\n")
	assert.Equal(t, printed(sc, got.Verdict), today)
	file := filepath.Join(t.TempDir(), "run.json")
	_, out, _ = runAt(t, data, "record", "show", "aa11", "--run", file)
	assert.Contains(t, out, "the run is written to")
	f, err := os.Open(file)
	require.NoError(t, err)
	defer f.Close()
	again, err := arc.Read(f, file)
	require.NoError(t, err)
	assert.Equal(t, run, again)
	code, _, errs = runAt(t, data, "record", "show", "cc33", "--run", file)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "was welded by settings")
}

func TestWhenTheModelHasChangedBothAreShown(t *testing.T) {
	a := welded(t, "aa11", "B-01")
	now := a.Verdict
	a.ModelVersion, a.Scenario = "0", "gone-01" // its joint is kept with it, whatever became of the file
	a.Verdict.Reason, a.Verdict.Findings = "the old model said something else", nil
	data := kept(t, a)
	sc := scenarios.Scenario{ID: a.Scenario, Title: a.Title, Task: a.Task}

	code, out, errs := runAt(t, data, "record", "show")
	require.Equal(t, exitDone, code, errs)
	_, shown, _ := strings.Cut(out, "AS RECORDED, model 0\n\n")
	was, is, found := strings.Cut(shown, "\nTHE SAME WELD TODAY, model "+scoring.ModelVersion+"\n\n")
	require.True(t, found, out)
	assert.Equal(t, printed(sc, a.Verdict), was)
	assert.Equal(t, printed(sc, now), is)

	code, out, errs = runAt(t, data, "record", "show", "--json")
	require.Equal(t, exitDone, code, errs)
	var got struct {
		Recorded, Today struct {
			Model  string `json:"model_version"`
			Reason string `json:"reason"`
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	assert.Equal(t, "0 the old model said something else", got.Recorded.Model+" "+got.Recorded.Reason)
	assert.Equal(t, scoring.ModelVersion+" "+now.Reason, got.Today.Model+" "+got.Today.Reason)
}

func TestACouponOfTheFirstRecordsIsShown(t *testing.T) {
	a := welded(t, "aa11", "B-01")
	sc, err := scenario("B-01", "")
	require.NoError(t, err)
	a.Task, a.Title, a.Started = weld.Task{}, "", time.Time{}
	unknown := a
	unknown.ID, unknown.Revision, unknown.ModelVersion = "bb22", 99, "0"
	data := kept(t, a, unknown)
	_, out, _ := runAt(t, data, "record", "show", "aa")
	assert.Contains(t, out, printed(sc, a.Verdict), "the bank still has the revision")
	code, out, errs := runAt(t, data, "record", "show", "bb")
	assert.Equal(t, exitDone, code, errs)
	assert.Contains(t, out, "is not known any more")
	assert.Contains(t, out, a.Verdict.Reason)
	assert.NotContains(t, out, "TODAY")
}

func TestAnIDThatSaysTooLittle(t *testing.T) {
	code, _, errs := runAt(t, kept(t, welded(t, "aa11", "B-01"), welded(t, "aa22", "B-01")), "record", "show", "a")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "aa11, aa22")
}

func TestSpreadsheetsRunNothing(t *testing.T) {
	for _, name := range []string{`=cmd|' /C calc'!A0`, "+1", "-1+1", "@SUM(A1)", "\tx", "\rx"} {
		a := welded(t, "aa11", "B-01")
		a.Learner = name
		a.Answer.Aim = -0.001
		_, out, errs := runAt(t, kept(t, a), "record", "export", "--csv")
		assert.Contains(t, out, "'"+name, errs)
		assert.NotContains(t, out, ","+name)
		assert.Contains(t, out, ",-1,", "numbers stay numbers")
	}
}

func TestFilesOfTheRecordAreForTheirOwnerAlone(t *testing.T) {
	name := filepath.Join(t.TempDir(), "out")
	a := &app{}
	require.NoError(t, a.toFile(nil, name, func(w io.Writer) error { _, err := w.Write([]byte("x")); return err }))
	info, err := os.Stat(name)
	require.NoError(t, err)
	if runtime.GOOS != "windows" {
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	half := name + "2"
	err = a.toFile(nil, half, func(w io.Writer) error { w.Write([]byte("x")); return errors.New("no space left") })
	require.ErrorContains(t, err, "no space left")
	assert.NoFileExists(t, half, "half a file is taken away")
}
