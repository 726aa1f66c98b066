package weather

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology/problem"
)

const normalsHeader = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","MLY-TMAX-NORMAL","years_MLY-TMAX-NORMAL","MLY-TMIN-NORMAL","years_MLY-TMIN-NORMAL"` + "\n"

// normalsFile is an invented place: in month m the minimum is 14 + m and the maximum 32 + m degrees Fahrenheit.
func normalsFile(months ...int) string {
	var b strings.Builder
	b.WriteString(normalsHeader)
	for _, m := range months {
		fmt.Fprintf(&b, "\"XXT00000001\",\"%02d\",\" 43.5000\",\" -72.2500\",\" 200.5\",\"HILL, XX\",\"%8.1f\",\"30\",\"%8.1f\",\"%d\"\n", m, float64(32+m), float64(14+m), 30-m)
	}
	return b.String()
}

var allMonths = []int{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}

func TestReadNormals(t *testing.T) {
	n, err := ReadNormals(strings.NewReader(gz(normalsFile(allMonths...))), "n.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	for m := 1; m <= 12; m++ {
		// a step of 1 °F is 5/9 °C; 14 and 32 °F are -10 and 0 °C
		if low, high := -10+float64(m)*5/9, float64(m)*5/9; math.Abs(n.Min[m-1]-low) > 1e-6 || math.Abs(n.Max[m-1]-high) > 1e-6 {
			t.Errorf("month %d: %v to %v, want %v to %v", m, n.Min[m-1], n.Max[m-1], low, high)
		}
	}
	if n.Years != 18 || n.Station.ID != "XXT00000001" || n.Station.Name != "HILL, XX" || *n.Station.Elevation != 200.5 {
		t.Errorf("got %d years at %+v", n.Years, n.Station)
	}
	c, err := ReadNormals(strings.NewReader(normalsFile(allMonths...)), "n.csv", Options{Unit: Celsius})
	if err != nil || c.Max[0] != 33 {
		t.Errorf("in Celsius as asked for: %v, %v", c, err)
	}
}

