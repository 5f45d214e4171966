package precert_test

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/precert"
	"puddlewise/trainer/session"
)

func bank(t testing.TB) []scenarios.Scenario {
	all, err := scenarios.Bank()
	require.NoError(t, err)
	return all
}

func piece(t testing.TB, id string) precert.Piece {
	all, err := precert.Pieces()
	require.NoError(t, err)
	for _, p := range all {
		if p.ID == id {
			return p
		}
	}
	t.Fatalf("no test piece %s", id)
	return precert.Piece{}
}

// take is a test with a judge of its own and a clock that only the test moves.
type take struct {
	t     *testing.T
	piece precert.Piece
	file  string
	now   time.Time
	seed  int64
	judge func(weld.Task, weld.Answer) (scoring.Verdict, error)
	count int
}

func newTake(t *testing.T, id string) *take {
	k := &take{t: t, piece: piece(t, id), file: filepath.Join(t.TempDir(), "t.json"), now: time.Date(2026, 3, 4, 9, 0, 0, 0, time.UTC)}
	k.judge = func(weld.Task, weld.Answer) (scoring.Verdict, error) {
		k.count++
		return scoring.Verdict{Outcome: scoring.Accept}, nil
	}
	return k
}

func (k *take) sit() (*precert.Sitting, bool, error) {
	return precert.Sit(k.piece, precert.Seat{Bank: bank(k.t), Learner: "Ann", Seed: k.seed, File: k.file, Program: "p", Model: "m", Judge: k.judge, Now: func() time.Time { return k.now }})
}

// model welds everything with the joints' own good answers.
func (k *take) model(s *precert.Sitting) {
	for r, _, ok := s.Next(); ok; r, _, ok = s.Next() {
		_, err := s.Weld(r.Scenario.Model)
		require.NoError(k.t, err)
	}
}

// once welds equal things once: judging again what was drawn and welded costs nothing.
func once(judge func(weld.Task, weld.Answer) (scoring.Verdict, error)) func(weld.Task, weld.Answer) (scoring.Verdict, error) {
	type key struct {
		task   weld.Task
		answer weld.Answer
	}
	known := map[key]scoring.Verdict{}
	return func(t weld.Task, a weld.Answer) (scoring.Verdict, error) {
		if v, ok := known[key{t, a}]; ok {
			return v, nil
		}
		v, err := judge(t, a)
		known[key{t, a}] = v
		return v, err
	}
}

var every = flag.Bool("all", false, "weld every test piece, not some of each kind")

// welded are those of the test pieces that an ordinary run welds: a butt, a fillet and a
// saddle of their own, which no test of the bank welds.
var welded = []string{"TS-01", "TS-03", "TC-02"}

// Each test piece that ships can be passed: with its own good answer it stays within its
// procedure, and the inspector passes it, under the conditions of a seed as well.
func TestEveryPieceCanBePassed(t *testing.T) {
	if raced {
		t.Skip("no two things run at once here")
	}
	all, err := precert.Pieces()
	require.NoError(t, err)
	assert.GreaterOrEqual(t, len(all), 8)
	metals, drawn := map[weld.Metal]bool{}, 0
	for _, p := range all {
		runs, err := p.Joints(bank(t))
		require.NoError(t, err, p.ID)
		for _, r := range runs {
			metals[r.Scenario.Task.A.Metal] = true
			assert.Empty(t, r.Scenario.Coaching, "no hints")
		}
		if !*every && !slices.Contains(welded, p.ID) {
			continue
		}
		k := newTake(t, p.ID)
		k.judge = once(scoring.Judge)
		k.seed = 1
		s, _, err := k.sit()
		require.NoError(t, err, p.ID)
		k.model(s)
		require.NoError(t, s.Close())
		taken, err := precert.ReadTaken(k.file)
		require.NoError(t, err)
		assert.True(t, taken.Done)
		for j := range taken.Parts {
			if taken.Parts[j].Task != runs[j].Scenario.Task {
				drawn++
			}
		}
		out, err := taken.Judge(k.judge)
		require.NoError(t, err)
		assert.True(t, out.Pass, "%s: %s", p.ID, out.Decided)
		for _, j := range out.Parts {
			assert.False(t, j.Changed, "the same verdict again")
		}
	}
	for _, m := range []weld.Metal{weld.CarbonSteel, weld.Steel4130, weld.SS304, weld.SS316L, weld.Al6061} {
		assert.True(t, metals[m], m)
	}
	assert.Positive(t, drawn, "a seed changes the conditions")
}

func TestATestGoesOnWhereItWas(t *testing.T) {
	k := newTake(t, "TS-02")
	s, resumed, err := k.sit()
	require.NoError(t, err)
	assert.False(t, resumed)
	r, n, ok := s.Next()
	require.True(t, ok)
	assert.Equal(t, 0, n)
	_, err = s.Blank(r.Scenario.Model)
	require.NoError(t, err)
	assert.Equal(t, 1, s.Blanks())
	k.now = k.now.Add(5 * time.Minute)
	_, err = s.Weld(r.Scenario.Model)
	require.NoError(t, err)
	k.now = k.now.Add(2 * time.Minute)
	require.NoError(t, s.KeepDraft(session.Draft{System: weld.Imperial, Typed: map[string]string{"amps": "60"}}))
	// Killed here, with nothing closed, and back after an hour.
	k.now = k.now.Add(time.Hour)
	s, resumed, err = k.sit()
	require.NoError(t, err)
	assert.True(t, resumed)
	_, n, _ = s.Next()
	assert.Equal(t, 1, n, "what was welded is not welded again")
	assert.Equal(t, 1, s.Blanks())
	assert.Equal(t, session.Draft{Learner: "Ann", Scenario: "B-08", System: weld.Imperial, Typed: map[string]string{"amps": "60"}}, s.Draft())
	assert.Equal(t, 33*time.Minute, s.Left(), "the clock stood still")
	assert.Equal(t, time.Hour, s.Taken().Lost())
	k.model(s)
	assert.True(t, s.Over())
	_, err = s.Weld(r.Scenario.Model)
	require.ErrorIs(t, err, precert.ErrOver)

	k.piece = piece(t, "TS-01")
	_, _, err = k.sit()
	require.ErrorIs(t, err, precert.ErrTaken)
	assert.ErrorContains(t, err, "holds another test")
}

