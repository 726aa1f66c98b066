package weather

import (
	"math"
	"slices"
)

// Rounded returns a series in hundredths of a degree: more digits would claim what no thermometer knows.
func (s Series) Rounded() Series {
	s.Days = slices.Clone(s.Days)
	for i := range s.Days {
		d := &s.Days[i]
		d.Min, d.Max = math.Round(d.Min*100)/100, math.Round(d.Max*100)/100
	}
	return s
}
