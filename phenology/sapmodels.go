package phenology

import (
	"math"

	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// LastRun is the last day before another phase on which sap is as likely to run as not: no freeze follows, or the other
// phase spoils what runs after it. It is how the earliest of bud swell and of the last freeze ends a season.
//
// On which day the other phase comes is known to some days only. A date by this model alone is therefore spread over
// the last runs before that phase if it comes early, in the middle and late: where a warm spell brings the middle of
// it and frost follows, the season may well go on.
type LastRun struct {
	Start  SeasonDay // from which runs are looked at
	Before Phase     // that ends the season at the latest
}

// Kind returns "last-run".
func (LastRun) Kind() string { return "last-run" }

func (m LastRun) begins() SeasonDay { return m.Start }

func (m LastRun) date(p *pass) (fix, bool) {
	end, ok := p.other(m.Before)
	if !ok {
		return fix{}, false
	}
	return m.before(p, end)
}

// before is the last run before a moment of the season.
func (m LastRun) before(p *pass, end float64) (fix, bool) {
	rule := p.estimator.species.Sap.Run
	if rule == nil {
		return fix{}, false
	}
	first, last := p.season.Date(m.Start), p.season.Date(SeasonDay(math.Ceil(end)))-1
	if !p.temps.coveredAlong(p.member, first, last) {
		return fix{}, false
	}
	runs := p.sumsOf(rule.forcing())
	for day := last; day >= first; day-- {
		if p.temps.on(runs, day) >= 0.5 {
			// That it was the last is known only once the other phase has come.
			return fix{p.season.Day(day).End(), first, last + 1}, true
		}
	}
	return fix{}, false
}

// fifths are the middles of the five fifths of a normal distribution, in standard deviations.
var fifths = [...]float64{normal.Quantile(0.1), normal.Quantile(0.3), 0, normal.Quantile(0.7), normal.Quantile(0.9)}

// spreadOf returns by how many days the last run lies off its middle, in each fifth of the days on which the other
// phase may come along the member of the pass, and the day by which that is known.
func (m LastRun) spreadOf(p *pass, middle fix) (off [len(fifths)]float64, known civil.Date) {
	end, _ := p.other(m.Before)
	sd := p.estimator.phase(m.Before).sd()
	known = middle.to
	for k, z := range fifths {
		by := end + z*sd
		if x, ok := m.before(p, by); ok {
			off[k] = x.day - middle.day
		}
		// Where the days up to then are still to come, so is what is known of this fifth.
		known = max(known, p.season.Date(SeasonDay(math.Ceil(by))))
	}
	return off, known
}

// soleLastRun returns the last run by which alone a phase is dated.
func soleLastRun(pm *PhaseModel) (LastRun, bool) {
	if len(pm.Models) != 1 {
		return LastRun{}, false
	}
	m, ok := pm.Models[0].(LastRun)
	return m, ok
}
