package phenology

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// The default is a choice; what can be checked is that it lies where the published rates lie.
func TestDefaultLapseRateLiesAmongPublishedOnes(t *testing.T) {
	north := DefaultLapseRate(false)
	// Minder and others (2010): maxima in spring 6.5 to 7.5. Bolstad and others (1998): maxima 7.
	for _, month := range []time.Month{time.March, time.April, time.May} {
		wantNear(t, "maxima in "+month.String(), north.Max[month-1], 7, 0.5)
	}
	var mean float64
	for i := range 12 {
		mean += (north.Min[i] + north.Max[i]) / 24
		// Bolstad and others (1998): minima 3; Minder and others (2010): 2.5 to 3.5 in late summer, when they are
		// least; the standard atmosphere 6.5.
		if m := north.Min[i]; m < 2.5 || m > 6.5 {
			t.Errorf("minima in %v: %v", time.Month(i+1), m)
		}
	}
	// Minder and others (2010): annual means 3.9 to 5.2; the standard atmosphere 6.5.
	if mean < 3.9 || mean > 6.5 {
		t.Errorf("mean of the year %v", mean)
	}
	if north.Max[time.January-1] >= north.Max[time.July-1] {
		t.Errorf("maxima fall off as fast in January as in July: %v", north.Max)
	}

	south := DefaultLapseRate(true)
	for i := range 12 {
		if south.Max[i] != north.Max[(i+6)%12] || south.Min[i] != north.Min[(i+6)%12] {
			t.Errorf("%v in the south is not %v in the north", time.Month(i+1), time.Month((i+6)%12+1))
		}
	}
}

func TestAdjustRows(t *testing.T) {
	n := math.NaN()
	bolstad := LapseRate{} // 7 for maxima and 3 for minima all year, as in the southern Appalachians
	for i := range 12 {
		bolstad.Min[i], bolstad.Max[i] = 3, 7
	}
	for _, row := range []struct {
		name   string
		rate   LapseRate
		day    weather.Day
		month  time.Month
		metres float64
		want   weather.Day
	}{
		// Bolstad and others (1998) print daily ranges of 14 degrees at 700 m and 7 at 1440 m. Their monthly rates, 4
		// degrees per km apart, take 3 of the 7; ranges also depend on where on the slope a station stands.
		{"740 m up", bolstad, weather.Day{Min: 0, Max: 14}, time.May, 740,
			weather.Day{Min: -2.22, Max: 8.82, Flags: weather.Adjusted}},
		{"the default, 300 m up in spring", DefaultLapseRate(false), weather.Day{Min: -4, Max: 8}, time.March, 300,
			weather.Day{Min: -5.2, Max: 5.9, Flags: weather.Adjusted}},
		{"the default, 300 m up in winter", DefaultLapseRate(false), weather.Day{Min: -4, Max: 8}, time.December, 300,
			weather.Day{Min: -5.2, Max: 6.2, Flags: weather.Adjusted}},
		{"down", DefaultLapseRate(false), weather.Day{Min: -4, Max: 8, Flags: weather.Estimated}, time.July, -500,
			weather.Day{Min: -2, Max: 11.5, Flags: weather.Estimated | weather.Adjusted}},
		{"not moved", bolstad, weather.Day{Min: -4, Max: 8}, time.July, 0, weather.Day{Min: -4, Max: 8}},
		{"missing", bolstad, weather.Missing, time.July, 200, weather.Missing},
		{"half missing", bolstad, weather.Day{Min: n, Max: 8}, time.July, 1000,
			weather.Day{Min: n, Max: 1, Flags: weather.Adjusted}},
		{"a small range keeps its mean", bolstad, weather.Day{Min: 5, Max: 7}, time.July, 1000,
			weather.Day{Min: 1, Max: 1, Flags: weather.Adjusted}},
		{"a reversed day stays reversed", bolstad, weather.Day{Min: 7, Max: 5}, time.July, 100,
			weather.Day{Min: 6.7, Max: 4.3, Flags: weather.Adjusted}},
	} {
		got := row.rate.Adjust(row.day, row.month, row.metres)
		same := func(a, b float64) bool { return math.IsNaN(a) && math.IsNaN(b) || math.Abs(a-b) < 1e-9 }
		if !same(got.Min, row.want.Min) || !same(got.Max, row.want.Max) || got.Flags != row.want.Flags {
			t.Errorf("%s: %+v, want %+v", row.name, got, row.want)
		}
	}
}

func TestAdjustProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tmin, tmax := drawDay(t)
		month := time.Month(rapid.IntRange(1, 12).Draw(t, "month"))
		metres := rapid.Float64Range(-2000, 2000).Draw(t, "metres")
		rate := DefaultLapseRate(rapid.Bool().Draw(t, "southern"))
		got := rate.Adjust(weather.Day{Min: tmin, Max: tmax}, month, metres)
		if got.Min > got.Max {
			t.Errorf("%v to %v, %v m up: minimum %v above maximum %v", tmin, tmax, metres, got.Min, got.Max)
		}
		wantNear(t, "mean", got.Mean(), (tmin+tmax)/2-(rate.Min[month-1]+rate.Max[month-1])/2*metres/1000, 1e-9)
	})
}

// yearOfRates is an invented year of lapse rates with one wave.
func yearOfRates(mean, swing float64, warmest int) (rates [12]float64) {
	for i := range rates {
		rates[i] = mean + swing*math.Cos(2*math.Pi*float64(i-warmest)/12)
	}
	return rates
}

// twoStations invents two years of days at 200 m and at 650 m: a year's wave with weather on it, the lapse rates given,
// a spread of their own between the stations, and every tenth night an inversion of 9 degrees.
func twoStations(minima, maxima [12]float64) (low, high weather.Series) {
	r := rand.New(rand.NewPCG(1, 2))
	for d := civil.Of(2022, 1, 1); d < civil.Of(2024, 1, 1); d++ {
		mean := 7 - 14*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365) + 4*r.NormFloat64()
		day := weather.Day{Min: mean - 6, Max: mean + 6}
		month := d.Month() - 1
		above := weather.Day{
			Min: day.Min - minima[month]*0.45 + 0.5*r.NormFloat64(),
			Max: day.Max - maxima[month]*0.45 + 0.5*r.NormFloat64(),
		}
		if d%10 == 0 {
			above.Min += 9
		}
		low.Put(d, day)
		high.Put(d, above)
	}
	return low, high
}

func TestLapseFromStationsFindsWhatWasPutIn(t *testing.T) {
	minima, maxima := yearOfRates(3.5, 1.2, 3), yearOfRates(6.8, -0.7, 0)
	low, high := twoStations(minima, maxima)
	rate, n, err := LapseFromStations(low, high, 200, 650)
	if err != nil {
		t.Fatal(err)
	}
	if n != 730 {
		t.Errorf("%d days, want 730", n)
	}
	for i := range 12 {
		// A month's median of 60 differences with a spread of 0.5 / 0.45 = 1.1 degrees per km is known to 1.25 x 1.1 /
		// sqrt(60) = 0.18, and the harmonic, three figures from twelve, halves that. Six warm nights in sixty move the
		// median by at most 0.14 of the spread's 1.1. The mean would be 2 degrees per km out.
		wantNear(t, "minima in "+time.Month(i+1).String(), rate.Min[i], minima[i], 3*0.09+0.15)
		wantNear(t, "maxima in "+time.Month(i+1).String(), rate.Max[i], maxima[i], 3*0.09)
	}
	if rate.Source.Mark != MarkFitted || !strings.Contains(rate.Source.Citation, "450 m") {
		t.Errorf("source %+v", rate.Source)
	}

	// There and back: the low station moved up is the high one, but for noise and inversions.
	var sum float64
	for i, day := range low.Days {
		d := low.First + civil.Date(i)
		sum += rate.Adjust(day, d.Month(), 450).Max - high.At(d).Max
	}
	wantNear(t, "mean error of moved maxima", sum/730, 0, 0.1)
}

