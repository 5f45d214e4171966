package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
	"puddlewise/trainer/verify"
)

// Where the model gives no number there is a null: JSON knows no infinity.
func TestRulesJSON(t *testing.T) {
	window := func(low, high float64, err error) verify.Window {
		return verify.Window{Wall: weld.Inch, Range: scoring.HeatRange{Low: weld.Current(low), High: weld.Current(high)}, Err: err}
	}
	r := verify.Rules{Amps: []verify.AmpsRow{{Joint: weld.SquareButt, Metal: weld.SS304, Windows: []verify.Window{
		window(40.04, 60.06, nil), window(40, math.Inf(1), nil), window(60, 40, nil), window(0, 0, errors.New("too thick")),
	}}}}
	var out bytes.Buffer
	require.NoError(t, printJSON(&out, newRulesJSON(r)))
	var got rulesJSON
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	w := got.Amps[0].Windows
	at := func(v float64) *float64 { return &v }
	assert.Equal(t, windowJSON{Wall: 25.4, Low: at(40), High: at(60), Open: true, PerThou: at(0.05)}, w[0])
	assert.Equal(t, windowJSON{Wall: 25.4, Low: at(40), Open: true}, w[1])
	assert.Equal(t, windowJSON{Wall: 25.4, Low: at(60), High: at(40)}, w[2])
	assert.Equal(t, windowJSON{Wall: 25.4, Error: "too thick"}, w[3])
}
