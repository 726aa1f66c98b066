package phenology

import (
	"math"

	"treewhen/phenology/climate"
)

// What a date is worth away from where its model was fitted or its mean was observed. All figures were chosen on
// volunteers' dates of bud break and flowers at some 250 places of the United States, 2009 to 2016 (USA National
// Phenology Network, doi:10.5066/F78S4N1V), each tenth of the places left out in turn; the tests in awayfromhome
// measure them. They had been within p10 to p90 in 49 to 58 of 100 and are in 77 to 82, by region as well. Volunteers'
// dates have slips and other definitions in them; no part of the spread is taken off for it.
const (
	// A model with a place's own temperatures, far from where it was fitted: at three forests with a thermometer
	// and a camera (Bartlett, Willow Creek, Morgan-Monroe; PhenoCam and AmeriFlux) mean dates were 0 to 5 days off.
	transferAway    = 3.5 // days
	transferAwaySap = 2.5 // days, of sap, which none of them saw: our own choice
	// And for each degree by which February to May are warmer or colder than there: at Morgan-Monroe, 5 degrees
	// warmer, single years were 5 days off where they are 3 at home. Models fitted in one climate follow the
	// springs of another less well: they have one base temperature for both, though starts move ([StartPerDegree]).
	transferPerDegree = 1.0 // days

	// Where nothing was measured at the place, neither temperatures nor dates, other trees and other eyes than
	// those of the reference come on top, and more so in another climate.
	strangeAway      = 7.0 // days
	strangePerDegree = 1.6 // days
	// Color is told by eye, and needs more: first colored leaves, moved to half of them by the median of all other
	// places, differ between places by 13 days beside the 12 by which they do from year to year and tree to tree at
	// one. With a thermometer there is no more doubt than in spring: canopies of the three forests lose three quarters
	// of their green from 8 days before what is dated to 2 behind. Falling leaves keep spring's: the first of them say
	// little of when half are down.
	strangeColor = 13.0 // days

	// A degree warmer is about 3.7 days earlier, and a lapse rate is known to 1.5 degrees a kilometre.
	daysPerDegreeWarm = 3.7
	lapseRateSD       = 1.5
	transferPerMetre  = daysPerDegreeWarm * lapseRateSD / 1000 // days

	// The variance between the years of a reference, or of a record that was drawn from normals, falls short of
	// that between years elsewhere, by so much of itself. Springs as models date them by thermometers vary as those
	// drawn from the place's own normals do at Harvard Forest and Bartlett (0.8 of the variance) and far more at
	// Willow Creek and Morgan-Monroe, inland (2.3 times); this is the mean of the four.
	yearsShort = 0.6
)

// ofSap reports whether a phase is of sap, which follows freeze and thaw: what was measured of leaves and flowers
// does not hold for it.
func ofSap(p Phase) bool { return p < BudSwell }

// shortOf returns by how much of itself the variance between years falls short, of a phase so many kilometres from
// its reference.
func shortOf(p Phase, km float64) float64 {
	if ofSap(p) {
		return 0
	}
	return yearsShort * away(km)
}

// What height adds that models do not see. With temperatures moved up from Harvard Forest by [DefaultLapseRate],
// models delay spring by 2.2 days for each 100 m (six trees, three phases); trees were seen to be later: 2.7 days
// (standard error 0.4; sugar maple at Hubbard Brook, Richardson and others 2006, Global Change Biology 12:1174) and
// 3.3 (Hopkins). What is missing to the middle of both is added for a climb above a thermometer. Between regions,
// where no climb is meant, volunteers' dates show none of it, so that built-in normals are moved to a site's height
// without.
const (
	climbDelay   = 0.8 / 100 // days for each metre above the station
	climbDelaySD = 0.3 / 100
)

// climbDelay returns by how many days a phase of spring comes later than the models have it, for the climb from the
// thermometer up to the site. Below the thermometer there is none, nor above one on a valley's floor: where cold air
// pools, the slope above is no colder than the floor on many a night.
func (t *Temperatures) climbDelay(p Phase) float64 {
	if !ofSpring(p) || t.pooled {
		return 0
	}
	return ClimbDelay(t.climb)
}

