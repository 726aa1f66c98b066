package busy

import "treewhen/phenology/civil"

// Days returns the days of an event of whole days.
func (e *Event) Days() civil.Span { return e.days }
