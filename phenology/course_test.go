package phenology

import (
	"math"
	"testing"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// wavy is a record with a year's wave and a spell of some days in it.
func wavy(first, last civil.Date) weather.Series {
	s := weather.Series{First: first}
	for d := first; d <= last; d++ {
		mean := 8 - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + 5*math.Sin(float64(d)/4)
		s.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	return s
}

// A search in a course must date a season as the model itself does, and what was gathered by a day must be the
// requirement that dates it to that day.
func TestCourseDatesAsTheModelDoes(t *testing.T) {
	temps := NewTemperatures(testSite, wavy(civil.Of(2018, 1, 1), civil.Of(2021, 12, 31)))
	season := testSite.Season(2020)
	for _, row := range []struct {
		model Fittable
		tol   float64 // days
	}{
		{ThermalTime{Start: 60, Base: 3, Method: SineForcing, DayLengthExponent: 2, Requirement: 200}, 1e-9},
		{ThermalTime{Start: -20, Base: 5, Method: AverageForcing, Requirement: 57.3}, 1e-9},
		// Within the day, warmth and what is needed are both taken as straight lines by the model, their quotient here.
		{ChillingThermalTime{Start: 32, Base: 5, Method: SineForcing, ChillStart: -60, ChillBelow: 5, Requirement: 100,
			Extra: 6500, Decay: 0.042}, 0.01},
		{ChillingThenForcing{ChillStart: -60, Chilling: SarvasChilling, ChillRequirement: 40, Forcing: SarvasForcing,
			Requirement: 150}, 1e-9},
		{ChillingThenForcing{ChillStart: -60, ChillingBy: ChillingByUnits, ChillRequirement: 400, Method: SineForcing,
			Base: 4, Requirement: 80}, 1e-9},
		{AutumnCooling{DayLength: 14.5, Base: 28.5, TemperatureExponent: 2, DayLengthExponent: 2, Requirement: 8000},
			1e-9},
	} {
		course, ok := temps.Course(row.model, season, lastDay)
		want, dated := temps.DateBy(row.model, season)
		if !ok || !dated {
			t.Errorf("%s: course %t, date %t", row.model.Kind(), ok, dated)
			continue
		}
		got, ok := course.Reaches(row.model.Need(), new(int))
		if !ok || math.Abs(got-want) > row.tol {
			t.Errorf("%s: day %v by its course, %v by the model", row.model.Kind(), got, want)
		}
		for _, day := range []float64{110, 133.25, 200.5} {
			need := course.At(day)
			if direct, ok := temps.Gathered(row.model, season, day); ok && math.Abs(direct-need) > 0.005*direct {
				t.Errorf("%s: by day %v gathered %v by its course, %v by the model", row.model.Kind(), day, need,
					direct)
			}
			if back, ok := course.Reaches(need, new(int)); need > 0 && need < course.At(300) &&
				(!ok || math.Abs(back-day) > 1e-6) {
				t.Errorf("%s: what was gathered by day %v dates to %v", row.model.Kind(), day, back)
			}
		}
		for d := 2.0; d < course.Ends(); d++ {
			if course.At(d) < course.At(d-1) {
				t.Fatalf("%s: falls on day %v", row.model.Kind(), d)
			}
		}
	}
}

// A course ends where the record does, and there is none where the record begins too late.
func TestCourseIsCutShort(t *testing.T) {
	m := ThermalTime{Start: 60, Base: 3, Method: SineForcing, Requirement: 200}
	temps := NewTemperatures(testSite, wavy(civil.Of(2020, 2, 1), civil.Of(2020, 5, 1)))
	course, ok := temps.Course(m, testSite.Season(2020), lastDay)
	if !ok || course.Ends() != 122 {
		t.Errorf("ends on day %v (%t), want 122, 1 May of a leap year", course.Ends(), ok)
	}
	if _, ok := course.Reaches(1e6, new(int)); ok {
		t.Error("a requirement that was never gathered is reached")
	}
	if before := course.At(40); before != 0 {
		t.Errorf("%v gathered before the model's start", before)
	}
	m.Start = 15
	if _, ok := temps.Course(m, testSite.Season(2020), lastDay); ok {
		t.Error("a course from before the record")
	}
}
