package tapping

import (
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Booked is what a place's book has of one season. Volumes are litres.
type Booked struct {
	Season      int
	First, Last civil.Date // days with sap or syrup
	Days        int        // days with sap
	Sap, Syrup  float64
	Sugar       float64 // of the sap, percent, the mean by volume; 0: not said

	rows []calendar.Gathered
}

// Book is what a place's book has of this season, and of those before it.
type Book struct {
	This Booked
	Past []Booked // the earliest first
	Tuning
}

// Tuning is by how much what was gathered differs from what was to be expected, season by season, before it is tuned
// to.
type Tuning struct {
	Factor  float64 // by which expected volumes are multiplied; 1 until [TunedAfter] seasons are in
	Spread  float64 // of a season's total about what is expected after that, as a standard deviation of logarithms
	Seasons int     // that it rests on
	Odd     int     // others, of which the sap is more than [OddTimes] what was to be expected, or as much less

	Hole       Trial  // of how long holes last
	Thresholds Trial  // of the night and the day from which a day counts as a run day, for volumes alone
	Milder     Milder // by how much those are milder than usual, where they are kept
}

// Milder is by how many degrees Celsius thresholds are above the usual ones.
type Milder struct{ Night, Day float64 }

// OddTimes is how far off a season's sap may be for volumes to be tuned to it: what is off by more is of other taps
// than the plan says, or in other units. Our own choice; bushes differ by much less.
const OddTimes = 10

// TunedAfter is after how many whole past seasons in the book volumes are tuned to it; our own choice.
const TunedAfter = 2

// All are our own choice.
const (
	fewestDays = 5    // with sap, for a season to tell anything
	leastSigma = 0.15 // two seasons alike do not make the third certain
)

// book reads the place's book; nil where it has nothing of the season's sap up to the as-of day.
func (s *Season) book() *Book {
	if len(s.Place.Book) == 0 || s.isMaplesBook() {
		return nil
	}
	bySeason := map[int]*Booked{}
	years := []int{}
	for _, g := range s.Place.Book {
		if g.Date > s.AsOf {
			continue
		}
		year := phenology.SeasonAt(s.Place.Outlook.Site, g.Date).Year
		b := bySeason[year]
		if b == nil {
			b = &Booked{Season: year, First: g.Date, Last: g.Date}
			bySeason[year], years = b, append(years, year)
		}
		b.add(g)
	}
	book := &Book{This: Booked{Season: s.Season.Year}}
	for _, year := range years { // the book is in the order of its days
		switch b := bySeason[year]; {
		case year == s.Season.Year:
			book.This = *b
		case year < s.Season.Year:
			book.Past = append(book.Past, *b)
		}
	}
	if len(book.Past) == 0 && book.This.Days == 0 && book.This.Syrup == 0 {
		return nil
	}
	uses, hole, thresholds := s.assume(s.Options, book.Past)
	s.uses = uses // of which volumes are what is expected
	book.Tuning = s.tune(book.Past)
	book.Hole, book.Thresholds = hole, thresholds
	usual := s.Species.Sap.Run
	book.Milder = Milder{uses.rule.Night.Low - usual.Night.Low, uses.rule.Day.Low - usual.Day.Low}
	return book
}

func (b *Booked) add(g calendar.Gathered) {
	b.rows = append(b.rows, g)
	b.First, b.Last = min(b.First, g.Date), max(b.Last, g.Date)
	if g.Sap > 0 {
		b.Days++
	}
	if total := b.Sap + g.Sap; g.Sugar > 0 && total > 0 {
		b.Sugar = (b.Sugar*b.Sap + g.Sugar*g.Sap) / total
	}
	b.Sap, b.Syrup = b.Sap+g.Sap, b.Syrup+g.Syrup
}

// tune compares past seasons of the book with what was to be expected of holes drilled on their first day.
func (s *Season) tune(past []Booked) Tuning {
	t := Tuning{Factor: 1, Spread: bushSpread}
	var logs []float64
	for _, b := range past {
		expected := s.expectedThen(b)
		if b.Days < fewestDays || expected <= 0 {
			continue
		}
		if off := math.Log(b.Sap / expected); math.Abs(off) < math.Log(OddTimes) {
			logs = append(logs, off)
		} else {
			t.Odd++
		}
	}
	if t.Seasons = len(logs); t.Seasons < TunedAfter {
		return t
	}
	m, square := mean(logs), 0.0
	for _, x := range logs {
		square += (x - m) * (x - m)
	}
	n := float64(len(logs))
	t.Factor = math.Exp(m)
	t.Spread = max(leastSigma, math.Sqrt(square/(n-1)*(1+1/n))) // the mean of few is itself uncertain
	return t
}

// isMaplesBook reports whether the season is of birches, and trees that run by freeze and thaw are tapped there as
// well: a book does not say of which trees its sap is, and nearly all will be of those.
func (s *Season) isMaplesBook() bool {
	return s.Species.Sap.Run.Drive == phenology.RootPressure &&
		slices.ContainsFunc(s.Place.Species, func(sp *phenology.Species) bool {
			return Tappable(sp) && sp.Sap.Run.Drive != phenology.RootPressure
		})
}

// expectedThen is the volume that was to be expected of a season that the book has, litres; 0 where the record lacks
// it.
func (s *Season) expectedThen(b Booked) float64 {
	o := s.Place.Outlook
	if o.Temps == nil {
		return 0
	}
	span := civil.Span{First: b.First, Last: b.Last}
	runs, ok := o.Temps.Runs(s.uses.rule, span)
	if !ok {
		return 0
	}
	warmth, sum := 0.0, 0.0
	for i, r := range runs {
		d := o.Temps.Series().At(b.First + civil.Date(i))
		sum += dayVolume(r.Likelihood, r.Hours, s.uses.life.Left(float64(i), warmth))
		warmth += phenology.SineDegreeDays(d.Min, d.Max, phenology.HoleWarmthBase)
	}
	return sum * s.perTap() * float64(max(1, s.Options.Taps))
}
