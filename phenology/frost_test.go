package phenology_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"gonum.org/v1/gonum/stat/distuv"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// drawn makes a record whose minima are above 0 from the day after each year's last frost to autumn.
func frosts(last map[int]civil.Date, from, to civil.Date) weather.Series {
	s := weather.Series{First: from}
	for d := from; d <= to; d++ {
		min := -5.0
		if l, ok := last[d.Year()]; ok && d > l && d.YearDay() < 280 {
			min = 6
		}
		s.Put(d, weather.Day{Min: min, Max: min + 10})
	}
	return s
}

func TestLastFrostOfAKnownRecord(t *testing.T) {
	site := phenology.Site{ID: "x", Latitude: 44, Longitude: -72, Elevation: 300}
	days := []int{120, 128, 131, 118, 140, 125, 122, 133, 127, 136} // of the year
	last := map[int]civil.Date{}
	for i, d := range days {
		last[2001+i] = civil.Of(2001+i, time.January, 1) + civil.Date(d-1)
	}
	temps := phenology.NewTemperatures(site, frosts(last, civil.Of(2001, 1, 1), civil.Of(2010, 12, 31)))
	got, free := temps.LastFrosts()
	if len(got) != len(days) || free != 0 {
		t.Fatalf("%v last frosts, %d years without, want %v", got, free, days)
	}
	for i := range days {
		if got[i] != float64(days[i]) {
			t.Errorf("%d: last frost on day %v, want %d", 2001+i, got[i], days[i])
		}
	}
	f, err := temps.LastFrost()
	if err != nil {
		t.Fatal(err)
	}
	// Against another library's normal distribution, fitted by hand: mean 128.0, sum of squares 452, over 9.
	norm := distuv.Normal{Mu: 128.0, Sigma: math.Sqrt(452. / 9)}
	if math.Abs(f.Mean-norm.Mu) > 1e-9 || math.Abs(f.SD-norm.Sigma) > 1e-9 {
		t.Errorf("mean %v, standard deviation %v, want %v, %v", f.Mean, f.SD, norm.Mu, norm.Sigma)
	}
	for _, risk := range []float64{0.5, 0.25, 0.1, 0.05} {
		day := f.Day(risk)
		if want := phenology.SeasonDay(math.Ceil(norm.Quantile(1-risk) - 0.5)); day != want {
			t.Errorf("risk %v: day %d, want %d", risk, day, want)
		}
		if p := f.After(float64(day)); p > risk+1e-6 || f.After(float64(day-1)) <= risk {
			t.Errorf("risk %v: after day %d it is %v, after the day before %v", risk, day, p, f.After(float64(day-1)))
		}
	}
}

func TestLastFrostNeedsSprings(t *testing.T) {
	site := phenology.Site{ID: "x", Latitude: 44, Longitude: -72}
	last := map[int]civil.Date{}
	for y := 2001; y <= 2009; y++ {
		last[y] = civil.Of(y, time.May, 1)
	}
	_, err := phenology.NewTemperatures(site, frosts(last, civil.Of(2001, 1, 1), civil.Of(2009, 12, 31))).LastFrost()
	if err == nil || !strings.Contains(err.Error(), "9 whole springs; 10 are needed") {
		t.Errorf("nine springs: %v", err)
	}
	// Where it never freezes there is no last frost to sow by.
	warm := weather.Series{First: civil.Of(2001, 1, 1)}
	for d := warm.First; d.Year() < 2015; d++ {
		warm.Put(d, weather.Day{Min: 8, Max: 20})
	}
	if _, err := phenology.NewTemperatures(site, warm).LastFrost(); err == nil ||
		!strings.Contains(err.Error(), "14 of 14 springs had no frost") {
		t.Errorf("no frost at all: %v", err)
	}
}

// In the south the last frost falls in the second half of the calendar year.
func TestLastFrostInTheSouth(t *testing.T) {
	site := phenology.Site{ID: "x", Latitude: -43, Longitude: 172}
	s := weather.Series{First: civil.Of(2000, 1, 1)}
	for d := s.First; d.Year() < 2013; d++ {
		min := 8.0
		if y := d.YearDay(); y > 120 && y <= 283 { // last frost on 10 October in common years
			min = -2
		}
		s.Put(d, weather.Day{Min: min, Max: min + 10})
	}
	f, err := phenology.NewTemperatures(site, s).LastFrost()
	if err != nil {
		t.Fatal(err)
	}
	on := phenology.Season{Year: 2011, Southern: true}.Nearest(f.Mean)
	if on != civil.Of(2011, time.October, 10) && on != civil.Of(2011, time.October, 9) {
		t.Errorf("last frost on %s, want 10 October", on)
	}
}

// The normal distribution against what was observed: at each risk, the share of springs with a later frost. Harvard
// Forest Data Archive HF000, daily minima of the manual station, 1980 to 2002; last frosts found here by reading the
// file anew.
func TestLastFrostAgainstHarvardForest(t *testing.T) {
	f, err := os.Open("../../shared/data/harvard-forest/shaler-daily-1980-2002.csv")
	if err != nil {
		t.Skipf("the open data are not beside the project: %v", err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	col := map[string]int{}
	for i, name := range rows[0] {
		col[name] = i
	}
	var series weather.Series
	last, seen := map[int]int{}, map[int]int{}
	for _, row := range rows[1:] {
		d, err := civil.Parse(row[col["date"]])
		if err != nil {
			t.Fatal(err)
		}
		min, errMin := strconv.ParseFloat(row[col["airtmin"]], 64)
		max, errMax := strconv.ParseFloat(row[col["airtmax"]], 64)
		if errMin != nil || errMax != nil {
			continue
		}
		series.Put(d, weather.Day{Min: min, Max: max})
		if day := d.YearDay(); day <= 196 {
			seen[d.Year()]++
			if min <= 0 {
				last[d.Year()] = day
			}
		}
	}
	site := phenology.Site{ID: "petersham", Latitude: 42.53, Longitude: -72.19, Elevation: 340}
	fit, err := phenology.NewTemperatures(site, series).LastFrost()
	if err != nil {
		t.Fatal(err)
	}
	var whole []int
	for year, n := range seen {
		if n >= 180 {
			whole = append(whole, last[year])
		}
	}
	if fit.Years < len(whole)-1 || fit.Years > len(seen) {
		t.Errorf("%d springs went in, of %d whole ones", fit.Years, len(whole))
	}
	for _, risk := range []float64{0.5, 0.25, 0.1} {
		day, later := fit.Day(risk), 0
		for _, d := range whole {
			if d > int(day) {
				later++
			}
		}
		share := float64(later) / float64(len(whole))
		// Two standard errors of a share of so few springs.
		if tol := 2 * math.Sqrt(risk*(1-risk)/float64(len(whole))); math.Abs(share-risk) > tol {
			t.Errorf("risk %v: after day %d a frost came in %d of %d springs, want within %.2f of it", risk, day, later,
				len(whole), tol)
		}
		t.Logf("risk %v: day %d, a later frost in %d of %d springs", risk, day, later, len(whole))
	}
}
