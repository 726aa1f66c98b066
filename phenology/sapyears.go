package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// SapYear is how sap may run in one season: one way the season may go, with its own days as far as they are known.
type SapYear struct {
	Donor int       // the season whose days complete it
	First int       // day of the season on which Runs begins
	Runs  []float64 // how likely sap runs, day by day, to the last day before End
	End   int       // day of the season on which buds swell and sap turns off-flavoured
}

// SapYears returns one [SapYear] for each way the season may go, as [Outlook.Estimate] sees them; none where the site
// has no temperatures or the species is not tapped. First is the day of the season from which runs are counted.
func (o *Outlook) SapYears(sp *Species, season, first int) []SapYear {
	if o.Temps == nil || sp.Sap.Run == nil {
		return nil
	}
	d := o.dating(sp, o.Site.Season(season))
	swell := d.phase(BudSwell)
	var years []SapYear
	sums := o.Temps.sum(sp.Sap.Run.forcing())
	for i, tr := range d.tracks {
		if i >= len(swell.days) || math.IsNaN(swell.days[i]) {
			continue
		}
		y := SapYear{Donor: tr.donor, First: first, End: int(math.Round(swell.days[i]))}
		if !o.Temps.coveredAlong(tr, d.season.Date(float64(first)), d.season.Date(float64(y.End))) {
			continue
		}
		for day := first; day < y.End; day++ {
			on := d.season.Date(float64(day))
			if on > tr.cut {
				on += tr.shift
			}
			k := o.Temps.index(on)
			y.Runs = append(y.Runs, sums[k+1]-sums[k])
		}
		years = append(years, y)
	}
	return years
}

// coveredAlong is covered along a track.
func (t *Temperatures) coveredAlong(tr track, first, last civil.Date) bool {
	return t.covered(first, min(last, tr.cut)) && t.covered(max(first, tr.cut+1)+tr.shift, last+tr.shift)
}
