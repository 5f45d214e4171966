package scoring

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// The model speaks metric: a screen puts "7.1 mm", "430 C", "9 L/min" and "2 m/s" into
// the learner's units. Every rule writes its sentence whether it is told or not, so
// these are plain and quick; weld.Length.Show is exact and is not.

// mm prints a length given in metres, to a tenth of a millimetre.
func mm(m float64) string { return trimmed(float64(m*1e3), 1) + " mm" }

// mmBoth prints what was and what is allowed, both in metres, so that they look
// different where they are.
func mmBoth(got, limit float64) (string, string) {
	return both(float64(got*1e3), float64(limit*1e3), 1, " mm")
}

// both prints two numbers with so many decimals, or as many more, up to two, as it
// takes to tell them apart.
func both(got, limit float64, decimals int, unit string) (string, string) {
	for most := decimals + 2; ; decimals++ {
		a, b := trimmed(got, decimals), trimmed(limit, decimals)
		if a != b || got == limit || decimals == most {
			return a + unit, b + unit
		}
	}
}

// trimmed prints v with at most so many decimals.
func trimmed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if decimals > 0 {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" || s == "" || s == "-" {
		return "0"
	}
	return s
}

// amps prints a current.
func amps(i float64) string { return fmt.Sprintf("%.0f A", i) }

// celsius prints a temperature to ten degrees: nobody reads a pool closer.
func celsius(c float64) string { return fmt.Sprintf("%.0f C", math.Round(c/10)*10) }

// celsiusBoth prints what was reached and what was wanted, apart.
func celsiusBoth(got, limit float64) (string, string) {
	a, b := celsius(got), celsius(limit)
	if a == b {
		return both(got, limit, 0, " C")
	}
	return a, b
}

// percent prints a share.
func percent(s float64) string { return fmt.Sprintf("%.0f %%", 100*s) }

// percentBoth prints a share and its limit, apart.
func percentBoth(got, limit float64) (string, string) {
	return both(float64(got*100), float64(limit*100), 0, " %")
}

// degrees prints an angle.
func degrees(a weld.Angle) string { return fmt.Sprintf("%.0f deg", float64(a)*180/math.Pi) }

// seconds prints a time.
func seconds(s float64) string {
	return fmt.Sprintf("%s s", strconv.FormatFloat(math.Round(float64(s*10))/10, 'f', -1, 64))
}

// at says where along the seam a station lies: by the clock around a level tube.
func (e *evidence) at(s *puddle.Station) string {
	if where := e.task.Where(weld.Length(s.At)); where != "" {
		return where + " (" + mm(s.At) + " along)"
	}
	return "at " + mm(s.At)
}

// leftShort is what a seam may miss at its end and be called welded, m: an assumption.
const leftShort = 1e-3

// leftOff is what is said in place of what went wrong at a station that the torch of a
// live run never came to.
func (e *evidence) leftOff(r reading, s *puddle.Station) reading {
	to := float64(e.task.Seam) - e.bead.Short
	if s == nil || e.bead.Short < leftShort || s.At <= to {
		return r
	}
	r.got, r.want = "welded to "+mm(to), "welded to "+mm(float64(e.task.Seam))
	r.why = fmt.Sprintf("not welded to the end: the arc went out at %s, the seam is %s long", mm(to), mm(float64(e.task.Seam)))
	r.near, r.fix = r.why, "go on to the end of the seam and ease out there"
	return r
}

const (
	bySimulation = "model: the heat in this joint; puddlewise verify holds it to other means"
	byPractice   = "common practice, no source"
)
