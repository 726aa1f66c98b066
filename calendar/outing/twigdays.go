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

// bare returns the chance that all species are bare and their buds at rest.
func (t *twigs) bare(d civil.Date) float64 {
	p, known := t.allBare[d]
	if !known {
		p = traits.AllOn(t.spells, d)
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
	if c := t.conditions(d, opt.Hours); c.Known && c.Low < opt.Coldest {
		return false
	}
	return true
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

// window returns the days from the first to the last that is open and likely bare.
func (t *twigs) window() (civil.Span, bool) {
	s := civil.Span{First: t.search.Last + 1, Last: t.search.First - 1}
	for d := t.search.First; d <= t.search.Last; d++ {
		if t.bare(d) >= bareEnough && t.open(d) {
			s = civil.Span{First: min(s.First, d), Last: d}
		}
	}
	return s, !s.Empty()
}

// bestDays returns the best day of the window and two others at least a week from it and from each other. Of the days
// on which the twigs are as good as surely bare, those are best on which most pairs can be told apart, and of these the
// warmest, or, where nobody knows the temperature, the longest. Once the best day is over, the best of those left is
// looked for from the next Monday on, and the others always are, so that they do not change from one day to the next.
func (t *twigs) bestDays(window civil.Span) (civil.Date, []civil.Date) {
	site := t.Place.Site()
	type scored struct{ bare, apart, comfort float64 }
	score := map[civil.Date]scored{}
	var days []civil.Date
	for d := window.First; d <= window.Last; d++ {
		if !t.open(d) || t.bare(d) < bareEnough {
			continue
		}
		apart, _ := t.apart.Expected(d)
		s := scored{bare: t.bare(d), apart: apart, comfort: phenology.DayLengthAt(site.Latitude, site.Longitude, d)}
		if c := t.conditions(d, t.Place.Options.Twig.Hours); c.Known {
			s.comfort = math.Round(c.Low + c.High) // degrees alone; a tenth of one is no reason
		}
		days, score[d] = append(days, d), s
	}
	best := func(days []civil.Date) (civil.Date, bool) {
		var barest, most float64
		for _, d := range days {
			barest = max(barest, score[d].bare)
		}
		for _, d := range days {
			if score[d].bare >= barest-nearlyBare {
				most = max(most, score[d].apart)
			}
		}
		found, ok := civil.Date(0), false
		for _, d := range days {
			s := score[d]
			if s.bare < barest-nearlyBare || s.apart < most*(1-nearlyApart) {
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
		// It is an appointment: it moves only for a day that is better by what can be told of two days. Once it has come,
		// the survey counts as made.
		made = kept < t.Plan.AsOf
		if s, top := score[kept], score[first]; made ||
			s.bare >= top.bare-2*nearlyBare && s.apart >= top.apart*(1-2*nearlyApart) {
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
