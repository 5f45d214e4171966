package precert

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"time"

	"puddlewise/scenarios"
	"puddlewise/scenarios/strict"
	"puddlewise/scoring/weld"
)

// Piece is a test piece to practise on: what is welded, within which procedure, in how
// much time, with how many blanks to set up on.
type Piece struct {
	ID        string // the file's name without .yaml
	Title     string
	Test      Test
	Procedure string // id of one that ships
	Time      time.Duration
	Blanks    int // to set up on, for the whole test; the test piece itself is welded once
	Welds     []Weld
	Hash      string // of the file, SHA-256, hex
}

// Weld is one weld of a test piece.
type Weld struct {
	Bank    string             // id of a joint of the bank; empty where Own is it
	Own     scenarios.Scenario // a joint of the piece's own
	Restart bool               // stopped and restarted in the middle
}

// Most of what a file may ask.
const (
	mostWelds  = 6
	mostBlanks = 6
	leastTime  = time.Minute
	mostTime   = 4 * time.Hour
)

//go:embed pieces/*.yaml
var shippedPieces embed.FS

// Pieces gives the test pieces that ship, by id.
func Pieces() ([]Piece, error) {
	names, err := fs.Glob(shippedPieces, "pieces/*.yaml")
	if err != nil {
		return nil, err
	}
	var out []Piece
	var problems strict.Problems
	for _, name := range names {
		data, err := strict.Bytes(shippedPieces, name, name)
		var p Piece
		if err == nil {
			p, err = ParsePiece(name, data)
		}
		var ps strict.Problems
		if errors.As(err, &ps) {
			problems = append(problems, ps...)
			continue
		}
		out = append(out, p)
	}
	if problems != nil {
		return nil, problems
	}
	return out, nil
}

// ParsePiece reads a test piece from a file's bytes. The error is of type
// strict.Problems and tells everything that is wrong.
func ParsePiece(name string, data []byte) (Piece, error) {
	doc, err := strict.Parse(name, data)
	if err != nil {
		return Piece{}, err
	}
	sum := sha256.Sum256(data)
	p := Piece{ID: idOf(name), Hash: hex.EncodeToString(sum[:])}
	m := doc.Root("title", "designation", "procedure", "time", "blanks", "welds")
	p.Title, _ = m.Need("title", "title: Butt in sheet, flat").Words(60)
	at := m.Need("designation", `such as 141 P BW FM1 S s1.5 PA ss nb`)
	if text, ok := at.Text(); ok {
		if p.Test, err = ParseTest(text); err != nil {
			at.FailErr(err)
		}
	}
	all, err := Procedures()
	if err != nil {
		return Piece{}, err
	}
	ids := make([]string, len(all))
	for i, one := range all {
		ids[i] = one.ID
	}
	p.Procedure, _ = m.Need("procedure", "the id of a procedure that ships, such as PS-01").OneOf(ids)
	p.Time = readTime(m.Need("time", "time: 30 min"))
	if b := m.Get("blanks"); b.Given() {
		p.Blanks, _ = b.Whole(0, mostBlanks)
	}
	welds := m.Need("welds", "a list of the joints to weld, such as - joint: B-01")
	list, _ := welds.List(mostWelds)
	if len(list) == 0 && welds.Given() {
		welds.Fail("names no weld", "such as - joint: B-01")
	}
	for n, v := range list {
		w := Weld{}
		one := v.Map("joint", "restart")
		joint := one.Need("joint", "the id of a joint of the bank, or a joint written out as in scenarios/README.md")
		switch {
		case !joint.Given():
		case joint.Scalar():
			w.Bank, _ = joint.Words(40)
		default:
			w.Own = scenarios.Inline(joint, fmt.Sprintf("%s-%d", p.ID, n+1))
		}
		if r := one.Get("restart"); r.Given() {
			w.Restart, _ = r.YesNo()
			if w.Restart && w.Own.Task.Joint.Tube() {
				r.Fail("a tube is welded in one run or in two halves here", "write the second half as a weld of its own")
			}
		}
		p.Welds = append(p.Welds, w)
	}
	return p, doc.Err()
}

func readTime(v strict.Value) time.Duration {
	text, ok := v.Text()
	if !ok {
		return 0
	}
	number, unit, _ := strings.Cut(strings.TrimSpace(text), " ")
	d, err := time.ParseDuration(number + map[string]string{"min": "m", "h": "h"}[unit])
	if err != nil || d < leastTime || d > mostTime {
		v.Fail(fmt.Sprintf("%.20q is no time for a test", text), "write 30 min or 1 h, 1 min to 4 h")
		return 0
	}
	return d
}

// Run is one run of the torch: a weld, or half of one that is stopped and restarted.
type Run struct {
	Name     string // "weld 1", "weld 1, to the stop in the middle"
	Scenario scenarios.Scenario
}

