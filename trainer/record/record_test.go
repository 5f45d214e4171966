package record_test

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/arc"
	"puddlewise/trainer/record"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/sessiontest"
)

func open(t testing.TB, path string) *record.Store {
	t.Helper()
	s, err := record.Open(path)
	require.NoError(t, err)
	t.Cleanup(func() { s.Close() })
	return s
}

// attempt is one with something in every part of the verdict.
func attempt(id string, at time.Time) session.Attempt {
	a := weld.Defaults()
	a.Amps = 62.5
	return session.Attempt{
		ID: id, Started: at.Add(-40 * time.Second), At: at, Learner: "Ann", Scenario: "B-03", Revision: 2, Seed: 7, ModelVersion: "1", Mode: "self-study",
		Title: "Tray corner", Task: weld.Task{
			Joint: weld.SquareButt, Position: weld.PA, Gap: 0.0003, GapEnd: 0.0005, Seam: 0.05, PartTemp: weld.Celsius(20),
			A: weld.Member{Metal: weld.SS304, Thickness: 0.0015, Width: 0.06}, B: weld.Member{Metal: weld.CarbonSteel, Thickness: 0.002, Width: 0.04},
			Drawing: weld.Drawing{FullPenetration: true},
		},
		Answer: a, Guess: "keyhole", Hints: 1,
		Verdict: scoring.Verdict{
			Outcome: scoring.Reject, Reason: "keyhole at 47 mm",
			Scores: scoring.Scores{BurnThrough: 31.2, LackOfFusion: 92, Oxide: 81.1},
			Findings: []scoring.Finding{{
				Rule: "keyhole", Severity: scoring.Defect, From: 0.047, To: 0.049, Score: "burn-through",
				Got: "3.0 mm", Want: "1.5 mm", Why: "the gap opened", Fix: "dab closer", Source: "model",
			}},
			Coupon: scoring.Coupon{
				Stations: []scoring.Station{{At: 0.001, FaceWidth: 0.0044, Penetration: 1.0 / 3, Colour: "straw", Hole: true}},
				Worst:    scoring.Station{BackWidth: 0.003, BackColour: "grey", ColdLap: true, PeakFace: 1900},
				Holes:    []scoring.Span{{From: 0.047, To: 0.049}}, PeakTemperature: 2100, HeatInput: 0.2, PoolLength: 0.0061,
			},
		},
	}
}

// live is an attempt welded by hand.
func live(id string, at time.Time) session.Attempt {
	a := attempt(id, at)
	set := map[string]string{}
	for _, f := range weld.Fields {
		set[f.Key] = f.Get(weld.Defaults())
	}
	a.Run = &arc.Run{
		Format: arc.Format, Scenario: a.Scenario, Revision: a.Revision, Seed: a.Seed, Model: "1", Answer: set, Slow: 2, Steps: 40,
		Inputs: []puddle.Input{{Do: puddle.Arc, Value: 1}, {Step: 3, Do: puddle.Move, Value: 0.5}, {Step: 3, Do: puddle.Dab}, {Step: 39, Do: puddle.Arc}},
	}
	a.Answer.Travel, a.Answer.DabSpacing = 0.0021/1.3, 0.0017/3
	return a
}

var noon = time.Date(2026, 3, 4, 12, 0, 0, 7e6, time.UTC)

func TestWhatWasAddedComesBackAfterReopening(t *testing.T) {
	path := filepath.Join(t.TempDir(), "data", record.FileName)
	s := open(t, path)
	want := []session.Attempt{attempt("a", noon), live("b", noon.Add(time.Millisecond)), attempt("c", noon.Add(time.Hour))}
	for _, i := range []int{1, 0, 2} { // oldest first, in whatever order they were added
		require.NoError(t, s.Add(want[i]))
	}
	set := record.Settings{CautionsSeen: true, Units: weld.Imperial, Theme: "light", ASCII: true, Still: true, ArcKeys: "own", OwnKeys: "dab=x", GoodHand: "bell", Name: "Ann"}
	require.NoError(t, s.SaveSettings(set))
	assert.ErrorContains(t, s.SaveSettings(record.Settings{Theme: "purple"}), "theme")
	require.NoError(t, s.Close())

	s = open(t, path)
	got, err := s.Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Equal(t, want, got)
	briefs, err := s.Briefs(record.Filter{})
	require.NoError(t, err)
	for i := range want {
		assert.Equal(t, session.NewBrief(want[i]), briefs[i])
	}
	settings, err := s.Settings()
	require.NoError(t, err)
	assert.Equal(t, set, settings)
	require.NoError(t, s.SaveSettings(record.Settings{}))
	settings, err = s.Settings()
	require.NoError(t, err)
	assert.Equal(t, record.Settings{}, settings)
	assert.Empty(t, s.SetAside())
}

