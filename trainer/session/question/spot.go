package question

import (
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Options of a part: fewer than least are no question, more than most no answer.
const leastOptions, mostOptions = 3, 4

// spot shows the coupon of a mistake and asks what is wrong, which setting did it and where.
func spot(b *bench, q *Question) error {
	for _, m := range b.mistakes() {
		c, err := b.shown(m.Answer)
		if err == errNone {
			continue
		} else if err != nil {
			return err
		}
		chief := session.Chief(c.Verdict)
		if chief == "" || !tells(c.Verdict, chief, "") {
			continue // nothing to see it by
		}
		q.Coupons, q.Title, q.Rules, q.Parts = []Coupon{c}, m.Title, []string{chief}, nil
		findings, settings := []Option{{Rule: chief}}, []Option{{Fields: changed(b.sc.Model, m.Answer)}}
		seen := signs(c.Verdict)
		for w, err := range b.wrongs(m) {
			if err != nil {
				return err
			}
			if len(findings) < mostOptions && w.chief != "" && !shows(c.Verdict, w.chief) && !tells(c.Verdict, w.chief, chief) && !slices.ContainsFunc(findings, func(o Option) bool { return o.Rule == w.chief }) {
				findings = append(findings, Option{Rule: w.chief})
			}
			// A setting is wrong only where the metal tells it from the right one.
			told := w.chief != chief || w.own && differ(w.signs, seen)
			if len(settings) < mostOptions && told && len(w.fields) > 0 && !slices.ContainsFunc(settings, func(o Option) bool { return touch(o.Fields, w.fields) }) {
				settings = append(settings, Option{Fields: w.fields})
			}
			if len(findings) == mostOptions && len(settings) == mostOptions {
				break
			}
		}
		if len(findings) < leastOptions || len(settings) < leastOptions {
			continue
		}
		q.add(b, Finding, findings)
		q.add(b, Setting, settings)
		if p := placeOf(c.Verdict.Findings[0], b.sc.Task.Seam); p != "" {
			places := []Option{{Place: p}}
			for _, other := range []Place{Start, Middle, End, AllAlong} {
				if other != p {
					places = append(places, Option{Place: other})
				}
			}
			q.add(b, Along, places)
		}
		return nil
	}
	return errNone
}

// add asks for the first of the options among the others, all in the seed's order.
func (q *Question) add(b *bench, about About, options []Option) {
	p := Part{About: about}
	for at, i := range b.rng.Perm(len(options)) {
		if p.Options = append(p.Options, options[i]); i == 0 {
			p.right = at
		}
	}
	q.Parts = append(q.Parts, p)
}

// differ says whether two coupons look different: more than one sign is on one of them
// alone, for the coarse grade may miss a faint one.
func differ(a, b []string) bool {
	n := 0
	for _, s := range a {
		if !slices.Contains(b, s) {
			n++
		}
	}
	for _, s := range b {
		if !slices.Contains(a, s) {
			n++
		}
	}
	return n > 1
}

// shows says whether a coupon has a finding, or one that tells it too.
func shows(v scoring.Verdict, rule string) bool {
	return slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Rule == rule || scoring.SaysNoMore(rule, f.Rule) })
}

// tells says whether a sign of a coupon is evidence of a finding, and not of another.
func tells(v scoring.Verdict, rule, not string) bool {
	of := func(rules []string, rule string) bool {
		return slices.ContainsFunc(rules, func(r string) bool { return r == rule || scoring.SaysNoMore(r, rule) })
	}
	return slices.ContainsFunc(v.Signs, func(s scoring.Sign) bool {
		_, rules := scoring.Meaning(s.ID)
		return of(rules, rule) && (not == "" || !of(rules, not))
	})
}

// placeOf says where along the seam a finding is; empty when it has no place.
func placeOf(f scoring.Finding, seam weld.Length) Place {
	const most = 0.6 // of the seam; beyond it, it is all along
	if f.To <= 0 || seam <= 0 {
		return ""
	}
	switch mid := (f.From + f.To) / 2 / seam; {
	case float64((f.To-f.From)/seam) > most:
		return AllAlong
	case mid < 1.0/3:
		return Start
	case mid > 2.0/3:
		return End
	}
	return Middle
}
