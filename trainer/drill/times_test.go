package drill

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring/weld"
)

// leaves calls each with every value of a JSON object that is no object or list, its
// place, and a function that puts another there.
func leaves(v any, at string, each func(at string, v any, put func(any)), put func(any)) {
	switch v := v.(type) {
	case map[string]any:
		for _, k := range slices.Sorted(maps.Keys(v)) {
			leaves(v[k], at+"."+k, each, func(x any) { v[k] = x })
		}
	case []any:
		for i := range v {
			leaves(v[i], at+"[]", each, func(x any) { v[i] = x })
		}
	default:
		each(strings.TrimPrefix(at, "."), v, put)
	}
}

// edited is a value as somebody might change it.
func edited(v any) any {
	switch v := v.(type) {
	case string:
		if t, err := time.Parse(time.RFC3339Nano, v); err == nil {
			return t.Add(time.Hour)
		}
		return v + "x"
	case float64:
		return v + 7
	case bool:
		return !v
	}
	return "x"
}

// Every value of a result is edited, one after the other. Sealed, all of it is found or
// refused; without a seal all but what is listed here, which nobody can know.
func TestEveryEditIsFound(t *testing.T) {
	c := newClass(t, "tries: 2\nhints: no\n")
	all := bank(t)
	r, _, err := c.open("Ann")
	require.NoError(t, err)
	c.weld(r, 30)
	c.now = c.now.Add(4 * time.Minute)
	require.NoError(t, r.Close())
	c.now = c.now.Add(2 * time.Hour)
	r, _, err = c.open("Ann")
	require.NoError(t, err)
	c.weld(r, 55)
	require.NoError(t, r.Said("no_penetration"))
	c.weld(r, 30)
	require.NoError(t, r.Leave())
	raw, err := json.Marshal(c.handIn("Ann")[0].Result)
	require.NoError(t, err)
	found := func(raw []byte) (sealed, unsealed bool) {
		r, err := parseResult(raw)
		if err != nil {
			return true, true
		}
		by := c.against()
		by.Bank, by.Key = all, nil
		doubts, _, err := Check(t.Context(), []Checked{{"Ann", r}}, by)
		require.NoError(t, err)
		return !r.Sealed(c.key), len(doubts) > 0
	}
	sealed, unsealed := found(raw)
	require.False(t, sealed || unsealed)
	free := map[string]bool{}
	var tree any
	require.NoError(t, json.Unmarshal(raw, &tree))
	n := 0
	leaves(tree, "", func(at string, v any, put func(any)) {
		if n++; raced && n%8 > 0 {
			return
		}
		put(edited(v))
		changed, err := json.Marshal(tree)
		require.NoError(t, err)
		sealed, unsealed := found(changed)
		assert.True(t, sealed, "%s is sealed", at)
		if !unsealed {
			free[at] = true
		}
		put(v)
	}, nil)
	if raced {
		return
	}
	assert.Equal(t, []string{
		"attempts[].guess", // what the learner said
		"attempts[].id",
		"here", // the joint in hand, of no weight once it is done
		"here_s",
		"learner",
		"program",
		"seal",
	}, slices.Sorted(maps.Keys(free)))
}

func TestTimesAndOrderAreHeld(t *testing.T) {
	c := newClass(t, "tries: 3\nhints: no\ntime: {joint: 10 min, whole: 15 min}\n")
	for _, n := range []string{"Ann", "Bo"} {
		r, _, err := c.open(n)
		require.NoError(t, err)
		for _, amps := range []weld.Current{30, 55, 30, 30} {
			c.now = c.now.Add(time.Minute)
			c.weld(r, amps)
		}
		require.NoError(t, r.Leave())
	}
	assert.Empty(t, c.check(c.handIn("Ann", "Bo")))
	for want, edit := range map[string]func(all []Checked){
		"says 5 min 0 s of work, and its times give 4 min 0 s": func(all []Checked) { all[0].Working += 60 },
		"ended before it began":                                func(all []Checked) { all[0].Ended = all[0].Started.Add(-time.Minute) },
		"time away 1 lies before":                              func(all []Checked) { all[0].Away = []Away{{all[0].Started.Add(-time.Hour), all[0].Started}} },
		"coupon 2, B-01 was welded before the one before it": func(all []Checked) {
			a := &all[0].Attempts[1]
			a.Started, a.At = all[0].Started, all[0].Started
		},
		"coupon 2, B-01 was welded before it was begun":      func(all []Checked) { all[0].Attempts[1].Started = all[0].Ended },
		"coupon 4, B-02 was welded outside the drill's time": func(all []Checked) { all[0].Attempts[3].At = all[0].Ended.Add(time.Hour) },
		"coupon 2, B-01 was welded while the drill was closed": func(all []Checked) {
			at := all[0].Attempts[1].At
			all[0].Away = []Away{{at.Add(-10 * time.Second), at.Add(10 * time.Second)}}
		},
		"goes on with B-01 after it was passed": func(all []Checked) {
			all[0].Attempts[0], all[0].Attempts[1] = all[0].Attempts[1], all[0].Attempts[0]
			all[0].Attempts[0].At, all[0].Attempts[1].At = all[0].Attempts[1].At, all[0].Attempts[0].At
		},
		"comes back to B-01 after a later joint": func(all []Checked) {
			all[0].Attempts[0].At, all[0].Attempts[3].At = all[0].Attempts[3].At, all[0].Attempts[0].At
		},
		"goes on with B-02 after its time was up": func(all []Checked) {
			all[0].Attempts[3].At, all[0].Ended = all[0].Ended.Add(20*time.Minute), all[0].Ended.Add(20*time.Minute)
		},
		"coupon 1, B-01 had hints":        func(all []Checked) { all[0].Attempts[0].Hints = 1 },
		"says it is not done, and every":  func(all []Checked) { all[0].Done = false },
		`calls the drill "Volts"`:         func(all []Checked) { all[0].Drill = "Volts" },
		"says the drill has 3 joints":     func(all []Checked) { all[0].Joints = 3 },
		"says it is done, and B-02 is no": func(all []Checked) { all[0].Left = nil },
		"is a second result of ANN":       func(all []Checked) { all[1].Learner = "ANN " },
		// Ann's coupons handed in as Bo's, with ids of their own; then all of them an hour later.
		"Bo: looks copied from Ann": func(all []Checked) { all[1] = copyOf(all[0], 0) },
		"Bo: looks copied from Ann: the same answers, and to the millisecond": func(all []Checked) { all[1] = copyOf(all[0], time.Hour) },
	} {
		all := c.handIn("Ann", "Bo")
		edit(all)
		got := c.check(all)
		assert.True(t, slices.ContainsFunc(got, func(s string) bool { return strings.Contains(s, want) }), "%q not in %q", want, got)
	}
}

// copyOf is a result under another name, later by so much.
func copyOf(r Checked, by time.Duration) Checked {
	out := Checked{"Bo", r.Result}
	out.Learner, out.Started, out.Ended = "Bo", r.Started.Add(by), r.Ended.Add(by)
	out.Attempts = slices.Clone(r.Attempts)
	for i := range out.Attempts {
		a := &out.Attempts[i]
		a.ID, a.Started, a.At = fmt.Sprint("copy", i), a.Started.Add(by), a.At.Add(by)
	}
	return out
}
