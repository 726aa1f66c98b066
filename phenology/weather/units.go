package weather

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// slips are the ways in which values of another unit get into a record, with what undoes each.
var slips = []struct {
	text  string
	undo  func(float64) float64
	slope float64 // by which the slip stretched the daily range
}{
	{"degrees Fahrenheit read as Celsius", func(v float64) float64 { return (v - 32) / 1.8 }, 1.8},
	{"degrees Celsius converted as if they were Fahrenheit", func(v float64) float64 { return v*1.8 + 32 }, 1 / 1.8},
	{"tenths of a degree taken for degrees", func(v float64) float64 { return v / 10 }, 10},
	{"degrees taken for tenths", func(v float64) float64 { return v * 10 }, 0.1},
}

// monthMean is one month of one year.
type monthMean struct {
	span          civil.Span
	days          int
	max, dayRange float64 // mean maximum, mean range from minimum to maximum; degrees Celsius
}

// checkUnits looks for months that fit the other years only in another unit, and for a record too hot for this earth.
// A month must come out by both its level and its daily range, so that no heat wave is taken for a slip.
func checkUnits(s Series) []Finding {
	months := monthMeans(s)
	if f, ok := tooHot(months); ok {
		return []Finding{f}
	}
	others := usualMonths(months)
	var found []Finding
	for _, slip := range slips {
		var hit []monthMean
		var usual float64
		for i, m := range months {
			o := others[i]
			stretch := m.dayRange / o.dayRange / slip.slope
			if o.days >= unitYears && math.Abs(m.max-o.max) > unitOff && math.Abs(slip.undo(m.max)-o.max) < unitBack &&
				stretch > 0.7 && stretch < 1.4 {
				if hit == nil {
					usual = o.max
				}
				hit = append(hit, m)
			}
		}
		if hit == nil {
			continue
		}
		f := Finding{Kind: FindingUnit, Span: civil.Span{First: hit[0].span.First, Last: hit[len(hit)-1].span.Last}}
		for _, m := range hit {
			f.Days += m.days
		}
		first := hit[0]
		f.Text = fmt.Sprintf("%s look like %s, from %v to %v; in %s the mean maximum is %s where other years have "+
			"%s, and %s if it is that",
			plural(len(hit), "month"), slip.text, f.Span.First, f.Span.Last, first.span.First.Format("January 2006"),
			degrees(first.max), degrees(usual), degrees(slip.undo(first.max)))
		found = append(found, f)
	}
	return found
}

// usualMonths returns for each month the medians of the same month in the other years; days counts these years.
func usualMonths(months []monthMean) []monthMean {
	usual := make([]monthMean, len(months))
	var byMonth [12][]int
	for i, m := range months {
		k := m.span.First.Month() - 1
		byMonth[k] = append(byMonth[k], i)
	}
	var level, spread []float64
	for _, same := range byMonth {
		for _, i := range same {
			level, spread = level[:0], spread[:0]
			for _, j := range same {
				if j != i {
					level, spread = append(level, months[j].max), append(spread, months[j].dayRange)
				}
			}
			usual[i] = monthMean{days: len(level), max: median(level), dayRange: median(spread)}
		}
	}
	return usual
}

// tooHot tells of a record whose hottest month no place on earth has.
func tooHot(months []monthMean) (Finding, bool) {
	var hottest *monthMean
	for i := range months {
		if hottest == nil || months[i].max > hottest.max {
			hottest = &months[i]
		}
	}
	if hottest == nil || hottest.max < hottestMonth {
		return Finding{}, false
	}
	var count []float64
	for _, m := range months {
		if m.span.First.Month() == hottest.span.First.Month() {
			count = append(count, m.max)
		}
	}
	if len(count) > 2 && median(count) < hottestMonth {
		return Finding{}, false // one month, which the comparison with other years tells of
	}
	f := Finding{Kind: FindingUnit, Span: hottest.span, Days: hottest.days, Suggest: "unit: F"}
	f.Text = fmt.Sprintf("%s has a mean maximum of %s, hotter than any month measured on earth: these are degrees "+
		"Fahrenheit, or tenths of a degree",
		hottest.span.First.Format("January 2006"), degrees(hottest.max))
	return f, true
}

// monthMeans returns the months that have enough days.
func monthMeans(s Series) []monthMean {
	var months []monthMean
	for i := 0; i < len(s.Days); {
		d := s.First + civil.Date(i)
		y, m, _ := d.Date()
		next := civil.Of(y, m+1, 1)
		month := monthMean{span: civil.Span{First: d, Last: next - 1}}
		for ; i < len(s.Days) && s.First+civil.Date(i) < next; i++ {
			if day := s.Days[i]; day.Complete() && !day.Flags.Invented() {
				month.days++
				month.max += day.Max
				month.dayRange += day.Max - day.Min
			}
		}
		if month.days >= unitMonthDays {
			month.max /= float64(month.days)
			month.dayRange /= float64(month.days)
			months = append(months, month)
		}
	}
	return months
}
