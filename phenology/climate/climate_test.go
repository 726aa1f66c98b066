package climate

import (
	"compress/gzip"
	"encoding/csv"
	"io"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// Normals of 1991 to 2020 of stations of the United States in degrees Fahrenheit, minima and maxima, January first:
// NOAA's U.S. Climate Normals, Lebanon's read in the published file, the others recalled and rounded to whole
// degrees (0.16 K).
var stations = []struct {
	name                           string
	latitude, longitude, elevation float64
	low, high                      [12]float64
}{
	{"Lebanon NH", 43.63, -72.30, 182, [12]float64{9.3, 11.0, 20.7, 32.4, 43.3, 53.0, 58.1, 56.3, 48.4, 36.9, 28.1,
		17.3}, [12]float64{30.3, 33.9, 43.5, 57.6, 70.5, 78.8, 83.4, 82.0, 73.9, 60.1, 47.3, 35.8}},
	{"Minneapolis MN", 44.88, -93.23, 255, [12]float64{9, 13, 25, 37, 50, 60, 65, 63, 54, 41, 28, 15},
		[12]float64{24, 29, 42, 57, 69, 79, 83, 81, 73, 58, 42, 29}},
	{"Duluth MN", 46.84, -92.19, 433, [12]float64{2, 6, 18, 30, 41, 50, 56, 55, 47, 36, 23, 10}, [12]float64{19, 24,
		36, 49, 62, 71, 77, 75, 67, 52, 37, 25}},
	{"Des Moines IA", 41.53, -93.65, 292, [12]float64{14, 19, 30, 41, 52, 62, 67, 65, 56, 43, 31, 20},
		[12]float64{31, 36, 50, 62, 73, 82, 86, 84, 77, 64, 48, 36}},
	{"Chicago IL", 41.98, -87.91, 202, [12]float64{19, 22, 31, 40, 51, 61, 66, 65, 57, 45, 34, 24}, [12]float64{32,
		36, 47, 59, 70, 80, 85, 83, 76, 63, 48, 37}},
	{"Knoxville TN", 35.82, -83.99, 293, [12]float64{30, 33, 40, 48, 57, 65, 69, 68, 62, 50, 39, 33}, [12]float64{48,
		53, 62, 71, 79, 86, 88, 88, 83, 72, 60, 51}},
	{"Asheville NC", 35.43, -82.54, 645, [12]float64{28, 31, 37, 45, 53, 61, 65, 64, 58, 47, 37, 31}, [12]float64{48,
		52, 60, 69, 76, 82, 85, 84, 78, 69, 59, 51}},
	{"Albany NY", 42.75, -73.80, 85, [12]float64{15, 17, 26, 37, 48, 57, 62, 60, 52, 41, 32, 23}, [12]float64{32, 35,
		45, 59, 71, 79, 83, 81, 73, 60, 48, 37}},
	{"Burlington VT", 44.47, -73.15, 101, [12]float64{12, 14, 23, 36, 47, 57, 62, 60, 52, 41, 31, 20},
		[12]float64{28, 30, 40, 55, 69, 77, 82, 80, 72, 59, 46, 34}},
	{"Caribou ME", 46.87, -68.01, 190, [12]float64{2, 4, 16, 30, 41, 51, 56, 54, 45, 35, 25, 11}, [12]float64{20, 24,
		34, 48, 63, 72, 77, 75, 66, 52, 38, 26}},
}

// The table comes as near the normals of stations as its documentation says. They are those by which it was made
// warmer, so that their mean tells nothing; what is left of each does.
func TestStationsNormals(t *testing.T) {
	const most, mean = 0.78, 0.15 // K; the second is for the mean of all minima and of all maxima
	var square, low, high, n float64
	for _, s := range stations {
		c, ok := At(s.latitude, s.longitude)
		if !ok || c.Region() != East {
			t.Errorf("%s: found no cell of the east", s.name)
			continue
		}
		there := c.MovedTo(s.elevation)
		var one float64
		for m := range 12 {
			l, h := there.Min[m]-(s.low[m]-32)/1.8, there.Max[m]-(s.high[m]-32)/1.8
			one, low, high = one+l*l+h*h, low+l, high+h
		}
		t.Logf("%-16s cell %4.0f m, station %4.0f m: %.2f K", s.name, c.Elevation, s.elevation, math.Sqrt(one/24))
		square, n = square+one, n+24
	}
	rms := math.Sqrt(square / n)
	t.Logf("all: %.2f K; minima %+.2f, maxima %+.2f", rms, low*2/n, high*2/n)
	if rms > most || math.Abs(low*2/n) > mean || math.Abs(high*2/n) > mean {
		t.Errorf("want at most %.2f K, means within %.2f", most, mean)
	}
}

// The table is its source, cell by cell: at the middle of a cell stand the figures of the file, made warmer.
func TestTableIsItsSource(t *testing.T) {
	rows := source(t)
	for _, r := range rows {
		c, ok := At(r.Latitude, r.Longitude)
		if !ok || math.Abs(c.Elevation-float64(r.Elevation)) > 1e-6 {
			t.Fatalf("%v, %v: found %v m (%v), want %d", r.Latitude, r.Longitude, c.Elevation, ok, r.Elevation)
		}
		share := 1.0
		switch {
		case r.Longitude < fadeTo:
			share = 0
		case r.Longitude < fadesFrom:
			share = (r.Longitude - fadeTo) / (fadesFrom - fadeTo)
		}
		for m := range 12 {
			c.Min[m], c.Max[m] = c.Min[m]-coldMin*share, c.Max[m]-coldMax*share
			if math.Abs(c.Min[m]*10-float64(r.Tenths[m])) > 1e-6 ||
				math.Abs(c.Max[m]*10-float64(r.Tenths[12+m])) > 1e-6 {
				t.Fatalf("%v, %v, month %d: found %v to %v, want %d to %d tenths", r.Latitude, r.Longitude, m+1,
					c.Min[m], c.Max[m], r.Tenths[m], r.Tenths[12+m])
			}
		}
	}
	land := 0
	for _, b := range table().blocks {
		for _, r := range b.cells {
			if r != nil {
				land++
			}
		}
	}
	if land != len(rows) {
		t.Errorf("found %d cells of land, want %d", land, len(rows))
	}
}

// How a cell is best told from its neighbours: each left out in turn, by the mean of the four about it at one
// height, and by the nearest alone, moved by height.
func TestNeighboursTellACell(t *testing.T) {
	t.Logf("%d cells", len(source(t)))
	all := table()
	var between, nearest, bare, n float64
	for at := range all.blocks {
		for i := range block * block {
			row, column := at[0]*block+i/block, at[1]*block+i%block
			r := all.at(row, column)
			around := []*record{all.at(row, column-1), all.at(row, column+1), all.at(row-1, column), all.at(row+1,
				column)}
			if r == nil || around[0] == nil || around[1] == nil || around[2] == nil || around[3] == nil {
				continue
			}
			var is, four, one Cell
			is.add(r, 1)
			for _, a := range around {
				four.add(a, 0.25)
			}
			one.add(around[0], 1)
			for m := range 12 {
				between += math.Pow(is.Min[m]-four.Min[m], 2) + math.Pow(is.Max[m]-four.Max[m], 2)
				nearest += math.Pow(is.Min[m]-one.Min[m], 2) + math.Pow(is.Max[m]-one.Max[m], 2)
				bare += math.Pow(float64(r.tenths[m]-around[0].tenths[m])/10, 2) +
					math.Pow(float64(r.tenths[12+m]-around[0].tenths[12+m])/10, 2)
			}
			n += 24
		}
	}
	b, c, d := math.Sqrt(between/n), math.Sqrt(nearest/n), math.Sqrt(bare/n)
	t.Logf("between four at one height %.3f K, the nearest moved by height %.3f, the nearest as it is %.3f", b, c, d)
	if !(b < c && c < d) {
		t.Error("want interpolation with height to be the best, the nearest cell as it is the worst")
	}
}

// The standard deviations are those of the station at Harvard Forest (Harvard Forest Data Archive, HF000, 1980 to
// 2002), each month about its own mean. The lines leave 0.41 K; one place may be off by twice that.
func TestDailySD(t *testing.T) {
	f, err := os.Open("../../../shared/data/harvard-forest/shaler-daily-1980-2002.csv")
	if os.IsNotExist(err) {
		t.Skip("the open data are not here: ../shared/data/harvard-forest")
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	months := map[string][]float64{}
	for _, r := range rows[1:] {
		low, err1 := strconv.ParseFloat(r[3], 64)
		high, err2 := strconv.ParseFloat(r[2], 64)
		if err1 == nil && err2 == nil {
			months[r[0][:7]] = append(months[r[0][:7]], (low+high)/2)
		}
	}
	var square, n [12]float64
	for name, days := range months {
		m, err := strconv.Atoi(name[5:])
		if err != nil {
			t.Fatal(err)
		}
		mean := 0.0
		for _, d := range days {
			mean += d / float64(len(days))
		}
		for _, d := range days {
			square[m-1] += (d - mean) * (d - mean)
		}
		n[m-1] += float64(len(days) - 1)
	}
	c, _ := At(42.53, -72.19)
	for m, sd := range c.DailySD() {
		measured := math.Sqrt(square[m] / n[m])
		t.Logf("month %d: %.2f K, measured %.2f", m+1, sd, measured)
		if math.Abs(sd-measured) > 0.82 {
			t.Errorf("month %d: found %.2f K, want %.2f to 0.82", m+1, sd, measured)
		}
	}
}

func TestRegions(t *testing.T) {
	for _, tt := range []struct {
		name     string
		lat, lon float64
		want     Region
	}{
		{"Petersham MA", 42.49, -72.19, East},
		{"Asheville NC", 35.6, -82.55, East},
		{"Madison WI", 43.07, -89.4, East},
		{"Winnipeg MB", 49.9, -97.14, East},
		{"Amarillo TX", 35.2, -101.83, West},
		{"Bismarck ND", 46.8, -100.78, West},
		{"Denver CO", 39.74, -104.99, West},
		{"Edmonton AB", 53.55, -113.49, North},
		{"San Francisco CA", 37.77, -122.42, CaliforniaCoast},
		{"Los Angeles CA", 34.05, -118.24, CaliforniaCoast},
		{"Leadville CO", 39.25, -106.29, Mountains},
		{"Truckee CA", 39.33, -120.18, Mountains},
		{"Banff AB", 51.18, -115.57, Mountains},
		{"Salt Lake City UT", 40.76, -111.89, Mountains},
	} {
		c, ok := At(tt.lat, tt.lon)
		if got := c.Region(); !ok || got != tt.want {
			t.Errorf("%s: found %v (relief %.0f m), want %v", tt.name, got, c.Relief, tt.want)
		}
		if rms, trusted := c.Error(); !(rms >= 0.78 && rms < 3) || trusted != (tt.want <= North) {
			t.Errorf("%s: %v K, trusted %v", tt.name, rms, trusted)
		}
	}
}

func TestNoLand(t *testing.T) {
	for _, p := range [][2]float64{{0, 0}, {51.5, -0.1}, {40, -60}, {-42.5, -72.2}, {89.9, 0}, {90, 180}, {91, 0},
		{40, -200}, {math.NaN(), -72}, {40, math.Inf(-1)}, {30, -140}, {24.55, -81.78}} {
		if c, ok := At(p[0], p[1]); ok {
			t.Errorf("%v: found %+v, want nothing", p, c)
		}
	}
	for _, p := range [][2]float64{{41.28, -70.1}, {42.36, -71.05}} { // Nantucket, Boston
		if _, ok := At(p[0], p[1]); !ok {
			t.Errorf("%v: found nothing, want land", p)
		}
	}
}

// Whatever the point: no panic, numbers, minima not above maxima; no cliff between a point and one a hundred metres
// off, but at coasts, where cells end.
func TestAnyPoint(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lat, lon := rapid.Float64Range(24.5, 71.5).Draw(rt, "lat"), rapid.Float64Range(-169, -53).Draw(rt, "lon")
		c, ok := At(lat, lon)
		if !ok {
			return
		}
		height := rapid.Float64Range(-100, 4500).Draw(rt, "height")
		for _, c := range []Cell{c, c.MovedTo(height)} {
			for m := range 12 {
				if !(c.Min[m] <= c.Max[m] && c.Min[m] > -60 && c.Max[m] < 75) {
					rt.Fatalf("%v, %v at %v m, month %d: %v to %v", lat, lon, c.Elevation, m+1, c.Min[m], c.Max[m])
				}
			}
		}
		for m, sd := range c.DailySD() {
			if !(sd >= leastSpread && sd < 13) {
				rt.Fatalf("%v, %v: month %d: spread %v K", lat, lon, m+1, sd)
			}
		}
		if back := c.MovedTo(c.Elevation + 300).MovedTo(c.Elevation); math.Abs(back.Min[0]-c.Min[0]) > 1e-9 {
			rt.Fatalf("up and down again: %v, was %v", back.Min[0], c.Min[0])
		}
		there, ok := At(lat+0.001, lon)
		if !ok || c.atCoast() || there.atCoast() {
			return
		}
		if d := math.Abs(there.MovedTo(c.Elevation).Min[0] - c.Min[0]); d > 0.1 {
			rt.Fatalf("%v, %v: a step of %v K to the north", lat, lon, d)
		}
	})
}

