package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// marchOf2012 is the shape of a spring such as eastern North America had in 2012: mean and half range of a run of days,
// degrees Celsius. The figures are invented; that five days above 20 degrees came in the third week of March and hard
// frost after them is what was (Ault and others 2013, Eos 94:181-182, from memory).
var marchOf2012 = []struct {
	last       civil.Date // of these days; they begin after the ones before
	mean, half float64
}{
	{civil.Of(2012, time.March, 1), -4, 4}, // from 26 February on
	{civil.Of(2012, time.March, 3), 0, 5}, {civil.Of(2012, time.March, 6), -9, 5},
	{civil.Of(2012, time.March, 10), 1, 6}, {civil.Of(2012, time.March, 13), 6, 6},
	{civil.Of(2012, time.March, 16), 7, 6}, {civil.Of(2012, time.March, 19), 13, 8},
	{civil.Of(2012, time.March, 22), 17, 9}, {civil.Of(2012, time.March, 24), 9, 6},
	{civil.Of(2012, time.March, 25), 4, 4}, {civil.Of(2012, time.March, 28), -3, 5},
	{civil.Of(2012, time.April, 1), 1, 5}, {civil.Of(2012, time.April, 8), 4, 7},
	{civil.Of(2012, time.April, 13), 6, 6}, {civil.Of(2012, time.April, 17), 14, 9},
}

// earlySpring makes a producer's thermometer, twenty winters and the spring of 2012; what was forecast on each of its
// mornings; and the book of the two seasons before.
func (f files) earlySpring() {
	const place = "the sugarhouse at Lantern Gore, an invented place"
	house := climate{mean: 5.2, swing: 15.0, seed: 20120319}
	days := house.days(civil.Of(1992, time.January, 1), civil.Of(2012, time.April, 30))
	r := rand.New(rand.NewPCG(20120319, 1))
	day := civil.Of(2012, time.February, 26)
	for _, run := range marchOf2012 {
		for ; day <= run.last; day++ {
			mean, half := run.mean+r.NormFloat64(), run.half+0.5*r.NormFloat64()
			days.Put(day, weather.Day{Min: round(mean - half), Max: round(mean + half)})
		}
	}
	const folder = casesFolder + "early-spring/"
	f[folder+"sugarhouse.csv.gz"] = gzipped(inFahrenheit("The thermometer of "+place+"; invented weather",
		days.Until(civil.Of(2012, time.April, 20))))
	var b bytes.Buffer
	fmt.Fprintf(&b, "# Invented forecasts for %s, by the morning on which each was issued\n", place)
	for day := civil.Of(2012, time.February, 20); day <= civil.Of(2012, time.April, 10); day++ {
		foreseen := forecast(days, day, 2012)
		for i, d := range foreseen.Days[:7] {
			fmt.Fprintf(&b, "%s,%s,%.0f,%.0f\n", day, foreseen.First+civil.Date(i), d.Min*1.8+32, d.Max*1.8+32)
		}
	}
	f[folder+"forecasts.txt"] = b.Bytes()
	issued := civil.Of(2012, time.March, 12) // which the plan names, and the story puts others over
	f[folder+"forecast.csv"] = inFahrenheit(fmt.Sprintf("An invented forecast of %s for %s", issued, place),
		forecast(days, issued, 2012).Until(issued+7))
	f[folder+"sap.csv"] = bookOf(days, r)
}

// bookOf is a book of what 800 taps under vacuum gave in two seasons, gathered every other day: invented, by the hours
// of thaw after a freeze, less as holes age, and by luck.
func bookOf(days weather.Series, r *rand.Rand) []byte {
	rule := phenology.RunRule{Night: phenology.Threshold{Low: -1, High: 0}, Day: phenology.Threshold{Low: 2, High: 4}}
	var b bytes.Buffer
	b.WriteString("date,site,volume,unit,sugar,syrup,note\n")
	for _, year := range []int{2010, 2011} {
		first, sap := civil.Of(year, time.February, 27), 0.0
		season := weather.Series{First: first - 5, Days: days.Until(first + 50).Days[first-5-days.First:]}
		runs := rule.Likelihoods(season)
		for i, run := range runs[5:] {
			left := math.Exp(-math.Pow(float64(i)/70, 2) + 0.4*r.NormFloat64())
			sap += 800 * 1.1 * min(run.Likelihood, run.Hours/phenology.WholeThaw) * left
			if i%2 == 1 && sap > 60 {
				fmt.Fprintf(&b, "%s,home-bush,%.0f,gallons,%.1f,%.1f,\n", first+civil.Date(i+1), sap, 2.1, sap/42)
				sap = 0
			}
		}
	}
	return b.Bytes()
}
