// Command peers writes invented weather, and dates degree-day requirements in it with this project's packages, as
// peers.py does with numpy and pandas.
//
//	peers weather DIR
//	peers dates DIR OUT
package main

import (
	"bufio"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// A hundred sites of thirty years: 1,095,800 site-days.
const (
	sites     = 100
	firstYear = 1991
	lastYear  = 2020
	rounds    = 3 // the quickest is told: what else a machine does only adds
)

// What is asked of every season; peers.py has the same. The requirements lie off the twentieths of a degree-day that
// sums of averages of tenths fall on, so that no date hangs on the last bit of a sum.
var (
	bases        = []float64{0, 5}
	starts       = []phenology.SeasonDay{1, 60}
	requirements = []float64{50.01, 100.02, 200.01, 400.02, 800.01, 1600.02}
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "peers:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 2 && args[0] == "weather":
		return writeWeather(args[1])
	case len(args) == 3 && args[0] == "dates":
		return date(args[1], args[2])
	}
	return fmt.Errorf("found the arguments %q, want weather DIR or dates DIR OUT", args)
}

// writeWeather writes a plain file a site: a year's wave, spells of some days and noise, from warm sites to cold ones.
// Now and then a day is missing.
func writeWeather(dir string) error {
	for site := range sites {
		f, err := os.Create(filepath.Join(dir, name(site)))
		if err != nil {
			return err
		}
		w := bufio.NewWriter(f)
		fmt.Fprintf(w, "# Invented weather of an invented site, made from a seed.\ndate,tmin_c,tmax_c\n")
		r := rand.New(rand.NewPCG(uint64(site), 20))
		warmth, spell := 12-14*float64(site)/sites, 0.0
		for d := civil.Of(firstYear, 1, 1); d <= civil.Of(lastYear, 12, 31); d++ {
			spell = 0.7*spell + 3*r.NormFloat64()
			mean := warmth - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + spell
			half := 3 + 3*r.Float64()
			if r.IntN(4000) == 0 {
				fmt.Fprintf(w, "%s,NaN,NaN\n", d)
				continue
			}
			fmt.Fprintf(w, "%s,%.1f,%.1f\n", d, mean-half, mean+half)
		}
		if err := w.Flush(); err != nil {
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
	}
	return nil
}

func name(site int) string { return fmt.Sprintf("site-%03d.csv", site) }

// questions are all ways to date a season.
func questions() (list []phenology.Model) {
	for _, m := range []phenology.ForcingMethod{phenology.SineForcing, phenology.AverageForcing} {
		for _, base := range bases {
			for _, start := range starts {
				for _, need := range requirements {
					list = append(list, phenology.ThermalTime{Start: start, Base: base, Method: m, Requirement: need})
				}
			}
		}
	}
	return list
}

// date reads the weather, dates every question in every season, on one core and on all, and writes the dates.
func date(dir, out string) error {
	var answers [][]civil.Date
	for _, cores := range slices.Compact([]int{1, runtime.NumCPU()}) {
		runtime.GOMAXPROCS(cores)
		var reading, dating []time.Duration
		for range rounds {
			began := time.Now()
			records, err := read(dir)
			if err != nil {
				return err
			}
			reading = append(reading, time.Since(began))
			began = time.Now()
			answers = answer(records)
			dating = append(dating, time.Since(began))
		}
		what := "Go, one core"
		if cores > 1 {
			what = fmt.Sprintf("Go, %d cores", cores)
		}
		fmt.Printf("%-16s %8.3f s %8.3f s\n", what, slices.Min(reading).Seconds(), slices.Min(dating).Seconds())
	}
	return write(out, answers)
}

// each does something for every site, on as many cores as may be used.
func each(do func(site int)) {
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for site := range next {
				do(site)
			}
		})
	}
	for site := range sites {
		next <- site
	}
	close(next)
	wait.Wait()
}

func read(dir string) ([]*weather.Record, error) {
	records, errs := make([]*weather.Record, sites), make([]error, sites)
	each(func(site int) {
		f, err := os.Open(filepath.Join(dir, name(site)))
		if err != nil {
			errs[site] = err
			return
		}
		defer f.Close()
		records[site], errs[site] = weather.Read(f, name(site), weather.Options{})
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return records, nil
}

// none is the answer where a season's sum does not reach the requirement, or lacks a day before it does.
const none = math.MinInt32

// answer dates every question in every season of every site, in that order, the site outermost.
func answer(records []*weather.Record) [][]civil.Date {
	asked := questions()
	answers := make([][]civil.Date, sites)
	each(func(site int) {
		place := phenology.Site{Latitude: 45}
		temps := phenology.NewTemperatures(place, records[site].Series)
		answers[site] = make([]civil.Date, 0, (lastYear-firstYear+1)*len(asked))
		for year := firstYear; year <= lastYear; year++ {
			season := place.Season(year)
			for _, model := range asked {
				on := civil.Date(none)
				if day, ok := temps.DateBy(model, season); ok {
					on = season.Nearest(math.Ceil(day))
				}
				answers[site] = append(answers[site], on)
			}
		}
	})
	return answers
}

func write(out string, answers [][]civil.Date) error {
	f, err := os.Create(out)
	if err != nil {
		return err
	}
	w := bufio.NewWriter(f)
	fmt.Fprintln(w, "site,season,method,base,start,requirement,date")
	asked := questions()
	for site := range sites {
		for i, on := range answers[site] {
			q := asked[i%len(asked)].(phenology.ThermalTime)
			text := ""
			if on != none {
				text = on.String()
			}
			fmt.Fprintf(w, "%d,%d,%s,%g,%d,%g,%s\n", site, firstYear+i/len(asked), q.Method, q.Base, q.Start,
				q.Requirement, text)
		}
	}
	if err := w.Flush(); err != nil {
		return err
	}
	return f.Close()
}
