package scenarios

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Longest texts of a scenario, in characters.
const (
	maxTitle = 60
	maxText  = 600
	// maxReason lets a reason stand under a form 80 columns wide, in two lines.
	maxReason = 125
)

// Longest lists of a scenario.
const (
	maxSkills   = 6
	maxMistakes = 20
)

// What the joint may measure. Walls, gaps and seams are the range the puddle
// model answers for; the others only keep out what is a slip of the hand.
const (
	minWall, maxWall       = 0.3 * weld.Millimetre, 10 * weld.Millimetre
	maxGap                 = 3 * weld.Millimetre
	minSeam, maxSeam       = 10 * weld.Millimetre, 300 * weld.Millimetre
	minWidth, maxWidth     = 5 * weld.Millimetre, 1000 * weld.Millimetre
	maxRunOut              = 200 * weld.Millimetre
	minOverlap, maxOverlap = 2 * weld.Millimetre, 200 * weld.Millimetre
	minLeg, maxLeg         = 0.5 * weld.Millimetre, 15 * weld.Millimetre
	maxDraught             = 600000 * weld.MillimetrePerMin // 10 m/s, a fresh wind
	minAmps, maxAmps       = weld.Current(1), weld.Current(400)
	minEarlier, maxEarlier = weld.Duration(5), weld.Duration(600)
	mostWallOfTube         = 0.2                   // more would be a bar with a hole, and the model unrolls tubes
	seamSlip               = 0.5 * weld.Millimetre // a tube's seam that is given may be so far from what it is
)

var minPart, maxPart = weld.Celsius(-20), weld.Celsius(400)

// What is taken when the file does not say.
const (
	defaultWidth  = 50 * weld.Millimetre
	defaultRunOut = 10 * weld.Millimetre
)

var defaultPart = weld.Celsius(20)

// reader turns one document into a scenario.
type reader struct {
	loader Loader
	s      Scenario
}

// sheetKeys are the keys of a scenario.
var sheetKeys = []string{"title", "revision", "level", "skills", "topics", "job", "bench", "access", "joint", "drawing",
	"given", "ask", "model", "worked", "mistakes", "coaching", "hazards", "most_amps", "vary", "happens"}

func (l Loader) scenario(doc *strict.Doc, id string) (Scenario, error) {
	s := l.inline(doc.Root(sheetKeys...), id)
	if err := doc.Err(); err != nil {
		return Scenario{}, err
	}
	return s, nil
}

// Inline reads a scenario that stands in another file; what is wrong is noted there.
func Inline(v strict.Value, id string) Scenario { return Loader{}.inline(v.Map(sheetKeys...), id) }

func (l Loader) inline(root strict.Map, id string) Scenario {
	r := reader{l, Scenario{ID: id}}
	r.sheet(root)
	r.joint(root.Need("joint", "say kind, position and the members"))
	r.drawing(root.Get("drawing"))
	r.answers(root)
	r.machine(root.Get("most_amps"))
	r.coaching(root.Get("coaching"))
	r.hazards(root.Get("hazards"))
	r.vary(root.Get("vary"))
	r.happens(root.Get("happens"))
	r.texts(root)
	return r.s
}

// sheet reads what stands at the top of the joint sheet.
func (r *reader) sheet(root strict.Map) {
	s := &r.s
	s.Title, _ = root.Need("title", "write a few words, such as Shelf bracket, near end").Words(maxTitle)
	s.Revision = 1
	if v := root.Get("revision"); v.Given() {
		s.Revision, _ = v.Whole(1, 9999)
	}
	s.Level, _ = root.Need("level", "write 1 for a first joint, 5 for a test").Whole(1, 5)
	skills := root.Need("skills", "name one to six, such as [choosing amps]")
	list, _ := skills.List(maxSkills)
	for _, v := range list {
		if skill, ok := v.OneOf(Skills); ok && slices.Contains(s.Skills, skill) {
			v.Fail(skill+" is listed twice", "")
		} else if ok {
			s.Skills = append(s.Skills, skill)
		}
	}
	topics, _ := root.Get("topics").List(len(Topics))
	for _, v := range topics {
		if topic, ok := word(v, Topics); ok && slices.Contains(s.Topics, topic) {
			v.Fail(string(topic)+" is listed twice", "")
		} else if ok {
			s.Topics = append(s.Topics, topic)
		}
	}
	s.Job, _ = root.Need("job", "say in a sentence or two what is being made").Words(maxText)
	s.Bench, _ = root.Get("bench").Words(maxText)
	s.Access, _ = root.Get("access").Words(maxText)
}

