package main

import (
	"encoding/base64"
	"encoding/xml"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/profiles"
	"treewhen/profiles/ranges"
)

// A point goes to the map and back, and the projection keeps areas: a quarter of a degree far north is as much smaller
// on the map as it is on a sphere.
func TestProjection(t *testing.T) {
	area := func(latitude float64) float64 {
		x0, y0 := project(latitude, -90)
		x1, y1 := project(latitude, -89.9)
		x2, y2 := project(latitude+0.1, -90)
		return math.Abs((x1-x0)*(y2-y0) - (x2-x0)*(y1-y0))
	}
	for _, p := range [][2]float64{{30, -95}, {46, -86}, {60, -120}} {
		latitude, longitude := unproject(project(p[0], p[1]))
		if math.Abs(latitude-p[0]) > 1e-9 || math.Abs(longitude-p[1]) > 1e-9 {
			t.Errorf("%v comes back as %v, %v", p, latitude, longitude)
		}
		cos := func(d float64) float64 { return math.Cos((d + 0.05) * math.Pi / 180) }
		if want, got := cos(p[0])/cos(40), area(p[0])/area(40); math.Abs(got/want-1) > 0.01 {
			t.Errorf("at %v: area %.4f of that at 40 degrees, want %.4f", p[0], got, want)
		}
	}
}

// The climate has a cell for each of the 43,199 rows of its source, each where its climate is.
func TestCells(t *testing.T) {
	n := 0
	climate.EachCell(func(latitude, longitude, elevation float64) {
		n++
		if c, ok := climate.At(latitude, longitude); !ok || math.Abs(c.Elevation-elevation) > 1e-6 {
			t.Fatalf("%v, %v: %v m, want %v", latitude, longitude, c.Elevation, elevation)
		}
	})
	if n != 43199 {
		t.Errorf("%d cells, want 43199", n)
	}
}

func TestUnknownSpeciesAndPhases(t *testing.T) {
	picture := filepath.Join(t.TempDir(), "map.svg")
	if err := draw("green maple", "bud-break", picture); err == nil {
		t.Error("found no error for a species that there is not")
	}
	if err := draw("red maple", "bud-brake", picture); err == nil {
		t.Error("found no error for a phase that there is not")
	}
}

// painted reads the cells out of a map.
func painted(t *testing.T, file string) *image.Paletted {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(text, &struct{ XMLName xml.Name }{}); err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(text), "base64,")
	data, _, _ := strings.Cut(rest, `"`)
	img, err := png.Decode(base64.NewDecoder(base64.StdEncoding, strings.NewReader(data)))
	if err != nil {
		t.Fatal(err)
	}
	return img.(*image.Paletted)
}

// The map that is kept shows what is dated today: at each 150th cell, in its middle, and it is small enough to load.
func TestKeptMap(t *testing.T) {
	const file = "../../testdata/maps/red-maple-bud-break.svg"
	if info, err := os.Stat(file); err != nil || info.Size() > 300_000 {
		t.Fatalf("%v, %v, want 300 kB at most", info, err)
	}
	img := painted(t, file)
	sp, err := profiles.Builtin().Find("red maple")
	if err != nil {
		t.Fatal(err)
	}
	n, dated := 0, 0
	climate.EachCell(func(latitude, longitude, elevation float64) {
		if n++; n%150 != 0 {
			return
		}
		middle := cellAt(latitude, longitude)
		x, y := project((float64(middle.row)+0.5)/4, (float64(middle.column)+0.5)/4)
		if x < 0 || y < 0 || x >= width || y >= height {
			return
		}
		want := uint8(land)
		day, ok := dayAt(sp, phenology.BudBreak, latitude, longitude, elevation)
		if native, _ := ranges.At(sp.ID, latitude, longitude); native && ok {
			want = bandOf(day)
			dated++
		}
		if got := img.ColorIndexAt(int(fine*x), int(fine*y)); got != want {
			t.Errorf("%v, %v: painted as band %d, dated in %d", latitude, longitude, got, want)
		}
	})
	if dated < 30 {
		t.Errorf("only %d dated cells were looked at", dated)
	}
}