func TestFilter(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	for i := range 6 {
		a := attempt(fmt.Sprint(i), noon.Add(time.Duration(i)*time.Minute))
		if i%2 == 1 {
			a.Learner = "Bo"
		}
		if i > 3 {
			a.Scenario = "T-01"
		}
		require.NoError(t, s.Add(a))
	}
	for _, c := range []struct {
		filter record.Filter
		want   string
	}{
		{record.Filter{}, "0 1 2 3 4 5"},
		{record.Filter{Learner: "Bo"}, "1 3 5"},
		{record.Filter{Scenario: "T-01"}, "4 5"},
		{record.Filter{Learner: "Bo", Scenario: "B-03"}, "1 3"},
		{record.Filter{Last: 2}, "4 5"},
		{record.Filter{Learner: "Bo", Last: 2}, "3 5"},
		{record.Filter{ID: "3"}, "3"},
		{record.Filter{Learner: "' OR 1=1 --"}, ""},
	} {
		got, err := s.Attempts(c.filter)
		require.NoError(t, err)
		var ids []string
		for _, a := range got {
			ids = append(ids, a.ID)
		}
		assert.Equal(t, c.want, strings.Join(ids, " "), "%+v", c.filter)
		briefs, err := s.Briefs(c.filter)
		require.NoError(t, err)
		require.Len(t, briefs, len(got))
		for i := range got {
			assert.Equal(t, session.NewBrief(got[i]), briefs[i], "%+v", c.filter)
		}
	}
}

func TestStandings(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	got, err := s.Standings("Ann")
	require.NoError(t, err)
	assert.Empty(t, got)
	rapid.Check(t, func(t *rapid.T) {
		n, err := s.Briefs(record.Filter{})
		require.NoError(t, err)
		a := attempt(fmt.Sprint(len(n)), noon.Add(time.Duration(rapid.IntRange(0, 20).Draw(t, "at"))*time.Second))
		a.Scenario = rapid.SampledFrom([]string{"B-01", "B-02", "T-01"}).Draw(t, "joint")
		a.Learner = rapid.SampledFrom([]string{"Ann", "Bo", ""}).Draw(t, "learner")
		a.Verdict.Outcome = rapid.SampledFrom([]scoring.Outcome{scoring.Accept, scoring.Reject, scoring.OutOfRange}).Draw(t, "outcome")
		require.NoError(t, s.Add(a))
		all, err := s.Briefs(record.Filter{})
		require.NoError(t, err)
		own := slices.DeleteFunc(all, func(b session.Brief) bool { return b.Learner != a.Learner })
		got, err := s.Standings(a.Learner)
		require.NoError(t, err)
		assert.Equal(t, sessiontest.Standings(own), got)
		coupons, err := s.Recent(a.Learner, 3)
		require.NoError(t, err)
		assert.Equal(t, own[max(0, len(own)-3):], coupons)
	})
}

func TestAnythingTheTrainerCanProduceSurvives(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		n++
		a := attempt(fmt.Sprintf("%d-%s", n, rapid.String().Draw(t, "id")), time.UnixMilli(rapid.Int64Range(0, 1<<43).Draw(t, "at")).UTC())
		a.Scenario = rapid.StringN(1, 20, -1).Draw(t, "scenario")
		a.Guess = rapid.String().Draw(t, "guess")
		for _, f := range weld.Fields {
			if f.Numeric() {
				f.SetValue(&a.Answer, rapid.Float64Range(-1, 500).Draw(t, f.Key))
			}
		}
		a.Verdict.Reason = rapid.String().Draw(t, "reason")
		a.Verdict.Scores.Oxide = rapid.Float64().Draw(t, "oxide")
		a.Verdict.Findings = a.Verdict.Findings[:rapid.IntRange(0, 1).Draw(t, "findings")]
		a.Verdict.Coupon.Stations[0].Cap = weld.Length(rapid.Float64().Draw(t, "cap"))
		require.NoError(t, s.Add(a))
		got, err := s.Attempts(record.Filter{Scenario: a.Scenario})
		require.NoError(t, err)
		require.Contains(t, got, a)
	})
}