// joint reads the metal as it lies on the bench.
func (r *reader) joint(v strict.Value) {
	t := &r.s.Task
	m := v.Map("kind", "position", "a", "b", "gap", "seam", "run_out", "overlap", "diameter", "through", "branch",
		"chill", "part_temp", "earlier_run", "surface", "draught", "closed", "throat", "blocked")
	if !v.Given() {
		return
	}
	kind, kindOK := word(m.Need("kind", "write one of: "+listed(weld.Joints)), weld.Joints)
	t.Joint = kind
	position := m.Need("position", "write an ISO 6947 code, such as PA for flat")
	if p, ok := word(position, weld.Positions); ok {
		t.Position = p
		if kindOK && !p.Suits(kind) {
			position.Fail(fmt.Sprintf("a %s is not welded in %s, allowed are %s", kind, p, listed(suiting(kind))), "")
		}
	}

	a := m.Need("a", "say metal, thickness and width of the first member")
	t.A = member(a, nil)
	t.B = member(m.Get("b"), &t.A)
	if pair := [2]weld.Family{t.A.Metal.Family(), t.B.Metal.Family()}; t.A.Metal != "" && t.B.Metal != "" && !weldable(pair) {
		m.Get("b").Fail(fmt.Sprintf("%s cannot be fusion welded to %s", t.B.Metal, t.A.Metal), "")
	}

	gap := m.Get("gap")
	switch {
	case !gap.Given():
	case gap.Scalar():
		t.Gap, _ = strict.Quantity(gap, weld.ParseLength, 0, maxGap)
		t.GapEnd = t.Gap
	default:
		ends := gap.Map("start", "end")
		t.Gap, _ = strict.Quantity(ends.Need("start", "gap is 0.5 mm, or {start: 0.5 mm, end: 1 mm}"), weld.ParseLength, 0, maxGap)
		t.GapEnd, _ = strict.Quantity(ends.Need("end", "gap is 0.5 mm, or {start: 0.5 mm, end: 1 mm}"), weld.ParseLength, 0, maxGap)
	}
	r.seam(m, kindOK)
	t.Overlap = only(m, "overlap", kindOK, kind == weld.LapFillet, "a lap", minOverlap, maxOverlap)
	if w := min(t.A.Width, t.B.Width); t.Overlap > w && w > 0 {
		m.Get("overlap").Fail(fmt.Sprintf("%s is more than the narrower sheet's width of %s", t.Overlap.Show(weld.Metric), w.Show(weld.Metric)), "")
	}

	t.Chill = weld.FreeInAir
	if (t.Position == weld.PA || t.Position == weld.PB) && !kind.Tube() {
		t.Chill = weld.OnBench
	}
	if v := m.Get("chill"); v.Given() {
		t.Chill, _ = word(v, weld.Chills)
	}
	t.PartTemp = optional(m.Get("part_temp"), weld.ParseTemperature, minPart, maxPart, defaultPart)
	t.Earlier = optional(m.Get("earlier_run"), weld.ParseDuration, minEarlier, maxEarlier, 0)
	t.Surface = weld.BrightMetal
	if v := m.Get("surface"); v.Given() {
		t.Surface, _ = word(v, weld.Surfaces)
	}
	t.Draught = optional(m.Get("draught"), weld.ParseSpeed, 0, maxDraught, 0)
	t.ClosedVolume, _ = m.Get("closed").YesNo()
	t.Throat, _ = m.Get("throat").YesNo()
	t.Blocked, _ = m.Get("blocked").YesNo()
}

// seam reads how long the weld is. A sheet's is given, with the metal beyond its ends;
// a tube's has no ends and follows from the tubes.
func (r *reader) seam(m strict.Map, kindOK bool) {
	t := &r.s.Task
	if kindOK && t.Joint.Tube() {
		r.around(m)
		return
	}
	seam := m.Get("seam")
	if kindOK {
		seam = m.Need("seam", "write the length of the weld, such as 60 mm")
	}
	t.Seam, _ = strict.Quantity(seam, weld.ParseLength, minSeam, maxSeam)
	t.RunOut = optional(m.Get("run_out"), weld.ParseLength, 0, maxRunOut, defaultRunOut)
	for _, key := range []string{"diameter", "through", "branch"} {
		if v := m.Get(key); kindOK && v.Given() {
			v.Fail("only a tube has this", "remove it")
		}
	}
}

