// Command fitprofiles fits the models of the built-in species to open observations and writes them into their profiles:
// the dating of a phase, and nothing else, is replaced.
//
//	go run ./cmd/fitprofiles ../shared/data profiles/species
//
// The first folder holds harvard-forest and montreal as their publishers give them (see package opendata). The packed
// library is to be renewed afterwards: see DEVELOPERS.md.
package main

import (
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"time"

	"treewhen/cmd/fitprofiles/opendata"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/fit"
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
	"betula-papyrifera", "fagus-grandifolia", "fraxinus-americana", "nyssa-sylvatica", "prunus-serotina",
	"quercus-alba", "quercus-rubra", "quercus-velutina"}

// beats is how much better than the mean date a model must be on years left out to be published: as good is not better.
const beats = 0.95

var spring = []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafOut}

type fitter struct {
	forest *opendata.Forest
	temps  *phenology.Temperatures
}

func run(data fs.FS, folder string) error {
	forest, temps, err := observed(data)
	if err != nil {
		return err
	}
	f := &fitter{forest: forest, temps: temps}
	autumn := f.autumn()
	library := profiles.Builtin()
	for _, sp := range library.All() {
		var revisions []profiles.Revision
		for _, phase := range spring {
			if r := sp.Phase(phase); r != nil {
				if dating, ok := f.spring(library, sp, r); ok {
					revisions = append(revisions, revision(phase, dating))
				}
			}
		}
		if slices.Contains(canopy, sp.ID) {
			for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.LeafFall} {
				dating := autumn[phase][sp.ID]
				if r := sp.Phase(phase); r != nil && len(r.References) > 0 {
					revisions = append(revisions, revision(phase, dating))
				}
			}
		}
		path := filepath.Join(folder, sp.ID+".yaml")
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		if revised := profiles.Revise(string(text), revisions...); revised != string(text) {
			if err := os.WriteFile(path, []byte(revised), 0o644); err != nil {
				return err
			}
		}
	}
	return nil
}

// revision gives a phase a dating, or none.
func revision(phase phenology.Phase, dating *phenology.PhaseModel) profiles.Revision {
	return profiles.Revision{Phase: phase, Dating: dating, Undate: dating == nil}
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
		part, err := opendata.Daily(data, name)
		if err != nil {
			return nil, nil, err
		}
		neighbour = weather.Merge(neighbour, part)
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

// spring returns the dating of a spring phase, nil for none, and whether the profile's is to be replaced at all.
func (f *fitter) spring(library *profiles.Library, sp *phenology.Species,
	r *phenology.PhaseRecord) (*phenology.PhaseModel, bool) {
	if years := f.years(sp.ID, r.Phase, 0); len(years) >= fit.MinYears {
		got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), years)
		switch {
		case err != nil:
			fmt.Printf("%s %s: not fitted: %v\n", sp.ID, r.Phase, err)
			return nil, true
		case got.RMSE > beats*got.MeanRMSE:
			fmt.Printf("%s %s: mean date kept: %.2f days against %.2f\n", sp.ID, r.Phase, got.RMSE, got.MeanRMSE)
			return nil, true
		}
		fmt.Printf("%s %s: %d years, %.2f days against %.2f, residual %.2f\n", sp.ID, r.Phase, got.Years, got.RMSE,
			got.MeanRMSE, got.Residual)
		return &phenology.PhaseModel{Models: got.Models, Residual: got.Residual,
			Source: phenology.Source{Key: "hf-thermal-time"}, Score: &phenology.Score{Years: got.Years, RMSE: got.RMSE,
				MeanRMSE: got.MeanRMSE}}, true
	}
	ref := r.References
	switch {
	case len(ref) == 0:
		return nil, false
	case !atForest(f.forest.Site, ref[0]):
		return byClimate(r)
	}
	if base := derived[sp.ID]; base != "" {
		other, err := library.Find(base)
		if err != nil || other.Phase(r.Phase) == nil || r.Model == nil {
			return nil, false
		}
		later := ref[0].Day - other.Phase(r.Phase).References[0].Day
		got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), f.years(base, r.Phase, later))
		if err != nil {
			return nil, false
		}
		fmt.Printf("%s %s: from %s, %+.0f days\n", sp.ID, r.Phase, base, later)
		return &phenology.PhaseModel{Models: got.Models, Residual: max(r.Model.Residual, got.Residual+1),
			Source: r.Model.Source}, true
	}
	if r.Moves != phenology.MovesLater || r.Model != nil && r.Model.Source.Key != "reference-heat" {
		return nil, false
	}
	// No series, but a date for the place: the warmth that it takes on the mean to reach that date.
	got, err := fit.Fit(f.temps, r.Phase, fit.Panel(), sameDay(f.forest.Site, 1990, 2005, ref[0].Day))
	if err != nil {
		return nil, false
	}
	return &phenology.PhaseModel{Models: got.Models,
		Residual: max(ref[0].Spread, unobserved*fit.UsualResidual(r.Phase)),
		Source:   phenology.Source{Key: "reference-heat"}}, true
}

