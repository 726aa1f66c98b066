package awayfromhome

import (
	"fmt"
	"io"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/profiles"
)

// methods are the ways of dating that are compared.
var methods = []string{"place", "normals", "both"}

// row is a sighting with what each method says of it.
type row struct {
	sighting
	region string
	said   [3]*said // by methods; nil where it has no date
}

// said is what a method says of a date.
type said struct{ p10, p50, p90 float64 }

func say(d phenology.Distribution) *said {
	return &said{d.Quantile(0.1), d.Quantile(0.5), d.Quantile(0.9)}
}

// season is any: without temperatures all are alike.
const season = 2027

// foresee dates all sightings by each method.
func foresee(seen []sighting) (rows []row, err error) {
	type key struct {
		site, species string
	}
	known := map[key][2]phenology.Estimates{}
	library := profiles.Builtin()
	for _, s := range seen {
		sp, err := library.Find(s.species)
		if err != nil {
			return nil, err
		}
		k := key{s.site.ID, s.species}
		if _, ok := known[k]; !ok {
			t, drawn := normalsAt(s.site)
			place := (&phenology.Outlook{Site: s.site}).Estimate(sp, season)
			both := place
			if drawn {
				both = (&phenology.Outlook{Site: s.site, Temps: t}).Estimate(sp, season)
			}
			known[k] = [2]phenology.Estimates{place, both}
		}
		r := row{sighting: s, region: regionOf(s.site)}
		place, both := known[k][0].Get(s.phase), known[k][1].Get(s.phase)
		if place.HasDate() {
			r.said[0] = say(place.Dist)
		}
		if both.HasDate() {
			r.said[2] = say(both.Dist)
		}
		if both.Basis == phenology.BasisNormals {
			r.said[1] = say(both.Dist)
			if both.Placed > 0 { // what the normals say alone: the place's part taken out of the mean again
				alone := (both.Dist.Mean() - both.Placed*place.Dist.Mean()) / (1 - both.Placed)
				r.said[1] = say(both.Dist.Later(alone-both.Dist.Mean(), 0))
			}
		}
		if r.said[0] != nil || r.said[2] != nil {
			rows = append(rows, r)
		}
	}
	return rows, nil
}

// drawn are the temperatures of sites, by their names: they are asked for again and again.
var drawn = map[string]*phenology.Temperatures{}

func normalsAt(s phenology.Site) (*phenology.Temperatures, bool) {
	t, known := drawn[s.ID]
	if !known {
		t, _ = phenology.NormalTemperatures(s)
		drawn[s.ID] = t
	}
	return t, t != nil
}

func regionOf(s phenology.Site) string {
	switch {
	case s.Longitude <= -100:
		return "West"
	case s.Latitude >= 40 && s.Longitude > -80:
		return "North-east"
	case s.Latitude < 40:
		return "South-east"
	}
	return "Midwest"
}

// regions are the parts of the country that are told apart; the last is all of it, with the few sites of the West.
var regions = []string{"North-east", "South-east", "Midwest", "all"}

func (r row) in(region string) bool { return region == "all" || r.region == region }

// reportPhases writes the table of phases, regions and methods.
func reportPhases(w io.Writer, rows []row) {
	fmt.Fprintf(w, "%-11s %-11s %-8s %6s %6s %6s %7s %9s %7s\n", "phase", "region", "method", "n", "sites", "bias",
		"spread", "site rms", "inside")
	for _, phase := range []phenology.Phase{phenology.BudBreak, phenology.Flowering, phenology.LeafColor,
		phenology.LeafFall} {
		for _, region := range regions {
			for m, method := range methods {
				of := slices.DeleteFunc(slices.Clone(rows), func(r row) bool {
					return r.phase != phase || !r.in(region) || r.said[m] == nil
				})
				if len(of) < 10 {
					continue
				}
				bias, spread, rms, sites := errorsOf(of, m)
				fmt.Fprintf(w, "%-11s %-11s %-8s %6d %6d %+6.1f %7.1f %9.1f %7.2f\n", phase, region, method, len(of),
					sites, bias, spread, rms, inside(of, m, 1))
			}
		}
	}
}

// late is by how many days a phase was seen later than the middle date.
func (r *row) late(m int) float64 { return r.day - r.said[m].p50 }

// errorsOf returns the median error, its robust spread (1.4826 times the median absolute deviation) and the root
// mean square over sites of their median errors, each cut off at 40 days: volunteers' slips are of months.
func errorsOf(rows []row, m int) (bias, spread, rms float64, sites int) {
	var all []float64
	bySite := map[string][]float64{}
	for i := range rows {
		e := rows[i].late(m)
		all = append(all, e)
		bySite[rows[i].site.ID] = append(bySite[rows[i].site.ID], e)
	}
	bias = median(all)
	var off []float64
	for _, e := range all {
		off = append(off, math.Abs(e-bias))
	}
	for _, list := range bySite {
		e := max(-40, min(40, median(list)))
		rms += e * e
	}
	return bias, 1.4826 * median(off), math.Sqrt(rms / float64(len(bySite))), len(bySite)
}

func median(list []float64) float64 {
	list = slices.Sorted(slices.Values(list))
	n := len(list)
	return (list[(n-1)/2] + list[n/2]) / 2
}

// inside is the share of sightings within p10 to p90, these drawn out from the middle by a factor.
func inside(rows []row, m int, factor float64) float64 {
	n := 0.0
	for _, r := range rows {
		s := r.said[m]
		if r.day >= s.p50-factor*(s.p50-s.p10) && r.day <= s.p50+factor*(s.p90-s.p50) {
			n++
		}
	}
	return n / float64(len(rows))
}
