package phenology

import "math"

// StartPerDegree is by how many days models of thermal time start earlier at a place for each degree Celsius by which
// February to May are warmer there than where they were fitted, and later for each by which they are colder. Warm days
// before a start count for nothing, so that a start which suits one climate makes springs of a warmer one late, and
// lets them move too little from year to year. A degree warmer is spring 3.7 days earlier: the starts keep most of
// their distance from it.
//
// Chosen on volunteers' dates away from home (see [transferAway]; the tests in awayfromhome measure it): with each
// tenth of the places left out, the others ask for 2 to 3 days, by the root mean square of places' median errors.
// Nothing changes where the models were fitted.
const StartPerDegree = 2.5

// startsEarlier returns by how many days a phase's models of thermal time start earlier at a site than where they were
// fitted, which is the first place of reference; 0 where either climate is not known.
func (r *PhaseRecord) startsEarlier(spring float64) SeasonDay {
	if len(r.References) == 0 || r.Model == nil || r.Model.AtSite {
		return 0
	}
	fitted := r.References[0]
	warmer := spring - springAt(fitted.Latitude, fitted.Longitude, fitted.Elevation)
	if math.IsNaN(warmer) {
		return 0
	}
	return SeasonDay(math.Round(StartPerDegree * max(-farDegrees, min(farDegrees, warmer))))
}

// starting returns the model with its start so many days earlier, New Year at the earliest. One that starts by then
// follows no spring, and stays.
func (m ThermalTime) starting(earlier SeasonDay) ThermalTime {
	if m.Start > 1 {
		m.Start = max(1, m.Start-earlier)
	}
	return m
}

// ModelAt returns a phase's models as they are at a site, of which they are then taken to be: see [StartPerDegree]. It
// is nil where the phase has none.
func (r *PhaseRecord) ModelAt(site Site) *PhaseModel {
	if r.Model == nil {
		return nil
	}
	earlier := r.startsEarlier(warmthOfSpring(site.Latitude, site.Longitude, site.Elevation))
	here := *r.Model
	here.AtSite, here.Models = true, nil
	for _, m := range r.Model.Models {
		if t, ok := m.(ThermalTime); ok {
			m = t.starting(earlier)
		}
		here.Models = append(here.Models, m)
	}
	return &here
}
