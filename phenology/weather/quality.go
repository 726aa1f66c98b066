package weather

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// Bounds of the checks of one record. Where a bound is set by what clean records hold, these are Montreal 1995-2013 and
// Harvard Forest's automatic station 2001-2013, some 11,000 days of minima and of maxima each.
const (
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
