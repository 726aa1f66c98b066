package phenology

import (
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
// by past years, or from the place alone. Its fields are not to be changed once it has been asked; it is then safe for
// use by several goroutines.
type Outlook struct {
	Site      Site
	Temps     *Temperatures // nil where the site has none
	Sightings Sightings
	Judged    bool // the sightings are vetted: none is looked at for a slip
	// Known are the species that the sightings may name: what was seen of one tells of the season that all share. The
	// species being dated need not be among them.
	Known []*Species
	// Until, if set, is the last day of the season asked for that is looked at, as if it were today. Other seasons are
	// looked at whole: they stand for years of record, also where they came later.
	Until *civil.Date
	// Normals, if set, returns temperatures drawn from monthly normals, nil for none. They date the phases that Temps
	// are too short to date, and are asked for once.
	Normals func() *Temperatures

	whole *Outlook // expects of seasons that are over by Until what this one does: see [Outlook.KnownOn]
	memo  memo
}

// KnownOn returns the outlook as it was on the evening of a day, for looking back: with no day and no sighting of the
// season after it, and without normals. What past seasons let expect is worked out once for all such days.
func (o *Outlook) KnownOn(d civil.Date) *Outlook {
	o.memo.whole.Do(func() { o.memo.record = &Outlook{Site: o.Site, Temps: o.Temps} })
	return &Outlook{Site: o.Site, Temps: o.Temps, Known: o.Known, Sightings: o.Sightings.Until(d), Until: &d,
		whole: o.memo.record}
}

// Estimate dates every phase of a species in the season of a year, by the strongest means there are for each: see
// [Basis]. A sap season that is likely over before it has begun, where frost is rare, has no dates.
func (o *Outlook) Estimate(sp *Species, season int) Estimates {
	d := o.estimator(sp, o.Site.Season(season))
	out := Estimates{Site: o.Site, Species: sp, Season: d.season, List: make([]Estimate, 0, len(sp.Phases))}
	for _, r := range sp.Phases {
		out.List = append(out.List, d.outside(d.phase(r.Phase).Estimate))
	}
	if out.sapSpoilsFirst() {
		o.withoutSap(&out, d.observed)
	}
	out.inOrder()
	return out
}

// Foresee dates one phase of a species in the season of a year as if it had not been seen that season. It is for
// looking back.
func (o *Outlook) Foresee(sp *Species, phase Phase, season int) Estimate {
	d := o.estimator(sp, o.Site.Season(season))
	d.unseen = phase
	d.hide = true
	return d.outside(d.phase(phase).Estimate)
}

// estimator is the work of dating one species in one season.
type estimator struct {
	outlook  *Outlook
	species  *Species
	season   Season
	members  []member
	ensemble *ensemble                     // of the members
	done     [phaseCount]*ensembleEstimate // nil until a phase is dated, underWay while it is

	observed civil.Date // last day of the season that was observed
	pass     pass
	alone    bool // leave out what other phases seen this season tell
	hide     bool // the phase unseen is dated as if it had not been seen
	unseen   Phase

	normals *estimator // dates what the record is too short to date; nil until it is asked
}

// estimator begins to date a species in a season.
func (o *Outlook) estimator(sp *Species, season Season) *estimator {
	e := &estimator{outlook: o, species: sp, season: season}
	if o.Temps != nil {
		cut := o.Temps.Last()
		e.observed = o.Temps.observed
		if o.Until != nil {
			cut, e.observed = min(cut, *o.Until), min(e.observed, *o.Until)
		}
		if o.Temps.normals {
			cut = season.Date(-lastDay) // no day of a drawn record is a season's own
		}
		e.ensemble = o.Temps.ensembleOf(season, cut)
		e.members = e.ensemble.members
	}
	return e
}

// follow puts other members in the place of the season's.
func (e *estimator) follow(members []member) {
	e.members, e.ensemble = members, newEnsemble(e.outlook.Temps, members)
}

// ensembleEstimate is an estimate with the day that each member gave, NaN where it gave none.
type ensembleEstimate struct {
	Estimate
	days []float64
}

// members returns the ways a season may go: its own days to cut, or to the end of the record or forecast, then each
// other season's.
func (t *Temperatures) members(s Season, cut civil.Date) []member {
	var members []member
	cut = min(cut, s.Date(lastDay))
	first, last := s, s
	for first.Anchor() > t.series.First {
		first.Year--
	}
	for last.Anchor() < t.Last() {
		last.Year++
	}
	next := s
	next.Year++
	for donor := first; donor.Year <= last.Year; donor.Year++ {
		if donor.Year == s.Year && cut < s.Date(lastDay) {
			continue // its own days end before the season does
		}
		mem := member{cut: cut, shift: donor.Anchor() - s.Anchor(), donor: donor.Year}
		if donor.Year != s.Year {
			t.persist(&mem, next.Anchor()-1)
		}
		members = append(members, mem)
	}
	return members
}

// underWay stands for the estimate of a phase that is being dated.
var underWay = &ensembleEstimate{}

// phase dates one phase, and first those it depends on.
func (e *estimator) phase(p Phase) *ensembleEstimate {
	switch got := e.done[p]; got {
	case nil:
	case underWay: // profiles are checked to have no cycle of lags; should one slip through, it ends here
		return &ensembleEstimate{Estimate: undated(p, e.season, LackEnd)}
	default:
		return got
	}
	e.done[p] = underWay
	var got *ensembleEstimate
	if record := e.species.Phase(p); record != nil {
		got = e.record(record)
	} else {
		got = &ensembleEstimate{Estimate: undated(p, e.season, LackProfile)}
	}
	e.done[p] = got
	return got
}

func undated(p Phase, s Season, k LackKind) Estimate {
	return Estimate{Phase: p, Season: s, Basis: BasisNone, Lack: Lack{Kind: k, Phase: p}}
}

// record dates a phase by the strongest means there are.
func (e *estimator) record(r *PhaseRecord) *ensembleEstimate {
	if day, sd, ok := e.outlook.seen(e.species, r, e.season); ok && !(e.hide && e.unseen == r.Phase) {
		days := make([]float64, len(e.members))
		for i := range days {
			days[i] = day
		}
		dist := Point(day)
		if sd > 0 {
			dist[0].SD = sd
		}
		return &ensembleEstimate{Estimate{Phase: r.Phase, Season: e.season, Basis: BasisSeen, Dist: dist}, days}
	}
	var lack Lack
	if r.Model != nil {
		if got, why := e.model(r); got != nil {
			return got
		} else if why.Kind != LackNothing {
			lack = why
			if got := e.byNormals(r); got != nil {
				got.Lack = why
				return got
			}
		}
		if lag, ok := fallbackLag(r.Model); ok {
			if got := e.lag(r, lag); got != nil {
				e.learnLag(got, r, lag)
				got.Lack = lack
				return got
			}
		}
	}
	est := e.outlook.place(r, e.season)
	if !est.HasDate() && r.Model != nil {
		if lag, ok := lastRunLag(r.Model); ok {
			if got := e.after(r, lag); got != nil {
				e.learnLag(got, r, lag)
				return got // of dates too far off to be moved here and the phase that ends the runs, better the latter
			}
		}
	}
	if est.Lack.Kind == LackPlaces && r.Model != nil {
		if lag, ok := fallbackLag(r.Model); ok {
			est.Lack.Kind, est.Lack.After = LackAfter, lag.After
		}
	}
	e.outlook.learnPlace(&est, e.species, r, e.season)
	if est.Lack.Kind == LackNothing || lack.Kind != LackNothing && est.HasDate() {
		est.Lack = lack
	}
	return &ensembleEstimate{Estimate: est}
}

// soleLag returns the lag by which alone a phase is dated.
func soleLag(pm *PhaseModel) (Lag, bool) {
	if len(pm.Models) != 1 {
		return Lag{}, false
	}
	lag, ok := pm.Models[0].(Lag)
	return lag, ok
}

// fallbackLag returns the lag by which a phase is dated where there are no temperatures to follow: its own sole lag,
// or, of the last run before another phase, the other phase itself.
func fallbackLag(pm *PhaseModel) (Lag, bool) {
	if lag, ok := lastRunLag(pm); ok {
		return lag, true
	}
	return soleLag(pm)
}

// lastRunLag returns the lag by which the last run before another phase is dated where there are no runs to follow.
func lastRunLag(pm *PhaseModel) (Lag, bool) {
	m, ok := soleLastRun(pm)
	return Lag{After: m.Before, Spread: pm.Residual}, ok
}

// lag dates a phase by another phase's distribution. It serves where there is no temperature to follow; it has no date
// where the other phase has none.
func (e *estimator) lag(r *PhaseRecord, m Lag) *ensembleEstimate {
	if after := e.phase(m.After); after.Basis == BasisPlace && len(r.References) > 0 {
		return nil // dates of its own at known places beat a chain of guesses
	}
	return e.after(r, m)
}

// after is lag, whatever dates of its own the phase may have.
func (e *estimator) after(r *PhaseRecord, m Lag) *ensembleEstimate {
	after := e.phase(m.After)
	if !after.HasDate() {
		return nil
	}
	est := after.Estimate
	est.After = &after.Estimate
	est.Phase, est.Dist = r.Phase, after.Dist.Later(m.Days, max(m.Spread, r.Model.Residual))
	est.Basis = max(est.Basis, weakestLagBasis(est.Basis))
	days := make([]float64, len(after.days))
	for i, day := range after.days {
		days[i] = day + m.Days
	}
	return &ensembleEstimate{est, days}
}

// weakestLagBasis says what a date rests on that was lagged from another: what was seen or reached is so for the other
// phase; the lagged one is still to come, and rests on the season so far.
func weakestLagBasis(b Basis) Basis {
	if b == BasisSeen || b == BasisReached {
		return BasisSeason
	}
	return b
}