func TestReadNormalsErrors(t *testing.T) {
	whole := normalsFile(allMonths...)
	for _, c := range []struct{ name, text, want string }{
		{"a month lacking", normalsFile(1, 2, 3, 4, 5, 7, 8, 9, 10, 11), "n.csv: the file has no normals for June, December, want all twelve months"},
		{"a month twice", normalsFile(append(allMonths, 3)...), "n.csv:14: DATE: found month 03 again, which line 4 gave, want each once"},
		{"no month", strings.Replace(whole, `"07"`, `"13"`, 1), `n.csv:8: DATE: found "13", want a month from 01 to 12`},
		{"none given", strings.Replace(whole, `"    33.0"`, `" -9999.0"`, 1), "n.csv:2: MLY-TMAX-NORMAL: found -9999, want -130 to 140 degrees Fahrenheit"},
		{"empty", strings.Replace(whole, `"    33.0"`, `""`, 1), "n.csv:2: MLY-TMAX-NORMAL: found nothing, want a number"},
		{"upside down", strings.Replace(whole, `"    33.0"`, `"    13.0"`, 1), "n.csv:2: MLY-TMIN-NORMAL: found a minimum of 15.0 above the maximum of 13.0, want it below"},
		{"two stations", whole + strings.Replace(normalsFile(1), "XXT00000001", "XXT00000002", 1)[len(normalsHeader):], `n.csv: the file holds several stations, "XXT00000001" and "XXT00000002", want one`},
		{"another file", "date,tmin,tmax\n2027-01-01,1,2\n", `n.csv:1: found "date,tmin,tmax", want a header with DATE, MLY-TMIN-NORMAL and MLY-TMAX-NORMAL`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadNormals(strings.NewReader(c.text), "n.csv", Options{})
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
}

func TestNormalsAreNoDailyFile(t *testing.T) {
	_, err := Read(strings.NewReader(normalsFile(1)), "n.csv", Options{})
	p, ok := errors.AsType[problem.Problem](err)
	if want := "these are monthly normals, which stand in for a place without a daily record"; !ok || p.Hint != want {
		t.Errorf("got %v with the hint %q, want %q", err, p.Hint, want)
	}
}

// Source: NOAA NCEI, U.S. Climate Normals 1991-2020, monthly, station USW00094765 (Lebanon Airport, New Hampshire):
// the figures of February, in degrees Fahrenheit.
func TestReadNormalsAsPublished(t *testing.T) {
	f := openShared(t, "normals/monthly_1991-2020_USW00094765.csv")
	n, err := ReadNormals(f, "normals.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := n.Max[1], (33.9-32)/1.8; math.Abs(got-want) > 1e-6 { // February, MLY-TMAX-NORMAL 33.9
		t.Errorf("maximum of February is %v, want %v", got, want)
	}
	if got, want := n.Min[1], (11.0-32)/1.8; math.Abs(got-want) > 1e-6 { // February, MLY-TMIN-NORMAL 11.0
		t.Errorf("minimum of February is %v, want %v", got, want)
	}
	if s := n.Station; s.ID != "USW00094765" || *s.Latitude != 43.6264 || *s.Longitude != -72.3047 || *s.Elevation != 182.3 || n.Years != 22 {
		t.Errorf("got %d years at %+v", n.Years, s)
	}
	for m := range 12 {
		if n.Min[m] >= n.Max[m] || m > 0 && m < 7 && n.Max[m] <= n.Max[m-1] {
			t.Errorf("month %d: %v to %v, after a maximum of %v", m+1, n.Min[m], n.Max[m], n.Max[max(m-1, 0)])
		}
	}
}

// openShared opens a file of the open data that the checks are held against; without them the test is skipped.
func openShared(t testing.TB, name string) *os.File {
	t.Helper()
	const root = "../../../shared/data/"
	f, err := os.Open(root + name)
	if os.IsNotExist(err) {
		t.Skipf("the open data are not there: %s%s", root, name)
	}
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// Whatever the bytes: no panic; an error that names a line, or speaks of the file; or twelve months within the bounds of
// air, no minimum above its maximum.
func FuzzReadNormals(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	whole := normalsFile(allMonths...)
	for _, text := range []string{whole, gz(whole), "", normalsHeader, normalsFile(1, 2, 2), strings.Replace(whole, "33.0", "-9999", 1),
		strings.ReplaceAll(whole, `"`, ""), "DATE,MLY-TMIN-NORMAL,MLY-TMAX-NORMAL\n01,nan,inf\n"} {
		f.Add([]byte(text), "")
		f.Add([]byte(text), "C")
	}
	broken, _ := filepath.Glob("../../testdata/bad/normals/*.csv")
	for _, name := range broken {
		if b, err := os.ReadFile(name); err == nil {
			f.Add(b, "")
		}
	}
	f.Fuzz(func(t *testing.T, text []byte, unit string) {
		opts := Options{Unit: Unit(unit)}
		if unit != "C" && unit != "F" {
			opts.Unit = UnitUnknown
		}
		n, err := ReadNormals(strings.NewReader(string(text)), "a.csv", opts)
		if err != nil {
			var l problem.List
			if n != nil || !errors.As(err, &l) || len(l) == 0 || len(l) > maxProblems+1 {
				t.Fatalf("error %T %v with normals %v", err, err, n)
			}
			for _, p := range l {
				if p.File != "a.csv" || p.Text == "" || p.Line <= 0 && !strings.HasPrefix(p.Text, "the file ") && !strings.HasPrefix(p.Text, "found ") {
					t.Errorf("problem %#v blames neither a line nor the file", p)
				}
				if strings.ContainsAny(p.Error(), "\n\r\x00") {
					t.Errorf("problem %q is not one line", p.Error())
				}
			}
			return
		}
		for m := range n.Min {
			if !(n.Min[m] <= n.Max[m] && n.Min[m] >= coldestAir-1e-9 && n.Max[m] <= hottestAir+1e-9) {
				t.Errorf("month %d: %v to %v", m+1, n.Min[m], n.Max[m])
			}
		}
	})
}
