// Package question makes questions about coupons and checks what is answered. Nothing
// is looked up in a list of right answers: every coupon is welded by the model, every
// wrong option is a real mistake of the bank that the model has welded too, and what is
// right is read off the verdicts. It knows no screen, no file and no words; view says a
// question.
package question

import (
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/session"
)

// Kind is what a question asks for.
type Kind string

// Kinds.
const (
	Spot  Kind = "spot"  // a coupon: what is wrong with it, which setting, where
	Which Kind = "which" // coupons: which settings made which
	One   Kind = "one"   // a coupon: one setting that saves it
	Limit Kind = "limit" // a good coupon: how far one number can go
	Order Kind = "order" // the steps of a joint, to be put in order
	Read  Kind = "paper" // a set-up held against a written procedure
)

// kinds says how each is made and checked.
var kinds = []struct {
	kind    Kind
	compose func(*bench, *Question) error
}{
	{Spot, spot},
	{Which, which},
	{One, change},
	{Limit, limit},
	{Order, order},
	{Read, paper},
}

// Kinds lists the kinds of question.
func Kinds() []Kind {
	var out []Kind
	for _, k := range kinds {
		out = append(out, k.kind)
	}
	return out
}

// Question is one question: what there is to look at, and what is asked of it part by part.
type Question struct {
	Kind     Kind
	Scenario scenarios.Scenario
	Seed     int64
	Coupons  []Coupon
	Parts    []Part
	Title    string   // of the mistake it is about; empty for none
	Rules    []string // the findings it is about

	Paper *Paper // Read: the procedure, the set-up held against it, and the settings shown
	Setup weld.Answer
	Play  []string
}

// Coupon is a welded piece to look at.
type Coupon struct {
	Answer  weld.Answer
	Verdict scoring.Verdict
}

// About says what a part asks for.
type About string

// What parts ask for.
const (
	Finding  About = "finding"  // what is wrong
	Setting  About = "setting"  // which setting did it
	Along    About = "place"    // where along the seam
	Made     About = "made"     // which settings made a coupon
	Change   About = "change"   // which setting to change
	Value    About = "value"    // what to change it to
	HowFar   About = "limit"    // how far a number can go
	InOrder  About = "order"    // the order of steps: the numbers of all options
	Variable About = "variable" // which variable a paper does not allow
	Follows  About = "follows"  // what follows from it
)

// Part is one thing asked. It has options, of which one is chosen, or a value is typed.
type Part struct {
	About   About
	Coupon  int // the one it asks about
	Options []Option
	Typed   bool
	Up      bool // HowFar: it goes up, not down

	field  weld.Field      // HowFar: of the number
	turn   float64         // where the verdict turns, SI
	off    float64         // how far off an answer may be
	beyond Coupon          // the first that is rejected
	base   scoring.Verdict // InOrder: of the model answer
	right  int             // of the options; -1 where the model judges what was chosen
}

// Option is one of the answers offered. Only what its part is about is set.
type Option struct {
	Rule     string       // Finding
	Fields   []weld.Field // Setting, Change
	Place    Place        // Along
	Made     weld.Answer  // Made
	Step     Step         // InOrder
	Variable string       // Variable: its name, or None
	Then     Then         // Follows
}

// Place is a stretch of the seam.
type Place string

// Places.
const (
	Start    Place = "start"
	Middle   Place = "middle"
	End      Place = "end"
	AllAlong Place = "all along"
)

// Result says how an answer came out.
type Result struct {
	Right []bool // part by part
	Truth []int  // the option that is right, part by part; -1 where there is none

	Tried *Coupon // Change, InOrder: the coupon of it, nil where it cannot be welded; HowFar: the one just beyond
	Turn  float64 // HowFar: where the verdict turns, SI
	Off   float64 // and how far off an answer may be

	Good   []Step            // InOrder: one right order
	Worse  []scoring.Finding // InOrder: what the order did
	Rescue *scoring.Rescue   // Change: the smallest change found; nil for none
}

// Share says how much of it is right, 0 to 1.
func (r Result) Share() float64 {
	n := 0.0
	for _, ok := range r.Right {
		if ok {
			n++
		}
	}
	return n / float64(max(1, len(r.Right)))
}

