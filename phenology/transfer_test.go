package phenology_test

import (
	"math"
	"os"
	"slices"
	"testing"
	"time"

	"treewhen/cmd/fitprofiles/opendata"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// Autumn at Harvard Forest (Harvard Forest Data Archive HF003), each year left out of the mean date that it is
// dated by: the place's own reference decides there, so that no tree comes out clearly worse than by its plain mean
// date, and all together come out better. References elsewhere, up to 1400 km off, had dragged some by a week.
func TestOwnReferenceDecides(t *testing.T) {
	if _, err := os.Stat("../../shared/data/harvard-forest"); os.IsNotExist(err) {
		t.Skip("the open data are not here: ../shared/data/harvard-forest")
	}
	forest, err := opendata.HarvardForest(os.DirFS("../../shared/data/harvard-forest"))
	if err != nil {
		t.Fatal(err)
	}
	temps := phenology.NewTemperatures(forest.Site, forest.Temperatures(weather.Series{}))
	var all, allMean, trees float64
	for _, sp := range profiles.Builtin().All() {
		for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.LeafFall} {
			years := forest.Years(sp.ID, phase)
			r := sp.Phase(phase)
			if len(years) < 14 || r == nil || len(r.References) == 0 {
				continue // Some trees of the archive have no date in their profile.
			}
			total := 0.0
			for _, day := range years {
				total += day
			}
			var square, meanSquare float64
			for year, day := range years {
				others := (total - day) / float64(len(years)-1)
				until := civil.Of(year, time.December, 31)
				o := &phenology.Outlook{Site: forest.Site, Temps: temps, Until: &until}
				e := o.Estimate(withOwnDay(sp, phase, forest.Site, others), year).Get(phase)
				if !e.HasDate() {
					t.Fatalf("%s %s %d: %v", sp.ID, phase, year, e.Lack)
				}
				square += math.Pow(day-e.Dist.Mean(), 2)
				meanSquare += math.Pow(day-others, 2)
			}
			n := float64(len(years))
			rmse, mean := math.Sqrt(square/n), math.Sqrt(meanSquare/n)
			t.Logf("%-24s %-10s %2.0f years: %.2f days, by the mean date %.2f", sp.ID, phase, n, rmse, mean)
			if rmse > mean+0.05 { // to what figures are printed
				t.Errorf("%s %s: %.2f days, by the mean date %.2f", sp.ID, phase, rmse, mean)
			}
			all, allMean, trees = all+rmse, allMean+mean, trees+1
		}
	}
	t.Logf("mean of %.0f: %.2f days, by the mean date %.2f", trees, all/trees, allMean/trees)
	if trees < 20 || all > allMean {
		t.Errorf("found %.2f days over %.0f series, want %.2f at most", all/trees, trees, allMean/trees)
	}
}

// withOwnDay returns a copy of a species with another mean day at the references of a site.
func withOwnDay(sp *phenology.Species, phase phenology.Phase, site phenology.Site, day float64) *phenology.Species {
	changed := *sp
	changed.Phases = nil
	for _, r := range sp.Phases {
		if r.Phase == phase {
			own := *r
			own.References = nil
			for _, ref := range r.References {
				if phenology.Distance(ref.Latitude, ref.Longitude, site.Latitude, site.Longitude) < 5 {
					ref.Day = day
				}
				own.References = append(own.References, ref)
			}
			r = &own
		}
		changed.Phases = append(changed.Phases, r)
	}
	return &changed
}

// Years are read from the words in which profiles state them.
func TestMeanError(t *testing.T) {
	for _, tt := range []struct {
		years  string
		spread float64
		want   float64
	}{
		{"1990-2005", 8, 2},                    // 16 years
		{"1990-2005, 4 of the years", 8, 4},    // 4 of them
		{"2012, 2018, 2021", math.Sqrt(12), 2}, // 3
		{"2021", 6, 6},                         // one
		{"1990-2005", 2, 1},                    // an observer's visits are a day apart and more
		{"", 8, 3}, {"before the war", 8, 3},   // not stated
		{"2005-1990", 8, 3}, {"1990-, x", 8, 3}, // nonsense
	} {
		if got := (phenology.Reference{Years: tt.years, Spread: tt.spread}).MeanError(); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%q: found %.2f, want %.2f", tt.years, got, tt.want)
		}
	}
}

