package phenology_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

func find(t testing.TB, name string) *phenology.Species {
	t.Helper()
	sp, err := profiles.Builtin().Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return sp
}

var spring = []phenology.Phase{phenology.Flowering, phenology.BudBreak, phenology.LeafOut}

func warmer(s weather.Series, by float64) weather.Series {
	out := weather.Series{First: s.First, Days: make([]weather.Day, len(s.Days))}
	for i, d := range s.Days {
		out.Days[i] = weather.Day{Min: d.Min + by, Max: d.Max + by, Flags: d.Flags}
	}
	return out
}

// For every species and any weather: p10, p50 and p90 in order, and a warmer spring never later.
func TestWarmerIsNeverLater(t *testing.T) {
	for seed := range uint64(4) {
		s := madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 4, 15), seed)
		base := &phenology.Outlook{Site: here, Temps: phenology.NewTemperatures(here, s)}
		warm := &phenology.Outlook{Site: here, Temps: phenology.NewTemperatures(here, warmer(s, 0.5+float64(seed)))}
		for _, sp := range profiles.Builtin().All() {
			a, b := base.Estimate(sp, 2020), warm.Estimate(sp, 2020)
			for _, e := range a.List {
				if e.HasDate() && (e.P10() > e.P50() || e.P50() > e.P90()) {
					t.Errorf("%s %s: %v, %v, %v", sp.ID, e.Phase, e.P10(), e.P50(), e.P90())
				}
			}
			for _, p := range spring {
				cold, hot := a.Get(p), b.Get(p)
				if cold.Basis != phenology.BasisPlace && cold.HasDate() && hot.HasDate() &&
					hot.Dist.Mean() > cold.Dist.Mean()+1e-9 {
					t.Errorf("%s %s: day %.2f where it is warmer, %.2f where it is colder", sp.ID, p, hot.Dist.Mean(),
						cold.Dist.Mean())
				}
			}
		}
	}
}

// What the temperatures so far have reached stays as it is, whatever comes; and intervals narrow, on the average, as
// the season comes on.
func TestWhatIsReachedStaysAndIntervalsNarrow(t *testing.T) {
	names := []string{"acer-rubrum", "acer-saccharum", "quercus-rubra", "betula-alleghaniensis", "fagus-grandifolia"}
	width := map[int]float64{}
	for seed := range uint64(3) {
		whole := madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 7, 31), seed)
		reached := map[string]phenology.Estimate{}
		for _, days := range []int{0, 60, 90, 110, 130, 150, 180} {
			o := &phenology.Outlook{Site: here,
				Temps: phenology.NewTemperatures(here, whole.Until(civil.Of(2019, 12, 31)+civil.Date(days)))}
			for _, name := range names {
				est := o.Estimate(find(t, name), 2020)
				for _, p := range spring {
					e := est.Get(p)
					key := name + p.String()
					width[days] += float64(e.P90() - e.P10())
					if before, ok := reached[key]; ok &&
						(e.Basis != phenology.BasisReached || e.P50() != before.P50() || e.P90() != before.P90()) {
						t.Errorf("%s: reached on day %d or before as %v, later %v (%v)", key, days, before.P50(),
							e.P50(), e.Basis)
					}
					if e.Basis == phenology.BasisReached {
						reached[key] = e
					}
				}
			}
		}
		if len(reached) != len(names)*len(spring)-1 { // the leaf-out of beech has no model: its mean date was better
			t.Errorf("by July %d phases were reached, want all that have a model", len(reached))
		}
	}
	for _, pair := range [][2]int{{0, 90}, {90, 110}, {110, 130}, {130, 180}} {
		if width[pair[1]] >= width[pair[0]] {
			t.Errorf("intervals add up to %.0f days on day %d and to %.0f on day %d, want them narrower",
				width[pair[0]], pair[0], width[pair[1]], pair[1])
		}
	}
}

