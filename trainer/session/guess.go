package session

import (
	"maps"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

// Nothing is the guess that the coupon is good.
const Nothing = "nothing"

// Cause is something that can be wrong with a weld, as a learner would name it.
type Cause struct {
	Rule string // rule id, or Nothing
	Text string
}

// choices is how many causes are offered beside Nothing: enough that guessing
// blindly rarely hits, few enough to read at a glance.
const choices = 5

// Choices gives what the learner may answer to "what went wrong?": what decided
// this coupon or is to be mended on it, what commonly goes wrong at this joint, and Nothing. The order is
// that of the rules, so it tells nothing.
func (s *Session) Choices() []Cause {
	last, ok := s.Last()
	if !ok || last.Verdict.Outcome == scoring.OutOfRange {
		return nil
	}
	pick := map[string]bool{}
	add := func(rule string) {
		if rule != "" && len(pick) < choices {
			pick[rule] = true
		}
	}
	add(decisive(last.Verdict))
	add(mendable(last.Verdict))
	for _, m := range s.sc.Mistakes {
		add(m.Finding)
	}
	for _, rule := range common(s.sc.Task.Joint) {
		add(rule)
	}
	var out []Cause
	for _, rule := range scoring.RuleIDs() {
		if pick[rule] {
			out = append(out, CauseOf(rule))
			delete(pick, rule)
		}
	}
	for _, rule := range slices.Sorted(maps.Keys(pick)) { // rules this program does not know
		out = append(out, CauseOf(rule))
	}
	return append(out, CauseOf(Nothing))
}

// PickCause finds the cause meant by a number from 1 or by a word, and gives its rule; ""
// when it is not clear.
func PickCause(cs []Cause, text string) string {
	if n, err := strconv.Atoi(text); err == nil {
		if n >= 1 && n <= len(cs) {
			return cs[n-1].Rule
		}
		return ""
	}
	rule := ""
	for _, c := range cs {
		if text != "" && strings.Contains(strings.ToLower(c.Rule+" "+c.Text), strings.ToLower(text)) {
			if rule != "" {
				return ""
			}
			rule = c.Rule
		}
	}
	return rule
}

// decisive gives the rule that rejects the coupon; empty when none does.
func decisive(v scoring.Verdict) string {
	if v.Outcome == scoring.Reject && len(v.Findings) > 0 {
		return v.Findings[0].Rule
	}
	return ""
}

// Chief gives the finding a coupon is about: the rule that rejects it, else its gravest
// fault; empty for a good one.
func Chief(v scoring.Verdict) string {
	if rule := decisive(v); rule != "" {
		return rule
	}
	return mendable(v)
}

// mendable gives the gravest fault of a coupon that is accepted all the same; empty for none.
func mendable(v scoring.Verdict) string {
	if v.Outcome == scoring.Accept && len(v.Findings) > 0 && v.Findings[0].Severity == scoring.Fault {
		return v.Findings[0].Rule
	}
	return ""
}

// CauseOf names a rule, or Nothing, as a learner would.
func CauseOf(rule string) Cause {
	if rule == Nothing {
		return Cause{Nothing, "nothing: it is good"}
	}
	if w, ok := words[rule]; ok {
		return Cause{rule, w.said}
	}
	return Cause{rule, InWords(rule)}
}

// InWords names a finding as the trade does; a rule this program does not know is
// called by its id.
func InWords(rule string) string {
	if w, ok := words[rule]; ok {
		return w.name
	}
	return strings.ReplaceAll(rule, "_", " ")
}

// Hit says how well a guess met the findings.
type Hit int

// Hits.
const (
	Missed   Hit = iota // the coupon shows no such thing
	Close               // it goes with what decided and says no more
	Present             // it is there, but it did not decide
	Decisive            // it decided, or the coupon is good and was said to be
)

// Guess is what the learner said, checked against the findings.
type Guess struct {
	Cause Cause
	Hit   Hit
	Truth string // the decisive rule, or Nothing
	Mend  string // the gravest fault of a coupon that is accepted all the same; empty for none
}

// Say takes the learner's answer to "what went wrong?" and records the coupon
// with it. Only the first answer counts. The error says the coupon could not be
// recorded; the guess stands all the same.
func (s *Session) Say(rule string) (Guess, error) {
	last, ok := s.Last()
	if !ok {
		return Guess{}, nil
	}
	if s.guess != nil {
		return *s.guess, nil
	}
	g := check(rule, last.Verdict)
	s.guess = &g
	if s.pending {
		s.tries[len(s.tries)-1].Guess = rule
	}
	return g, s.Close()
}

// Said gives the guess made for the last coupon; ok is false before Say.
func (s *Session) Said() (g Guess, ok bool) {
	if s.guess == nil {
		return Guess{}, false
	}
	return *s.guess, true
}

func check(rule string, v scoring.Verdict) Guess {
	g := Guess{Cause: CauseOf(rule), Truth: Nothing, Mend: mendable(v)}
	if d := decisive(v); d != "" {
		g.Truth = d
	}
	switch {
	case rule == g.Truth:
		g.Hit = Decisive
	case slices.ContainsFunc(v.Findings, func(f scoring.Finding) bool { return f.Rule == rule }):
		g.Hit = Present
	case scoring.SaysNoMore(rule, g.Truth):
		g.Hit = Close
	}
	return g
}

// words says for every rule what its finding is called in the trade, and what a
// learner would say: what was done, or what is to be seen of it.
var words = map[string]struct{ name, said string }{
	"keyhole":             {"keyhole", "a hole opened at the gap: not bridged in time"},
	"collapse":            {"burn-through", "burnt through: the pool grew wider than the wall carries"},
	"far_side_melted":     {"far side melted through", "too hot: melted through to the far side"},
	"overheated":          {"overheated", "hotter than the weld needs: the pool drawn out long"},
	"no_penetration":      {"not through", "cold: not melted through to the back"},
	"root_not_fused":      {"root not fused", "cold: the root did not fuse"},
	"cold_start":          {"cold start", "cold at the start: moved off before there was a pool"},
	"cold_lap":            {"cold lap", "the rod was laid on, not melted in"},
	"underfill":           {"underfill", "not enough rod: the face sinks in"},
	"undersize_leg":       {"leg too small", "not enough rod: the leg is shorter than the drawing asks"},
	"root_concave":        {"hollow root", "the root drew in: too big a pool for so little rod"},
	"unequal_legs":        {"unequal legs", "the heat was not shared: one side melted wider"},
	"wrong_gas":           {"wrong gas", "the wrong gas in the bottle"},
	"wrong_current_type":  {"wrong current type", "the wrong current type for this metal"},
	"flow_low":            {"too little gas", "too little gas"},
	"turbulent_flow":      {"too much gas", "too much gas: it swirls and takes air in"},
	"draught":             {"draught", "a draught blew the gas away"},
	"stick_out_long":      {"cup too far off", "the cup stood too far off: air mixed into the gas"},
	"pool_uncovered":      {"pool not covered", "the gas did not cover the pool"},
	"rod_tip_out":         {"rod tip out of the gas", "the rod's hot tip left the gas"},
	"hot_bead_uncovered":  {"hot bead out of the gas", "the bead was still hot when the gas had moved on"},
	"back_air":            {"air at the back", "air reached the hot back"},
	"dirty_metal":         {"dirty metal", "dirt, scale or old oxide on the metal"},
	"dirty_tack":          {"dirty tacks", "the tacks were left dirty"},
	"cleaning_short":      {"too little cleaning", "AC with too little cleaning: the skin was not lifted"},
	"post_flow_short":     {"post-flow too short", "the gas was shut off while the end was hot"},
	"no_vent":             {"no vent", "the closed hollow had no vent"},
	"wrong_filler":        {"wrong filler", "the wrong rod for this metal"},
	"wrong_brush":         {"wrong brush", "brushed with a brush that leaves other metal"},
	"chlorinated_cleaner": {"chlorinated cleaner", "a chlorinated cleaner near the arc"},
	"undercut":            {"undercut", "undercut: a groove along the toe that the rod did not fill"},
	"overfill":            {"overfill", "too much rod: the bead stands proud"},
	"root_proud":          {"excess penetration", "too much rod and heat: the root stands out of the back"},
	"toe_steep":           {"steep toe", "the bead stands steep on the plate: too much rod for the heat"},
	"rod_too_thick":       {"rod too thick", "the rod is too thick for the wall"},
	"costly_filler":       {"costly filler", "a dearer rod than the job needs"},
	"part_cold":           {"part too cold", "the part was too cold to start on"},
	"part_hot":            {"part too hot", "the part was too hot to start on"},
	"damp_metal":          {"damp metal", "the part was cold enough to sweat"},
	"sequence":            {"welded end to end", "the whole length run in one go"},
	"short_arc":           {"short arc", "the tungsten was held so close that it dips"},
	"tacks_far":           {"tacks too far apart", "the tacks stood too far apart"},
	"long_arc":            {"long arc", "the arc was too long"},
	"dragged":             {"torch dragged", "the torch was dragged instead of pushed"},
	"torch_angle":         {"torch laid over", "the torch lay over too far"},
	"rod_angle":           {"rod too steep", "the rod came in too steep"},
	"rod_side":            {"the rod's way in", "the rod came from where it should not"},
	"crater":              {"crater", "the crater was left open at the end"},
	"tungsten_overloaded": {"tungsten overloaded", "more current than the tungsten carries"},
	"tungsten_too_thick":  {"tungsten too thick", "the tungsten is too thick for so little current"},
	"tungsten_class":      {"wrong tungsten class", "the wrong class of tungsten for this current"},
	"tip_angle":           {"wrong tip angle", "the tungsten was ground too sharp or too blunt"},
	"ac_balance_low":      {"AC balance too low", "AC with too much cleaning: the tungsten took the heat"},
	"ac_frequency":        {"AC frequency", "an AC frequency that does not suit the joint"},
	"cup_narrow":          {"cup too narrow", "the cup is too narrow for the tungsten"},
	"preflow_short":       {"pre-flow too short", "the arc was struck before the gas had come"},
	"purge_strong":        {"purge too strong", "the purge blew too hard behind the seam"},
	"downhill":            {"welded downhill", "welded downhill"},
	"thoriated":           {"thoriated tungsten", "a thoriated tungsten: mind the dust"},
}

// common gives the rules that most often speak at a joint, to fill the answers with.
func common(j weld.Joint) []string {
	hot, cold, little := "collapse", "no_penetration", "underfill"
	if j.Fillet() {
		hot, cold, little = "far_side_melted", "root_not_fused", "undersize_leg"
	}
	return []string{hot, cold, "pool_uncovered", little, "crater", "keyhole"}
}
