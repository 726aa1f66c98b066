package calendar

import (
	"fmt"
	"math"
	"strings"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// The tasks of [Tapping].
const (
	TaskTap    Task = "tap"
	TaskGather Task = "gather-sap"
	TaskPull   Task = "pull-taps"
)

const (
	firstRunDay = 1    // runs are counted from 1 January of the season (2 July in the south)
	plateau     = 0.02 // days that catch within this share of the best are as good as the best
	mostRuns    = 0.9  // a hole that catches this share of what any hole could is well timed
)

// tapping schedules the tapping of one species in one season.
func (w *placeWork) tapping(sp *phenology.Species, season int) {
	if sp.Sap.Tapped == phenology.TappedNever || sp.Sap.Run == nil {
		return
	}
	est := w.in(sp, season)
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	if !start.Dated() || !end.Dated() {
		if w.place.Outlook.Site.Season(season).Date(60) >= w.plan.AsOf {
			w.note("no tapping dates for %s: %s", sp.Name(), reasonOf(start, end))
		}
		return
	}
	years := w.place.Outlook.SapYears(sp, season, firstRunDay)
	var tap *Entry
	if len(years) >= phenology.MinYears || len(years) > 0 && start.Basis <= phenology.BasisSeason {
		tap = w.tapByRuns(sp, est, years)
	} else {
		tap = w.tapByPlace(sp, est)
	}
	if tap != nil {
		w.add(tap)
	}
	w.gather(sp, est, years)
}

// tapByRuns chooses the tapping day by what a hole drilled then would catch in each year.
func (w *placeWork) tapByRuns(sp *phenology.Species, est phenology.Estimates, years []phenology.SapYear) *Entry {
	opt := w.place.Options.Tapping
	d := decideTapping(years, opt.Life(), est.Season.Day(w.plan.AsOf))
	if d == nil {
		return nil
	}
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	e := w.tapEntry(sp, est)
	e.Basis, e.BasisText = basis(start, est.Get(phenology.BudSwell))
	e.Window = civil.Span{First: est.Season.Date(float64(d.first)), Last: est.Season.Date(float64(d.last))}
	e.Best = est.Season.Date(float64(d.best))
	e.Probability, e.ProbabilityOf = d.wellTimed, "that a hole drilled then catches nine tenths of what any one hole could"
	e.Settled = settled(start, end)
	e.Reasons = append(e.Reasons,
		fmt.Sprintf("Drilled on %s, a hole good for %d days catches %s of the runs still to come, on average over %s.",
			shortDate(e.Best), opt.Life(), percent(d.caught), count(len(years), "year")),
		fmt.Sprintf("A week earlier it catches %s, a week later %s. In %d of %d years sap ran on two days or more before it.",
			percent(d.weekEarlier), percent(d.weekLater), d.missedFirst, len(years)),
		runDefinition(sp))
	e.Reminders = w.tapReminders(e)
	return e
}

// tapByPlace gives a window from place alone. It raises no alarm: it is too wide to drill by.
func (w *placeWork) tapByPlace(sp *phenology.Species, est phenology.Estimates) *Entry {
	start := est.Get(phenology.SapStart)
	e := w.tapEntry(sp, est)
	e.Basis, e.BasisText = basis(start)
	e.Window = civil.Span{First: start.P10(), Last: start.P50()}
	e.Best = start.Quantile(0.25)
	e.Probability = 1 - start.By(e.Best)
	e.ProbabilityOf = "that sap has not yet run in earnest"
	e.Reasons = append(e.Reasons,
		fmt.Sprintf("From the place alone sap starts between %s and %s, eight years in ten.", shortDate(start.P10()), shortDate(start.P90())),
		"A daily record of temperatures from a station near by, ten years or more, would narrow this to the days that matter; watch the forecast until then.")
	return e
}

func (w *placeWork) tapEntry(sp *phenology.Species, est phenology.Estimates) *Entry {
	e := &Entry{
		Activity: Tapping, Task: TaskTap, Species: []*phenology.Species{sp}, Season: est.Season.Year,
		Summary:  "Tap " + lower(sp.Name()),
		LookFor:  []string{"Nights below freezing and days above it in the forecast.", "Sound trees at least 30 cm (12 in) across at breast height; one tap up to 45 cm (18 in), two above."},
		Cautions: append(slicesOf(tappingCautions), speciesCautions(sp, Tapping)...),
		Sources:  sourcesOf(est, phenology.SapStart, phenology.BudSwell),
	}
	e.Sources = addSource(e.Sources, sp.Sap.Run.Source)
	return e
}

func (w *placeWork) tapReminders(e *Entry) []Reminder {
	opt := w.place.Options.Tapping
	return []Reminder{
		{Before: opt.Notice, On: e.Window.First, Minute: opt.Reminder, Text: e.Summary + ": the window opens " + longDate(e.Window.First)},
	}
}

// gather schedules the run of the sap and the pulling of the taps.
func (w *placeWork) gather(sp *phenology.Species, est phenology.Estimates, years []phenology.SapYear) {
	start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	e := &Entry{
		Activity: Tapping, Task: TaskGather, Species: []*phenology.Species{sp}, Season: est.Season.Year,
		Summary:       "Gather and boil " + lower(sp.Name()) + " sap",
		Window:        civil.Span{First: start.P50(), Last: end.P50()},
		ProbabilityOf: "that the season is on",
		Settled:       settled(start, end),
		LookFor:       []string{"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils."},
		Cautions:      append(slicesOf(boilingCautions), speciesCautions(sp, Tapping)...),
		Sources:       sourcesOf(est, phenology.SapStart, phenology.SapEnd, phenology.BudSwell),
	}
	e.Basis, e.BasisText = basis(start, end)
	if e.Window.Empty() {
		e.Window.Last = e.Window.First
	}
	e.Best, e.Probability = likeliest(e.Window, func(d civil.Date) float64 { return start.By(d) - end.By(d) })
	e.Reasons = append(e.Reasons,
		fmt.Sprintf("Sap starts to run in earnest between %s and %s and ends between %s and %s, eight years in ten.",
			shortDate(start.P10()), shortDate(start.P90()), shortDate(end.P10()), shortDate(end.P90())))
	if lo, mid, hi, ok := runDays(years); ok {
		e.Reasons = append(e.Reasons, fmt.Sprintf("Run days to bud swell: %.0f in the middle year, %.0f to %.0f in eight years of ten. %s", mid, lo, hi, runDefinition(sp)))
	}
	if q := sp.Sap.SugarPercent; q != nil {
		e.Reasons = append(e.Reasons, fmt.Sprintf("At %s %% sugar it takes about %s litres of sap for a litre of syrup (rule of 86). Source: %s.",
			numberRange(q.Low, q.High, 1), numberRange(86/q.High, 86/q.Low, 0), q.Source))
	}
	w.add(e)

	pull := &Entry{
		Activity: Tapping, Task: TaskPull, Species: e.Species, Season: e.Season,
		Summary:       "Pull the taps and clean, " + lower(sp.Name()),
		Window:        civil.Span{First: end.P50(), Last: end.P90()},
		Best:          end.Quantile(0.8),
		ProbabilityOf: "that the last good sap has run",
		Settled:       settled(end),
		LookFor:       []string{"Swelling buds, cloudy sap, an off smell from the pan."},
		Cautions:      slicesOf(pullingCautions),
		Sources:       sourcesOf(est, phenology.SapEnd, phenology.BudSwell),
		Reasons:       []string{"One hole a season: pull every spout so that the tree can close it, and do not plug or re-drill."},
	}
	pull.Basis, pull.BasisText = basis(end)
	pull.Window.Last = max(pull.Window.Last, pull.Window.First)
	pull.Best = pull.Window.Clamp(pull.Best)
	pull.Probability = end.By(pull.Best)
	w.add(pull)
	e.After = append(e.After, UID(w.plan.FeedID, w.place.Site().ID, Tapping, speciesIDs(e), TaskTap, e.Season))
}

// tapDecision is a tapping day and its price.
type tapDecision struct {
	best, first, last      int     // days of the season; first to last are as good as best
	caught                 float64 // share of the runs from best's year-by-year total that the hole catches, mean over years
	weekEarlier, weekLater float64
	wellTimed              float64 // share of years in which it catches mostRuns of what the best single day would
	missedFirst            int     // years with two run days or more before it
}

// decideTapping compares every day from today on by the share of each year's runs that a hole drilled then would catch.
// It returns nil if hardly any run is still to come: then it is too late to tap.
func decideTapping(years []phenology.SapYear, life, today int) *tapDecision {
	lastEnd := 0
	for _, y := range years {
		lastEnd = max(lastEnd, y.End)
	}
	from := max(firstRunDay, today)
	if from >= lastEnd {
		return nil
	}
	n := lastEnd - from
	mean := make([]float64, n)
	each := make([][]float64, 0, len(years))
	left, total := 0.0, 0.0
	for _, y := range years {
		sum, ahead := 0.0, 0.0
		for i, d := range y.Days {
			r := d.Likelihood
			sum += r
			if y.First+i >= from {
				ahead += r
			}
		}
		total, left = total+sum, left+ahead
		share := make([]float64, n)
		for k := range share {
			if ahead > 0 {
				share[k] = caughtBy(y, from+k, life) / ahead
			}
			mean[k] += share[k] / float64(len(years))
		}
		each = append(each, share)
	}
	if total == 0 || left < 0.15*total {
		return nil
	}
	best := 0
	for k := range mean {
		if mean[k] > mean[best]+1e-9 {
			best = k
		}
	}
	d := &tapDecision{best: from + best, first: from + best, last: from + best, caught: mean[best]}
	for k := best; k >= 0 && mean[k] >= mean[best]*(1-plateau); k-- {
		d.first = from + k
	}
	for k := best; k < n && mean[k] >= mean[best]*(1-plateau); k++ {
		d.last = from + k
	}
	d.weekEarlier, d.weekLater = mean[max(best-7, 0)], mean[min(best+7, n-1)]
	for i, y := range years {
		top := 0.0
		for _, s := range each[i] {
			top = max(top, s)
		}
		if each[i][best] >= mostRuns*top {
			d.wellTimed = min(1, d.wellTimed+1/float64(len(years)))
		}
		before := 0.0
		for k, day := range y.Days {
			r := day.Likelihood
			if y.First+k >= from && y.First+k < d.best {
				before += r
			}
		}
		if before >= 2 {
			d.missedFirst++
		}
	}
	return d
}

// caughtBy returns the run days that a hole drilled on a day catches: all of them for the first half of its life, then
// fewer, to half at the end of it and none after. How a hole dries is known from experience, not from a curve; the
// shape is our own choice.
func caughtBy(y phenology.SapYear, day, life int) float64 {
	sum := 0.0
	for age := 0; age < life; age++ {
		i := day + age - y.First
		if i < 0 || i >= len(y.Days) {
			continue
		}
		yield := 1.0
		if half := life / 2; age > half {
			yield = 1 - 0.5*float64(age-half)/float64(life-half)
		}
		sum += yield * y.Days[i].Likelihood
	}
	return sum
}

// runDays returns the tenth, middle and ninetieth percentile of a season's run days.
func runDays(years []phenology.SapYear) (lo, mid, hi float64, ok bool) {
	if len(years) < phenology.MinYears {
		return 0, 0, 0, false
	}
	totals := make([]float64, len(years))
	for i, y := range years {
		for _, d := range y.Days {
			totals[i] += d.Likelihood
		}
	}
	return quantile(totals, 0.1), quantile(totals, 0.5), quantile(totals, 0.9), true
}

// runDefinition says what is counted as a run day, which every count must say: published rules differ by a factor of
// nearly two.
func runDefinition(sp *phenology.Species) string {
	r := sp.Sap.Run
	return r.Definition() + " Source: " + r.Source.String() + "."
}

// signed writes a temperature to a tenth, with a true minus sign.
func signed(c float64) string {
	return strings.Replace(strings.TrimSuffix(fmt.Sprintf("%.1f", c), ".0"), "-", "−", 1)
}

func numberRange(lo, hi float64, decimals int) string {
	a, b := fmt.Sprintf("%.*f", decimals, lo), fmt.Sprintf("%.*f", decimals, hi)
	if a == b || math.IsInf(hi, 0) {
		return a
	}
	return a + " to " + b
}
