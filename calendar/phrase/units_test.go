package phrase

import (
	"math"
	"testing"
)

// The factors are those of NIST Special Publication 811 (2008), appendix B.8, to the digits that it prints.
func TestFactorsArePublishedOnes(t *testing.T) {
	for _, c := range []struct {
		of       string
		factor   float64
		printed  float64
		lastWith float64 // half of the last digit that is printed; 0: exact
	}{
		{"foot in metres", metresAFoot, 3.048e-1, 0},
		{"inch in millimetres", millimetresAnInch, 2.54e1, 0},
		{"mile in kilometres", kilometresAMile, 1.609344, 0},
		{"pound in kilograms", KilogramsPerPound, 4.535924e-1, 5e-8},
		{"gallon in litres", LitresPerGallon, 3.785412, 5e-7},
		{"bushel in litres", LitresPerBushel, 3.523907e1, 5e-6},
	} {
		if math.Abs(c.factor-c.printed) > c.lastWith {
			t.Errorf("%s: found %v, want %v", c.of, c.factor, c.printed)
		}
	}
}

// Fixed points of the two scales of temperature are those of the same appendix, t/°C = (t/°F - 32)/1.8; the rest is our
// own choice of how finely to tell what was known how well.
func TestMeasuresKeepWhatWasKnown(t *testing.T) {
	for _, c := range []struct {
		what             string
		say              func(Units) string
		both, metric, us string
	}{
		{"freezing", func(u Units) string { return u.Settings(0) }, "0 °C", "0 °C", "32 °F"},
		{"boiling", func(u Units) string { return u.Settings(100) }, "100 °C", "100 °C", "212 °F"},
		{"where both scales meet", func(u Units) string { return u.Settings(-40) }, "−40 °C", "−40 °C", "−40 °F"},
		{"a night", func(u Units) string { return u.Readings(-4.6, 3.34) }, "−5 to 3 °C", "−5 to 3 °C", "24 to 38 °F"},
		{"just below nought", func(u Units) string { return u.Reading(-0.2) }, "0", "0", "32"},
		{"a threshold of 30 °F", func(u Units) string { return u.Settings(-1.1) }, "−1.1 °C", "−1.1 °C", "30 °F"},
		{"a cold store", func(u Units) string { return u.Settings(1, 5) }, "1 to 5 °C", "1 to 5 °C", "34 to 41 °F"},
		{"one figure twice", func(u Units) string { return u.Settings(3, 3) }, "3 °C", "3 °C", "37 °F"},
		{"a difference", func(u Units) string { return u.Apart(0, 3) }, "3 °C", "3 °C", "5 °F"},
		{"a finer difference", func(u Units) string { return u.Apart(1, 2.1) }, "2.1 °C", "2.1 °C", "3.8 °F"},
		{"no difference", func(u Units) string { return u.Apart(0, 0) }, "0 °C", "0 °C", "0 °F"},
		{"the standard lapse rate", func(u Units) string { return u.Lapse(6.5) }, "6.5 °C a km", "6.5 °C a km",
			"3.6 °F per 1000 ft"}, // as handbooks of flying have it, from memory
		{"heat", func(u Units) string { return u.DegreeDays(100) }, "100", "100", "180"},
		{"a hill", func(u Units) string { return u.Height(350) }, "350 m", "350 m", "1150 ft"},
		{"a hill in feet", func(u Units) string { return u.Height(1153 * 0.3048) }, "351 m", "351 m", "1153 ft"},
		{"a rise", func(u Units) string { return u.Height(1.2) }, "1 m", "1 m", "4 ft"},
		{"hills", func(u Units) string { return u.Height(120, 300) }, "120 to 300 m", "120 to 300 m", "390 to 980 ft"},
		{"a way", func(u Units) string { return u.Way(60) }, "60 km", "60 km", "37 miles"},
		{"a long way", func(u Units) string { return u.Way(2000) }, "2000 km", "2000 km", "1200 miles"},
		{"a short way", func(u Units) string { return u.Way(1.4) }, "1 km", "1 km", "1 mile"},
		{"a tap's season", func(u Units) string { return u.Liquid(19, 57) }, "19 to 57 liters (5.0 to 15 US gallons)",
			"19 to 57 liters", "5.0 to 15 gallons"},
		{"a tank", func(u Units) string { return u.Liquid(3785.4) }, "3800 liters (1000 US gallons)", "3800 liters",
			"1000 gallons"},
		{"a bucket", func(u Units) string { return u.Liquid(3.785, 3.786) }, "3.8 liters (1.0 US gallons)",
			"3.8 liters", "1.0 gallons"},
		{"much", func(u Units) string { return u.Liquid(25600) }, "26\u202f000 liters (6800 US gallons)", "26\u202f000 liters",
			"6800 gallons"},
		{"ten thousand taps", func(u Units) string { return u.Liquid(1140000) },
			"1\u202f100\u202f000 liters (300\u202f000 US gallons)", "1\u202f100\u202f000 liters", "300\u202f000 gallons"},
		{"little", func(u Units) string { return u.Liquid(0.42) }, "0.4 liters (0.1 US gallons)", "0.4 liters",
			"0.1 gallons"},
		{"cones", func(u Units) string { return u.Measures("cones, 35 to 60 mm, smooth") },
			"cones, 35 to 60 mm, smooth", "cones, 35 to 60 mm, smooth", "cones, 1.4 to 2.4 in, smooth"},
		{"long cones", func(u Units) string { return u.Measures("100 to 200 mm") }, "100 to 200 mm", "100 to 200 mm",
			"4 to 8 in"},
		{"a leaf", func(u Units) string { return u.Measures("to 30 cm across") }, "to 30 cm across", "to 30 cm across",
			"to 12 in across"},
		{"a bud", func(u Units) string { return u.Measures("2 mm") }, "2 mm", "2 mm", "0.08 in"},
		{"a profile's cold store", func(u Units) string { return u.Measures("sealed, at 1 to 4 C; 3 years") },
			"sealed, at 1 to 4 C; 3 years", "sealed, at 1 to 4 °C; 3 years", "sealed, at 34 to 39 °F; 3 years"},
		{"a profile's freezer", func(u Units) string { return u.Measures("at -18 °C, or at -10 to -20 °C") },
			"at -18 °C, or at -10 to -20 °C", "at −18 °C, or at −10 to −20 °C", "at 0 °F, or at 14 to −4 °F"},
		{"heat in a profile", func(u Units) string { return u.Measures("once 625 degree-days over 5 C have come") },
			"once 625 degree-days over 5 C have come", "once 625 degree-days over 5 °C have come",
			"once 1130 degree-days over 41 °F have come"},
		{"a weight", func(u Units) string { return u.Measures("of a kilogram or so") }, "of a kilogram or so",
			"of a kilogram or so", "of two pounds or so"},
		{"a trunk", func(u Units) string { return u.Either("30 cm", "12 in") }, "30 cm (12 in)", "30 cm", "12 in"},
	} {
		for _, one := range []struct {
			units Units
			want  string
		}{{"", c.both}, {Metric, c.metric}, {US, c.us}} {
			if got := c.say(one.units); got != one.want {
				t.Errorf("%s, units %q: found %q, want %q", c.what, one.units, got, one.want)
			}
		}
	}
}
