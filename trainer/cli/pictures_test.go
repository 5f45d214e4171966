package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const pictures = "../../testdata/pictures"

// TestPictures holds the README's pictures to what the screens show: each is the end
// of a walk in walks.txt.
func TestPictures(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("it welds and maps as the trainer does")
	}
	list, err := os.ReadFile(filepath.Join(pictures, "walks.txt"))
	require.NoError(t, err)
	walks := map[string][]string{}
	var file string
	for line := range strings.Lines(string(list)) {
		line = strings.TrimRight(line, "\r\n")
		step, indented := strings.CutPrefix(line, "  ")
		switch {
		case line == "" || line[0] == '#':
		case indented:
			walks[file] = append(walks[file], step)
		default:
			head := strings.Fields(line)
			require.Len(t, head, 3, "%q: a file, its size and a joint", line)
			width, height, _ := strings.Cut(head[1], "x")
			file = head[0]
			walks[file] = []string{"picture", "--width", width, "--height", height}
			if head[2] != "-" {
				walks[file] = append(walks[file], "--scenario", head[2])
			}
		}
	}
	require.NotEmpty(t, walks)
	for file, walk := range walks {
		t.Run(file, func(t *testing.T) {
			code, out, errs := run(t, walk...)
			require.Zero(t, code, errs)
			name := filepath.Join(pictures, file)
			if *update {
				require.NoError(t, os.WriteFile(name, []byte(out), 0o644))
				return
			}
			old, err := os.ReadFile(name)
			require.NoError(t, err)
			assert.True(t, string(old) == out, "%s is not what the screen shows now: go test ./trainer/cli -run Pictures -update", file)
		})
	}
	drawn, err := filepath.Glob(filepath.Join(pictures, "*.svg"))
	require.NoError(t, err)
	assert.Len(t, drawn, len(walks), "every picture has its walk")
}
