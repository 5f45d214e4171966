package verify

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"

	"puddlewise/scenarios/strict"
	"puddlewise/scoring/metal"
)

// table is a CSV file of numbers under a line of names.
type table struct {
	file   string
	names  []string
	values [][]float64 // by column
	lines  []int       // of the file, by row
}

const maxRows = 5000

// readTable reads a table; the error is of type strict.Problems.
func readTable(fsys fs.FS, name, shown string) (*table, error) {
	data, err := strict.Bytes(fsys, name, shown)
	if err != nil {
		return nil, err
	}
	t := &table{file: shown}
	r := csv.NewReader(strings.NewReader(string(data)))
	for row := 0; ; row++ {
		fields, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		switch {
		case errors.As(err, &bad):
			return nil, t.problem(bad.Line, "", "cannot be read as CSV: "+bad.Err.Error(), "a line of names, then a line of as many numbers for each row")
		case err != nil:
			return nil, t.problem(0, "", "cannot be read as CSV", "")
		case row > maxRows:
			return nil, t.problem(0, "", fmt.Sprintf("has more than %d rows", maxRows), "")
		}
		if row == 0 {
			t.names = slices.Clone(fields)
			t.values = make([][]float64, len(fields))
			continue
		}
		line, _ := r.FieldPos(0)
		t.lines = append(t.lines, line)
		for i, text := range fields {
			v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
			if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
				return nil, t.problem(line, t.names[i], fmt.Sprintf("%.40q is not a number", text), "")
			}
			t.values[i] = append(t.values[i], v)
		}
	}
	if len(t.lines) < 2 {
		return nil, t.problem(0, "", "has fewer than two rows of numbers", "")
	}
	return t, nil
}

func (t *table) problem(line int, field, message, hint string) error {
	return strict.Problems{{File: t.file, Line: line, Field: field, Message: message, Hint: hint}}
}

// column gives the numbers under a name, or nil.
func (t *table) column(name string) []float64 {
	if i := slices.Index(t.names, name); i >= 0 {
		return t.values[i]
	}
	return nil
}

// The columns of a property table that the model needs; it may have others.
const (
	columnT     = "T_degC"
	columnH     = "H_J_m3_from20C_with_latent"
	columnTheta = "kirchhoff_theta_W_m_from20C"
)

// readProperties reads a metal's table: temperature, enthalpy and the integral of conductivity.
func readProperties(fsys fs.FS, name, shown string) (metal.Curve, error) {
	t, err := readTable(fsys, name, shown)
	if err != nil {
		return metal.Curve{}, err
	}
	c := metal.Curve{T: t.column(columnT), H: t.column(columnH), Theta: t.column(columnTheta)}
	for _, col := range []struct {
		name   string
		values []float64
		first  float64
	}{{columnT, c.T, metal.Ambient}, {columnH, c.H, 0}, {columnTheta, c.Theta, 0}} {
		if col.values == nil {
			return c, t.problem(1, col.name, "there is no such column", "the columns "+columnT+", "+columnH+" and "+columnTheta+" are needed")
		}
		if col.values[0] != col.first {
			return c, t.problem(t.lines[0], col.name, fmt.Sprintf("begins with %g, allowed is %g", col.values[0], col.first), "enthalpy and the integral of conductivity count from 20 C")
		}
		for i, v := range col.values {
			if i > 0 && !(v > col.values[i-1]) || v > 1e15 {
				return c, t.problem(t.lines[i], col.name, fmt.Sprintf("%g does not follow on %g: it must rise from line to line", v, col.values[max(i-1, 0)]), "")
			}
		}
	}
	if top := c.T[len(c.T)-1]; top < 100 || top > maxTemperature {
		return c, t.problem(t.lines[len(t.lines)-1], columnT, fmt.Sprintf("ends at %g C, allowed is 100 to %d", top, maxTemperature), "")
	}
	return c, nil
}