// Desk makes questions from a bank with a model, and records what was answered.
type Desk struct {
	Bank     []scenarios.Scenario
	Judge    session.Judge   // what is shown; scoring.Judge in the program
	Estimate session.Judge   // what is only looked through; scoring.Estimate
	Save     session.Save    // nil: the smallest change is not looked for
	Papers   []Paper         // written procedures; may be empty
	Answers  session.Answers // nil: nothing is recorded
	Now      func() time.Time
	NewID    func() string
}

// Seed gives a seed for whoever names none: short, and another every time.
func (d Desk) Seed() int64 {
	const short = 1_000_000
	return d.Now().UnixMilli() % short
}

// Record records an answered question, and returns when it is safe on disk.
func (d Desk) Record(q *Question, replies []string, r Result, learner string) error {
	if d.Answers == nil {
		return nil
	}
	err := d.Answers.AddAnswered(session.Answered{
		ID: d.NewID(), At: d.Now().UTC().Truncate(time.Millisecond), Learner: learner,
		Scenario: q.Scenario.ID, Revision: q.Scenario.Revision, Kind: string(q.Kind), Seed: q.Seed, ModelVersion: scoring.ModelVersion,
		Replies: slices.Clone(replies), Rules: slices.Clone(q.Rules), Right: r.Share(),
	})
	if err != nil {
		return fmt.Errorf("this answer is NOT recorded: %w", err)
	}
	return nil
}

// errNone says that this joint gives no question of this kind.
var errNone = errors.New("no question")

// joints is how many joints are tried before it is given up.
const joints = 40

// Compose makes the question of a seed: the same bank, kind, joint and seed give the
// same question. An empty kind or joint lets the seed choose; the kind and joint of what
// it chose give the same again. It welds, so it takes a second or two. The error says
// that a kind or joint is not known, that nothing of the kind can be asked of the joint,
// or that ctx ended.
func (d Desk) Compose(ctx context.Context, kind Kind, joint string, seed int64) (*Question, error) {
	return session.Await(ctx, d.Composed(ctx, kind, joint, seed))
}

func (d Desk) compose(ctx context.Context, kind Kind, joint string, seed int64) (*Question, error) {
	bank := slices.Clone(d.Bank)
	if joint != "" {
		sc, err := scenarios.Find(d.Bank, joint)
		if err != nil {
			return nil, err
		}
		bank = []scenarios.Scenario{sc}
	}
	rng := choices(seed, string(kind))
	rng.Shuffle(len(bank), func(i, j int) { bank[i], bank[j] = bank[j], bank[i] })
	var turns []int
	if kind == "" {
		turns = rng.Perm(len(kinds))
	} else {
		i := slices.Index(Kinds(), kind)
		if i < 0 {
			return nil, fmt.Errorf("there is no question kind %.40q\nallowed: %s", kind, list(Kinds()))
		}
		turns = []int{i}
	}
	for _, sc := range bank[:min(len(bank), joints)] {
		for _, i := range turns {
			q := &Question{Kind: kinds[i].kind, Scenario: sc, Seed: seed}
			err := kinds[i].compose(&bench{ctx: ctx, desk: d, sc: sc, rng: choices(seed, string(q.Kind), sc.ID)}, q)
			if !errors.Is(err, errNone) {
				return q, err
			}
		}
	}
	if joint != "" {
		return nil, fmt.Errorf("no question of this kind can be made of %s\ntry another joint, or leave it to the seed", bank[0].ID)
	}
	return nil, errors.New("no question of this kind can be made of these joints\ntry another seed")
}

// choices are those of a seed for a purpose.
func choices(seed int64, purpose ...string) *rand.Rand {
	h := fnv.New64a()
	for _, s := range purpose {
		h.Write([]byte(s + "\n"))
	}
	return rand.New(rand.NewPCG(uint64(seed), h.Sum64()))
}

func list(ks []Kind) string {
	var out []string
	for _, k := range ks {
		out = append(out, string(k))
	}
	return strings.Join(out, ", ")
}

// Field gives the setting whose value the next part wants typed, after these replies; ok
// is false where it wants something else.
func (q *Question) Field(replies []string) (f weld.Field, ok bool) {
	if len(replies) < len(q.Parts) && q.Parts[len(replies)].About == HowFar {
		return q.Parts[len(replies)].field, true
	}
	if len(replies) < len(q.Parts) && q.Parts[len(replies)].About == Value {
		if i, err := q.choice(0, replies[0]); err == nil {
			return q.Parts[0].Options[i].Fields[0], true
		}
	}
	return weld.Field{}, false
}

