//go:build !race

package tui

const Raced = false
