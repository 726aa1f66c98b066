package strictyaml

import (
	"fmt"
	"slices"
	"strings"
)

// Dimension is a kind of quantity with the units that it may be written in.
type Dimension struct {
	example string
	units   []unit
}

type unit struct {
	names  []string
	toBase func(float64) float64
}

func times(factor float64) func(float64) float64 {
	return func(x float64) float64 { return x * factor }
}

// The dimensions. The foot is the international one of 1959: 0.3048 m exactly.
var (
	// Length is in metres.
	Length = Dimension{"350 m or 1150 ft", []unit{
		{[]string{"m"}, times(1)},
		{[]string{"ft"}, times(0.3048)},
		{[]string{"km"}, times(1000)},
	}}
	// Temperature is in degrees Celsius.
	Temperature = Dimension{"4 C or 40 F", []unit{
		{[]string{"C"}, times(1)},
		{[]string{"F"}, func(f float64) float64 { return (f - 32) / 1.8 }},
	}}
	// TemperatureDifference is in degrees Celsius: a number of degrees, not a reading of a thermometer.
	TemperatureDifference = Dimension{"1.5 C or 2.7 F", []unit{
		{[]string{"C"}, times(1)},
		{[]string{"F"}, times(1 / 1.8)},
	}}
	// Days is in days.
	Days = Dimension{"60 days or 8 weeks", []unit{
		{[]string{"days", "day"}, times(1)},
		{[]string{"weeks", "week"}, times(7)},
	}}
	// Years is in years.
	Years = Dimension{"3 years", []unit{{[]string{"years", "year"}, times(1)}}}
)

const numberPattern = `([-+]?[0-9.]+(?:[eE][-+]?[0-9]+)?)`

var quantityForm = compiled(`^` + numberPattern + `(?: to ` + numberPattern + `)?(?: ?([A-Za-z°]+))?$`)

// quantities reads "N UNIT", or "N to M UNIT" where a run is allowed.
func (v Value) quantities(d Dimension, run bool) (low, high float64, ok bool) {
	example := d.example
	if example == "" {
		example = "3 or 3 to 7"
	} else if run {
		first := strings.Fields(d.example)
		example = fmt.Sprintf("%s %s or %s to %s %s", first[0], first[1], first[0], first[0]+"0", first[1])
	}
	want := "a number with its unit such as " + example
	if len(d.units) == 0 {
		want = "a number or a run of numbers such as " + example
	}
	s, ok := v.scalar(want)
	if !ok {
		return 0, 0, false
	}
	m := quantityForm().FindStringSubmatch(s)
	refuse := func(want string) (low, high float64, ok bool) {
		v.Report("found %s, want %s", quote(v.node), want)
		return 0, 0, false
	}
	if m == nil || !run && m[2] != "" || len(d.units) == 0 && m[3] != "" {
		return refuse(want)
	}
	low, text := decimal.read(m[1])
	high = low
	if text == "" && m[2] != "" {
		high, text = decimal.read(m[2])
	}
	if text != "" {
		return refuse(text)
	}
	if len(d.units) > 0 {
		i := slices.IndexFunc(d.units, func(u unit) bool { return slices.Contains(u.names, m[3]) })
		if i < 0 {
			return refuse(want)
		}
		low, high = d.units[i].toBase(low), d.units[i].toBase(high)
	}
	if low > high {
		return refuse("the lower figure first")
	}
	return low, high, true
}
