package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/report"
)

func small(t *testing.T) *scoring.Window {
	x, ok := weld.FieldByKey("amps")
	require.True(t, ok)
	y, ok := weld.FieldByKey("travel")
	require.True(t, ok)
	return &scoring.Window{
		X: x, Y: y, Xs: []float64{40, 50, 60}, Ys: []float64{1e-3, 2e-3}, X0: 50, Y0: 2e-3,
		Regions: [][]scoring.Region{{scoring.Good, scoring.Through, scoring.Through}, {scoring.Cold, scoring.Good, scoring.Unknown}},
	}
}

func TestTextStandsUpwards(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.WindowText(&b, small(t), weld.Metric))
	assert.Equal(t, []string{
		"travel, mm/min",
		"100 >.o?",
		"    |+xx",
	}, strings.Split(b.String(), "\n")[:3])
	assert.Contains(t, b.String(), "o your point   . does not fuse   + good   x burns through   ? outside the range")
	assert.Contains(t, b.String(), "You are in it.")
}

func TestTableHasARowAPoint(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.WindowCSV(&b, small(t), weld.Metric))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Len(t, rows, 1+6)
	assert.Equal(t, []string{"60", "120", "outside the range"}, rows[6])
}

func TestPictureIsWellFormed(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.WindowSVG(&b, small(t), `a <b> & "c"`, weld.Imperial))
	d := xml.NewDecoder(&b)
	for {
		if _, err := d.Token(); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
	}
}