// around reads the tubes and works out the seam around them.
func (r *reader) around(m strict.Map) {
	t := &r.s.Task
	if v := m.Get("run_out"); v.Given() {
		v.Fail("a seam around a tube has no ends for metal to go on beyond", "remove it")
	}
	ok := r.tubes(m)
	if !ok || t.Position == "" {
		return
	}
	round := t.Round()
	t.Seam = round.Run()
	if t.Seam > maxSeam {
		m.Get("diameter").Fail(fmt.Sprintf("the seam around is %s long, taken are at most %s", t.Seam.Show(weld.Metric), weld.Length(maxSeam).Show(weld.Metric)), "")
	}
	given := m.Get("seam")
	if !given.Given() {
		return
	}
	if q, ok := strict.Quantity(given, weld.ParseLength, minSeam, maxSeam); ok && max(q-t.Seam, t.Seam-q) > seamSlip {
		run := "one run is all of it"
		if t.Seam < round.Whole() {
			run = "one run is half of it, " + t.Seam.Show(weld.Metric)
		}
		given.Fail(fmt.Sprintf("the tube is %s around; in %s %s", round.Whole().Show(weld.Metric), t.Position, run), "leave seam out: it follows from the tubes")
	}
}

// tubes reads how thick the tubes are and how they meet; ok is false when one of it is missing or wrong.
func (r *reader) tubes(m strict.Map) (ok bool) {
	t := &r.s.Task
	t.Diameter, ok = strict.Quantity(m.Need("diameter", "write the outside diameter, such as 25.4 mm; of a saddle the branch's"), weld.ParseLength, weld.MinTube, weld.MaxTube)
	outside := [2]weld.Length{t.Diameter, t.Diameter} // of the members
	if t.Joint == weld.TubeSaddle {
		through := m.Need("through", "write the outside diameter of the tube the branch stands on, such as 38.1 mm")
		branch := m.Need("branch", "write the angle between the two tubes, such as 90 deg")
		var throughOK, branchOK bool
		t.Through, throughOK = strict.Quantity(through, weld.ParseLength, weld.MinTube, weld.MaxThrough)
		t.Branch, branchOK = strict.Quantity(branch, weld.ParseAngle, weld.MinBranch, weld.MaxBranch)
		if least := t.Diameter / weld.MostOfThrough; ok && throughOK && t.Through < least {
			through.Fail(fmt.Sprintf("a branch of %s needs a tube of at least %s under it", t.Diameter.Show(weld.Metric), least.Show(weld.Metric)),
				"nearer to equal the flanks are a groove and not a fillet")
			throughOK = false
		}
		ok = ok && throughOK && branchOK
		outside[0] = t.Through
	} else {
		for _, key := range []string{"through", "branch"} {
			if v := m.Get(key); v.Given() {
				v.Fail("only a saddle has this", "remove it")
			}
		}
	}
	for i, wall := range []weld.Length{t.A.Thickness, t.B.Thickness} {
		if ok && wall > mostWallOfTube*outside[i] {
			m.Get([]string{"a", "b"}[i]).Fail(fmt.Sprintf("a wall of %s is more than a fifth of the tube's %s", wall.Show(weld.Metric), outside[i].Show(weld.Metric)), "")
			ok = false
		}
	}
	return ok
}

// member reads one part of the joint; what it does not say is as in like.
func member(v strict.Value, like *weld.Member) weld.Member {
	m := v.Map("metal", "thickness", "width")
	out := weld.Member{Width: defaultWidth}
	need := m.Need
	if like != nil {
		out, need = *like, func(key, _ string) strict.Value { return m.Get(key) }
	} else if !v.Given() {
		return out
	}
	if v := need("metal", "write one of: "+listed(weld.Metals)); v.Given() {
		out.Metal, _ = word(v, weld.Metals)
	}
	if v := need("thickness", "write the wall, such as 1.4 mm"); v.Given() {
		out.Thickness, _ = strict.Quantity(v, weld.ParseLength, minWall, maxWall)
	}
	out.Width = optional(m.Get("width"), weld.ParseLength, minWidth, maxWidth, out.Width)
	return out
}

