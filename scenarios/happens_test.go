package scenarios

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

func befalling(t testing.TB) (out []Scenario) {
	t.Helper()
	bank, err := Bank()
	require.NoError(t, err)
	for _, s := range bank {
		if len(s.Happens) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// What a seed draws stays the same, on every machine and from one version to the next.
func TestWhatHappensIsDrawn(t *testing.T) {
	var b []byte
	for _, s := range befalling(t) {
		for seed := int64(1); seed <= 3; seed++ {
			b = fmt.Appendf(b, "%s %d: %v\n", s.ID, seed, s.Befall(seed).WhatHappens())
		}
	}
	want := filepath.Join("..", "testdata", "scenarios", "happens.txt")
	if *update {
		require.NoError(t, os.WriteFile(want, b, 0o644))
	}
	text, err := os.ReadFile(want)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(b))
}

// Every case comes once before one comes again; in each something happens that the file
// names, within its ranges and on the seam.
func TestWhatHappensIsOfTheFile(t *testing.T) {
	all := befalling(t)
	require.GreaterOrEqual(t, len(all), 8)
	kinds, metals, events := map[weld.Joint]bool{}, map[weld.Family]bool{}, map[weld.Event]bool{}
	for _, s := range all {
		kinds[s.Task.Joint], metals[s.Task.A.Metal.Family()] = true, true
		seen := map[string]bool{}
		for seed := int64(-20); seed <= 20; seed++ {
			d := s.Befall(seed)
			assert.Equal(t, s.Task, d.Befall(0).Task)
			if seed == 0 {
				assert.Empty(t, d.WhatHappens())
				continue
			}
			words := d.WhatHappens()
			require.NotEmpty(t, words)
			seen[fmt.Sprint(words)] = true
			for _, h := range d.Task.Happens {
				if h.What == "" {
					continue
				}
				events[h.What] = true
				assert.LessOrEqual(t, h.At+h.Over, d.Task.Seam+1e-9, "%s: %s", s.ID, h)
				assert.Positive(t, h.Much)
			}
		}
		assert.Greater(t, len(seen), 10, s.ID)
	}
	assert.GreaterOrEqual(t, len(kinds), 5)
	assert.Len(t, metals, 4)
	assert.Len(t, events, len(weld.Events))
	s := all[0]
	s.Happens = []Thing{{What: weld.GapOpens, At: []string{"10 mm"}, Much: []string{"0.2 mm"}, Over: 0.01}}
	s.Task.Gap, s.Task.GapEnd = 0, 0
	assert.Empty(t, s.Befall(3).WhatHappens(), "a gap that a variation closed does not open")
}
