//go:build !race

package apprentice

const raced = false
