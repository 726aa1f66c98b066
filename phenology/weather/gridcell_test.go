package weather

import (
	"fmt"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// The shape of the header is the publisher's (from memory); the place and its weather are invented.
const gridHeader = "Latitude: 44.62  Longitude: -89.61\nX & Y on Lambert Conformal Conic: 800000.00 400000.00\nTile: 11999\nElevation: 350 meters\n" +
	"All years; all variables\n" + "year,yday,dayl (s),prcp (mm/day),srad (W/m^2),swe (kg/m^2),tmax (deg c),tmin (deg c),vp (Pa)\n"

// Two years of 365 days, of which the first is a leap year: its day 60 is 29 February and its 31 December is missing.
func TestGridCellCalendar(t *testing.T) {
	var b strings.Builder
	b.WriteString(gridHeader)
	for _, year := range []int{2028, 2029} {
		for yday := 1; yday <= 365; yday++ {
			fmt.Fprintf(&b, "%d,%d,0,0,0,0,%d.50,%d.25,0\n", year, yday, yday/10, yday/10-5)
		}
	}
	r := mustRead(t, b.String(), Options{})
	if got, want := r.Series.Span(), (civil.Span{First: date("2028-01-01"), Last: date("2029-12-31")}); got != want {
		t.Errorf("series covers %v, want %v", got, want)
	}
	for _, c := range []struct {
		day  string
		yday int
	}{{"2028-02-29", 60}, {"2028-03-01", 61}, {"2028-12-30", 365}, {"2029-02-28", 59}, {"2029-03-01", 60}, {"2029-12-31", 365}} {
		want := Day{Min: float64(c.yday/10-5) + 0.25, Max: float64(c.yday/10) + 0.5}
		if c.yday/10 < 5 {
			t.Fatal("the row would be written with the wrong sign")
		}
		if got := r.Series.At(date(c.day)); got != want {
			t.Errorf("%s is %v, want %v as day %d", c.day, got, want, c.yday)
		}
	}
	if got := r.Series.At(date("2028-12-31")); got.Complete() {
		t.Errorf("31 December of a leap year is %v, want missing", got)
	}
	wantNotes(t, r, "gap: a.csv: 31 December is missing in 1 year: this format has none in leap years")
	if s := r.Station; *s.Latitude != 44.62 || *s.Longitude != -89.61 || *s.Elevation != 350 {
		t.Errorf("station %+v", s)
	}
}

func TestGridCellErrors(t *testing.T) {
	row := "2027,%s,0,0,0,0,%s,1,0\n"
	wantError(t, gridHeader+fmt.Sprintf(row, "366", "2"), Options{}, `a.csv:7: yday: found "366", want a day of the year from 1 to 365`, "")
	wantError(t, gridHeader+fmt.Sprintf(row, "12", "warm"), Options{}, `a.csv:7: tmax: found "warm", want a number in degrees Celsius such as 12.5, or nothing where it is missing`, "")
	wantError(t, gridHeader+"27,12,0,0,0,0,2,1,0\n2027,13,0\n2027,14,0,0,0,0,2,cool,0\n", Options{},
		"a.csv:7: year: found \"27\", want a year from 1700 to 2199\na.csv:8: found 3 columns, want the header's 9\n"+
			"a.csv:9: tmin: found \"cool\", want a number in degrees Celsius such as 12.5, or nothing where it is missing", "")
	wantError(t, gridHeader, Options{}, "a.csv: the file has no rows under its header, want one for each day", "")
	r := mustRead(t, gridHeader+fmt.Sprintf(row, "12", "2")+fmt.Sprintf(row, "13", "-9999"), Options{})
	wantSeries(t, r, "2027-01-12", Day{Min: 1, Max: 2}, Day{Min: 1, Max: nan})
}
