package scenarios

import (
	_ "embed"
	"strings"
)

// readme holds the example that a new file starts from, so that there is one of it.
//
//go:embed README.md
var readme string

// Example gives the whole file that the README shows, with its comments: a joint that
// loads, whose model answer is accepted and whose mistakes are raised.
func Example() string {
	const begin, end = "```yaml\n# T-99.yaml", "\n```\n"
	_, text, _ := strings.Cut(readme, begin)
	_, text, _ = strings.Cut(text, "\n")
	text, _, _ = strings.Cut(text, end)
	return text + "\n"
}
