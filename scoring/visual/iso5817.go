// Package visual holds published limits of visual acceptance: ISO 5817 (steel,
// nickel, titanium; 0.5 mm and up) and what AWS D1.1 says of the same measures.
// Numbers are from copies, not the books: check against the book. A number that no
// source at hand confirms is not encoded.
package visual

import (
	"math"

	"puddlewise/scoring/weld"
)

// Level is a quality level of ISO 5817, or D11, or Test: what ISO 9606-1 asks of a welder's
// test piece, level B with 502, 503, 504 and 5214 at C (from memory: check against the book).
type Level string

// Levels.
const (
	B    Level = "B"
	C    Level = "C"
	D    Level = "D"
	Test Level = "test"
	D11  Level = "D1.1" // AWS D1.1:2020, statically loaded
	// C2023 is level C of the 2023 edition as far as a source tells it apart: 504 over
	// 3 mm is 0.45 b and not 0.6 b (one secondary source).
	C2023 Level = "C-2023"
)

// Levels lists them.
var Levels = []Level{B, C, D, Test, D11, C2023}

// Imperfection is one by its number in ISO 6520-1.
type Imperfection string

// Imperfections that the model measures, and those it is honest about.
const (
	EndCrater       Imperfection = "2025"
	LackOfFusion    Imperfection = "401"
	RootPenetration Imperfection = "4021"
	Undercut        Imperfection = "5011"
	ExcessWeld      Imperfection = "502"
	Convexity       Imperfection = "503"
	ExcessRoot      Imperfection = "504"
	ToeAngle        Imperfection = "505"
	Sagging         Imperfection = "509"
	BurnThrough     Imperfection = "510"
	UnequalLegs     Imperfection = "512"
	RootConcavity   Imperfection = "515"
	ThroatTooSmall  Imperfection = "5213"
	ThroatTooBig    Imperfection = "5214"
	RootGap         Imperfection = "617"
)

// Size is what limits go by.
type Size struct {
	T      weld.Length // thickness: of the thinner member
	B      weld.Length // width of the bead, or of the root for 504
	A      weld.Length // throat asked, of a fillet
	Fillet bool
}

// Limit is what is allowed.
type Limit struct {
	Most    weld.Length // zero: nothing is
	Least   weld.Angle  // of a toe
	Short   bool        // only on short stretches: see ShortStretch
	Allowed bool        // whatever its size
	Source  string
}

// ShortStretch says how much of a seam may have what is allowed on short stretches only:
// 25 mm in any 100 mm, a quarter of a shorter weld (from memory: check against the book).
func ShortStretch(seam weld.Length) weld.Length {
	return min(25*weld.Millimetre, weld.Length(0.25*float64(seam)))
}

// atC are the imperfections a test piece is allowed more of.
var atC = map[Imperfection]bool{ExcessWeld: true, Convexity: true, ExcessRoot: true, ThroatTooBig: true}

// ISO5817 gives the limit of an imperfection at a level.
func ISO5817(i Imperfection, l Level, s Size) Limit {
	source := "ISO 5817:2014 level " + string(l) + ", " + string(i)
	if l == Test {
		l = B
		if atC[i] {
			l = C
		}
		source = "ISO 9606-1 test piece: ISO 5817:2014 level " + string(l) + ", " + string(i)
	}
	if l == C2023 {
		l, source = C, "ISO 5817:2014 level C, "+string(i)
		if i == ExcessRoot && !s.thin() {
			out := most(1, 0.45, s.B, 4)
			out.Source = "ISO 5817:2023 level C, 504, one secondary source"
			return out
		}
	}
	out := limit(i, l, s)
	out.Source = source
	return out
}

func (s Size) thin() bool { return s.T <= 3*weld.Millimetre }

// pick chooses by level.
func pick[T any](l Level, d, c, b T) T {
	switch l {
	case D:
		return d
	case C:
		return c
	}
	return b
}

