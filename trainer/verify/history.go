package verify

import (
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"strconv"

	"puddlewise/scoring/puddle"
)

// History is temperatures over time at some points of a case. It is compared
// too, but decides nothing: what it holds is in the probes.
type History struct {
	File    string
	Times   []float64 // s
	Columns []Column
	Unread  []string // columns whose name says no place
}

// Column is the temperature at one point, C, at each of the history's times.
type Column struct {
	Name  string
	T     []float64
	place puddle.Probe
}

// Trace is how far the model's temperatures are from a column's, C.
type Trace struct {
	Name     string
	RMS, Max float64
}

// historyX is where along the seam histories are taken, mm.
const historyX = 30

var (
	platePlace = regexp.MustCompile(`^(top|back)_y([0-9]+(?:\.[0-9]+)?)_c$`)
	teePlace   = regexp.MustCompile(`^(base_top|web_face|base_back|web_back)_[a-z]*([0-9]+(?:\.[0-9]+)?)_c$`)
)

func placeOf(column string, kind puddle.CaseKind) (puddle.Probe, bool) {
	p := puddle.Probe{Quantity: puddle.Temperature, X: historyX * 1e-3}
	re := platePlace
	if kind == puddle.TeeTransient {
		re = teePlace
		if column == "corner_c" {
			p.Side = puddle.Corner
			return p, true
		}
	}
	m := re.FindStringSubmatch(column)
	if m == nil {
		return p, false
	}
	y, err := strconv.ParseFloat(m[2], 64)
	p.Side, p.Y = sides[m[1]], y*1e-3
	return p, err == nil && y <= maxLength
}

// readHistory reads a table with time_s and a column for each place.
func readHistory(fsys fs.FS, name, shown string, kind puddle.CaseKind) (*History, error) {
	t, err := readTable(fsys, name, shown)
	if err != nil {
		return nil, err
	}
	h := &History{File: shown, Times: t.column("time_s")}
	if h.Times == nil {
		return nil, t.problem(1, "time_s", "there is no such column", "the first line names the columns: time_s,top_y0_c,...")
	}
	for i, v := range h.Times {
		if v < 0 || v > maxTime || i > 0 && v <= h.Times[i-1] {
			return nil, t.problem(t.lines[i], "time_s", fmt.Sprintf("%g is not a later time, from 0 to %d s", v, maxTime), "times rise from line to line")
		}
	}
	for i, column := range t.names {
		if column == "time_s" {
			continue
		}
		place, ok := placeOf(column, kind)
		if !ok {
			h.Unread = append(h.Unread, column)
			continue
		}
		h.Columns = append(h.Columns, Column{column, t.values[i], place})
	}
	return h, nil
}

func (h *History) probes() []puddle.Probe {
	var all []puddle.Probe
	for _, c := range h.Columns {
		for _, t := range h.Times {
			p := c.place
			p.Time = t
			all = append(all, p)
		}
	}
	return all
}

func (h *History) compare(model []float64) []Trace {
	var out []Trace
	for _, c := range h.Columns {
		sum, most := 0.0, 0.0
		for i, want := range c.T {
			e := model[i] - want
			sum += e * e
			most = math.Max(most, math.Abs(e))
		}
		out = append(out, Trace{c.Name, math.Sqrt(sum / float64(len(c.T))), most})
		model = model[len(c.T):]
	}
	return out
}
