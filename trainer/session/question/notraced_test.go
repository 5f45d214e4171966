//go:build !race

package question_test

// raced is true under the race detector, where everything takes ten times as long.
const raced = false
