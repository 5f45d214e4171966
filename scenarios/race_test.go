//go:build race

package scenarios_test

// raced says that the tests run under the race detector, where a weld takes ten times as long.
const raced = true