// What normals and the bioclimatic law say of a spring is weighed, and neither wins alone; what a site's normals
// say of it is surer than what built-in ones do, and the farther off the place, the less the law counts.
func TestNormalsAndLawAreWeighed(t *testing.T) {
	sp := find(t, "acer-saccharum")
	weight := map[string]float64{}
	for _, site := range []phenology.Site{
		{ID: "keene", Latitude: 42.93, Longitude: -72.28, Elevation: 150, Zone: time.UTC},
		{ID: "madison", Latitude: 43.07, Longitude: -89.4, Elevation: 265, Zone: time.UTC},
	} {
		temps, ok := phenology.NormalTemperatures(site)
		if !ok {
			t.Fatalf("%s: found no normals", site.ID)
		}
		both := (&phenology.Outlook{Site: site, Temps: temps}).Estimate(sp, 2027)
		alone := (&phenology.Outlook{Site: site}).Estimate(sp, 2027)
		for _, phase := range []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafOut} {
			e := both.Get(phase)
			if e.Basis != phenology.BasisNormals || e.Placed < 0.05 || e.Placed > 0.75 {
				t.Errorf("%s %s: rests on %v, the law with a weight of %.2f", site.ID, phase, e.Basis, e.Placed)
			}
			if sd := e.Dist.SD(); sd < 8 || sd > alone.Get(phase).Dist.SD()+1 {
				t.Errorf("%s %s: spread %.1f, by the place alone %.1f", site.ID, phase, sd, alone.Get(phase).Dist.SD())
			}
		}
		weight[site.ID] = both.Get(phenology.BudBreak).Placed
		if again, _ := phenology.NormalTemperatures(site); again.Series().Days[500] != temps.Series().Days[500] {
			t.Errorf("%s: the same normals gave other days", site.ID)
		}
	}
	if weight["madison"] >= weight["keene"] {
		t.Errorf("the law counts %.2f in Madison and %.2f in Keene, want less far off", weight["madison"],
			weight["keene"])
	}
	for _, p := range [][2]float64{{39.25, -106.29}, {51.5, -0.1}, {-42.5, 172}} { // Leadville, London, New Zealand
		if _, ok := phenology.NormalTemperatures(phenology.Site{Latitude: p[0], Longitude: p[1], Zone: time.UTC}); ok {
			t.Errorf("%v: found normals to be trusted, want none", p)
		}
	}
}

// Sightings of other years move a date by normals, as they do one by the place alone, and make it surer.
func TestNormalsLearn(t *testing.T) {
	site := phenology.Site{ID: "keene", Latitude: 42.93, Longitude: -72.28, Elevation: 150, Zone: time.UTC}
	temps, ok := phenology.NormalTemperatures(site)
	if !ok {
		t.Fatal("found no normals")
	}
	sp := find(t, "acer-saccharum")
	before := (&phenology.Outlook{Site: site, Temps: temps}).Estimate(sp, 2027).Get(phenology.BudBreak)
	late := before.Dist.Mean() + 10
	var seen phenology.Sightings
	for year := 2018; year < 2026; year++ {
		day := civil.Of(year, time.January, 1) + civil.Date(math.Round(late)) - 1 + civil.Date(year%3-1)
		seen = append(seen, phenology.Sighting{Date: day, Site: site.ID, Species: sp.ID, Phase: phenology.BudBreak})
	}
	o := &phenology.Outlook{Site: site, Temps: temps, Sightings: seen, Known: []*phenology.Species{sp}}
	after := o.Estimate(sp, 2027).Get(phenology.BudBreak)
	if moved := after.Dist.Mean() - before.Dist.Mean(); moved < 7 || moved > 10 || after.Seen != 8 {
		t.Errorf("moved by %.1f days by %d years, want nearly the 10 that 8 years were late", moved, after.Seen)
	}
	if after.Dist.SD() >= before.Dist.SD() {
		t.Errorf("spread %.1f, before the sightings %.1f", after.Dist.SD(), before.Dist.SD())
	}
}

// A climb delays spring a little more than the lapse rate does, a descent does not hasten it by more.
func TestClimbDelays(t *testing.T) {
	s := madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 7)
	sp := find(t, "acer-saccharum")
	none := phenology.LapseRate{} // so that nothing but the delay is left
	mean := func(climb float64, phase phenology.Phase) float64 {
		temps := phenology.NewTemperaturesFrom(here, s, here.Elevation-climb, none)
		return (&phenology.Outlook{Site: here, Temps: temps}).Estimate(sp, 2015).Get(phase).Dist.Mean()
	}
	for _, phase := range []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafOut} {
		level := mean(0, phase)
		if up := mean(300, phase) - level; math.Abs(up-2.4) > 0.01 { // 3 times (2.7 + 3.3) / 2 less 2.2
			t.Errorf("%s: %.2f days later 300 m up, want 2.4", phase, up)
		}
		if down := mean(-300, phase) - level; math.Abs(down) > 0.01 {
			t.Errorf("%s: %.2f days later 300 m down, want none", phase, down)
		}
	}
	// From a valley's floor, where cold air pools, a climb delays nothing beyond what the temperatures themselves say.
	rec := &weather.Record{Name: "floor", Series: s}
	low := here.Elevation - 300
	for _, valley := range []bool{false, true} {
		file := phenology.StationFile{Record: rec, Elevation: &low, Valley: valley}
		j := phenology.JoinStations([]phenology.StationFile{file}, s.Last(), false)
		j.Rate = none
		o := &phenology.Outlook{Site: here, Temps: j.Temperatures(here, nil, nil)}
		up := o.Estimate(sp, 2015).Get(phenology.BudBreak).Dist.Mean() - mean(0, phenology.BudBreak)
		if want := map[bool]float64{false: 2.4, true: 0}[valley]; math.Abs(up-want) > 0.01 {
			t.Errorf("300 m above a thermometer, on a valley's floor %t: %.2f days later, want %.1f", valley, up, want)
		}
	}
	if moved := mean(300, phenology.LeafColor) - mean(0, phenology.LeafColor); math.Abs(moved) > 0.01 {
		t.Errorf("leaf color moved by %.2f days, want none", moved)
	}
}

