package drill

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
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
