package fit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/fit"
	"treewhen/phenology/weather"
)

// decades is invented weather from 1989 on, the year's mean as given.
func decades(seed uint64, years int, mean float64) *phenology.Temperatures {
	r := rand.New(rand.NewPCG(seed, 1))
	s := weather.Series{First: civil.Of(1989, 1, 1)}
	spell, mood := 0.0, 0.0
	for d := s.First; d <= civil.Of(1989+years, 12, 31); d++ {
		spell = 0.7*spell + 2.5*r.NormFloat64()
		mood = 0.98*mood + 0.35*r.NormFloat64()
		day := mean - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + spell + mood
		s.Put(d, weather.Day{Min: day - 5, Max: day + 5})
	}
	return phenology.NewTemperatures(site, s)
}

func search(t *testing.T, temps *phenology.Temperatures, phase phenology.Phase, list []fit.Year) *fit.Result {
	t.Helper()
	e, err := fit.Gather(temps, phase, list)
	if err != nil {
		t.Fatal(err)
	}
	return e.Choose(nil)
}

func chosen(t *testing.T, r *fit.Result) fit.Row {
	t.Helper()
	var one []fit.Row
	for _, row := range r.Rows {
		if row.Chosen {
			one = append(one, row)
		}
	}
	if len(one) != 1 {
		t.Fatalf("%d of %d candidates are chosen, want one", len(one), len(r.Rows))
	}
	return one[0]
}

// With clear data, thirty years seen to within a day, the model that made the dates is found: its form, its base to the
// next but one that was tried, its start to a month: what gathers before that over 7 degrees is next to nothing.
func TestTheTruthIsFound(t *testing.T) {
	for i, hidden := range []phenology.ThermalTime{
		{Start: 32, Base: 7, Method: phenology.SineForcing, Requirement: 90},
		{Start: 46, Base: 1, Method: phenology.SineForcing, Requirement: 330},
		{Start: 74, Base: 5, Method: phenology.SineForcing, Requirement: 150},
		{Start: 32, Base: 2, Method: phenology.SineForcing, DayLengthExponent: 4, Requirement: 250},
	} {
		temps := decades(uint64(i+1), 32, 8)
		r := search(t, temps, phenology.BudBreak, years(t, temps, hidden, 30, 0.7, 1))
		row := chosen(t, r)
		name := "thermal time"
		if hidden.DayLengthExponent > 0 {
			name = "thermal time weighted by day length"
		}
		m, ok := row.Models[0].(phenology.ThermalTime)
		if row.Name != name || !ok {
			t.Errorf("%+v: chose %s", hidden, row.Name)
			continue
		}
		if math.Abs(m.Base-hidden.Base) > 2 || max(m.Start-hidden.Start, hidden.Start-m.Start) > 30 {
			t.Errorf("%+v: found %+v", hidden, m)
		}
		if r.RMSE > 1.2 {
			t.Errorf("%+v: %.2f days on years left out, want about the 0.7 of the noise", hidden, r.RMSE)
		}
	}
}

// Where winters are mild, chilling decides; a model without it cannot follow.
func TestChillingIsFound(t *testing.T) {
	temps := decades(5, 32, 13)
	hidden := phenology.ChillingThenForcing{ChillStart: -60, ChillingBy: phenology.ChillingByHours,
		ChillRequirement: 1000, Method: phenology.SineForcing, Base: 3, Requirement: 250}
	r := search(t, temps, phenology.BudBreak, years(t, temps, hidden, 30, 0.7, 1))
	row := chosen(t, r)
	m, ok := row.Models[0].(phenology.ChillingThenForcing)
	if !ok {
		t.Fatalf("chose %s: %+v", row.Name, row.Models)
	}
	if r.RMSE > 1.5 || m.Requirement < 50 {
		t.Errorf("%.2f days on years left out, by %+v", r.RMSE, m)
	}
}