// atCoast reports whether one of the cells about is not land.
func (c Cell) atCoast() bool {
	y, x := int(math.Floor(c.Latitude/step-0.5)), int(math.Floor(c.Longitude/step-0.5))
	for _, r := range []int{y, y + 1} {
		for _, col := range []int{x, x + 1} {
			if table().at(r, col) == nil {
				return true
			}
		}
	}
	return false
}

// Packed and unpacked, any rows come back; broken bytes are an error, never a panic.
func TestPack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rows := map[[2]int]Row{}
		for range rapid.IntRange(1, 60).Draw(rt, "cells") {
			at := [2]int{rapid.IntRange(-20, 40).Draw(rt, "row"), rapid.IntRange(-40, 20).Draw(rt, "column")}
			r := Row{Latitude: (float64(at[0]) + 0.5) * step, Longitude: (float64(at[1]) + 0.5) * step,
				Elevation: rapid.IntRange(-90, 4000).Draw(rt, "elevation")}
			for m := range r.Tenths {
				r.Tenths[m] = rapid.IntRange(-600, 500).Draw(rt, "tenths")
			}
			rows[at] = r
		}
		var list []Row
		for _, r := range rows {
			list = append(list, r)
		}
		data, err := Pack(list)
		if err != nil {
			rt.Fatal(err)
		}
		got, err := index(data)
		if err != nil {
			rt.Fatal(err)
		}
		for at, want := range rows {
			r := got.at(at[0], at[1])
			if r == nil || int(r.elevation) != want.Elevation {
				rt.Fatalf("%v: found %v, want %v", at, r, want)
			}
			for m := range r.tenths {
				if int(r.tenths[m]) != want.Tenths[m] {
					rt.Fatalf("%v: found %v, want %v", at, r, want)
				}
			}
		}
	})
	if _, err := Pack([]Row{{Latitude: 40, Longitude: -72.125}}); err == nil {
		t.Error("found no error for a cell off the grid")
	}
	if _, err := Pack([]Row{{Latitude: 40.125, Longitude: -72.125, Elevation: 7001}}); err == nil {
		t.Error("found no error for a mountain that is none")
	}
	if _, err := Pack([]Row{{Latitude: 40.125, Longitude: -72.125}, {Latitude: 40.125,
		Longitude: -72.125}}); err == nil {
		t.Error("found no error for a cell that stands twice")
	}
}