// ClimbDelay returns by how many days spring comes later than the models have it so many metres above a thermometer
// that stands on no valley's floor; 0 below it.
func ClimbDelay(metres float64) float64 { return climbDelay * max(0, metres) }

// climbSD returns how far a phase may be off for the height through which the temperatures were moved, in days.
func (t *Temperatures) climbSD(p Phase) float64 {
	sd := transferPerMetre * t.climb
	if ofSpring(p) {
		sd = math.Hypot(sd, climbDelaySD*max(0, t.climb))
	}
	return sd
}

// transferSD returns how far a model may be off at the site for having been fitted elsewhere, as a standard
// deviation in days: by the distance to the nearest reference place, which is where models are fitted, by the
// difference between the two climates, and by the height through which the temperatures were moved.
func (o *Outlook) transferSD(r *PhaseRecord) float64 {
	km, degrees := o.nearest(r)
	elsewhere := transferAway
	if ofSap(r.Phase) {
		elsewhere = transferAwaySap
	}
	sd := math.Hypot(elsewhere*away(km), o.Temps.climbSD(r.Phase))
	if ofSpring(r.Phase) {
		sd = math.Hypot(sd, transferPerDegree*degrees)
	}
	return sd
}

// strangeSD returns how far a date may be off at the site, where nothing was measured, for being of trees at
// another place: so many kilometres off, in springs by so many degrees other than the site's. Sap, whose references
// are whole regions, is left to its references' spread.
func (o *Outlook) strangeSD(r *PhaseRecord, degrees, km float64) float64 {
	if ofSap(r.Phase) {
		return 0
	}
	strange := strangeAway
	if r.Phase == LeafColor {
		strange = strangeColor
	}
	sd := math.Hypot(transferAway, strange) * away(km)
	if ofSpring(r.Phase) {
		sd = math.Hypot(sd, math.Hypot(transferPerDegree, strangePerDegree)*degrees)
	}
	return sd
}

// nearest returns the distance in kilometres to the nearest place of reference, infinite where there is none, and
// by how many degrees its springs are other than the site's.
func (o *Outlook) nearest(r *PhaseRecord) (km, degrees float64) {
	km = math.Inf(1)
	for _, ref := range r.References {
		if d := Distance(ref.Latitude, ref.Longitude, o.Site.Latitude, o.Site.Longitude); d < km {
			km, degrees = d, o.apart(ref)
		}
	}
	return km, degrees
}

// farDegrees bounds by how many degrees springs may differ: beyond, no model or law means anything, and a spread of
// months says no more than one of weeks.
const farDegrees = 10.0

// apart returns by how many degrees February to May at a place of reference differ from those at the site: by the
// climate of both, or where that is not known by what the bioclimatic law makes of the way.
func (o *Outlook) apart(ref Reference) float64 {
	there, here := springAt(ref.Latitude, ref.Longitude, ref.Elevation), o.springHere()
	if math.IsNaN(there) || math.IsNaN(here) {
		there = 0
		here = Shift(ref.Latitude, 0, ref.Elevation, o.Site.Latitude, 0, o.Site.Elevation) / daysPerDegreeWarm
	}
	return min(farDegrees, math.Abs(there-here))
}

// springHere is springAt of the site.
func (o *Outlook) springHere() float64 {
	o.memo.spring.Do(func() {
		o.memo.warmth = warmthOfSpring(o.Site.Latitude, o.Site.Longitude, o.Site.Elevation)
	})
	return o.memo.warmth
}

// springs keeps what is known of the springs of places of reference: there are few of them, and all sites ask for
// the same.
var springs kept[[3]float64, float64]

// springAt returns the normal mean temperature of February to May at a place of reference, NaN where it is not
// known.
func springAt(latitude, longitude, elevation float64) float64 {
	return springs.of([3]float64{latitude, longitude, elevation}, func() float64 {
		return warmthOfSpring(latitude, longitude, elevation)
	})
}

func warmthOfSpring(latitude, longitude, elevation float64) float64 {
	c, ok := climate.At(latitude, longitude)
	if !ok {
		return math.NaN()
	}
	c = c.MovedTo(elevation)
	sum := 0.0
	for month := 1; month <= 4; month++ {
		sum += c.Mean(month)
	}
	return sum / 4
}
