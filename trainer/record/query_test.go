package record

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A brief that read the rows would read the metal of every coupon: gigabytes in
// a large record.
func TestABriefReadsTheIndexAlone(t *testing.T) {
	s, err := Open(filepath.Join(t.TempDir(), FileName))
	require.NoError(t, err)
	defer s.Close()
	for _, f := range []Filter{{}, {Last: 9}, {Learner: "Ann"}, {Own: true, Last: 9}, {Learner: "Ann", Scenario: "B-01", Last: 9}, {ID: "a"}} {
		query, args := f.query(false)
		assert.Regexp(t, "^(SCAN|SEARCH) attempt USING COVERING INDEX attempt_brief[^\n]*$", plan(t, s, query, args...), "%+v", f)
	}
	assert.Equal(t, "SEARCH attempt USING COVERING INDEX attempt_standing (learner=?)", plan(t, s, standingQuery, "Ann"))
}

// plan says how the database would answer a query, a step a line.
func plan(t *testing.T, s *Store, query string, args ...any) string {
	t.Helper()
	rows, err := s.db.Query("EXPLAIN QUERY PLAN "+query, args...)
	require.NoError(t, err)
	defer rows.Close()
	var steps []string
	for rows.Next() {
		var id, parent, unused int
		var step string
		require.NoError(t, rows.Scan(&id, &parent, &unused, &step))
		steps = append(steps, step)
	}
	return strings.Join(steps, "\n")
}

// The schema's number is the number of files: two of one number would bring two
// programs to different schemas under one number.
func TestMigrationsAreNumbered(t *testing.T) {
	entries, err := migrationFiles.ReadDir("migrations")
	require.NoError(t, err)
	for i, e := range entries {
		assert.Equal(t, fmt.Sprintf("%04d", i+1), e.Name()[:4], "take the next free number")
	}
}

// A table added later must be forgotten too.
func TestForgetAllLeavesNoTableOut(t *testing.T) {
	s, err := Open(filepath.Join(t.TempDir(), FileName))
	require.NoError(t, err)
	defer s.Close()
	known := []string{"answered", "attempt", "draft", "setting"} // those ForgetAll and ForgetLearner name
	rows, err := s.db.Query("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
	require.NoError(t, err)
	defer rows.Close()
	var tables []string
	for rows.Next() {
		var name string
		require.NoError(t, rows.Scan(&name))
		tables = append(tables, name)
	}
	assert.Equal(t, known, tables)
}