// Accept says what is wrong with a reply to the part that follows these replies, as
// typed in units of sys; nil when it can be checked.
func (q *Question) Accept(replies []string, reply string, sys weld.System) error {
	if f, ok := q.Field(replies); ok {
		var err error
		if q.Kind == Limit {
			_, err = number(f, reply, sys)
		} else {
			_, err = q.changedTo(f, reply, sys)
		}
		return err
	}
	if p := q.Parts[len(replies)]; p.About == InOrder {
		_, err := p.sequence(reply)
		return err
	}
	_, err := q.choice(len(replies), reply)
	return err
}

// Said is what one of a class answered.
type Said struct {
	Learner string
	Replies []string    // part by part
	System  weld.System // what bare numbers in them meant
	Share   float64     // of its parts that are right
	Right   bool        // all of it
}

// Taken says whether what was answered can be checked against this question.
func (q *Question) Taken(s Said) bool {
	if len(s.Replies) != len(q.Parts) {
		return false
	}
	for i, reply := range s.Replies {
		if q.Accept(s.Replies[:i], reply, s.System) != nil {
			return false
		}
	}
	return true
}

// choice reads the number of an option, from 1.
func (q *Question) choice(part int, reply string) (int, error) {
	n := len(q.Parts[part].Options)
	i, err := strconv.Atoi(strings.TrimSpace(reply))
	if err != nil || i < 1 || i > n {
		return 0, fmt.Errorf("%.40q is none of the answers: a number from 1 to %d", reply, n)
	}
	return i - 1, nil
}

// Check says how the replies came out, one for each part, typed in units of sys. It may
// weld. The error says which reply cannot be taken, or that ctx ended.
func (d Desk) Check(ctx context.Context, q *Question, replies []string, sys weld.System) (Result, error) {
	return session.Await(ctx, d.Checked(ctx, q, replies, sys))
}

func (d Desk) check(ctx context.Context, q *Question, replies []string, sys weld.System) (Result, error) {
	r := Result{}
	if len(replies) != len(q.Parts) {
		return r, fmt.Errorf("the question has %s and %d were answered\nanswer every part", counted(len(q.Parts), "part"), len(replies))
	}
	for i := range q.Parts {
		if err := q.Accept(replies[:i], replies[i], sys); err != nil {
			return r, err
		}
	}
	if q.Parts[0].About == InOrder {
		return d.inOrder(q, replies[0])
	}
	if p := q.Parts[0]; p.About == HowFar {
		v, err := number(p.field, replies[0], sys)
		ok := math.Abs(v-p.turn) <= p.off*(1+1e-9)
		return Result{Right: []bool{ok}, Truth: []int{-1}, Tried: &p.beyond, Turn: p.turn, Off: p.off}, err
	}
	if f, ok := q.Field(replies[:1]); ok {
		a, err := q.changedTo(f, replies[1], sys)
		if err == nil {
			err = d.try(ctx, q, a, sys, &r)
		}
		return r, err
	}
	for i, p := range q.Parts {
		c, _ := q.choice(i, replies[i])
		r.Right, r.Truth = append(r.Right, c == p.right), append(r.Truth, p.right)
	}
	if q.Kind == Read {
		r.Tried = &q.Parts[0].beyond
	}
	return r, ctx.Err()
}

// number reads a number of a setting, SI.
func number(f weld.Field, text string, sys weld.System) (float64, error) {
	var a weld.Answer
	if strings.TrimSpace(text) == "" {
		return 0, errors.New("it needs a number")
	}
	err := f.Set(&a, text, sys)
	v, _ := f.Value(a)
	return v, err
}

func counted(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
}

// Composed is Compose off the calling goroutine.
func (d Desk) Composed(ctx context.Context, kind Kind, joint string, seed int64) <-chan session.Result[*Question] {
	return session.Background(func() (*Question, error) { return d.compose(ctx, kind, joint, seed) })
}

// Checked is Check off the calling goroutine.
func (d Desk) Checked(ctx context.Context, q *Question, replies []string, sys weld.System) <-chan session.Result[Result] {
	return session.Background(func() (Result, error) { return d.check(ctx, q, replies, sys) })
}
