//go:build !race

package precert_test

// raced says that the tests run under the race detector, where a weld takes ten times as long.
const raced = false
