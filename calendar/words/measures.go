package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// american reports whether measures are told in those of the United States alone. In French the others are usual.
func (l tongue) american() bool { return l.Units == phrase.US }

// setting writes a temperature in degrees Celsius that somebody set, such as a threshold.
func (l tongue) setting(celsius float64) string {
	switch {
	case !isFrench(l.Speech):
		return l.Settings(celsius)
	case l.american():
		celsius = celsius*1.8 + 32
	}
	return l.frenchDegrees(celsius)
}

// limit writes a threshold in degrees Celsius, which is two where it is one by degrees.
func (l tongue) limit(t phenology.Threshold) string {
	switch {
	case !isFrench(l.Speech):
		return l.Settings(t.Low, t.High)
	case t.Low == t.High:
		return l.setting(t.Low)
	}
	return l.setting(t.Low) + " à " + l.setting(t.High)
}

// difference writes a difference of temperatures in degrees Celsius, to the tenth of a degree.
func (l tongue) difference(celsius float64) string {
	switch {
	case !isFrench(l.Speech):
		return l.Apart(1, celsius)
	case l.american():
		celsius *= 1.8
	}
	return l.frenchDegrees(celsius)
}

// frenchDegrees writes degrees, whichever they are, to the tenth.
func (l tongue) frenchDegrees(degrees float64) string {
	return french.Figure(math.Round(degrees*10)/10) + french.NoBreak + l.Degrees()
}

// apart writes a difference of temperatures in degrees Celsius, to the degree.
func (l tongue) apart(celsius float64) string {
	switch {
	case !isFrench(l.Speech):
		return l.Apart(0, celsius)
	case l.american():
		celsius *= 1.8
	}
	return fmt.Sprintf("%.0f", celsius) + french.NoBreak + l.Degrees()
}

// degreeDays writes a sum of degree-days Celsius, without its base.
func (l tongue) degreeDays(sum float64) string {
	if !isFrench(l.Speech) {
		return l.DegreeDays(sum) + " degree-days"
	}
	sum = math.Round(sum)
	if l.american() {
		sum *= 1.8
	}
	return french.About(sum, "degré-jour", "degrés-jours")
}

// nightAndDay names a day with its minimum and maximum, to the degree: "14 Mar −9 to 3 °C", "14 mars, de −9 à 3 °C".
func (l tongue) nightAndDay(day civil.Date, low, high tapping.Celsius) string {
	return l.day(day) + in(l.Speech, " ", ", de ") + NightAndDay(float64(low), float64(high), l.Speech)
}

// NightAndDay writes a day's minimum and maximum, given in degrees Celsius, to the degree.
func NightAndDay(low, high float64, as phrase.Speech) string {
	return as.Reading(low) + in(as, " to ", " à ") + Degrees(high, as)
}

// volumes writes a run of volumes of sap or syrup in litres, to two digits.
func (l tongue) volumes(r tapping.Range) string {
	switch {
	case !isFrench(l.Speech):
		return l.Liquid(r.Low, r.High)
	case l.american():
		return french.RoughRange(r.Low/phrase.LitresPerGallon, r.High/phrase.LitresPerGallon) + " gallons US"
	}
	return french.RoughRange(r.Low, r.High) + " " + plural(math.Round(r.High*10)/10, "litre", "litres")
}

// tenths writes a figure with one decimal.
func (l tongue) tenths(x float64) string {
	if isFrench(l.Speech) {
		return french.Decimal(x, 1)
	}
	return fmt.Sprintf("%.1f", x)
}

// hours counts hours that are known to the hour at best.
func (l tongue) hours(n float64) string {
	if isFrench(l.Speech) {
		return french.About(n, "heure", "heures")
	}
	return fmt.Sprintf("%.0f hours", n)
}

// plural chooses between one and more in French, whose plural begins with two.
func plural(n float64, one, more string) string {
	if n < 2 {
		return one
	}
	return more
}

// figures writes a run of figures in French with no more decimals than they have.
func figures(r tapping.Range) string {
	if r.Low == r.High {
		return french.Figure(r.Low)
	}
	return french.Figure(r.Low) + " à " + french.Figure(r.High)
}
