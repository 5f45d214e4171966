package scenarios

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"puddlewise/scoring/weld"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func varying(t testing.TB) (out []Scenario) {
	t.Helper()
	bank, err := Bank()
	require.NoError(t, err)
	for _, s := range bank {
		if s.Varies() {
			out = append(out, s)
		}
	}
	return out
}

// The numbers of a seed stay the same, on every machine and from one version to the next.
func TestDraws(t *testing.T) {
	s, err := LoadFile(filepath.Join(goodDir, "varies.yaml"))
	require.NoError(t, err)
	var b strings.Builder
	for seed := range int64(8) {
		for draw := range 2 {
			d := s.Draw(seed+1, draw)
			fmt.Fprintf(&b, "%s, draw %d: %s and %s, gap %s to %s, leg %s, %s, part at %s, stick-out %s; from %s\n", d.Name(), draw,
				d.Task.A.Thickness, d.Task.B.Thickness, d.Task.Gap, d.Task.GapEnd, d.Task.Drawing.Leg, d.Task.Chill, d.Task.PartTemp, d.Given.StickOut, d.Model.Amps)
		}
	}
	want := filepath.Join("..", "testdata", "scenarios", "varies.txt")
	if *update {
		require.NoError(t, os.WriteFile(want, []byte(b.String()), 0o644))
	}
	text, err := os.ReadFile(want)
	require.NoError(t, err)
	assert.Equal(t, strings.ReplaceAll(string(text), "\r\n", "\n"), b.String())
}

// A drawn joint is one that could have been written, with every text filled in from its
// own numbers and nothing changed but what varies.
func TestDrawsAreJoints(t *testing.T) {
	all := varying(t)
	require.GreaterOrEqual(t, len(all), 60)
	blank := regexp.MustCompile(`[{}]`)
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(all).Draw(t, "joint")
		seed := rapid.Int64Min(1).Draw(t, "seed")
		d := s.Draw(seed, rapid.IntRange(0, 20).Draw(t, "draw"))
		assert.Equal(t, seed, d.Seed)
		for _, text := range []string{d.Job, d.Access, d.Bench, d.Coaching.Look, d.Coaching.Why, d.Coaching.Try} {
			assert.NotRegexp(t, blank, d.Said(text, weld.Imperial))
		}
		assert.Equal(t, s.Ask, d.Ask)
		assert.Equal(t, s.Given.Filler, d.Given.Filler)
		assert.Len(t, d.Mistakes, len(s.Mistakes))
		written := d
		written.Seed, written.Vary, written.Mistakes, written.ModelWhy = 0, nil, nil, "Drawn."
		written.Model = d.Capped(d.Model)
		text, err := written.YAML()
		require.NoError(t, err)
		back, err := Loader{}.Parse(s.ID+".yaml", text)
		require.NoError(t, err, "%s", text)
		assert.Equal(t, written, back)
	})
}

// No joint comes twice before each has come once.
func TestDrawsDiffer(t *testing.T) {
	for _, s := range varying(t) {
		const most = 12
		type numbers struct {
			weld.Task
			weld.Answer
			most weld.Current
		}
		seen := map[numbers]bool{}
		for seed := range int64(min(most, s.Variations())) {
			d := s.Draw(seed+1, 0)
			key := numbers{d.Task, d.Given, d.MostAmps}
			assert.False(t, seen[key], d.Name())
			seen[key] = true
		}
	}
}

func TestTextsSpeakTheLearnersUnits(t *testing.T) {
	s, err := LoadFile(filepath.Join(goodDir, "varies.yaml"))
	require.NoError(t, err)
	assert.Equal(t, "Plates 0.8 mm apart, leg 2 mm.", s.Said("Plates {gap} apart, leg {leg}.", weld.Metric))
	assert.Equal(t, "Plates 0.031 in apart, {amps} {x}.", s.Said("Plates {gap} apart, {amps} {x}.", weld.Imperial), "amps are asked")
}

func TestGuess(t *testing.T) {
	s := minimal(t)
	a := s.Guess()
	assert.Equal(t, weld.Current(79), a.Amps, "an amp for each thousandth of 2 mm")
	assert.Equal(t, Usual(s.Task).Travel, a.Travel)
}

func TestReadmeNamesWhatVaries(t *testing.T) {
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(readme), "## Variations")
	require.True(t, ok)
	for _, key := range varyKeys() {
		assert.Contains(t, section, "`"+key+"`")
	}
}

func TestASmallMachine(t *testing.T) {
	s := minimal(t)
	s.MostAmps = 60
	_, err := ParseAnswer("answer.yaml", []byte("amps: 61 A\ntravel: 120 mm/min\n"), s)
	assert.EqualError(t, err, "answer.yaml:1: amps: 61 A is more than the machine on this bench gives: at most 60 A")
	_, err = ParseAnswer("answer.yaml", []byte("amps: 60 A\ntravel: 120 mm/min\namps_end: 62 A\n"), s)
	assert.ErrorContains(t, err, "62 A is more")
	_, err = ParseAnswer("answer.yaml", []byte("amps: 60 A\ntravel: 120 mm/min\n"), s)
	assert.NoError(t, err)
	assert.Equal(t, weld.Current(60), s.Guess().Amps)
}
