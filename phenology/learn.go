package phenology

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
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

// memo is what an outlook has worked out from its sightings. It is safe for use by several goroutines.
type memo struct {
	mu      sync.Mutex
	indexed bool
	seen    map[seenKey][]civil.Date // at this site
	local   map[localKey]shrinkage
	seasons map[Season]*anomalies
	past    map[civil.Date]*Outlook
}

type seenKey struct {
	species string
	phase   Phase
}

type localKey struct {
	seenKey
	season Season
}

// shrinkage is what other years' sightings teach of a phase at the site.
type shrinkage struct {
	shift float64 // days to add
	sd    float64 // residual spread around the shifted model
	years int
}

// seen returns the day of a season on which a phase was seen at the site: the median where it was seen on several
// trees.
func (o *Outlook) seen(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	if len(o.Sightings) == 0 {
		return 0, false
	}
	var buffer [8]float64
	days := buffer[:0]
	for _, d := range o.seenDates(seenKey{sp.ID, r.Phase}) {
		if seasonOf(o.Site, r, d) == season {
			days = append(days, season.Day(d).End())
		}
	}
	return median(days)
}

// SeenSeasons returns the seasons in which a phase was seen at the site, in order.
func (o *Outlook) SeenSeasons(sp *Species, r *PhaseRecord) []Season {
	return o.seenSeasons(r, seenKey{sp.ID, r.Phase})
}

// SeenOn returns the day of a season on which a phase was seen at the site, the median where it was seen on several
// trees.
func (o *Outlook) SeenOn(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	return o.seen(sp, r, season)
}

// SeasonOf returns the season to which a phase seen on a date belongs.
func (o *Outlook) SeasonOf(r *PhaseRecord, d civil.Date) Season { return seasonOf(o.Site, r, d) }

func median(days []float64) (float64, bool) {
	n := len(days)
	if n == 0 {
		return 0, false
	}
	slices.Sort(days)
	return (days[(n-1)/2] + days[n/2]) / 2, true
}

// seenDates returns the dates, in order, on which a phase was seen at the site.
func (o *Outlook) seenDates(key seenKey) []civil.Date {
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if !o.memo.indexed {
		o.memo.seen = map[seenKey][]civil.Date{}
		for _, s := range o.Sightings {
			if s.Site == o.Site.ID {
				k := seenKey{s.Species, s.Phase}
				o.memo.seen[k] = append(o.memo.seen[k], s.Date)
			}
		}
		for _, dates := range o.memo.seen {
			slices.Sort(dates)
		}
		o.memo.indexed = true
	}
	return o.memo.seen[key]
}

// learn moves a modelled phase by what sightings teach, and sets its spread. A phase that was reached, on a day that is
// given, learns of the season what was known that day and nothing later: what is reached stays.
func (d *estimator) learn(got *ensembleEstimate, r *PhaseRecord, carried float64, reached civil.Date) {
	local := d.outlook.local(d.species, r, d.season, carried)
	shift, sd := local.shift, local.sd
	if !d.alone {
		known := d.outlook
		if got.Basis == BasisReached {
			known = d.outlook.asKnownOn(reached)
		}
		more, share := known.seasonShift(seenKey{d.species.ID, r.Phase}, d.season, got.Dist.Mean()+shift)
		shift += more * r.Model.Residual
		sd *= math.Sqrt(1 - share)
	}
	for i := range got.Dist {
		c := &got.Dist[i]
		c.Mean += shift
		// What was widened, for invented days and years to come, stays so.
		c.SD = math.Sqrt(max(c.SD*c.SD-r.Model.Residual*r.Model.Residual, 0) + sd*sd)
	}
	for i := range got.days {
		got.days[i] += shift
	}
	got.Seen = local.years
}

// asKnownOn returns the outlook as it was on a day of a season: without what was measured or seen after it.
func (o *Outlook) asKnownOn(d civil.Date) *Outlook {
	if len(o.Sightings) == 0 || o.Until != nil && *o.Until <= d {
		return o
	}
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if past, ok := o.memo.past[d]; ok {
		return past
	}
	past := &Outlook{Site: o.Site, Temps: o.Temps, Known: o.Known, Until: &d}
	for _, s := range o.Sightings {
		// Sightings of later seasons stay: they teach of the site, not of this season.
		if s.Date <= d || s.Date > d+seasonApart {
			past.Sightings = append(past.Sightings, s)
		}
	}
	if o.memo.past == nil {
		o.memo.past = map[civil.Date]*Outlook{}
	}
	o.memo.past[d] = past
	return past
}

