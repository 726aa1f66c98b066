package tapping

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// inventedRows are a book of one season of a record's weather, invented from a truth: what ran by it from a first day on
// into holes drilled then, times an error of each day, gathered every other day.
func inventedRows(o *phenology.Outlook, truth assumed, first civil.Date, days int, taps float64, times func() float64) (book []calendar.Gathered) {
	runs, _ := o.Temps.Runs(truth.rule, civil.Span{First: first, Last: first + civil.Date(days-1)})
	warmth, sap := 0.0, 0.0
	for i, r := range runs {
		d := o.Temps.Series().At(first + civil.Date(i))
		sap += taps * dayVolume(r.Likelihood, r.Hours, truth.life.Left(float64(i), warmth)) * times()
		warmth += phenology.SineDegreeDays(d.Min, d.Max, phenology.HoleWarmthBase)
		if i%2 == 1 && sap > 1 {
			book, sap = append(book, calendar.Gathered{Date: first + civil.Date(i+1), Sap: sap}), 0
		}
	}
	return book
}

// TestTunedToABook tunes to invented books whose truth is known; the one real book at hand, Whately's of 2013, has one
// season, and of one season nothing can be left out. Holes that last twice as long are found out, and so is a bush that
// runs on colder days; where the usual is the truth, it stays; and an error of a day such as Whately's (0.7) hides what
// differs by little.
func TestTunedToABook(t *testing.T) {
	o := outlook(montreal, openRecord(t, montrealFiles))
	sp := species(t, "sugar maple")
	usual := assumed{LifeOf(calendar.DefaultOptions().Tapping), *sp.Sap.Run}
	long, cold := usual, usual
	long.life.Days, long.life.Warmth = 2*long.life.Days, 2*long.life.Warmth
	cold.rule.Day.Low, cold.rule.Day.High = cold.rule.Day.Low-2, cold.rule.Day.High-2
	for _, row := range []struct {
		name             string
		truth            assumed
		seasons          int
		error            float64
		hole, thresholds bool
	}{
		{"as usual", usual, 4, 0.3, false, false},
		{"as usual, and noisy", usual, 4, 0.7, false, false},
		{"long-lived holes", long, 4, 0.3, true, false},
		{"runs on colder days", cold, 4, 0.3, false, true},
		{"one season", long, 1, 0.3, false, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			kept, tuned := 0, 0
			for seed := range uint64(5) {
				pl := &calendar.Place{Outlook: o, Species: []*phenology.Species{sp}, Options: calendar.DefaultOptions()}
				random := rand.New(rand.NewPCG(seed, 1))
				for year := 1998; year < 1998+row.seasons; year++ {
					pl.Book = append(pl.Book, inventedRows(o, row.truth, civil.Of(year, time.February, 20), 56, 100,
						func() float64 { return math.Exp(row.error * random.NormFloat64()) })...)
				}
				pl.Options.Tapping.Taps = 100
				p := &calendar.Plan{AsOf: civil.Of(2006, time.March, 10), Places: []*calendar.Place{pl}}
				s := SeasonAt(p, pl, sp, 2006)
				b := s.Book
				if (b.Hole.Seasons > 0) != (row.seasons > 1) || b.Hole.Kept && b.Hole.Tuned >= b.Hole.Usual {
					t.Fatalf("%+v", b.Tuning)
				}
				if b.Hole.Kept {
					kept++
				} else if s.uses.life != usual.life {
					t.Errorf("not kept, and used: %+v", s.uses.life)
				}
				if b.Thresholds.Kept {
					tuned++
				}
				if row.seasons > 1 {
					t.Logf("holes %+v %+v; thresholds %+v %+v", b.Hole, s.uses.life, b.Thresholds, b.Milder)
				}
			}
			if row.hole != (kept >= 4) && (row.hole || kept > 1) {
				t.Errorf("hole life kept in %d of 5 books, want %v", kept, row.hole)
			}
			if row.thresholds != (tuned >= 4) && (row.thresholds || tuned > 1) {
				t.Errorf("thresholds kept in %d of 5 books, want %v", tuned, row.thresholds)
			}
		})
	}
}