const mm = float64(weld.Millimetre)

// most is base + share of a length, at most cap mm; base in mm.
func most(base, share float64, of weld.Length, cap float64) Limit {
	return Limit{Most: weld.Length(math.Min(float64(base*mm)+float64(share*float64(of)), float64(cap*mm)))}
}

func toe(degrees float64) Limit {
	return Limit{Least: weld.Angle(float64(degrees * float64(weld.Degree)))}
}

func (l Limit) short() Limit { l.Short = true; return l }

var (
	none    = Limit{}
	no      = math.Inf(1) // upper end
	allowed = Limit{Allowed: true}
)

// limit is the table of ISO 5817:2014; beside each row the mark of its copy: complete
// rows were read in two or three copies, those marked "memory" are recalled.
func limit(i Imperfection, l Level, s Size) Limit {
	t, a, b := s.T, s.A, s.B
	switch i {
	case EndCrater:
		if s.thin() {
			return pick(l, most(0, 0.2, t, no), none, none)
		}
		return pick(l, most(0, 0.2, t, 2), most(0, 0.1, t, 1), none)
	case RootPenetration:
		return pick(l, most(0, 0.2, t, 2).short(), none, none)
	case Undercut: // thin at B: memory
		if s.thin() {
			return pick(l, most(0, 0.2, t, no).short(), most(0, 0.1, t, no).short(), none)
		}
		return pick(l, most(0, 0.2, t, 1), most(0, 0.1, t, 0.5), most(0, 0.05, t, 0.5))
	case ExcessWeld:
		return pick(l, most(1, 0.25, b, 10), most(1, 0.15, b, 7), most(1, 0.1, b, 5))
	case Convexity:
		return pick(l, most(1, 0.25, b, 5), most(1, 0.15, b, 4), most(1, 0.1, b, 3))
	case ExcessRoot:
		if s.thin() {
			return pick(l, most(1, 0.6, b, no), most(1, 0.3, b, no), most(1, 0.1, b, no))
		}
		return pick(l, most(1, 1, b, 5), most(1, 0.6, b, 4), most(1, 0.2, b, 3))
	case ToeAngle:
		if s.Fillet {
			return toe(pick(l, 90.0, 100, 110))
		}
		return toe(pick(l, 90.0, 110, 150))
	case Sagging:
		if s.thin() {
			return pick(l, most(0, 0.25, t, no).short(), most(0, 0.1, t, no).short(), none)
		}
		return pick(l, most(0, 0.25, t, 2).short(), most(0, 0.1, t, 1).short(), most(0, 0.05, t, 0.5).short())
	case UnequalLegs:
		return pick(l, most(2, 0.2, a, no), most(2, 0.15, a, no), most(1.5, 0.15, a, no))
	case RootConcavity:
		if s.thin() {
			return pick(l, most(0.2, 0.1, t, no), most(0, 0.1, t, no).short(), none)
		}
		return pick(l, most(0, 0.2, t, 2).short(), most(0, 0.1, t, 1).short(), most(0, 0.05, t, 0.5).short())
	case ThroatTooSmall:
		if s.thin() {
			return pick(l, most(0.2, 0.1, a, no).short(), most(0.2, 0, a, no).short(), none)
		}
		return pick(l, most(0.3, 0.1, a, 2).short(), most(0.3, 0.1, a, 1).short(), none)
	case ThroatTooBig:
		return pick(l, allowed, most(1, 0.2, a, 4), most(1, 0.15, a, 3))
	case RootGap: // thin at D: memory
		if s.thin() {
			return pick(l, most(0.5, 0.1, a, no), most(0.3, 0.1, a, no), most(0.2, 0.1, a, no))
		}
		return pick(l, most(1, 0.3, a, 4), most(0.5, 0.2, a, 3), most(0.5, 0.1, a, 2))
	}
	return none // 401 lack of fusion, 510 burn-through
}
