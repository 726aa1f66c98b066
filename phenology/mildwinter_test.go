package phenology_test

import (
	"math"
	"testing"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// Heat before sap has run in earnest takes no season away: whoever was told to tap is not told that winters are too mild.
func TestHeatBeforeTheFirstRunLeavesTheSeason(t *testing.T) {
	maple, err := profiles.Builtin().Find("sugar maple")
	if err != nil {
		t.Fatal(err)
	}
	site := phenology.Site{ID: "made", Latitude: 45.5, Longitude: -72, Elevation: 100}
	var record weather.Series
	for d := civil.Of(2000, 1, 1); d <= civil.Of(2026, 4, 25); d++ {
		mean := 5 - 16*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + 4*math.Sin(float64(d)/13)
		record.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	calm := &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, record)}
	usual := calm.Estimate(maple, 2020).Get(phenology.SapStart)
	first := civil.Of(2026, time.March, 1)
	for d := first; d <= record.Last(); d++ { // never a frost again
		record.Put(d, weather.Day{Min: 9, Max: 21})
	}
	for asOf := first - 30; asOf <= record.Last(); asOf += 3 {
		out := &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, record.Until(asOf))}
		start, end := out.Estimate(maple, 2026).Get(phenology.SapStart), out.Estimate(maple, 2026).Get(phenology.SapEnd)
		if !start.HasDate() || !end.HasDate() || end.P50() <= start.P50() {
			t.Fatalf("%v, usual start %v: found start %+v, end %+v", asOf, usual.P50(), start.Lack, end.Lack)
		}
	}
}
