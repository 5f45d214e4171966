//go:build race

package puddle

import "flag"

// raced is true under the race detector, where welds take ten times as long.
const raced = true

func init() {
	if err := flag.Set("rapid.checks", "8"); err != nil {
		panic(err)
	}
}
