package phrase

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Units are those in which people read measures. The zero Units is metric, but for what the trade gives in both. What
// is converted is written as exactly as it was known, and no more.
type Units string

// The units.
const (
	Metric Units = "metric" // degrees Celsius, metres and their kin, kilograms and litres
	US     Units = "us"     // degrees Fahrenheit, feet, inches, miles, pounds, US gallons and US bushels
)

// The units of the United States in those of the SI, after NIST Special Publication 811 (2008), appendix B.8. The foot,
// inch, mile and pound are exact, and so are the gallon, of 231 cubic inches, and the bushel, of 2150.42.
const (
	KilogramsPerPound = 0.45359237
	LitresPerGallon   = 3.785411784
	LitresPerBushel   = 35.23907016688

	metresAFoot       = 0.3048
	millimetresAnInch = 25.4
	kilometresAMile   = 1.609344
)

// Degrees is the sign of a temperature.
func (u Units) Degrees() string {
	if u == US {
		return "°F"
	}
	return "°C"
}

// Reading writes a temperature in degrees Celsius to the degree, with a true minus sign and without its unit; no hour
// is known better.
func (u Units) Reading(celsius float64) string {
	if u == US {
		celsius = fahrenheit(celsius)
	}
	return signed(whole(celsius))
}

// Tenths writes a temperature in degrees Celsius as records have it, without its unit.
func (u Units) Tenths(celsius float64) string {
	if u == US {
		celsius = fahrenheit(celsius)
	}
	return fmt.Sprintf("%.1f", celsius)
}

// Readings writes a lower and a higher temperature in degrees Celsius to the degree: "−5 to 4 °C".
func (u Units) Readings(low, high float64) string {
	return u.Reading(low) + " to " + u.Reading(high) + " " + u.Degrees()
}

// Settings writes a temperature in degrees Celsius that somebody set, or a run of them: a threshold, a cold store's. It
// has a decimal where it was set so, but none in degrees Fahrenheit, which are finer.
func (u Units) Settings(celsius ...float64) string {
	return run(u.Degrees(), celsius, func(c float64) string {
		if u == US {
			return u.Reading(c)
		}
		return signed(strconv.FormatFloat(math.Round(c*10)/10, 'f', -1, 64))
	})
}

// Apart writes a difference of temperatures in degrees Celsius, or a run of them, with so many decimals: "3 °C".
func (u Units) Apart(decimals int, celsius ...float64) string {
	per := 1.0
	if u == US {
		per = 1.8
	}
	return run(u.Degrees(), celsius, func(c float64) string { return fmt.Sprintf("%.*f", decimals, c*per) })
}

// Lapse writes by how many degrees Celsius a kilometre it gets colder upwards, or a run of such rates.
func (u Units) Lapse(rates ...float64) string {
	per, unit := 1.0, "°C a km"
	if u == US {
		per, unit = 1.8*metresAFoot, "°F per 1000 ft"
	}
	return run(unit, rates, func(r float64) string { return fmt.Sprintf("%.1f", r*per) })
}

// DegreeDays writes a sum of degree-days Celsius, without its base. In degrees Fahrenheit there are 1.8 times as many.
func (u Units) DegreeDays(sum float64) string {
	if u == US {
		sum *= 1.8
	}
	return whole(sum)
}

// Height writes a height in metres, or how far one is above another, or a run of them. What was written down in feet
// comes back as it was; of other heights feet are told by tens from fifty on, since a metre has three.
func (u Units) Height(metres ...float64) string {
	if u != US {
		return run("m", metres, whole)
	}
	return run("ft", metres, func(m float64) string {
		feet := m / metresAFoot
		if math.Abs(feet) >= 50 && math.Abs(feet-math.Round(feet)) > 1e-6 {
			feet = math.Round(feet/10) * 10
		}
		return whole(feet)
	})
}

// Way writes a distance in kilometres, or a run of them. A hundred miles and more are told to two figures.
func (u Units) Way(km ...float64) string {
	if u == US {
		return run("miles", km, func(km float64) string {
			if miles := km / kilometresAMile; miles < 100 {
				return whole(miles)
			}
			return Rough(km / kilometresAMile)
		})
	}
	return run("km", km, whole)
}

// Weight returns the unit in which people weigh, and how many kilograms it has.
func (u Units) Weight() (unit string, has float64) {
	if u == US {
		return "lb", KilogramsPerPound
	}
	return "kg", 1
}

