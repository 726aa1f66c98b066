package tapping

import (
	"math"
	"testing"

	"treewhen/phenology"
)

// Hills west and east of Montreal, by the airport's record moved up to them: what a producer does whose station lies
// in the valley. Houle D and others 2015, PLoS ONE 10(12):e0144844, table 1, 1999 to 2011: Laurentides, start day 73,
// end 110; Estrie, start day 73, end 108. The regions' middle elevations are round figures of our own.
func TestHillsOfQuebec(t *testing.T) {
	record := openRecord(t, montrealFiles)
	sp := species(t, "sugar maple")
	for _, region := range []struct {
		site       phenology.Site
		start, end float64 // published
	}{
		{phenology.Site{ID: "laurentides", Latitude: 45.9, Longitude: -74.2, Elevation: 200, Zone: montreal.Zone}, 73,
			110},
		{phenology.Site{ID: "estrie", Latitude: 45.5, Longitude: -71.7, Elevation: 300, Zone: montreal.Zone}, 73, 108},
	} {
		o := &phenology.Outlook{Site: region.site,
			Temps: phenology.NewTemperaturesFrom(region.site, record, montreal.Elevation,
				phenology.DefaultLapseRate(false))}
		var starts, ends []float64
		for year := 1999; year <= 2011; year++ {
			est := o.Estimate(sp, year)
			start, end := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
			starts, ends = append(starts, float64(start.P50().YearDay())), append(ends, float64(end.P50().YearDay()))
		}
		start, startSD := meanSD(starts)
		end, endSD := meanSD(ends)
		t.Logf("%s: start %.1f ± %.1f, published %.0f; end %.1f ± %.1f, published %.0f",
			region.site.ID, start, startSD, region.start, end, endSD, region.end)
		if math.Abs(start-region.start) > 5 || math.Abs(end-region.end) > 5 {
			t.Errorf("%s: days %.1f to %.1f, published %.0f to %.0f",
				region.site.ID, start, end, region.start, region.end)
		}
	}
}
