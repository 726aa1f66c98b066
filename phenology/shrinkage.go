package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// What the user saw teaches twice. Sightings of other years show by how much a model is early or late at this site, on
// these trees, in this observer's eyes: the model is moved there. Sightings of this season show by how much the season
// differs from what its temperatures say, for all trees alike: the phases still to come are moved with them. Both
// movements are shrunk towards none by how few the sightings are and how noisy.
const (
	// Standard deviation of a site's own offset from a model fitted at the very same place: other trees, other eyes.
	// Our own choice; at Harvard Forest single trees of a species differ from its mean by 2 to 4 days.
	siteOffsetSD = 2.0 // days
	// A residual estimated here is blended with the model's own, which counts as so many years. Our own choice, as in
	// the fits of the built-in models.
	residualWeight = 8.0
)

// shrinkage is what other years' sightings teach of a phase at the site.
type shrinkage struct {
	shift float64 // days to add
	sd    float64 // residual spread around the shifted model
	years int
	habit int // other species seen here that it is learnt from
}

// learn moves a modelled phase by what sightings teach, and sets its spread. A phase that was reached, on a day that is
// given, learns of the season what was known that day and nothing later: what is reached stays.
func (e *estimator) learn(got *ensembleEstimate, r *PhaseRecord, carried float64, reached civil.Date) {
	if got.Basis == BasisNormals {
		e.learnNormals(got, r, carried)
		return
	}
	local := e.outlook.local(e.species, r, e.season, carried)
	shift, sd := local.shift, local.sd
	if !e.alone {
		known := e.outlook
		if got.Basis == BasisReached {
			known = e.outlook.asKnownOn(reached)
		}
		more, share := known.seasonShift(seenKey{e.species.ID, r.Phase}, e.season, got.Dist.Mean()+shift)
		shift += more * r.Model.Residual
		sd *= math.Sqrt(1 - share)
	}
	got.correct(shift, r.Model.Residual, sd)
	got.Seen, got.Habit = local.years, local.habit
}

// correct moves an estimate by so many days, and puts another residual spread in the place of its own. What was widened
// besides, for invented days and years to come, stays so.
func (e *ensembleEstimate) correct(shift, residual, sd float64) {
	for i := range e.Dist {
		c := &e.Dist[i]
		c.Mean += shift
		c.SD = math.Sqrt(max(c.SD*c.SD-residual*residual, 0) + sd*sd)
	}
	for i := range e.days {
		e.days[i] += shift
	}
}

// errors returns by how many days later than expected a phase was seen, in each year but one in which it was seen and
// something was expected.
func (o *Outlook) errors(sp *Species, r *PhaseRecord, but Season,
	expected func(Season) (float64, bool)) (late []float64) {
	for _, year := range o.SeenSeasons(sp, r) {
		if year == but {
			continue
		}
		seen, _ := o.SeenOn(sp, r, year)
		if day, ok := expected(year); ok {
			late = append(late, seen-day)
		}
	}
	return late
}

// local returns what other seasons' sightings teach of a phase at the site.
func (o *Outlook) local(sp *Species, r *PhaseRecord, season Season, carried float64) shrinkage {
	residual := tails * r.Model.Residual
	transfer := math.Hypot(carried, o.transferSD(r))
	if len(o.Sightings) == 0 {
		return shrinkage{sd: math.Hypot(residual, transfer)}
	}
	return o.memo.local.of(localKey{seenKey{sp.ID, r.Phase}, season}, func() shrinkage {
		errorsOf := func(sp *Species, r *PhaseRecord) []float64 { return o.modelErrors(sp, r, season) }
		return shrinkTo(o.habit(sp, r, transfer, errorsOf), errorsOf(sp, r), residual, transfer)
	})
}

// shrink is shrinkTo where nothing is known of the observer.
func shrink(errors []float64, residual, doubt float64) shrinkage {
	return shrinkTo(habit{variance: habitShare * doubt * doubt}, errors, residual, doubt)
}

// learnLag moves a phase that is counted from another by what other years' sightings teach of the lag.
func (e *estimator) learnLag(got *ensembleEstimate, r *PhaseRecord, m Lag) {
	o := e.outlook
	if len(o.Sightings) == 0 {
		return
	}
	errors := o.errors(e.species, r, e.season, func(year Season) (float64, bool) {
		return o.came(e.species, m.After, year, 0)
	})
	for i := range errors {
		errors[i] -= m.Days
	}
	if len(errors) == 0 {
		return
	}
	residual := max(m.Spread, r.Model.Residual)
	learnt := shrink(errors, residual, transferAway)
	got.correct(learnt.shift, residual, learnt.sd)
	got.Seen = learnt.years
}

// came returns the day on which a phase came in a past season: seen, else modelled, else counted from another.
func (o *Outlook) came(sp *Species, p Phase, season Season, depth int) (float64, bool) {
	r := sp.Phase(p)
	if r == nil || depth > int(phaseCount) {
		return 0, false
	}
	if day, ok := o.SeenOn(sp, r, season); ok {
		return day, true
	}
	if r.Model == nil {
		return 0, false
	}
	if lag, ok := soleLag(r.Model); ok {
		day, ok := o.came(sp, lag.After, season, depth+1)
		return day + lag.Days, ok
	}
	if o.Temps == nil {
		return 0, false
	}
	return o.modelled(sp, r, season)
}

// learnPlace moves a date that rests on the place alone by what other years' sightings there teach.
func (o *Outlook) learnPlace(est *Estimate, sp *Species, r *PhaseRecord, season Season) {
	if len(o.Sightings) == 0 || !est.HasDate() {
		return
	}
	mean := est.Dist.Mean()
	errors := o.errors(sp, r, season, func(Season) (float64, bool) { return mean, true })
	if len(errors) == 0 {
		return
	}
	dates, _ := o.carry(r)
	spread, strange := 0.0, 0.0 // between years, apart from the doubt of having been carried
	for _, c := range dates {
		spread, strange = max(spread, c.spread), max(strange, c.strange)
	}
	_, doubt := o.usualDay(r)
	got := shrink(errors, spread, math.Hypot(doubt, strange))
	est.Dist = Distribution{{Mean: mean + got.shift, SD: got.sd, Weight: 1}}
	est.Seen = got.years
}

// modelled returns the day on which the models have a phase in a season, by that season's own days alone.
func (o *Outlook) modelled(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	d := &estimator{outlook: o, species: sp, season: season, observed: o.Temps.observed, alone: true}
	d.follow([]member{{cut: min(d.observed, season.Date(lastDay)), donor: season.Year, shift: -1 << 20}})
	for _, m := range r.Model.Models {
		if other, ok := DependsOn(m); ok {
			d.phase(other)
		}
	}
	mean, _ := d.usual(r)
	x, ok := d.along(r, 0, d.members[0], mean, r.startsEarlier(o.springHere()))
	if !ok || o.Temps.inventedShare(d.members[0], x.from, x.to) > refuseInvented {
		return 0, false
	}
	return x.day, true
}
