package calendar_test

import (
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func TestDoubtsOfForecasts(t *testing.T) {
	asOf := civil.Of(2027, time.March, 10)
	for _, c := range []struct {
		name   string
		change func(*weather.Series)
		want   calendar.Flaw
	}{
		{"sound", func(*weather.Series) {}, ""},
		{"a gap", func(f *weather.Series) { f.Days[3] = weather.Missing }, calendar.Incomplete},
		{"three days old", func(f *weather.Series) { f.First -= 4 }, ""},
		{"old", func(f *weather.Series) { f.First -= 5 }, calendar.Old},
		{"over", func(f *weather.Series) { f.First -= 20 }, calendar.Ended},
		{"begins a day late", func(f *weather.Series) { f.First++ }, calendar.Bridged},
		{"a later day's", func(f *weather.Series) { f.First += 30 }, ""},
		{"contradicts the station", func(f *weather.Series) {
			f.First -= 2
			for i := range f.Days {
				f.Days[i].Min, f.Days[i].Max = f.Days[i].Min*1.8+32, f.Days[i].Max*1.8+32
			}
		}, calendar.Contradicts},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
			f := calendartest.WithForecast(p, 8)
			c.change(&f)
			p.Places[0].Forecasts = []weather.Series{f}
			if series := p.Places[0].Outlook.Temps.Series(); c.want == calendar.Bridged {
				if len(p.Places[0].Doubts(asOf)) > 0 { // an earlier forecast told of the day
					t.Error("found a doubt of a day that is known")
				}
				series.Days[asOf+1-series.First].Flags |= weather.Interpolated
			}
			got := p.Places[0].Doubts(asOf)
			found := slices.ContainsFunc(got, func(d calendar.Doubt) bool { return d.What == c.want })
			if found != (c.want != "") || c.want == "" && len(got) > 0 {
				t.Errorf("got %+v, want %q", got, c.want)
			}
			observed := p.Places[0].Outlook.Temps.Series().Until(asOf)
			leftOut := c.want == calendar.Old || c.want == calendar.Ended || c.want == calendar.Contradicts
			if f.First <= asOf+2 && calendar.ForecastOfUse(observed, f, asOf) == leftOut {
				t.Errorf("found it of use: %v, want %v", leftOut, !leftOut)
			}
			if c.want == calendar.Incomplete && got[0].Day != civil.Of(2027, time.March, 14) {
				t.Errorf("incomplete on %s, want 14 March", got[0].Day)
			}
			if c.want == calendar.Contradicts && !got[len(got)-1].Refused {
				t.Errorf("degrees Fahrenheit taken as Celsius are not refused: %+v", got)
			}
		})
	}
}

// An old file beside a new one, as a folder of dated ones has, is no doubt.
func TestAnOldForecastBesideANewOne(t *testing.T) {
	asOf := civil.Of(2027, time.March, 10)
	p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
	f := calendartest.WithForecast(p, 8)
	old := f
	old.First -= 6
	p.Places[0].Forecasts = []weather.Series{f, old}
	if got := p.Places[0].Doubts(asOf); len(got) > 0 {
		t.Errorf("found %+v, want none", got)
	}
}

// A forecast in the other unit, or for another climate, is left out; one that merely missed a front is not.
func TestForecastOfUse(t *testing.T) {
	observed := weather.Series{First: civil.Of(2027, time.March, 1),
		Days: []weather.Day{{Min: -8, Max: 2}, {Min: -12, Max: -1}, {Min: -3, Max: 6}}}
	for _, c := range []struct {
		name   string
		change func(float64) float64
		shift  civil.Date
		want   bool
	}{
		{"the same", func(x float64) float64 { return x }, 0, true},
		{"missed a front", func(x float64) float64 { return x + 7 }, 0, true},
		{"degrees Fahrenheit", func(x float64) float64 { return x*1.8 + 32 }, 0, false},
		{"degrees Fahrenheit, with no day in common", func(x float64) float64 { return x*1.8 + 32 }, 3, true},
		{"summer somewhere", func(x float64) float64 { return x + 25 }, 0, false},
	} {
		f := weather.Series{First: observed.First + c.shift}
		for _, d := range observed.Days {
			f.Days = append(f.Days, weather.Day{Min: c.change(d.Min), Max: c.change(d.Max)})
		}
		if got := calendar.ForecastOfUse(observed, f, f.Last()-1); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

// Observed days that ended three days ago are no doubt, four days ago they are, where some work follows the weather of
// the time; at a place south of the equator the seasons are half a year off.
func TestStaleRecords(t *testing.T) {
	north := phenology.Site{Latitude: 44, Longitude: -73, Zone: time.UTC}
	south := phenology.Site{Latitude: -44, Longitude: 170, Zone: time.UTC}
	seeds, sap := []calendar.Activity{calendar.SeedCollection}, []calendar.Activity{calendar.Tapping}
	for _, c := range []struct {
		site       phenology.Site
		asOf       civil.Date
		ended      civil.Date // days ago
		activities []calendar.Activity
		want       bool
	}{
		{north, civil.Of(2027, time.March, 12), 1, sap, false},
		{north, civil.Of(2027, time.March, 12), 3, sap, false},
		{north, civil.Of(2027, time.March, 12), 4, sap, true},
		{north, civil.Of(2027, time.March, 12), 4, seeds, false},
		{north, civil.Of(2027, time.June, 12), 4, sap, false},
		{north, civil.Of(2027, time.June, 12), 4, seeds, true},
		{north, civil.Of(2026, time.December, 20), 200, sap, false},
		{south, civil.Of(2027, time.December, 12), 40, seeds, true},
		{south, civil.Of(2027, time.July, 20), 40, seeds, false},
	} {
		s := calendartest.MadeSeries(c.asOf-c.ended, 3, 0)
		d, got := calendar.StaleAt(c.site, phenology.NewTemperatures(c.site, s), c.activities, c.asOf)
		if got != c.want || got && d.Observed.Or(0) != c.asOf-c.ended {
			t.Errorf("%s, ended %d days ago, %v: found %v %+v, want %v", c.asOf, c.ended, c.activities, got, d, c.want)
		}
		// Forecasts lead from a record that comes some days late, not from one that has ended.
		for day := c.asOf - c.ended + 1; day <= c.asOf+5; day++ {
			s.Put(day, weather.Day{Min: -3, Max: 4, Flags: weather.Forecast})
		}
		_, got = calendar.StaleAt(c.site, phenology.NewTemperatures(c.site, s), c.activities, c.asOf)
		if want := c.want && c.ended > phenology.MostBridged; got != want {
			t.Errorf("%s, ended %d days ago, then forecast: found %v, want %v", c.asOf, c.ended, got, want)
		}
	}
}
