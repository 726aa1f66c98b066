package tapping

import (
	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// stillTold is for how many days after its likely end a season that is over is told, beside the next. Our own choice.
const stillTold = 90

// Told is a season of sap told in a few numbers: what ran and was good, from [FirstRunDay] on and as far as its days
// are observed.
type Told struct {
	// days on which it was more likely than not to run and be good; none where there was none
	First civil.Maybe `json:"first,omitzero"`
	Last  civil.Maybe `json:"last,omitzero"`
	Days  Amount      `json:"run_days"` // the sum of their likelihoods
	Hours Hours       `json:"hours"`    // for which sap may have run
	Best  *Run        `json:"best_run,omitempty"`
	// that may have run into holes drilled on the season's tapping day; nil where they are not drilled
	Volume *Volume `json:"sap_litres,omitempty"`
	Over   bool    `json:"over"` // see [Season.IsOver]
	// To is the last observed day, where the season has gone on unobserved for more than [calendar.StaleDays]
	To civil.Maybe `json:"-"`
	// of the record, once the season is over and all of it is observed
	Usual UsualSeason `json:"mean_of_others,omitzero"`
}

// UsualSeason is the mean of other seasons. Days are days of the season.
type UsualSeason struct {
	Seasons int                 `json:"seasons"`
	First   phenology.SeasonDay `json:"first_day"`
	Last    phenology.SeasonDay `json:"last_day"`
	Days    Amount              `json:"run_days"`
	Hours   Hours               `json:"hours"`
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
	told := &Told{Days: Amount(own.days), Hours: Hours(own.hours), Over: s.IsOver()}
	if s.AsOf-observed > calendar.StaleDays && s.endBy(surelyOver.chance) > observed {
		told.To = civil.Some(observed)
	}
	if own.first > 0 {
		told.First, told.Last = civil.Some(s.Season.Date(own.first)), civil.Some(s.Season.Date(own.last))
	}
	drilled, last := s.TapDay.Or(observed+1), told.Last.Or(0)
	var into []RunDay
	for i := range s.Runs {
		r := &s.Runs[i]
		if r.Over && r.Span.First <= last && (told.Best == nil || r.Hours > told.Best.Hours) {
			told.Best = r
		}
		for _, d := range r.Days {
			if d.Date >= drilled && d.Date <= min(observed, last) {
				into = append(into, d)
			}
		}
	}
	told.Volume = s.volumeOf(into)
	if told.Over && !told.To.Known() {
		told.Usual = s.usualTally()
	}
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
	u.Days, u.Hours = Amount(days/n), Hours(hours/n)
	if ran > 0 {
		u.First, u.Last = phenology.SeasonDay(first/ran+0.5), phenology.SeasonDay(last/ran+0.5)
	}
	return u
}

// IsOver reports whether the season is past: so is the day by which it has surely ended, by what is known of it.
func (s *Season) IsOver() bool { return s.endBy(surelyOver.chance) < s.AsOf }

// StillTold reports whether the season is under way, or was over no more than some weeks ago.
func (s *Season) StillTold() bool { return s.AsOf <= s.spread(s.End).P90+stillTold }

// toldFacts are the facts of gathering with the season told and its buds, while it is told of.
func (s *Season) toldFacts() *SeasonFacts {
	if s.gather == nil {
		s.gather = s.GatherFacts()
		if s.StillTold() {
			s.gather.Told, s.gather.Buds = s.Tell(), s.Buds()
		}
	}
	return s.gather
}
