package outing

import "treewhen/calendar"

// Lighten returns the facts without the sheet, which outputs that print none have no use for.
func (t *Trip) Lighten() calendar.Facts {
	light := *t
	light.Sheet = nil
	return &light
}

// Lighten returns the facts without the sheet.
func (r *RainDay) Lighten() calendar.Facts {
	light := *r
	light.Sheet = nil
	return &light
}

// Lighten returns the facts without the sheet.
func (s *Survey) Lighten() calendar.Facts {
	light := *s
	light.Sheet = nil
	return &light
}

// Line returns the facts that the lines of an entry without its details need.
func (t *Trip) Line() calendar.Facts {
	light := *t
	light.Visit = t.Visit.line()
	light.Adds, light.Taken.Calendars = nil, nil
	return &light
}

// Line returns the facts that the lines of an entry without its details need.
func (r *RainDay) Line() calendar.Facts { return &RainDay{r.Visit.line(), r.For, r.Move} }

// Line returns the facts that the lines of an entry without its details need.
func (s *Survey) Line() calendar.Facts {
	light := *s
	light.Day, light.Common, light.Look = s.Day.line(), nil, nil
	return &light
}

func (v Visit) line() Visit {
	v.Day, v.Sights = v.Day.line(), nil
	return v
}

func (d Day) line() Day {
	d.Sheet, d.Care, d.Sources = nil, nil, nil
	return d
}
