package learner

import (
	"slices"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/trainer/session"
)

// tellsOf names, for each finding, the skills it speaks of, the likeliest first: what is
// special about a joint before what every joint asks for. Of these only those count that
// the joint practises. Common practice, no source: what an instructor would say was not
// right.
var tellsOf = map[string][]string{
	"keyhole":             {"dabbing on a gap", "welding overhead", "welding around a tube", "backing off as it heats", "choosing amps", "matching travel to amps"},
	"collapse":            {"welding overhead", "welding vertical up", "welding around a tube", "using a chill", "choosing amps", "backing off as it heats", "matching travel to amps", "arc length and stick-out", "finishing a run"},
	"far_side_melted":     {"aiming into a corner", "sharing heat between members", "using a chill", "welding around a tube", "choosing amps", "backing off as it heats", "matching travel to amps", "torch and rod angles"},
	"overheated":          {"using a chill", "welding around a tube", "backing off as it heats", "matching travel to amps", "choosing amps"},
	"no_penetration":      {"welding vertical up", "welding horizontal", "welding around a tube", "choosing amps", "matching travel to amps", "starting a run", "matching rod to wall", "arc length and stick-out"},
	"root_concave":        {"welding overhead", "purging a root", "choosing amps", "matching travel to amps"},
	"root_not_fused":      {"aiming into a corner", "dabbing on a gap", "sharing heat between members", "welding around a tube", "choosing amps", "matching travel to amps", "torch and rod angles", "starting a run", "arc length and stick-out"},
	"cold_start":          {"starting a run", "choosing amps"},
	"cold_lap":            {"sharing heat between members", "matching travel to amps", "matching rod to wall", "choosing amps", "filling to size"},
	"underfill":           {"filling to size", "dabbing on a gap", "matching rod to wall"},
	"undersize_leg":       {"filling to size", "matching travel to amps", "choosing amps", "matching rod to wall"},
	"unequal_legs":        {"aiming into a corner", "welding horizontal", "sharing heat between members", "torch and rod angles", "welding around a tube"},
	"wrong_gas":           {"cup and gas flow", "choosing tungsten"},
	"wrong_current_type":  {"choosing current type"},
	"flow_low":            {"cup and gas flow", "working in a draught", "shielding a throat"},
	"turbulent_flow":      {"cup and gas flow", "shielding a throat"},
	"draught":             {"working in a draught", "cup and gas flow"},
	"stick_out_long":      {"arc length and stick-out", "shielding a throat", "cup and gas flow"},
	"pool_uncovered":      {"cup and gas flow", "shielding a throat", "working in a draught", "arc length and stick-out"},
	"rod_tip_out":         {"keeping the rod tip in the gas", "torch and rod angles"},
	"hot_bead_uncovered":  {"cup and gas flow", "matching travel to amps", "torch and rod angles"},
	"back_air":            {"purging a root"},
	"dirty_metal":         {"cleaning"},
	"wrong_brush":         {"cleaning"},
	"chlorinated_cleaner": {"cleaning"},
	"damp_metal":          {"cleaning"},
	"dirty_tack":          {"cleaning"},
	"cleaning_short":      {"choosing current type", "cleaning"},
	"post_flow_short":     {"finishing a run", "cup and gas flow"},
	"no_vent":             {"venting a hollow"},
	"wrong_filler":        {"choosing filler"},
	"undercut":            {"welding horizontal", "welding vertical up", "welding overhead", "matching travel to amps", "torch and rod angles", "filling to size", "arc length and stick-out"},
	"overfill":            {"filling to size", "matching rod to wall", "dabbing on a gap"},
	"root_proud":          {"filling to size", "choosing amps", "matching travel to amps"},
	"toe_steep":           {"filling to size", "matching rod to wall", "choosing amps"},
	"rod_too_thick":       {"matching rod to wall"},
	"costly_filler":       {"choosing filler"},
	"part_cold":           {"starting a run"},
	"part_hot":            {"backing off as it heats"},
	"tacks_far":           {"using a chill", "sharing heat between members"},
	"sequence":            {"using a chill", "backing off as it heats", "sharing heat between members"},
	"long_arc":            {"arc length and stick-out"},
	"short_arc":           {"arc length and stick-out"},
	"dragged":             {"torch and rod angles"},
	"torch_angle":         {"torch and rod angles"},
	"rod_angle":           {"torch and rod angles", "keeping the rod tip in the gas"},
	"rod_side":            {"torch and rod angles", "keeping the rod tip in the gas"},
	"crater":              {"finishing a run"},
	"tungsten_overloaded": {"choosing tungsten", "choosing amps"},
	"tungsten_too_thick":  {"choosing tungsten"},
	"tungsten_class":      {"choosing tungsten"},
	"tip_angle":           {"choosing tungsten"},
	"ac_balance_low":      {"choosing current type"},
	"ac_frequency":        {"choosing current type"},
	"cup_narrow":          {"cup and gas flow", "choosing tungsten"},
	"preflow_short":       {"starting a run", "cup and gas flow"},
	"purge_strong":        {"purging a root"},
	"downhill":            {"welding vertical up"},
	"thoriated":           {"choosing tungsten"},
}

// TellsOf gives the skills a finding speaks of at a joint that practises these. A
// finding that speaks of none of them speaks of each.
func TellsOf(rule string, practised []string) []string {
	var out []string
	for _, skill := range tellsOf[rule] {
		if slices.Contains(practised, skill) {
			out = append(out, skill)
		}
	}
	if out == nil {
		return practised
	}
	return out
}

// wrong says how far a finding is from right: 0 nothing to mend, 1 not done at all. One
// that lowers a score is as bad as the score: a coupon just accepted is a quarter wrong,
// one just rejected three quarters. Of the others a defect is wrong outright and a fault
// mostly; a remark is only worth knowing.
func wrong(f session.Told, s scoring.Scores) float64 {
	score, scored := map[string]float64{"burn-through": s.BurnThrough, "lack of fusion": s.LackOfFusion, "oxide": s.Oxide}[scoring.ScoreOf(f.Rule)]
	switch {
	case scored && score >= scoring.Limit:
		return 0.25
	case scored:
		return min(1, 0.75+(scoring.Limit-score)/100)
	case f.Severity == scoring.Defect:
		return 1
	case f.Severity == scoring.Fault:
		return 0.8
	}
	return 0
}

// grades says how well each of the joint's skills was done, 0 to 1, in the joint's
// order. What a finding holds against several skills is shared by how likely each was to
// fail, which chances gives, and by the order of the table.
func grades(sc scenarios.Scenario, b session.Brief, chances []float64) []float64 {
	out := slices.Repeat([]float64{1}, len(sc.Skills))
	for _, f := range b.Told {
		w := wrong(f, b.Scores)
		if w == 0 {
			continue
		}
		told := TellsOf(f.Rule, sc.Skills)
		at, share, sum := make([]int, len(told)), make([]float64, len(told)), 0.0
		for k, name := range told {
			at[k] = slices.Index(sc.Skills, name)
			share[k] = (1.02 - chances[at[k]]) / float64(k+1)
			sum += share[k]
		}
		for k, i := range at {
			out[i] = min(out[i], 1-w*share[k]/sum)
		}
	}
	return out
}
