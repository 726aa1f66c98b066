package phenology

import (
	"cmp"
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// Sighting is a phase that the user saw.
type Sighting struct {
	Date    civil.Date // by the end of which the phase had come
	Site    string     // Site.ID
	Species string     // Species.ID
	Phase   Phase
	Stage   Stage  // what of the phase was seen; "" is as good as [StageHalf]
	Note    string // the user's own; may be ""
}

// Stage is how far a phase had come when it was seen.
type Stage string

// The stages. All but the last are of bud break alone.
const (
	StageFirstBud  Stage = "first-bud"  // the first bud of the tree shows green
	StageFirstLeaf Stage = "first-leaf" // the first leaf of the tree is unfolded
	StageHalf      Stage = "half"       // the phase as the profile defines it
)

// Stages returns all stages.
func Stages() []Stage { return []Stage{StageFirstBud, StageFirstLeaf, StageHalf} }

// stageLags are by how many days half of the buds follow a stage, and how far that may be off. Measured on volunteers'
// dates (USA National Phenology Network, 2009 to 2016, doi:10.5066/F78S4N1V) against dates made of normals: at 74 sites
// of the north-east, where the climate is that of the models, the first breaking bud was 7 days before half of them, at
// all sites 8, and the first unfolded leaf 3.5 and 0.5 after it; on one tree the one follows the other by 6.5 days on
// the median of 313, with a robust standard deviation of 5.2, which is shared between them here.
var stageLags = map[Stage]struct{ days, sd float64 }{
	StageFirstBud:  {7, 4},
	StageFirstLeaf: {-2, 3.5},
}

// Sightings are what the user saw, at any number of sites.
type Sightings []Sighting

// Until returns the sightings up to and including a day.
func (s Sightings) Until(d civil.Date) Sightings {
	var kept Sightings
	for _, one := range s {
		if one.Date <= d {
			kept = append(kept, one)
		}
	}
	return kept
}

// SeasonOf returns the season to which a phase seen on a date belongs: the one whose usual day of that phase is
// nearest, since seed that falls in March is last year's.
func (o *Outlook) SeasonOf(r *PhaseRecord, d civil.Date) Season {
	season := SeasonAt(o.Site, d)
	usual := 182.0
	if len(r.References) > 0 {
		usual = r.References[0].Day
	} else if r.Months != nil {
		first, last := r.Months.days()
		usual = (first + last) / 2
	} else {
		return season
	}
	season.Year += int(math.Round((season.Day(d).End() - usual) / 365))
	return season
}

// SeenOn returns the moment of a season by which a phase was seen at the site, the end of the day: the median where it
// was seen on several trees. A stage before or behind the phase is moved to it; what is wild is left out: see
// [Outlook.DoubtfulSightings].
func (o *Outlook) SeenOn(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	day, _, ok := o.seen(sp, r, season)
	return day, ok
}

// seen is SeenOn with how far the day may be off, as a standard deviation: none where one date of the phase itself was
// recorded; by how much several differ, and by what a stage's lag may be off.
func (o *Outlook) seen(sp *Species, r *PhaseRecord, season Season) (day, sd float64, ok bool) {
	if len(o.Sightings) == 0 {
		return 0, 0, false
	}
	var buffer [8]float64
	moments := buffer[:0]
	lagged := 0.0
	for _, s := range o.seenDates(seenKey{sp.ID, r.Phase}) {
		if o.SeasonOf(r, s.date) == season {
			lag := stageLags[s.stage]
			moments = append(moments, season.Day(s.date).End()+lag.days)
			lagged += lag.sd
		}
	}
	n := len(moments)
	if n == 0 {
		return 0, 0, false
	}
	slices.Sort(moments)
	day = (moments[(n-1)/2] + moments[n/2]) / 2
	return day, math.Hypot(lagged/float64(n), medianError(moments)), true
}

// medianError is the standard error of the median of some days, 1.25 times that of their mean (normal distribution).
func medianError(days []float64) float64 {
	n := float64(len(days))
	if n < 2 {
		return 0
	}
	_, squares := meanAndSquares(days)
	return 1.2533 * math.Sqrt(squares/(n-1)/n)
}

// SeenSeasons returns the seasons in which a phase was seen at the site, in order.
func (o *Outlook) SeenSeasons(sp *Species, r *PhaseRecord) []Season {
	var seasons []Season
	for _, d := range o.seenDates(seenKey{sp.ID, r.Phase}) {
		if s := o.SeasonOf(r, d.date); len(seasons) == 0 || seasons[len(seasons)-1] != s {
			seasons = append(seasons, s)
		}
	}
	return seasons
}

// seenDate is a day on which a stage of a phase was seen.
type seenDate struct {
	date  civil.Date
	stage Stage
}

// seenDates returns the dates, in order, on which a phase was seen at the site, without those that are wild.
func (o *Outlook) seenDates(key seenKey) []seenDate {
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	o.index()
	return o.memo.seen[key]
}

// index sorts the sightings at the site, once; the memo is locked.
func (o *Outlook) index() {
	if o.memo.indexed {
		return
	}
	seen := map[seenKey][]seenDate{}
	for _, s := range o.Sightings {
		if s.Site == o.Site.ID {
			k := seenKey{s.Species, s.Phase}
			seen[k] = append(seen[k], seenDate{s.Date, s.Stage})
		}
	}
	for _, dates := range seen {
		slices.SortFunc(dates, func(a, b seenDate) int { return cmp.Compare(a.date, b.date) })
	}
	if !o.Judged {
		o.memo.doubts = o.judge(seen)
	}
	for _, d := range o.memo.doubts {
		if d.LeftOut {
			k := seenKey{d.Species, d.Phase}
			seen[k] = slices.DeleteFunc(seen[k], func(s seenDate) bool { return s.date == d.Date })
		}
	}
	o.memo.seen, o.memo.indexed = seen, true
}

// asKnownOn returns the outlook as it was on a day of a season: without what was measured or seen after it.
func (o *Outlook) asKnownOn(d civil.Date) *Outlook {
	if len(o.Sightings) == 0 || o.Until != nil && *o.Until <= d {
		return o
	}
	vetted := o.Sightings
	if !o.Judged {
		vetted = o.Vetted()
	}
	return o.memo.past.of(d, func() *Outlook {
		past := &Outlook{Site: o.Site, Temps: o.Temps, Normals: o.Normals, Known: o.Known, Until: &d, Judged: true}
		for _, s := range vetted {
			// Sightings of later seasons stay: they teach of the site, not of this season.
			if s.Date <= d || s.Date > d+seasonApart {
				past.Sightings = append(past.Sightings, s)
			}
		}
		return past
	})
}

// seasonApart is how many days after a spring phase the next season's first begins at the earliest.
const seasonApart = 240
