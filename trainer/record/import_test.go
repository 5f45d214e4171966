package record_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
)

func exportOf(t *testing.T, s *record.Store, f record.Filter) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, s.Export(&out, f))
	return out.String()
}

func fileOf(t *testing.T, content string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "export.json")
	require.NoError(t, os.WriteFile(path, []byte(content), 0o600))
	return path
}

func recordOf(t *testing.T, attempts ...session.Attempt) *record.Store {
	t.Helper()
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	for _, a := range attempts {
		require.NoError(t, s.Add(a))
	}
	return s
}

func TestAnExportImportedIsTheSameRecord(t *testing.T) {
	first := attempt("c", noon) // as the first version recorded it
	first.Started, first.Task, first.Title, first.Verdict.Findings = time.Time{}, weld.Task{}, "", nil
	want := []session.Attempt{live("a", noon.Add(-time.Hour)), attempt("b", noon.Add(-time.Minute)), first}
	want[1].Learner = `Bo "the =hand" <b>` + "\u2028"
	from := recordOf(t, want...)
	file := fileOf(t, exportOf(t, from, record.Filter{}))

	into := recordOf(t, want[1]) // one is there already
	taken, had, err := into.Import(file)
	require.NoError(t, err)
	assert.Equal(t, []int{2, 1}, []int{taken, had})
	got, err := into.Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Equal(t, want, got)
	assert.Equal(t, exportOf(t, from, record.Filter{}), exportOf(t, into, record.Filter{}))

	taken, had, err = into.Import(file)
	require.NoError(t, err)
	assert.Equal(t, []int{0, 3}, []int{taken, had}, "a second time changes nothing")
}

// A run in an export comes from anywhere: what cannot be welded is refused.
func TestARunThatIsWrongIsRefused(t *testing.T) {
	text := exportOf(t, recordOf(t, live("a", noon)), record.Filter{})
	for _, c := range []struct{ is, instead, want string }{
		{"0arc1", "0arc7", "run: input 1: arc cannot be 7"},
		{`"steps":40`, `"steps":40000`, "run: steps: 40000 cannot be"},
		{`"slow":2`, `"slow":3`, "run: slow: 3 cannot be"},
		{`"slow":2`, `"slow":2,"slow":4`, "run.slow: stands twice"},
		{`"run":{"format":1,"scenario":"B-03"`, `"run":{"format":1,"scenario":"B-04"`, "run: is of another joint"},
		{`"run":{`, `"run":[],"ran":{`, "ran"},
	} {
		require.Contains(t, text, c.is)
		s := recordOf(t)
		_, _, err := s.Import(fileOf(t, strings.Replace(text, c.is, c.instead, 1)))
		assert.ErrorContains(t, err, c.want)
		got, err := s.Briefs(record.Filter{})
		require.NoError(t, err)
		assert.Empty(t, got)
	}
}

func TestAnExportOfNothing(t *testing.T) {
	taken, had, err := recordOf(t).Import(fileOf(t, exportOf(t, recordOf(t), record.Filter{})))
	require.NoError(t, err)
	assert.Zero(t, taken+had)
}

func TestAnExportOfOneLearner(t *testing.T) {
	bo := attempt("b", noon)
	bo.Learner = "Bo"
	out := exportOf(t, recordOf(t, attempt("a", noon), bo), record.Filter{Learner: "Bo"})
	assert.Contains(t, out, `"id":"b"`)
	assert.NotContains(t, out, "Ann")
}

func TestASpoiltExportIsRefusedWhole(t *testing.T) {
	sound := exportOf(t, recordOf(t, attempt("a", noon)), record.Filter{})
	table, err := os.ReadFile(filepath.Join("testdata", "import-errors.txt"))
	require.NoError(t, err)
	for _, line := range strings.Split(string(table), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		part := strings.SplitN(line, "|", 3)
		require.Len(t, part, 3, line)
		is, instead, want := strings.TrimSpace(part[0]), strings.TrimSpace(part[1]), strings.TrimSpace(part[2])
		require.Equal(t, 1, strings.Count(sound, is), "%s stands once in an export", is)
		s := recordOf(t, attempt("before", noon))
		file := fileOf(t, strings.Replace(sound, is, instead, 1))
		_, _, err := s.Import(file)
		if assert.Error(t, err, line) {
			assert.Contains(t, err.Error(), file+want, line)
		}
		got, err := s.Briefs(record.Filter{})
		require.NoError(t, err)
		assert.Len(t, got, 1, line)
	}
}

func TestEveryProblemOfAnExportIsTold(t *testing.T) {
	s := recordOf(t, attempt("a", noon), attempt("b", noon), attempt("c", noon))
	text := exportOf(t, s, record.Filter{})
	text = strings.Replace(text, `"hints":1`, `"hints":-1`, 2)
	text = strings.Replace(text, `"scenario":"B-03"`, `"scenario":""`, 1)
	_, _, err := recordOf(t).Import(fileOf(t, text))
	require.Error(t, err)
	lines := strings.Split(err.Error(), "\n")
	require.Len(t, lines, 3)
	for i, want := range []string{":2: scenario: is missing", ":2: hints: cannot be -1", ":3: hints: cannot be -1"} {
		assert.Contains(t, lines[i], want)
	}
}

