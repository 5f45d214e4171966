package session

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"puddlewise/scoring"
	"puddlewise/scoring/weld"
)

func TestMovesNamesRulesAndNumbers(t *testing.T) {
	for rule, keys := range moves {
		assert.Contains(t, scoring.RuleIDs(), rule)
		assert.Len(t, keys, 2, rule)
		for _, k := range keys {
			f, ok := weld.FieldByKey(k)
			assert.True(t, ok && f.Numeric(), "%s: %s", rule, k)
		}
	}
}
