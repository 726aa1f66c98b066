package phenology

import (
	"fmt"
	"math"

	"treewhen/phenology/civil"
)

// MinYears is how many past years a site's record must hold before it dates a phase: fewer cannot say what one year in
// ten looks like. Our own choice.
const MinYears = 5

// Limits on days that no thermometer stands behind, among the days that decide a phase.
const (
	widenInvented  = 0.1     // above this share the spread grows
	refuseInvented = 1. / 3. // above this share the year gives no date
)

// Outlook dates the phases of species at one site: from what was seen, from the season's temperatures so far completed
// by past years, or from the place alone.
type Outlook struct {
	Site      Site
	Temps     *Temperatures // nil where the site has none
	Sightings Sightings
}

// Estimate dates every phase of a species in one season.
func (o *Outlook) Estimate(sp *Species, season int) Estimates {
	d := &dating{outlook: o, species: sp, season: o.Site.Season(season), done: map[Phase]*dated{}}
	if o.Temps != nil {
		d.tracks = o.Temps.tracks(d.season)
	}
	out := Estimates{Site: o.Site, Species: sp, Season: d.season}
	for _, r := range sp.Phases {
		out.List = append(out.List, d.phase(r.Phase).Estimate)
	}
	return out
}

// dating is the work of dating one species in one season.
type dating struct {
	outlook *Outlook
	species *Species
	season  Season
	tracks  []track
	done    map[Phase]*dated
}

// dated is an estimate with the day that each track gave, NaN where it gave none.
type dated struct {
	Estimate
	days []float64
}

// tracks returns the ways a season may go: its own days to the end of the record or forecast, then each other season's.
func (t *Temperatures) tracks(s Season) []track {
	var tracks []track
	cut := min(t.Last(), s.Date(lastDay))
	first, last := s, s
	for first.Anchor() > t.series.First {
		first.Year--
	}
	for last.Anchor() < t.Last() {
		last.Year++
	}
	for donor := first; donor.Year <= last.Year; donor.Year++ {
		if donor.Year == s.Year && cut < s.Date(lastDay) {
			continue // its own days end before the season does
		}
		tracks = append(tracks, track{cut: cut, shift: donor.Anchor() - s.Anchor(), donor: donor.Year})
	}
	return tracks
}

// phase dates one phase, and first those it depends on.
func (d *dating) phase(p Phase) *dated {
	if got, ok := d.done[p]; ok {
		return got
	}
	// Profiles are checked to have no cycle of lags; should one slip through, it ends here.
	d.done[p] = &dated{Estimate: d.none(p, "its lags go round in a circle")}
	record := d.species.Phase(p)
	var got *dated
	switch {
	case record == nil:
		got = &dated{Estimate: d.none(p, "the profile of "+d.species.Name()+" does not have it")}
	default:
		got = d.record(record)
	}
	d.done[p] = got
	return got
}

func (d *dating) none(p Phase, reason string) Estimate {
	return Estimate{Phase: p, Season: d.season, Basis: BasisNone, Reason: reason}
}

// record dates a phase by the strongest means there are.
func (d *dating) record(r *PhaseRecord) *dated {
	if day, ok := d.outlook.Sightings.On(d.outlook.Site, d.species, r, d.season); ok {
		days := make([]float64, len(d.tracks))
		for i := range days {
			days[i] = day
		}
		return &dated{Estimate{Phase: r.Phase, Season: d.season, Basis: BasisSeen, Dist: Point(day)}, days}
	}
	reason := ""
	if r.Dating != nil {
		if got, why := d.model(r); got != nil {
			return got
		} else if why != "" {
			reason = why
		}
		if lag, ok := soleLag(r.Dating); ok {
			if got := d.lag(r, lag); got != nil {
				got.Reason = reason
				return got
			}
		}
	}
	est := d.outlook.place(r, d.season)
	if est.Reason == "" || reason != "" && est.Dated() {
		est.Reason = reason
	}
	return &dated{Estimate: est}
}

// soleLag returns the lag by which alone a phase is dated.
func soleLag(dg *Dating) (Lag, bool) {
	if len(dg.Models) != 1 {
		return Lag{}, false
	}
	lag, ok := dg.Models[0].(Lag)
	return lag, ok
}

