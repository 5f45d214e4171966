package report

import (
	"time"

	"puddlewise/scenarios"
	"puddlewise/trainer/learner"
	"puddlewise/trainer/session"
)

// skills says how each skill stands that a coupon has exercised, weakest first.
func skills(now time.Time, bank []scenarios.Scenario, coupons []session.Brief) (out []SkillLine) {
	for _, s := range learner.Of(bank, coupons).Skills(now) {
		if s.Seen > 0 {
			out = append(out, SkillLine{s.Name, s.Word() + ", " + s.When()})
		}
	}
	return out
}
