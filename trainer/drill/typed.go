package drill

import (
	"maps"
	"slices"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Typed is an answer on its way at the joint in hand, and the hints taken there.
type Typed struct {
	Inch   bool              `json:"inch"`   // what bare numbers mean
	Fields map[string]string `json:"fields"` // by key, as typed
	Hints  []string          `json:"hints"`
}

// KeepDraft keeps what is typed at the joint in hand; of another, or one that takes no more
// coupons, nothing is kept.
func (r *Run) KeepDraft(d session.Draft) error {
	if d.Scenario != r.r.Here || r.finished(d.Scenario) {
		return nil
	}
	r.r.Typed = &Typed{d.System == weld.Imperial, maps.Clone(d.Typed), slices.Clone(d.Hinted)}
	return r.write()
}

// DropDraft drops what was typed at the joint in hand.
func (r *Run) DropDraft(_, scenario string, _ int64) error {
	if scenario != r.r.Here || r.r.Typed == nil {
		return nil
	}
	r.r.Typed = nil
	return r.write()
}

// Draft gives what was typed at the joint in hand.
func (r *Run) Draft() session.Draft {
	d := session.Draft{Learner: r.r.Learner, Scenario: r.r.Here, Seed: r.made[r.r.Here].Seed}
	if t := r.r.Typed; t != nil {
		d.Typed, d.Hinted = maps.Clone(t.Fields), slices.Clone(t.Hints)
		if t.Inch {
			d.System = weld.Imperial
		}
	}
	return d
}
