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

// madeUp is an invented record.
func madeUp(first, last civil.Date, seed uint64) weather.Series {
	r := rand.New(rand.NewPCG(seed, 0))
	s := weather.Series{First: first}
	spell := 0.0
	for d := first; d <= last; d++ {
		spell = 0.7*spell + 3*r.NormFloat64()
		mean := 8 - 14*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + spell
		s.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	return s
}

var here = phenology.Site{ID: "here", Name: "Here", Latitude: 43.5, Longitude: -72.5, Elevation: 300, Zone: time.UTC}

// One site's season under way: forty species, all their phases, thirty years of record, with the three dates of each.
// The bound is 5 ms and 2 MB.
func BenchmarkSeasonUnderWay(b *testing.B) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))
	species := profiles.Builtin().All()[:40]
	date := func() {
		o := &phenology.Outlook{Site: here, Temps: temps}
		for _, sp := range species {
			for _, e := range o.Estimate(sp, 2026).List {
				if e.HasDate() {
					_, _, _ = e.P10(), e.P50(), e.P90()
				}
			}
		}
	}
	date() // the record's running sums are made once a site
	b.ReportAllocs()
	for b.Loop() {
		date()
	}
}

// What a site costs before anything is dated: the running sums of its record.
func BenchmarkPrepareRecord(b *testing.B) {
	series := madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1)
	sp, err := profiles.Builtin().Find("acer-rubrum")
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		o := &phenology.Outlook{Site: here, Temps: phenology.NewTemperatures(here, series)}
		o.Estimate(sp, 2026)
	}
}

// A model's dates in each year of a record by that year's own days, as fitting asks for them.
func BenchmarkDateBy(b *testing.B) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1991, 1, 1), civil.Of(2020, 12, 31), 1))
	b.ReportAllocs()
	for b.Loop() {
		for year := 1991; year <= 2020; year++ {
			for _, need := range []float64{50, 100, 200, 400, 800, 1600} {
				temps.DateBy(phenology.ThermalTime{Start: 1, Base: 5, Method: phenology.SineForcing, Requirement: need},
					here.Season(year))
			}
		}
	}
}

// What a forcing's running sums over thirty years take: made once for each record and forcing, and searched ever after.
func BenchmarkRunningSums(b *testing.B) {
	series := madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1)
	for _, c := range []struct {
		name  string
		model phenology.Model
	}{
		{"sine", phenology.ThermalTime{Start: 1, Base: 5, Method: phenology.SineForcing, Requirement: 100}},
		{"average", phenology.ThermalTime{Start: 1, Base: 5, Method: phenology.AverageForcing, Requirement: 100}},
		{"sine-by-day-length", phenology.ThermalTime{Start: 1, Base: 5, Method: phenology.SineForcing,
			DayLengthExponent: 2, Requirement: 100}},
		{"autumn-cooling", phenology.AutumnCooling{DayLength: 13.5, Base: 20, TemperatureExponent: 2,
			DayLengthExponent: 1, Requirement: 500}},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				phenology.NewTemperatures(here, series).DateBy(c.model, here.Season(2025))
			}
		})
	}
	b.Run("sap-runs", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			phenology.NewTemperatures(here, series).Run(maples, series.First)
		}
	})
}

// One site's phases for the whole library: with a record, and by the place alone.
func BenchmarkWholeLibrary(b *testing.B) {
	temps := phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))
	for _, c := range []struct {
		name  string
		temps *phenology.Temperatures
	}{{"record", temps}, {"place", nil}} {
		b.Run(c.name, func(b *testing.B) {
			date := func() {
				o := &phenology.Outlook{Site: here, Temps: c.temps}
				for _, sp := range profiles.Builtin().All() {
					o.Estimate(sp, 2026)
				}
			}
			date()
			b.ReportAllocs()
			for b.Loop() {
				date()
			}
		})
	}
}
