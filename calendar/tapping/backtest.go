package tapping

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// LookBack says how past seasons are looked back on.
type LookBack struct {
	Rule     civil.MonthDay // the rule of thumb: tap on this day every year
	Until    int            // the last season looked at
	Forecast int            // days for which each morning had a forecast, as good as published ones are; 0 for none
}

// MostForecast is the most days of forecast that a look back can have: beyond, forecasts tell no more than the time of
// year does.
const MostForecast = 10

// Backtest is what would have come of tapping by this program's advice in past years, beside two simpler ways.
type Backtest struct {
	Site    *phenology.Site
	Species *phenology.Species
	Options calendar.TappingOptions
	LookBack
	Years []BacktestYear
	Means BacktestYear // means of the shares; its dates are not used
	// means of what is caught as a share of the best day's catch
	OfBest struct{ Advised, Fixed, Rule float64 }
	// by how much the advice catches more than the two simpler ways, season by season
	OverFixed, OverRule PairedDifference
	// the season in which the advice falls farthest behind the worse of the two, or leads it least
	Worst BacktestYear
}

// BacktestYear is one past season. Shares are of the season's run days, yield falling as a hole ages. With a forecast,
// the advised day is the middle one of those by several draws of its errors, and what is caught their mean.
type BacktestYear struct {
	Season                                    int
	Advised, Fixed, Thumb, Hindsight          civil.Date
	AdvisedCaught, FixedCaught                float64
	ThumbCaught, HindsightCaught, SeasonsRuns float64
}

// OfBest returns what is caught as a share of what the season's best day, known afterwards, would have caught.
func (y *BacktestYear) OfBest(caught float64) float64 { return caught / y.HindsightCaught }

// Lead returns by how much the advice catches more than the worse of the two simpler ways; negative if less.
func (y *BacktestYear) Lead() float64 { return y.AdvisedCaught - min(y.FixedCaught, y.ThumbCaught) }

// PairedDifference is the mean of differences between two ways in the same seasons, and its standard error: their
// standard deviation over the root of their number, as for seasons that have nothing to do with one another. The error
// of one season alone is NaN.
type PairedDifference struct{ Mean, StandardError float64 }

func pairedDifference(differences []float64) PairedDifference {
	m, square, n := mean(differences), 0.0, float64(len(differences))
	for _, d := range differences {
		square += (d - m) * (d - m)
	}
	return PairedDifference{m, math.Sqrt(square / (n - 1) / n)}
}

// Clear reports whether chance alone would hardly bring such a difference: it is two standard errors or more.
func (d PairedDifference) Clear() bool { return math.Abs(d.Mean) >= 2*d.StandardError }

// NewBacktest asks, for each past season of a record, on which day the advice would have been to tap, each morning
// anew and with only what was known then: the seasons before, this one's days up to the day before, and a forecast if
// one is asked for. It compares it with tapping on the mean of the best days of the seasons before, and on a day of
// the calendar. Fewer than MinYears earlier seasons give no advice.
func NewBacktest(
	o *phenology.Outlook, sp *phenology.Species, opt calendar.TappingOptions, back LookBack,
) (*Backtest, error) {
	if !Tappable(sp) {
		return nil, fmt.Errorf("%s is not tapped", sp.Name())
	}
	if o.Temps == nil {
		return nil, fmt.Errorf("%s: no temperatures to look back on", o.Site.Name)
	}
	b := &Backtest{Site: &o.Site, Species: sp, Options: opt, LookBack: back}
	catch := newCatcher(LifeOf(opt), opt.DaysToTap)
	var bests []float64
	for year := phenology.SeasonAt(o.Site, o.Temps.Series().First).Year; year <= back.Until; year++ {
		rec, ok := o.SapYearRecorded(sp, year, FirstRunDay)
		if !ok {
			continue
		}
		catch.load(&rec, rec.Flow, rec.Flow)
		total := catch.plain.total
		if total < 1 {
			continue
		}
		shares := make([]float64, len(rec.Days))
		catch.shares(shares, shares, 0)
		best := 0
		for k := range shares {
			if shares[k] > shares[best]+1e-9 {
				best = k
			}
		}
		if len(bests) >= phenology.MinYears {
			season := o.Site.Season(year)
			at := func(day phenology.SeasonDay) float64 {
				if i := int(day - FirstRunDay); i >= 0 && i < len(shares) {
					return shares[i]
				}
				return 0
			}
			if advised := adviseLookingBack(o, sp, season, opt, rec.End, back.Forecast); len(advised) > 0 {
				fixed := phenology.SeasonDay(mean(bests) + 0.5)
				thumb := season.Day(back.Rule.In(year))
				if season.Southern && thumb < 1 {
					thumb = season.Day(back.Rule.In(year + 1))
				}
				caught := make([]float64, len(advised))
				for i, day := range advised {
					caught[i] = at(day)
				}
				b.Years = append(b.Years, BacktestYear{
					Season: year, SeasonsRuns: total,
					Advised: season.Date(advised[len(advised)/2]), Fixed: season.Date(fixed),
					Thumb:         season.Date(thumb),
					Hindsight:     season.Date(FirstRunDay + phenology.SeasonDay(best)),
					AdvisedCaught: mean(caught), FixedCaught: at(fixed), ThumbCaught: at(thumb),
					HindsightCaught: shares[best],
				})
			}
		}
		bests = append(bests, float64(FirstRunDay+best))
	}
	if len(b.Years) == 0 {
		return nil, fmt.Errorf("%s: found %d whole seasons on record, want at least %d: each is judged by %d or "+
			"more before it",
			o.Site.Name, len(bests), phenology.MinYears+1, phenology.MinYears)
	}
	b.compare()
	return b, nil
}

