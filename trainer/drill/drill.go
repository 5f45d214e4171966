// Package drill is what an instructor's drill adds to a session: which joints a class
// gets, what is asked and allowed, the result each learner hands in, and the table an
// instructor reads. It knows no screen.
package drill

import (
	"crypto/sha256"
	"embed"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"path"
	"slices"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scenarios/strict"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session/question"
)

// Drill is what an instructor wants a class to do.
type Drill struct {
	ID       string // the file's name without .yaml
	Title    string
	Aim      string // what it is for, said to the class first
	Joints   []string
	Choose   Choose          // when Joints names none
	Shuffled bool            // each learner gets an order of their own
	Varied   string          // none, same for all or own: whether joints are variations, and whose
	Kinds    []question.Kind // joint by joint, over and over; nil: every joint is welded by settings
	Ask      []string
	Hints    bool
	Slowest  int           // how many times slower than real a joint may be welded live: 1, 2 or 4
	Happens  bool          // what the joints' files name may happen to whoever welds live, by a seed as for Varied; one for all where that is none
	Tries    int           // coupons at a joint
	PerJoint time.Duration // zero: no limit
	Whole    time.Duration // zero: no limit
	Pass     scoring.Scores
	Hash     string // of the file, SHA-256, hex
}

// Choose takes joints of the bank by what they practise, in the bank's order.
type Choose struct {
	Skill string
	Metal weld.Metal
	Level int // at most; 0 any
	Count int
}

// What Varied may be.
const (
	VariedNone = "none"
	VariedSame = "same"
	VariedOwn  = "own"
)

// Most of what a file may ask.
const (
	mostJoints = 50
	mostTries  = 10
	mostTime   = 8 * time.Hour
)

//go:embed drills/*.yaml
var shipped embed.FS

// Shipped gives the drills that ship, by id.
func Shipped() ([]Drill, error) {
	names, err := fs.Glob(shipped, "drills/*.yaml")
	if err != nil {
		return nil, err
	}
	var out []Drill
	var problems strict.Problems
	for _, name := range names {
		data, err := strict.Bytes(shipped, name, name)
		var d Drill
		if err == nil {
			d, err = Parse(name, data)
		}
		var ps strict.Problems
		if errors.As(err, &ps) {
			problems = append(problems, ps...)
			continue
		}
		out = append(out, d)
	}
	if problems != nil {
		return nil, problems
	}
	return out, nil
}

// Parse reads a drill from a file's bytes. The error is of type strict.Problems and
// tells everything that is wrong.
func Parse(name string, data []byte) (Drill, error) {
	doc, err := strict.Parse(name, data)
	if err != nil {
		return Drill{}, err
	}
	sum := sha256.Sum256(data)
	d := Drill{ID: idOf(name), Hash: hex.EncodeToString(sum[:])}
	m := doc.Root("title", "aim", "joints", "choose", "order", "variations", "kinds", "speed", "happens", "ask", "hints", "tries", "time", "pass")
	d.Title, _ = m.Need("title", "title: Amps for the wall").Words(80)
	d.Aim, _ = m.Need("aim", "one or two sentences, said to the class first").Words(600)
	joints, choose := m.Get("joints"), m.Get("choose")
	switch {
	case joints.Given() && choose.Given():
		d.Joints = readJoints(joints)
		choose.Fail("joints are named already", "keep one of joints and choose")
	case joints.Given():
		d.Joints = readJoints(joints)
	case choose.Given():
		d.Choose = readChoose(choose)
	default:
		m.Need("joints", "joints: [B-01, T-01], or choose: {skill: choosing amps, count: 5}")
	}
	if order := m.Get("order"); order.Given() {
		word, _ := order.OneOf([]string{"fixed", "shuffled"})
		d.Shuffled = word == "shuffled"
	}
	d.Varied = VariedNone
	if v := m.Get("variations"); v.Given() {
		d.Varied, _ = v.OneOf([]string{VariedNone, VariedSame, VariedOwn})
	}
	d.Kinds = readKinds(m.Get("kinds"))
	d.Slowest = readSpeed(m.Get("speed"), d.Kinds)
	if v := m.Get("happens"); v.Given() {
		d.Happens, _ = v.YesNo()
		byHand(v, d.Kinds)
	}
	d.Ask = readAsk(m.Get("ask"))
	d.Hints = true
	if hints := m.Get("hints"); hints.Given() {
		d.Hints, _ = hints.YesNo()
	}
	d.Tries = 1
	if tries := m.Get("tries"); tries.Given() {
		d.Tries, _ = tries.Whole(1, mostTries)
	}
	if v := m.Get("time"); v.Given() {
		t := v.Map("joint", "whole")
		d.PerJoint, d.Whole = minutes(t.Get("joint")), minutes(t.Get("whole"))
	}
	d.Pass = scoring.Scores{BurnThrough: scoring.Limit, LackOfFusion: scoring.Limit, Oxide: scoring.Limit}
	if v := m.Get("pass"); v.Given() {
		p := v.Map("burn_through", "lack_of_fusion", "oxide")
		for key, into := range map[string]*float64{"burn_through": &d.Pass.BurnThrough, "lack_of_fusion": &d.Pass.LackOfFusion, "oxide": &d.Pass.Oxide} {
			if s := p.Get(key); s.Given() {
				n, _ := s.Whole(0, 100)
				*into = float64(n)
			}
		}
	}
	return d, doc.Err()
}