func TestLapseFromStationsLeavesOutWhatNobodyObserved(t *testing.T) {
	minima, maxima := yearOfRates(4, 0, 0), yearOfRates(7, 0, 0)
	low, high := twoStations(minima, maxima)
	clean, _, err := LapseFromStations(low, high, 200, 650)
	if err != nil {
		t.Fatal(err)
	}
	// A third, nonsensical year that its flags or its holes keep out.
	flags := []weather.Flags{weather.Estimated, weather.Suspect, weather.Interpolated, weather.Filled, weather.Adjusted,
		weather.Forecast, weather.Synthetic, weather.Shifted | weather.Suspect}
	for d := civil.Of(2024, 1, 1); d < civil.Of(2025, 1, 1); d++ {
		low.Put(d, weather.Day{Min: 10, Max: 20})
		switch i := int(d) % (len(flags) + 1); i {
		case len(flags):
			high.Put(d, weather.Day{Min: math.NaN(), Max: -40})
		default:
			high.Put(d, weather.Day{Min: -50, Max: -40, Flags: flags[i]})
		}
	}
	rate, n, err := LapseFromStations(low, high, 200, 650)
	if err != nil {
		t.Fatal(err)
	}
	if n != 730 || rate.Min != clean.Min || rate.Max != clean.Max {
		t.Errorf("%d days, %+v; want 730, %+v", n, rate, clean)
	}
	// A value moved to its right date was still read off a thermometer.
	for i := range low.Days[:730] {
		low.Days[i].Flags |= weather.Shifted
	}
	if _, n, err := LapseFromStations(low, high, 200, 650); err != nil || n != 730 {
		t.Errorf("shifted days: %d, %v; want 730", n, err)
	}
}

func TestLapseFromStationsRefuses(t *testing.T) {
	low, high := twoStations(yearOfRates(4, 0, 0), yearOfRates(7, 0, 0))
	offset := weather.Series{First: high.First}
	for _, day := range high.Days {
		offset.Days = append(offset.Days, weather.Day{Min: day.Min, Max: day.Max - 4})
	}
	for _, row := range []struct {
		name       string
		low, high  weather.Series
		elevations [2]float64
		want       string
	}{
		{"too little height", low, high, [2]float64{200, 299},
			"at 200 m and 299 m, want the second at least 100 m above"},
		{"the wrong way round", high, low, [2]float64{650, 200}, "at 650 m and 200 m"},
		{"height not known", low, high, [2]float64{math.NaN(), 650}, "want the second at least 100 m above"},
		{"too few days", low.Until(civil.Of(2022, 11, 15)), high, [2]float64{200, 650},
			"(November 15, December 0), want at least 20 in every month"},
		{"no day in common", low.Until(civil.Of(2021, 1, 1)), high, [2]float64{200, 650}, "January 0"},
		{"no days at all", weather.Series{}, weather.Series{}, [2]float64{200, 650}, "January 0"},
		{"more than height", low, offset, [2]float64{200, 650}, "for the maxima of"},
	} {
		rate, _, err := LapseFromStations(row.low, row.high, row.elevations[0], row.elevations[1])
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: error %q, want it to say %q", row.name, fmt.Sprint(err), row.want)
		}
		if rate != (LapseRate{}) {
			t.Errorf("%s: refused, and yet %+v", row.name, rate)
		}
	}
}

func TestSmoothYearKeepsOneWave(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean, swing := rapid.Float64Range(-9, 9).Draw(t, "mean"), rapid.Float64Range(0, 5).Draw(t, "swing")
		wave := yearOfRates(mean, swing, rapid.IntRange(0, 11).Draw(t, "month"))
		noisy := wave
		harmonic := rapid.IntRange(2, 6).Draw(t, "harmonic")
		for i := range noisy {
			noisy[i] += 2 * math.Cos(2*math.Pi*float64(harmonic*i)/12)
		}
		for i, got := range smoothYear(noisy) {
			wantNear(t, "smoothed", got, wave[i], 1e-9)
		}
	})
}
