package tapping

import (
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// What the advice would have brought in past years, beside the mean best day of the years before and a rule of thumb:
// about 1 March in northern New England and, from memory, early to mid March in Quebec; 11 to 22 February is
// Connecticut's, and Harvard Forest lies between. The advice is better than both on average, and in no year worse than
// the worse of the two by more than a tenth, but where the row says so: without a forecast one warm day is taken for
// the beginning of more, and a warm January (2007 was the warmest) for a warm winter, which holes under vacuum last
// long enough to wager on. By how much it is better is often within what chance could bring: the log, as the command,
// says so.
func TestBacktestOnOpenRecords(t *testing.T) {
	fisher := func(t *testing.T) weather.Series { return openRecord(t, fisherFile) }
	both := func(t *testing.T) weather.Series {
		joined, _ := weather.Join([]weather.Source{
			{Name: "Fisher", Series: fisher(t)},
			{Name: "Shaler", Series: openRecord(t, "harvard-forest/shaler-daily-1980-2002.csv")}})
		return weather.Fill(joined)
	}
	quebec := func(t *testing.T) weather.Series { return openRecord(t, montrealFiles) }
	gains, ofBest := map[int][]float64{}, []float64{} // in points, by the days of forecast; and with one, of the best day's
	for _, c := range []struct {
		name       string
		site       phenology.Site
		record     func(*testing.T) weather.Series
		species    string
		collection calendar.Collection
		rule       civil.MonthDay
		forecast   int
		worst      float64 // the least share of the worse of the two that it catches in any year
	}{
		{"Montreal", montreal, quebec, "sugar maple", calendar.Gravity, civil.MonthDay{Month: time.March, Day: 1}, 0,
			0.9},
		{"Montreal, vacuum", montreal, quebec, "sugar maple", calendar.Vacuum,
			civil.MonthDay{Month: time.March, Day: 1}, 0, 0.9},
		{"Montreal, red maple", montreal, quebec, "red maple", calendar.Gravity,
			civil.MonthDay{Month: time.March, Day: 1}, 0, 0.8},
		{"Montreal, red maple, five days of forecast",
			montreal, quebec, "red maple", calendar.Gravity, civil.MonthDay{Month: time.March, Day: 1}, 5, 0.9},
		{"Harvard Forest", harvard, fisher, "sugar maple", calendar.Gravity, civil.MonthDay{Month: time.March, Day: 1},
			0, 0.9},
		{"Harvard Forest, vacuum", harvard, fisher, "sugar maple", calendar.Vacuum,
			civil.MonthDay{Month: time.March, Day: 1}, 0, 0.75},
		{"Harvard Forest, red maple", harvard, fisher, "red maple", calendar.Gravity,
			civil.MonthDay{Month: time.March, Day: 1}, 0, 0.9},
		{"Harvard Forest, both stations, five days of forecast",
			harvard, both, "sugar maple", calendar.Gravity, civil.MonthDay{Month: time.March, Day: 1}, 5, 0.9},
		{"Harvard Forest, both stations, vacuum, five days of forecast",
			harvard, both, "sugar maple", calendar.Vacuum, civil.MonthDay{Month: time.March, Day: 1}, 5, 0.75},
		{"Montreal, five days of forecast",
			montreal, quebec, "sugar maple", calendar.Gravity, civil.MonthDay{Month: time.March, Day: 1}, 5, 0.9},
		{"Montreal, vacuum, five days of forecast",
			montreal, quebec, "sugar maple", calendar.Vacuum, civil.MonthDay{Month: time.March, Day: 1}, 5, 0.9},
	} {
		t.Run(c.name, func(t *testing.T) {
			opt := calendar.DefaultOptions().Tapping
			opt.Collection = c.collection
			b, err := NewBacktest(outlook(c.site, c.record(t)), species(t, c.species), opt,
				LookBack{Rule: c.rule, Until: 2013, Forecast: c.forecast})
			if err != nil {
				t.Fatal(err)
			}
			m := b.Means
			t.Logf("advice %.1f %%, over the mean best day %.1f ± %.1f, over the rule of thumb %.1f ± %.1f; hindsight "+
				"%.1f %%, of which the advice is %.1f %%; worst %d, %.2f of the worse", 100*m.AdvisedCaught, 100*b.OverFixed.Mean,
				100*b.OverFixed.StandardError, 100*b.OverRule.Mean, 100*b.OverRule.StandardError, 100*m.HindsightCaught,
				100*b.OfBest.Advised, b.Worst.Season, b.Worst.AdvisedCaught/min(b.Worst.FixedCaught, b.Worst.ThumbCaught))
			gains[c.forecast] = append(gains[c.forecast], 100*b.OverFixed.Mean)
			if c.forecast > 0 {
				ofBest = append(ofBest, 100*b.OfBest.Advised)
			}
			t.Logf("last: %s, mean best %s", b.Years[len(b.Years)-1].Advised, b.Years[len(b.Years)-1].Fixed)
			if m.AdvisedCaught <= m.FixedCaught || m.AdvisedCaught <= m.ThumbCaught {
				t.Errorf("advice catches %.3f, the mean best day %.3f, the rule of thumb %.3f",
					m.AdvisedCaught, m.FixedCaught, m.ThumbCaught)
			}
			for _, y := range b.Years {
				if worse := min(y.FixedCaught, y.ThumbCaught); y.AdvisedCaught < c.worst*worse {
					t.Errorf("%d: advice catches %.3f, the worse of the two %.3f", y.Season, y.AdvisedCaught, worse)
				}
			}
		})
	}
	if len(ofBest) > 0 {
		methodSays(t, "at Montreal and at Harvard Forest %.1f to %.1f points of 100 over one fixed day", slices.Min(gains[0]),
			slices.Max(gains[0]))
		methodSays(t, "with forecasts of five days %.1f to %.1f points", slices.Min(gains[5]), slices.Max(gains[5]))
		methodSays(t, "%.0f to %.0f parts of 100 of what the best day would have caught", slices.Min(ofBest), slices.Max(ofBest))
	}
}

// In March 2003 it was time to tap at Montreal; here a made heat, on from four days later, ends the season. The event that
// had said so, as certain, is not cancelled under the hands of who followed it; it says that it is too late now.
func TestAdviceStandsWhenTheSeasonEnds(t *testing.T) {
	record := openRecord(t, montrealFiles)
	season := 2003
	heat := record.Last() // from when on it is hot
	on := func(asOf civil.Date) (*calendar.Entry, *Season) {
		s := weather.Series{First: record.First, Days: append([]weather.Day(nil), record.Until(asOf+8).Days...)}
		for d := heat; d <= s.Last(); d++ {
			s.Put(d, weather.Day{Min: 12, Max: 26})
		}
		for i := int(asOf-s.First) + 1; i < len(s.Days); i++ {
			s.Days[i].Flags |= weather.Forecast
		}
		sp := species(t, "sugar maple")
		p := &calendar.Plan{Title: "Made", AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365},
			Places: []*calendar.Place{{
				Outlook: outlook(montreal, s), Species: []*phenology.Species{sp},
				Activities: []calendar.Activity{calendar.Tapping}, Options: calendar.DefaultOptions()}}}
		dryingByAge(p)
		for _, e := range schedule(p).Entries {
			if e.Task == calendar.TaskTap && e.Season == season {
				return e, SeasonAt(p, p.Places[0], sp, season)
			}
		}
		return nil, SeasonAt(p, p.Places[0], sp, season)
	}
	var advised *calendar.Entry
	first := civil.Of(season, time.February, 20)
	for asOf := first; asOf < civil.Of(season, time.April, 10); asOf++ {
		e, s := on(asOf)
		switch {
		case advised == nil && e != nil && e.Facts.(*TapFacts).Advice == TapNow:
			advised, heat = e, asOf+4
		case advised != nil && asOf <= advised.Window.Last && s.Decision != nil && s.Decision.Late:
			if e == nil || e.UID != advised.UID || e.Facts.(*TapFacts).Advice != TooLate {
				t.Fatalf("advised on %s; on %s the event is gone, or does not say so: %+v; %s",
					advised.Best, asOf, e, s.Advice)
			}
			return
		}
	}
	t.Error("the season did not end under the advice: nothing is tested")
}
