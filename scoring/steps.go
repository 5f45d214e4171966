package scoring

import "puddlewise/scoring/weld"

// ShopStep gives the smallest move of a setting that a shop would talk about, in SI
// units; 0 for a setting that is not moved in steps.
func ShopStep(key string) float64 {
	st, known := shopStep[key]
	f, ok := weld.FieldByKey(key)
	var a weld.Answer
	if !known || !ok || f.SetStrict(&a, st.text) != nil {
		return 0
	}
	v, _ := f.Value(a)
	return v
}