// With little and noisy data the panel is kept, mostly: choosing follows the noise.
func TestLittleDataKeepsThePanel(t *testing.T) {
	kept := 0
	for seed := range uint64(6) {
		temps := decades(seed+20, 12, 8)
		hidden := fit.Panel().Models[1].WithNeed(300)
		r := search(t, temps, phenology.BudBreak, years(t, temps, hidden, 10, 3.5, seed))
		if row := chosen(t, r); row.Name == fit.Panel().About {
			kept++
			if !strings.Contains(row.Why, "nothing in it was fitted but its requirements") {
				t.Errorf("the panel: %s", row.Why)
			}
		}
	}
	if kept < 5 {
		t.Errorf("kept the panel, which made the dates, %d times of 6", kept)
	}
}

// The errors reported must be those of years to come, the cost of choosing in them. The best variant's own error on
// years left out, which a choice by it makes too small, must come out smaller.
func TestReportedErrorsAreHonest(t *testing.T) {
	hidden := phenology.ThermalTime{Start: 46, Base: 1, Method: phenology.SineForcing, Requirement: 330}
	var reported, later float64
	const seeds = 8
	for seed := range uint64(seeds) {
		const n, more = 16, 30
		temps := decades(seed+40, n+more+2, 8)
		all := years(t, temps, hidden, n+more, 3, seed)
		r := search(t, temps, phenology.BudBreak, all[:n])
		reported += r.RMSE * r.RMSE / seeds
		score := fit.Score(temps, &phenology.PhaseModel{Models: r.Models}, all[n:])
		later += score * score / seeds
	}
	// Eight means of 16 squares each are good to some 12 %, their root to half of that.
	if ratio := math.Sqrt(reported / later); ratio < 0.85 || ratio > 1.2 {
		t.Errorf("reported %.2f days, on later years %.2f", math.Sqrt(reported), math.Sqrt(later))
	}
}

// Species that differ in their requirement alone tell together what none tells by itself.
func TestPoolingHelpsWhereSpeciesAreAlike(t *testing.T) {
	var shared, own float64
	for seed := range uint64(2) {
		temps := decades(seed+60, 12, 8)
		var pool []*fit.Evidence
		for k := range 6 {
			hidden := phenology.ThermalTime{Start: 46, Base: 6, Method: phenology.SineForcing,
				Requirement: 90 + 15*float64(k)}
			e, err := fit.Gather(temps, phenology.BudBreak, years(t, temps, hidden, 10, 3.5, seed*10+uint64(k)))
			if err != nil {
				t.Fatal(err)
			}
			pool = append(pool, e)
		}
		p := fit.NewPool(pool)
		for _, e := range pool {
			for _, row := range e.Choose(p).Rows {
				switch {
				case row.Name == "thermal time" && row.Shared == 6:
					shared += row.RMSE / 12
				case row.Name == "thermal time" && row.Shared == 0:
					own += row.RMSE / 12
				}
			}
		}
	}
	if !(shared < own-0.1) {
		t.Errorf("thermal time chosen by all six: %.2f days on years left out; by each: %.2f", shared, own)
	}
}

// One slope of colour with September's warmth for all trees.
func TestWarmthIsFound(t *testing.T) {
	temps := decades(80, 22, 8)
	var pool []*fit.Evidence
	for k := range 5 {
		r := rand.New(rand.NewPCG(uint64(k), 3))
		var list []fit.Year
		for i := range 20 {
			s := site.Season(1990 + i)
			warmth, _ := temps.MeanOf(s, 244, 273)
			list = append(list, fit.Year{Season: s,
				Day: math.Round(280 + float64(2*k) + 2*(warmth-17) + 2*r.NormFloat64())})
		}
		e, err := fit.Gather(temps, phenology.LeafColor, list)
		if err != nil {
			t.Fatal(err)
		}
		pool = append(pool, e)
	}
	p := fit.NewPool(pool)
	for k, e := range pool {
		r := e.Choose(p)
		row := chosen(t, r)
		m, ok := row.Models[0].(phenology.WarmthShift)
		if !ok || row.Shared != 5 || m.From != 244 || m.To != 273 || math.Abs(m.DaysPerDegree-2) > 0.4 {
			t.Errorf("tree %d: chose %s shared by %d: %+v", k, row.Name, row.Shared, row.Models)
		}
	}
}

