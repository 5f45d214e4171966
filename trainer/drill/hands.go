package drill

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
	"puddlewise/trainer/session/view"
)

// Hand is an option and how many hands were up for it.
type Hand struct {
	Option string
	Count  int
}

// mostHands bounds a count of hands: no class is larger, and a slip of the finger is.
const mostHands = 500

// ReadHands reads a show of hands, such as "60 A: 7, 90 A: 4", the most hands first and
// equal counts as they were typed. An answer without a colon is one that all agree on,
// with the count 0. The error says which option has no count.
func ReadHands(text string) ([]Hand, error) {
	if !strings.Contains(text, ":") {
		return []Hand{{Option: strings.TrimSpace(text)}}, nil
	}
	var out []Hand
	for part := range strings.SplitSeq(text, ",") {
		option, count, found := strings.Cut(part, ":")
		option, count = strings.TrimSpace(option), strings.TrimSpace(count)
		n, err := strconv.Atoi(count)
		switch {
		case option == "" || !found || err != nil || n < 0 || n > mostHands:
			return nil, fmt.Errorf("%.30q is no option with its hands, 0 to %d\nsuch as 60 A: 7, 90 A: 4", strings.TrimSpace(part), mostHands)
		case slices.ContainsFunc(out, func(h Hand) bool { return strings.EqualFold(h.Option, option) }):
			return nil, fmt.Errorf("%.30s stands there twice\nadd its hands up", option)
		}
		out = append(out, Hand{option, n})
	}
	slices.SortStableFunc(out, func(a, b Hand) int { return b.Count - a.Count })
	if out[0].Count == 0 {
		return nil, fmt.Errorf("no hand was up\nsuch as 60 A: 7, 90 A: 4, or one answer that all agree on")
	}
	return out, nil
}

// SetHands sets a field to the option with the most hands. Every option has to be one; the
// error says which is none, and the field is then as it was.
func SetHands(s *session.Session, key string, up []Hand) error {
	before := ""
	for _, e := range s.Entries() {
		if e.Field.Key == key {
			before = e.Text
		}
	}
	for i := len(up) - 1; i >= 0; i-- {
		if err := s.Set(key, up[i].Option); err != nil {
			_ = s.Set(key, before)
			return err
		}
	}
	return nil
}

// Shown are the shows of hands at a joint, by field, as they were read.
type Shown map[string][]Hand

// On says what was welded on a window of two settings, and what else had hands: each where
// it stands with the other setting as it was welded.
func (h Shown) On(w *scoring.Window, s *session.Session) (welded string, others []view.ChartOption) {
	welded = "welded"
	for _, f := range []weld.Field{w.X, w.Y} {
		for i, up := range h[f.Key] {
			a := s.Answer()
			if f.Set(&a, up.Option, s.System()) != nil {
				continue // it has been set before: it can be
			}
			word := f.Show(a, s.System())
			if up.Count > 0 {
				word += ": " + strconv.Itoa(up.Count)
			}
			if i == 0 {
				welded += ", " + word
				continue
			}
			o := view.ChartOption{X: w.X0, Y: w.Y0, Word: word}
			if v, _ := f.Value(a); f.Key == w.X.Key {
				o.X = v
			} else {
				o.Y = v
			}
			others = append(others, o)
		}
	}
	return welded, others
}

// CauseHands reads hands for what went wrong, each option a number from 1 or a word of one
// cause, and gives the rules they mean, the most hands first.
func CauseHands(cs []session.Cause, text string) (up []Hand, rules []string, err error) {
	if up, err = ReadHands(text); err != nil {
		return nil, nil, err
	}
	for _, h := range up {
		rule := session.PickCause(cs, h.Option)
		if rule == "" {
			return nil, nil, fmt.Errorf("%.30q is none of them: 1 to %d", h.Option, len(cs))
		}
		rules = append(rules, rule)
	}
	return up, rules, nil
}
