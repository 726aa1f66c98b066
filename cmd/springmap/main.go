// Command springmap draws a map of the dates of one phase over North America, as treewhen dates it in every cell of its
// built-in climate.
//
//	go run ./cmd/springmap "red maple" bud-break testdata/maps/red-maple-bud-break.svg
package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/profiles"
)

func main() {
	if len(os.Args) != 4 {
		fmt.Fprintln(os.Stderr, "usage: springmap SPECIES PHASE FILE.svg")
		os.Exit(2)
	}
	if err := draw(os.Args[1], os.Args[2], os.Args[3]); err != nil {
		fmt.Fprintln(os.Stderr, "springmap:", err)
		os.Exit(1)
	}
}

// draw draws the middle dates of a phase, as an SVG file.
func draw(species, phaseName, file string) error {
	sp, err := profiles.Builtin().Find(species)
	if err != nil {
		return err
	}
	phase, err := phenology.ParsePhase(phaseName)
	if err != nil {
		return err
	}
	days := map[cell]int{}
	onLand := map[cell]bool{}
	climate.EachCell(func(latitude, longitude, elevation float64) {
		c := cellAt(latitude, longitude)
		onLand[c] = true
		if day, ok := dayAt(sp, phase, latitude, longitude, elevation); ok {
			days[c] = day
		}
	})
	var b bytes.Buffer
	name := phase.String()
	title := fmt.Sprintf("%s of %s:", strings.ToUpper(name[:1])+strings.ReplaceAll(name[1:], "-", " "), sp.Name())
	const note = "the middle date, by the climate of 1991 to 2020. Gray: not native, or no date."
	if err := write(&b, title, note, paint(sp.ID, onLand, days)); err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "springmap: %d of %d cells dated\n", len(days), len(onLand))
	return os.WriteFile(file, b.Bytes(), 0o644)
}

// dayAt returns the day of the year that is the middle date of a phase at a place without temperatures of its own;
// false where there is none.
func dayAt(
	sp *phenology.Species, phase phenology.Phase, latitude, longitude, elevation float64,
) (day int, ok bool) {
	site := phenology.Site{Latitude: latitude, Longitude: longitude, Elevation: elevation, Zone: time.UTC}
	o := &phenology.Outlook{Site: site}
	if temps, ok := phenology.NormalTemperatures(site); ok {
		o.Temps = temps
	}
	e := o.Estimate(sp, season).Get(phase)
	if !e.HasDate() {
		return 0, false
	}
	return e.P50().YearDay(), true
}

// season is the growing year that is dated; no leap year.
const season = 2027