// The same weather half a year on, at the mirrored latitude, gives the same days of the season.
func TestSouthernMirrors(t *testing.T) {
	south := here
	south.ID, south.Latitude = "south", -here.Latitude
	northern := weather.Series{First: civil.Of(2000, 1, 1)}
	southern := weather.Series{First: civil.Of(2000, 7, 2)}
	day := func(n int) weather.Day { // every year alike
		mean := 8 - 14*math.Cos(2*math.Pi*float64(n-20)/365)
		return weather.Day{Min: mean - 5, Max: mean + 5}
	}
	for year := 2000; year < 2015; year++ {
		for n := 1; n <= 366; n++ {
			northern.Put(here.Season(year).Date(phenology.SeasonDay(n)), day(n))
			southern.Put(south.Season(year).Date(phenology.SeasonDay(n)), day(n))
		}
	}
	a := &phenology.Outlook{Site: here, Temps: phenology.NewTemperatures(here, northern)}
	b := &phenology.Outlook{Site: south, Temps: phenology.NewTemperatures(south, southern)}
	for _, name := range []string{"acer-rubrum", "quercus-alba"} {
		for _, p := range spring {
			north, south := a.Estimate(find(t, name), 2010).Get(p), b.Estimate(find(t, name), 2010).Get(p)
			// Day lengths of the halves of the year differ by minutes, since the Earth's orbit is an ellipse.
			if !south.HasDate() || south.Basis == phenology.BasisPlace ||
				math.Abs(north.Dist.Mean()-south.Dist.Mean()) > 1 {
				if north.Basis != phenology.BasisPlace {
					t.Errorf("%s %s: day %.2f in the north, %.2f in the south", name, p, north.Dist.Mean(),
						south.Dist.Mean())
				}
			}
		}
	}
}

// A record from monthly normals dates phases, and says that this is what they rest on.
func TestNormals(t *testing.T) {
	// Lebanon Airport, New Hampshire, 1991-2020 (U.S. Climate Normals, NOAA), rounded to whole degrees Celsius.
	n := weather.Normals{
		Min: [12]float64{-12, -11, -6, 0, 6, 12, 14, 13, 9, 3, -2, -8},
		Max: [12]float64{-1, 1, 7, 14, 21, 26, 28, 27, 23, 16, 8, 2},
	}
	o := &phenology.Outlook{Site: here,
		Temps: phenology.NewTemperatures(here, weather.Synthesize(n, civil.Of(1991, 1, 1), 30, 1))}
	for _, season := range []int{2000, 2027} { // also a year of which the drawn record seems to have days
		for _, p := range spring {
			e := o.Estimate(find(t, "acer-saccharum"), season).Get(p)
			if e.Basis != phenology.BasisNormals || e.Years != 0 {
				t.Errorf("%s in %d rests on %v and %d years, want normals and none", p, season, e.Basis, e.Years)
			}
			if sd := e.Dist.SD(); sd < 7 || sd > 13 {
				t.Errorf("%s: spread of %.1f days, want that between years and that of strange trees", p, sd)
			}
		}
	}
}

// A record from 300 m below, taken as it is, dates trees some 8 to 10 days too early (2.7 to 3.3 for each 100 m, see
// climbDelay), in invented weather some more; moved up it does not.
func TestElevationMatters(t *testing.T) {
	s := madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 7)
	asItIs := &phenology.Outlook{Site: here, Temps: phenology.NewTemperatures(here, s)}
	moved := &phenology.Outlook{Site: here, Temps: phenology.NewTemperaturesFrom(here, s, here.Elevation-300,
		phenology.DefaultLapseRate(false))}
	for _, p := range spring {
		a, b := asItIs.Estimate(find(t, "acer-saccharum"), 2015).Get(p),
			moved.Estimate(find(t, "acer-saccharum"), 2015).Get(p)
		if later := b.Dist.Mean() - a.Dist.Mean(); later < 7 || later > 14 {
			t.Errorf("%s: %.1f days later 300 m up, want 7 to 14", p, later)
		}
		if b.Dist.SD() <= a.Dist.SD() || b.Climb != 300 {
			t.Errorf("%s: spread %.2f after %v m, want more than %.2f", p, b.Dist.SD(), b.Climb, a.Dist.SD())
		}
	}
}

// lateTrees are sightings at a site whose trees come so many days after the model, with noise.
func lateTrees(temps *phenology.Temperatures, sp *phenology.Species, p phenology.Phase, from, years int, late,
	noise float64) phenology.Sightings {
	r := rand.New(rand.NewPCG(5, 5))
	var list phenology.Sightings
	o := &phenology.Outlook{Site: here, Temps: temps}
	for i := range years {
		day := o.Estimate(sp, from+i).Get(p).Dist.Mean() + late + noise*r.NormFloat64()
		list = append(list, phenology.Sighting{Site: here.ID, Species: sp.ID, Phase: p,
			Date: here.Season(from + i).Nearest(day)})
	}
	return list
}

