package cli

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// audited is what came of one joint.
type audited struct {
	off    []string // what is not as the file says, a line each
	margin float64  // of the model answer; 1 is the limit
	tried  int      // numbers moved, less and more
	held   int      // of these the accepted ones
	fell   []string // the others
	err    error
}

// audit welds the joints on all cores and prints them in order. Progress goes to the
// other stream.
func (o *bankOptions) audit(all []scenarios.Scenario) error {
	results := make([]audited, len(all))
	var mu sync.Mutex
	done := 0
	session.Cores(context.Background(), runtime.GOMAXPROCS(0))(len(all), func(i int) {
		results[i] = auditJoint(all[i], !o.Brief)
		mu.Lock()
		defer mu.Unlock()
		if done++; done%10 == 0 && done < len(all) {
			fmt.Fprintf(o.Err, "%d of %d joints welded\n", done, len(all))
		}
	})
	off, mistakes, robust := 0, 0, 0
	for i, r := range results {
		if r.err != nil {
			return fmt.Errorf("%s: %w", all[i].ID, r.err)
		}
		fmt.Fprintf(o.Out, "%-6s model at %.2f of its limit, %s%s\n", all[i].ID, r.margin, counted(len(all[i].Mistakes), "mistake"), r.robustness())
		for _, line := range r.off {
			fmt.Fprintf(o.Out, "  OFF  %s\n", line)
		}
		off += len(r.off)
		mistakes += len(all[i].Mistakes)
		if r.held == r.tried {
			robust++
		}
	}
	fmt.Fprintf(o.Out, "%s, %s: %d off", counted(len(all), "joint"), counted(mistakes, "mistake"), off)
	if !o.Brief {
		fmt.Fprintf(o.Out, "; %d hold 10 %% either way on every number", robust)
	}
	fmt.Fprintln(o.Out)
	if off > 0 {
		return errors.New("the bank is off: see above\nweld one with puddlewise weld --scenario ID --answer model")
	}
	return nil
}

// robustness says how much the numbers may be off, after a comma; nothing when not tried.
func (r audited) robustness() string {
	if r.tried == 0 {
		return ""
	}
	out := fmt.Sprintf(", holds at %d of %d", r.held, r.tried)
	if len(r.fell) > 0 {
		out += ", not " + strings.Join(r.fell, ", ")
	}
	return out
}

// auditJoint welds one joint's model answer and mistakes, and its numbers moved by a tenth.
func auditJoint(s scenarios.Scenario, robust bool) (r audited) {
	trials := scoring.Trials{Task: s.Task}
	v, margin, err := trials.Accepts(s.Model)
	if r.err, r.margin = err, margin; err != nil {
		return r
	}
	if v.Outcome != scoring.Accept {
		r.off = append(r.off, "the model answer is not accepted: "+v.Reason)
	}
	for _, m := range s.Mistakes {
		v, raised, err := trials.Raises(m.Answer, m.Finding)
		if err != nil {
			r.off = append(r.off, fmt.Sprintf("%s: cannot be welded: %v", m.Title, err))
			continue
		}
		if !raised {
			r.off = append(r.off, fmt.Sprintf("%s: no %s, but %s", m.Title, m.Finding, said(v)))
		}
	}
	if !robust {
		return r
	}
	for _, key := range s.Ask {
		f, _ := weld.FieldByKey(key)
		at, numeric := f.Value(s.Model)
		if !numeric || at == 0 {
			continue
		}
		for _, way := range []float64{0.9, 1.1} {
			a := s.Model
			f.SetValue(&a, at*way)
			r.tried++
			if trials.Holds(a) {
				r.held++
				continue
			}
			r.fell = append(r.fell, fmt.Sprintf("%s %s", key, f.Show(a, weld.Metric)))
		}
	}
	return r
}

// said lists what a verdict does find.
func said(v scoring.Verdict) string {
	if v.Outcome == scoring.OutOfRange {
		return v.Reason
	}
	var rules []string
	for _, f := range v.Findings {
		rules = append(rules, f.Rule+" ("+string(f.Severity)+")")
	}
	if len(rules) == 0 {
		return "nothing at all"
	}
	return strings.Join(slices.Compact(rules), ", ")
}
