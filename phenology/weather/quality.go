package weather

import (
	"fmt"
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// Bounds of the checks of one record. Where a bound is set by what clean records hold, these are Montreal 1995-2013 and
// Harvard Forest's automatic station 2001-2013, some 11,000 days of minima and of maxima each.
const (
	// A spike counts in standard deviations of the season's day-to-day changes. Clean records reach 3.3; the manual
	// station of Harvard Forest has three beyond 3.8, all absurd: -13 C between nights of 1 and 2 C in May is the
	// mildest.
	spikeBound  = 3.8
	spikeChange = 5.0 // degrees Celsius; smaller ones do no harm, and a steady climate would have many

	stuckChance = 0.001 // that chance alone gives a run as long as one that is told of, in the whole record
	stuckMargin = 1.5   // since steady weather makes runs longer than chance does: a whole-degree record reaches 7 days
	stuckLeast  = 5     // days
	stuckCases  = 20    // runs that a chance must rest on

	unitMonthDays = 15 // days that a month must have to be judged by
	unitYears     = 3  // other years that it is judged by
	// degrees Celsius off its month's usual; the farthest in the records looked at is 8.2, December 1989
	unitOff      = 10.0
	unitBack     = 5.0  // degrees Celsius off it after conversion
	hottestMonth = 49.0 // degrees Celsius, mean maximum; Death Valley's hottest, July 2018, had 48.9 (from memory)

	roundedShare = 0.98 // of values without tenths
	roundedDays  = 60
)

// checkOne looks at one record by itself.
func checkOne(s Series) []Finding {
	found := checkUnits(s)
	var doubted []civil.Span // in another unit everything else looks odd as well
	for _, f := range found {
		doubted = append(doubted, f.Span)
	}
	found = append(found, checkReversed(s)...)
	found = append(found, checkSpikes(s, doubted)...)
	found = append(found, checkStuck(s)...)
	found = append(found, checkRounded(s)...)
	return append(found, checkGaps(s)...)
}

// values are the minima or the maxima of a record.
type values struct {
	name string // the key in a plan file
	of   func(*Day) *float64
}

var bothValues = []values{{"tmin", minimum}, {"tmax", maximum}}

func (v values) leaveOut(dates []civil.Date) Correction {
	if v.name == "tmax" {
		return Correction{LeaveOutMax: dates}
	}
	return Correction{LeaveOutMin: dates}
}

// finding makes a finding about days that need not be in a row.
func finding(kind FindingKind, dates []civil.Date) Finding {
	return Finding{Kind: kind, Days: len(dates), Span: civil.Span{First: dates[0], Last: dates[len(dates)-1]}}
}

func checkReversed(s Series) []Finding {
	var dates []civil.Date
	most := 0.0
	for i, d := range s.Days {
		if d.Min > d.Max {
			dates = append(dates, s.First+civil.Date(i))
			most = max(most, d.Min-d.Max)
		}
	}
	if dates == nil {
		return nil
	}
	f := finding(FindingReversed, dates)
	f.Text = fmt.Sprintf("%s with the minimum above the maximum, by up to %s: %s", plural(len(dates), "day"),
		degrees(most), some(dates))
	return []Finding{f}
}

// checkSpikes looks for single values far off those of the days on both sides. What the day's other value shares is
// taken off first: a front moves both. Days whose unit is in doubt are left alone.
func checkSpikes(s Series, doubted []civil.Span) []Finding {
	var found []Finding
	at := func(v values, i int) float64 {
		if i < 0 || i >= len(s.Days) || s.Days[i].Flags.Invented() {
			return math.NaN()
		}
		return *v.of(&s.Days[i])
	}
	for which, v := range bothValues {
		other := bothValues[1-which]
		var dates []civil.Date
		worst, worstShare := 0, 0.0
		scale := seasonalChange(s, v)
		yday := newYearDays(s.First)
		for i := range s.Days {
			usual := scale[monthOf[yday.next()]]
			size := spike(at(v, i-1), at(v, i), at(v, i+1))
			if !(math.Abs(size) > spikeChange) { // also where it is NaN
				continue
			}
			if shared := spike(at(other, i-1), at(other, i), at(other, i+1)); shared*size > 0 {
				size = math.Copysign(max(math.Abs(size)-math.Abs(shared), 0), size)
			}
			if share := math.Abs(size) / usual; share > spikeBound && math.Abs(size) > spikeChange &&
				!within(doubted, s.First+civil.Date(i)) {
				dates = append(dates, s.First+civil.Date(i))
				if share > worstShare {
					worst, worstShare = i, share
				}
			}
		}
		if dates == nil {
			continue
		}
		f := finding(FindingSpike, dates)
		f.Text = fmt.Sprintf("%s of %s far off the days on both sides: %s; the worst, %s on %v between %s and %s, is "+
			"%.1f times the season's usual change from day to day off",
			plural(len(dates), "value"), v.name, some(dates), degrees(at(v, worst)), s.First+civil.Date(worst),
			degrees(at(v, worst-1)), degrees(at(v, worst+1)), worstShare)
		f.suggest(v.leaveOut(dates))
		found = append(found, f)
	}
	return found
}

func within(spans []civil.Span, d civil.Date) bool {
	return slices.ContainsFunc(spans, func(s civil.Span) bool { return s.Contains(d) })
}

// spike returns how far v is above both its neighbours, or, negative, below both; 0 if it is between them.
func spike(before, v, after float64) float64 {
	a, b := v-before, v-after
	switch {
	case a > 0 && b > 0:
		return min(a, b)
	case a < 0 && b < 0:
		return max(a, b)
	case math.IsNaN(a + b):
		return math.NaN()
	}
	return 0
}

// seasonalChange returns the standard deviation of a value's change from day to day about each month of the year,
// robust and not below a degree.
func seasonalChange(s Series, v values) (scale [12]float64) {
	var byMonth [12][]float64
	yday := newYearDays(s.First)
	for _, c := range changes(s, v.of) {
		if m := monthOf[yday.next()]; !math.IsNaN(c) {
			byMonth[m] = append(byMonth[m], c)
		}
	}
	for m := range scale {
		around := slices.Concat(byMonth[(m+11)%12], byMonth[m], byMonth[(m+1)%12])
		scale[m] = 1
		if len(around) > 0 {
			scale[m] = max(spreadOf(around), 1)
		}
	}
	return scale
}

// checkStuck looks for runs of the same value. How long a run chance gives follows from how often runs go on in the
// record itself: after one day in eight where it is in whole degrees, in one of eighty where it is in tenths.
func checkStuck(s Series) []Finding {
	var found []Finding
	for _, v := range bothValues {
		runs, bound := stuckRuns(s, func(d *Day) (float64, float64) { return *v.of(d), 0 })
		if runs == nil {
			continue
		}
		f := stuckFinding(runs, bound, v.name)
		var dates []civil.Date
		for _, r := range runs {
			for d := r.First + 1; d <= r.Last; d++ { // the first of them was read
				dates = append(dates, d)
			}
		}
		f.suggest(v.leaveOut(dates))
		found = append(found, f)
	}
	if found == nil { // both together
		if runs, bound := stuckRuns(s, func(d *Day) (float64, float64) { return d.Min, d.Max }); runs != nil {
			f := stuckFinding(runs, bound, "tmin and tmax")
			var dates []civil.Date
			for _, r := range runs {
				for d := r.First + 1; d <= r.Last; d++ {
					dates = append(dates, d)
				}
			}
			f.suggest(Correction{LeaveOutMin: dates, LeaveOutMax: dates})
			found = append(found, f)
		}
	}
	return found
}

func stuckFinding(runs []civil.Span, bound int, what string) Finding {
	longest, days := runs[0], 0
	for _, r := range runs {
		days += r.Days()
		if r.Days() > longest.Days() {
			longest = r
		}
	}
	f := Finding{Kind: FindingStuck, Days: days, Span: civil.Span{First: runs[0].First, Last: runs[len(runs)-1].Last}}
	f.Text = fmt.Sprintf("%s of the same %s day after day, the longest from %v to %v, %d days; in this record chance "+
		"gives no run of %d",
		plural(len(runs), "run"), what, longest.First, longest.Last, longest.Days(), bound)
	return f
}

// stuckRuns returns the runs of days that have the same values, as long as the bound or longer.
func stuckRuns(s Series, of func(*Day) (float64, float64)) (runs []civil.Span, bound int) {
	type run struct{ from, days int }
	var all []run
	for i := range s.Days {
		a, b := of(&s.Days[i])
		if s.Days[i].Flags.Invented() {
			a = math.NaN()
		}
		if n := len(all); n > 0 && i > 0 && all[n-1].from+all[n-1].days == i {
			a0, b0 := of(&s.Days[i-1])
			if a == a0 && b == b0 {
				all[n-1].days++
				continue
			}
		}
		if !math.IsNaN(a + b) {
			all = append(all, run{i, 1})
		}
	}
	// The chance that a run goes on for another day: the highest of those after one, two and more days, since steady
	// weather lengthens runs. A stuck thermometer's own run counts once in each, and so does not hide itself.
	p := 1 / float64(len(all)+2)
	longer := len(all)
	for k := 1; k <= stuckLeast; k++ {
		n := longer
		longer = 0
		for _, r := range all {
			if r.days > k {
				longer++
			}
		}
		if n >= stuckCases || k == 1 {
			p = max(p, float64(longer+1)/float64(n+2))
		}
	}
	chance := 1 + math.Log(stuckChance/float64(len(s.Days)+1))/math.Log(p)
	bound = max(int(math.Ceil(stuckMargin*chance)), stuckLeast)
	for _, r := range all {
		if r.days >= bound {
			first := s.First + civil.Date(r.from)
			runs = append(runs, civil.Span{First: first, Last: first + civil.Date(r.days) - 1})
		}
	}
	return runs, bound
}

// checkRounded tells of a record in whole degrees.
func checkRounded(s Series) []Finding {
	whole, n := 0, 0
	for _, d := range s.Days {
		for _, v := range []float64{d.Min, d.Max} {
			if math.IsNaN(v) || d.Flags.Invented() || d.Flags&Adjusted != 0 {
				continue
			}
			n++
			if v == math.Round(v) {
				whole++
			}
		}
	}
	if n < 2*roundedDays || float64(whole) < roundedShare*float64(n) {
		return nil
	}
	f := Finding{Kind: FindingRounded, Span: s.Span(), Days: n / 2}
	f.Text = "its temperatures are whole degrees Celsius: a freeze or a thaw by less than half a degree does not show"
	return []Finding{f}
}

// checkGaps tells of gaps that are too long to be interpolated.
func checkGaps(s Series) []Finding {
	var longest civil.Span
	longest.Last = longest.First - 1
	gaps, days, open := 0, 0, 0
	from := 0
	for i, d := range s.Days {
		if !d.Complete() {
			continue
		}
		if n := i - from; n > interpolateDays {
			gaps, days = gaps+1, days+n
			if n > fillDays {
				open++
			}
			if n > longest.Days() {
				longest = civil.Span{First: s.First + civil.Date(from), Last: s.First + civil.Date(i-1)}
			}
		}
		from = i + 1
	}
	if gaps == 0 {
		return nil
	}
	f := Finding{Kind: FindingGap, Span: longest, Days: days}
	f.Text = fmt.Sprintf("%s of more than %d days, %d days together, the longest from %v to %v, %s; another source "+
		"fills them best",
		plural(gaps, "gap"), interpolateDays, days, longest.First, longest.Last, plural(longest.Days(), "day"))
	if open > 0 {
		f.Text += fmt.Sprintf("; %s longer than %d days, which nothing else fills", plural(open, "gap"), fillDays)
	}
	return []Finding{f}
}
