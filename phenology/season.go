package phenology

import (
	"math"
	"time"

	"treewhen/phenology/civil"
)

// Season is a growing year. It is named by the calendar year of its bud break; its days are counted from an anchor
// that is day 1: 1 January in the northern hemisphere and 2 July, half a year on, in the southern, so that one count
// means the same point of the year in both. Days run on past 365 (fruit that hangs into the next spring) and below 1
// (chilling in the autumn before).
type Season struct {
	Year     int
	Southern bool // of the southern hemisphere
}

// SeasonAt returns the season whose days 1 to 365 hold d at the site.
func SeasonAt(site Site, d civil.Date) Season {
	s := Season{Year: d.Year(), Southern: site.Southern()}
	if d < s.Anchor() {
		s.Year--
	}
	return s
}

// Season returns the site's season of a year.
func (s Site) Season(year int) Season { return Season{Year: year, Southern: s.Southern()} }

// Anchor returns day 1.
func (s Season) Anchor() civil.Date {
	if s.Southern {
		return civil.Of(s.Year, time.July, 2)
	}
	return civil.Of(s.Year, time.January, 1)
}

// Date returns the date of a day of the season.
func (s Season) Date(day SeasonDay) civil.Date { return s.Anchor() + civil.Date(day) - 1 }

// Nearest returns the date nearest to a moment of the season.
func (s Season) Nearest(moment float64) civil.Date { return s.Date(NearestDay(moment)) }

// Day returns which day of the season d is.
func (s Season) Day(d civil.Date) SeasonDay { return SeasonDay(d-s.Anchor()) + 1 }

// SeasonDay is a whole day of a [Season], counted from its anchor, which is day 1. It is no day of the calendar year:
// in the south the two differ by half a year.
//
// A moment of a season is a float64 in the same count. The end of day 120 is the moment 120, its noon is 119.5; what is
// known only by its day, such as a sighting, is taken to have come by that day's end.
type SeasonDay int

// End returns the moment at which the day ends.
func (d SeasonDay) End() float64 { return float64(d) }

// NearestDay returns the day whose end is nearest to a moment.
func NearestDay(moment float64) SeasonDay { return SeasonDay(math.Round(moment)) }
