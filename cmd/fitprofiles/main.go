// Command fitprofiles fits the models of the built-in species to open observations and writes them into their profiles:
// the dating of a phase, and nothing else, is replaced.
//
//	go run ./cmd/fitprofiles ../shared/data profiles/species
//
// The first folder holds harvard-forest and montreal as their publishers give them (see package opendata).
package main

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/fit"
	"treewhen/phenology/opendata"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

func main() {
	if len(os.Args) != 3 {
		fmt.Fprintln(os.Stderr, "usage: fitprofiles DATA PROFILES")
		os.Exit(2)
	}
	if err := run(os.DirFS(os.Args[1]), os.Args[2]); err != nil {
		fmt.Fprintln(os.Stderr, "fitprofiles:", err)
		os.Exit(1)
	}
}

// derived are the species without observations whose spring is told by another's: how many days earlier or later they
// come is the difference of the two profiles' reference dates.
var derived = map[string]string{
	"acer-saccharinum": "acer-rubrum", "acer-platanoides": "acer-saccharum", "acer-negundo": "acer-saccharum",
}

// canopy are the trees whose autumn was taken together: the shift with September's warmth is too small to be told for
// each.
var canopy = []string{"acer-pensylvanicum", "acer-rubrum", "acer-saccharum", "betula-alleghaniensis", "betula-lenta",
	"betula-papyrifera", "fagus-grandifolia", "fraxinus-americana", "nyssa-sylvatica", "prunus-serotina", "quercus-alba",
	"quercus-rubra", "quercus-velutina"}

// beats is how much better than the mean date a model must be on years left out to be published: as good is not better.
const beats = 0.95

var spring = []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafOut}

type fitter struct {
	forest *opendata.Forest
	temps  *phenology.Temperatures
	folder string
}

func run(data fs.FS, folder string) error {
	forest, temps, err := observed(data)
	if err != nil {
		return err
	}
	f := &fitter{forest: forest, temps: temps, folder: folder}
	autumn := f.autumn()
	library := profiles.Builtin()
	for _, sp := range library.All() {
		blocks := map[phenology.Phase]string{}
		for _, phase := range spring {
			if r := sp.Phase(phase); r != nil {
				blocks[phase] = f.spring(library, sp, r)
			}
		}
		if slices.Contains(canopy, sp.ID) {
			for phase, block := range autumn {
				if r := sp.Phase(phase); r != nil && len(r.References) > 0 {
					blocks[phase] = block
				}
			}
		}
		if err := rewrite(filepath.Join(folder, sp.ID+".yaml"), blocks); err != nil {
			return err
		}
	}
	return nil
}

// observed reads the forest and its temperatures, gaps filled from Montreal.
func observed(data fs.FS) (*opendata.Forest, *phenology.Temperatures, error) {
	sub, err := fs.Sub(data, "harvard-forest")
	if err != nil {
		return nil, nil, err
	}
	forest, err := opendata.HarvardForest(sub)
	if err != nil {
		return nil, nil, err
	}
	names, err := fs.Glob(data, "montreal/*.csv")
	if err != nil {
		return nil, nil, err
	}
	var neighbour weather.Series
	for _, name := range names {
		file, err := data.Open(name)
		if err != nil {
			return nil, nil, err
		}
		rec, err := weather.Read(file, name, weather.Options{})
		file.Close()
		if err != nil {
			return nil, nil, err
		}
		neighbour = weather.Merge(neighbour, rec.Series)
	}
	return forest, phenology.NewTemperatures(forest.Site, forest.Temperatures(neighbour)), nil
}

// years returns the years in which a phase of a species was seen, moved by so many days.
func (f *fitter) years(species string, phase phenology.Phase, days float64) []fit.Year {
	var list []fit.Year
	for year, day := range f.forest.Years(species, phase) {
		list = append(list, fit.Year{Season: f.forest.Site.Season(year), Day: day + days})
	}
	slices.SortFunc(list, func(a, b fit.Year) int { return a.Season.Year - b.Season.Year })
	return list
}

