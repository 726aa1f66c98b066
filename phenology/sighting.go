package phenology

import (
	"math"
	"slices"
	"sync"

	"treewhen/phenology/civil"
)

// Sighting is a phase that the user saw.
type Sighting struct {
	Date    civil.Date // by the end of which the phase had come
	Site    string     // Site.ID
	Species string     // Species.ID
	Phase   Phase
	Note    string // the user's own; may be ""
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
// was seen on several trees.
func (o *Outlook) SeenOn(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	if len(o.Sightings) == 0 {
		return 0, false
	}
	var buffer [8]float64
	moments := buffer[:0]
	for _, d := range o.seenDates(seenKey{sp.ID, r.Phase}) {
		if o.SeasonOf(r, d) == season {
			moments = append(moments, season.Day(d).End())
		}
	}
	n := len(moments)
	if n == 0 {
		return 0, false
	}
	slices.Sort(moments)
	return (moments[(n-1)/2] + moments[n/2]) / 2, true
}

// SeenSeasons returns the seasons in which a phase was seen at the site, in order.
func (o *Outlook) SeenSeasons(sp *Species, r *PhaseRecord) []Season {
	var seasons []Season
	for _, d := range o.seenDates(seenKey{sp.ID, r.Phase}) {
		if s := o.SeasonOf(r, d); len(seasons) == 0 || seasons[len(seasons)-1] != s {
			seasons = append(seasons, s)
		}
	}
	return seasons
}

// memo is what an outlook has worked out from its sightings, and of its site. It is safe for use by several goroutines.
type memo struct {
	spring sync.Once
	warmth float64 // of spring at the site, degrees Celsius; NaN where it is not known

	mu      sync.Mutex
	indexed bool
	seen    map[seenKey][]civil.Date // at this site
	local   map[localKey]shrinkage
	seasons map[Season]*anomalies
	past    map[civil.Date]*Outlook
}

type seenKey struct {
	species string
	phase   Phase
}

type localKey struct {
	seenKey
	season Season
}

// seenDates returns the dates, in order, on which a phase was seen at the site.
func (o *Outlook) seenDates(key seenKey) []civil.Date {
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if !o.memo.indexed {
		o.memo.seen = map[seenKey][]civil.Date{}
		for _, s := range o.Sightings {
			if s.Site == o.Site.ID {
				k := seenKey{s.Species, s.Phase}
				o.memo.seen[k] = append(o.memo.seen[k], s.Date)
			}
		}
		for _, dates := range o.memo.seen {
			slices.Sort(dates)
		}
		o.memo.indexed = true
	}
	return o.memo.seen[key]
}

// asKnownOn returns the outlook as it was on a day of a season: without what was measured or seen after it.
func (o *Outlook) asKnownOn(d civil.Date) *Outlook {
	if len(o.Sightings) == 0 || o.Until != nil && *o.Until <= d {
		return o
	}
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if past, ok := o.memo.past[d]; ok {
		return past
	}
	past := &Outlook{Site: o.Site, Temps: o.Temps, Known: o.Known, Until: &d}
	for _, s := range o.Sightings {
		// Sightings of later seasons stay: they teach of the site, not of this season.
		if s.Date <= d || s.Date > d+seasonApart {
			past.Sightings = append(past.Sightings, s)
		}
	}
	if o.memo.past == nil {
		o.memo.past = map[civil.Date]*Outlook{}
	}
	o.memo.past[d] = past
	return past
}

// seasonApart is how many days after a spring phase the next season's first begins at the earliest.
const seasonApart = 240
