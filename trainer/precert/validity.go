package precert

import "time"

// Due is a date a qualification depends on.
type Due struct {
	On     time.Time
	What   string
	Source string
}

// Validity gives the dates that follow from the day the test piece was welded. None
// where no source at hand gives them.
func (c Code) Validity(welded time.Time) []Due {
	months := func(n int) time.Time { return welded.AddDate(0, n, 0) }
	switch c {
	case ISO1:
		return []Due{
			{months(6), "confirmed by employer or examiner by then, and every 6 months", "ISO 9606-1:2012, 9.2"},
			{months(24), "revalidated, where by testing two welds of the last 6 months", "ISO 9606-1:2012, 9.3 b)"},
			{months(36), "tested again, where that is how it is revalidated", "ISO 9606-1:2012, 9.3 a)"},
		}
	case ISO2:
		return []Due{
			{months(6), "confirmed by then, and every 6 months", "ISO 9606-2:2004"},
			{months(24), "ends", "ISO 9606-2:2004"},
		}
	case ASME:
		return []Due{{months(6), "lapses if the process was not used since", "ASME IX QW-322.1"}}
	}
	return nil
}
