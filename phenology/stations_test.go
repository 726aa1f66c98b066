package phenology

import (
	"math"
	"strings"
	"testing"
	"time"

	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// record is an invented record, by so many degrees warmer than the usual one.
func record(name string, first, last civil.Date, low, high float64) *weather.Record {
	s := weather.Series{First: first}
	for d := first; d <= last; d++ {
		mean := 7 - 13*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365.25) + 4*math.Sin(float64(d)*0.9)
		s.Put(d, weather.Day{Min: mean - 5 + low, Max: mean + 5 + high})
	}
	return &weather.Record{Name: name, Series: s}
}

func metres(m float64) *float64 { return &m }

var stationsUntil = civil.Of(2019, time.December, 31)

// An offset that the plan orders is the last word: what the overlap would have given is not added to it.
func TestOrderedOffsetIsTheLastWord(t *testing.T) {
	files := []StationFile{
		{Record: record("new", civil.Of(2015, 1, 1), stationsUntil, 0, 0)},
		{Record: record("old", civil.Of(2008, 1, 1), civil.Of(2016, 12, 31), -2, 0)},
	}
	span := func(j *JoinedStations) float64 {
		d := j.Series.At(civil.Of(2010, 4, 10))
		return d.Max - d.Min
	}
	if got := span(JoinStations(files, stationsUntil, false)); math.Abs(got-10) > 0.15 {
		t.Errorf("by the overlap: a range of %.2f degrees, want 10", got)
	}
	files[1].Correction.OffsetMin = 0.5
	j := JoinStations(files, stationsUntil, false)
	if got := span(j); math.Abs(got-11.5) > 0.11 { // 10 between them, 2 too cold, 0.5 put back
		t.Errorf("ordered: a range of %.2f degrees, want 11.5", got)
	}
	if r := j.Reports[1]; !r.Offset || r.Added != 7*365+2 || !strings.Contains(
		r.String(), "2557 days that the sources before it lack",
	) {
		t.Errorf("found report %+v: %s", r, r)
	}
}

// Stations at two heights tell the lapse rate themselves, here 5 degrees a kilometre for minima and 8 for maxima, and
// are joined at the height of the first.
func TestStationsAtTwoHeights(t *testing.T) {
	files := []StationFile{
		{Record: record("low", civil.Of(2010, 1, 1), stationsUntil, 0, 0), Elevation: metres(200)},
		{Record: record("high", civil.Of(2008, 1, 1), civil.Of(2014, 12, 31), -2, -3.2), Elevation: metres(600)},
	}
	j := JoinStations(files, stationsUntil, false)
	if math.Abs(j.Rate.Min[3]-5) > 0.01 || math.Abs(j.Rate.Max[3]-8) > 0.01 || *j.Elevation != 200 {
		t.Fatalf("found rates %.2f and %.2f at %g m, want 5 and 8 at 200 m", j.Rate.Min[3], j.Rate.Max[3], *j.Elevation)
	}
	if !strings.HasSuffix(j.Rate.Source.Citation, " (low and high)") || j.Reports[1].Climb != -400 {
		t.Errorf("found %q, and a climb of %g m", j.Rate.Source.Citation, j.Reports[1].Climb)
	}
	day := civil.Of(2009, 4, 10) // of the high station alone
	want := record("", day, day, 0, 0).Series.At(day)
	if got := j.Series.At(day); math.Abs(got.Min-want.Min) > 0.1 || math.Abs(got.Max-want.Max) > 0.1 {
		t.Errorf("found %.2f to %.2f on %s, want %.2f to %.2f", got.Min, got.Max, day, want.Min, want.Max)
	}
	site := Site{Latitude: 44, Longitude: -72, Elevation: 500, Zone: time.UTC}
	temps := j.Temperatures(site, nil, nil)
	if got := temps.Series().At(day); temps.climb != 300 || math.Abs(got.Min-(want.Min-1.5)) > 0.1 || math.Abs(got.Max-(want.Max-2.4)) > 0.1 {
		t.Errorf("300 m up: found %.2f to %.2f, a climb of %g", got.Min, got.Max, temps.climb)
	}
}

