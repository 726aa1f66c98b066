package phenology

import (
	"math"
	"testing"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// flat is a record of days that all have one minimum and one maximum.
func flat(first, last civil.Date, low, high float64) weather.Series {
	s := weather.Series{First: first}
	for d := first; d <= last; d++ {
		s.Put(d, weather.Day{Min: low, Max: high})
	}
	return s
}

var testSite = Site{ID: "here", Name: "Here", Latitude: 44, Longitude: -72, Elevation: 300, Zone: time.UTC}

// Each model on days of one temperature, where its sum is known by hand. A requirement met in the middle of what a day
// brings is met half a day before that day's end.
func TestModelsByHand(t *testing.T) {
	y := testSite.Season(2021)
	at := func(low, high float64) *Temperatures {
		return NewTemperatures(testSite, flat(civil.Of(2020, 1, 1), civil.Of(2021, 12, 31), low, high))
	}
	// Between 22 and 28 March a day at 44 N is between 12.3 and 12.7 hours long; weights by the square are about 1.08.
	length := DayLengthAt(44, -72, civil.Of(2021, 3, 15))
	cold := flat(civil.Of(2020, 1, 1), civil.Of(2021, 1, 31), 0, 6) // means of 3: every day a chill day
	warm := cold
	for d := civil.Of(2021, 2, 1); d <= civil.Of(2021, 12, 31); d++ {
		warm.Put(d, weather.Day{Min: 10, Max: 20}) // means of 15: 10 degree-days over 5
	}
	mixed := NewTemperatures(testSite, warm)
	of := func(days func(d civil.Date) (low, high float64)) *Temperatures {
		s := weather.Series{First: civil.Of(2020, 1, 1)}
		for d := s.First; d <= civil.Of(2021, 12, 31); d++ {
			low, high := days(d)
			if d >= civil.Of(2021, 2, 1) {
				low, high = 10, 20
			}
			s.Put(d, weather.Day{Min: low, Max: high})
		}
		return NewTemperatures(testSite, s)
	}
	halfCold := of(func(civil.Date) (low, high float64) { return -5, 5 })
	interrupted := of(func(d civil.Date) (low, high float64) {
		if d >= civil.Of(2020, 11, 21) && d <= civil.Of(2020, 11, 25) {
			return 17, 17
		}
		return 5, 5
	})
	for _, row := range []struct {
		name  string
		temps *Temperatures
		model Model
		want  float64
		tol   float64
	}{
		// 10 degree-days a day from day 60: 100 are there at the end of day 69.
		{"thermal time", at(10, 16), ThermalTime{Start: 60, Base: 3, Method: SineForcing, Requirement: 100}, 69, 1e-9},
		{"part of a day", at(10, 16), ThermalTime{Start: 60, Base: 3, Method: SineForcing, Requirement: 95}, 68.5,
			1e-9},
		{"simple average", at(0, 16), ThermalTime{Start: 60, Base: 3, Method: AverageForcing, Requirement: 50}, 69,
			1e-9},
		// Table of worked degree-days: minimum 2, maximum 14, base 5: 3.6540 by the sine (computed from the closed
		// form).
		{"sine", at(2, 14), ThermalTime{Start: 1, Base: 5, Method: SineForcing, Requirement: 36.540}, 10, 1e-3},
		// Minimum 10, maximum 40, base 10, upper 30: 12.4576 horizontal.
		{"upper cut-off", at(10, 40), ThermalTime{Start: 1, Base: 10, Method: SineForcing, Upper: 30,
			Cutoff: HorizontalCutoff, Requirement: 124.576}, 10, 1e-3},
		{"day length", at(10, 16), ThermalTime{Start: 74, Base: 3, Method: SineForcing, DayLengthExponent: 2,
			Requirement: 10 * (length / 12) * (length / 12)}, 74, 1e-9},
		// Chill days from 1 November to 31 January: 92. Needed: 67.4 + 4401.8 exp(-0.042 x 92) = 159.75 by the formula
		// of Cannell & Smith (1983); 10 a day from 1 February, day 32.
		{"chilling thermal time", mixed, ChillingThermalTime{Start: 32, Base: 5, Method: SineForcing, ChillStart: -60,
			ChillBelow: 5, Requirement: 67.4, Extra: 4401.8, Decay: 0.042}, 31 + 15.975, 0.02},
		// A day of mean 3 chills by (3 + 3.4) / 6.9 = 0.92754: 50 days of chilling take 53.9 days from 1 November,
		// which is day 365 - 61 + 1 of 2020's year before: the 54th day, 24 December. Then nothing but warmth over 0
		// counts: 38 days of mean 3 at 28.4 / (1 + exp(-0.185 (3 - 18.4))), from 25 December to 31 January, and days of
		// mean 15.
		{"chilling then forcing", mixed, ChillingThenForcing{ChillStart: -60, Chilling: SarvasChilling,
			ChillRequirement: 50, Forcing: SarvasForcing, Requirement: 38*SarvasForcing.Rate(3) +
				10*SarvasForcing.Rate(15)}, 41, 1e-6},
		// Weinberger's hours: half of a day from -5 to 5 is above 0, all of it below 7.2: 12 hours a day from 1
		// November, 600 by the end of the 50th day, 20 December. From the 21st, 42 days of mean 0 and 10 of mean 15,
		// over -1.
		{"chilling hours, then degree-days", halfCold, ChillingThenForcing{ChillStart: -60, ChillingBy: ChillingByHours,
			ChillRequirement: 600, Method: AverageForcing, Base: -1, Requirement: 42 + 160}, 41, 1e-9},
		// Richardson's units: 24 a day at 5 degrees, 12 taken away again by each day at 17. 20 days at 5 make 480; five
		// at 17 leave 420, so that 600 are there on the 8th day after them, 3 December. From the 4th, 59 days of mean 5
		// and 10 of mean 15, over 0.
		{"chill units", interrupted, ChillingThenForcing{ChillStart: -60, ChillingBy: ChillingByUnits,
			ChillRequirement: 600, Method: SineForcing, Requirement: 59*5 + 150}, 41, 1e-9},
		// Triangle, minimum 42 F, maximum 80 F, base 50 F: 11.8421 F-days.
		{"triangle", at((42-32)/1.8, (80-32)/1.8), ThermalTime{Start: 1, Base: 10, Method: TriangleForcing,
			Requirement: 118.421 / 1.8}, 10, 1e-3},
		{"triangle, cut off", at(10, 40), ThermalTime{Start: 1, Base: 10, Method: TriangleForcing, Upper: 30,
			Cutoff: HorizontalCutoff, Requirement: 133.333}, 10, 1e-3},
		// Day lengths fall below 14.5 hours in August; the sum below is worked out beside.
		{"autumn cooling", at(5, 15), AutumnCooling{DayLength: 24, Base: 28.5, TemperatureExponent: 2,
			Requirement: 18.5 * 18.5 * 10}, 181, 1e-9},
	} {
		got, ok := row.temps.DateBy(row.model, y)
		if !ok || math.Abs(got-row.want) > row.tol {
			t.Errorf("%s: day %v, %t; want %v", row.name, got, ok, row.want)
		}
	}
}

// The requirement of Cannell & Smith (1983) after so many chill days; the coefficients are from memory, the column is
// computed from the formula.
func TestNeededAfterChilling(t *testing.T) {
	m := ChillingThermalTime{Requirement: 67.4, Extra: 4401.8, Decay: 0.042}
	for _, row := range [][2]float64{{0, 4469.2}, {20, 1967.7}, {40, 887.8}, {60, 421.6}, {80, 220.3}, {100, 133.4},
		{120, 95.9}, {140, 79.7}, {160, 72.7}} {
		if got := m.Needed(row[0]); math.Abs(got-row[1]) > 0.06 {
			t.Errorf("after %v chill days %.1f, want %.1f", row[0], got, row[1])
		}
	}
}

// Daily rates of autumn cooling by the form of Delpierre and others (2009); computed from the formula with the
// parameters given.
func TestCoolingRates(t *testing.T) {
	for _, row := range []struct{ base, start, mean, daylight, want float64 }{
		{28.5, 14.5, 15, 12.5, 135.44}, {28.5, 14.5, 10, 11.5, 215.28}, {28.5, 12.5, 10, 11.5, 289.68},
		{28.5, 14.5, 15, 14.5, 0}, {14, 14.5, 15, 12.5, 0},
	} {
		f := AutumnCooling{DayLength: row.start, Base: row.base, TemperatureExponent: 2, DayLengthExponent: 2}.forcing()
		if got := f.of(weather.Day{Min: row.mean, Max: row.mean}, row.daylight); math.Abs(got-row.want) > 0.006 {
			t.Errorf("%+v: %.2f", row, got)
		}
	}
}

func TestDegreeDayLag(t *testing.T) {
	temps := NewTemperatures(testSite, flat(civil.Of(2019, 1, 1), civil.Of(2021, 12, 31), 10, 16))
	sp := &Species{ID: "x-y", Common: []string{"x"}, Phases: []*PhaseRecord{
		{Phase: BudBreak,
			Model: &PhaseModel{Models: []Model{ThermalTime{Start: 60, Base: 3, Method: SineForcing, Requirement: 95}},
				Residual: 3}},
		{Phase: LeafOut, Model: &PhaseModel{Models: []Model{DegreeDayLag{After: BudBreak, Base: 3, Method: SineForcing,
			Requirement: 200}}, Residual: 4}},
	}}
	o := &Outlook{Site: testSite, Temps: temps}
	if got := o.Estimate(sp, 2021).Get(LeafOut); got.Basis != BasisReached || got.Dist.Mean() != 88.5 {
		t.Errorf("after modelled bud break: %v %v, want day 68.5 and 20 days", got.Basis, got.Dist)
	}
	o = &Outlook{Site: testSite, Temps: temps,
		Sightings: Sightings{{Date: civil.Of(2021, 3, 21), Site: "here", Species: "x-y", Phase: BudBreak}}}
	if got := o.Estimate(sp, 2021).Get(LeafOut); math.Abs(got.Dist.Mean()-100) > 1e-9 {
		t.Errorf("after bud break seen on day 80: %v, want 20 days later", got.Dist)
	}
}

// Leaf colour a given number of days later for each degree by which September was warmer than the site's others.
func TestWarmthShift(t *testing.T) {
	s := flat(civil.Of(2000, 1, 1), civil.Of(2020, 12, 31), 8, 18)
	for d := civil.Of(2019, 9, 1); d <= civil.Of(2019, 9, 30); d++ {
		s.Put(d, weather.Day{Min: 11, Max: 21})
	}
	sp := &Species{ID: "x-y", Common: []string{"x"}, Phases: []*PhaseRecord{{
		Phase: LeafColor, Moves: MovesEarlier,
		References: []Reference{{Latitude: 44, Longitude: -72, Elevation: 300, Day: 280, Spread: 4}},
		Model:      &PhaseModel{Models: []Model{WarmthShift{From: 244, To: 273, DaysPerDegree: 1.4}}, Residual: 4},
	}}}
	o := &Outlook{Site: testSite, Temps: NewTemperatures(testSite, s)}
	for year, want := range map[int]float64{2019: 280 + 3*1.4, 2010: 280 - 3*1.4/20} {
		if got := o.Estimate(sp, year).Get(LeafColor); math.Abs(got.Dist.Mean()-want) > 1e-6 ||
			got.Basis != BasisReached {
			t.Errorf("%d: day %.3f (%v), want %.3f", year, got.Dist.Mean(), got.Basis, want)
		}
	}
	// The mean date was carried to the site, if only next door, and the spread must say so.
	if sd := o.Estimate(sp, 2019).Get(LeafColor).Dist.SD(); sd <= 4 {
		t.Errorf("spread %.2f, want more than the residual's 4", sd)
	}
	few := s.Until(civil.Of(2003, 12, 31))
	o = &Outlook{Site: testSite, Temps: NewTemperatures(testSite, few)}
	if got := o.Estimate(sp, 2003).Get(LeafColor); got.Basis != BasisPlace {
		t.Errorf("with three other years: %v, want the place alone: what is usual is not known", got.Basis)
	}
}
