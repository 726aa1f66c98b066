package weather

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// inventedWeather returns years of weather of an invented continental place as a flawless thermometer would record it,
// in tenths. The departures from the year's wave are one first-order autoregression sampled at dawn and in the
// afternoon, so that a maximum is nearer to the next morning's minimum than to the last one's, as in nature; clouds add
// what minimum and maximum do not share.
func inventedWeather(seed uint64, first civil.Date, years int) Series {
	r := rand.New(rand.NewPCG(seed, 11))
	s := Series{First: first, Days: make([]Day, first.AddYears(years)-first)}
	x := 0.0
	step := func() float64 {
		const keep = 0.78
		x = keep*x + math.Sqrt(1-keep*keep)*r.NormFloat64()
		return x
	}
	tenths := func(v float64) float64 { return math.Round(v*10) / 10 }
	for i := range s.Days {
		wave := math.Cos(2 * math.Pi * float64(yearDay(first+civil.Date(i))-20) / 365)
		mean, sd := 7-14*wave, 4.2+0.8*wave
		low := mean - 5 + sd*step() + 1.5*r.NormFloat64()
		high := mean + 5 + sd*step() + 1.5*r.NormFloat64()
		s.Days[i] = Day{Min: tenths(min(low, high-0.5)), Max: tenths(high)}
	}
	return s
}

// neighbour returns what a thermometer some way off would have shown: s moved by the offsets of minima and maxima, with
// noise of its own.
func neighbour(seed uint64, s Series, low, high float64) Series {
	r := rand.New(rand.NewPCG(seed, 12))
	out := Series{First: s.First, Days: append([]Day(nil), s.Days...)}
	for i := range out.Days {
		d := &out.Days[i]
		d.Min, d.Max = d.Min+low+1.2*r.NormFloat64(), d.Max+high+0.8*r.NormFloat64()
		d.Min = min(d.Min, d.Max)
	}
	return out
}

// cut returns a copy of the days of s that are in the span.
func cut(s Series, first, last string) Series {
	c := clip(s, s.Span().Intersect(civil.Span{First: date(first), Last: date(last)}))
	return Series{First: c.First, Days: append([]Day(nil), c.Days...)}
}

var firstOf1990 = civil.Of(1990, time.January, 1)

// shared reads a file of the open data.
func shared(t testing.TB, name string) *Record {
	t.Helper()
	r, err := Read(openShared(t, name), filepath.Base(name), Options{Unit: Celsius})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// harvard returns the automatic and the manual station of Harvard Forest (Harvard Forest Data Archive, HF001 and HF000).
func harvard(t testing.TB) (fisher, shaler Source) {
	t.Helper()
	a, m := shared(t, "harvard-forest/fisher-daily-2001-2013.csv"), shared(t, "harvard-forest/shaler-daily-1980-2002.csv")
	return Source{Name: "fisher.csv", Series: a.Series}, Source{Name: "shaler.csv", Series: m.Series}
}

// montreal returns Montreal Trudeau 1995-2013 (Environment and Climate Change Canada), file by file.
func montreal(t testing.TB) []Source {
	t.Helper()
	openShared(t, "montreal/en_climate_daily_QC_7025250_1995_P1D.csv") // skips where there is none
	names, err := filepath.Glob("../../../shared/data/montreal/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	var sources []Source
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		r, err := Read(f, filepath.Base(name), Options{})
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		sources = append(sources, Source{Name: r.Name, Series: r.Series})
	}
	if len(sources) < 19 {
		t.Fatalf("found %d files", len(sources))
	}
	return sources
}

func mergeAll(sources []Source) Series {
	var parts []Series
	for _, s := range sources {
		parts = append(parts, s.Series)
	}
	return Merge(parts...)
}