// Sightings of other years move the model to the site: hardly with one, nearly all the way with fifteen, and not on to
// other species.
func TestSightingsMoveTheModelToTheSite(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	sp := find(t, "acer-saccharum")
	known := []*phenology.Species{sp}
	plain := (&phenology.Outlook{Site: here, Temps: temps}).Estimate(sp, 2019).Get(phenology.BudBreak)
	shift := func(years int) float64 {
		o := &phenology.Outlook{Site: here, Temps: temps, Known: known,
			Sightings: lateTrees(temps, sp, phenology.BudBreak, 2001, years, 6, 1)}
		e := o.Estimate(sp, 2019).Get(phenology.BudBreak)
		if e.Seen != years {
			t.Errorf("moved by %d years, want %d", e.Seen, years)
		}
		return e.Dist.Mean() - plain.Dist.Mean()
	}
	one, five, fifteen := shift(1), shift(5), shift(15)
	if !(one > 1 && one < 4 && five > one && fifteen > five && fifteen > 5 && fifteen < 6.5) {
		t.Errorf("trees six days late move the date by %.1f, %.1f and %.1f days after 1, 5 and 15 years", one, five,
			fifteen)
	}
	o := &phenology.Outlook{Site: here, Temps: temps, Known: known, Sightings: lateTrees(temps, sp, phenology.BudBreak,
		2001, 15, 6, 1)}
	other := find(t, "quercus-alba")
	a := o.Estimate(other, 2019).Get(phenology.BudBreak).Dist.Mean()
	without := &phenology.Outlook{Site: here, Temps: temps}
	// The observer's habit is a quarter of what is learnt of a place this far off; at the models' own there is none.
	if b := without.Estimate(other, 2019).Get(phenology.BudBreak).Dist.Mean(); a <= b || a > b+2 {
		t.Errorf("sugar maples of other years moved white oak from %.2f to %.2f", b, a)
	}
}

// What was seen this season replaces the date, and moves what is still to come the same way, less far, and narrows it.
func TestSightingsTellOfTheSeason(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	maple, oak := find(t, "acer-saccharum"), find(t, "quercus-alba")
	plain := &phenology.Outlook{Site: here, Temps: temps}
	o := &phenology.Outlook{Site: here, Temps: temps, Known: []*phenology.Species{maple},
		Sightings: lateTrees(temps, maple, phenology.BudBreak, 2019, 1, 8, 0)}
	if e := o.Estimate(maple, 2019).Get(phenology.BudBreak); e.Basis != phenology.BasisSeen || e.P10() != e.P90() {
		t.Errorf("what was seen: %v, %v to %v", e.Basis, e.P10(), e.P90())
	}
	before, after := plain.Estimate(oak, 2019).Get(phenology.BudBreak), o.Estimate(oak, 2019).Get(phenology.BudBreak)
	if later := after.Dist.Mean() - before.Dist.Mean(); later < 1 || later > 5 {
		t.Errorf("after sugar maple came 8 days late white oak is %.1f days later, want a part of it", later)
	}
	if after.Dist.SD() >= before.Dist.SD() {
		t.Errorf("spread %.2f, before it was %.2f; want it narrower", after.Dist.SD(), before.Dist.SD())
	}
	// The leaves of the same species more so than those of another.
	kin := o.Estimate(maple, 2019).Get(phenology.LeafOut).Dist.Mean() -
		plain.Estimate(maple, 2019).Get(phenology.LeafOut).Dist.Mean()
	if kin < 0.5 {
		t.Errorf("leaf-out of the same maple moved by %.2f days", kin)
	}
	autumn := func(o *phenology.Outlook) float64 {
		return o.Estimate(maple, 2019).Get(phenology.LeafColor).Dist.Mean()
	}
	if autumn(o) != autumn(plain) {
		t.Error("a late spring moved the autumn, which nothing supports")
	}
}

// A site without temperatures whose observer has written for years: the place's date moves to what was seen.
func TestSightingsMovePlaceDates(t *testing.T) {
	sp := find(t, "acer-saccharum")
	plain := (&phenology.Outlook{Site: here}).Estimate(sp, 2019).Get(phenology.BudBreak)
	o := &phenology.Outlook{Site: here}
	for year := 2005; year < 2017; year++ {
		o.Sightings = append(o.Sightings, phenology.Sighting{Site: here.ID, Species: sp.ID, Phase: phenology.BudBreak,
			Date: here.Season(year).Nearest(plain.Dist.Mean() + 7)})
	}
	e := o.Estimate(sp, 2019).Get(phenology.BudBreak)
	if later := e.Dist.Mean() - plain.Dist.Mean(); e.Basis != phenology.BasisPlace || later < 5 || later > 7 ||
		e.Dist.SD() >= plain.Dist.SD() {
		t.Errorf("%v, %.1f days later, spread %.1f (was %.1f)", e.Basis, later, e.Dist.SD(), plain.Dist.SD())
	}
}

