package phenology_test

import (
	"fmt"
	"math"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// From a place, its thermometer and a species to the day on which its buds break. The record here is invented, ten
// years and a spring under way; weather.Read reads a real one from a file.
func Example() {
	site := phenology.Site{ID: "hill", Name: "Invented hill", Latitude: 43.5, Longitude: -72.5, Elevation: 300}
	var record weather.Series
	for d := civil.Of(2016, 1, 1); d <= civil.Of(2026, 4, 10); d++ {
		mean := 7 - 14*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + 4*math.Sin(float64(d)/13)
		record.Put(d, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	maple, err := profiles.Builtin().Find("sugar maple")
	if err != nil {
		fmt.Println(err)
		return
	}
	outlook := &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, record)}
	e := outlook.Estimate(maple, 2026).Get(phenology.BudBreak)
	if !e.HasDate() {
		fmt.Println(e.Lack)
		return
	}
	fmt.Printf("%s, %s: about %s, from %s to %s in eight years of ten\n", maple.Name(), e.Phase, e.P50(), e.P10(),
		e.P90())
	fmt.Printf("rests on: %s, to %s, completed by %d past years\n", e.Basis, e.Observed, e.Years)
	// Output:
	// sugar maple, bud-break: about 2026-05-10, from 2026-05-01 to 2026-05-20 in eight years of ten
	// rests on: season, to 2026-04-10, completed by 10 past years
}
