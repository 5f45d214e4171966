//go:build !race

package drill

const raced = false
