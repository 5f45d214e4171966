//go:build !amd64

package puddle

const wide = false // see kernel_amd64.go

func widePairs(*kernel)   {}
func widePairOne(*kernel) {}
func wideTwo(*kernel)     {}
func wideAny(*kernel)     {}
func wideFilled(*kernel)  {}
