package scoring

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
	{"post_flow_short", oxide, Defect, postFlowShort},
	{"no_vent", noScore, Defect, noVent},
	{"wrong_filler", noScore, Defect, wrongFiller},
	{"rod_too_thick", noScore, Fault, rodTooThick},
	{"tungsten_overloaded", noScore, Fault, tungstenOverloaded},
	{"tungsten_too_thick", noScore, Fault, tungstenTooThick},
	{"long_arc", noScore, Fault, longArc},
	{"crater", noScore, Fault, crater},
}

// RuleIDs lists every finding the trainer can make, in the order of the table.
func RuleIDs() []string {
	ids := make([]string, len(rules))
	for i, r := range rules {
		ids[i] = r.id
	}
	return ids
}
