//go:build !race

package verify

const raced = false
