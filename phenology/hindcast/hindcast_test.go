package hindcast_test

import (
	"context"
	"fmt"
	"io/fs"
	"math"
	"os"
	"slices"
	"testing"
	"time"

	"treewhen/cmd/fitprofiles/opendata"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/hindcast"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// forest is Harvard Forest with the built-in species that were seen there, its temperatures brought to one level.
func forest(t *testing.T) *phenology.Outlook {
	t.Helper()
	data := os.DirFS("../../../shared/data")
	sub, err := fs.Sub(data, "harvard-forest")
	if err != nil {
		t.Fatal(err)
	}
	f, err := opendata.HarvardForest(sub)
	if err != nil {
		t.Skipf("the open observations are not here: %v", err)
	}
	var neighbour weather.Series
	names, _ := fs.Glob(data, "montreal/*.csv")
	for _, name := range names {
		file, err := data.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := weather.Read(file, name, weather.Options{})
		file.Close()
		if err != nil {
			t.Fatal(err)
		}
		neighbour = weather.Merge(neighbour, rec.Series)
	}
	o := &phenology.Outlook{Site: f.Site, Sightings: f.Seen,
		Temps: phenology.NewTemperatures(f.Site, f.Temperatures(neighbour))}
	for _, sp := range profiles.Builtin().All() {
		if slices.ContainsFunc(f.Seen, func(s phenology.Sighting) bool { return s.Species == sp.ID }) {
			o.Known = append(o.Known, sp)
		}
	}
	return o
}

// The twelve series by which spring models are judged, each year dated by requirements that were fitted without it.
// Source of the dates: O'Keefe, Harvard Forest Data Archive HF003, species means 1990 to 2005; of the temperatures:
// HF000, HF001 and, in gaps, Environment and Climate Change Canada. A thermal-time model of one base and start comes to
// 3.8 days there with all temperatures known, the mean date to 6.0.
func TestSpringAtHarvardForest(t *testing.T) {
	o := forest(t)
	targets := opendata.Targets()
	var chosen []*phenology.Species // what other species showed counts all the same
	for _, sp := range o.Known {
		if slices.ContainsFunc(sp.Phases, func(r *phenology.PhaseRecord) bool { return targets[sp.ID+" "+r.Phase.String()] }) {
			chosen = append(chosen, sp)
		}
	}
	score := func(opts hindcast.Options) map[int][3]float64 { // by lead: error, mean date's error, share inside
		opts.CrossValidate, opts.Leads = true, hindcast.Leads()
		rows, err := hindcast.Run(context.Background(), o, chosen, opts)
		if err != nil {
			t.Fatal(err)
		}
		means, n := map[int][3]float64{}, map[int]float64{}
		for _, r := range rows {
			if targets[r.Species.ID+" "+r.Phase.String()] {
				m := means[r.Lead]
				m[0], m[1], m[2] = m[0]+r.RMSE, m[1]+r.MeanRMSE, m[2]+r.Coverage
				means[r.Lead] = m
				n[r.Lead]++
			}
		}
		for lead, m := range means {
			if n[lead] != 12 {
				t.Errorf("lead %d: %v series, want 12", lead, n[lead])
			}
			means[lead] = [3]float64{m[0] / n[lead], m[1] / n[lead], m[2] / n[lead]}
			t.Logf("temperatures alone %t, lead %3d: %.2f days, mean date %.2f, inside %.2f", opts.Unseen, lead,
				means[lead][0], means[lead][1], means[lead][2])
		}
		return means
	}
	told := score(hindcast.Options{})
	alone := score(hindcast.Options{Unseen: true})
	for _, bound := range []struct {
		what  string
		means map[int][3]float64
		lead  int
		most  float64
	}{
		{"temperatures known", told, hindcast.TemperaturesKnown, 3.4},
		{"on the usual date", told, 0, 3.4},
		{"temperatures known, nothing seen", alone, hindcast.TemperaturesKnown, 3.8},
		{"a fortnight ahead", told, 14, 4.5},
	} {
		if got := bound.means[bound.lead][0]; got > bound.most {
			t.Errorf("%s: %.2f days, want at most %.2f", bound.what, got, bound.most)
		}
	}
	for lead, m := range told {
		if m[2] < 0.72 || m[2] > 0.86 {
			t.Errorf("lead %d: %.2f of the dates from p10 to p90, want about 0.8", lead, m[2])
		}
		if m[0] > m[1] {
			t.Errorf("lead %d: %.2f days, worse than the mean date's %.2f", lead, m[0], m[1])
		}
	}
}

// invented is a site with one species whose bud break follows its temperatures, seen for some years.
func invented(years int) (*phenology.Outlook, *phenology.Species) {
	site := phenology.Site{ID: "here", Name: "Here", Latitude: 43, Longitude: -72, Elevation: 200, Zone: time.UTC}
	s := weather.Series{First: civil.Of(1999, 1, 1)}
	for d := s.First; d <= civil.Of(2020, 12, 31); d++ {
		warm := 2 * math.Sin(float64(d.Year())*2.1)
		mean := 8 + warm - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25)
		s.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	o := &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, s)}
	model := phenology.ThermalTime{Start: 60, Base: 3, Method: phenology.SineForcing, Requirement: 200}
	sp := &phenology.Species{ID: "arbor-exempli", Common: []string{"example tree"}, Phases: []*phenology.PhaseRecord{{
		Phase: phenology.BudBreak, Moves: phenology.MovesLater,
		References: []phenology.Reference{{Latitude: 43, Longitude: -72, Elevation: 200, Day: 120, Spread: 6}},
		Model:      &phenology.PhaseModel{Models: []phenology.Model{model}, Residual: 3},
	}}}
	for i := range years {
		season := site.Season(2001 + i)
		day, _ := o.Temps.DateBy(model, season)
		o.Sightings = append(o.Sightings, phenology.Sighting{Site: "here", Species: sp.ID, Phase: phenology.BudBreak,
			Date: season.Nearest(day)})
	}
	o.Known = []*phenology.Species{sp}
	return o, sp
}

