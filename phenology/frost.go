package phenology

import (
	"fmt"
	"math"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// FrostYears is how many springs a record must hold before it says when the last frost comes: fewer cannot say what one
// spring in ten looks like. Our own choice; freeze probabilities are published from thirty.
const FrostYears = 10

// LastFrost is when the last frost of spring comes at a site: the last day before midsummer whose minimum is at or
// below 0 °C in the instrument shelter. Over the years its dates are close to a normal distribution, as Thom and Shaw
// (1958, Climatological analysis of freeze data for Iowa, Monthly Weather Review 86:251-257, from memory) found them.
type LastFrost struct {
	Years int     // springs that went in
	Mean  float64 // moment of the season
	SD    float64 // days, at least 1
	Drawn bool    // from temperatures drawn out of monthly normals, not from a record
}

// FewFrosts is the error where a record cannot say when the last frost comes: it has fewer than [FrostYears] springs,
// or more than a tenth of them passed without any frost.
type FewFrosts struct{ Springs, Without int }

func (e FewFrosts) Error() string {
	if e.Springs < FrostYears {
		return fmt.Sprintf("the record has %d whole springs; %d are needed to say when the last frost comes", e.Springs,
			FrostYears)
	}
	return fmt.Sprintf("%d of %d springs had no frost", e.Without, e.Springs)
}

// After returns the probability, in [0, 1], that a frost still comes after a day of the season, given as the moment at
// which it ends.
func (f LastFrost) After(day float64) float64 {
	// A frost after the day is one on the next day or later; dates stand for whole days.
	return 1 - normal.CDF((day+0.5-f.Mean)/f.SD)
}

// Day returns the first day of the season after which a frost comes with a probability of no more than risk, in (0, 1).
func (f LastFrost) Day(risk float64) SeasonDay {
	return SeasonDay(math.Ceil(f.Mean + f.SD*normal.Quantile(1-risk) - 0.5))
}

// LastFrosts returns the last day with a minimum at or below 0 °C before midsummer of each spring that the record
// covers, as the moments of the season at which these days end. A spring without such a day is counted in frostFree;
// one with more than a tenth of its days from midwinter to midsummer missing or made up is left out.
func (t *Temperatures) LastFrosts() (days []float64, frostFree int) {
	first := Season{Year: t.series.First.Year() - 1, Southern: t.site.Southern()}
	end := t.observed
	if t.normals { // every drawn year is as good as another
		end = t.Last()
	}
	for s := first; s.Anchor() <= end; s.Year++ {
		from, to := s.Date(1), s.Date(midsummerDay)
		if from < t.series.First || to > end {
			continue
		}
		last, unsure := civil.Date(0), 0
		for d := from; d <= to; d++ {
			day := t.series.At(d)
			switch {
			case math.IsNaN(day.Min) || day.Flags.Invented() && !t.normals:
				unsure++
			case day.Min <= 0:
				last = d
			}
		}
		switch {
		case float64(unsure) > widenInvented*float64(to-from+1):
		case last == 0:
			frostFree++
		default:
			days = append(days, s.Day(last).End())
		}
	}
	return days, frostFree
}

// midsummerDay is the last day of a season that belongs to spring's frosts.
var midsummerDay = SeasonDay(civil.MonthDay{Month: time.July, Day: 15}.YearDay())

// LastFrost fits a normal distribution to the dates of the last frost of spring: see [Temperatures.LastFrosts]. The
// error is a [FewFrosts].
func (t *Temperatures) LastFrost() (LastFrost, error) {
	days, free := t.LastFrosts()
	if springs := len(days) + free; springs < FrostYears || free > springs/10 {
		return LastFrost{}, FewFrosts{Springs: springs, Without: free}
	}
	mean, squares := meanAndSquares(days)
	return LastFrost{Years: len(days), Mean: mean, SD: max(1, math.Sqrt(squares/float64(len(days)-1))),
		Drawn: t.normals}, nil
}
