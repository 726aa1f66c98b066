package page

import (
	"regexp"
	"strconv"
	"testing"

	"treewhen/calendar/words"
)

var rotation = regexp.MustCompile(`rotate\((-?[0-9.]+) 30 12\)`)

// The wings of keys stand as far apart as the middle of what is measured of them.
func TestWingsAreDrawnToTheirDegrees(t *testing.T) {
	for _, row := range [][2]float64{{0, 60}, {40, 70}, {160, 180}, {60, 100}} {
		found := rotation.FindAllStringSubmatch(string(draw(words.Term{Sketch: words.WingAngle, Low: row[0], High: row[1]})), -1)
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
