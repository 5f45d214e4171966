package precert

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/visual"
	"puddlewise/scoring/weld"
)

// Filled is an inspector's sheet of somebody's coupon in which one line is wrong.
type Filled struct {
	Scenario scenarios.Scenario
	Answer   weld.Answer
	Verdict  scoring.Verdict
	Lines    []scoring.Inspected // as filled in: those that are checked
	Wrong    int                 // which of them
	Truth    scoring.Inspected   // what ought to stand there
	Why      string              // what gives it away
}

// mostCoupons bounds the search for a coupon whose sheet can be got wrong.
const mostCoupons = 12

// ErrNoSheet says that none was found.
var ErrNoSheet = errors.New("no coupon was found whose sheet can be got wrong\ntry another seed, or joints of steel")

// FillIn welds a good answer or a typical mistake at a joint of the bank, fills in the
// inspector's sheet of a test piece and gets one line wrong: its result does not follow
// from what was measured, or it does not say what the coupon shows. The same seed and
// bank give the same sheet. Aluminium is left out: no limit is checked there.
func FillIn(bank []scenarios.Scenario, seed int64, judge func(weld.Task, weld.Answer) (scoring.Verdict, error)) (Filled, error) {
	rng := rand.New(rand.NewPCG(uint64(seed), 5817))
	joints := slices.DeleteFunc(slices.Clone(bank), func(sc scenarios.Scenario) bool {
		t := sc.Task
		return t.A.Metal.Family() == weld.Aluminium || t.B.Metal.Family() == weld.Aluminium ||
			!t.Joint.Fillet() && t.Joint != weld.SquareButt && t.Joint != weld.TubeButt
	})
	if len(joints) == 0 {
		return Filled{}, ErrNoSheet
	}
	for range mostCoupons {
		sc := joints[rng.IntN(len(joints))]
		f := Filled{Scenario: sc, Answer: sc.Model}
		if k := rng.IntN(len(sc.Mistakes) + 1); k > 0 {
			f.Answer = sc.Mistakes[k-1].Answer
		}
		v, err := judge(sc.Task, f.Answer)
		if err != nil || v.Outcome == scoring.OutOfRange {
			continue
		}
		f.Verdict = v
		for _, l := range scoring.Inspect(sc.Task, v.Coupon, visual.Test) {
			if l.Result != scoring.NotChecked {
				f.Lines = append(f.Lines, l)
			}
		}
		if f.spoil(rng) {
			return f, nil
		}
	}
	return Filled{}, ErrNoSheet
}

// spoil gets one line wrong; false when none of them can be.
func (f *Filled) spoil(rng *rand.Rand) bool {
	type way struct {
		line int
		to   scoring.Inspected
		why  string
	}
	var ways []way
	for i, l := range f.Lines {
		// Measured: the other result does not follow from it. What is let go on short
		// stretches is left out: the sheet does not say how long they are.
		if l.Got != "none" && l.Got != "yes" && !strings.Contains(l.Want, ", on ") {
			allowed := l.Want + " is allowed"
			if strings.HasPrefix(l.Want, "at ") {
				allowed = l.Want
			}
			to, then := l, "passes"
			to.Result = scoring.Failed
			if l.Result == scoring.Failed {
				to.Result, then = scoring.Passed, "fails"
			}
			ways = append(ways, way{i, to, fmt.Sprintf("%s was measured, %s: that %s", l.Got, allowed, then)})
		}
		// Seen on the coupon as it is shown: a hole, a root not through.
		if l.Result == scoring.Failed && (l.Imperfection == visual.BurnThrough || l.Imperfection == visual.RootPenetration) {
			to := l
			to.Got, to.Result = "none", scoring.Passed
			ways = append(ways, way{i, to, fmt.Sprintf("the coupon shows it at %s", l.At.Show(weld.Metric))})
		}
	}
	if len(ways) == 0 {
		return false
	}
	w := ways[rng.IntN(len(ways))]
	f.Wrong, f.Truth, f.Why = w.line, f.Lines[w.line], w.why
	f.Lines = slices.Clone(f.Lines)
	f.Lines[w.line] = w.to
	return true
}

// Find gives the line of a number of ISO 6520-1, or of its name; ok is false for none.
func (f Filled) Find(text string) (line int, ok bool) {
	for i, l := range f.Lines {
		if text == string(l.Imperfection) || text == l.Name {
			return i, true
		}
	}
	return 0, false
}
