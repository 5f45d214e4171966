package question

import (
	"slices"

	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Differing lists the settings in which the answers offered differ.
func (p Part) Differing() []weld.Field {
	var out []weld.Field
	for _, f := range weld.Fields {
		if slices.ContainsFunc(p.Options, func(o Option) bool { return !same(f, o.Made, p.Options[0].Made) }) {
			out = append(out, f)
		}
	}
	return out
}

// which shows two or three coupons of a joint, its model answer's among them, and asks
// which settings made each; the last follows from the others.
func which(b *bench, q *Question) error {
	good, err := b.shown(b.sc.Model)
	if err != nil {
		return err
	}
	if session.Chief(good.Verdict) != "" {
		return errNone
	}
	q.Coupons, q.Rules = []Coupon{good}, nil
	most := 2 + b.rng.IntN(2)
	for _, m := range b.mistakes() {
		if len(q.Coupons) == most {
			break
		}
		c, err := b.shown(m.Answer)
		if err == errNone {
			continue
		} else if err != nil {
			return err
		}
		chief := session.Chief(c.Verdict)
		same := func(other Coupon) bool { return !differ(signs(c.Verdict), signs(other.Verdict)) }
		if chief == "" || slices.ContainsFunc(q.Coupons, same) {
			continue // they could not be told apart
		}
		q.Coupons = append(q.Coupons, c)
		if !slices.Contains(q.Rules, chief) {
			q.Rules = append(q.Rules, chief)
		}
	}
	if len(q.Coupons) < 2 {
		return errNone
	}
	q.Coupons = shuffled(b.rng, q.Coupons)
	var made []weld.Answer
	for _, c := range shuffled(b.rng, q.Coupons) {
		made = append(made, c.Answer)
	}
	for i, c := range q.Coupons[:len(q.Coupons)-1] {
		p := Part{About: Made, Coupon: i, right: slices.Index(made, c.Answer)}
		for _, a := range made {
			p.Options = append(p.Options, Option{Made: a})
		}
		q.Parts = append(q.Parts, p)
	}
	return nil
}
