// Command springmap draws a map of the dates of one phase over North America, from what treewhen says of every cell of
// its built-in climate.
//
//	go run ./cmd/springmap grid DIR "red maple"          # writes DIR/grid.yaml and DIR/grid.csv
//	treewhen phases DIR/grid.yaml --format csv --out DIR/phases.csv
//	go run ./cmd/springmap draw DIR acer-rubrum bud-break testdata/maps/red-maple-bud-break.svg
//
// Species after the first are dated as well, for measuring what the whole grid costs.
package main

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"treewhen/phenology/climate"
	"treewhen/profiles"
)

func main() {
	var err error
	switch args := os.Args[1:]; {
	case len(args) >= 3 && args[0] == "grid":
		err = writeGrid(args[1], args[2:])
	case len(args) == 5 && args[0] == "draw":
		err = draw(args[1], args[2], args[3], args[4])
	default:
		fmt.Fprintln(os.Stderr, "usage: springmap grid DIR SPECIES... | springmap draw DIR SPECIES PHASE FILE.svg")
		os.Exit(2)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "springmap:", err)
		os.Exit(1)
	}
}

// writeGrid writes a plan of all cells.
func writeGrid(dir string, species []string) error {
	plan := "title: Every cell of the built-in climate\nas_of: 2027-01-01\nsites_from: grid.csv\nevery_site:\n" +
		"  timezone: UTC\n  species: [" + strings.Join(species, ", ") + "]\n"
	if err := os.WriteFile(filepath.Join(dir, "grid.yaml"), []byte(plan), 0o644); err != nil {
		return err
	}
	f, err := os.Create(filepath.Join(dir, "grid.csv"))
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "id,latitude,longitude,elevation_m")
	n := 0
	climate.EachCell(func(latitude, longitude, elevation float64) {
		n++
		fmt.Fprintf(w, "cell-%d,%g,%g,%g\n", n, latitude, longitude, elevation)
	})
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}

// draw draws the middle dates of a phase, as an SVG file.
func draw(dir, species, phase, file string) error {
	sp, err := profiles.Builtin().Find(species)
	if err != nil {
		return err
	}
	cells, err := readCells(filepath.Join(dir, "grid.csv"))
	if err != nil {
		return err
	}
	days, err := readDays(filepath.Join(dir, "phases.csv"), sp.ID, phase, cells)
	if err != nil {
		return err
	}
	onLand := map[cell]bool{}
	for _, c := range cells {
		onLand[c] = true
	}
	var b bytes.Buffer
	title := fmt.Sprintf("%s of %s:", strings.ToUpper(phase[:1])+strings.ReplaceAll(phase[1:], "-", " "), sp.Name())
	const note = "the middle date, by the climate of 1991 to 2020. Gray: not native, or no date."
	if err := write(&b, title, note, paint(sp.ID, onLand, days)); err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "springmap: %d of %d cells dated\n", len(days), len(cells))
	return os.WriteFile(file, b.Bytes(), 0o644)
}
