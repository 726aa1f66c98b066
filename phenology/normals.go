package phenology

import (
	"math"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/climate"
	"treewhen/phenology/weather"
)

// stationNormalSD is how far a station's normals may be off at the site, degrees Celsius: good thermometers side by
// side differ by half a degree. Our own choice.
const stationNormalSD = 0.5

// normalYears is how many years are drawn from normals: as many as the normals are of.
const normalYears = 30

// BuiltInClimate returns what is normal at a site by package climate, moved to its height, and how far its monthly
// means may be off there, in degrees Celsius. There is none (false) outside North America, and where
// [climate.Cell.Error] says that the normals are not to be trusted.
func BuiltInClimate(site Site) (c climate.Cell, off float64, ok bool) {
	if c, ok = climate.At(site.Latitude, site.Longitude); !ok {
		return climate.Cell{}, 0, false
	}
	if off, ok = c.Error(); !ok {
		return climate.Cell{}, 0, false
	}
	off = math.Hypot(off, lapseRateSD*(site.Elevation-c.Elevation)/1000)
	return c.MovedTo(site.Elevation), off, true
}

// NormalTemperatures returns a site's temperatures as [BuiltInClimate] has them, for a site of which none are known:
// days drawn from its normals, the same each time.
func NormalTemperatures(site Site) (*Temperatures, bool) {
	c, off, ok := BuiltInClimate(site)
	if !ok {
		return nil, false
	}
	normals := weather.Normals{Min: c.Min, Max: c.Max}
	first := civil.Of(1991, time.January, 1)
	t := NewTemperatures(site, weather.Synthesize(normals, first, normalYears, 1))
	t.normalSD, t.builtIn = off, true
	return t, true
}

// BuiltIn returns how far the built-in climate may be off, in degrees Celsius, where the days were drawn from it; 0
// where they were not.
func (t *Temperatures) BuiltIn() float64 {
	if !t.builtIn {
		return 0
	}
	return t.normalSD
}

// byNormals dates a phase that the site's own record is too short to date by the normals there are beside it; nil
// where there are none, or where they do not date it either.
func (e *estimator) byNormals(r *PhaseRecord) *ensembleEstimate {
	o := e.outlook
	if o.Normals == nil || o.Temps.normals {
		return nil
	}
	if e.normals == nil {
		back := o.onNormals()
		if back.Temps == nil {
			return nil
		}
		e.normals = back.estimator(e.species, e.season)
		e.normals.hide, e.normals.unseen = e.hide, e.unseen
	}
	got := e.normals.phase(r.Phase)
	if got.Basis != BasisNormals {
		return nil
	}
	// No member of the record stands behind it: what depends on it is dated by the normals as well.
	days := make([]float64, len(e.members))
	for i := range days {
		days[i] = math.NaN()
	}
	return &ensembleEstimate{got.Estimate, days}
}

// onNormals returns the outlook with its normals in the place of its record.
func (o *Outlook) onNormals() *Outlook {
	o.memo.normals.Do(func() {
		o.memo.drawn = &Outlook{Site: o.Site, Temps: o.Normals(), Sightings: o.Sightings, Known: o.Known,
			Until: o.Until}
	})
	return o.memo.drawn
}

// weighPlace moves a date of spring by monthly normals towards the one that the bioclimatic law carries to the
// place, each weighed by what it may be off by itself: the law by the way it carries, the normals by their own
// error. What both share, trees and eyes elsewhere, moves neither. It returns how far both together may be off, in
// days.
//
// Of volunteers' bud break at 199 sites the law alone was 8.7 days off, the normals alone 7.6, and both together 7.6
// with two to three parts of normals to one of the law, which is what these errors come to (medians over sites and
// species).
func (e *estimator) weighPlace(got *ensembleEstimate, r *PhaseRecord) float64 {
	if !ofSpring(r.Phase) || startsFromUsual(r.Model) {
		return 0
	}
	normals := daysPerDegreeWarm * e.outlook.Temps.normalSD
	day, law := e.outlook.usualDay(r)
	shift, off := 0.0, normals
	if !math.IsNaN(day) {
		got.Placed = normals * normals / (normals*normals + law*law)
		shift = got.Placed * (day - got.Dist.Mean())
		off = normals * law / math.Hypot(normals, law)
	}
	got.Dist = got.Dist.Later(shift, 0)
	for i := range got.days {
		got.days[i] += shift
	}
	return off
}

// learnNormals gives a date by monthly normals the doubt of what was not measured, and moves it by what other years'
// sightings at the site teach. Of the season itself they tell nothing: no day of a drawn record is a season's own.
func (e *estimator) learnNormals(got *ensembleEstimate, r *PhaseRecord, carried float64) {
	o := e.outlook
	km, degrees := o.nearest(r)
	doubt := math.Hypot(carried, math.Hypot(o.strangeSD(r, degrees, km), o.Temps.climbSD(r.Phase)))
	if ofSap(r.Phase) {
		doubt = math.Hypot(carried, o.transferSD(r))
	}
	mean, spread := got.Dist.Mean(), got.Dist.SD()
	errorsOf := func(sp *Species, r *PhaseRecord) []float64 {
		expected := mean
		if sp.ID != e.species.ID {
			if expected, _ = o.expects(sp, r, e.season); math.IsNaN(expected) {
				return nil
			}
		}
		return o.errors(sp, r, e.season, func(Season) (float64, bool) { return expected, true })
	}
	h, errors := o.habit(e.species, r, doubt, errorsOf), errorsOf(e.species, r)
	if len(errors) == 0 && h.species == 0 {
		for i := range got.Dist {
			got.Dist[i].SD = math.Hypot(got.Dist[i].SD, doubt)
		}
		return
	}
	learnt := shrinkTo(h, errors, spread, doubt)
	got.Dist = got.Dist.Later(learnt.shift, 0)
	for i := range got.Dist {
		// The members' shape stays; their spread becomes what the sightings leave.
		c := &got.Dist[i]
		c.Mean = mean + learnt.shift + (c.Mean-mean-learnt.shift)*learnt.sd/spread
		c.SD *= learnt.sd / spread
	}
	for i := range got.days {
		got.days[i] += learnt.shift
	}
	got.Seen, got.Habit = learnt.years, learnt.habit
}