// Fruit returns the unit that some litres of fruit are told in, and how many litres it has: fruit is gathered in
// bushels or, where it is less than one, in pails.
func (u Units) Fruit(litres float64) (unit string, has float64) {
	switch {
	case u == Metric:
		return "liters", 1
	case u != US:
		return "l", 1
	case litres < LitresPerBushel:
		return "gallons", LitresPerGallon
	}
	return "bushels", LitresPerBushel
}

// Liquid writes a volume of sap or syrup, or a run of them, in litres, to two digits: nothing finer is known. The zero
// Units has US gallons beside them.
func (u Units) Liquid(litres ...float64) string {
	liters := run("liters", litres, Rough)
	gallons := func(unit string) string {
		return run(unit, litres, func(l float64) string { return Rough(l / LitresPerGallon) })
	}
	if u == US {
		return gallons("gallons")
	}
	return u.Either(liters, gallons("US gallons"))
}

// Either chooses between measures that the trade gives in round figures of both kinds. The zero Units has the US one in
// brackets behind the other.
func (u Units) Either(metric, us string) string {
	switch u {
	case Metric:
		return metric
	case US:
		return us
	}
	return metric + " (" + us + ")"
}

// measure is a length, a temperature, a sum of degree-days or a weight as profiles write them: "35 to 60 mm",
// "1 to 4 C", "a kilogram".
var measure = sync.OnceValue(func() *regexp.Regexp {
	const number = `(-?[0-9]+(?:\.[0-9]+)?)`
	return regexp.MustCompile(number + `(?: to ` + number + `)? (mm|cm|°?C|degree-days)\b|\ba kilogram\b`)
})

// Measures rewrites the measures in a text of a profile, which are metric. The zero Units leaves it as it
// stands.
func (u Units) Measures(text string) string {
	if u == "" {
		return text
	}
	return measure().ReplaceAllStringFunc(text, func(found string) string {
		part := measure().FindStringSubmatch(found)
		low, _ := strconv.ParseFloat(part[1], 64)
		high := low
		if part[2] != "" {
			high, _ = strconv.ParseFloat(part[2], 64)
		}
		switch {
		case strings.HasSuffix(part[3], "C"):
			return u.Settings(low, high)
		case u == Metric:
			return found
		case part[3] == "":
			return "two pounds"
		case part[3] == "degree-days":
			return run(part[3], []float64{low, high}, func(sum float64) string {
				return strconv.FormatFloat(math.Round(sum*1.8/10)*10, 'f', -1, 64) // the heat is known to tens at best
			})
		case part[3] == "cm":
			low, high = 10*low, 10*high
		}
		return run("in", []float64{low, high}, inches)
	})
}

// inches writes millimetres in inches, as finely as a ruler is read: by tenths up to three, by halves up to ten.
func inches(mm float64) string {
	in := mm / millimetresAnInch
	step := 0.1
	switch {
	case in >= 10:
		step = 1
	case in >= 3:
		step = 0.5
	case in < 0.2:
		step = 0.01
	}
	return strconv.FormatFloat(math.Round(math.Round(in/step)*step*100)/100, 'f', -1, 64)
}

func fahrenheit(celsius float64) float64 { return celsius*1.8 + 32 }

// run writes a figure or a run of figures with its unit.
func run(unit string, values []float64, write func(float64) string) string {
	parts := make([]string, len(values))
	for i, v := range values {
		parts[i] = write(v)
	}
	parts = slices.Compact(parts)
	if len(parts) == 1 && parts[0] == "1" {
		unit = strings.TrimSuffix(unit, "s")
	}
	return strings.Join(parts, " to ") + " " + unit
}

func whole(x float64) string { return fmt.Sprintf("%.0f", x) }

// signed gives a number a true minus sign, and none to nought.
func signed(number string) string {
	if number == "-0" {
		return "0"
	}
	return strings.Replace(number, "-", "−", 1)
}

// Rough writes a figure to two digits, one below one, with narrow no-break spaces (U+202F) between thousands from ten
// thousand on, so that no line ends within it; "0" of none.
func Rough(x float64) string {
	if x <= 0 {
		return "0"
	}
	digits := 1 - int(math.Floor(math.Log10(x)))
	if x < 1 {
		digits-- // a digit less below one
	}
	step := math.Pow(10, -float64(digits))
	text := fmt.Sprintf("%.*f", max(digits, 0), math.Round(x/step)*step)
	if len(text) <= 4 || strings.Contains(text, ".") {
		return text
	}
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "\u202f" + text[i:]
	}
	return text
}