func TestWhatWouldNotComeBackIsRefused(t *testing.T) {
	s := open(t, filepath.Join(t.TempDir(), record.FileName))
	require.NoError(t, s.Add(attempt("a", noon)))
	for name, spoil := range map[string]func(*session.Attempt){
		"the same id twice": func(a *session.Attempt) { a.ID = "a" },
		"no id":             func(a *session.Attempt) { a.ID = "" },
		"no scenario":       func(a *session.Attempt) { a.Scenario = "" },
		"not a number": func(a *session.Attempt) {
			var zero float64
			a.Verdict.Scores.Oxide = zero / zero
		},
		"an answer outside its fields": func(a *session.Attempt) { a.Answer.Amps = -1 },
		"an empty answer":              func(a *session.Attempt) { a.Answer = weld.Answer{} },
	} {
		a := attempt("b", noon)
		spoil(&a)
		assert.Error(t, s.Add(a), name)
	}
	got, err := s.Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Len(t, got, 1, "a refused attempt leaves nothing behind")
}

func TestOnlyTheOwnerReads(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("Windows has no such modes")
	}
	dir := filepath.Join(t.TempDir(), "data")
	s := open(t, filepath.Join(dir, record.FileName))
	require.NoError(t, s.Add(attempt("a", noon)))
	info, err := os.Stat(dir)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o700), info.Mode().Perm())
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Greater(t, len(entries), 1, "the journal is there while the record is open")
	for _, e := range entries {
		info, err := e.Info()
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), e.Name())
	}
}

func TestOddPaths(t *testing.T) {
	for _, name := range []string{"with space", "50 % ?mode=memory#x", "Kühlung"} {
		if runtime.GOOS == "windows" && strings.Contains(name, "?") {
			continue
		}
		path := filepath.Join(t.TempDir(), name, record.FileName)
		s := open(t, path)
		require.NoError(t, s.Add(attempt("a", noon)))
		require.NoError(t, s.Close())
		got, err := open(t, path).Attempts(record.Filter{})
		require.NoError(t, err)
		assert.Len(t, got, 1, name)
	}
}

func TestTwoTrainersAtOnce(t *testing.T) {
	const trainers, each = 4, 25
	path := filepath.Join(t.TempDir(), record.FileName)
	var wg sync.WaitGroup
	for n := range trainers { // all of them find no file and make it together
		wg.Go(func() {
			s, err := record.Open(path)
			if !assert.NoError(t, err) {
				return
			}
			defer s.Close()
			for i := range each {
				assert.NoError(t, s.Add(attempt(fmt.Sprintf("%d-%d", n, i), noon)))
			}
		})
	}
	wg.Wait()
	got, err := open(t, path).Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Len(t, got, trainers*each)
}

func TestADamagedRecordIsSetAside(t *testing.T) {
	garbage := []byte(strings.Repeat("this is not a database. ", 4000))
	for name, damage := range map[string]func([]byte) []byte{
		"other content":     func([]byte) []byte { return garbage },
		"cut short":         func(b []byte) []byte { return b[:len(b)/2] },
		"overwritten pages": func(b []byte) []byte { return append(b[:4096:4096], garbage[:len(b)-4096]...) },
		"a spoilt header":   func(b []byte) []byte { return append([]byte("SQLite format 9\x00"), b[16:]...) },
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, record.FileName)
			s := open(t, path)
			require.NoError(t, s.Add(attempt("a", noon)))
			require.NoError(t, s.Close())
			sound, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Greater(t, len(garbage), len(sound)-4096)
			spoilt := damage(sound)
			require.NoError(t, os.WriteFile(path, spoilt, 0o600))

			s = open(t, path)
			require.NotEmpty(t, s.SetAside())
			kept, err := os.ReadFile(s.SetAside())
			require.NoError(t, err)
			assert.Equal(t, spoilt, kept, "what was there is kept to the byte")
			require.NoError(t, s.Add(attempt("b", noon)))
			got, err := s.Attempts(record.Filter{})
			require.NoError(t, err)
			assert.Len(t, got, 1)
		})
	}
}

func TestOtherFilesAreRefusedAndLeftAlone(t *testing.T) {
	for name, c := range map[string]struct{ statements, want string }{
		"newer":           {"PRAGMA application_id = 1885629559; CREATE TABLE later (x); PRAGMA user_version = 99", "written by a newer puddlewise"},
		"another program": {"CREATE TABLE recipe (title TEXT)", "another program's database"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), record.FileName)
			db, err := sql.Open("sqlite", path)
			require.NoError(t, err)
			_, err = db.Exec(c.statements)
			require.NoError(t, err)
			require.NoError(t, db.Close())
			before, err := os.ReadFile(path)
			require.NoError(t, err)

			_, err = record.Open(path)
			require.ErrorContains(t, err, c.want)
			assert.Contains(t, err.Error(), path)
			after, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, before, after)
		})
	}
}