// Where the model is the truth, the error with temperatures known is what rounding to days leaves, and the mean date
// is far behind.
func TestTheTruthScoresBest(t *testing.T) {
	o, sp := invented(15)
	rows, err := hindcast.Run(context.Background(), o, []*phenology.Species{sp},
		hindcast.Options{Leads: []int{hindcast.TemperaturesKnown}})
	if err != nil || len(rows) != 1 {
		t.Fatalf("%v, %v", rows, err)
	}
	if r := rows[0]; len(r.Cases) != 15 || r.RMSE > 0.6 || r.MeanRMSE < 3 || r.Coverage != 1 {
		t.Errorf("%d years, %.2f days, mean date %.2f, inside %.2f", len(r.Cases), r.RMSE, r.MeanRMSE, r.Coverage)
	}
}

// Far from where a model was fitted it starts by the place's own climate: also where its requirement is refitted there,
// so that what came true by it scores as well as at home.
func TestRefitStartsWithThePlace(t *testing.T) {
	o, sp := invented(0)
	site := o.Site
	site.Latitude, site.Longitude = 36, -84.5 // eastern Tennessee; the reference is in New Hampshire
	warmer := o.Temps.Series()
	warmer.Days = slices.Clone(warmer.Days)
	for i := range warmer.Days {
		warmer.Days[i].Min, warmer.Days[i].Max = warmer.Days[i].Min+7, warmer.Days[i].Max+7
	}
	far := &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, warmer), Known: o.Known}
	here := sp.Phases[0].ModelAt(site).Models[0].(phenology.ThermalTime)
	if plain := sp.Phases[0].Model.Models[0].(phenology.ThermalTime); here.Start >= plain.Start-5 {
		t.Fatalf("in Tennessee it starts on day %d, in New Hampshire on day %d", here.Start, plain.Start)
	}
	for year := 2001; year < 2016; year++ {
		season := site.Season(year)
		day, _ := far.Temps.DateBy(here, season)
		far.Sightings = append(far.Sightings, phenology.Sighting{Site: site.ID, Species: sp.ID, Phase: phenology.BudBreak,
			Date: season.Nearest(day)})
	}
	for _, refit := range []bool{false, true} {
		rows, err := hindcast.Run(context.Background(), far, []*phenology.Species{sp},
			hindcast.Options{Leads: []int{hindcast.TemperaturesKnown}, CrossValidate: refit, Unseen: true})
		if err != nil || len(rows) != 1 {
			t.Fatalf("%v, %v", rows, err)
		}
		if rows[0].RMSE > 0.7 {
			t.Errorf("refitted %t: %.2f days, want what rounding to days leaves", refit, rows[0].RMSE)
		}
	}
}

// What was not known on the day must not matter: with later temperatures and sightings of the season changed beyond
// recognition, its hindcast stays the same to the last bit.
func TestNothingLaterIsLookedAt(t *testing.T) {
	o, sp := invented(15)
	const year = 2008
	opts := hindcast.Options{Leads: []int{30, 14, 0}, Season: year}
	before, err := hindcast.Run(context.Background(), o, []*phenology.Species{sp}, opts)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range before {
		asOf := r.Cases[0].AsOf
		s := o.Temps.Series()
		s.Days = slices.Clone(s.Days)
		for d := asOf + 1; d <= civil.Of(year, 12, 31); d++ {
			s.Put(d, weather.Day{Min: -40, Max: 45})
		}
		changed := &phenology.Outlook{Site: o.Site, Temps: phenology.NewTemperatures(o.Site, s), Known: o.Known}
		for _, seen := range o.Sightings {
			if seen.Date.Year() == year {
				seen.Date += 12 // a month would be taken for a slip of the pen
			}
			changed.Sightings = append(changed.Sightings, seen)
		}
		one := opts
		one.Leads = []int{r.Lead}
		after, err := hindcast.Run(context.Background(), changed, []*phenology.Species{sp}, one)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := r.Cases[0], after[0].Cases[0]; a.P10 != b.P10 || a.P50 != b.P50 || a.P90 != b.P90 ||
			a.AsOf != b.AsOf {
			t.Errorf("lead %d: what came later moved it from %v to %v", r.Lead, fmt.Sprint(a), fmt.Sprint(b))
		}
	}
}

// Two years say nothing of a mean date.
func TestTooFewYears(t *testing.T) {
	o, sp := invented(2)
	rows, err := hindcast.Run(context.Background(), o, []*phenology.Species{sp},
		hindcast.Options{Leads: hindcast.Leads()})
	if err != nil || len(rows) != 0 {
		t.Errorf("%v, %v; want no rows", rows, err)
	}
}
