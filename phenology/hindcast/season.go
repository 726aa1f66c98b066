package hindcast

import (
	"context"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/fit"
)

// hindcast is the work of scoring one season.
type hindcast struct {
	outlook *phenology.Outlook
	known   []*phenology.Species
	all     map[*phenology.Species][]series
	season  phenology.Season
	opts    Options
	vetted  phenology.Sightings // the outlook's, without those that are wild
}

func (h *hindcast) run(ctx context.Context, species []*phenology.Species) []found {
	as := map[*phenology.Species]*phenology.Species{} // as they are dated this season
	var known []*phenology.Species
	for _, sp := range h.known {
		as[sp] = sp
		if h.opts.CrossValidate {
			as[sp] = h.refitted(sp)
		}
		known = append(known, as[sp])
	}
	outlooks := map[civil.Date]*phenology.Outlook{}
	var list []found
	for _, sp := range species {
		for _, s := range h.all[sp] {
			if len(s.years) < MinYears || ctx.Err() != nil {
				continue
			}
			for _, c := range h.cases(s) {
				o := outlooks[c.AsOf]
				switch {
				case c.key.lead < 0:
					// After the usual date each phase has its own view of what was seen: shared with none.
					o = h.outlookOn(c, known)
				case o == nil:
					o = h.outlookOn(c, known)
					outlooks[c.AsOf] = o
				}
				if e := o.Foresee(as[sp], c.key.phase, h.season.Year); e.HasDate() {
					c.dated, c.Basis = true, e.Basis
					c.First, c.Last = e.P10(), e.P90()
					c.P10, c.P50, c.P90 = e.Dist.Quantile(0.1), e.Dist.Quantile(0.5), e.Dist.Quantile(0.9)
				}
				list = append(list, c)
			}
		}
	}
	return list
}

// cases returns what is to be dated of a series in the season: nothing if it was not seen.
func (h *hindcast) cases(s series) []found {
	sum, n, observed := 0.0, 0.0, math.NaN()
	for _, y := range s.years {
		if y.Season == h.season {
			observed = y.Day
			continue
		}
		sum, n = sum+y.Day, n+1
	}
	if math.IsNaN(observed) || n == 0 {
		return nil
	}
	var list []found
	for _, lead := range h.opts.Leads {
		list = append(list, found{
			key: rowKey{s.species, s.record.Phase, lead},
			Case: Case{Season: h.season, Observed: observed, Mean: sum / n,
				AsOf: h.season.Nearest(sum/n - float64(lead))},
		})
	}
	return list
}

// outlookOn is what could be known on the day of a case.
func (h *hindcast) outlookOn(c found, known []*phenology.Species) *phenology.Outlook {
	o := &phenology.Outlook{
		Site: h.outlook.Site, Temps: h.outlook.Temps, Normals: h.outlook.Normals, Until: &c.AsOf, Known: known,
		Judged: true,
	}
	if h.opts.Unseen {
		return o
	}
	last := min(c.AsOf, h.season.Nearest(c.Mean))
	for _, s := range h.vetted {
		if sp := slices.IndexFunc(h.known, func(sp *phenology.Species) bool { return sp.ID == s.Species }); sp >= 0 {
			r := h.known[sp].Phase(s.Phase)
			if r != nil && h.outlook.SeasonOf(r, s.Date) == h.season && s.Date > last {
				continue
			}
		}
		o.Sightings = append(o.Sightings, s)
	}
	return o
}

// refitted returns a species whose models were fitted without the season.
func (h *hindcast) refitted(sp *phenology.Species) *phenology.Species {
	out := *sp
	out.Phases = slices.Clone(sp.Phases)
	for i, r := range out.Phases {
		for _, s := range h.all[sp] {
			if s.record == r {
				out.Phases[i] = h.refittedPhase(s)
			}
		}
	}
	return &out
}

func (h *hindcast) refittedPhase(s series) *phenology.PhaseRecord {
	changed := *s.record
	others := slices.DeleteFunc(slices.Clone(s.years), func(y fit.Year) bool { return y.Season == h.season })
	if len(others) < fit.MinYears-1 {
		return s.record
	}
	// A mean date that the profile has for this very place rests on the scored year as well.
	changed.References = slices.Clone(changed.References)
	for i, ref := range changed.References {
		if fit.Beside(h.outlook.Site, ref) {
			changed.References[i].Day, changed.References[i].Spread = fit.MeanSpread(others)
		}
	}
	if changed.Model != nil && h.outlook.Temps != nil {
		if d, ok := fit.Refit(h.outlook.Temps, changed.Phase, s.record.ModelAt(h.outlook.Site), others); ok {
			changed.Model = d
		}
	}
	return &changed
}