// seasonApart is how many days after a spring phase the next season's first begins at the earliest.
const seasonApart = 240

// local returns what other seasons' sightings teach of a phase at the site.
func (o *Outlook) local(sp *Species, r *PhaseRecord, season Season, carried float64) shrinkage {
	residual := r.Model.Residual
	transfer := math.Hypot(carried, o.transferSD(r))
	none := shrinkage{sd: math.Hypot(residual, transfer)}
	key := localKey{seenKey{sp.ID, r.Phase}, season}
	if len(o.Sightings) == 0 || len(o.seenDates(key.seenKey)) == 0 {
		return none
	}
	o.memo.mu.Lock()
	got, ok := o.memo.local[key]
	o.memo.mu.Unlock()
	if ok {
		return got
	}
	var errors []float64
	for _, year := range o.seenSeasons(r, key.seenKey) {
		if year == season {
			continue
		}
		seen, _ := o.seen(sp, r, year)
		if day, ok := o.modelled(sp, r, year); ok {
			errors = append(errors, seen-day)
		}
	}
	got = none
	if len(errors) > 0 {
		got = shrink(errors, residual, transfer)
	}
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if o.memo.local == nil {
		o.memo.local = map[localKey]shrinkage{}
	}
	o.memo.local[key] = got
	return got
}

// shrink returns what the errors of other years, observed less expected, teach of a site to which dates with a residual
// spread were carried with some doubt: their mean, drawn towards none by their number and noise. The mean's prior is
// normal with the doubt's spread; with known noise that is the textbook's conjugate estimate.
func shrink(errors []float64, residual, doubt float64) shrinkage {
	n, mean, square := float64(len(errors)), 0.0, 0.0
	for _, e := range errors {
		mean += e / n
	}
	for _, e := range errors {
		square += (e - mean) * (e - mean)
	}
	noise := (square + residualWeight*residual*residual) / (n - 1 + residualWeight)
	prior := siteOffsetSD*siteOffsetSD + doubt*doubt
	keep := prior / (prior + noise/n)
	return shrinkage{shift: keep * mean, sd: math.Sqrt(noise + keep*noise/n), years: len(errors)}
}

// learnLag moves a phase that is counted from another by what other years' sightings teach of the lag.
func (d *estimator) learnLag(got *ensembleEstimate, r *PhaseRecord, m Lag) {
	o := d.outlook
	if len(o.Sightings) == 0 {
		return
	}
	var errors []float64
	for _, year := range o.seenSeasons(r, seenKey{d.species.ID, r.Phase}) {
		if year == d.season {
			continue
		}
		seen, _ := o.seen(d.species, r, year)
		if after, ok := o.came(d.species, m.After, year, 0); ok {
			errors = append(errors, seen-after-m.Days)
		}
	}
	if len(errors) == 0 {
		return
	}
	residual := max(m.Spread, r.Model.Residual)
	learnt := shrink(errors, residual, transferAway)
	for i := range got.Dist {
		c := &got.Dist[i]
		c.Mean += learnt.shift
		c.SD = math.Sqrt(max(c.SD*c.SD-residual*residual, 0) + learnt.sd*learnt.sd)
	}
	for i := range got.days {
		got.days[i] += learnt.shift
	}
	got.Seen = learnt.years
}

