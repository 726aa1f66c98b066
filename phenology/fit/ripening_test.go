package fit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/fit"
)

// ripened are thirty years of ripe fruit, each counted from a flowering that varies by two weeks, of which ripe makes
// the days; seen with an error of a day.
func ripened(seed uint64, ripe func(season phenology.Season, flowered float64) float64) (list []fit.Year) {
	r := rand.New(rand.NewPCG(seed, 7))
	for year := 1990; year < 2020; year++ {
		s := phenology.Season{Year: year}
		flowered := math.Round(130 + 7*r.NormFloat64())
		list = append(list, fit.Year{Season: s, Day: ripe(s, flowered) + r.NormFloat64(), Flowered: flowered})
	}
	return list
}

// What made the dates of ripe fruit is found: degree-days from flowering, such as white spruce's 912 over 5 degrees in
// Ontario (Woody Plant Seed Manual, Agriculture Handbook 727, Picea), days from flowering, or the calendar.
func TestRipeningIsFound(t *testing.T) {
	temps := decades(9, 32, 8)
	for _, row := range []struct {
		name string
		ripe func(phenology.Season, float64) float64
	}{
		{"degree-days from flowering", func(s phenology.Season, flowered float64) float64 {
			from := phenology.SeasonDay(flowered) + 1
			day, ok := temps.DateBy(
				phenology.ThermalTime{Start: from, Base: 5, Method: phenology.SineForcing, Requirement: 912}, s)
			if !ok {
				t.Fatalf("%d does not ripen", s.Year)
			}
			return day
		}},
		{"days from flowering", func(_ phenology.Season, flowered float64) float64 { return flowered + 100 }},
		{"mean date", func(s phenology.Season, _ float64) float64 { return 240 + 4*math.Sin(float64(37*s.Year)) }},
	} {
		r := search(t, temps, phenology.FruitRipe, ripened(3, row.ripe))
		if got := chosen(t, r); got.Name != row.name {
			t.Errorf("%s: found %s, %.1f days", row.name, got.Name, got.RMSE)
			continue
		}
		switch row.name {
		case "mean date":
			if len(r.Models) != 0 {
				t.Errorf("mean date: found %+v", r.Models)
			}
		case "days from flowering":
			m, ok := r.Models[0].(phenology.Lag)
			if !ok || m.After != phenology.Flowering || math.Abs(m.Days-100) > 1 || m.Spread > 2 || r.RMSE > 1.5 {
				t.Errorf("found %+v, %.1f days", r.Models[0], r.RMSE)
			}
		default:
			m, ok := r.Models[0].(phenology.DegreeDayLag)
			if !ok || m.After != phenology.Flowering || math.Abs(m.Base-5) > 2 || r.RMSE > 2 {
				t.Errorf("found %+v, %.1f days", r.Models[0], r.RMSE)
			}
			if ok && m.Base == 5 && math.Abs(m.Requirement-912) > 20 {
				t.Errorf("found %.0f degree-days, want 912", m.Requirement)
			}
		}
	}
}

// Where no year's flowering is known, the forms that count from it cannot serve, and that is told.
func TestRipeningWithoutFlowering(t *testing.T) {
	list := ripened(4, func(phenology.Season, float64) float64 { return 250 })
	for i := range list {
		list[i].Flowered = 0
	}
	r := search(t, decades(9, 32, 8), phenology.FruitRipe, list)
	for _, row := range r.Rows {
		if counted := row.Name == "days from flowering" || row.Name == "degree-days from flowering"; counted && row.Models != nil {
			t.Errorf("%s: found %+v", row.Name, row.Models)
		}
	}
	if len(r.Models) != 0 {
		t.Errorf("found %+v, want the mean date", r.Models)
	}
}
