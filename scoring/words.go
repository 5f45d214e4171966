package scoring

import (
	"fmt"
	"math"
	"strconv"

	"puddlewise/scoring/weld"
)

// mm prints a length given in metres for a finding: millimetres, and inches in brackets.
func mm(m float64) string {
	l := weld.Length(math.Round(float64(m*1e4)) / 1e4)
	return fmt.Sprintf("%s (%s)", l.Show(weld.Metric), l.Show(weld.Imperial))
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
