package phenology

import (
	"math"
	"slices"
	"sync"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// member is one way a season may go: its own days up to and including cut, from there on the same days of another year,
// which at first are as much warmer or colder as the season's own weather lets expect.
type member struct {
	cut   civil.Date // last own day
	shift civil.Date // added to a date after cut to find it in the donor year
	donor int        // the donor's season; the season itself where its own days reach to the end
	ahead int        // how many days after cut differ from the donor's
	apart departure  // by how much the season departs from the usual more than the donor did, on the last own day
}

// persist makes a member's days ahead follow on from the season's own: what the donor year went on to do stays, but
// what was to be expected of it, given its own days up to then, gives way to what is to be expected of this season.
func (t *Temperatures) persist(mem *member, end civil.Date) {
	own, donor := mem.cut, mem.cut+mem.shift
	if t.normals || own < t.series.First || own > t.series.Last() || donor < t.series.First || donor > t.series.Last() {
		return
	}
	mem.apart = t.departs(own, mem.shift, end)
	for left := mem.apart.next(); mem.ahead < aheadDays; mem.ahead++ {
		if math.Abs(left.days) < forgotten && math.Abs(left.months) < forgotten {
			break
		}
		left = left.next()
	}
	mem.ahead = min(mem.ahead, max(0, int(t.series.Last()-donor)))
}

// ensemble keeps the running sums over the days ahead of one set of members. It is safe for use by several goroutines.
type ensemble struct {
	temps   *Temperatures
	members []member
	twin    *ensemble // of the same members of the same days elsewhere; nil for none

	mu   sync.Mutex
	sums sumList[[][]float64]
	days []weather.Day // room to work in
	runs []RunDay
}

type ensembleKey struct {
	season Season
	cut    civil.Date
}

// ensembleOf returns the members of a season of which the days up to cut are known, with what was summed along them.
// They are the same for every species, and a decision about tapping looks at them from the morning of every day.
func (t *Temperatures) ensembleOf(s Season, cut civil.Date) *ensemble {
	t.ensembleMu.Lock()
	defer t.ensembleMu.Unlock()
	key := ensembleKey{s, cut}
	got, ok := t.ensembles[key]
	if !ok {
		if t.twin != nil {
			twin := t.twin.ensembleOf(s, cut)
			got = newEnsemble(t, twin.members)
			got.twin = twin
		} else {
			got = newEnsemble(t, t.members(s, cut))
		}
		if t.ensembles == nil {
			t.ensembles = map[ensembleKey]*ensemble{}
		}
		t.ensembles[key] = got
	}
	return got
}

func newEnsemble(t *Temperatures, members []member) *ensemble {
	return &ensemble{temps: t, members: members}
}

// sum returns, for each member, the running sums of a forcing over the days that differ from the donor's: element k is
// the sum over the first k of them.
//
// It is nil where nothing is ahead.
func (e *ensemble) sum(f forcing) [][]float64 {
	if e == nil {
		return nil
	}
	if e.twin != nil && !f.byDayLength() {
		return e.twin.sum(f)
	}
	if s, ok := e.sums.of(&f); ok {
		return s
	}
	e.mu.Lock()
	defer e.mu.Unlock()
	if s, ok := e.sums.of(&f); ok { // by now
		return s
	}
	if f.method == runMethod || f.method == runHoursMethod {
		rule := RunRule{Drive: f.run.drive, Night: f.run.night, Day: f.run.day} // its two sums are made side by side
		likelihoods, hours := e.room(), e.room()
		for i, mem := range e.members {
			e.sumRunsAhead(rule, mem, likelihoods[i], hours[i])
		}
		e.sums.keep(rule.forcing(), likelihoods)
		e.sums.keep(rule.hours(), hours)
		if f.method == runMethod {
			return likelihoods
		}
		return hours
	}
	sums := e.room()
	for i, mem := range e.members {
		e.sumAhead(f, mem, sums[i])
	}
	e.sums.keep(f, sums)
	return sums
}

// room makes room for the running sums of a forcing.
func (e *ensemble) room() [][]float64 {
	n := 0
	for _, mem := range e.members {
		n += mem.ahead + 1
	}
	all, lists := make([]float64, n), make([][]float64, len(e.members))
	for i, mem := range e.members {
		lists[i], all = all[:mem.ahead+1:mem.ahead+1], all[mem.ahead+1:]
	}
	return lists
}

// sumAhead writes the running sums of a forcing over a member's days ahead.
func (e *ensemble) sumAhead(f forcing, mem member, sums []float64) {
	days, from := e.daysAhead(mem, 0)
	if f.isPlain() {
		f.sumPlain(sums, days)
		return
	}
	var daylight []float64
	if f.byDayLength() {
		daylight = e.temps.lockedDayLengths()[from:]
	}
	for k, d := range days {
		sums[k+1] = sums[k]
		if d.Complete() {
			hours := 0.0
			if daylight != nil {
				hours = daylight[k]
			}
			sums[k+1] += f.of(d, hours)
		}
	}
}

// runMemory is how many days before a day may have to do with how sap runs on it.
const runMemory = 10

// sumRunsAhead is sumAhead for sap runs, which depend on the days before.
func (e *ensemble) sumRunsAhead(rule RunRule, mem member, likelihoods, hours []float64) {
	if mem.ahead == 0 {
		return
	}
	days, _ := e.daysAhead(mem, runMemory)
	own := len(days) - mem.ahead
	e.runs = slices.Grow(e.runs[:0], len(days))[:len(days)]
	rule.likelihoods(days, e.runs)
	for k, d := range e.runs[own:] {
		likelihoods[k+1], hours[k+1] = likelihoods[k]+d.Likelihood, hours[k]+d.Hours
	}
}

// daysAhead returns the days of a member that differ from the donor's, the place of the first of the donor's, and
// before them so many of the season's own, or as many as there are. They stand until it is asked again.
func (e *ensemble) daysAhead(mem member, own int) (days []weather.Day, donors int) {
	t := e.temps
	days = e.days[:0]
	if own > 0 {
		days = append(days, t.series.Days[t.index(mem.cut-civil.Date(own)+1):t.index(mem.cut)+1]...)
	}
	left := mem.apart
	donors = t.index(mem.cut + mem.shift + 1)
	for _, d := range t.series.Days[donors:][:mem.ahead] {
		left = left.next()
		warmer := left.days + left.months
		d.Min, d.Max = d.Min+warmer, d.Max+warmer
		days = append(days, d)
	}
	e.days = days
	return days, donors
}

// memberSums is a member with a forcing's running sums: over the whole record, and over the days ahead.
type memberSums struct {
	member
	sums  []float64
	ahead []float64
}

// on returns what a day of a member adds.
func (t *Temperatures) on(r memberSums, day civil.Date) float64 { return t.along(r, day, day) }