func TestAnAttemptThatIsNotTheSameIsRefused(t *testing.T) {
	changed := attempt("b", noon)
	changed.Guess = "crater"
	s := recordOf(t, attempt("b", noon))
	file := fileOf(t, exportOf(t, recordOf(t, attempt("a", noon), changed), record.Filter{}))
	_, _, err := s.Import(file)
	require.ErrorContains(t, err, file+`:3: id: "b" is in the record already, and not the same attempt`)
	got, err := s.Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Equal(t, []session.Attempt{attempt("b", noon)}, got, "nothing was taken, nothing changed")

	one := exportOf(t, s, record.Filter{})
	twice := strings.Replace(one, "\n]}", ",\n"+strings.Split(strings.Replace(one, `"hints":1`, `"hints":2`, 1), "\n")[1]+"\n]}", 1)
	file = fileOf(t, twice)
	_, _, err = recordOf(t).Import(file)
	require.ErrorContains(t, err, file+`:3: id: "b" stands twice`)
}

func TestBackup(t *testing.T) {
	s := recordOf(t, attempt("a", noon), attempt("b", noon.Add(time.Second)))
	require.NoError(t, s.SaveSettings(record.Settings{Name: "Ann"}))
	path := filepath.Join(t.TempDir(), "it's a copy.db")
	require.NoError(t, s.Backup(path))
	require.NoError(t, s.Add(attempt("c", noon)))
	if runtime.GOOS != "windows" {
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	}
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	require.ErrorContains(t, s.Backup(path), "is there already")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after, "a file that is there is left alone")
	require.Error(t, s.Backup(filepath.Join(t.TempDir(), "no", "such", "folder")))

	copied := open(t, path)
	assert.Empty(t, copied.SetAside())
	got, err := copied.Briefs(record.Filter{})
	require.NoError(t, err)
	assert.Len(t, got, 2)
	settings, err := copied.Settings()
	require.NoError(t, err)
	assert.Equal(t, "Ann", settings.Name)
}

func TestLearners(t *testing.T) {
	bo := attempt("b", noon.Add(time.Hour))
	bo.Learner = "Bo"
	got, err := recordOf(t, attempt("a", noon), bo, attempt("c", noon.Add(time.Minute))).Learners()
	require.NoError(t, err)
	assert.Equal(t, []record.Learner{
		{Name: "Ann", Coupons: 2, First: noon, Last: noon.Add(time.Minute)},
		{Name: "Bo", Coupons: 1, First: noon.Add(time.Hour), Last: noon.Add(time.Hour)},
	}, got)
}

func TestForgottenIsGoneFromTheDisk(t *testing.T) {
	for _, all := range []bool{false, true} {
		dir := t.TempDir()
		path := filepath.Join(dir, record.FileName)
		aside := path + ".damaged-20260101-000000.000"
		require.NoError(t, os.WriteFile(aside, []byte("what was Quillfeather's"), 0o600))
		s := open(t, path)
		for i := range 20 {
			a := attempt(fmt.Sprint(i), noon)
			if a.Learner = "Quillfeather"; i%2 == 1 {
				a.Learner = "Oddsocks"
			}
			require.NoError(t, s.Add(a))
		}
		require.NoError(t, s.SaveSettings(record.Settings{CautionsSeen: true, Name: "Quillfeather"}))
		require.NoError(t, s.KeepDraft(session.Draft{Learner: "Quillfeather", Scenario: "B-01", At: noon, Typed: map[string]string{"amps": "Quillfeather"}}))
		for _, name := range []string{"Quillfeather", "Oddsocks"} {
			require.NoError(t, s.AddAnswered(session.Answered{ID: name, At: noon, Learner: name, Scenario: "B-01", Kind: "spot", Replies: []string{name}}))
		}
		var n int
		var err error
		if all {
			n, err = s.ForgetAll()
		} else {
			n, err = s.ForgetLearner("Quillfeather")
		}
		require.NoError(t, err)
		assert.Equal(t, map[bool]int{false: 10, true: 20}[all], n)

		if !all {
			require.NoError(t, os.Remove(aside)) // is everybody's
		}
		holds := func(name string) (yes bool) {
			entries, err := os.ReadDir(dir)
			require.NoError(t, err)
			for _, e := range entries {
				b, err := os.ReadFile(filepath.Join(dir, e.Name()))
				require.NoError(t, err)
				yes = yes || bytes.Contains(b, []byte(name))
			}
			return yes
		}
		assert.False(t, holds("Quillfeather"), "not even while the record is open; all: %v", all)
		require.NoError(t, s.Close())
		assert.False(t, holds("Quillfeather"))
		assert.Equal(t, !all, holds("Oddsocks"), "nobody else's is touched")

		settings, err := open(t, path).Settings()
		require.NoError(t, err)
		assert.Equal(t, record.Settings{CautionsSeen: !all}, settings)
	}
}
