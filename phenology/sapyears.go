package phenology

import (
	"math"
	"slices"
	"sync"

	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
	"treewhen/phenology/weather"
)

// SapYear is how sap may run in one season: one way the season may go, with its own days as far as they are known.
type SapYear struct {
	Donor int       // the season whose days complete it
	First SeasonDay // on which Days begins
	Known SeasonDay // last day that is its own, observed or forecast; below First if none is
	Days  []float64 // likelihood, in [0, 1], that sap runs and is good, day by day, to the last day before End
	// as Days, but a day counts for as much of a whole one as it thaws of [WholeThaw]: what runs, roughly
	Flow []float64
	// what each day adds to what dries holes, degree-days Celsius above [HoleWarmthBase] by the sine; on the same days
	Warmth []float64
	End    SeasonDay // by which sap has turned off-flavoured, as good as surely: buds swell on a day known to some days
}

// WholeThaw is for how long it thaws on a day that brings all that a day can, hours above freezing. Source: fitted,
// apart from this program, to a record of about fifty buckets (Whately, Massachusetts, 2013: Smith College MacLeish
// Field Station, CC0), 15 to 21 hours; a long thaw brings more, and deeper frost does not.
const WholeThaw = 18.0

// HoleWarmthBase is the temperature above which warmth dries holes, degrees Celsius: that of refrigerators, below which
// microbes hardly grow. Our own choice.
const HoleWarmthBase = 4.0

// Runs returns the run days to be expected from one day of the season to another, both included: the sum of
// likelihoods.
func (y *SapYear) Runs(from, to SeasonDay) float64 {
	sum := 0.0
	for i := max(int(from-y.First), 0); i <= int(to-y.First) && i < len(y.Days); i++ {
		sum += y.Days[i]
	}
	return sum
}

// SapYears returns one [SapYear] for each way the season may go, as [Outlook.Estimate] sees them; none where the site
// has no temperatures or the species is not tapped. First is the day of the season from which runs are counted.
func (o *Outlook) SapYears(sp *Species, season int, first SeasonDay) []SapYear {
	if o.Temps == nil || sp.Sap.Run == nil {
		return nil
	}
	return o.estimator(sp, o.Site.Season(season)).sapYears(first, new(sapRoom))
}

// LookAtSapYears hands what [Outlook.SapYears] returns to a function, which must not keep it: of what is decided on
// dozens of mornings that are past, the years are not wanted again, and their room is used for the next.
func (o *Outlook) LookAtSapYears(sp *Species, season int, first SeasonDay, look func([]SapYear)) {
	if o.Temps == nil || sp.Sap.Run == nil {
		look(nil)
		return
	}
	room := sapRooms.Get().(*sapRoom)
	look(o.estimator(sp, o.Site.Season(season)).sapYears(first, room))
	sapRooms.Put(room)
}

// sapRoom is room for sap years, used again and again.
type sapRoom struct {
	years []SapYear
	days  []float64
}

var sapRooms = sync.Pool{New: func() any { return new(sapRoom) }}

// SapYearsKnown returns what [Outlook.SapYears] would have returned on the morning after the day known, with no
// sightings and no season but those before this one to complete it; forecast is what was forecast that morning for the
// days after known, or nil. It is for looking back.
func (o *Outlook) SapYearsKnown(sp *Species, season int, first SeasonDay, known civil.Date,
	forecast []weather.Day) []SapYear {
	if o.Temps == nil || sp.Sap.Run == nil {
		return nil
	}
	back := Outlook{Site: o.Site, Temps: o.Temps, Until: &known}
	if len(forecast) > 0 {
		back.Temps, back.Until = o.Temps.foreseen(known, forecast), nil
	}
	d := back.estimator(sp, o.Site.Season(season))
	d.follow(slices.DeleteFunc(slices.Clone(d.members), func(mem member) bool { return mem.donor >= season }))
	return d.sapYears(first, new(sapRoom))
}

// SapYearRecorded returns a past season as it went; false where the record has not all of it.
func (o *Outlook) SapYearRecorded(sp *Species, season int, first SeasonDay) (SapYear, bool) {
	if o.Temps == nil || sp.Sap.Run == nil {
		return SapYear{}, false
	}
	s := o.Site.Season(season)
	back := Outlook{Site: o.Site, Temps: o.Temps}
	d := back.estimator(sp, s)
	beyond := o.Temps.Last() - s.Anchor() + civil.Date(lastDay) // no other year goes on
	d.follow([]member{{cut: min(o.Temps.observed, s.Date(lastDay)), shift: beyond, donor: season}})
	years := d.sapYears(first, new(sapRoom))
	if len(years) != 1 || years[0].End > years[0].Known {
		return SapYear{}, false
	}
	return years[0], true
}

