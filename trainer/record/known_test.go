package record

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func openKnown(t *testing.T, dir, build string) *Known {
	k, err := OpenKnown(dir, build)
	require.NoError(t, err)
	t.Cleanup(func() { k.Close() })
	return k
}

func TestWhatIsKnownIsKnownTheNextTime(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	k := openKnown(t, dir, "b1")
	_, ok := k.Get("q")
	assert.False(t, ok)
	k.Put("q", "")
	k.Put("r", `{"a": "b c"}`)
	k.Put("q", "another")
	for range 2 {
		answer, ok := k.Get("q")
		assert.True(t, ok)
		assert.Empty(t, answer, "the first answer stays")
		answer, _ = k.Get("r")
		assert.Equal(t, `{"a": "b c"}`, answer)
		k = openKnown(t, dir, "b1")
	}
	other := openKnown(t, dir, "b2")
	_, ok = other.Get("q")
	assert.False(t, ok, "no program trusts another")
	files, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, files, 1)
}

// A kill while a line is written, or a spoilt disk, costs that line and no other.
func TestATornLineIsNone(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "known-b")
	k := openKnown(t, dir, "b")
	for _, q := range []string{"p", "q", "r"} {
		k.Put(q, "answer")
	}
	whole, err := os.ReadFile(name)
	require.NoError(t, err)
	for cut := range len(whole) {
		require.NoError(t, os.WriteFile(name, whole[:cut], 0o600))
		k := openKnown(t, dir, "b")
		k.Put("s", "after")
		k = openKnown(t, dir, "b")
		for i, q := range []string{"p", "q", "r"} {
			_, ok := k.Get(q)
			assert.Equal(t, cut >= (i+1)*len(whole)/3-1, ok, "%s of %d bytes", q, cut)
		}
		_, ok := k.Get("s")
		assert.True(t, ok)
	}
	require.NoError(t, os.WriteFile(name, []byte(strings.Replace(string(whole), "answer", "anzwer", 1)), 0o600))
	_, ok := openKnown(t, dir, "b").Get("p")
	assert.False(t, ok)
}

func TestKnownIsBegunAnewWhenItIsFull(t *testing.T) {
	dir := t.TempDir()
	k := openKnown(t, dir, "b")
	k.Put("q", strings.Repeat("x", mostKnown-100))
	k.Put("r", "x") // no room left
	info, err := os.Stat(filepath.Join(dir, "known-b"))
	require.NoError(t, err)
	assert.LessOrEqual(t, info.Size(), int64(mostKnown))
	_, ok := k.Get("r")
	assert.True(t, ok)
	require.NoError(t, os.Truncate(filepath.Join(dir, "known-b"), mostKnown))
	_, ok = openKnown(t, dir, "b").Get("q")
	assert.False(t, ok)
}
