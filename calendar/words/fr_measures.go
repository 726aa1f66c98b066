package words

import (
	"math"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
)

// American reports whether measures are told in those of the United States. In French the others are usual.
func (f inFrench) american() bool { return f.Units == phrase.US }

// degrees writes a temperature, given in degrees Celsius, to the tenth of a degree.
func (f inFrench) degrees(c float64) string {
	if f.american() {
		c = c*1.8 + 32
	}
	return french.Figure(math.Round(c*10)/10) + french.NoBreak + f.Degrees()
}

// height writes a height in metres.
func (f inFrench) height(metres float64) string {
	if f.american() {
		return strings.Replace(f.Height(metres), "ft", "pi", 1)
	}
	return f.Height(metres)
}

// difference writes a difference of temperatures, given in degrees Celsius, to the tenth of a degree.
func (f inFrench) difference(c float64) string {
	if f.american() {
		c *= 1.8
	}
	return french.Figure(math.Round(c*10)/10) + french.NoBreak + f.Degrees()
}

// degreeDays turns degree-days Celsius into those that are told.
func (f inFrench) degreeDays(n int) int {
	if f.american() {
		return int(math.Round(float64(n) * 1.8))
	}
	return n
}

// nightAndDay writes a day's minimum and maximum, given in degrees Celsius, to the degree: "de −9 à 3 °C".
func (f inFrench) nightAndDay(low, high float64) string {
	return "de " + f.Reading(low) + " à " + f.Reading(high) + french.NoBreak + f.Degrees()
}

// volumes writes a run of volumes, given in litres, to two digits.
func (f inFrench) volumes(r tapping.Range) string {
	if f.american() {
		return french.RoughRange(r.Low/phrase.LitresPerGallon, r.High/phrase.LitresPerGallon) + " gallons US"
	}
	return french.RoughRange(r.Low, r.High) + " " + plural(math.Round(r.High*10)/10, "litre", "litres")
}

// figures writes a run of figures with no more decimals than they have.
func figures(r tapping.Range) string {
	if r.Low == r.High {
		return french.Figure(r.Low)
	}
	return french.Figure(r.Low) + " à " + french.Figure(r.High)
}

// volume writes a volume, given in litres, to two digits.
func (f inFrench) volume(l float64) string { return f.volumes(tapping.Range{Low: l, High: l}) }

// length writes a length of the trade in one unit of the two that are given, as it stands in figures.
func (f inFrench) length(metric, american string) string {
	if f.american() {
		return american
	}
	return metric
}
