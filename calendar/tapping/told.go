package tapping

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Told is a season of sap told in a few numbers: what ran and was good, from [FirstRunDay] on and as far as its days are
// observed.
type Told struct {
	First, Last civil.Maybe // days on which it was more likely than not to run and be good; none where there was none
	Days        float64     // run days: the sum of their likelihoods
	Hours       float64     // for which sap may have run
	Best        *Run        // the run of most hours; nil where there was none
	Usual       UsualSeason // of the other seasons of the record
}

// UsualSeason is the mean of other seasons. Days are days of the season.
type UsualSeason struct {
	Seasons     int
	First, Last phenology.SeasonDay
	Days, Hours float64
}

// tally is what ran in one season.
type tally struct {
	first, last phenology.SeasonDay // 0 where there was no run
	days, hours float64
}

// tallyOf sums up a way that a season went, to a day.
func (s *Season) tallyOf(y *phenology.SapYear, season phenology.Season, to phenology.SeasonDay) (c tally) {
	t, rule := s.Place.Outlook.Temps, *s.Species.Sap.Run
	for i, good := range y.Days {
		day := y.First + phenology.SeasonDay(i)
		if day > to {
			break
		}
		c.days += good
		if run, ok := t.Run(rule, season.Date(day)); ok && run.Likelihood > 0 {
			c.hours += run.Hours * good / run.Likelihood
		}
		if good >= likelyRunDay {
			if c.first == 0 {
				c.first = day
			}
			c.last = day
		}
	}
	return c
}

// Tell sums the season up as far as it is observed; nil where nothing of it is.
func (s *Season) Tell() *Told {
	o := s.Place.Outlook
	if o.Temps == nil || len(s.Years) == 0 || s.Start.Basis == phenology.BasisNormals {
		return nil
	}
	observed := min(o.Temps.Observed(), s.AsOf)
	if observed < s.Season.Date(FirstRunDay) || s.Season.Date(FirstRunDay) < o.Temps.Series().First {
		return nil
	}
	own := s.tallyOf(&s.Years[0], s.Season, s.Season.Day(observed))
	told := &Told{Days: own.days, Hours: own.hours}
	if own.first > 0 {
		told.First, told.Last = civil.Some(s.Season.Date(own.first)), civil.Some(s.Season.Date(own.last))
	}
	for i := range s.Runs {
		r := &s.Runs[i]
		good := told.Last.Known() && r.Span.First <= told.Last.Or(0)
		if r.Over && good && (told.Best == nil || r.Hours > told.Best.Hours) {
			told.Best = r
		}
	}
	told.Usual = s.usualTally()
	return told
}

// usualTally is the mean of the whole seasons on record beside this one.
func (s *Season) usualTally() (u UsualSeason) {
	o := s.Place.Outlook
	var first, last, days, hours float64
	ran := 0.0
	for year := phenology.SeasonAt(o.Site, o.Temps.Series().First).Year; ; year++ {
		season := o.Site.Season(year)
		if season.Date(FirstRunDay) > o.Temps.Observed() {
			break
		}
		y, ok := o.SapYearRecorded(s.Species, year, FirstRunDay)
		if year == s.Season.Year || !ok {
			continue
		}
		c := s.tallyOf(&y, season, y.End)
		u.Seasons++
		days, hours = days+c.days, hours+c.hours
		if c.first > 0 {
			first, last, ran = first+float64(c.first), last+float64(c.last), ran+1
		}
	}
	n := float64(max(1, u.Seasons))
	u.Days, u.Hours = days/n, hours/n
	if ran > 0 {
		u.First, u.Last = phenology.SeasonDay(first/ran+0.5), phenology.SeasonDay(last/ran+0.5)
	}
	return u
}

// IsOver reports whether the season is past: its days are observed to beyond the day by which it has surely ended.
func (s *Season) IsOver() bool { return s.End.Quantile(surelyOver.chance) < s.AsOf }
