package verify

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"strconv"

	"puddlewise/scoring"
	"puddlewise/scoring/puddle"
	"puddlewise/scoring/weld"
)

// PublishedRow is a published starting condition that gives amps and travel, and the
// model's window for it.
type PublishedRow struct {
	ID, Material, Joint, Source string
	Wall, Rod                   weld.Length // zero: not given; no rod
	Amps                        [2]weld.Current
	Travel                      [2]weld.Speed
	Window                      Window // at the middle of the row's travel
}

// Middle of the row's current.
func (r PublishedRow) Middle() weld.Current { return (r.Amps[0] + r.Amps[1]) / 2 }

// Inside says whether the middle of the row's current lies in the model's window.
func (r PublishedRow) Inside() bool {
	return r.Window.Open() && r.Middle() >= r.Window.Range.Low && r.Middle() <= r.Window.Range.High
}

// Meets says whether any of the row's current lies in the model's window.
func (r PublishedRow) Meets() bool {
	return r.Window.Open() && r.Amps[1] >= r.Window.Range.Low && r.Amps[0] <= r.Window.Range.High
}

// published holds the rows of the project's list of starting conditions that give amps
// and travel, each with its source, in the units it was published in.
//
//go:embed published.csv
var published []byte

// The words of the list, in the model's.
var (
	publishedJoint = map[string]weld.Joint{
		"butt": weld.SquareButt, "lap": weld.LapFillet, "fillet": weld.TeeFillet, "T": weld.TeeFillet, "corner": weld.OutsideCorner,
	}
	publishedMetal = map[string]weld.Metal{
		"stainless": weld.SS304, "aluminium": weld.Al6061, "titanium": weld.TitaniumCP, "mild steel": weld.CarbonSteel,
	}
)

func readPublished() ([]PublishedRow, error) {
	lines, err := csv.NewReader(bytes.NewReader(published)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("published.csv: %w", err)
	}
	var rows []PublishedRow
	for n, line := range lines[1:] {
		number := func(column int) float64 {
			if line[column] == "" {
				return 0
			}
			v, e := strconv.ParseFloat(line[column], 64)
			if e != nil {
				err = errors.Join(err, fmt.Errorf("published.csv:%d: %s: %q is not a number", n+2, lines[0][column], line[column]))
			}
			return v
		}
		const cmPerMin = 10 * weld.MillimetrePerMin
		r := PublishedRow{
			ID: line[0], Material: line[1], Joint: line[2], Wall: weld.Length(number(3)) * weld.Millimetre,
			Amps:   [2]weld.Current{weld.Current(number(4)), weld.Current(number(5))},
			Travel: [2]weld.Speed{weld.Speed(number(6)) * cmPerMin, weld.Speed(number(7)) * cmPerMin},
			Rod:    weld.Length(number(8)) * weld.Millimetre, Source: line[9],
		}
		if publishedJoint[r.Joint] == "" || publishedMetal[r.Material] == "" {
			err = errors.Join(err, fmt.Errorf("published.csv:%d: no such joint or metal: %s, %s", n+2, r.Joint, r.Material))
		}
		rows = append(rows, r)
	}
	return rows, err
}

// weld finds the row's window. Fillets are welded as finely as a verdict's, for their low
// edge moves up to 8 % on the coarse grid; below 1 mm that takes a second a seam, and
// butts move by 1 % only.
func (r *PublishedRow) weld() {
	if r.Wall == 0 {
		r.Window.Err = errors.New("the table gives no wall")
		return
	}
	t, a := coupon(publishedJoint[r.Joint], publishedMetal[r.Material], r.Wall)
	a.Travel = (r.Travel[0] + r.Travel[1]) / 2
	if a.Rod = r.Rod; r.Rod == 0 {
		a.Filler = weld.NoFiller
	}
	grade := puddle.Coarse
	if t.Joint.Fillet() && r.Wall >= weld.Millimetre {
		grade = puddle.Fine
	}
	r.Window = findWindow(t, a, grade, scoring.HeatRange{Low: r.Amps[0], High: r.Amps[1]})
}