// surelySpoiled is after how many standard deviations past the day on which buds are dated to swell no sap is counted
// any more: one season of twenty goes on longer.
const surelySpoiled = 1.645

// usualSapDays is how many days a season of sap has from its first on, for making room.
const usualSapDays = 120

// sapYears follows a season's sap along every member, in some room.
func (e *estimator) sapYears(first SeasonDay, in *sapRoom) []SapYear {
	t, rule := e.outlook.Temps, e.species.Sap.Run
	warmth := forcing{method: SineForcing, base: HoleWarmthBase}
	swell := e.phase(SapSpoiler(e.species))
	sd := swell.sd()
	sums, ahead := t.sum(rule.forcing()), e.ensemble.sum(rule.forcing())
	hours, hoursAhead := t.sum(rule.hours()), e.ensemble.sum(rule.hours())
	warmths, warmthsAhead := t.sum(warmth), e.ensemble.sum(warmth)
	anchor := e.season.Anchor()
	in.years = slices.Grow(in.years[:0], len(e.members))
	in.days = slices.Grow(in.days[:0], 3*len(e.members)*usualSapDays)
	years, room := in.years, in.days
	for i, mem := range e.members {
		if i >= len(swell.days) || math.IsNaN(swell.days[i]) {
			continue
		}
		end := SeasonDay(math.Ceil(swell.days[i] + surelySpoiled*sd))
		from, last := anchor+civil.Date(first-1), anchor+civil.Date(end-2)
		if !t.coveredAlong(mem, from, last) {
			continue
		}
		days := t.daily(memberSums{mem, sums, ahead[i]}, from, last, room[len(room):])
		room = room[:min(len(room)+len(days), cap(room))]
		flow := t.daily(memberSums{mem, hours, hoursAhead[i]}, from, last, room[len(room):])
		room = room[:min(len(room)+len(flow), cap(room))]
		warm := t.daily(memberSums{mem, warmths, warmthsAhead[i]}, from, last, room[len(room):])
		room = room[:min(len(room)+len(warm), cap(room))]
		for k := range flow {
			flow[k] = min(days[k], flow[k]/WholeThaw)
		}
		for k := len(days) - 1; k >= 0 && sd > 0; k-- {
			left := (first + SeasonDay(k)).End() - swell.days[i]
			if left < -4*sd {
				break // good without a doubt
			}
			good := normal.CDF(-left / sd)
			days[k], flow[k] = days[k]*good, flow[k]*good
		}
		years = append(years, SapYear{Donor: mem.donor, First: first, Known: e.season.Day(mem.cut),
			Days: slices.Clip(days), Flow: slices.Clip(flow), Warmth: slices.Clip(warm), End: end})
	}
	return years
}

// daily appends what each day of a member adds, from first to last, to a list.
func (t *Temperatures) daily(r memberSums, first, last civil.Date, list []float64) []float64 {
	on := first
	for k := t.index(on); on <= min(r.cut, last); k, on = k+1, on+1 {
		list = append(list, r.sums[k+1]-r.sums[k])
	}
	for k := int(on - r.cut); k < len(r.ahead) && on <= last; k, on = k+1, on+1 {
		list = append(list, r.ahead[k]-r.ahead[k-1])
	}
	for k := t.index(on + r.shift); on <= last; k, on = k+1, on+1 {
		list = append(list, r.sums[k+1]-r.sums[k])
	}
	return list
}

// SapSpoiler is the phase from which a species' sap is no longer worth boiling: bud swell by freeze and thaw; by root
// pressure, or where the profile has no bud swell, bud break.
func SapSpoiler(sp *Species) Phase {
	if sp.Phase(BudSwell) == nil || sp.Sap.Run != nil && sp.Sap.Run.Drive == RootPressure {
		return BudBreak
	}
	return BudSwell
}

// coveredAlong is covered along a member.
func (t *Temperatures) coveredAlong(mem member, first, last civil.Date) bool {
	return t.covered(first, min(last, mem.cut)) && t.covered(max(first, mem.cut+1)+mem.shift, last+mem.shift)
}
