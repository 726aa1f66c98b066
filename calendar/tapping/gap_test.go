package tapping

import (
	"fmt"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// A year that the record lacks ends with the old year, so that on New Year's Day neither yesterday nor the day before is
// known: what was forecast then is of no use, and what was known before serves.
func TestBacktestWithForecastAfterAGap(t *testing.T) {
	sp := species(t, "sugar maple")
	whole := calendartest.MadeSeries(civil.Of(2025, time.December, 31), 7, 0)
	for _, tt := range []struct {
		gap    civil.Span
		begins phenology.SeasonDay // of what is known on New Year's Day
	}{
		{civil.Span{First: civil.Of(2024, 1, 1), Last: civil.Of(2024, 12, 31)}, -366},
		{civil.Span{First: civil.Of(2024, 10, 15), Last: civil.Of(2024, 12, 31)}, -78},
		{civil.Span{First: civil.Of(2024, 12, 31), Last: civil.Of(2024, 12, 31)}, -1},
		{civil.Span{First: civil.Of(2024, 11, 1), Last: civil.Of(2024, 12, 30)}, 5},
	} {
		s := weather.Series{First: whole.First, Days: append([]weather.Day(nil), whole.Days...)}
		for d := tt.gap.First; d <= tt.gap.Last; d++ {
			s.Days[d-s.First] = weather.Missing
		}
		o, first := outlook(montreal, s), civil.Of(2025, 1, 1)
		// It is what the schedule of that morning would have seen.
		forecast := newForecastErrors(2025, 0, 200, 5).forecast(s, first, 1)
		live := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Until(first-1).Days...)}
		for _, d := range forecast {
			d.Flags |= weather.Forecast
			live.Days = append(live.Days, d)
		}
		got := o.SapYearsKnown(sp, 2025, FirstRunDay, first-1, forecast)
		want := outlook(montreal, live).SapYears(sp, 2025, FirstRunDay)
		if fmt.Sprint(got) != fmt.Sprint(want) || len(got) == 0 || got[0].Known != tt.begins {
			t.Errorf("without %s: %d ways, of the day itself %d; known to day %v, want %v",
				tt.gap, len(got), len(want), got, tt.begins)
		}
	}
	gone := weather.Series{First: whole.First, Days: append([]weather.Day(nil), whole.Days...)}
	for d := civil.Of(2024, 1, 1); d.Year() == 2024; d++ {
		gone.Days[d-gone.First] = weather.Missing
	}
	b, err := NewBacktest(outlook(montreal, gone), sp, calendar.DefaultOptions().Tapping,
		LookBack{Rule: civil.MonthDay{Month: 3, Day: 1}, Until: 2025, Forecast: 1})
	if err != nil || len(b.Years) != 2 || b.Years[1].Season != 2025 {
		t.Errorf("without 2024: %v, %+v; want the season of 2025 looked back on", err, b)
	}
}
