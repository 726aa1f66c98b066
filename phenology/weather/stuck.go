package weather

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// Bounds of a run of days with one temperature.
const (
	stuckChance = 0.001 // that chance alone gives a run as long as one that is told of, in the whole record
	stuckMargin = 1.5   // since steady weather makes runs longer than chance does: a whole-degree record reaches 7 days
	stuckLeast  = 5     // days
	stuckCases  = 20    // runs that a chance must rest on
)

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
