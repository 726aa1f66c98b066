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

// NormalTemperatures returns a site's temperatures as its normals have them by package climate, for a site of which
// no temperatures are known: days drawn from them, the same each time. There are none (false) outside North
// America, and where [climate.Cell.Error] says that the normals are not to be trusted.
func NormalTemperatures(site Site) (*Temperatures, bool) {
	c, ok := climate.At(site.Latitude, site.Longitude)
	if !ok {
		return nil, false
	}
	off, trusted := c.Error()
	if !trusted {
		return nil, false
	}
	off = math.Hypot(off, lapseRateSD*(site.Elevation-c.Elevation)/1000)
	c = c.MovedTo(site.Elevation)
	normals := weather.Normals{Min: c.Min, Max: c.Max}
	first := civil.Of(1991, time.January, 1)
	t := NewTemperatures(site, weather.Synthesize(normals, first, normalYears, 1))
	t.normalSD = off
	return t, true
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
	errors := o.errors(e.species, r, e.season, func(Season) (float64, bool) { return mean, true })
	if len(errors) == 0 {
		for i := range got.Dist {
			got.Dist[i].SD = math.Hypot(got.Dist[i].SD, doubt)
		}
		return
	}
	learnt := shrink(errors, spread, doubt)
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
	got.Seen = learnt.years
}