// Dates by the place alone: wider with distance, none beyond reach, later north and up, within a handbook's months.
func TestPlaceAlone(t *testing.T) {
	ref := phenology.Reference{Latitude: 44, Longitude: -72, Elevation: 300, Day: 125, Spread: 5}
	sp := &phenology.Species{ID: "x-y", Common: []string{"x"}, Phases: []*phenology.PhaseRecord{
		{Phase: phenology.BudBreak, Moves: phenology.MovesLater, References: []phenology.Reference{ref},
			Months: &phenology.Months{From: 4, To: 5}},
	}}
	at := func(latitude, longitude, elevation float64) phenology.Estimate {
		o := &phenology.Outlook{Site: phenology.Site{ID: "p", Latitude: latitude, Longitude: longitude,
			Elevation: elevation, Zone: time.UTC}}
		return o.Estimate(sp, 2020).Get(phenology.BudBreak)
	}
	home, north, up, far := at(44, -72, 300), at(45, -72, 300), at(44, -72, 422), at(44, -98, 300)
	if math.Abs(north.Dist.Mean()-home.Dist.Mean()-4) > 0.01 || math.Abs(up.Dist.Mean()-home.Dist.Mean()-4) > 0.01 {
		t.Errorf("a degree north %.2f days later, 400 ft up %.2f; want 4 (Hopkins)", north.Dist.Mean()-home.Dist.Mean(),
			up.Dist.Mean()-home.Dist.Mean())
	}
	if home.Dist.SD() >= north.Dist.SD() {
		t.Errorf("spread %.2f at home, %.2f a degree north; want it to grow", home.Dist.SD(), north.Dist.SD())
	}
	if far.HasDate() || far.Lack.Kind != phenology.LackNear {
		t.Errorf("2100 km west: %v, want none and why", far.Basis)
	}
	if late := at(50, -72, 1300); late.HasDate() && late.Dist.Mean() > 151 {
		t.Errorf("day %.0f, want it within April and May", late.Dist.Mean())
	}
}

// A phase counted from another moves to the lag that was seen here: seed ripe four days earlier than the profile has
// it, every year.
func TestSightingsTeachALag(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	sp := find(t, "acer-rubrum")
	plain := (&phenology.Outlook{Site: here, Temps: temps}).Estimate(sp, 2019).Get(phenology.FruitRipe)
	o := &phenology.Outlook{Site: here, Temps: temps, Known: []*phenology.Species{sp},
		Sightings: lateTrees(temps, sp, phenology.FruitRipe, 2003, 12, -8, 2)}
	e := o.Estimate(sp, 2019).Get(phenology.FruitRipe)
	if earlier := plain.Dist.Mean() - e.Dist.Mean(); earlier < 4 || earlier > 9 || e.Seen != 12 {
		t.Errorf("%.1f days earlier, by %d years; want nearly 8 by 12", earlier, e.Seen)
	}
	if e.Dist.SD() >= plain.Dist.SD() {
		t.Errorf("spread %.1f, without sightings %.1f; want it narrower", e.Dist.SD(), plain.Dist.SD())
	}
}

// When sap began to run says nothing of leaves.
func TestSapTellsNothingOfLeaves(t *testing.T) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 9))
	sp := find(t, "acer-saccharum")
	o := &phenology.Outlook{Site: here, Temps: temps, Known: []*phenology.Species{sp},
		Sightings: phenology.Sightings{{Date: civil.Of(2019, 4, 20), Site: here.ID, Species: sp.ID,
			Phase: phenology.SapStart}}}
	plain := &phenology.Outlook{Site: here, Temps: temps}
	a := o.Estimate(sp, 2019).Get(phenology.LeafOut).Dist.Mean()
	if b := plain.Estimate(sp, 2019).Get(phenology.LeafOut).Dist.Mean(); a != b {
		t.Errorf("late sap moved leaf-out from %.2f to %.2f", b, a)
	}
}
