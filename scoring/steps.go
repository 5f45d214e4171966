package scoring

import "puddlewise/scoring/weld"

// ShopStep gives the smallest move of a setting that a shop would talk about in metric,
// in SI units; 0 for a setting that is not moved in steps.
func ShopStep(key string) float64 {
	f, ok := weld.FieldByKey(key)
	if !ok {
		return 0
	}
	return float64(shopStep[key][weld.Metric] * f.UnitSize(weld.Metric))
}
