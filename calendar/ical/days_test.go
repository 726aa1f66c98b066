package ical

import (
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/icslint"
	"treewhen/phenology/civil"
)

func TestFeedDays(t *testing.T) {
	window := civil.Span{First: civil.Of(2027, 3, 1), Last: civil.Of(2027, 3, 20)}
	long := &calendar.Entry{UID: "886313e1-3b8a-5372-9b90-0c9aee199e5d", Window: window, Best: civil.Of(2027, 3, 9),
		Reminders: []calendar.Reminder{{Before: 7, On: window.First, Minute: 420}}}
	short := &calendar.Entry{UID: "74738ff5-5367-5958-9aee-98fffdcd1876", Window: civil.Span{First: 5, Last: 5}, Best: 5}
	for _, tt := range []struct {
		days calendar.FeedDays
		want []civil.Span
	}{
		{"", []civil.Span{window, short.Window}},
		{calendar.FeedWindows, []civil.Span{window, short.Window}},
		{calendar.FeedBestDays, []civil.Span{{First: long.Best, Last: long.Best}, short.Window}},
		{calendar.FeedBoth, []civil.Span{window, {First: long.Best, Last: long.Best}, short.Window}},
	} {
		got := stand(tt.days, []*calendar.Entry{long, short})
		seen := map[string]bool{}
		for i, e := range got {
			if i >= len(tt.want) || e.Window != tt.want[i] || seen[e.UID] || !e.Window.Contains(e.Best) {
				t.Errorf("%q: entry %d is %+v", tt.days, i, e)
			}
			if best := e.Window.First == long.Best; e.only() != best || best && e.of != window {
				t.Errorf("%q: entry %d stands for %v", tt.days, i, e.of)
			}
			seen[e.UID] = true
		}
		if len(got) != len(tt.want) {
			t.Errorf("%q: %d entries, want %d", tt.days, len(got), len(tt.want))
		}
	}
	survey := *long
	survey.Activity = calendar.TwigSurvey
	if got := stand(calendar.FeedWindows, []*calendar.Entry{&survey}); len(got) != 1 || got[0].UID != survey.UID ||
		got[0].Window != (civil.Span{First: long.Best, Last: long.Best}) || got[0].of != window {
		t.Errorf("found a survey to stand on %+v, want its best day alone", got)
	}
	if long.Window != window || long.UID != "886313e1-3b8a-5372-9b90-0c9aee199e5d" {
		t.Error("the entry itself was changed")
	}
	for _, a := range append(calendar.Activities(), "") {
		if !icslint.IsColor(Color(a)) {
			t.Errorf("%q has color %q, which is no name of CSS (RFC 7986 section 5.9)", a, Color(a))
		}
	}
}
