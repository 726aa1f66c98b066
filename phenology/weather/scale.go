package weather

import "math"

// The temperatures that are read, in degrees Celsius. The coldest and hottest ever measured in the air near the ground
// are -89.2 (Vostok, 1983) and 56.7 (Furnace Creek, 1913): World Meteorological Organization, Archive of Weather and
// Climate Extremes (from memory).
const (
	coldestAir = -90
	hottestAir = 60
)

// scale is what a file's numbers are: degrees, or tenths of a degree Celsius.
type scale struct {
	unit   Unit
	tenths bool
}

var (
	celsius    = scale{unit: Celsius}
	fahrenheit = scale{unit: Fahrenheit}
	tenths     = scale{unit: Celsius, tenths: true}
)

// celsius returns v in degrees Celsius. NaN stays NaN. From Fahrenheit it is rounded to a millionth of a degree, so
// that 28.4 is -2 and not -2.000000000000001: no thermometer tells them apart, but a threshold at -2 would.
func (s scale) celsius(v float64) float64 {
	switch {
	case s.unit == Fahrenheit:
		return math.Round((v-32)*5/9*1e6) / 1e6
	case s.tenths:
		return v / 10
	}
	return v
}

// bounds returns the coldest and hottest air on this scale.
func (s scale) bounds() (coldest, hottest float64) {
	switch {
	case s.unit == Fahrenheit:
		return coldestAir*9/5 + 32, hottestAir*9/5 + 32
	case s.tenths:
		return coldestAir * 10, hottestAir * 10
	}
	return coldestAir, hottestAir
}

func (s scale) String() string {
	switch {
	case s.unit == Fahrenheit:
		return "degrees Fahrenheit"
	case s.tenths:
		return "tenths of a degree Celsius"
	}
	return "degrees Celsius"
}
