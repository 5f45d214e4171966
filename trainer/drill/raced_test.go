//go:build race

package drill

// raced is true under the race detector, where everything takes many times as long.
const raced = true
