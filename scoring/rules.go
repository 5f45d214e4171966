package scoring

import "slices"

// What a rule's margin lowers.
const (
	burnThrough  = "burn-through"
	lackOfFusion = "lack of fusion"
	oxide        = "oxide"
	noScore      = "" // a finding without a score of its own
)

// rule reads one thing from a weld. Rules are data in this ordered table, worst
// kind first; each stands in its own file rule_<id>.go.
type rule struct {
	id    string
	score string
	// over is the severity at and above margin 1; below it, from nearLimit, a rule that scores makes a remark.
	over Severity
	read func(e *evidence) reading
}

// nearLimit is the margin from which a scoring rule says that the limit is close.
const nearLimit = 0.9

var rules = []rule{
	{"keyhole", burnThrough, Defect, keyhole},
	{"collapse", burnThrough, Defect, collapse},
	{"far_side_melted", burnThrough, Defect, farSideMelted},
	{"overheated", noScore, Fault, overheated},
	{"no_penetration", lackOfFusion, Defect, noPenetration},
	{"root_not_fused", lackOfFusion, Defect, rootNotFused},
	{"cold_start", lackOfFusion, Defect, coldStart},
	{"cold_lap", lackOfFusion, Defect, coldLap},
	{"underfill", noScore, Defect, underfill},
	{"undersize_leg", noScore, Defect, undersizeLeg},
	{"root_concave", noScore, Defect, rootConcave},
	{"unequal_legs", noScore, Fault, unequalLegs},
	{"wrong_gas", oxide, Defect, wrongGas},
	{"wrong_current_type", oxide, Defect, wrongCurrentType},
	{"flow_low", oxide, Defect, coverLost("flow_low")},
	{"turbulent_flow", oxide, Defect, coverLost("turbulent_flow")},
	{"draught", oxide, Defect, coverLost("draught")},
	{"stick_out_long", oxide, Defect, coverLost("stick_out_long")},
	{"pool_uncovered", oxide, Defect, coverLost("pool_uncovered")},
	{"rod_tip_out", oxide, Defect, rodTipOut},
	{"hot_bead_uncovered", oxide, Defect, hotBeadUncovered},
	{"back_air", oxide, Defect, backAir},
	{"dirty_metal", oxide, Defect, dirtyMetal},
	{"dirty_tack", oxide, Defect, dirtyTack},
	{"cleaning_short", oxide, Defect, cleaningShort},
	{"post_flow_short", oxide, Defect, postFlowShort},
	{"no_vent", noScore, Defect, noVent},
	{"wrong_filler", noScore, Defect, wrongFiller},
	{"wrong_brush", noScore, Defect, wrongBrush},
	{"chlorinated_cleaner", noScore, Fault, chlorinatedCleaner},
	{"undercut", noScore, Fault, undercut},
	{"overfill", noScore, Fault, overfill},
	{"root_proud", noScore, Fault, rootProud},
	{"rod_too_thick", noScore, Fault, rodTooThick},
	{"costly_filler", noScore, Fault, costlyFiller},
	{"part_cold", noScore, Fault, partCold},
	{"part_hot", noScore, Fault, partHot},
	{"damp_metal", noScore, Fault, dampMetal},
	{"tacks_far", noScore, Fault, tacksFar},
	{"sequence", noScore, Fault, sequence},
	{"long_arc", noScore, Fault, longArc},
	{"short_arc", noScore, Fault, shortArc},
	{"dragged", noScore, Fault, dragged},
	{"torch_angle", noScore, Fault, torchAngle},
	{"rod_angle", noScore, Fault, rodAngle},
	{"rod_side", noScore, Fault, rodSide},
	{"crater", noScore, Fault, crater},
	{"tungsten_overloaded", noScore, Fault, tungstenOverloaded},
	{"tungsten_too_thick", noScore, Fault, tungstenTooThick},
	{"tungsten_class", noScore, Fault, tungstenClass},
	{"tip_angle", noScore, Fault, tipAngle},
	{"ac_balance_low", noScore, Fault, acBalanceLow},
	{"ac_frequency", noScore, Fault, acFrequency},
	{"cup_narrow", noScore, Fault, cupNarrow},
	{"preflow_short", noScore, Fault, preflowShort},
	{"purge_strong", noScore, Fault, purgeStrong},
	{"toe_steep", noScore, Remark, toeSteep},
	{"downhill", noScore, Remark, downhill},
	{"thoriated", noScore, Remark, thoriated},
}

// sameCause names, for a finding, those that say no more than it does: where both
// speak and the other is not the graver one, it keeps silent.
var sameCause = map[string][]string{
	"collapse":            {"overheated", "undercut", "underfill", "hot_bead_uncovered"},
	"far_side_melted":     {"overheated", "undercut", "hot_bead_uncovered"},
	"overheated":          {"undercut"},
	"no_penetration":      {"cold_start", "cold_lap"},
	"root_not_fused":      {"cold_start", "cold_lap"},
	"keyhole":             {"cold_lap"}, // both ask for dabs sooner
	"flow_low":            {"pool_uncovered", "hot_bead_uncovered", "rod_tip_out"},
	"turbulent_flow":      {"pool_uncovered", "hot_bead_uncovered", "rod_tip_out"},
	"draught":             {"pool_uncovered", "hot_bead_uncovered", "rod_tip_out"},
	"stick_out_long":      {"pool_uncovered", "hot_bead_uncovered", "rod_tip_out"},
	"pool_uncovered":      {"hot_bead_uncovered", "rod_tip_out"},
	"wrong_current_type":  {"cleaning_short", "tungsten_overloaded", "tungsten_class", "tip_angle"},
	"wrong_gas":           {"pool_uncovered"},
	"wrong_filler":        {"costly_filler"},
	"undersize_leg":       {"undercut"},
	"underfill":           {"root_concave"},
	"overfill":            {"toe_steep"},
	"cold_lap":            {"toe_steep"},
	"part_cold":           {"damp_metal"},
	"long_arc":            {"undercut"},
	"unequal_legs":        {"undercut"},
	"tungsten_class":      {"tip_angle"},
	"tungsten_overloaded": {"tip_angle"},
}

// SaysNoMore says whether a finding goes with another that has told it all: one cause,
// told once.
func SaysNoMore(rule, than string) bool { return slices.Contains(sameCause[than], rule) }

// toldOnce drops what another finding has told already; fs is sorted, worst first.
func toldOnce(fs []Finding) []Finding {
	told := map[string]bool{}
	var out []Finding
	for _, f := range fs {
		if told[f.Rule] {
			continue
		}
		out = append(out, f)
		for _, id := range sameCause[f.Rule] {
			told[id] = true
		}
	}
	return out
}

// RuleIDs lists every finding the trainer can make, in the order of the table.
func RuleIDs() []string {
	ids := make([]string, len(rules))
	for i, r := range rules {
		ids[i] = r.id
	}
	return ids
}

// ScoreOf says which of the three scores a finding lowers; empty for none.
func ScoreOf(rule string) string {
	for _, r := range rules {
		if r.id == rule {
			return r.score
		}
	}
	return noScore
}
