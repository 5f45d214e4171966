package puddle

// wide says whether this processor takes four columns at a time, kernel_amd64.s.
var wide = canWide()

//go:noescape
func widePairs(k *kernel)

//go:noescape
func widePairOne(k *kernel)

//go:noescape
func wideTwo(k *kernel)

//go:noescape
func wideAny(k *kernel)

//go:noescape
func wideFilled(k *kernel)

func canWide() bool
