package page

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// pageWeather is this season's temperatures against the record.
type pageWeather struct {
	Drawing markup.HTML
	Caption string
	Runs    string   // in words; "" where no species here is tapped
	RunDays []string // month by month
	Rule    string
}

// seasonTemperatures are the days around the as-of day, and what other years had on them.
type seasonTemperatures struct {
	span     civil.Span
	asOf     civil.Date
	days     []weather.Day // of span; missing where there is none yet
	low      []float64     // the minimum that one other year in ten is below, of span; NaN where too few years
	high     []float64     // the maximum that one other year in ten is above
	mean     []float64     // the mean of minimum and maximum in other years
	years    int           // other years that went in
	observed civil.Date
	runs     []float64 // how likely sap runs, of span; nil where no species is tapped; NaN where unknown
	rule     *phenology.RunRule
}

// likelyRun is the likelihood from which a day is marked as a run day.
const likelyRun = 0.5

// newSeasonTemperatures collects two months before the as-of day's and the month after; nil and why if there is nothing
// to show.
func newSeasonTemperatures(pl *calendar.Place, asOf civil.Date, as phrase.Speech) (*seasonTemperatures, string) {
	temps := pl.Outlook.Temps
	if temps == nil {
		return nil, words.NoTemperatures(words.PlaceAlone, 0, as)
	}
	series := temps.Series()
	y, m, _ := asOf.Date()
	t := &seasonTemperatures{
		span: civil.Span{First: civil.Of(y, m-2, 1), Last: civil.Of(y, m+2, 1) - 1}, asOf: asOf,
		observed: temps.Observed(),
	}
	some := false
	for d := t.span.First; d <= t.span.Last; d++ {
		day := series.At(d)
		if d > asOf && day.Flags&weather.Forecast == 0 || day.Flags&weather.Synthetic != 0 {
			day = weather.Missing
		}
		some = some || day.Complete()
		t.days = append(t.days, day)
	}
	if !some {
		if t.observed < series.First {
			if temps.BuiltIn() > 0 {
				return nil, words.NoTemperatures(words.OnClimate, 0, as)
			}
			return nil, words.NoTemperatures(words.NoRecord, 0, as)
		}
		return nil, words.NoTemperatures(words.RecordEnds, t.observed, as)
	}
	t.addRecord(series)
	tapping := slices.Contains(pl.Activities, calendar.Tapping)
	for _, sp := range pl.Species {
		if tapping && sp.Sap.Run != nil && sp.Sap.Tapped != phenology.TappedNever {
			t.rule = sp.Sap.Run
			t.addRuns(series)
			break
		}
	}
	return t, ""
}

// aroundDays is how many days to either side of a day stand for it in other years, so that thirty years give four
// hundred days and the band is no comb.
const aroundDays = 7

// addRecord works out what other years had on each day.
func (t *seasonTemperatures) addRecord(series weather.Series) {
	years := map[int]bool{}
	for i := range t.days {
		d := t.span.First + civil.Date(i)
		var mins, maxs []float64
		for year := series.First.Year(); year <= series.Last().Year()+1; year++ {
			if year == d.Year() {
				continue
			}
			for k := civil.Date(-aroundDays); k <= aroundDays; k++ {
				on := d.AddYears(year-d.Year()) + k
				day := series.At(on)
				// Days of this very season would be compared with themselves.
				if day.Complete() && !day.Flags.Invented() && on < t.span.First-300 {
					mins, maxs = append(mins, day.Min), append(maxs, day.Max)
					years[year] = true
				}
			}
		}
		low, high, mean := math.NaN(), math.NaN(), math.NaN()
		if len(mins) >= phenology.MinYears*(2*aroundDays+1) {
			sum := 0.0
			for k := range mins {
				sum += (mins[k] + maxs[k]) / 2
			}
			low, high = phenology.QuantileOf(mins, 0.1), phenology.QuantileOf(maxs, 0.9)
			mean = sum / float64(len(mins))
		}
		t.low, t.high, t.mean = append(t.low, low), append(t.high, high), append(t.mean, mean)
	}
	t.years = len(years)
}

func (t *seasonTemperatures) addRuns(series weather.Series) {
	runs := t.rule.Likelihoods(series)
	for i, day := range t.days {
		if !day.Complete() {
			t.runs = append(t.runs, math.NaN())
			continue
		}
		t.runs = append(t.runs, runs[t.span.First+civil.Date(i)-series.First].Likelihood)
	}
}

func weatherView(pl *calendar.Place, asOf civil.Date, as phrase.Speech) (*pageWeather, string) {
	t, why := newSeasonTemperatures(pl, asOf, as)
	if t == nil {
		return nil, why
	}
	v := &pageWeather{Drawing: t.draw(pl.Site(), as), Caption: t.caption(as)}
	if t.runs != nil {
		past, ahead := 0, 0
		byMonth := map[string][]string{}
		var months []string
		for i, p := range t.runs {
			if !(p >= likelyRun) {
				continue
			}
			d := t.span.First + civil.Date(i)
			if d > t.observed {
				ahead++
			} else {
				past++
			}
			month := words.LongMonth(d, as)
			if byMonth[month] == nil {
				months = append(months, month)
			}
			byMonth[month] = append(byMonth[month], strconv.Itoa(d.Day()))
		}
		observed := civil.Span{First: t.span.First, Last: t.observed}
		v.Runs = phrase.Capital(words.LikelyRuns(past, observed, ahead, t.last(), as))
		for _, m := range months {
			v.RunDays = append(v.RunDays, m+words.LabelsIn(as).Colon()+strings.Join(byMonth[m], ", "))
		}
		v.Rule = words.RunDay(t.rule, as)
	}
	return v, ""
}

// last returns the last day of the span that has temperatures.
func (t *seasonTemperatures) last() civil.Date {
	for i := len(t.days) - 1; i >= 0; i-- {
		if t.days[i].Complete() {
			return t.span.First + civil.Date(i)
		}
	}
	return t.span.First - 1
}

// caption says in words what the drawing shows: how the last thirty observed days compare with other years.
func (t *seasonTemperatures) caption(as phrase.Speech) string {
	n, sum := 0, 0.0
	for d := t.observed; d > t.observed-30 && d >= t.span.First; d-- {
		i := int(d - t.span.First)
		if i < len(t.days) && t.days[i].Complete() && !math.IsNaN(t.mean[i]) {
			n, sum = n+1, sum+(t.days[i].Min+t.days[i].Max)/2-t.mean[i]
		}
	}
	if n < 10 {
		n = 0
	}
	return words.WeatherCaption(t.years, n, sum/float64(max(n, 1)), as)
}