// unobserved is how many times the usual residual of a phase that of a model is at least whose date nobody's series of
// observations gave. Our own choice.
const unobserved = 1.3

// widest is the spread in days up to which a reference date is worth a model: one that is the middle of printed months
// tells nothing of a single spring. Our own choice.
const widest = 12

// byClimate returns the dating of a spring phase whose first reference is not of the forest: the warmth that by the
// built-in climate of that place has gathered by its date. There is none where that climate is not to be trusted, which
// is so in the mountains of the West: dates there are carried by law and by height alone.
func byClimate(r *phenology.PhaseRecord) (*phenology.PhaseModel, bool) {
	ref := r.References[0]
	if r.Moves != phenology.MovesLater || r.Model != nil && r.Model.Source.Key != "reference-climate" {
		return nil, false
	}
	site := phenology.Site{ID: "reference", Latitude: ref.Latitude, Longitude: ref.Longitude, Elevation: ref.Elevation,
		Zone: time.UTC}
	c, off, ok := phenology.BuiltInClimate(site)
	if !ok || ref.Spread > widest {
		return nil, r.Model != nil
	}
	days := weather.Synthesize(weather.Normals{Min: c.Min, Max: c.Max}, civil.Of(1991, time.January, 1), 30, 1)
	for i := range days.Days {
		days.Days[i].Flags = 0 // they stand for the years of the date, which nobody has: fit wants observed ones
	}
	temps := phenology.NewTemperatures(site, days)
	got, err := fit.Fit(temps, r.Phase, fit.Panel(), sameDay(site, 1991, 2020, ref.Day))
	if err != nil {
		return nil, r.Model != nil
	}
	return &phenology.PhaseModel{Models: got.Models,
		Residual: math.Hypot(max(ref.Spread, unobserved*fit.UsualResidual(r.Phase)), daysPerDegree*off),
		Source:   phenology.Source{Key: "reference-climate"}}, true
}

// daysPerDegree is how many days earlier a degree warmer makes spring, as in package phenology: what an error of the
// built-in climate does to a date that is fitted to it.
const daysPerDegree = 3.7

// sameDay returns years with the same date.
func sameDay(site phenology.Site, from, to int, day float64) (years []fit.Year) {
	for year := from; year <= to; year++ {
		years = append(years, fit.Year{Season: site.Season(year), Day: day})
	}
	return years
}

// atForest reports whether a reference is for the forest or the country around it.
func atForest(site phenology.Site, ref phenology.Reference) bool {
	return phenology.Distance(site.Latitude, site.Longitude, ref.Latitude, ref.Longitude) < 5
}

// autumn fits the shift of leaf colour and leaf fall with September's warmth, one slope for all trees, and returns the
// dating of each tree, by phase and species. A tree whose years left out are told better by its plain mean date keeps
// that.
func (f *fitter) autumn() map[phenology.Phase]map[string]*phenology.PhaseModel {
	datings := map[phenology.Phase]map[string]*phenology.PhaseModel{}
	for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.LeafFall} {
		var trees []string
		var series [][]fit.Year
		for _, sp := range canopy {
			if years := f.years(sp, phase, 0); len(years) >= fit.MinYears {
				trees, series = append(trees, sp), append(series, years)
			}
		}
		const from, to = 244, 273 // September
		got := shift(f.temps, from, to, series)
		fmt.Printf("%s: %+.2f days a degree, %.2f days against %.2f for %d trees\n", phase, got.DaysPerDegree, got.RMSE,
			got.MeanRMSE, len(series))
		datings[phase] = map[string]*phenology.PhaseModel{}
		for i, sp := range trees {
			if got.RMSE >= beats*got.MeanRMSE || got.Worse[i] {
				fmt.Printf("%s %s: mean date kept\n", sp, phase)
				continue
			}
			m := phenology.WarmthShift{From: from, To: to, DaysPerDegree: got.DaysPerDegree}
			datings[phase][sp] = &phenology.PhaseModel{
				Models: []phenology.Model{m}, Residual: got.RMSE, Source: phenology.Source{Key: "hf-september"},
				Score: &phenology.Score{Years: got.Years, RMSE: got.RMSE, MeanRMSE: got.MeanRMSE},
			}
		}
	}
	return datings
}
