package cli

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"puddlewise/scoring/weld"
)

// printJSON writes v indented, with a newline at the end.
func printJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("the JSON could not be written: %w", err)
	}
	return nil
}

// Printed numbers are rounded to what the model means, which is far coarser
// than the last bits in which two processors may differ.

// round gives v to the nearest 1/per, and never a minus zero.
func round(v, per float64) float64 { return math.Round(v*per)/per + 0 }

func mm(l weld.Length) float64           { return round(l.MM(), 100) }
func celsius(t weld.Temperature) float64 { return round(t.Celsius(), 1) }
func score(v float64) float64            { return round(v, 10) }
func heatInput(kJPerMM float64) float64  { return round(kJPerMM, 1000) }
func shareOf(v float64) float64          { return round(v, 1000) }
