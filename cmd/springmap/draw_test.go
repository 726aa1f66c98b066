package main

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"treewhen/phenology/climate"
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

// The grid has every cell of the climate (43,199 rows of its source), each where its climate is.
func TestGrid(t *testing.T) {
	dir := t.TempDir()
	if err := writeGrid(dir, []string{"red maple"}); err != nil {
		t.Fatal(err)
	}
	cells, err := readCells(filepath.Join(dir, "grid.csv"))
	if err != nil || len(cells) != 43199 {
		t.Errorf("%d cells, %v, want 43199", len(cells), err)
	}
	climate.EachCell(func(latitude, longitude, elevation float64) {
		if c, ok := climate.At(latitude, longitude); !ok || math.Abs(c.Elevation-elevation) > 1e-6 {
			t.Fatalf("%v, %v: %v m, want %v", latitude, longitude, c.Elevation, elevation)
		}
	})
	rows := "site,species,phase,season,p10,p50,p90,basis,years\n" +
		"cell-1,acer-rubrum,bud-break,2027,2027-02-01,2027-03-01,2027-04-01,normals,0\n"
	if err := os.WriteFile(filepath.Join(dir, "phases.csv"), []byte(rows), 0o644); err != nil {
		t.Fatal(err)
	}
	picture := filepath.Join(dir, "map.png")
	if err := draw(dir, "acer-rubrum", "bud-break", picture); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(picture); err != nil || info.Size() < 1000 {
		t.Errorf("%v, %v", info, err)
	}
}
