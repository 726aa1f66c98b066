package phenology

import (
	"cmp"
	"math"
	"slices"
)

// What makes a sighting doubtful. Our own choice: of volunteers' dates within a fortnight of each other none was a
// slip, and a slip of the pen is by a month.
const (
	apartDays   = 20.0 // days from the others of its season
	wildDays    = 30.0 // days from what is to be expected, at least, for a slip
	wildSD      = 3.0  // and so many of the expectation's standard deviations
	mostWild    = 60.0 // days, at most
	seasonReach = 120.0
)

// DoubtfulSighting is a sighting that may well be a slip.
type DoubtfulSighting struct {
	Sighting
	Late    float64 // days later than what temperatures or the place make of that season; NaN where they make nothing
	Apart   float64 // days from the nearest other sighting of that season that is used; 0 where there is none
	LeftOut bool    // it is so far off that it is not used
}

// DoubtfulSightings returns the sightings at the site that lie far apart from the others of their season or far from
// what that season's temperatures, or the place, make of it, by date. Only species among [Outlook.Known] are judged.
func (o *Outlook) DoubtfulSightings() []DoubtfulSighting {
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	o.index()
	return slices.Clone(o.memo.doubts)
}

// judge looks for doubtful sightings.
func (o *Outlook) judge(seen map[seenKey][]seenDate) (doubts []DoubtfulSighting) {
	for _, sp := range o.Known {
		for _, r := range sp.Phases {
			dates := seen[seenKey{sp.ID, r.Phase}]
			for len(dates) > 0 {
				season, n := o.SeasonOf(r, dates[0].date), 1
				for n < len(dates) && o.SeasonOf(r, dates[n].date) == season {
					n++
				}
				doubts = append(doubts, o.judgeSeason(sp, r, season, dates[:n])...)
				dates = dates[n:]
			}
		}
	}
	slices.SortFunc(doubts, func(a, b DoubtfulSighting) int {
		return cmp.Or(cmp.Compare(a.Date, b.Date), cmp.Compare(a.Species, b.Species), cmp.Compare(a.Phase, b.Phase))
	})
	return doubts
}

// judgeSeason judges what was seen of a phase in a season. Days as near to what is usual here and to each other as
// nobody need look closer at are no cause to run a model.
func (o *Outlook) judgeSeason(
	sp *Species, r *PhaseRecord, season Season, dates []seenDate,
) (doubts []DoubtfulSighting) {
	days := make([]float64, len(dates))
	usual, off := o.usualDay(r)
	doubtful := false
	for i, s := range dates {
		days[i] = season.Day(s.date).End() + stageLags[s.stage].days
		doubtful = doubtful || !(math.Abs(days[i]-usual) <= wildDays-min(off, wildDays/2)) // usual may be no number
	}
	if !doubtful && slices.Max(days)-slices.Min(days) <= apartDays {
		return nil
	}
	mean, sd := o.expects(sp, r, season)
	limit := max(wildDays, min(wildSD*sd, mostWild))
	if math.IsNaN(mean) { // then by the season alone
		mean, limit = o.usualOf(r), seasonReach
	}
	var kept []float64
	for _, day := range days {
		if !(math.Abs(day-mean) > limit) {
			kept = append(kept, day)
		}
	}
	for i, s := range dates {
		d := DoubtfulSighting{Late: days[i] - mean, LeftOut: math.Abs(days[i]-mean) > limit}
		d.Sighting = Sighting{Date: s.date, Site: o.Site.ID, Species: sp.ID, Phase: r.Phase, Stage: s.stage}
		d.Apart = apart(days[i], kept)
		if d.LeftOut || d.Apart > apartDays {
			doubts = append(doubts, d)
		}
	}
	return doubts
}

// usualOf is the day by which a sighting's season is told: see [Outlook.SeasonOf].
func (o *Outlook) usualOf(r *PhaseRecord) float64 {
	switch {
	case len(r.References) > 0:
		return r.References[0].Day
	case r.Months != nil:
		first, last := r.Months.days()
		return (first + last) / 2
	}
	return math.NaN()
}

// expects returns when a phase is to be expected in a season by all but what was seen, and how sure that is; NaN where
// it cannot be dated.
func (o *Outlook) expects(sp *Species, r *PhaseRecord, season Season) (mean, sd float64) {
	if o.whole != nil && season.Date(lastDay) <= *o.Until {
		return o.whole.expects(sp, r, season)
	}
	got := o.memo.expected.of(localKey{seenKey{sp.ID, r.Phase}, season}, func() expectation {
		if est := o.withoutSightings().estimator(sp, season).phase(r.Phase); est.HasDate() {
			return expectation{est.Dist.Mean(), est.Dist.SD()}
		}
		return expectation{math.NaN(), 0}
	})
	return got.mean, got.sd
}

// expectation is a day of a season, and its standard deviation, days.
type expectation struct{ mean, sd float64 }

// Vetted returns the sightings without those that are wild, for an outlook that does not judge them again: see
// [Outlook.Judged].
func (o *Outlook) Vetted() Sightings {
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	o.index()
	return slices.DeleteFunc(slices.Clone(o.Sightings), func(s Sighting) bool {
		return slices.ContainsFunc(o.memo.doubts, func(d DoubtfulSighting) bool {
			return d.LeftOut && d.Site == s.Site && d.Species == s.Species && d.Phase == s.Phase && d.Date == s.Date
		})
	})
}

// withoutSightings returns the outlook as it were had nobody seen anything.
func (o *Outlook) withoutSightings() *Outlook {
	o.memo.plain.Do(func() {
		o.memo.alone = &Outlook{Site: o.Site, Temps: o.Temps, Normals: o.Normals, Until: o.Until}
	})
	return o.memo.alone
}

// apart returns how far a day is from the nearest other of some days, of which it may be one itself; 0 where there is
// no other.
func apart(day float64, days []float64) float64 {
	nearest, self := math.Inf(1), false
	for _, d := range days {
		if d == day && !self {
			self = true
			continue
		}
		nearest = min(nearest, math.Abs(d-day))
	}
	if math.IsInf(nearest, 1) {
		return 0
	}
	return nearest
}

// courses are phases that follow each other on one twig, whatever the weather.
var courses = [][]Phase{
	{BudSwell, BudBreak, LeafOut, LeafColor, LeafFall},
	{BudSwell, Flowering, FloweringEnd, FruitRipe, SeedFall, SeedFallEnd},
}

// inOrder moves what is still to come, or was not seen, behind what was seen before it and before what was seen behind
// it: so far that no more than one chance in ten is on the wrong side. Models are dated one by one and do not know.
func (e *Estimates) inOrder() {
	for _, course := range courses {
		for i, p := range course {
			seen := e.at(p)
			if seen == nil || seen.Basis != BasisSeen {
				continue
			}
			day := seen.Dist.Mean()
			for _, next := range course[i+1:] {
				if est := e.at(next); est != nil && est.HasDate() && est.Basis != BasisSeen {
					est.Dist = est.Dist.Later(max(0, day-est.Dist.Quantile(0.1)), 0)
				}
			}
			for _, before := range course[:i] {
				if est := e.at(before); est != nil && est.HasDate() && est.Basis != BasisSeen {
					est.Dist = est.Dist.Later(min(0, day-est.Dist.Quantile(0.9)), 0)
				}
			}
		}
	}
}

// at returns the estimate of a phase, nil if the species has none.
func (e *Estimates) at(p Phase) *Estimate {
	for i := range e.List {
		if e.List[i].Phase == p {
			return &e.List[i]
		}
	}
	return nil
}
