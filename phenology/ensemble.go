package phenology

import (
	"math"

	"treewhen/phenology/civil"
)

// model dates a phase by its models along every member: an ensemble with one member for each way the season may go. It
// returns nil and what is lacking if too few members give a date.
func (e *estimator) model(r *PhaseRecord) (*ensembleEstimate, Lack) {
	t := e.outlook.Temps
	if t == nil {
		return nil, Lack{}
	}
	if _, ok := soleLag(r.Model); ok {
		return nil, Lack{} // follows the other phase's own distribution
	}
	for _, m := range r.Model.Models {
		if other, ok := DependsOn(m); ok {
			e.phase(other) // before the members are walked, which share one pass
		}
	}
	mean, carried := e.usual(r)
	w := e.walk(r, mean)
	if len(w.dist) == 0 {
		return nil, Lack{Kind: LackRecord, Phase: r.Phase}
	}
	got := &ensembleEstimate{days: w.days, Estimate: Estimate{Phase: r.Phase, Season: e.season,
		Invented: w.invented / float64(len(w.dist)), Climb: t.climb}}
	if !e.restOn(&got.Estimate, r, &w) {
		return nil, Lack{Kind: LackYears, Phase: r.Phase, Years: len(w.dist)}
	}
	for i := range w.dist {
		w.dist[i].Weight = 1 / float64(len(w.dist))
	}
	short := membersShort
	if ofSap(r.Phase) {
		short = drawnShort // nobody dated sap there; what was chosen before stands
	}
	if t.normals {
		km, _ := e.outlook.nearest(r)
		short = drawnShort + shortOf(r.Phase, km)
	}
	widen(w.dist, short)
	got.Dist = w.dist
	if w.offs != nil {
		got.Dist = w.dist.split(w.offs)
	}
	if t.normals {
		carried = math.Hypot(carried, e.weighPlace(got, r))
	}
	e.learn(got, r, carried, w.lastUsed)
	return got, Lack{}
}

// walked is what the members of an ensemble tell of a phase.
type walked struct {
	days     []float64              // of each member; NaN where it gives none
	dist     Distribution           // of those that give one, not weighed yet
	offs     [][len(fifths)]float64 // how far about each of these the last run may lie, if that is the model
	invented float64                // sum of the shares of their temperatures that nobody measured
	lastUsed civil.Date             // the last day that one of them looked at
	own      bool                   // the season's own days decide the date, however it goes on
	earlier  SeasonDay              // by which models start earlier at the site than where they were fitted
}

// walk dates a phase along each member; mean is its usual day at the site, for models that start from it.
func (e *estimator) walk(r *PhaseRecord, mean float64) walked {
	t := e.outlook.Temps
	w := walked{days: make([]float64, len(e.members)), dist: make(Distribution, 0, len(e.members)),
		lastUsed: civil.Date(math.MinInt32), earlier: r.startsEarlier(e.outlook.springHere())}
	last, ofLastRun := soleLastRun(r.Model)
	for i, mem := range e.members {
		if w.own {
			w.days[i] = w.days[0]
			continue
		}
		w.days[i] = math.NaN()
		x, ok := e.along(r, i, mem, mean, w.earlier)
		if !ok {
			continue
		}
		share := t.inventedShare(mem, x.from, x.to)
		isForecast := x.to <= mem.cut && x.to > e.observed
		if share > refuseInvented && !isForecast && !t.normals {
			continue
		}
		sd := r.Model.Residual
		if share > widenInvented && !t.normals {
			sd *= 1 + 2*(share-widenInvented)
		}
		w.days[i] = x.day
		w.invented += share
		w.dist = append(w.dist, Component{Mean: x.day, SD: sd})
		if ofLastRun {
			var off [len(fifths)]float64
			off, x.to = last.spreadOf(&e.pass, x)
			w.offs = append(w.offs, off)
		}
		w.lastUsed = max(w.lastUsed, x.to)
		w.own = i == 0 && x.to <= mem.cut
	}
	return w
}

// restOn says what an estimate rests on; false if on too few years for one.
func (e *estimator) restOn(est *Estimate, r *PhaseRecord, w *walked) bool {
	t := e.outlook.Temps
	begun := e.observed >= e.season.Date(begins(r.Model, w.earlier))
	switch {
	case t.normals:
		est.Basis, est.BuiltIn = BasisNormals, t.BuiltIn()
	case w.own && w.lastUsed <= e.observed && e.restsOnReached(r):
		est.Basis, est.Observed = BasisReached, e.observed
	case w.own:
		est.Basis, est.Observed = BasisSeason, e.observed
	case len(w.dist) < MinYears:
		return false
	case begun:
		est.Basis, est.Observed, est.Years = BasisSeason, e.observed, len(w.dist)
	default:
		est.Basis, est.Years = BasisRecord, len(w.dist)
	}
	return true
}

