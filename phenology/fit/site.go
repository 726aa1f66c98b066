package fit

import (
	"context"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/parallel"
)

// SpeciesFit is a species with what its phases gave.
type SpeciesFit struct {
	Species *phenology.Species
	Phases  []PhaseFit
}

// PhaseFit is what a phase gave.
type PhaseFit struct {
	Record *phenology.PhaseRecord
	Result *Result // nil where it could not be fitted
	Err    error   // why
	Here   bool    // the profile's models rest on dates of this place
}

// MeanDate reports whether no model came out better than the mean date.
func (ph PhaseFit) MeanDate() bool { return ph.Result != nil && len(ph.Result.Models) == 0 }

// KeepsDating reports whether, where the mean date could not be beaten by a fit, the profile's own models stay: they do
// better than the mean date, or what they count from is not known here.
func (ph PhaseFit) KeepsDating() bool {
	return ph.Record.Model != nil && !(ph.Result.Profile >= ph.Result.MeanRMSE)
}

// besideKM is how near a reference place must be to be taken for the site itself.
const besideKM = 10

// Beside reports whether a reference place may be taken for a site itself, so that what rests on its dates rests on the
// site's.
func Beside(site phenology.Site, r phenology.Reference) bool {
	return phenology.Distance(r.Latitude, r.Longitude, site.Latitude, site.Longitude) < besideKM
}

// seenSeries is a phase of a species with the years in which it was seen at a site.
type seenSeries struct {
	species *phenology.Species
	record  *phenology.PhaseRecord
	years   []Year
	chosen  bool // it is to be fitted, and not only for others to learn from
}

// AtSite fits every phase of some species that was seen at an outlook's site: with search, by every form of model, with
// what other species seen there show as well; else by the panel alone, whose place the mean date takes where that is
// better. It says how many of how many series of dates have been looked at. An outlook without temperatures gives
// nothing.
func AtSite(
	ctx context.Context, o *phenology.Outlook, species []*phenology.Species, search bool, told func(done, of int),
) ([]SpeciesFit, error) {
	if o.Temps == nil || len(o.Sightings) == 0 {
		return nil, nil
	}
	var work [][]seenSeries
	total := 0
	for _, phase := range phenology.Phases() {
		if list := seenAt(o, species, phase, search); list != nil {
			work, total = append(work, list), total+len(list)
		}
	}
	phases := map[*phenology.Species][]PhaseFit{}
	done := 0
	for _, list := range work {
		results, err := fitTogether(ctx, o, list, search, func() {
			done++
			told(done, total)
		})
		if err != nil {
			return nil, err
		}
		for i, s := range list {
			if s.chosen {
				phases[s.species] = append(phases[s.species], results[i])
			}
		}
	}
	var all []SpeciesFit
	for _, sp := range species {
		if got := phases[sp]; len(got) > 0 {
			all = append(all, SpeciesFit{sp, got})
		}
	}
	return all, nil
}

// seenAt returns what was seen of a phase, of all species: those that are not to be fitted are there for others to
// learn from.
func seenAt(
	o *phenology.Outlook, species []*phenology.Species, phase phenology.Phase, search bool,
) (list []seenSeries) {
	wanted := false
	for _, sp := range o.Known {
		r := sp.Phase(phase)
		if r == nil {
			continue
		}
		s := seenSeries{species: sp, record: r, chosen: slices.Contains(species, sp)}
		for _, season := range o.SeenSeasons(sp, r) {
			if day, ok := o.SeenOn(sp, r, season); ok {
				y := Year{Season: season, Day: day}
				if phase == phenology.FruitRipe {
					y.Flowered = flowered(o, sp, season)
				}
				s.years = append(s.years, y)
			}
		}
		if len(s.years) > 0 && (s.chosen || search) {
			list = append(list, s)
			wanted = wanted || s.chosen
		}
	}
	if !wanted {
		return nil
	}
	return list
}

// flowered returns the moment of a season's flowering, as it was seen, or follows from the season's own temperatures; 0
// where it does not.
func flowered(o *phenology.Outlook, sp *phenology.Species, season phenology.Season) float64 {
	e := o.Estimate(sp, season.Year).Get(phenology.Flowering)
	if !e.HasDate() || e.Basis > phenology.BasisReached {
		return 0
	}
	return e.Dist.Mean()
}

// fitTogether fits one phase of several species; it says when each has been looked at.
func fitTogether(
	ctx context.Context, o *phenology.Outlook, list []seenSeries, search bool, done func(),
) ([]PhaseFit, error) {
	type tried struct {
		evidence *Evidence
		result   *Result
		err      error
	}
	var all []tried
	var pool []*Evidence
	err := parallel.InOrder(ctx, len(list), func(i int) (t tried) {
		s := list[i]
		if search {
			t.evidence, t.err = Gather(o.Temps, s.record.Phase, s.years)
			return t
		}
		t.result, t.err = Fit(o.Temps, s.record.Phase, Panel(), s.years)
		if t.err == nil && t.result.RMSE >= t.result.MeanRMSE {
			t.result.Models = nil
		}
		return t
	}, func(t tried) error {
		done()
		all = append(all, t)
		if t.evidence != nil {
			pool = append(pool, t.evidence)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	together := NewPool(pool)
	var results []PhaseFit
	for i, t := range all {
		ph := PhaseFit{Record: list[i].record, Result: t.result, Err: t.err}
		if d := ph.Record.Model; d != nil && d.Score != nil {
			ph.Here = slices.ContainsFunc(ph.Record.References,
				func(r phenology.Reference) bool { return Beside(o.Site, r) })
		}
		if t.evidence != nil && list[i].chosen {
			ph.Result = t.evidence.Choose(together)
		}
		if ph.Result != nil && ph.Record.Model != nil {
			ph.Result.Profile = Score(o.Temps, ph.Record.ModelAt(o.Site), list[i].years)
		}
		results = append(results, ph)
	}
	return results, nil
}
