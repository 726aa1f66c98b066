package phenology

import (
	"math"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Sap is whether and how a species is tapped.
type Sap struct {
	Tapped       TapPractice
	Note         string
	SugarPercent *Quantity // of fresh sap, percent by weight
	PerTap       *Quantity // litres of sap that a tap gives in a season by gravity
	Run          *RunRule  // nil if it is not tapped, or if what makes its sap run is not known
	Source       Source
}

// TapPractice says whether a species is tapped.
type TapPractice string

// How far a species is tapped.
const (
	TappedCommonly  TapPractice = "commonly"
	TappedSometimes TapPractice = "sometimes"
	TappedNever     TapPractice = "no"
)

// RunDrive is what makes sap run.
type RunDrive string

// What makes sap run.
const (
	FreezeThaw   RunDrive = "freeze-thaw"   // a freeze draws water in, a thaw presses it out: maples, walnuts
	RootPressure RunDrive = "root-pressure" // roots press water up once the soil is warm, nights included: birches
)

// RunRule is what makes sap run on a day, from daily minima and maxima.
//
// By [FreezeThaw], Night is the minimum that counts as a freeze and Day the maximum that counts as a thaw. By
// [RootPressure], Night and Day are what the minima and maxima of the last days must lie above, on average.
type RunRule struct {
	Drive      RunDrive // the zero RunDrive is FreezeThaw
	Night, Day Threshold
	Source     Source
}

// Threshold is a temperature on which published definitions differ: from Low to High, degrees Celsius.
type Threshold struct{ Low, High float64 }

// middle is the temperature at which a day is as likely as not to count.
func (t Threshold) middle() float64 { return (t.Low + t.High) / 2 }

// The parameters of a run that no source gives as a number. They are our own choices; what is published behind each is
// said beside it.
const (
	// stationError is by how much a logistic rise is at least spread, degrees Celsius: a thermometer a few kilometres
	// off differs by about 0.7 degrees (standard deviation, 1.8 times this) from the trees.
	stationError = 0.4

	// A thaw must last: hours above freezing, by the sine, at which a run is as likely as not, more after deep cold,
	// and how softly. That deep cold delays a run till the stem has thawed is common practice, no source.
	thawHours     = 3.0
	thawHoursSoft = 1.5
	coldHours     = 0.3  // hours more for each degree by which the mean of the day before lay
	deepColdMean  = -5.0 // below this, degrees Celsius

	// National weather services' verification of forecasts for a place: the minimum or maximum is about 3 °F off for
	// tomorrow and 6 °F for a week ahead, as a mean of absolute errors, which is 2.1 and 4.2 °C as the standard
	// deviation of a normal error (from memory).
	forecastErrorDay = 2.1  // degrees Celsius, for tomorrow
	forecastErrorPer = 0.35 // what each further day adds
	forecastErrorTop = 5.5  // by then a forecast knows no more than the time of year does
)

// PressureDays are the days over which root pressure is averaged: facts of the trade speak of five such days.
const PressureDays = 5

// freezeLasts is what a freeze is worth on the morning it ends in, and one, two and three days later. "A new freeze is
// needed within a day or two" is what extension sheets say; the figures are ours.
var freezeLasts = [...]float64{1, 0.75, 0.35, 0.1}

// RunDay is how sap may run on one day.
type RunDay struct {
	Likelihood float64 // that it runs, in [0, 1]
	Hours      float64 // hours for which it may be expected to run: the likelihood times the hours above freezing
}

// Likelihoods returns how likely sap runs on each day of a series, and for how long. Days flagged [weather.Forecast]
// are taken less surely, the more so the farther ahead. A day without values gives 0.
//
// By freeze and thaw, a day's likelihood is the freeze of its own morning or, at a discount, of one of the three
// before, times the thaw of its afternoon, times how likely the thaw lasts long enough. Freeze and thaw rise as
// logistic functions centred between the published thresholds, 0.12 at the end that fewest definitions count and 0.88
// at the other. A day's minimum is taken to fall at its dawn, as it does on most days.
func (r RunRule) Likelihoods(s weather.Series) []RunDay {
	days := make([]RunDay, len(s.Days))
	r.likelihoods(s.Days, days)
	return days
}

// likelihoods is Likelihoods, written over as many run days as there are days.
func (r RunRule) likelihoods(of []weather.Day, days []RunDay) {
	clear(days)
	if r.Drive == RootPressure {
		r.pressed(of, days)
		return
	}
	var freezes [len(freezeLasts)]float64 // this morning's first
	before := weather.Missing
	night, day := r.Night.softness(0), r.Day.softness(0)
	lead := 0
	for i, d := range of {
		if !d.Complete() {
			freezes, before = [len(freezeLasts)]float64{}, weather.Missing
			continue
		}
		nightSoft, daySoft := night, day
		if lead = leadAfter(lead, d); lead > 0 {
			doubt := doubtOf(d, lead)
			nightSoft, daySoft = r.Night.softness(doubt), r.Day.softness(doubt)
		}
		copy(freezes[1:], freezes[:])
		freezes[0] = rise(r.Night.middle()-d.Min, nightSoft)
		freeze := 0.0
		for k, f := range freezes {
			freeze = max(freeze, f*freezeLasts[k])
		}
		hours := HoursAbove(d.Min, d.Max, 0)
		need := thawHours
		if before.Complete() {
			need += coldHours * max(0, deepColdMean-before.Mean())
		}
		p := freeze * rise(d.Max-r.Day.middle(), daySoft) * rise(hours-need, thawHoursSoft)
		days[i] = RunDay{Likelihood: p, Hours: p * hours}
		before = d
	}
}

// pressed is likelihoods by root pressure.
func (r RunRule) pressed(of []weather.Day, days []RunDay) {
	var low, high float64
	n, lead := 0, 0
	for i, d := range of {
		if !d.Complete() {
			n, low, high = 0, 0, 0
			continue
		}
		lead = leadAfter(lead, d)
		low, high, n = low+d.Min, high+d.Max, n+1
		if n > PressureDays {
			out := of[i-PressureDays]
			low, high, n = low-out.Min, high-out.Max, PressureDays
		}
		if n < PressureDays {
			continue
		}
		doubt := doubtOf(d, lead)
		p := rise(low/PressureDays-r.Night.middle(), r.Night.softness(doubt)) *
			rise(high/PressureDays-r.Day.middle(), r.Day.softness(doubt))
		days[i] = RunDay{Likelihood: p, Hours: 24 * p}
	}
}

// leadAfter counts how many forecast days in a row end with d.
func leadAfter(lead int, d weather.Day) int {
	if d.Flags&weather.Forecast == 0 {
		return 0
	}
	return lead + 1
}

// bridgeError is the standard deviation of what fills a gap of some days, degrees Celsius: see [weather.Fill].
const bridgeError = 4.6

// doubtOf returns how far a day may be off, so many forecast days after the last observed one.
func doubtOf(d weather.Day, lead int) float64 {
	if lead > 0 && d.Flags&(weather.Interpolated|weather.Filled) != 0 {
		return max(bridgeError, ForecastError(lead))
	}
	return ForecastError(lead)
}

// ForecastError returns the standard deviation of a forecast minimum or maximum so many days ahead, 1 for the first,
// degrees Celsius: 2.1 for tomorrow, 0.35 more each day after, 5.5 at the most. It is 0 for no days ahead: what was
// observed.
//
// Source: national weather services' verification of their forecasts for a place, a mean absolute error of about 3 °F
// for tomorrow and 6 °F for a week ahead, as the standard deviation of a normal error (from memory).
func ForecastError(lead int) float64 {
	if lead == 0 {
		return 0
	}
	return min(forecastErrorDay+forecastErrorPer*float64(lead-1), forecastErrorTop)
}

// softness is the scale of the logistic rise across t, degrees Celsius. A logistic of scale s has a standard deviation
// of pi/sqrt(3) s.
func (t Threshold) softness(doubt float64) float64 {
	return math.Hypot(math.Hypot((t.High-t.Low)/4, stationError), doubt*math.Sqrt(3)/math.Pi)
}

// rise is the logistic function.
func rise(x, scale float64) float64 { return 1 / (1 + math.Exp(-x/scale)) }

// runKey names a rule among the running sums.
type runKey struct {
	drive      RunDrive
	night, day Threshold
}

// The forcings that sum runs.
const (
	runMethod      ForcingMethod = "runs"
	runHoursMethod ForcingMethod = "run-hours"
)

func (r RunRule) forcing() forcing {
	return forcing{method: runMethod, run: runKey{r.Drive, r.Night, r.Day}}
}

func (r RunRule) hours() forcing {
	return forcing{method: runHoursMethod, run: runKey{r.Drive, r.Night, r.Day}}
}

// sumRuns sums a rule's likelihoods and hours from an index on, as [Temperatures.sum] does.
func (t *Temperatures) sumRuns(rule RunRule, likelihoods, hours []float64, from int) {
	before := max(0, from-runMemory)
	about := weather.Series{First: t.series.First + civil.Date(before), Days: t.series.Days[before:]}
	for k, d := range rule.Likelihoods(about) {
		if i := before + k; i >= from {
			likelihoods[i+1] = likelihoods[i] + d.Likelihood
			hours[i+1] = hours[i] + d.Hours
		}
	}
}

// RunsBy returns a function that tells how sap may run on a day by a rule, and false if the record and the forecast
// lack the day.
func (t *Temperatures) RunsBy(r RunRule) func(civil.Date) (RunDay, bool) {
	likelihoods, hours := t.sum(r.forcing()), t.sum(r.hours())
	return func(day civil.Date) (RunDay, bool) {
		if !t.covered(day, day) {
			return RunDay{}, false
		}
		i := t.index(day)
		return RunDay{likelihoods[i+1] - likelihoods[i], hours[i+1] - hours[i]}, true
	}
}

// Run returns how sap may run on one day: see [Temperatures.RunsBy].
func (t *Temperatures) Run(r RunRule, day civil.Date) (RunDay, bool) { return t.RunsBy(r)(day) }

// Runs returns how sap may run on each day of a span by a rule, and false if the record and the forecast lack any of
// its days.
func (t *Temperatures) Runs(r RunRule, span civil.Span) ([]RunDay, bool) {
	if !t.covered(span.First, span.Last) {
		return nil, false
	}
	on := t.RunsBy(r)
	runs := make([]RunDay, span.Days())
	for n := range runs {
		runs[n], _ = on(span.First + civil.Date(n))
	}
	return runs, true
}