// came returns the day on which a phase came in a past season: seen, else modelled, else counted from another.
func (o *Outlook) came(sp *Species, p Phase, season Season, depth int) (float64, bool) {
	r := sp.Phase(p)
	if r == nil || depth > int(phaseCount) {
		return 0, false
	}
	if day, ok := o.seen(sp, r, season); ok {
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
	var errors []float64
	for _, year := range o.seenSeasons(r, seenKey{sp.ID, r.Phase}) {
		if seen, ok := o.seen(sp, r, year); ok && year != season {
			errors = append(errors, seen-mean)
		}
	}
	if len(errors) == 0 {
		return
	}
	dates, _ := o.carry(r)
	spread := 0.0 // between years, apart from the doubt of having been carried
	for _, c := range dates {
		spread = max(spread, c.spread)
	}
	_, doubt := o.usualDay(r)
	got := shrink(errors, spread, doubt)
	est.Dist = Distribution{{Mean: mean + got.shift, SD: got.sd, Weight: 1}}
	est.Seen = got.years
}

// seenSeasons returns the seasons in which a phase was seen, in order.
func (o *Outlook) seenSeasons(r *PhaseRecord, key seenKey) []Season {
	var seasons []Season
	for _, d := range o.seenDates(key) {
		if s := seasonOf(o.Site, r, d); len(seasons) == 0 || seasons[len(seasons)-1] != s {
			seasons = append(seasons, s)
		}
	}
	return seasons
}

// modelled returns the day on which the models have a phase in a season, by that season's own days alone.
func (o *Outlook) modelled(sp *Species, r *PhaseRecord, season Season) (float64, bool) {
	d := &estimator{outlook: o, species: sp, season: season, done: map[Phase]*ensembleEstimate{}, alone: true}
	d.observed = o.Temps.observed
	d.follow([]member{{cut: min(d.observed, season.Date(lastDay)), donor: season.Year, shift: -1 << 20}})
	for _, m := range r.Model.Models {
		if other, ok := DependsOn(m); ok {
			d.phase(other)
		}
	}
	mean, _ := d.usual(r)
	x, ok := d.along(r, 0, d.members[0], mean)
	if !ok || o.Temps.inventedShare(d.members[0], x.from, x.to) > refuseInvented {
		return 0, false
	}
	return x.day, true
}

// ofSpring reports whether a phase shares the season's error: buds, flowers, leaves, and the fruit that follows. Nothing
// shows that a late spring makes a late autumn, and sap runs by freeze and thaw.
func ofSpring(p Phase) bool { return p >= BudSwell && p < LeafColor }

// seasonShift returns by how many residuals the phases seen this season move one that comes about a day, and which share
// of its variance they take away. The phase itself must not have been seen, unless it is to be told of from the others.
func (o *Outlook) seasonShift(key seenKey, season Season, day float64) (z, share float64) {
	if !ofSpring(key.phase) || len(o.Sightings) == 0 {
		return 0, 0
	}
	s := o.anomalies(season)
	if i := slices.IndexFunc(s.list, func(one anomaly) bool { return one.key == key }); i >= 0 {
		s = newAnomalies(slices.Delete(slices.Clone(s.list), i, i+1))
	}
	return s.tell(key, day)
}

// anomalies returns what was seen in a season against what its temperatures said, in order of day.
func (o *Outlook) anomalies(season Season) *anomalies {
	o.memo.mu.Lock()
	got, ok := o.memo.seasons[season]
	o.memo.mu.Unlock()
	if ok {
		return got
	}
	var list []anomaly
	known := o.lastKnown(season)
	for _, sp := range o.Known {
		for _, r := range sp.Phases {
			key := seenKey{sp.ID, r.Phase}
			if !ofSpring(r.Phase) || r.Model == nil || len(o.seenDates(key)) == 0 {
				continue
			}
			day, ok := o.seen(sp, r, season)
			if !ok {
				continue
			}
			d := o.estimator(sp, season)
			d.alone = true
			if got, _ := d.model(r); got != nil {
				z := (day - got.Dist.Mean()) / r.Model.Residual
				list = append(list, anomaly{key, day, z + seenOnly((season.Day(known).End()-got.Dist.Mean())/r.Model.Residual)})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b anomaly) int { return cmp.Compare(a.day, b.day) })
	got = newAnomalies(list)
	o.memo.mu.Lock()
	defer o.memo.mu.Unlock()
	if o.memo.seasons == nil {
		o.memo.seasons = map[Season]*anomalies{}
	}
	o.memo.seasons[season] = got
	return got
}

// lastKnown returns the last day of which anything is known in a season: of its temperatures, or of what was seen.
func (o *Outlook) lastKnown(season Season) civil.Date {
	last := o.Temps.observed
	for _, s := range o.Sightings {
		last = max(last, s.Date)
	}
	if o.Until != nil {
		last = min(last, *o.Until)
	}
	return min(last, season.Date(lastDay))
}

// seenOnly is what must be added to an anomaly for its having been seen already. By a given day only those phases have
// been seen that were early enough for it, so those seen are on the mean too early. Given what all phases share, a phase's
// own part of the error is normal and cut off at a; the shared part's likelihood then has its maximum where each anomaly
// is later by the mean of what was cut off (the inverse of Mills' ratio). Where the model has the phase still to come,
// what is added grows no more: that it was seen at all speaks for an early season.
func seenOnly(a float64) float64 {
	const own = 0.8062 // square root of 1 - sharedCorrelation
	a = max(a, 0) / own
	return own * math.Exp(-a*a/2) / math.Sqrt(2*math.Pi) / normal.CDF(a)
}