func FuzzIndex(f *testing.F) {
	data, err := Pack([]Row{{Latitude: 40.125, Longitude: -72.125}, {Latitude: 44.125, Longitude: -72.125,
		Elevation: 3}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add(normals[:2000])
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := index(data)
		if err != nil {
			return
		}
		for _, b := range got.blocks {
			if err := b.unpack(&got.model); err == nil && len(b.packed) == 0 {
				t.Error("nothing unpacked to something")
			}
		}
	})
}

func source(t *testing.T) (rows []Row) {
	t.Helper()
	const path = "../../../shared/data/climate/north-america-normals-1991-2020.csv.gz"
	f, err := os.Open(path)
	if os.IsNotExist(err) {
		t.Skipf("the source of the table is not here: %s", path)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	lines := csv.NewReader(z)
	if _, err := lines.Read(); err != nil {
		t.Fatal(err)
	}
	for {
		l, err := lines.Read()
		if err == io.EOF {
			return rows
		}
		if err != nil {
			t.Fatal(err)
		}
		var v [27]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(l[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		r := Row{Latitude: v[0], Longitude: v[1], Elevation: int(v[2])}
		for m := range r.Tenths {
			r.Tenths[m] = int(math.Round(v[3+m] * 10))
		}
		rows = append(rows, r)
	}
}

// The first look-up of a run, with the index read and the blocks about one point unpacked.
func BenchmarkFirst(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		t, err := index(normals)
		if err != nil {
			b.Fatal(err)
		}
		if t.at(170, -289) == nil {
			b.Fatal("no land")
		}
	}
}

func BenchmarkAt(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		At(42.53, -72.19)
	}
}