// spring returns the dating of a spring phase, "" to take away one of these fits, "-" to leave what is there.
func (f *fitter) spring(library *profiles.Library, sp *phenology.Species, r *phenology.PhaseRecord) string {
	const keep = "-"
	if years := f.years(sp.ID, r.Phase, 0); len(years) > 0 {
		got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), years)
		switch {
		case err != nil:
			fmt.Printf("%s %s: not fitted: %v\n", sp.ID, r.Phase, err)
			return ""
		case got.RMSE > beats*got.MeanRMSE:
			fmt.Printf("%s %s: mean date kept: %.2f days against %.2f\n", sp.ID, r.Phase, got.RMSE, got.MeanRMSE)
			return ""
		}
		fmt.Printf("%s %s: %d years, %.2f days against %.2f, residual %.2f\n", sp.ID, r.Phase, got.Years, got.RMSE, got.MeanRMSE, got.Residual)
		score := fmt.Sprintf("      score: {years: %d, rmse: %.1f, mean-date-rmse: %.1f}\n", got.Years, got.RMSE, got.MeanRMSE)
		return block(got.Models, got.Residual, score, "hf-thermal-time")
	}
	ref := r.References
	if len(ref) == 0 || !atForest(f.forest.Site, ref[0]) {
		return keep
	}
	if base := derived[sp.ID]; base != "" {
		other, err := library.Find(base)
		if err != nil || other.Phase(r.Phase) == nil || r.Dating == nil {
			return keep
		}
		years := f.years(base, r.Phase, ref[0].Day-other.Phase(r.Phase).References[0].Day)
		if got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), years); err == nil {
			fmt.Printf("%s %s: from %s, %+.0f days\n", sp.ID, r.Phase, base, ref[0].Day-other.Phase(r.Phase).References[0].Day)
			return block(got.Models, max(r.Dating.Residual, got.Residual+1), "", r.Dating.Source.Key)
		}
		return keep
	}
	if r.Moves != phenology.MovesLater || r.Dating != nil && r.Dating.Source.Key != "reference-heat" {
		return keep
	}
	// No series, but a date for the place: the warmth that it takes on the mean to reach that date.
	var years []fit.Year
	for year := 1990; year <= 2005; year++ {
		years = append(years, fit.Year{Season: f.forest.Site.Season(year), Day: ref[0].Day})
	}
	got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), years)
	if err != nil {
		return keep
	}
	return block(got.Models, max(ref[0].Spread, 1.3*fit.UsualResidual(r.Phase)), "", "reference-heat")
}

// atForest reports whether a reference is for the forest or the country around it.
func atForest(site phenology.Site, ref phenology.Reference) bool {
	return phenology.Distance(site.Latitude, site.Longitude, ref.Latitude, ref.Longitude) < 5
}

// autumn fits the shift of leaf colour and leaf fall with September's warmth, one slope for all trees.
func (f *fitter) autumn() map[phenology.Phase]string {
	blocks := map[phenology.Phase]string{}
	for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.LeafFall} {
		var series [][]fit.Year
		for _, sp := range canopy {
			if years := f.years(sp, phase, 0); len(years) >= fit.MinYears {
				series = append(series, years)
			}
		}
		got := fit.Shift(f.temps, 244, 273, series) // September
		fmt.Printf("%s: %+.2f days a degree, %.2f days against %.2f for %d trees\n", phase, got.DaysPerDegree, got.RMSE, got.MeanRMSE, len(series))
		if got.RMSE < beats*got.MeanRMSE {
			model := fmt.Sprintf("        - {kind: warmth-shift, from: 09-01, to: 09-30, days-per-degree: %.1f}\n", got.DaysPerDegree)
			blocks[phase] = "    dating:\n      models:\n" + model + fmt.Sprintf("      residual: %.1f\n", got.RMSE) +
				fmt.Sprintf("      score: {years: %d, rmse: %.1f, mean-date-rmse: %.1f}\n      source: hf-september\n", got.Years, got.RMSE, got.MeanRMSE)
		}
	}
	return blocks
}

// block writes a dating as a profile has it.
func block(models []phenology.Model, residual float64, score, source string) string {
	var b strings.Builder
	b.WriteString("    dating:\n      models:\n")
	for _, m := range models {
		t := m.(phenology.ThermalTime)
		fmt.Fprintf(&b, "        - {kind: thermal-time, start: %s, base: %g C, day-length-exponent: %g, requirement: %g}\n",
			phenology.Season{Year: 2001}.Date(float64(t.Start)).Format("01-02"), t.Base, t.DayLengthExponent, math.Round(t.Requirement*10)/10)
	}
	fmt.Fprintf(&b, "      residual: %.1f\n%s      source: %s\n", residual, score, source)
	return b.String()
}
