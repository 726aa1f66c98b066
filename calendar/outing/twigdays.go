package outing

import (
	"math"
	"slices"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// bare returns the chance that all species are bare and their buds at rest; below [bareEnough], any lower than that.
func (t *twigs) bare(d civil.Date) float64 {
	p, known := t.allBare[d]
	if !known {
		p = traits.AllOn(t.spells, d, bareEnough)
		t.allBare[d] = p
	}
	return p
}

// open reports whether a survey can be made on a day.
func (t *twigs) open(d civil.Date) bool {
	opt, site := &t.Place.Options.Twig, t.Place.Site()
	if !inSeason(opt, d) || !t.diary.open(d) {
		return false
	}
	if phenology.DayLengthAt(site.Latitude, site.Longitude, d) < opt.MinDayLen {
		return false
	}
	c := t.conditionsOn(d)
	return !c.Known || c.Low >= opt.Coldest
}

// conditionsOn returns what the hours of a day are usually like.
func (t *twigs) conditionsOn(d civil.Date) Conditions {
	c, known := t.usual[d]
	if !known {
		c = conditionsAt(t.Place.Outlook, d, t.Place.Options.Twig.Hours)
		t.usual[d] = c
	}
	return c
}

// published returns the day of the survey that the place's feed holds, if it is one of some days.
func (t *twigs) published(days []civil.Date) (civil.Date, bool) {
	m, ok := t.Place.Memory[t.uid]
	best, known := m.Best.Get()
	return best, ok && known && !m.Cancelled && m.Window.Days() == 1 && slices.Contains(days, best)
}

// inSeason reports whether a day lies in the survey's own season.
func inSeason(o *calendar.TwigOptions, d civil.Date) bool {
	if o.From == (civil.MonthDay{}) || o.To == (civil.MonthDay{}) {
		return true
	}
	first, last := o.From.In(d.Year()), o.To.In(d.Year())
	if first <= last {
		return first <= d && d <= last
	}
	return d >= first || d <= last // the season passes New Year
}

// openDays returns the days that are open and likely bare.
func (t *twigs) openDays() (days []civil.Date) {
	for d := t.search.First; d <= t.search.Last; d++ {
		if t.bare(d) >= bareEnough && t.open(d) {
			days = append(days, d)
		}
	}
	return days
}

// bestDays returns the best of some days and two others at least a week from it and from each other. Of the days
// on which the twigs are as good as surely bare, those are best on which most pairs can be told apart, and of these the
// warmest, or, where nobody knows the temperature, the longest. Once the best day is over, the best of those left is
// looked for from the next Monday on, and the others always are, so that they do not change from one day to the next.
func (t *twigs) bestDays(days []civil.Date) (civil.Date, []civil.Date) {
	site := t.Place.Site()
	type scored struct{ bare, comfort float64 }
	score := map[civil.Date]scored{}
	expected := map[civil.Date]float64{}
	apart := func(d civil.Date) float64 { // of days that are bare enough to be compared
		if _, known := expected[d]; !known {
			expected[d], _ = t.apart.Expected(d)
		}
		return expected[d]
	}
	for _, d := range days {
		s := scored{bare: t.bare(d), comfort: phenology.DayLengthAt(site.Latitude, site.Longitude, d)}
		if c := t.conditionsOn(d); c.Known {
			s.comfort = math.Round(c.Low + c.High) // degrees alone; a tenth of one is no reason
		}
		score[d] = s
	}
	best := func(days []civil.Date) (civil.Date, bool) {
		var barest, most float64
		for _, d := range days {
			barest = max(barest, score[d].bare)
		}
		for _, d := range days {
			if score[d].bare >= barest-nearlyBare {
				most = max(most, apart(d))
			}
		}
		found, ok := civil.Date(0), false
		for _, d := range days {
			s := score[d]
			if s.bare < barest-nearlyBare || apart(d) < most*(1-nearlyApart) {
				continue
			}
			if !ok || s.comfort > score[found].comfort+1e-9 {
				found, ok = d, true
			}
		}
		return found, ok
	}
	from := func(first civil.Date) []civil.Date {
		return slices.DeleteFunc(slices.Clone(days), func(d civil.Date) bool { return d < first })
	}
	monday := t.Plan.AsOf
	for monday.Weekday() != time.Monday {
		monday++
	}
	first, _ := best(days)
	made := false
	if kept, ok := t.published(days); ok {
		// It is an appointment: it moves only for a day that is better by what can be told of two days. Once it has
		// come, the survey counts as made.
		made = kept < t.Plan.AsOf
		if s, top := score[kept], score[first]; made ||
			s.bare >= top.bare-2*nearlyBare && apart(kept) >= apart(first)*(1-2*nearlyApart) {
			first = kept
		}
	}
	if first < t.Plan.AsOf && !made {
		for _, left := range [][]civil.Date{from(monday), from(t.Plan.AsOf)} {
			if d, ok := best(left); ok {
				first = d
				break
			}
		}
	}
	days = from(monday)
	var others []civil.Date
	chosen := []civil.Date{first}
	for len(others) < 2 {
		rest := slices.DeleteFunc(slices.Clone(days), func(d civil.Date) bool {
			return slices.ContainsFunc(chosen, func(c civil.Date) bool { return civil.Apart(c, d) < 7 })
		})
		d, ok := best(rest)
		if !ok {
			break
		}
		others, chosen = append(others, d), append(chosen, d)
	}
	slices.Sort(others)
	return first, others
}