func TestPlacesThatCannotHoldARecord(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	require.NoError(t, os.WriteFile(file, []byte("x"), 0o600))
	for name, path := range map[string]string{
		"a folder":              dir,
		"a file for its folder": filepath.Join(file, record.FileName),
		"an unusable name":      filepath.Join(dir, "a\x00b"),
	} {
		_, err := record.Open(path)
		assert.Error(t, err, name)
	}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, entries, 1, "nothing was made on the way")
}

func TestAnAnswerFromBeforeAFieldWasThere(t *testing.T) {
	path := filepath.Join(t.TempDir(), record.FileName)
	s := open(t, path)
	want := attempt("a", noon)
	require.NoError(t, s.Add(want))
	require.NoError(t, s.Close())
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec(`UPDATE attempt SET answer = json_remove(answer, '$.lens', '$.flow')`)
	require.NoError(t, err)
	require.NoError(t, db.Close())
	got, err := open(t, path).Attempts(record.Filter{})
	require.NoError(t, err)
	assert.Equal(t, []session.Attempt{want}, got, "the plain set-up stands in")
}

// A record of the first version, from before attempts held their joint.
func TestARecordOfTheFirstSchema(t *testing.T) {
	first, err := os.ReadFile(filepath.Join("migrations", "0001_attempts.sql"))
	require.NoError(t, err)
	verdict, err := os.ReadFile(filepath.Join("testdata", "verdict-1.json"))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), record.FileName)
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	_, err = db.Exec(string(first) + "; PRAGMA application_id = 1885629559; PRAGMA user_version = 1")
	require.NoError(t, err)
	for id, v := range map[string]string{"a": string(verdict), "b": `{"Outcome": "accept", "Findings": null}`} {
		_, err = db.Exec(`INSERT INTO attempt (id, at, learner, scenario, revision, model_version, mode, guess, hints, answer, verdict)
			VALUES ($1, $2, 'Ann', 'B-03', 2, '1', 'self-study', 'keyhole', 1, '{"amps": "62.5 A"}', $3)`, id, noon.UnixMilli(), v)
		require.NoError(t, err)
	}
	require.NoError(t, db.Close())

	want := attempt("a", noon)
	want.Started, want.Seed, want.Title, want.Task = time.Time{}, 0, "", weld.Task{}
	s := open(t, path)
	got, err := s.Attempts(record.Filter{ID: "a"})
	require.NoError(t, err)
	assert.Equal(t, []session.Attempt{want}, got)
	briefs, err := s.Briefs(record.Filter{})
	require.NoError(t, err)
	require.Len(t, briefs, 2)
	assert.Equal(t, session.NewBrief(want), briefs[0], "what the brief says was in the verdict")
	assert.Equal(t, scoring.Accept, briefs[1].Outcome)
	assert.Empty(t, briefs[1].Told)
}

// A joint and a verdict are kept under their names in Go. These were written by the
// first version: when a name changes, write a migration, do not change the files.
func TestWhatTheFirstVersionWroteIsStillRead(t *testing.T) {
	read := func(file string, into any) {
		b, err := os.ReadFile(filepath.Join("testdata", file))
		require.NoError(t, err)
		d := json.NewDecoder(strings.NewReader(string(b)))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(into))
	}
	var v scoring.Verdict
	read("verdict-1.json", &v)
	assert.Equal(t, attempt("a", noon).Verdict, v)
	var task weld.Task
	read("task-1.json", &task)
	assert.Equal(t, everyTask(), task)
}

// everyTask has something in every part.
func everyTask() weld.Task {
	return weld.Task{
		Joint: weld.TubeSaddle, Position: weld.PB, Gap: 0.0003, GapEnd: 0.0005, Seam: 0.05, RunOut: 0.01, Overlap: 0.02,
		A: weld.Member{Metal: weld.SS304, Thickness: 0.0015, Width: 0.06}, B: weld.Member{Metal: weld.CarbonSteel, Thickness: 0.002, Width: 0.04},
		Diameter: 0.025, Through: 0.03, Branch: 60 * weld.Degree, Chill: weld.OnBench, PartTemp: weld.Celsius(20), Earlier: 30,
		Surface: weld.BrightMetal, Draught: 0.5, ClosedVolume: true, Throat: true,
		Drawing: weld.Drawing{FullPenetration: true, Leg: 0.002, BrightRoot: true, FillerFixed: "ER70S-2"},
	}
}
