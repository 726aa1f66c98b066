package phenology

import (
	"sync"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Temperatures are a site's daily temperatures made ready for models: running sums of forcing over the whole record, so
// that a season is dated by a search in them instead of by adding up days again.
//
// They are safe for use by several goroutines.
type Temperatures struct {
	site   Site
	series weather.Series

	observed civil.Date // last day that was observed, not forecast
	absent   []int32    // the places in the series of the days without both values, in order: there are few
	invented []int32    // running count of days that no thermometer stands behind; nil where there are none
	normals  bool       // every day was drawn from monthly normals
	climb    float64    // metres by which the record was moved up to the site
	pooled   bool       // from a valley's floor, where cold air pools
	normalSD float64    // degrees Celsius by which the normals may be off, where the days were drawn from normals
	builtIn  bool       // the normals are those of package climate

	mu       sync.Mutex
	sums     sumList[[]float64]
	daylight []float64 // hours, day by day; made when first asked for

	before *Temperatures // has the same days up to shared of them, and their running sums; nil for none
	shared int
	twin   *Temperatures // has the same days elsewhere, and all sums that the place does not matter to; nil for none

	ensembleMu sync.Mutex
	ensembles  map[ensembleKey]*ensemble
}

// NewTemperatures prepares a site's daily series. Days flagged [weather.Forecast] are taken as the forecast, all others
// as the record. A forecast is of use up to its first gap; what comes behind that is left out.
func NewTemperatures(site Site, s weather.Series) *Temperatures {
	t := &Temperatures{site: site, series: s, observed: s.First - 1, normals: true, normalSD: stationNormalSD}
	invented := int32(0)
	for i := range s.Days {
		d := &s.Days[i]
		switch {
		case !d.Complete():
			t.absent = append(t.absent, int32(i))
		case d.Flags == 0: // most days
			t.observed, t.normals = s.First+civil.Date(i), false
		default:
			if d.Flags.Invented() {
				invented++
				if t.invented == nil {
					t.invented = make([]int32, len(s.Days)+1)
				}
			}
			if d.Flags&(weather.Forecast|weather.Synthetic) == 0 {
				t.observed = s.First + civil.Date(i)
			}
			if d.Flags&weather.Synthetic == 0 {
				t.normals = false
			}
		}
		if t.invented != nil {
			t.invented[i+1] = invented
		}
	}
	for i := t.index(t.observed + 1); i < len(s.Days); i++ {
		if !s.Days[i].Complete() {
			t.series.Days = s.Days[:i:i]
			break
		}
	}
	return t
}

// NewTemperaturesFrom prepares a daily series that was measured at an elevation other than the site's, in metres, moved
// there by a lapse rate: see [LapseRate.Adjust].
func NewTemperaturesFrom(site Site, s weather.Series, elevation float64, rate LapseRate) *Temperatures {
	climb := site.Elevation - elevation
	if climb == 0 {
		return NewTemperatures(site, s)
	}
	t := NewTemperatures(site, rate.Move(s, climb))
	t.climb = climb
	return t
}

// At returns the same temperatures as those of another site, which must be of the same hemisphere and at the same
// height. All that is summed without regard to the length of days is summed once for both.
func (t *Temperatures) At(site Site) *Temperatures {
	if site.Southern() != t.site.Southern() {
		panic("phenology: temperatures of one hemisphere are of no use in the other")
	}
	if site.Latitude == t.site.Latitude && site.Longitude == t.site.Longitude {
		return t
	}
	if t.twin != nil {
		t = t.twin
	}
	return &Temperatures{
		site: site, series: t.series, observed: t.observed, absent: t.absent, invented: t.invented, normals: t.normals,
		climb: t.climb, pooled: t.pooled, normalSD: t.normalSD, builtIn: t.builtIn, twin: t,
	}
}

// Forget lets go of all that was summed up so far, here and for those that share it: see [Temperatures.At]. It is
// summed again when it is asked for. A year of decisions on tapping leaves megabytes, which is much to keep for a
// page.
func (t *Temperatures) Forget() {
	t.mu.Lock()
	t.sums.forget()
	t.daylight = nil
	t.mu.Unlock()
	t.ensembleMu.Lock()
	t.ensembles = nil
	t.ensembleMu.Unlock()
	if t.twin != nil {
		t.twin.Forget()
	}
}

// Drawn reports whether no day was measured: every one was drawn from monthly normals.
func (t *Temperatures) Drawn() bool { return t.normals }

// Observed returns the last observed day; the day before the record if there is none.
func (t *Temperatures) Observed() civil.Date { return t.observed }

// Last returns the last day of the record or the forecast.
func (t *Temperatures) Last() civil.Date { return t.series.Last() }

// Series returns the daily series.
func (t *Temperatures) Series() weather.Series { return t.series }

// sum returns the running sums of a forcing: element i is the sum over the days before index i. A day without values
// adds nothing; absent tells.
func (t *Temperatures) sum(f forcing) []float64 {
	if t.twin != nil && !f.byDayLength() {
		return t.twin.sum(f)
	}
	if s, ok := t.sums.of(&f); ok {
		return s
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if s, ok := t.sums.of(&f); ok { // by now
		return s
	}
	if f.method == runMethod || f.method == runHoursMethod {
		rule := RunRule{Drive: f.run.drive, Night: f.run.night, Day: f.run.day} // its two sums are made side by side
		likelihoods, from := t.begin(rule.forcing())
		hours, _ := t.begin(rule.hours())
		t.sumRuns(rule, likelihoods, hours, from)
		t.sums.keep(rule.forcing(), likelihoods)
		t.sums.keep(rule.hours(), hours)
		if f.method == runMethod {
			return likelihoods
		}
		return hours
	}
	s, from := t.begin(f)
	t.sumFrom(f, s, from)
	t.sums.keep(f, s)
	return s
}

// sumFrom sums a forcing from an index on.
func (t *Temperatures) sumFrom(f forcing, s []float64, from int) {
	if f.isPlain() {
		f.sumPlain(s[from:], t.series.Days[from:])
		return
	}
	var daylight []float64
	if f.byDayLength() {
		daylight = t.dayLengths()
	}
	for i := from; i < len(t.series.Days); i++ {
		d := t.series.Days[i]
		s[i+1] = s[i]
		if !d.Complete() {
			continue
		}
		hours := 0.0
		if daylight != nil {
			hours = daylight[i]
		}
		s[i+1] += f.of(d, hours)
	}
}

// foreseen returns the temperatures as they were known on the morning after a day: up to that day, then a forecast.
func (t *Temperatures) foreseen(known civil.Date, forecast []weather.Day) *Temperatures {
	past := t.series.Until(known).Days
	s := weather.Series{First: t.series.First, Days: append(make([]weather.Day, 0, len(past)+len(forecast)), past...)}
	for i, d := range forecast {
		d.Flags |= weather.Forecast
		s.Put(known+1+civil.Date(i), d)
	}
	f := NewTemperatures(t.site, s)
	// A gap in front of the forecast leaves it out, and the days of the gap with it.
	f.climb, f.pooled, f.before, f.shared = t.climb, t.pooled, t, min(len(past), len(f.series.Days))
	return f
}

// begin makes room for a forcing's running sums, and returns the index from which they are yet to be summed.
func (t *Temperatures) begin(f forcing) (s []float64, from int) {
	s = make([]float64, len(t.series.Days)+1)
	if t.before != nil {
		from = t.shared
		copy(s, t.before.sum(f)[:from+1])
	}
	return s, from
}

// lockedDayLengths is dayLengths for those who do not hold the lock.
func (t *Temperatures) lockedDayLengths() []float64 {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.dayLengths()
}

// dayLengths returns the hours of daylight of each day of the series. Those of four years serve for all: from one leap
// cycle to the next they differ by seconds.
func (t *Temperatures) dayLengths() []float64 {
	if t.daylight == nil {
		const cycle = 4*365 + 1
		t.daylight = make([]float64, len(t.series.Days))
		from := 0
		if t.before != nil {
			from = copy(t.daylight, t.before.lockedDayLengths()[:t.shared])
		}
		for i := from; i < len(t.daylight); i++ {
			if i >= cycle {
				t.daylight[i] = t.daylight[i-cycle]
			} else {
				t.daylight[i] = DayLengthAt(t.site.Latitude, t.site.Longitude, t.series.First+civil.Date(i))
			}
		}
	}
	return t.daylight
}
