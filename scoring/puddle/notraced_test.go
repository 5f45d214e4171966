//go:build !race

package puddle

const raced = false
