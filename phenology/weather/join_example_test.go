package weather_test

import (
	"fmt"
	"math"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Two invented thermometers on one hill share the year 2021; the second, which has the older record, is two degrees
// colder at night.
func ExampleJoin() {
	day := func(d civil.Date, low float64) weather.Day {
		warmth := 8 - 13*math.Cos(2*math.Pi*float64(d.YearDay())/365)
		return weather.Day{Min: warmth - 5 + low, Max: warmth + 5}
	}
	var ridge, barn weather.Series
	for d := civil.Of(2021, time.January, 1); d.Year() < 2025; d++ {
		ridge.Put(d, day(d, 0))
	}
	for d := civil.Of(2015, time.January, 1); d.Year() < 2022; d++ {
		barn.Put(d, day(d, -2))
	}
	joined, reports := weather.Join([]weather.Source{{Name: "ridge.csv", Series: ridge}, {Name: "barn.csv", Series: barn}})
	for _, r := range reports {
		fmt.Printf("%s: %v\n", r.Name, r)
	}
	d := civil.Of(2018, time.May, 1)
	fmt.Printf("%v: barn.csv %.1f C, joined %.1f C, %v\n", d, barn.At(d).Min, joined.At(d).Min, joined.At(d).Flags)
	// Output:
	// ridge.csv: 1461 days from 2021-01-01 to 2024-12-31, as measured
	// barn.csv: 2192 days that the sources before it lack, from 2015-01-01 to 2021-12-31; its minima moved by +2.0 C (+2.0 to +2.0 by month) to the level of those, from 365 shared days, 2021-01-01 to 2021-12-31, that then differ by 0.0 C; its maxima agree with those, on 365 shared days
	// 2018-05-01: barn.csv 7.4 C, joined 9.4 C, adjusted
}

func ExampleCorrection() {
	order := weather.Correction{ShiftMax: -1, OffsetMin: 0.5}
	fmt.Println(order)
	s := weather.Series{First: civil.Of(2027, time.March, 1), Days: []weather.Day{{Min: -6, Max: 1}, {Min: -4, Max: 3}, {Min: -1, Max: 7}}}
	mended, _ := order.Apply(s)
	for i, d := range mended.Days {
		fmt.Println(mended.First+civil.Date(i), d.Min, d.Max, d.Flags)
	}
	// Output:
	// shift: {tmax: -1 day}, offset: {tmin: 0.5 C}
	// 2027-02-28 NaN 1 shifted
	// 2027-03-01 -5.5 3 adjusted, shifted
	// 2027-03-02 -3.5 7 adjusted, shifted
	// 2027-03-03 -0.5 NaN adjusted
}
