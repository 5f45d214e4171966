package session

import (
	"cmp"
	"slices"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Axes lists the pairs of settings that windows are mapped over at this joint, the
// likeliest first: of the numbers it asks for, what moves the gravest finding, then
// the current and the travel before what else heats the metal, and that before the rest.
// Where it asks for fewer than two, current and travel stand in.
func (s *Session) Axes() []Axes {
	last, _ := s.Last()
	return Pairs(s.sc.Ask, last.Answer, cmp.Or(decisive(last.Verdict), mendable(last.Verdict)))
}

// Pairs is Axes for any answer: of the settings asked, what moves the finding first; no
// finding is "".
func Pairs(ask []string, a weld.Answer, finding string) []Axes {
	var keys []string
	add := func(key string) {
		if !slices.Contains(keys, key) && scoring.Mappable(a, key) {
			keys = append(keys, key)
		}
	}
	asked := slices.Clone(ask)
	slices.SortStableFunc(asked, func(a, b string) int { return cmp.Compare(axisRank(a), axisRank(b)) })
	for _, key := range asked {
		add(key)
	}
	for _, key := range []string{"amps", "travel"} {
		if len(keys) < 2 {
			add(key)
		}
	}
	var out []Axes
	for i, x := range keys {
		for _, y := range keys[i+1:] {
			out = append(out, Axes{x, y})
		}
	}
	moving := moves[finding]
	slices.SortStableFunc(out, func(a, b Axes) int { return b.among(moving) - a.among(moving) })
	return out
}

// among counts how many of the two are in a list.
func (x Axes) among(keys []string) (n int) {
	for _, k := range keys {
		if k == x.X || k == x.Y {
			n++
		}
	}
	return n
}

// moves names the two settings a finding hangs on most, where that is not the current
// and the travel; a window over them shows the way out.
var moves = map[string][]string{
	"keyhole":             {"dab", "amps"},
	"cold_lap":            {"dab", "amps"},
	"underfill":           {"dab_size", "dab"},
	"undersize_leg":       {"dab_size", "dab"},
	"overfill":            {"dab_size", "dab"},
	"root_concave":        {"dab_size", "amps"},
	"unequal_legs":        {"aim", "work_angle"},
	"rod_tip_out":         {"rod_tip", "dab"},
	"rod_angle":           {"rod_angle", "dab"},
	"rod_too_thick":       {"rod", "dab"},
	"flow_low":            {"flow", "stick_out"},
	"turbulent_flow":      {"flow", "stick_out"},
	"draught":             {"flow", "stick_out"},
	"stick_out_long":      {"flow", "stick_out"},
	"pool_uncovered":      {"flow", "stick_out"},
	"cup_narrow":          {"flow", "stick_out"},
	"dragged":             {"flow", "stick_out"},
	"torch_angle":         {"torch_angle", "stick_out"},
	"hot_bead_uncovered":  {"travel", "trail"},
	"back_air":            {"purge_flow", "purge_time"},
	"purge_strong":        {"purge_flow", "purge_time"},
	"preflow_short":       {"preflow", "flow"},
	"post_flow_short":     {"postflow", "flow"},
	"long_arc":            {"arc_length", "amps"},
	"short_arc":           {"arc_length", "amps"},
	"crater":              {"slope_down", "amps"},
	"tip_angle":           {"tip_angle", "amps"},
	"tungsten_overloaded": {"tungsten_diameter", "amps"},
	"tungsten_too_thick":  {"tungsten_diameter", "amps"},
	"ac_balance_low":      {"ac_balance", "amps"},
	"cleaning_short":      {"ac_balance", "amps"},
	"ac_frequency":        {"ac_frequency", "amps"},
	"tacks_far":           {"tacks", "amps"},
}

// axisRank orders settings by how much a window over them tells.
func axisRank(key string) int {
	order := []string{"amps", "travel", "dab", "dab_size", "amps_end"}
	switch i := slices.Index(order, key); {
	case i >= 0:
		return i
	case scoring.TouchesHeat(key):
		return len(order)
	}
	return len(order) + 1
}
