package tapping

import (
	"math"
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Fifty buckets at Whately, 2013 (Smith College MacLeish Field Station, CC0), by the temperatures of Harvard Forest: a
// season's total within the range that is said of a season, the weeks' going with those that were gathered. The figures
// of the form come from this record: it is held here that the program has the form, not that it is true elsewhere.
func TestVolumesAtWhately(t *testing.T) {
	sap := gallons(t)
	temps := phenology.NewTemperaturesFrom(whately, openRecord(t, fisherFile), harvard.Elevation,
		phenology.DefaultLapseRate(false))
	sp := species(t, "sugar maple")
	pl := &calendar.Place{Outlook: &phenology.Outlook{Site: whately, Temps: temps},
		Species: []*phenology.Species{sp}, Options: calendar.DefaultOptions()}
	pl.Options.Tapping.Taps = 50
	days := slices.Sorted(mapKeys(sap))
	total := 0.0
	for _, d := range days {
		if g := sap[d]; !math.IsNaN(g) {
			pl.Book = append(pl.Book, calendar.Gathered{Date: d, Sap: g * phrase.LitresPerGallon})
			total += g * phrase.LitresPerGallon
		}
	}
	p := &calendar.Plan{AsOf: civil.Of(2013, time.June, 1), Places: []*calendar.Place{pl}}
	s := SeasonAt(p, pl, sp, 2013)
	if s.Book == nil || math.Abs(s.Book.This.Sap-total) > 1 || s.Book.Seasons != 0 || s.Book.Factor != 1 {
		t.Fatalf("the book: %+v", s.Book)
	}
	expected := s.expectedThen(s.Book.This)
	t.Logf("%.0f litres by the book on %d days, %.0f expected", total, s.Book.This.Days, expected)
	if math.Abs(math.Log(total/expected)) > bushSpread {
		t.Errorf("expected %.0f litres, gathered %.0f", expected, total)
	}
	// The same season in the book for three years, twice as much: what is expected is tuned to it.
	double := *pl
	double.Book = nil
	for year := 2010; year <= 2012; year++ {
		double.Book = append(double.Book, inventedRows(double.Outlook, s.uses, civil.Of(year, time.February, 22), 42, 100,
			func() float64 { return 1 })...)
	}
	tuned := SeasonAt(p, &double, sp, 2013).Book
	if tuned.Seasons != 3 || math.Abs(tuned.Factor-2) > 0.1 || tuned.Spread > bushSpread {
		t.Errorf("tuned to twice the usual: %+v", tuned.Tuning)
	}
	// Of birches in the same bush, which run when maples are done, the book tells nothing; nor does it of one taphole.
	if birch := SeasonAt(p, &double, species(t, "paper birch"), 2013).Book; birch != nil {
		t.Errorf("birches have the book of maples: %+v", birch.Tuning)
	}
	double.Options.Tapping.Taps = 0
	if one := SeasonAt(p, &double, sp, 2013).Book; one.Odd != 3 || one.Seasons != 0 || one.Factor != 1 {
		t.Errorf("a taphole is tuned to a bush: %+v", one.Tuning)
	}
}

// A day that is likely to run brings a tap between half a litre and a few litres: fifty buckets brought 1.1 litres in the
// middle collection and 1.8 in the mean one (Whately 2013), Vermont's vacuum bushes 2.3 to 3.2 a day (Northern Woodlands).
func TestVolumeOfRuns(t *testing.T) {
	asOf := civil.Of(2027, time.March, 20)
	days := 0
	volume := func(collection calendar.Collection, taps int) *Volume {
		p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
		tapped := civil.Of(2027, time.March, 10)
		o := &p.Places[0].Options.Tapping
		o.Tapped, o.Collection, o.Taps = &tapped, collection, taps
		calendartest.WithForecast(p, 3)
		s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
		for i := range s.Runs {
			if r := &s.Runs[i]; !r.Over {
				days = r.Span.Days()
				return s.Volume(r)
			}
		}
		return nil
	}
	one, many, pumped := volume(calendar.Gravity, 0), volume(calendar.Gravity, 800), volume(calendar.Vacuum, 800)
	if one == nil || many == nil || pumped == nil {
		t.Fatal("no run ahead")
	}
	if perDay := one.Litres / float64(days); perDay < 0.5 || perDay > 3.5 || one.Low > one.Litres/1.5 || one.High < 1.5*one.Litres {
		t.Errorf("a tap: %+v", one)
	}
	if math.Abs(many.Litres/one.Litres-800) > 1 || pumped.Litres < 1.8*many.Litres {
		t.Errorf("eight hundred %+v, under vacuum %+v", many, pumped)
	}
}