// only reads a length that one kind of joint needs and the others do not have.
func only(m strict.Map, key string, known, wanted bool, what string, lo, hi weld.Length) weld.Length {
	v := m.Get(key)
	switch {
	case !known:
		return 0
	case wanted && !v.Given():
		v.Fail("is missing: "+what+" needs it", "write it such as 20 mm")
	case !wanted && v.Given():
		v.Fail("only "+what+" has this", "remove it")
		return 0
	}
	q, _ := strict.Quantity(v, weld.ParseLength, lo, hi)
	return q
}

// drawing reads what the weld has to be.
func (r *reader) drawing(v strict.Value) {
	t := &r.s.Task
	m := v.Map("leg", "full_penetration", "bright_root", "filler")
	t.Drawing.FullPenetration, _ = m.Get("full_penetration").YesNo()
	t.Drawing.BrightRoot, _ = m.Get("bright_root").YesNo()
	if v := m.Get("filler"); v.Given() {
		t.Drawing.FillerFixed, _ = word(v, weld.Fillers)
	}
	t.Drawing.Leg = optional(m.Get("leg"), weld.ParseLength, minLeg, maxLeg, 0)
	if t.Joint == "" || t.A.Metal == "" || t.B.Metal == "" { // wrong already
		return
	}
	if v := m.Get("leg"); v.Given() && !t.Joint.Fillet() {
		v.Fail("only a fillet has a leg", "remove it")
	}
	if v := m.Get("full_penetration"); v.Given() && t.Joint != weld.OutsideCorner && t.Joint != weld.EdgeWeld {
		always := "a fillet is never welded through"
		if !t.Joint.Fillet() {
			always = "a butt always is"
		}
		v.Fail("only a corner or an edge can choose: "+always, "remove it")
	}
	if t.Joint == weld.SquareButt || t.Joint == weld.TubeButt {
		t.Drawing.FullPenetration = true
	}
	if v := m.Get("bright_root"); t.Drawing.BrightRoot && !keepsBright(t.A.Metal) && !keepsBright(t.B.Metal) {
		v.Fail("only stainless and titanium have a bright root", "remove it")
	}
}

// coaching reads what an instructor would say.
func (r *reader) coaching(v strict.Value) {
	m := v.Map("look", "why", "try")
	r.s.Coaching.Look, _ = m.Get("look").Words(maxText)
	r.s.Coaching.Why, _ = m.Get("why").Words(maxText)
	r.s.Coaching.Try, _ = m.Get("try").Words(maxText)
}

// machine reads the most that the machine gives, which no answer may pass.
func (r *reader) machine(v strict.Value) {
	if r.s.MostAmps = optional(v, weld.ParseCurrent, minAmps, maxAmps, 0); r.s.MostAmps == 0 {
		return
	}
	if !slices.Contains(r.s.Ask, "amps") {
		v.Fail("amps are not asked, so nobody can ask too much of the machine", "give amps instead")
		return
	}
	answers := map[string]weld.Answer{"model": r.s.Model}
	for _, m := range r.s.Mistakes {
		answers[m.Title] = m.Answer
	}
	for _, name := range slices.Sorted(maps.Keys(answers)) {
		if err := r.s.Within(answers[name]); err != nil {
			v.Fail(fmt.Sprintf("%.50s: %v", name, err), "")
		}
	}
}

// texts looks at what stands in braces in the texts that may hold it.
func (r *reader) texts(root strict.Map) {
	c := r.s.Coaching
	if b := blankRE.FindString(r.s.Title); b != "" {
		root.Get("title").Fail(fmt.Sprintf("holds %.40q, and a title is shown as it is", b), "say it without a number")
	}
	for key, text := range map[string]string{"job": r.s.Job, "bench": r.s.Bench, "access": r.s.Access} {
		r.filled(root.Get(key), text)
	}
	for _, text := range []string{c.Look, c.Why, c.Try} {
		r.filled(root.Get("coaching"), text)
	}
}

