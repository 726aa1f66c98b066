package ranges

import (
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"io"
	"math"
	"math/bits"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// Where trees are at home by what handbooks say in words (Silvics of North America, Agriculture Handbook 654,
// volume 2, from memory), far enough from the edges of their ranges that no map draws it otherwise.
func TestAtHome(t *testing.T) {
	for _, tt := range []struct {
		species  string
		lat, lon float64
		inside   bool
		km, tol  float64
	}{
		{"acer-saccharum", 44.3, -72.6, true, 0, 0},
		{"acer-saccharum", 27.5, -81.5, false, 720, 120}, // middle of Florida; the north of Georgia has it
		{"acer-macrophyllum", 44.0, -123.1, true, 0, 0},  // Oregon
		{"acer-macrophyllum", 44.3, -72.6, false, 3700, 300},
		{"liriodendron-tulipifera", 36.0, -83.9, true, 0, 0},
		{"liriodendron-tulipifera", 46.8, -92.1, false, 620, 150}, // Duluth; southern Michigan and Indiana have it
		{"picea-glauca", 62.5, -114.4, true, 0, 0},                // Yellowknife
		{"abies-balsamea", 46.8, -68.0, true, 0, 0},
		{"populus-tremuloides", 39.2, -106.3, true, 0, 0}, // Colorado's mountains
		{"quercus-alba", 51.5, -0.1, false, 4800, 400},    // London
	} {
		inside, known := At(tt.species, tt.lat, tt.lon)
		km, _ := Kilometres(tt.species, tt.lat, tt.lon)
		if !known || inside != tt.inside || math.Abs(km-tt.km) > tt.tol {
			t.Errorf("%s at %v, %v: found inside %v (known %v), %.0f km, want %v, %.0f", tt.species, tt.lat, tt.lon,
				inside, known, km, tt.inside, tt.km)
		}
	}
	if _, known := At("acer-platanoides", 44, -72); known {
		t.Error("Norway maple was brought to the continent and has no range on it")
	}
	if _, known := Kilometres("acer-platanoides", 44, -72); known {
		t.Error("Norway maple has a distance to no range")
	}
	if n := len(Species()); n != 59 {
		t.Errorf("found %d species, want 59", n)
	}
}

// The nearest cell is the nearest: the search by rows against looking at every cell, for any point on Earth.
func TestNearestOfAllCells(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		id := rapid.SampledFrom(Species()).Draw(rt, "species")
		lat, lon := rapid.Float64Range(-20, 89).Draw(rt, "lat"), rapid.Float64Range(-180, 180).Draw(rt, "lon")
		if rapid.Bool().Draw(rt, "near") {
			lat, lon = rapid.Float64Range(24, 72).Draw(rt, "near lat"), rapid.Float64Range(-170, -52).Draw(rt,
				"near lon")
		}
		got, known := Kilometres(id, lat, lon)
		inside, _ := At(id, lat, lon)
		// On the edge of a cell that it is not in, a point is none the less 0 km from it.
		edge := math.Mod(lat, step) == 0 || math.Mod(lon, step) == 0
		if !known || inside != (got == 0) && (inside || !edge) {
			rt.Fatalf("%s at %v, %v: %v km, inside %v", id, lat, lon, got, inside)
		}
		best := math.Inf(1)
		r := of(id)
		for row := range rows {
			for column := range columns {
				if !r.has(row, column) {
					continue
				}
				low, left := south+float64(row)*step, west+float64(column)*step
				middle := left + step/2
				off := math.Remainder(lon-middle, 360)
				off = math.Copysign(max(0, math.Abs(off)-step/2), off)
				best = min(best, kilometres(lat, 0, max(low, min(lat, low+step)), off))
			}
		}
		// Far from the continent the nearest point of a cell may be none of those that are looked at, by less than
		// a cell.
		if tol := 1e-6 + got/1000; math.Abs(got-best) > tol {
			rt.Fatalf("%s at %v, %v: %v km, want %v", id, lat, lon, got, best)
		}
	})
	if _, known := Kilometres("acer-rubrum", math.NaN(), 0); known {
		t.Error("a point that is none has a distance")
	}
}

// The table is its source, bit by bit, and each species has as many cells as the source's list says.
func TestTableIsItsSource(t *testing.T) {
	const folder = "../../../shared/data/ranges/"
	list, err := os.Open(folder + "ranges.csv")
	if os.IsNotExist(err) {
		t.Skipf("the source of the table is not here: %s", folder)
	}
	if err != nil {
		t.Fatal(err)
	}
	defer list.Close()
	f, err := os.Open(folder + "ranges-quarter-degree.bin.gz")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	z, err := gzip.NewReader(f)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(list).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) != len(Species()) {
		t.Errorf("found %d species, want %d", len(Species()), len(lines))
	}
	for _, l := range lines {
		want := make([]byte, RasterBytes)
		if _, err := io.ReadFull(z, want); err != nil {
			t.Fatal(err)
		}
		r := of(l[0])
		if r == nil || !bytes.Equal(r.bits, want) {
			t.Errorf("%s: not as its source has it", l[0])
			continue
		}
		cells := 0
		for _, b := range r.bits {
			cells += bits.OnesCount8(b)
		}
		if n, err := strconv.Atoi(l[2]); err != nil || n != cells {
			t.Errorf("%s: found %d cells, want %s", l[0], cells, l[2])
		}
	}
}

func TestPackRefuses(t *testing.T) {
	full := make([]byte, RasterBytes)
	if _, err := Pack([]Raster{{"a", full}, {"a", full}}); err == nil {
		t.Error("found no error for a species that stands twice")
	}
	if _, err := Pack([]Raster{{"a", full[1:]}}); err == nil {
		t.Error("found no error for a raster that is short")
	}
}

func FuzzRead(f *testing.F) {
	data, err := Pack([]Raster{{"a", make([]byte, RasterBytes)}, {"b", bytes.Repeat([]byte{0x55}, RasterBytes)}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add(packed)
	f.Add([]byte{1, 1, 'a', 200})
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := read(data)
		if err != nil {
			return
		}
		for _, r := range got.rasters {
			if b, err := r.unpack(); err == nil && len(b) != RasterBytes {
				t.Errorf("found %d bytes", len(b))
			}
		}
	})
}

func BenchmarkNativeFirst(b *testing.B) {
	for b.Loop() {
		t, err := read(packed)
		if err != nil {
			b.Fatal(err)
		}
		for _, id := range t.species {
			if _, err := t.rasters[id].unpack(); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkKilometres(b *testing.B) {
	for b.Loop() {
		Kilometres("liriodendron-tulipifera", 46.8, -92.1)
	}
}