// lag dates a phase by another phase's distribution. It serves where there is no temperature to follow; it has no date
// where the other phase has none.
func (d *dating) lag(r *PhaseRecord, m Lag) *dated {
	after := d.phase(m.After)
	if !after.Dated() || after.Basis == BasisPlace && len(r.References) > 0 {
		return nil // dates of its own at known places beat a chain of guesses
	}
	est := after.Estimate
	est.After = &after.Estimate
	est.Phase, est.Dist = r.Phase, after.Dist.Later(m.Days, max(m.Spread, r.Dating.Residual))
	est.Basis = max(est.Basis, weakestLagBasis(est.Basis))
	days := make([]float64, len(after.days))
	for i, day := range after.days {
		days[i] = day + m.Days
	}
	return &dated{est, days}
}

// weakestLagBasis says what a date rests on that was lagged from another: what was seen or reached is so for the other
// phase; the lagged one is still to come, and rests on the season so far.
func weakestLagBasis(b Basis) Basis {
	if b == BasisSeen || b == BasisReached {
		return BasisSeason
	}
	return b
}

// model dates a phase by its models along every track. It returns nil and why if too few tracks give a date.
func (d *dating) model(r *PhaseRecord) (*dated, string) {
	t := d.outlook.Temps
	if t == nil {
		return nil, ""
	}
	if _, ok := soleLag(r.Dating); ok {
		return nil, "" // follows the other phase's own distribution, below
	}
	n := len(d.tracks)
	got := &dated{days: make([]float64, n)}
	var dist Distribution
	var invented float64
	own := true // the season's own days up to the record's end decide every track
	lastUsed := civil.Date(math.MinInt32)
	for i, tr := range d.tracks {
		day, from, ok := d.along(r, i, tr)
		got.days[i] = math.NaN()
		if !ok {
			continue
		}
		on := d.season.Date(day)
		share := t.inventedShare(tr, from, on)
		if share > refuseInvented && !(on <= tr.cut && on > t.observed) {
			continue
		}
		sd := r.Dating.Residual
		if share > widenInvented {
			sd *= 1 + 2*(share-widenInvented)
		}
		got.days[i] = day
		invented += share
		dist = append(dist, Component{Mean: day, SD: sd})
		own = own && on <= tr.cut
		lastUsed = max(lastUsed, on)
	}
	if len(dist) == 0 {
		return nil, fmt.Sprintf("no year of the record dates %s", r.Phase)
	}
	est := Estimate{Phase: r.Phase, Season: d.season, Years: len(dist), Invented: invented / float64(len(dist))}
	switch begun := d.begun(r); {
	case own && lastUsed <= t.observed:
		est.Basis, est.Observed, est.Years = BasisReached, t.observed, 0
	case own:
		est.Basis, est.Observed = BasisSeason, t.observed
	case len(dist) < MinYears:
		return nil, fmt.Sprintf("only %d years of record date %s; %d are needed", len(dist), r.Phase, MinYears)
	case begun:
		est.Basis, est.Observed = BasisSeason, t.observed
	default:
		est.Basis = BasisRecord
	}
	if own {
		dist = dist[:1] // every track says the same
	}
	for i := range dist {
		dist[i].Weight = 1 / float64(len(dist))
	}
	est.Dist = dist
	got.Estimate = est
	return got, ""
}

// begun reports whether the record holds days of this season that the phase's models look at.
func (d *dating) begun(r *PhaseRecord) bool {
	start := 1
	for i, m := range r.Dating.Models {
		s := 1
		switch m := m.(type) {
		case ThermalTime:
			s = m.Start
		case RunCount:
			s = m.Start
		case RunShare:
			s = m.Start
		}
		if i == 0 || s < start {
			start = s
		}
	}
	return d.outlook.Temps.observed >= d.season.Date(float64(start))
}

// along returns the mean of the days that a phase's models give along a track.
func (d *dating) along(r *PhaseRecord, i int, tr track) (day float64, from civil.Date, ok bool) {
	p := &pass{temps: d.outlook.Temps, track: tr, season: d.season, rule: d.species.Sap.Run,
		other: func(other Phase) (float64, bool) {
			got := d.phase(other)
			if i >= len(got.days) || math.IsNaN(got.days[i]) {
				return math.NaN(), false
			}
			return got.days[i], true
		}}
	sum := 0.0
	for k, m := range r.Dating.Models {
		day, start, ok := m.date(p)
		if !ok {
			return math.NaN(), 0, false
		}
		if k == 0 || start < from {
			from = start
		}
		sum += day
	}
	return sum / float64(len(r.Dating.Models)), from, true
}
