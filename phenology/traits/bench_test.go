package traits_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
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

// Every pair of the library told apart: how many can be expected to be on each day of a winter, and how on one day.
func BenchmarkSeparator(b *testing.B) {
	o := &phenology.Outlook{Site: here,
		Temps: phenology.NewTemperatures(here, madeUp(civil.Of(1996, 1, 1), civil.Of(2026, 4, 20), 1))}
	watches := func() (list []*traits.Watch) {
		for _, sp := range profiles.Builtin().All() {
			known := map[int]phenology.Estimates{}
			list = append(list, traits.NewWatch(here, sp, func(season int) phenology.Estimates {
				if _, ok := known[season]; !ok {
					known[season] = o.Estimate(sp, season)
				}
				return known[season]
			}))
		}
		return list
	}
	b.Run("made", func(b *testing.B) {
		all := watches()
		b.ReportAllocs()
		for b.Loop() {
			traits.NewSeparator(all)
		}
	})
	b.Run("winter", func(b *testing.B) {
		s := traits.NewSeparator(watches())
		b.ReportAllocs()
		for b.Loop() {
			for d := civil.Of(2025, 11, 1); d < civil.Of(2026, 4, 1); d++ {
				s.Expected(d)
			}
		}
	})
	b.Run("day", func(b *testing.B) {
		s := traits.NewSeparator(watches())
		b.ReportAllocs()
		for b.Loop() {
			s.On(civil.Of(2026, 1, 20))
		}
	})
}