// A forecast goes on where the record ends, at the record's height, and leaves the series that sites share as it was.
func TestForecastContinuesTheRecord(t *testing.T) {
	last := civil.Of(2019, 4, 1)
	j := JoinStations(
		[]StationFile{{Record: record("here", civil.Of(2010, 1, 1), last, 0, 0), Elevation: metres(200)}}, last, false,
	)
	site := Site{Latitude: 44, Longitude: -72, Elevation: 500, Zone: time.UTC}
	ahead := record("ahead", last-3, last+10, -1.2, -2.1) // 300 m above, by the default rates of April
	f := j.Forecast(site, StationFile{Record: ahead, Elevation: metres(500)}, nil)
	temps := j.Temperatures(site, []weather.Series{f}, nil)
	if temps.Observed() != last || temps.Series().Last() != last+10 || j.Series.Last() != last {
		t.Fatalf(
			"observed to %s, the series to %s, the joined one to %s", temps.Observed(), temps.Series().Last(), j.Series.Last(),
		)
	}
	day := last + 5
	got, want := temps.Series().At(day), ahead.Series.At(day)
	if math.Abs(got.Min-want.Min) > 1e-9 || math.Abs(got.Max-want.Max) > 1e-9 || got.Flags&weather.Forecast == 0 {
		t.Errorf("found %+v, want the forecast's own %.2f to %.2f for a site at its height", got, want.Min, want.Max)
	}
	if JoinStations(nil, last, false).Temperatures(site, nil, nil) != nil {
		t.Error("no file gives temperatures")
	}
}

// A short gap before a forecast is bridged by days that nobody measured, and all that is told of the days behind it is
// less sure, the more so the longer the gap; a long one leaves the forecast out.
func TestForecastBehindAGap(t *testing.T) {
	last := civil.Of(2019, 3, 1)
	site := Site{Latitude: 44, Longitude: -72, Elevation: 200, Zone: time.UTC}
	rule := RunRule{Night: Threshold{Low: -1.1}, Day: Threshold{High: 4}}
	sure := 1.0
	for gap := civil.Date(0); gap <= MostBridged+1; gap++ {
		j := JoinStations([]StationFile{{Record: record("here", civil.Of(2010, 1, 1), last, 0, 0)}}, last, false)
		first := last + gap + 1
		var ahead weather.Series
		for d := first; d < first+7; d++ { // freezes and thaws, as sure as temperatures can make a run
			ahead.Put(d, weather.Day{Min: -5, Max: 7})
		}
		temps := j.Temperatures(site, []weather.Series{ahead}, nil)
		if gap > MostBridged {
			if temps.Last() != last {
				t.Errorf("a gap of %d days: found days to %s, want the forecast left out", gap, temps.Last())
			}
			continue
		}
		if temps.Observed() != last || temps.Last() != ahead.Last() {
			t.Fatalf("a gap of %d days: observed to %s, days to %s", gap, temps.Observed(), temps.Last())
		}
		for d := last + 1; d < first; d++ {
			day := temps.Series().At(d)
			if !day.Complete() || day.Flags&weather.Forecast == 0 || day.Flags&(weather.Interpolated|weather.Filled) == 0 {
				t.Errorf("a gap of %d days: found %+v on %s, want it filled, and no day that was measured", gap, day, d)
			}
		}
		run, ok := temps.Run(rule, first+3) // after three days of the forecast alone, so that no filled day counts
		if !ok || run.Likelihood >= sure || run.Likelihood < 0.5 {
			t.Errorf("a gap of %d days: found a likelihood of %.3f, want less than the %.3f of a shorter one", gap, run.Likelihood, sure)
		}
		sure = run.Likelihood
	}
	// What fills a gap is off by more than a forecast of the first days: see weather.Fill.
	filled, forecast := weather.Day{Flags: weather.Forecast | weather.Filled}, weather.Day{Flags: weather.Forecast}
	if doubtOf(filled, 1) <= doubtOf(forecast, 1) || doubtOf(filled, 12) != ForecastError(12) || doubtOf(weather.Day{}, 0) != 0 {
		t.Error("found a filled day as sure as a forecast one, or a measured one in doubt")
	}
}
