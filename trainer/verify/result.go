package verify

import (
	"math"
	"time"

	"puddlewise/scoring/puddle"
)

// What a model value may be off by: a share of the case's peak rise for
// temperatures; for lengths a share of the length, and never less than MinLength.
const (
	TemperatureShare = 0.03
	LengthShare      = 0.05
	MinLength        = 0.15 // mm
	// A reference that is itself less sure than this share of what is allowed
	// has its uncertainty added to it: the model cannot be blamed for that part.
	UncertainShare = 0.25
)

// Result is a case after its weld.
type Result struct {
	Case     *Case
	Readings []Reading
	History  []Trace
	Energy   float64 // share of the heat that the account of it misses
	Seconds  float64 // of one processor
	Err      error   // the weld could not be run
}

// Reading is one probe with what the model gives.
type Reading struct {
	Probe   Probe
	Model   float64 // C or mm
	Allowed float64 // the most it may differ
	Added   bool    // Allowed holds the reference's uncertainty
}

// Error gives by how much the model is above the reference, C or mm.
func (r Reading) Error() float64 { return r.Model - r.Probe.Value }

// Missed says whether the model is farther off than allowed.
func (r Reading) Missed() bool { return !(math.Abs(r.Error()) <= r.Allowed) }

// Missed counts the probes the case misses; all of them when it could not be run.
func (r Result) Missed() int {
	if r.Err != nil {
		return len(r.Case.Probes)
	}
	n := 0
	for _, x := range r.Readings {
		if x.Missed() {
			n++
		}
	}
	return n
}

// Worst gives the temperature and the length that come nearest to what is
// allowed, or farthest beyond; fewer when the case asks for none.
func (r Result) Worst() []Reading {
	var out []Reading
	for _, temperature := range []bool{true, false} {
		worst, most := -1, -1.0
		for i, x := range r.Readings {
			if used := math.Abs(x.Error()) / x.Allowed; x.Probe.Temperature == temperature && used > most {
				worst, most = i, used
			}
		}
		if worst >= 0 {
			out = append(out, r.Readings[worst])
		}
	}
	return out
}

// Run welds the case and compares.
func (c *Case) Run() Result {
	start := time.Now()
	res := Result{Case: c}
	probes := make([]puddle.Probe, 0, len(c.Probes))
	for _, p := range c.Probes {
		probes = append(probes, p.probe)
	}
	if c.History != nil {
		probes = append(probes, c.History.probes()...)
	}
	heat := c.heat // a run sets what was left to choose
	values, energy, err := heat.Run(probes)
	res.Seconds, res.Energy, res.Err = time.Since(start).Seconds(), energy, err
	if err != nil {
		return res
	}
	peak := c.Peak()
	for i, p := range c.Probes {
		r := Reading{Probe: p, Model: values[i], Allowed: float64(TemperatureShare * peak)}
		if !p.Temperature {
			r.Model *= 1e3
			r.Allowed = max(LengthShare*p.Value, MinLength)
		}
		if p.Uncertainty > UncertainShare*r.Allowed {
			r.Allowed += p.Uncertainty
			r.Added = true
		}
		res.Readings = append(res.Readings, r)
	}
	if c.History != nil {
		res.History = c.History.compare(values[len(c.Probes):])
	}
	return res
}
