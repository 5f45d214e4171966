//go:build !race

package arc

const raced = false
