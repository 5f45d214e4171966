package precert_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"puddlewise/trainer/precert"
)

func TestLock(t *testing.T) {
	if raced {
		t.Skip("no two things run at once here")
	}
	name := filepath.Join(t.TempDir(), "lock.json")
	_, on, err := precert.ReadLock(name)
	require.NoError(t, err)
	assert.False(t, on)
	_, err = precert.NewLock("TS-01", "Ann", 3, "f", time.Time{}, "short")
	require.ErrorContains(t, err, "5 letters")
	l, err := precert.NewLock("TS-01", "Ann", 3, "f", time.Time{}, "a line of words")
	require.NoError(t, err)
	require.NoError(t, l.Write(name))
	got, on, err := precert.ReadLock(name)
	require.NoError(t, err)
	assert.True(t, on)
	assert.Equal(t, l, got)
	assert.True(t, got.Opens("a line of words"))
	assert.False(t, got.Opens("a line of word"))
	raw, err := os.ReadFile(name)
	require.NoError(t, err)
	assert.NotContains(t, string(raw), "line of")
	require.NoError(t, os.WriteFile(name, []byte("{"), 0o600))
	_, on, err = precert.ReadLock(name)
	assert.True(t, on, "a lock that cannot be read holds")
	require.ErrorContains(t, err, "cannot be read")
}