// What printed intervals hold was settled on Harvard Forest, 1990 to 2005, each year left out: 38 series of eight
// species, spring and autumn, at six leads, with and without what was seen that spring. Eight of ten dates were to
// lie from the printed p10 to the printed p90, as whole days: they are 78 to 84 of 100 at every lead. Before, they
// had been 77 to 88.
const (
	// membersShort is by how much the variance between the years of a record falls short of that between a year to come
	// and them: the record's mean is itself uncertain, its extremes are few, what persists is itself a forecast, and
	// the climate moves on. Of 16 years drawn alike it would be an eighth.
	membersShort = 0.8
	// drawnShort is that of years drawn from normals, besides what [shortOf] adds: see there for what it was settled
	// on. It is that of sap as well, by our own choice.
	drawnShort = 0.3
	// tails is the share that the middle eight of ten of a model's errors keep of a normal distribution of the same
	// root mean square: the errors' tails are heavy, as those of Student's t with six degrees of freedom, whose share
	// it is.
	tails = 0.92
)

// widen adds to every member what the members' own spread falls short, as a share of their variance.
func widen(dist Distribution, short float64) {
	mean, square := dist.Mean(), 0.0
	for _, c := range dist {
		square += c.Weight * (c.Mean - mean) * (c.Mean - mean)
	}
	for i := range dist {
		dist[i].SD = math.Sqrt(dist[i].SD*dist[i].SD + short*square)
	}
}

// split puts, in the place of each component, those that lie so many days off it.
func (d Distribution) split(offs [][len(fifths)]float64) Distribution {
	list := make(Distribution, 0, len(d)*len(fifths))
	for i, c := range d {
		for _, off := range offs[i] {
			list = append(list, Component{Mean: c.Mean + off, SD: c.SD, Weight: c.Weight / float64(len(fifths))})
		}
	}
	return list
}

// sd is how far a phase may lie off the day that a member gives it, as a standard deviation, days.
func (e *ensembleEstimate) sd() float64 {
	if len(e.Dist) == 0 {
		return 0
	}
	return e.Dist[0].SD
}

// begins returns the first day of the season that a phase's models look at, those of thermal time so many days earlier.
func begins(pm *PhaseModel, earlier SeasonDay) SeasonDay {
	first := lastDay
	for _, m := range pm.Models {
		if t, ok := m.(ThermalTime); ok {
			m = t.starting(earlier)
		}
		first = min(first, m.begins())
	}
	return first
}

// usual returns a phase's mean day at the site for the models that start from it, and the standard deviation of having
// carried it there; NaN and 0 where no model needs it.
func (e *estimator) usual(r *PhaseRecord) (mean, sd float64) {
	if startsFromUsual(r.Model) {
		return e.outlook.usualDay(r)
	}
	return math.NaN(), 0
}

// startsFromUsual reports whether one of a phase's models starts from its usual day at the site.
func startsFromUsual(pm *PhaseModel) bool {
	for _, m := range pm.Models {
		if _, ok := m.(WarmthShift); ok {
			return true
		}
	}
	return false
}

// along returns the mean of the days that a phase's models give along a member, where they start so many days earlier.
func (e *estimator) along(r *PhaseRecord, i int, mem member, mean float64, earlier SeasonDay) (fix, bool) {
	p := &e.pass
	if p.temps == nil {
		p.estimator, p.temps, p.season, p.rule = e, e.outlook.Temps, e.season, e.species.Sap.Run
		p.anchor = e.season.Anchor()
	}
	p.member, p.index, p.mean, p.earlier = mem, i, mean, earlier
	var all fix
	for k, m := range r.Model.Models {
		x, ok := m.date(p)
		if !ok {
			return fix{}, false
		}
		if k == 0 {
			all = x
			continue
		}
		all.day += x.day
		all.from, all.to = min(all.from, x.from), max(all.to, x.to)
	}
	all.day = all.day/float64(len(r.Model.Models)) + p.temps.climbDelay(r.Phase)
	return all, true
}

// restsOnReached reports whether the other phases that a phase's models look at have been reached or seen. Until they
// are, the phase may still move, whatever its own days say.
func (e *estimator) restsOnReached(r *PhaseRecord) bool {
	for _, m := range r.Model.Models {
		other, ok := DependsOn(m)
		if !ok {
			continue
		}
		on := &e.phase(other).Estimate
		for on.After != nil { // a lag after what was reached moves no more either
			on = on.After
		}
		if on.Basis > BasisReached {
			return false
		}
	}
	return true
}