// hazards reads the dangers the file names and adds those the joint brings by itself.
func (r *reader) hazards(v strict.Value) {
	named := implied(r.s.Task)
	list, _ := v.List(len(Hazards))
	for _, h := range list {
		if hazard, ok := word(h, Hazards); ok {
			named = append(named, hazard)
		}
	}
	r.s.Hazards = inOrder(named)
}

// answers reads what is given, what is asked, and the right and wrong answers.
func (r *reader) answers(root strict.Map) {
	s := &r.s
	keys := fieldKeys()
	ask := root.Need("ask", "list what the learner decides, such as [amps, travel, dab]")
	list, askOK := ask.List(len(keys))
	for _, v := range list {
		key, ok := v.OneOf(keys)
		switch {
		case !ok:
			askOK = false
		case slices.Contains(s.Ask, key):
			v.Fail(key+" is asked twice", "keep one")
		case (key == "aim" || key == "work_angle") && !s.Task.Joint.Fillet() && s.Task.Joint != "":
			s.Ask = append(s.Ask, key) // so that its values are not told as errors too
			v.Fail("only a fillet asks for "+key+": on any other joint the arc stands over the middle", "remove it")
		default:
			s.Ask = append(s.Ask, key)
		}
	}
	if askOK && len(list) == 0 {
		ask.Fail("nothing is asked", "list what the learner decides, such as [amps, travel, dab]")
	}
	asked := func(key string) bool { return !askOK || slices.Contains(s.Ask, key) }

	s.Given = startOf(s.Task, s.Ask)
	given := root.Get("given").Map(keys...)
	for _, key := range given.Keys() {
		setField(given.Get(key), key, &s.Given)
		if slices.Contains(s.Ask, key) {
			given.Get(key).Fail("is asked, so it cannot be given as well", "remove it here or under ask")
		}
	}

	for _, v := range list {
		if key, ok := v.Text(); ok {
			idle(v, key, s)
		}
	}

	s.Model = s.Given
	modelAt := root.Need("model", "answer every asked field, and say why")
	model := modelAt.Map(append(slices.Clone(keys), "why")...)
	right := map[string]bool{} // asked fields the model answers rightly
	for _, key := range model.Keys() {
		switch {
		case key == "why":
		case !asked(key):
			model.Get(key).Fail("is not asked, so the model cannot choose it", "move it to given, or list it under ask")
		default:
			right[key] = setField(model.Get(key), key, &s.Model)
		}
	}
	if modelAt.Given() {
		s.ModelWhy, _ = model.Need("why", "say why a good hand would choose so").Words(maxText)
		for _, key := range s.Ask {
			if f, _ := weld.FieldByKey(key); !model.Get(key).Given() {
				model.Get(key).Fail("is asked, so the model needs it", "write it such as "+f.Get(weld.Defaults()))
			}
		}
	}
	r.worked(root.Get("worked"), asked)
	mistakes, _ := root.Get("mistakes").List(maxMistakes)
	for _, v := range mistakes {
		r.mistake(v, asked, right)
	}
}

// idle fails an asked field that decides nothing beside what is given.
func idle(v strict.Value, key string, s *Scenario) {
	switch key {
	case "purge_flow", "purge_time", "purge_oxygen":
		if s.Given.Back != weld.Purged && !slices.Contains(s.Ask, "back") {
			v.Fail(fmt.Sprintf("nothing is purged: the back is given as %s", s.Given.Back), "ask back too, or give back: "+string(weld.Purged))
		}
	case "ac_balance", "ac_frequency":
		if s.Given.Polarity != weld.AC && !slices.Contains(s.Ask, "polarity") {
			v.Fail(fmt.Sprintf("the current is given as %s", s.Given.Polarity), "ask polarity too, or give polarity: "+string(weld.AC))
		}
	}
}

// worked reads why each field is set as the model sets it.
func (r *reader) worked(v strict.Value, asked func(key string) bool) {
	if !v.Given() {
		return
	}
	m := v.Map(fieldKeys()...)
	r.s.Worked = map[string]string{}
	for _, key := range m.Keys() {
		if at := m.Get(key); !asked(key) {
			at.Fail("is not asked, so there is no choice to explain", "remove it, or list it under ask")
		} else {
			r.s.Worked[key], _ = at.Words(maxReason)
		}
	}
	for _, key := range r.s.Ask {
		if !m.Get(key).Given() {
			m.Get(key).Fail("is asked, so a worked joint says why it is set as the model does", "give a short reason, or leave out worked")
		}
	}
}