// Colour that follows nothing is dated by its mean, and how little was gained says how long it would take to tell.
func TestAutumnWithoutCauseKeepsTheMeanDate(t *testing.T) {
	kept := 0
	for seed := range uint64(6) {
		temps := decades(seed+90, 22, 8)
		r := rand.New(rand.NewPCG(seed, 4))
		var list []fit.Year
		for i := range 20 {
			list = append(list, fit.Year{Season: site.Season(1990 + i), Day: math.Round(280 + 4*r.NormFloat64())})
		}
		got := search(t, temps, phenology.LeafColor, list)
		if row := chosen(t, got); row.Name == "mean date" {
			kept++
			if got.Models != nil || got.RMSE != got.MeanRMSE {
				t.Errorf("seed %d: the mean date has models %v and an error of %v instead of %v", seed, got.Models,
					got.RMSE, got.MeanRMSE)
			}
		}
	}
	if kept < 5 {
		t.Errorf("kept the mean date %d times of 6", kept)
	}
}

// What was chosen at the edge of what is tried, or against sense, is told.
func TestOddChoicesAreTold(t *testing.T) {
	temps := decades(7, 32, 8)
	hidden := phenology.ThermalTime{Start: 1, Base: -2, Method: phenology.SineForcing, Requirement: 600}
	for _, row := range search(t, temps, phenology.BudBreak, years(t, temps, hidden, 30, 0.5, 1)).Rows {
		m, ok := phenology.ThermalTime{}, false
		if len(row.Models) == 1 {
			m, ok = row.Models[0].(phenology.ThermalTime)
		}
		if !ok {
			continue
		}
		var want int
		if m.Start == 1 || m.Start == 84 {
			want++
		}
		if m.Base < 0 || m.Base > 10 {
			want++
		}
		if len(row.Odd) != want {
			t.Errorf("%s with %+v: odd for %q", row.Name, m, row.Odd)
		}
	}
}

// Rows say how much better or worse each is; those within chance, how many years would tell.
func TestRowsGiveReasons(t *testing.T) {
	temps := decades(11, 18, 8)
	hidden := phenology.ThermalTime{Start: 46, Base: 4, Method: phenology.SineForcing, DayLengthExponent: 1,
		Requirement: 200}
	r := search(t, temps, phenology.BudBreak, years(t, temps, hidden, 16, 2.5, 3))
	text := ""
	for _, row := range r.Rows {
		text += fmt.Sprintf("%s: %.2f: %s\n", row.Name, row.RMSE, row.Why)
	}
	for _, want := range []string{"mean date: ", "worse than the one chosen by ", "chosen: "} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}

// The panel alone, out of a search, must be what fitting the panel gives.
func TestSearchAndFitAgreeOnThePanel(t *testing.T) {
	temps := decades(12, 18, 8)
	list := years(t, temps, fit.Panel().Models[0].WithNeed(300), 16, 3, 3)
	plain, err := fit.Fit(temps, phenology.BudBreak, fit.Panel(), list)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range search(t, temps, phenology.BudBreak, list).Rows {
		if row.Name == fit.Panel().About && math.Abs(row.RMSE-plain.RMSE) > 1e-9 {
			t.Errorf("the panel in the search has an error of %v, by itself %v", row.RMSE, plain.RMSE)
		}
	}
}

// All forms, one phase, sixteen years; the bound is 10 s.
func BenchmarkSearch(b *testing.B) {
	temps := decades(1, 18, 8)
	var list []fit.Year
	for i := range 16 {
		s := site.Season(1990 + i)
		day, _ := temps.DateBy(fit.Panel().Models[1].WithNeed(300), s)
		list = append(list, fit.Year{Season: s, Day: math.Round(day)})
	}
	for b.Loop() {
		e, err := fit.Gather(temps, phenology.BudBreak, list)
		if err != nil {
			b.Fatal(err)
		}
		e.Choose(nil)
	}
}
