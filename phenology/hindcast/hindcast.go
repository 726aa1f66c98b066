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
	"maps"
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
// lead. The outlook's known species are those whose sightings may be used. Its only error is the context's.
func Run(ctx context.Context, o *phenology.Outlook, species []*phenology.Species, opts Options) ([]Row, error) {
	known := slices.Clone(o.Known)
	for _, sp := range species {
		if !slices.Contains(known, sp) {
			known = append(known, sp)
		}
	}
	all := map[*phenology.Species][]series{}
	for _, sp := range known {
		all[sp] = seen(o, sp)
	}
	var rows []Row
	index := map[rowKey]int{}
	for _, sp := range species {
		for _, s := range all[sp] {
			if len(s.years) < MinYears {
				continue
			}
			for _, lead := range opts.Leads {
				index[rowKey{sp, s.record.Phase, lead}] = len(rows)
				rows = append(rows, Row{Site: o.Site, Species: sp, Phase: s.record.Phase, Lead: lead})
			}
		}
	}
	seasons, done, vetted := scored(all, opts.Season), 0, o.Vetted()
	err := parallel.InOrder(ctx, len(seasons), func(i int) []found {
		h := &hindcast{outlook: o, known: known, all: all, season: seasons[i], opts: opts, vetted: vetted}
		return h.run(ctx, species)
	}, func(list []found) error {
		done++
		if opts.Progress != nil {
			opts.Progress(done, len(seasons))
		}
		for _, f := range list {
			r := &rows[index[f.key]]
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
	for i := range rows {
		rows[i].score()
	}
	return rows, nil
}

// scored returns the seasons in which anything was seen, in order: those of one year alone, if it is not 0.
func scored(all map[*phenology.Species][]series, year int) []phenology.Season {
	seasons := map[phenology.Season]bool{}
	for _, list := range all {
		for _, s := range list {
			for _, y := range s.years {
				if year == 0 || y.Season.Year == year {
					seasons[y.Season] = true
				}
			}
		}
	}
	return slices.SortedFunc(maps.Keys(seasons), func(a, b phenology.Season) int { return a.Year - b.Year })
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
