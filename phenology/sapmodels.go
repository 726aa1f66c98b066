package phenology

import "math"

// LastRun is the last day before another phase on which sap is as likely to run as not: no freeze follows, or the other
// phase spoils what runs after it. It is how the earliest of bud swell and of the last freeze ends a season.
type LastRun struct {
	Start  SeasonDay // from which runs are looked at
	Before Phase     // that ends the season at the latest
}

// Kind returns "last-run".
func (LastRun) Kind() string { return "last-run" }

func (m LastRun) begins() SeasonDay { return m.Start }

func (m LastRun) date(p *pass) (fix, bool) {
	rule := p.estimator.species.Sap.Run
	end, ok := p.other(m.Before)
	if rule == nil || !ok {
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
