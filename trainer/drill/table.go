package drill

import (
	"cmp"
	"maps"
	"math"
	"slices"
)

// Table is what an instructor reads of a class.
type Table struct {
	Drill    string
	Learners []Row
	Of       int        // joints of the drill
	Joints   []JointRow // those welded by somebody, by id
	Findings []Count    // most common first, of rejected coupons
}

// Row is one learner.
type Row struct {
	Learner string
	Joints  []Mark // by Table.Joints
	Passed  int
	Coupons int
	Minutes float64
	Away    int // times it was closed in the middle
	Done    bool
	Finding string // most common on their coupons that did not pass; empty for none
}

// Mark is how a learner stands at a joint.
type Mark struct {
	Tries  int
	Passed bool
}

// JointRow is how the class did at one joint.
type JointRow struct {
	Scenario string
	Tried    int     // learners who welded one
	Passed   float64 // share of those
	// Tells is how well the joint tells those who pass elsewhere from those who do not:
	// the correlation of passing it with the share of the other joints passed (item-rest
	// correlation); NaN where all or none pass.
	Tells   float64
	Finding string // most common that kept it from passing
}

// Count is a finding and on how many coupons it was.
type Count struct {
	Rule    string
	Coupons int
}

// NewTable makes the table of a class. Two results of one learner count together.
func NewTable(all []Checked) Table {
	t := Table{}
	rows := map[string]*Row{}
	found, byJoint := map[string]int{}, map[string]map[string]int{}
	var names, joints []string
	for _, r := range all {
		t.Drill, t.Of = r.Drill, max(t.Of, r.Joints)
		row := rows[r.Learner]
		if row == nil {
			row = &Row{Learner: r.Learner, Done: true}
			rows[r.Learner] = row
			names = append(names, r.Learner)
		}
		row.Minutes += r.Working / 60
		row.Away += len(r.Away)
		row.Done = row.Done && r.Done
		row.Coupons += len(r.Attempts)
		for _, a := range r.Tried() {
			if !slices.Contains(joints, a.Scenario) {
				joints = append(joints, a.Scenario)
			}
		}
	}
	slices.Sort(names)
	slices.Sort(joints)
	t.Of = max(t.Of, len(joints))
	for _, name := range names {
		own := map[string]int{}
		row := rows[name]
		row.Joints = make([]Mark, len(joints))
		for _, r := range all {
			if r.Learner != name {
				continue
			}
			for _, a := range r.Tried() {
				m := &row.Joints[slices.Index(joints, a.Scenario)]
				m.Tries++
				if a.Passed {
					m.Passed = true
				} else if rule := a.Rule; rule != "" {
					own[rule]++
					found[rule]++
					if byJoint[a.Scenario] == nil {
						byJoint[a.Scenario] = map[string]int{}
					}
					byJoint[a.Scenario][rule]++
				}
			}
		}
		for _, m := range row.Joints {
			if m.Passed {
				row.Passed++
			}
		}
		row.Finding = first(own)
		t.Learners = append(t.Learners, *row)
	}
	for i, id := range joints {
		t.Joints = append(t.Joints, jointRow(id, i, t.Learners, first(byJoint[id])))
	}
	for _, rule := range ranked(found) {
		t.Findings = append(t.Findings, Count{rule, found[rule]})
	}
	return t
}

// ranked gives the names with the highest counts first, equal ones by name.
func ranked(counts map[string]int) []string {
	return slices.SortedFunc(maps.Keys(counts), func(a, b string) int { return cmp.Or(cmp.Compare(counts[b], counts[a]), cmp.Compare(a, b)) })
}

func first(counts map[string]int) string {
	if names := ranked(counts); len(names) > 0 {
		return names[0]
	}
	return ""
}

func jointRow(id string, i int, learners []Row, finding string) JointRow {
	j := JointRow{Scenario: id, Finding: finding, Tells: math.NaN()}
	var here, rest []float64
	for _, l := range learners {
		if l.Joints[i].Tries == 0 {
			continue
		}
		j.Tried++
		passed, others, of := 0.0, 0.0, 0.0
		for k, m := range l.Joints {
			switch {
			case k == i:
				if m.Passed {
					passed = 1
				}
			case m.Tries > 0:
				of++
				if m.Passed {
					others++
				}
			}
		}
		if of > 0 {
			here, rest = append(here, passed), append(rest, others/of)
		}
		j.Passed += passed
	}
	if j.Tried > 0 {
		j.Passed /= float64(j.Tried)
	}
	j.Tells = correlation(here, rest)
	return j
}

// correlation is Pearson's; NaN where one of them does not vary.
func correlation(x, y []float64) float64 {
	n := float64(len(x))
	mean := func(v []float64) float64 {
		sum := 0.0
		for _, a := range v {
			sum += a
		}
		return sum / n
	}
	mx, my := mean(x), mean(y)
	var xy, xx, yy float64
	for i := range x {
		xy += (x[i] - mx) * (y[i] - my)
		xx += (x[i] - mx) * (x[i] - mx)
		yy += (y[i] - my) * (y[i] - my)
	}
	if xx < 1e-12 || yy < 1e-12 {
		return math.NaN()
	}
	return xy / math.Sqrt(xx*yy)
}

// First gives each result's first coupon at a joint.
func First(all []Checked, id string) []Attempt {
	var out []Attempt
	for _, r := range all {
		for i := range r.Attempts { // an attempt is large, and a class has thousands
			if r.Attempts[i].Scenario == id {
				out = append(out, r.Attempts[i])
				break
			}
		}
	}
	return out
}