func idOf(name string) string {
	base := path.Base(strings.ReplaceAll(name, "\\", "/"))
	return strings.TrimSuffix(strings.TrimSuffix(base, ".yaml"), ".yml")
}

func readJoints(v strict.Value) []string {
	var out []string
	list, _ := v.List(mostJoints)
	for _, j := range list {
		id, ok := j.Words(60)
		if ok && slices.ContainsFunc(out, func(s string) bool { return strings.EqualFold(s, id) }) {
			j.Fail(id+" stands here twice", "a joint comes once; tries says how many coupons")
			continue
		}
		out = append(out, id)
	}
	if len(list) == 0 {
		v.Fail("names no joint", "such as [B-01, T-01]")
	}
	return out
}

func readChoose(v strict.Value) Choose {
	var c Choose
	m := v.Map("skill", "metal", "level", "count")
	if s := m.Get("skill"); s.Given() {
		c.Skill, _ = s.OneOf(scenarios.Skills)
	}
	if s := m.Get("metal"); s.Given() {
		names := make([]string, len(weld.Metals))
		for i, metal := range weld.Metals {
			names[i] = string(metal)
		}
		word, _ := s.OneOf(names)
		c.Metal = weld.Metal(word)
	}
	if s := m.Get("level"); s.Given() {
		c.Level, _ = s.Whole(1, 5)
	}
	c.Count, _ = m.Need("count", "count: 5").Whole(1, mostJoints)
	return c
}

func readAsk(v strict.Value) []string {
	if !v.Given() {
		return nil
	}
	keys := make([]string, len(weld.Fields))
	for i, f := range weld.Fields {
		keys[i] = f.Key
	}
	var out []string
	list, _ := v.List(len(keys))
	for _, k := range list {
		key, ok := k.OneOf(keys)
		if ok && slices.Contains(out, key) {
			k.Fail(key+" stands here twice", "")
		} else if ok {
			out = append(out, key)
		}
	}
	if len(list) == 0 {
		v.Fail("asks for nothing", "such as [amps, travel]; leave it out to ask what each joint asks")
	}
	return out
}

// minutes reads 90 s or 4 min.
func minutes(v strict.Value) time.Duration {
	text, ok := v.Text()
	if !v.Given() || !ok {
		return 0
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(text), " ")
	d, err := time.ParseDuration(number + map[string]string{"s": "s", "min": "m", "h": "h"}[unit])
	if err != nil || d <= 0 || d > mostTime {
		v.Fail(fmt.Sprintf("%.20q is no time", text), "write 90 s, 4 min or 1 h, at most 8 h")
		return 0
	}
	return d
}

