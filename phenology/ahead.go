package phenology

import (
	"math"
	"slices"
	"sync"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// track is one way a season may go: its own days up to and including cut, from there on the same days of another year,
// which at first are as much warmer or colder as the season's own weather lets expect.
type track struct {
	cut   civil.Date // last own day
	shift civil.Date // added to a date after cut to find it in the donor year
	donor int        // the donor's season; the season itself where its own days reach to the end
	ahead int        // how many days after cut differ from the donor's
	apart departure  // by how much the season departs from the usual more than the donor did, on the last own day
}

// remember makes a track's days ahead follow on from the season's own: what the donor year went on to do stays, but what
// was to be expected of it, given its own days up to then, gives way to what is to be expected of this season.
func (t *Temperatures) remember(tr *track, end civil.Date) {
	own, donor := tr.cut, tr.cut+tr.shift
	if t.normals || own < t.series.First || own > t.series.Last() || donor < t.series.First || donor > t.series.Last() {
		return
	}
	tr.apart = t.departs(own, tr.shift, end)
	for left := tr.apart.next(); tr.ahead < aheadDays; tr.ahead++ {
		if math.Abs(left.days) < forgotten && math.Abs(left.months) < forgotten {
			break
		}
		left = left.next()
	}
	tr.ahead = min(tr.ahead, max(0, int(t.series.Last()-donor)))
}

// eachAhead calls f for each day of a track that differs from the donor's, with the place of the donor's day.
func (t *Temperatures) eachAhead(tr track, f func(i int, d weather.Day)) {
	left := tr.apart
	first := t.index(tr.cut + tr.shift + 1)
	for k := range tr.ahead {
		left = left.next()
		d := t.series.Days[first+k]
		warmer := left.days + left.months
		d.Min, d.Max = d.Min+warmer, d.Max+warmer
		f(first+k, d)
	}
}

// aheads keeps the running sums over the days ahead of one set of tracks. It is safe for use by several goroutines.
type aheads struct {
	temps  *Temperatures
	tracks []track

	mu   sync.Mutex
	sums map[forcing][][]float64
	days []weather.Day // room to work in
	runs []RunDay
}

type aheadKey struct {
	season Season
	cut    civil.Date
}

// aheadOf returns the tracks of a season of which the days up to cut are known, with what was summed along them. They are the
// same for every species, and a decision about tapping looks at them from the morning of every day.
func (t *Temperatures) aheadOf(s Season, cut civil.Date) *aheads {
	t.aheadMu.Lock()
	defer t.aheadMu.Unlock()
	key := aheadKey{s, cut}
	got, ok := t.aheads[key]
	if !ok {
		got = newAheads(t, t.tracks(s, cut))
		if t.aheads == nil {
			t.aheads = map[aheadKey]*aheads{}
		}
		t.aheads[key] = got
	}
	return got
}

func newAheads(t *Temperatures, tracks []track) *aheads {
	return &aheads{temps: t, tracks: tracks, sums: map[forcing][][]float64{}}
}

// sum returns, for each track, the running sums of a forcing over the days that differ from the donor's: element k is the
// sum over the first k of them.
//
// It is nil where nothing is ahead.
func (a *aheads) sum(f forcing) [][]float64 {
	if a == nil {
		return nil
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	if s, ok := a.sums[f]; ok {
		return s
	}
	n := 0
	for _, tr := range a.tracks {
		n += tr.ahead + 1
	}
	all, lists := make([]float64, 0, n), make([][]float64, len(a.tracks))
	for i, tr := range a.tracks {
		from := len(all)
		all = append(all, 0)
		all = a.sumAhead(f, tr, all)
		lists[i] = all[from:len(all):len(all)]
	}
	a.sums[f] = lists
	return lists
}

// sumAhead appends to a list that ends in 0 the running sums of a forcing over a track's days ahead.
func (a *aheads) sumAhead(f forcing, tr track, list []float64) []float64 {
	if tr.ahead == 0 {
		return list
	}
	if f.method == runMethod || f.method == runHoursMethod {
		return a.sumRunsAhead(f, tr, list)
	}
	t := a.temps
	var daylight []float64
	if f.byDayLength() {
		daylight = t.lockedDayLengths()
	}
	sum := 0.0
	t.eachAhead(tr, func(i int, d weather.Day) {
		if d.Complete() {
			hours := 0.0
			if daylight != nil {
				hours = daylight[i]
			}
			sum += f.of(d, hours)
		}
		list = append(list, sum)
	})
	return list
}

// runMemory is how many days before a day may have to do with how sap runs on it.
const runMemory = 10

// sumRunsAhead is sumAhead for sap runs, which depend on the days before.
func (a *aheads) sumRunsAhead(f forcing, tr track, list []float64) []float64 {
	t := a.temps
	from := t.index(tr.cut - runMemory + 1)
	days := append(a.days[:0], t.series.Days[from:t.index(tr.cut)+1]...)
	own := len(days)
	t.eachAhead(tr, func(_ int, d weather.Day) { days = append(days, d) })
	a.days, a.runs = days, slices.Grow(a.runs[:0], len(days))[:len(days)]
	rule := RunRule{Drive: f.run.drive, Night: f.run.night, Day: f.run.day}
	rule.likelihoods(days, a.runs)
	sum := 0.0
	for _, d := range a.runs[own:] {
		if f.method == runHoursMethod {
			sum += d.Hours
		} else {
			sum += d.Likelihood
		}
		list = append(list, sum)
	}
	return list
}

// route is a track with a forcing's running sums: over the whole record, and over the days ahead.
type route struct {
	track
	sums  []float64
	ahead []float64
}

// on returns what a day of a route adds.
func (t *Temperatures) on(r route, day civil.Date) float64 { return t.along(r, day, day) }
