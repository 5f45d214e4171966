package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// skills says how each skill stands that a coupon has exercised, weakest first: by
// the coupons of its joints that were accepted lately.
func skills(now time.Time, joints map[string]scenarios.Scenario, scored []session.Brief) (out []SkillLine) {
	all := map[string][]session.Brief{}
	for _, b := range scored {
		for _, s := range joints[b.Scenario].Skills {
			all[s] = append(all[s], b)
		}
	}
	share := map[string]float64{}
	for name, coupons := range all {
		run := coupons[max(0, len(coupons)-skillRun):]
		accepted := 0
		for _, b := range run {
			if b.Outcome == scoring.Accept {
				accepted++
			}
		}
		share[name] = float64(accepted) / float64(len(run))
		words := fmt.Sprintf("%d of the last %d accepted", accepted, len(run))
		if len(run) == len(coupons) {
			words = fmt.Sprintf("%d of %d accepted", accepted, len(run))
		}
		out = append(out, SkillLine{name, words + ", " + view.When(coupons[len(coupons)-1].At, now)})
	}
	slices.SortFunc(out, func(a, b SkillLine) int {
		return cmp.Or(cmp.Compare(share[a.Name], share[b.Name]), cmp.Compare(a.Name, b.Name))
	})
	return out
}