// Pick gives the joints of the drill in the order a learner gets them, as the bank has
// them: Make makes of each what the learner gets. The error names what the bank does not have.
func (d Drill) Pick(bank []scenarios.Scenario, learner string) ([]scenarios.Scenario, error) {
	var out []scenarios.Scenario
	for _, id := range d.Joints {
		sc, err := scenarios.Find(bank, id)
		if err != nil {
			return nil, fmt.Errorf("drill %s: %w", d.ID, err)
		}
		out = append(out, sc)
	}
	if d.Joints == nil {
		for _, sc := range bank {
			if len(out) < d.Choose.Count && d.Choose.fits(sc) {
				out = append(out, sc)
			}
		}
		if len(out) < d.Choose.Count {
			return nil, fmt.Errorf("drill %s: %d joints are asked for and %d fit\nask for fewer, or for less of each", d.ID, d.Choose.Count, len(out))
		}
	}
	if d.Shuffled {
		sum := sha256.Sum256([]byte(d.Hash + "\x00" + learner))
		var seed [32]byte = sum
		rand.New(rand.NewChaCha8(seed)).Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	}
	return out, nil
}

// mostSeed is the highest seed drawn: one that a person can read out.
const mostSeed = 999

// Seed gives the variation of a joint that a learner gets: drawn from the drill's file,
// and with VariedOwn from the learner's name, so that it can be checked. 0 is the joint
// as it is written.
func (d Drill) Seed(sc scenarios.Scenario, learner string) int64 {
	if d.Varied == VariedNone || d.Varied == "" || !sc.Varies() {
		return 0
	}
	text := d.Hash + "\x00" + sc.ID
	if d.Varied == VariedOwn {
		text += "\x00" + learner
	}
	sum := sha256.Sum256([]byte(text))
	return 1 + int64(binary.BigEndian.Uint32(sum[:4])%mostSeed)
}

// Vary makes the joint of a seed, or gives it as it is written with seed 0 where there is
// none; practice.Vary in the program.
type Vary func(sc scenarios.Scenario, seed int64) scenarios.Scenario

// Make makes of a joint of the bank what a learner gets: its variation, asking what the
// drill asks.
func (d Drill) Make(sc scenarios.Scenario, learner string, vary Vary) scenarios.Scenario {
	if seed := d.Seed(sc, learner); seed > 0 && vary != nil {
		sc = vary(sc, seed)
	}
	return d.asked(sc)
}

func (c Choose) fits(sc scenarios.Scenario) bool {
	return (c.Skill == "" || slices.Contains(sc.Skills, c.Skill)) && (c.Level == 0 || sc.Level <= c.Level) &&
		(c.Metal == "" || sc.Task.A.Metal == c.Metal || sc.Task.B.Metal == c.Metal)
}

// asked lets a joint ask what the drill asks; what it no longer asks is given, as a good
// hand would set it.
func (d Drill) asked(sc scenarios.Scenario) scenarios.Scenario {
	if !d.Hints {
		sc.Coaching, sc.Worked = scenarios.Coaching{}, nil
	}
	if d.Ask == nil {
		return sc
	}
	for _, key := range sc.Ask {
		if f, ok := weld.FieldByKey(key); ok && !slices.Contains(d.Ask, key) {
			_ = f.SetStrict(&sc.Given, f.Get(sc.Model)) // it is a value of the field already
		}
	}
	sc.Ask, sc.Worked = d.Ask, nil
	return sc
}

// Passes says whether a coupon meets the drill's marks.
func (d Drill) Passes(v scoring.Verdict) bool { return d.passes(v.Outcome, v.Scores) }

func (d Drill) passes(o scoring.Outcome, s scoring.Scores) bool {
	return o == scoring.Accept && s.BurnThrough >= d.Pass.BurnThrough && s.LackOfFusion >= d.Pass.LackOfFusion && s.Oxide >= d.Pass.Oxide
}