// ruleRE is the form of a rule id.
var ruleRE = regexp.MustCompile(`^[a-z][a-z_]{1,39}$`)

// startOf is the usual set-up, with plain values in the fields that are asked:
// what suits this joint there is for the learner to find.
func startOf(t weld.Task, ask []string) weld.Answer {
	a, plain := Usual(t), weld.Defaults()
	for _, key := range ask {
		if f, ok := weld.FieldByKey(key); ok {
			_ = f.SetStrict(&a, f.Get(plain)) // a value printed exactly reads back
		}
	}
	return a
}

func (r *reader) mistake(v strict.Value, asked func(key string) bool, right map[string]bool) {
	s := &r.s
	m := v.Map("title", "change", "finding")
	var out Mistake
	out.Title, _ = m.Need("title", "say what the hand did, such as Rod left behind at the wide end").Words(maxTitle)
	finding := m.Need("finding", "name the rule it breaks, such as keyhole")
	if len(r.loader.Findings) > 0 {
		out.Finding, _ = finding.OneOf(r.loader.Findings)
	} else if id, ok := finding.Text(); ok {
		if out.Finding = id; !ruleRE.MatchString(id) {
			finding.Fail(fmt.Sprintf("%.60q is not a rule's id: small letters and _, such as cold_lap", id), "")
		}
	}
	out.Answer = s.Model
	changeAt := m.Need("change", "say what is answered otherwise, such as {dab: 4 mm}")
	change := changeAt.Map(fieldKeys()...)
	for _, key := range change.Keys() {
		at := change.Get(key)
		f, _ := weld.FieldByKey(key)
		switch {
		case !asked(key):
			at.Fail("is not asked, so no learner can get it wrong", "list it under ask, or change something asked")
		case setField(at, key, &out.Answer) && right[key] && f.Get(out.Answer) == f.Get(s.Model):
			at.Fail(f.Get(s.Model)+" is what the model answers", "a mistake differs from the model")
		}
	}
	if changeAt.Given() && len(change.Keys()) == 0 {
		changeAt.Fail("changes nothing", "say what is answered otherwise, such as {dab: 4 mm}")
	}
	s.Mistakes = append(s.Mistakes, out)
}

// setField reads a value into one field of an answer.
func setField(v strict.Value, key string, a *weld.Answer) bool {
	text, ok := v.Text()
	f, known := weld.FieldByKey(key)
	if !ok || !known {
		return false
	}
	if err := f.SetStrict(a, text); err != nil {
		v.FailErr(err)
		return false
	}
	return true
}

func fieldKeys() []string {
	keys := make([]string, len(weld.Fields))
	for i, f := range weld.Fields {
		keys[i] = f.Key
	}
	return keys
}

// word reads one of a list of named values.
func word[T ~string](v strict.Value, all []T) (T, bool) {
	w, ok := v.OneOf(words(all))
	return T(w), ok
}

func words[T ~string](all []T) []string {
	out := make([]string, len(all))
	for i, w := range all {
		out[i] = string(w)
	}
	return out
}

// optional reads a quantity that has a usual value.
func optional[T interface {
	~float64
	Show(weld.System) string
}](v strict.Value, parse func(string) (T, error), lo, hi, usual T) T {
	if !v.Given() {
		return usual
	}
	q, _ := strict.Quantity(v, parse, lo, hi)
	return q
}

func listed[T ~string](all []T) string {
	return strings.Join(words(all), ", ")
}

func suiting(j weld.Joint) []weld.Position {
	var ps []weld.Position
	for _, p := range weld.Positions {
		if p.Suits(j) {
			ps = append(ps, p)
		}
	}
	return ps
}

// weldable says whether two families melt into a sound weld: each with itself,
// and stainless with steel.
func weldable(pair [2]weld.Family) bool {
	if pair[0] == pair[1] {
		return true
	}
	iron := func(f weld.Family) bool { return f == weld.Ferritic || f == weld.Stainless }
	return iron(pair[0]) && iron(pair[1])
}

// keepsBright says whether the metal's back stays bright when no air reaches it.
func keepsBright(m weld.Metal) bool {
	return m.Family() == weld.Stainless || m.Family() == weld.TitaniumMF
}
