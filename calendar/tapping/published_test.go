package tapping

import (
	"testing"
	"time"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Dates of seasons in print lie inside what the tool says from the place alone, one year of ten to nine of ten. They
// are of single years and whole states, so that the place is the state's middle of tapping; dates that the profile
// itself rests on (Vermont's and Wisconsin's openings, Quebec's regions, Utah) prove nothing and are left out. Not
// inside, and why: Connecticut's 20 January and 25 April 2017 and New York's 5 January 2019 are the earliest and last
// of any producer, under vacuum, not a season's usual dates; Underhill's bud swell of 22 March 2012 came in a heat of
// 25 degrees that no place alone can tell.
func TestPublishedDatesFromPlaceAlone(t *testing.T) {
	for _, c := range []struct {
		what           string
		species        string
		phase          phenology.Phase
		lat, lon, elev float64
		month          time.Month
		day            int
	}{
		// USDA NASS release of 13 June 2012: openings.
		{"Connecticut opened 2012", "sugar maple", phenology.SapStart, 41.8, -72.8, 200, time.February, 9},
		{"Massachusetts opened 2012", "sugar maple", phenology.SapStart, 42.5, -72.7, 300, time.February, 19},
		{"New Hampshire opened 2012", "sugar maple", phenology.SapStart, 43.5, -71.8, 300, time.February, 24},
		{"Maine opened 2012", "sugar maple", phenology.SapStart, 44.8, -70.0, 200, time.February, 28},
		// Tapping customs: about 1 March in northern New England (Northern Woodlands), 11 to 22 February in
		// Connecticut (Farming Magazine).
		{"northern New England, by custom", "sugar maple", phenology.SapStart, 44.2, -72.0, 350, time.March, 1},
		{"Connecticut, by custom, early", "sugar maple", phenology.SapStart, 41.8, -72.8, 200, time.February, 11},
		{"Connecticut, by custom, late", "sugar maple", phenology.SapStart, 41.8, -72.8, 200, time.February, 22},
		// Ohio State University, 2021; Vermont's producers in 2019 and, after a heat, in Bennington County in 2021.
		{"Mansfield, Ohio, sap no longer worth it 2021",
			"sugar maple", phenology.SapEnd, 40.76, -82.52, 370, time.March, 21},
		{"Vermont, end of 2019", "sugar maple", phenology.SapEnd, 44.0, -72.7, 350, time.April, 14},
		{"Bennington County, first run 2021", "sugar maple", phenology.SapStart, 42.9, -73.1, 300, time.March, 1},
		{"Bennington County, last boil 2021", "sugar maple", phenology.SapEnd, 42.9, -73.1, 300, time.April, 2},
		// About 1 April in one northern operation (growers' account).
		{"birch in the northern states", "paper birch", phenology.SapStart, 42.5, -73, 300, time.April, 1},
	} {
		t.Run(c.what, func(t *testing.T) {
			site := phenology.Site{ID: "x", Latitude: c.lat, Longitude: c.lon, Elevation: c.elev, Zone: time.UTC}
			e := (&phenology.Outlook{Site: site}).Estimate(species(t, c.species), 2027).Get(c.phase)
			if !e.HasDate() {
				t.Fatal(e.Lack)
			}
			if d := civil.Of(2027, c.month, c.day); d < e.P10() || d > e.P90() {
				t.Errorf("published %s, the tool says %s to %s", phrase.ShortDate(d), phrase.ShortDate(e.P10()),
					phrase.ShortDate(e.P90()))
			}
		})
	}
}

// From the place alone, too, sap runs in the south before the north and below before above, in the range of sugar
// maple.
func TestOrderOfPlaces(t *testing.T) {
	sp := species(t, "sugar maple")
	at := func(lat, elev float64) (start, end civil.Date) {
		e := (&phenology.Outlook{Site: phenology.Site{ID: "x", Latitude: lat, Longitude: -74, Elevation: elev,
			Zone: time.UTC}}).Estimate(sp, 2027)
		return e.Get(phenology.SapStart).P50(), e.Get(phenology.SapEnd).P50()
	}
	for lat := 39.0; lat < 48; lat++ {
		a, b := at(lat, 300)
		c, d := at(lat+1, 300)
		if c <= a || d <= b {
			t.Errorf("at %g north %s to %s, at %g %s to %s", lat, a, b, lat+1, c, d)
		}
	}
	for elev := 0.0; elev < 800; elev += 200 {
		a, b := at(44, elev)
		c, d := at(44, elev+200)
		if c <= a || d <= b {
			t.Errorf("at %g m %s to %s, at %g m %s to %s", elev, a, b, elev+200, c, d)
		}
	}
}

// Sugar and black maple grow, are tapped and bud together, so that they have one season; red and silver maple bud
// before them (extension sheets). Every maple of the East has a season of its own wherever sugar maple has one, in
// order.
func TestMaplesFromPlaceAlone(t *testing.T) {
	for _, at := range []struct{ lat, lon, elev float64 }{{44, -72.7, 350}, {42.5, -72.2, 340}, {44.9, -89.6, 400},
		{41.3, -81.3, 350}} {
		o := &phenology.Outlook{Site: phenology.Site{ID: "x", Latitude: at.lat, Longitude: at.lon, Elevation: at.elev,
			Zone: time.UTC}}
		season := func(name string) (start, end phenology.Estimate) {
			e := o.Estimate(species(t, name), 2027)
			start, end = e.Get(phenology.SapStart), e.Get(phenology.SapEnd)
			if !start.HasDate() || !end.HasDate() || start.P50() >= end.P50() {
				t.Errorf("%s at %v: no season: %v", name, at, lackOf(start, end))
			}
			return start, end
		}
		start, end := season("sugar maple")
		a, b := season("black maple")
		if a.P50() != start.P50() || b.P50() != end.P50() {
			t.Errorf("at %v sugar maple runs from %s to %s, black maple from %s to %s",
				at, start.P50(), end.P50(), a.P50(), b.P50())
		}
		for _, name := range []string{"red maple", "silver maple"} {
			if _, before := season(name); before.P50() >= end.P50() {
				t.Errorf("at %v %s ends on %s, sugar maple on %s", at, name, before.P50(), end.P50())
			}
		}
		season("box elder")
		season("Norway maple")
	}
}
