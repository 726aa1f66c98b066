// Package hindcast answers: how far off would the dates have been? It dates phases of past seasons as they would have
// been dated some days before they usually come, and holds the dates against what was seen and against no model at all.
//
// What is known on the day of a hindcast, and nothing else, is used: the season's temperatures up to that day; what was
// seen at the site that season up to that day, but for the phase that is scored; and all other years, whose
// temperatures complete the season and whose sightings move the models to the site. Other years are looked at whole,
// also those that came later: they stand for a record of that length. The usual date is the mean of the other years'
// dates.
package hindcast

import (
	"context"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/fit"
	"treewhen/phenology/parallel"
)

// TemperaturesKnown is the lead at which all temperatures that decide a phase are known: 60 days after the usual date.
// Nothing that was seen after the usual date is used for it: by then the phase itself has been seen.
const TemperaturesKnown = -60

// Leads are the usual leads, in days before the usual date.
func Leads() []int { return []int{60, 30, 14, 7, 0, TemperaturesKnown} }

// Options say what is scored and how.
type Options struct {
	Leads []int
	// CrossValidate refits every model that can be fitted without the scored year; else the profiles' models are scored
	// as they are, also on years that they were fitted to.
	CrossValidate bool
	// Unseen leaves out what was seen in the scored season and at the site in other years: dates rest on temperatures
	// and profiles alone.
	Unseen bool
	// Season, if not 0, is the only one that is scored.
	Season int
	// Progress, if set, is told how many of how many seasons are done.
	Progress func(done, of int)
}

// MinYears is how many years a phase must have been seen in for a score: a mean date of fewer others says nothing.
const MinYears = 3

// Row is the score of one phase at one lead.
type Row struct {
	Site      phenology.Site
	Species   *phenology.Species
	Phase     phenology.Phase
	Lead      int // days
	RMSE      float64
	Bias      float64 // predicted less observed
	MAE       float64
	Coverage  float64 // share of the observations from p10 to p90
	MeanRMSE  float64 // of the mean date of the other years
	Cases     []Case  // in order of season
	Undatable int     // seasons without a date
}

// Case is one season's hindcast.
type Case struct {
	Season        phenology.Season
	AsOf          civil.Date
	Observed      float64    // moment of the season
	P10, P50, P90 float64    // moments of the season
	First, Last   civil.Date // the dates that are printed of p10 and p90
	Mean          float64    // of the other years' dates
	Basis         phenology.Basis
}

// inside reports whether the observed date is among those that were printed.
func (c Case) inside() bool {
	seen := c.Season.Nearest(c.Observed)
	return c.First <= seen && seen <= c.Last
}

// series is a phase of a species with the years in which it was seen.
type series struct {
	species *phenology.Species
	record  *phenology.PhaseRecord
	years   []fit.Year
}

// Run scores the phases of species that were seen at an outlook's site, in the order of species and phases, lead by
// lead. The outlook's known species are those whose sightings may be used.
func Run(ctx context.Context, o *phenology.Outlook, species []*phenology.Species, opts Options) ([]Row, error) {
	all := map[*phenology.Species][]series{}
	known := slices.Clone(o.Known)
	for _, sp := range species {
		if !slices.Contains(known, sp) {
			known = append(known, sp)
		}
	}
	seasons := map[phenology.Season]bool{}
	for _, sp := range known {
		all[sp] = seen(o, sp)
		for _, s := range all[sp] {
			for _, y := range s.years {
				seasons[y.Season] = true
			}
		}
	}
	var order []phenology.Season
	for s := range seasons {
		if opts.Season == 0 || s.Year == opts.Season {
			order = append(order, s)
		}
	}
	slices.SortFunc(order, func(a, b phenology.Season) int { return a.Year - b.Year })

	var rows []*Row
	index := map[rowKey]*Row{}
	for _, sp := range species {
		for _, s := range all[sp] {
			if len(s.years) < MinYears {
				continue
			}
			for _, lead := range opts.Leads {
				r := &Row{Site: o.Site, Species: sp, Phase: s.record.Phase, Lead: lead}
				rows = append(rows, r)
				index[rowKey{sp, s.record.Phase, lead}] = r
			}
		}
	}

	done, vetted := 0, o.Vetted()
	err := parallel.InOrder(ctx, len(order), func(i int) []found {
		h := &hindcast{outlook: o, known: known, all: all, season: order[i], opts: opts, vetted: vetted}
		return h.run(ctx, species)
	}, func(list []found) error {
		done++
		if opts.Progress != nil {
			opts.Progress(done, len(order))
		}
		for _, f := range list {
			r := index[f.key]
			if f.dated {
				r.Cases = append(r.Cases, f.Case)
			} else {
				r.Undatable++
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	out := make([]Row, len(rows))
	for i, r := range rows {
		r.score()
		out[i] = *r
	}
	return out, nil
}

type rowKey struct {
	species *phenology.Species
	phase   phenology.Phase
	lead    int
}

type found struct {
	key   rowKey
	dated bool
	Case
}

// seen gathers in which years a species' phases were seen.
func seen(o *phenology.Outlook, sp *phenology.Species) []series {
	var list []series
	for _, r := range sp.Phases {
		s := series{species: sp, record: r}
		for _, season := range o.SeenSeasons(sp, r) {
			day, _ := o.SeenOn(sp, r, season)
			s.years = append(s.years, fit.Year{Season: season, Day: day})
		}
		if len(s.years) > 0 {
			list = append(list, s)
		}
	}
	return list
}

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
		Site: h.outlook.Site, Temps: h.outlook.Temps, Normals: h.outlook.Normals, Until: &c.AsOf, Known: known, Judged: true,
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

func (r *Row) score() {
	n := float64(len(r.Cases))
	if n == 0 {
		r.RMSE, r.Bias, r.MAE, r.Coverage, r.MeanRMSE = math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN()
		return
	}
	slices.SortFunc(r.Cases, func(a, b Case) int { return a.Season.Year - b.Season.Year })
	for _, c := range r.Cases {
		e, null := c.P50-c.Observed, c.Mean-c.Observed
		r.RMSE += e * e / n
		r.MeanRMSE += null * null / n
		r.Bias += e / n
		r.MAE += math.Abs(e) / n
		if c.inside() {
			r.Coverage++
		}
	}
	r.Coverage /= n
	r.RMSE, r.MeanRMSE = math.Sqrt(r.RMSE), math.Sqrt(r.MeanRMSE)
}
