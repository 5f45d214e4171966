package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"

	"puddlewise/scoring/weld"
)

// printJSON writes v indented, lists of plain values on one line each, with a
// newline at the end.
func printJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return fmt.Errorf("the JSON could not be written: %w", err)
	}
	_, err := w.Write(plainList.ReplaceAllFunc(b.Bytes(), func(list []byte) []byte {
		inside := bytes.TrimSpace(list[1 : len(list)-1])
		return slices.Concat([]byte("["), lineBreak.ReplaceAll(inside, []byte(" ")), []byte("]"))
	}))
	return err
}

// A line break in indented JSON is never part of a string.
var (
	plainList = regexp.MustCompile(`\[\n[^\[\]{}]+\n *\]`)
	lineBreak = regexp.MustCompile(`\n *`)
)

// Printed numbers are rounded to what the model means, which is far coarser
// than the last bits in which two processors may differ.

// round gives v to the nearest 1/per, and never a minus zero.
func round(v, per float64) float64 { return math.Round(v*per)/per + 0 }

func mm(l weld.Length) float64           { return round(l.MM(), 100) }
func celsius(t weld.Temperature) float64 { return round(t.Celsius(), 1) }
func degrees(a weld.Angle) float64       { return round(float64(a/weld.Degree), 1) }
func score(v float64) float64            { return round(v, 10) }
func heatInput(kJPerMM float64) float64  { return round(kJPerMM, 1000) }
func shareOf(v float64) float64          { return round(v, 1000) }
