package phenology

import (
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// SapYear is how sap may run in one season: one way the season may go, with its own days as far as they are known.
type SapYear struct {
	Donor int      // the season whose days complete it
	First int      // day of the season on which Days begins
	Known int      // last day of the season that is its own, observed or forecast; below First if none is
	Days  []RunDay // how sap may run, day by day, to the last day before End
	End   int      // day of the season on which buds swell and sap turns off-flavoured
}

// Runs returns the run days to be expected from one day of the season to another, both included.
func (y *SapYear) Runs(from, to int) float64 {
	sum := 0.0
	for i := max(from-y.First, 0); i <= to-y.First && i < len(y.Days); i++ {
		sum += y.Days[i].Likelihood
	}
	return sum
}

// SapYears returns one [SapYear] for each way the season may go, as [Outlook.Estimate] sees them; none where the site
// has no temperatures or the species is not tapped. First is the day of the season from which runs are counted.
func (o *Outlook) SapYears(sp *Species, season, first int) []SapYear {
	if o.Temps == nil || sp.Sap.Run == nil {
		return nil
	}
	return o.dating(sp, o.Site.Season(season)).sapYears(first)
}

// SapYearsKnown returns what [Outlook.SapYears] would have returned on the morning after the day known, with no forecast,
// no sightings, and no season but those before this one to complete it. It is for looking back.
func (o *Outlook) SapYearsKnown(sp *Species, season, first int, known civil.Date) []SapYear {
	if o.Temps == nil || sp.Sap.Run == nil {
		return nil
	}
	back := Outlook{Site: o.Site, Temps: o.Temps, Until: &known}
	d := back.dating(sp, o.Site.Season(season))
	d.follow(slices.DeleteFunc(slices.Clone(d.tracks), func(tr track) bool { return tr.donor >= season }))
	return d.sapYears(first)
}

// SapYearRecorded returns a past season as it went; false where the record has not all of it.
func (o *Outlook) SapYearRecorded(sp *Species, season, first int) (SapYear, bool) {
	if o.Temps == nil || sp.Sap.Run == nil {
		return SapYear{}, false
	}
	s := o.Site.Season(season)
	back := Outlook{Site: o.Site, Temps: o.Temps}
	d := back.dating(sp, s)
	d.follow([]track{{cut: min(o.Temps.observed, s.Date(lastDay)), shift: o.Temps.Last() - s.Anchor() + lastDay, donor: season}})
	years := d.sapYears(first)
	if len(years) != 1 || years[0].End > years[0].Known {
		return SapYear{}, false
	}
	return years[0], true
}

// sapYears follows a season's sap along every track.
func (d *dating) sapYears(first int) []SapYear {
	o, season, rule := d.outlook, d.season, d.species.Sap.Run
	swell := d.phase(SapSpoiler(d.species))
	likelihoods, hours := o.Temps.sum(rule.forcing()), o.Temps.sum(rule.hours())
	likelihoodsAhead, hoursAhead := d.aheads.sum(rule.forcing()), d.aheads.sum(rule.hours())
	var years []SapYear
	for i, tr := range d.tracks {
		if i >= len(swell.days) || math.IsNaN(swell.days[i]) {
			continue
		}
		y := SapYear{Donor: tr.donor, First: first, End: int(math.Ceil(swell.days[i])), Known: season.Day(tr.cut)}
		if !o.Temps.coveredAlong(tr, season.Date(float64(first)), season.Date(float64(y.End-1))) {
			continue
		}
		y.Days = make([]RunDay, 0, max(y.End-first, 0))
		on := season.Date(float64(first)) - 1
		for range y.End - first {
			on++
			y.Days = append(y.Days, RunDay{
				Likelihood: o.Temps.on(route{tr, likelihoods, likelihoodsAhead[i]}, on),
				Hours:      o.Temps.on(route{tr, hours, hoursAhead[i]}, on),
			})
		}
		years = append(years, y)
	}
	return years
}

// SapSpoiler is the phase from which a species' sap is no longer worth boiling: bud swell by freeze and thaw; by root
// pressure, or where the profile has no bud swell, bud break.
func SapSpoiler(sp *Species) Phase {
	if sp.Phase(BudSwell) == nil || sp.Sap.Run != nil && sp.Sap.Run.Drive == RootPressure {
		return BudBreak
	}
	return BudSwell
}

// coveredAlong is covered along a track.
func (t *Temperatures) coveredAlong(tr track, first, last civil.Date) bool {
	return t.covered(first, min(last, tr.cut)) && t.covered(max(first, tr.cut+1)+tr.shift, last+tr.shift)
}