// compare works out the means, and the advice's lead.
func (b *Backtest) compare() {
	n := float64(len(b.Years))
	var overFixed, overRule []float64
	b.Worst = b.Years[0]
	for _, y := range b.Years {
		b.Means.AdvisedCaught += y.AdvisedCaught / n
		b.Means.FixedCaught += y.FixedCaught / n
		b.Means.ThumbCaught += y.ThumbCaught / n
		b.Means.HindsightCaught += y.HindsightCaught / n
		b.Means.SeasonsRuns += y.SeasonsRuns / n
		b.OfBest.Advised += y.OfBest(y.AdvisedCaught) / n
		b.OfBest.Fixed += y.OfBest(y.FixedCaught) / n
		b.OfBest.Rule += y.OfBest(y.ThumbCaught) / n
		overFixed, overRule = append(overFixed, y.AdvisedCaught-y.FixedCaught),
			append(overRule, y.AdvisedCaught-y.ThumbCaught)
		if y.Lead() < b.Worst.Lead() {
			b.Worst = y
		}
	}
	b.OverFixed, b.OverRule = pairedDifference(overFixed), pairedDifference(overRule)
}

// ForecastDraws is how many times the errors of forecasts are drawn for each season. Our own choice: their mean is
// steadier than one season's luck with the weather, which is what is left.
const ForecastDraws = 5

// adviseLookingBack returns the days of the season on whose morning the advice first was to tap that day, in order:
// one, or where there was a forecast one for each draw of its errors. There is none where too few years were known.
func adviseLookingBack(o *phenology.Outlook, sp *phenology.Species, season phenology.Season,
	opt calendar.TappingOptions, end phenology.SeasonDay, forecast int) []phenology.SeasonDay {
	draws := 1
	if forecast > 0 {
		draws = ForecastDraws
	}
	var days []phenology.SeasonDay
	for draw := range draws {
		errs := newForecastErrors(season.Year, draw, int(end)+forecast, forecast)
		for day := phenology.SeasonDay(FirstRunDay); day < end; day++ {
			on := season.Date(day)
			years := o.SapYearsKnown(sp, season.Year, FirstRunDay, on-1, errs.forecast(o.Temps.Series(), on, day))
			if len(years) < phenology.MinYears {
				return nil
			}
			d := Decide(years, Terms{Today: day, Hole: LifeOf(opt), DaysToTap: opt.DaysToTap})
			if d == nil || d.Now() {
				days = append(days, day)
				break
			}
		}
	}
	slices.Sort(days)
	return days
}

// neighboursErr is how alike the forecasts of neighbouring days err: the correlation of their revisions, our own
// choice.
const neighboursErr = 0.6

// forecastErrors are drawn errors of the forecasts of one season: of each day, from the first run day on, and by how
// many days ahead it was forecast.
//
// As a day draws nearer its forecast is revised by errors that have nothing to do with one another, so that the error
// left is the sum of the revisions still to come, with the usual standard deviation: see [phenology.ForecastError]. So
// forecasts of one day made on days in a row err alike, as they do; and so do those of neighbouring days, since weather
// that comes early or late does so for some days.
type forecastErrors struct {
	days int // of a forecast
	of   [][]weather.Day
}

func newForecastErrors(season, draw, lastDay, days int) *forecastErrors {
	f := &forecastErrors{days: days}
	if days == 0 {
		return f
	}
	random := rand.New(rand.NewPCG(uint64(season), uint64(draw)))
	revisions := make([]weather.Day, days) // of the day before, in standard deviations
	for k := range revisions {
		revisions[k].Min, revisions[k].Max = random.NormFloat64(), random.NormFloat64()
	}
	fresh := math.Sqrt(1 - neighboursErr*neighboursErr)
	for range lastDay {
		var sum weather.Day
		errs := make([]weather.Day, days)
		before := 0.0
		for k := range errs {
			sd := phenology.ForecastError(k + 1)
			revision := math.Sqrt(sd*sd - before*before)
			before = sd
			r := &revisions[k]
			r.Min = neighboursErr*r.Min + fresh*random.NormFloat64()
			r.Max = neighboursErr*r.Max + fresh*random.NormFloat64()
			sum.Min, sum.Max = sum.Min+revision*r.Min, sum.Max+revision*r.Max
			errs[k] = sum
		}
		f.of = append(f.of, errs)
	}
	return f
}

// forecast returns what was forecast on the morning of a day, that day itself the first: what came, with errors. It
// ends where the record lacks a day.
func (f *forecastErrors) forecast(came weather.Series, on civil.Date, day phenology.SeasonDay) []weather.Day {
	var list []weather.Day
	for k := range f.days {
		d := came.At(on + civil.Date(k))
		if !d.Complete() {
			break
		}
		e := f.of[int(day-FirstRunDay)+k][k]
		low, high := d.Min+e.Min, d.Max+e.Max
		list = append(list, weather.Day{Min: min(low, high), Max: max(low, high)})
	}
	return list
}

func mean(values []float64) float64 { return sum(values) / float64(len(values)) }

func sum(values []float64) (sum float64) {
	for _, v := range values {
		sum += v
	}
	return sum
}
