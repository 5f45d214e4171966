package drill

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHands(t *testing.T) {
	for text, want := range map[string][]Hand{
		"60 A":                     {{"60 A", 0}},
		"60 A: 7, 90 A: 4":         {{"60 A", 7}, {"90 A", 4}},
		"60 A:4 , 90 A : 7,1 A: 0": {{"90 A", 7}, {"60 A", 4}, {"1 A", 0}},
		"60 A: 4, 90 A: 4":         {{"60 A", 4}, {"90 A", 4}},
	} {
		got, err := ReadHands(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"60 A: many": "is no option with its hands", "60 A: 5, 90 A": `"90 A" is no option`, ": 4": "is no option", "60 A: -1": "is no option",
		"60 A: 501": "0 to 500", "60 A: 4, 60 a: 1": "stands there twice", "60 A: 0": "no hand was up",
	} {
		_, err := ReadHands(text)
		assert.ErrorContains(t, err, want, text)
	}
}
