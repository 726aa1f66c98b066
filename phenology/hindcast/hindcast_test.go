package hindcast_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/hindcast"
	"treewhen/phenology/weather"
)

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
