package tapping

import (
	"slices"
	"testing"
	"time"

	"treewhen/calendar/calendartest"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func TestForecastDoubts(t *testing.T) {
	asOf := civil.Of(2027, time.March, 10)
	for _, c := range []struct {
		name   string
		change func(*weather.Series)
		want   Flaw
	}{
		{"sound", func(*weather.Series) {}, ""},
		{"a gap", func(f *weather.Series) { f.Days[3] = weather.Missing }, Incomplete},
		{"old", func(f *weather.Series) { f.First -= 5 }, Old},
		{"over", func(f *weather.Series) { f.First -= 20 }, Ended},
		{"begins late", func(f *weather.Series) { f.First++ }, BeginsLate},
		{"a later day's", func(f *weather.Series) { f.First += 30 }, ""},
		{"contradicts the station", func(f *weather.Series) {
			f.First -= 2
			for i := range f.Days {
				f.Days[i].Min, f.Days[i].Max = f.Days[i].Min*1.8+32, f.Days[i].Max*1.8+32
			}
		}, Contradicts},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
			f := calendartest.WithForecast(p, 8)
			c.change(&f)
			p.Places[0].Forecasts = []weather.Series{f}
			got := forecastDoubts(p.Places[0], asOf)
			found := slices.ContainsFunc(got, func(d Doubt) bool { return d.What == c.want })
			if found != (c.want != "") || c.want == "" && len(got) > 0 {
				t.Errorf("got %+v, want %q", got, c.want)
			}
			if f := tapOf(t, schedule(p), 2027).Facts.(*TapFacts); !slices.Equal(f.Doubts, got) {
				t.Errorf("the entry has %+v, want %+v", f.Doubts, got)
			}
			if c.want == Incomplete && got[0].Day != civil.Of(2027, time.March, 14) {
				t.Errorf("incomplete on %s, want 14 March", got[0].Day)
			}
			if c.want == Contradicts && !got[len(got)-1].Refused {
				t.Errorf("degrees Fahrenheit taken as Celsius are not refused: %+v", got)
			}
		})
	}
}

// A forecast in the other unit, or for another climate, is left out; one that merely missed a front is not.
func TestForecastContradicts(t *testing.T) {
	observed := weather.Series{First: civil.Of(2027, time.March, 1),
		Days: []weather.Day{{Min: -8, Max: 2}, {Min: -12, Max: -1}, {Min: -3, Max: 6}}}
	for _, c := range []struct {
		name   string
		change func(float64) float64
		shift  civil.Date
		want   bool
	}{
		{"the same", func(x float64) float64 { return x }, 0, false},
		{"missed a front", func(x float64) float64 { return x + 7 }, 0, false},
		{"degrees Fahrenheit", func(x float64) float64 { return x*1.8 + 32 }, 0, true},
		{"degrees Fahrenheit, with no day in common", func(x float64) float64 { return x*1.8 + 32 }, 3, false},
		{"summer somewhere", func(x float64) float64 { return x + 25 }, 0, true},
	} {
		f := weather.Series{First: observed.First + c.shift}
		for _, d := range observed.Days {
			f.Days = append(f.Days, weather.Day{Min: c.change(d.Min), Max: c.change(d.Max)})
		}
		if got := ForecastContradicts(observed, f); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}