// An answer that was committed to is welded even when the program died over it.
func TestWhatWasCommittedToIsWelded(t *testing.T) {
	k := newTake(t, "TS-04")
	s, _, err := k.sit()
	require.NoError(t, err)
	taken := s.Taken()
	taken.Parts[0].Answer = map[string]string{"amps": "77 A"}
	require.NoError(t, taken.Write(k.file))
	s, _, err = k.sit()
	require.NoError(t, err)
	assert.True(t, s.Over())
	assert.Equal(t, 1, k.count)
	// A joint that was made easier is told.
	taken.Parts[0].Task.Gap = 0
	require.NoError(t, taken.Write(k.file))
	_, _, err = k.sit()
	require.ErrorIs(t, err, precert.ErrTaken)
	assert.ErrorContains(t, err, "the file was changed")
}

func TestBlanksAndTimeEnd(t *testing.T) {
	k := newTake(t, "TS-04")
	s, _, err := k.sit()
	require.NoError(t, err)
	r, _, _ := s.Next()
	_, err = s.Blank(r.Scenario.Model)
	require.NoError(t, err)
	_, err = s.Blank(r.Scenario.Model)
	require.ErrorIs(t, err, precert.ErrNoBlank)
	k.now = k.now.Add(31 * time.Minute)
	_, err = s.Weld(r.Scenario.Model)
	require.ErrorIs(t, err, precert.ErrOver)
	out, err := s.Taken().Judge(k.judge)
	require.NoError(t, err)
	assert.False(t, out.Pass)
	assert.Equal(t, "weld 1 of 1 was not welded", out.Decided)
	assert.True(t, s.Taken().Done)
}

func TestWhatDecides(t *testing.T) {
	k := newTake(t, "TS-04")
	s, _, err := k.sit()
	require.NoError(t, err)
	r, _, _ := s.Next()
	a := r.Scenario.Model
	a.Gas = weld.Helium
	_, err = s.Weld(a)
	require.NoError(t, err)
	rejected := func(weld.Task, weld.Answer) (scoring.Verdict, error) {
		return scoring.Verdict{Outcome: scoring.Reject, Reason: "a cold tack"}, nil
	}
	out, err := s.Taken().Judge(rejected)
	require.NoError(t, err)
	assert.False(t, out.Pass)
	assert.Equal(t, "weld 1 of 1, procedure: gas was helium, allowed is argon (needs a new procedure)", out.Decided)
	assert.True(t, out.Parts[0].Changed, "welded again it comes out otherwise")
	taken := s.Taken()
	taken.Parts[0].Answer["gas"] = "argon"
	out, err = taken.Judge(rejected)
	require.NoError(t, err)
	assert.Equal(t, "weld 1 of 1, what the model sees and no inspector's gauge does: a cold tack", out.Decided)
}

const badPiece = `title: x
designation: 141 P BW FM1 S s1.5 PX ss nb
procedure: PS-1
time: 9 h
blanks: 7
welds:
  - joint: {title: y, joint: {kind: square but}}
  - restart: maybe
`

func TestABadPieceIsToldWhole(t *testing.T) {
	_, err := precert.ParsePiece("x.yaml", []byte(badPiece))
	require.Error(t, err)
	for _, want := range []string{`x.yaml:2: designation: "PX"`, "did you mean PS-", `time: "9 h" is no time`, "blanks", "welds[1].joint.level", "welds[1].joint.joint.kind", "welds[2].joint", "welds[2].restart"} {
		assert.Contains(t, err.Error(), want)
	}
	for designation, want := range map[string]string{
		"141 P FW FM1 S t1.5 PA sl": "is no fillet", "141 T BW FM1 S s1.5 D25 PA ss nb": "is no tube", "141 P BW FM1 S s2 PA ss nb": "no wall is 2 mm", "141 P BW FM1 S s1.5 PF ss nb": "it is welded in PA",
	} {
		p, err := precert.ParsePiece("x.yaml", []byte("title: x\ndesignation: "+designation+"\nprocedure: PS-01\ntime: 9 min\nwelds: [joint: B-01]\n"))
		require.NoError(t, err)
		_, err = p.Joints(bank(t))
		assert.ErrorContains(t, err, want, designation)
	}
}

func TestAFileThatIsNoTest(t *testing.T) {
	for text, want := range map[string]string{"{}": "is not a test", "[": "is not a test", `{"puddlewise_test": 2}`: "format 2", `{"puddlewise_test": 1}`: "0 welds", `{"x": 1}`: "is not a test"} {
		name := filepath.Join(t.TempDir(), "t.json")
		require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
		_, err := precert.ReadTaken(name)
		assert.ErrorContains(t, err, want)
	}
}

func FuzzParsePiece(f *testing.F) {
	f.Add(badPiece)
	f.Fuzz(func(t *testing.T, s string) {
		p, err := precert.ParsePiece("x.yaml", []byte(s))
		if err == nil {
			_, _ = p.Joints(nil)
		}
	})
}
