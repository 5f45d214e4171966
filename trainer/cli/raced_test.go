//go:build race

package cli

// raced is true under the race detector, where welds take ten times as long.
const raced = true
