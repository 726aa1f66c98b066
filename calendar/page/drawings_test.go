package page

import (
	"regexp"
	"slices"
	"strconv"
	"testing"

	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
)

var rotation = regexp.MustCompile(`rotate\((-?[0-9.]+) 30 12\)`)

// The wings of keys stand as far apart as the middle of what is measured of them.
func TestWingsAreDrawnToTheirDegrees(t *testing.T) {
	for _, row := range [][2]float64{{0, 60}, {40, 70}, {160, 180}, {60, 100}} {
		found := rotation.FindAllStringSubmatch(draw(words.Term{Sketch: words.WingAngle, Low: row[0], High: row[1]}).String(), -1)
		if len(found) != 2 {
			t.Fatalf("%v: found %d wings", row, len(found))
		}
		a, _ := strconv.ParseFloat(found[0][1], 64)
		b, _ := strconv.ParseFloat(found[1][1], 64)
		if a != -b || b-a != (row[0]+row[1])/2 {
			t.Errorf("%v: found wings at %v and %v", row, a, b)
		}
	}
}

// A scale in degrees Fahrenheit has a line for freezing, and none so near that their names would meet.
func TestScaleMarks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		units     phrase.Units
		want      []string
	}{
		{-25, 15, "", []string{"−20", "−10", "0", "10"}},
		{-25, 15, phrase.Metric, []string{"−20", "−10", "0", "10"}},
		{-25, 15, phrase.US, []string{"0", "20", "32"}},
		{-30, 30, phrase.US, []string{"−20", "0", "20", "60", "80", "32"}},
	} {
		var got []string
		for _, m := range scaleMarks(c.low, c.high, c.units) {
			got = append(got, c.units.Reading(m))
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%v to %v, %q: found %v, want %v", c.low, c.high, c.units, got, c.want)
		}
	}
}