// restartAfter is how long the pause at a restart lasts: to let it cool and to look at it; common practice, no source.
const restartAfter = weld.Duration(120)

// Joints gives the runs of the test piece as the bank and the procedure have them: all
// that the procedure limits is asked, nothing is hinted. The error names what does not
// go together.
func (p Piece) Joints(bank []scenarios.Scenario) ([]Run, error) {
	proc, err := FindProcedure(p.Procedure)
	if err != nil {
		return nil, err
	}
	var out []Run
	for n, w := range p.Welds {
		sc := w.Own
		if w.Bank != "" {
			if sc, err = scenarios.Find(bank, w.Bank); err != nil {
				return nil, fmt.Errorf("test piece %s: %w", p.ID, err)
			}
		}
		if err := p.suits(sc.Task); err != nil {
			return nil, fmt.Errorf("test piece %s, %s: %w", p.ID, sc.ID, err)
		}
		r := Run{fmt.Sprintf("weld %d of %d", n+1, len(p.Welds)), asked(sc, proc)}
		if !w.Restart || sc.Task.Joint.Tube() {
			out = append(out, r)
			continue
		}
		out = append(out, halves(r)...)
	}
	return out, nil
}

// halves makes a run to the stop in the middle and one from there on. The model lays no
// run over the crater of another: the second is a run by itself on the heat of the first.
func halves(r Run) []Run {
	a, b := r, r
	a.Name += ", to the stop in the middle"
	b.Name += ", restarted in the middle"
	t := r.Scenario.Task
	middle := (t.Gap + t.GapEnd) / 2
	a.Scenario.Task.Seam, b.Scenario.Task.Seam = t.Seam/2, t.Seam/2
	a.Scenario.Task.GapEnd, b.Scenario.Task.Gap = middle, middle
	b.Scenario.Task.Earlier = restartAfter
	return []Run{a, b}
}

// suits says what of a joint is not what the designation says.
func (p Piece) suits(t weld.Task) error {
	d := p.Test
	near := func(a weld.Length, b float64) bool { return math.Abs(a.MM()-b) < 0.05 }
	switch {
	case d.Butt == t.Joint.Fillet():
		return fmt.Errorf("%s is no %s", t.Joint, pick(d.Butt, "butt", "fillet"))
	case d.Butt && t.Joint != weld.SquareButt && t.Joint != weld.TubeButt:
		return fmt.Errorf("%s is no butt", t.Joint)
	case d.Tube != t.Joint.Tube():
		return fmt.Errorf("%s is no %s", t.Joint, pick(d.Tube, "tube", "plate"))
	case !near(t.A.Thickness, d.Thickness) && !near(t.B.Thickness, d.Thickness):
		return fmt.Errorf("no wall is %s mm", number(d.Thickness))
	case d.Tube && !near(t.Diameter, d.Diameter):
		return fmt.Errorf("the tube is %s, the designation says D%s", t.Diameter.Show(weld.Metric), number(d.Diameter))
	case !slices.ContainsFunc(d.Positions, func(at string) bool { return places[at] == t.Position || at == string(t.Position) }):
		return fmt.Errorf("it is welded in %s, the designation says %s", t.Position, strings.Join(d.Positions, "+"))
	}
	return nil
}

// places says what an AWS position is in ISO 6947.
var places = map[string]weld.Position{
	"1G": weld.PA, "2G": weld.PC, "3G": weld.PF, "4G": weld.PE, "5G": weld.PH,
	"1F": weld.PA, "2F": weld.PB, "3F": weld.PF, "4F": weld.PD, "5F": weld.PH,
}

// asked lets a joint ask all that the procedure limits beside what it asks by itself.
func asked(sc scenarios.Scenario, proc Procedure) scenarios.Scenario {
	var ask []string
	for _, f := range weld.Fields {
		limited := slices.ContainsFunc(proc.Settings, func(s Setting) bool { return s.Field.Key == f.Key })
		if slices.Contains(sc.Ask, f.Key) || limited && !idle(f.Key, sc.Model) {
			ask = append(ask, f.Key)
		}
	}
	sc.Ask, sc.Coaching, sc.Worked, sc.ModelWhy, sc.Mistakes = ask, scenarios.Coaching{}, nil, "", nil
	// The designation fixes wall and position.
	sc.Vary = slices.DeleteFunc(slices.Clone(sc.Vary), func(v scenarios.Span) bool {
		return v.Key == "thickness" || v.Key == "position" || slices.Contains(ask, v.Key)
	})
	return sc
}

// FindProcedure finds one that ships, in any case of its id.
func FindProcedure(id string) (Procedure, error) {
	all, err := Procedures()
	if err != nil {
		return Procedure{}, err
	}
	for _, p := range all {
		if strings.EqualFold(p.ID, id) {
			return p, nil
		}
	}
	return Procedure{}, fmt.Errorf("there is no procedure %.40q", id)
}
