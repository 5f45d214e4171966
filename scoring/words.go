package scoring

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"puddlewise/scoring/weld"
)

// mm prints a length given in metres for a finding: millimetres, and inches in
// brackets. Every rule writes its sentence whether it is told or not, so this is plain
// and quick; weld.Length.Show is exact and is not.
func mm(m float64) string {
	tenths := math.Round(float64(m * 1e4))
	return trimmed(tenths/10, 1) + " mm (" + trimmed(tenths/254, 3) + " in)"
}

// trimmed prints v with at most so many decimals.
func trimmed(v float64, decimals int) string {
	s := strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(v, 'f', decimals, 64), "0"), ".")
	if s == "-0" || s == "" || s == "-" {
		return "0"
	}
	return s
}

// amps prints a current.
func amps(i float64) string { return fmt.Sprintf("%.0f A", i) }

// celsius prints a temperature to ten degrees: nobody reads a pool closer.
func celsius(c float64) string { return fmt.Sprintf("%.0f C", math.Round(c/10)*10) }

// percent prints a share.
func percent(s float64) string { return fmt.Sprintf("%.0f %%", 100*s) }

// degrees prints an angle.
func degrees(a weld.Angle) string { return fmt.Sprintf("%.0f deg", float64(a)*180/math.Pi) }

// seconds prints a time.
func seconds(s float64) string {
	return fmt.Sprintf("%s s", strconv.FormatFloat(math.Round(float64(s*10))/10, 'f', -1, 64))
}

const (
	bySimulation = "model"
	byPractice   = "common practice, no source"
)
