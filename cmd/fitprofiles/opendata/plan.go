package opendata

import (
	"bytes"
	"fmt"
	"io"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Files returns the forest as a plan with its files, by name: plan.yaml, seen.csv, and the stations as published,
// automatic.csv and manual.csv. Species that has reports whether a species, named by its slug, has a profile; what was
// seen of others is left out.
func (f *Forest) Files(has func(species string) bool) map[string][]byte {
	species := map[string]bool{}
	var seen bytes.Buffer
	seen.WriteString("date,site,species,phase\n")
	for _, s := range f.Seen {
		if has(s.Species) {
			species[s.Species] = true
			fmt.Fprintf(&seen, "%s,%s,%s,%s\n", s.Date, s.Site, s.Species, s.Phase)
		}
	}
	var plan bytes.Buffer
	fmt.Fprintf(&plan, "title: Harvard Forest\nas_of: 2013-12-31\nobservations: seen.csv\nsites:\n  - id: %s\n    "+
		"name: %s\n", f.Site.ID, f.Site.Name)
	fmt.Fprintf(&plan, "    latitude: %g\n    longitude: %g\n    elevation: %g m\n    timezone: %s\n", f.Site.Latitude,
		f.Site.Longitude, f.Site.Elevation, f.Site.Zone)
	// The shift and the offset are what check finds in the files and offers.
	plan.WriteString("    temperatures:\n      - file: automatic.csv\n      - {file: manual.csv, shift: {tmax: -1 " +
		"day}, offset: {tmin: 1.3 C}}\n    species:\n")
	for _, code := range sortedCodes() {
		if species[Species[code]] {
			fmt.Fprintf(&plan, "      - %s\n", Species[code])
		}
	}
	return map[string][]byte{
		"plan.yaml": plan.Bytes(), "seen.csv": seen.Bytes(),
		"automatic.csv": plain(f.Automatic), "manual.csv": plain(f.Manual),
	}
}

func plain(s weather.Series) []byte {
	var b bytes.Buffer
	b.WriteString("date,tmin_c,tmax_c\n")
	for i, d := range s.Days {
		fmt.Fprintf(&b, "%s,", s.First+civil.Date(i))
		number(&b, d.Min)
		b.WriteByte(',')
		number(&b, d.Max)
		b.WriteByte('\n')
	}
	return b.Bytes()
}

func number(w io.Writer, x float64) {
	if x == x {
		fmt.Fprintf(w, "%g", x)
	}
}

// Targets are the twelve series by which the spring models are judged.
func Targets() map[string]bool {
	targets := map[string]bool{}
	for phase, species := range map[phenology.Phase][]string{
		phenology.BudBreak: {"acer-rubrum", "acer-saccharum", "acer-pensylvanicum", "betula-alleghaniensis",
			"fagus-grandifolia", "fraxinus-americana", "quercus-rubra", "quercus-alba"},
		phenology.Flowering: {"acer-rubrum"},
		phenology.LeafOut:   {"acer-rubrum", "acer-saccharum", "quercus-rubra"},
	} {
		for _, id := range species {
			targets[id+" "+phase.String()] = true
		}
	}
	return targets
}
