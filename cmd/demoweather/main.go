// Command demoweather makes the invented weather and sightings of the demonstration and of the worked cases in
// testdata/cases, the same every time.
//
//	go run ./cmd/demoweather .
package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: demoweather ROOT, the folder of the project")
		os.Exit(2)
	}
	for name, data := range Files() {
		if err := os.WriteFile(filepath.Join(os.Args[1], filepath.FromSlash(name)), data, 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "demoweather:", err)
			os.Exit(1)
		}
	}
}

// Files returns what is made, by its path from the project's root.
func Files() files {
	f := files{}
	f.demonstration()
	f.nursery()
	f.sugarbush()
	f.school()
	f.earlySpring()
	return f
}

// files are contents by their path from the project's root.
type files map[string][]byte

// demonstration makes the demonstration's files of temperatures and sightings.
func (f files) demonstration() {
	const folder = "cmd/treewhen/demo/"
	bush := climate{mean: 5.3, swing: 14.6, seed: 20270312}
	stands := climate{mean: 7.9, swing: 13.6, seed: 7}
	days := bush.days(civil.Of(2007, 1, 1), civil.Of(2027, 3, 22))
	asOf := civil.Of(2027, 3, 12)
	f[folder+"kettle-ridge.csv"] = inCelsius("Kettle Ridge, an invented place; invented weather", days.Until(asOf))
	f[folder+"kettle-ridge-forecast.csv"] = inCelsius("An invented forecast for Kettle Ridge, an invented place",
		weather.Series{First: asOf + 1, Days: days.Days[asOf+1-days.First:]})
	f[folder+"seen.csv"] = sightings(days, 2008, 2026)
	f[folder+"osier-bank.csv"] = inCelsius("Osier Bank, an invented place; invented weather",
		stands.days(civil.Of(2009, 1, 1), civil.Of(2026, 12, 31)))
}

// climate is an invented climate.
type climate struct {
	mean, swing float64 // of daily means over the year, degrees Celsius
	seed        uint64
}

// days draws a run of days: a yearly wave, the moods of months, and weather that lasts a few days.
func (c climate) days(first, last civil.Date) weather.Series {
	r := rand.New(rand.NewPCG(c.seed, 0))
	s := weather.Series{First: first}
	var spell, mood float64
	for d := first; d <= last; d++ {
		season := math.Cos(2 * math.Pi * float64(d.YearDay()-20) / 365.25) // 1 in late January
		spell = 0.68*spell + r.NormFloat64()*(2.9+0.9*season)
		mood = 0.98*mood + r.NormFloat64()*0.33
		mean := c.mean - c.swing*season + spell + mood
		half := max(1.2, 5.4-0.8*season+r.NormFloat64()*1.7)
		s.Put(d, weather.Day{Min: round(mean - half), Max: round(mean + half)})
	}
	return s
}

func round(x float64) float64 { return math.Round(x*10) / 10 }

func inCelsius(head string, s weather.Series) []byte {
	return plainFile(head+"\ndate,tmin_c,tmax_c", s, "%.1f,%.1f")
}

func inFahrenheit(head string, s weather.Series) []byte {
	f := weather.Series{First: s.First, Days: slices.Clone(s.Days)}
	for i, d := range s.Days {
		f.Days[i].Min, f.Days[i].Max = d.Min*1.8+32, d.Max*1.8+32
	}
	return plainFile(head+"\ndate,tmin_f,tmax_f", f, "%.0f,%.0f")
}

// plainFile is a file of temperatures under a comment and a header.
func plainFile(head string, s weather.Series, form string) []byte {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s\n", head)
	for i, d := range s.Days {
		fmt.Fprintf(&b, "%s,"+form+"\n", s.First+civil.Date(i), d.Min, d.Max)
	}
	return b.Bytes()
}