// At the place of reference itself its own spread decides; the farther off and the more unlike in climate, the
// wider.
func TestSpreadGrowsOnTheWay(t *testing.T) {
	sp := find(t, "acer-saccharum")
	ref := sp.Phase(phenology.BudBreak).References[0]
	sd := func(lat, lon, elevation float64) float64 {
		site := phenology.Site{ID: "x", Latitude: lat, Longitude: lon, Elevation: elevation, Zone: time.UTC}
		e := (&phenology.Outlook{Site: site}).Estimate(sp, 2027).Get(phenology.BudBreak)
		if !e.HasDate() {
			t.Fatalf("%v, %v: %v", lat, lon, e.Lack)
		}
		return e.Dist.SD()
	}
	home := sd(ref.Latitude, ref.Longitude, ref.Elevation)
	if home < ref.Spread || home > 1.1*ref.Spread {
		t.Errorf("spread %.1f at the place of reference, want about the %.1f of its years", home, ref.Spread)
	}
	before := home
	for _, lat := range []float64{42.0, 41.0, 39.0, 37.0} {
		now := sd(lat, ref.Longitude-3, ref.Elevation)
		if now <= before {
			t.Errorf("spread %.1f at %v N, %.1f nearer home", now, lat, before)
		}
		before = now
	}
}

// Models start earlier where springs are warmer than where they were fitted, and later where they are colder, by the
// built-in climate; at the place of reference itself, at New Year, and once they are a site's own they stay.
func TestStartsFollowTheClimate(t *testing.T) {
	r := find(t, "acer-saccharum").Phase(phenology.BudBreak)
	starts := func(pm *phenology.PhaseModel) (list []phenology.SeasonDay) {
		for _, m := range pm.Models {
			list = append(list, m.(phenology.ThermalTime).Start)
		}
		return list
	}
	fitted := r.References[0]
	home := phenology.Site{Latitude: fitted.Latitude, Longitude: fitted.Longitude, Elevation: fitted.Elevation}
	if got, want := starts(r.ModelAt(home)), starts(r.Model); !slices.Equal(got, want) {
		t.Errorf("at home they start on %v, want %v", got, want)
	}
	for _, tt := range []struct {
		site  phenology.Site
		moved float64 // days; from 2.5 a degree, which the climates of both differ by
	}{
		{phenology.Site{Latitude: 39.32, Longitude: -86.41, Elevation: 275}, -11}, // Morgan-Monroe: 4.4 degrees warmer
		{phenology.Site{Latitude: 45.81, Longitude: -90.08, Elevation: 520}, 8},   // Willow Creek: 3.4 degrees colder
		{phenology.Site{Latitude: 52.5, Longitude: 13.4, Elevation: 40}, 0},       // Berlin, whose climate is not known
	} {
		here := r.ModelAt(tt.site)
		for i, got := range starts(here) {
			if moved := float64(got - starts(r.Model)[i]); math.Abs(moved-tt.moved) > 2 {
				t.Errorf("%v: moved by %v days, want about %v", tt.site, moved, tt.moved)
			}
		}
		again := *r
		again.Model = here
		if got := starts(again.ModelAt(tt.site)); !slices.Equal(got, starts(here)) {
			t.Errorf("%v: a site's own models were moved again, to %v", tt.site, got)
		}
	}
	warm := phenology.Site{Latitude: 30.4, Longitude: -88.2, Elevation: 10} // Mobile, Alabama
	for _, got := range starts(r.ModelAt(warm)) {
		if got < 1 {
			t.Errorf("in Alabama they start on day %d, want none before New Year", got)
		}
	}
	early := *r
	early.Model = &phenology.PhaseModel{Models: []phenology.Model{phenology.ThermalTime{Start: 1}}}
	if got := starts(early.ModelAt(warm)); got[0] != 1 {
		t.Errorf("a start at New Year was moved to day %d", got[0])
	}
}
