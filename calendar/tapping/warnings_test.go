package tapping

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

// warned is what became of the warnings of one kind that were lived through.
type warned struct {
	made, moved, cancelled, back int // events, and how often one's first day moved by more than a day
	came, told                   int // spells that came: all, and those whose first days an event had on the day before
}

// liveWarnings lives through the springs of a record, each with so many draws of the errors of a forecast of seven days,
// and remembers what it told as a feed does.
func liveWarnings(site phenology.Site, record weather.Series, of *spell, draws int) (w warned, seasons int) {
	const days, room = 7, 40
	for year := record.First.Year() + 1; ; year++ {
		season := phenology.SeasonAt(site, civil.Of(year, time.March, 1))
		first, last := civil.Of(year, time.February, 1), civil.Of(year, time.April, 30)
		if last+days > record.Last() {
			return w, seasons
		}
		came := spellsIn(phenology.NewTemperatures(site, record.Until(last)), of, season, nil)
		for draw := range draws {
			seasons++
			errs := newForecastErrors(year, draw, int(season.Day(last))+days, days)
			known := map[int]calendar.Memory{}
			for asOf := first; asOf <= last; asOf++ {
				s := weather.Series{First: first - room}
				for d := s.First; d < asOf; d++ {
					s.Put(d, record.At(d))
				}
				for k, d := range errs.forecast(record, asOf, season.Day(asOf)) {
					d.Flags |= weather.Forecast
					s.Put(asOf+civil.Date(k), d)
				}
				now := map[int]calendar.Memory{}
				for _, is := range warningsIn(phenology.NewTemperatures(site, s), of, season, known) {
					before, held := known[is.Number]
					switch {
					case !held:
						w.made++
					case before.Cancelled:
						w.back++
					case civil.Apart(is.Span.First, before.Window.First) > 1:
						w.moved++
					}
					now[is.Number] = calendar.Memory{Window: is.Span}
				}
				for n, m := range known {
					if _, stands := now[n]; !stands && !m.Cancelled {
						w.cancelled++
						m.Cancelled = true
					}
					if _, stands := now[n]; !stands {
						now[n] = m
					}
				}
				known = now
				for _, is := range came {
					if is.Span.First != asOf+1 || asOf < first+days {
						continue
					}
					w.came++
					for _, m := range known {
						if !m.Cancelled && m.Window.Overlaps(civil.Span{First: asOf + 1, Last: asOf + 2}) {
							w.told++
							break
						}
					}
				}
			}
		}
	}
}

// TestWarningsLived chooses from which chance on weather is warned of, and down to which chance a warning stands. Fifteen
// springs at Montreal, each with five draws of the persistent errors of a forecast of seven days, whatever sap runs, made,
// moved, called off and brought back so many events, and told of so many of a hundred spells on the day before:
//
//	from, to    warm spells                  freeze-ups
//	0.5, 0.1    501   76   67   5   96 %     685   15   206   12   94 %
//	0.6, 0.1    475   50   56   8   89 %     640   11   171    9   91 %
//	0.7, 0.1    467   41   51   2   84 %     604    9   151    7   85 %
//	0.6, 0.2    476   54   57   8   89 %     643   10   182   11   90 %
func TestWarningsLived(t *testing.T) {
	record := openRecord(t, montrealFiles)
	for i, most := range []struct{ cancelled, back float64 }{{0.15, 0.02}, {0.3, 0.02}} {
		of := &spells[i]
		w, seasons := liveWarnings(montreal, record, of, 5)
		t.Logf("%s: in %d springs made %d, moved %d, cancelled %d, brought back %d; of %d spells %d were told of on the day before",
			of.kind, seasons, w.made, w.moved, w.cancelled, w.back, w.came, w.told)
		made := float64(w.made)
		if float64(w.cancelled) > most.cancelled*made || float64(w.back) > most.back*made || w.moved*8 > w.made ||
			w.told*100 < 85*w.came {
			t.Errorf("%s: want at most %.0f %% called off, %.0f %% brought back, an eighth moved, and 85 %% told of", of.kind,
				100*most.cancelled, 100*most.back)
		}
	}
}

// A warning is of what a forecast has: nothing without one, nothing before holes are drilled or sap has run, and nothing
// of past years.
func TestWarnings(t *testing.T) {
	asOf := civil.Of(2027, time.March, 20)
	warm, cold := weather.Day{Min: 4, Max: 16}, weather.Day{Min: -16, Max: -4}
	mild, run := weather.Day{Min: 1, Max: 7}, weather.Day{Min: -5, Max: 7}
	for _, row := range []struct {
		name     string
		tapped   civil.Date
		measured []weather.Day // to the as-of day
		forecast []weather.Day
		want     []WarningKind
		days     int // of the first
	}{
		{"no forecast", asOf - 10, []weather.Day{run, run, warm}, nil, nil, 0},
		{"a warm spell", asOf - 10, []weather.Day{run, run, run}, []weather.Day{run, warm, warm, mild, warm, run}, []WarningKind{WarmSpell}, 4},
		{"one day, by itself warm enough", asOf - 10, []weather.Day{run, run, run}, []weather.Day{run, {Min: 6, Max: 20}, run}, []WarningKind{WarmSpell}, 1},
		{"one day, not warm enough", asOf - 10, []weather.Day{run, run, run}, []weather.Day{run, {Min: 2, Max: 11}, run}, nil, 0},
		{"mild is not warm", asOf - 10, []weather.Day{run, run, run}, []weather.Day{mild, mild, mild}, nil, 0},
		{"a freeze-up", asOf - 10, []weather.Day{run, run, run}, []weather.Day{run, cold, cold, run}, []WarningKind{FreezeUp}, 2},
		{"cold, but it thaws by day", asOf - 10, []weather.Day{run, run, run}, []weather.Day{{Min: -14, Max: 3}}, nil, 0},
		{"both", asOf - 10, []weather.Day{run, run, run}, []weather.Day{cold, run, warm, warm}, []WarningKind{FreezeUp, WarmSpell}, 1},
		{"before the holes", asOf + 10, []weather.Day{run, run, run}, []weather.Day{warm, warm, cold, cold}, nil, 0},
		{"more than a week", asOf - 10, []weather.Day{run, run, run},
			[]weather.Day{warm, warm, warm, warm, warm, warm, warm, warm, warm}, []WarningKind{WarmSpell, WarmSpell}, longestWarned},
	} {
		t.Run(row.name, func(t *testing.T) {
			p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
			pl := p.Places[0]
			s := pl.Outlook.Temps.Series()
			for d := asOf - 9; d <= asOf; d++ { // sap in no small run
				s.Put(d, run)
			}
			for i, d := range row.measured {
				s.Put(asOf+civil.Date(i+1-len(row.measured)), d)
			}
			for i, d := range row.forecast {
				d.Flags |= weather.Forecast
				s.Put(asOf+civil.Date(i+1), d)
			}
			pl.Outlook.Temps = phenology.NewTemperatures(pl.Outlook.Site, s)
			pl.Options.Tapping.Tapped = &row.tapped
			if row.tapped > asOf {
				pl.Options.Tapping.Tapped = nil
			}
			found := SeasonAt(p, pl, pl.Species[0], 2027)
			if row.tapped > asOf {
				found.TapDay, found.Warnings = civil.Some(row.tapped), nil
				found.findWarnings(p)
			}
			var got []WarningKind
			for _, w := range found.Warnings {
				got = append(got, w.Kind)
			}
			if !slices.Equal(got, row.want) {
				t.Fatalf("found %v, want %v", got, row.want)
			}
			if row.days > 0 && found.Warnings[0].Span.Days() != row.days {
				t.Errorf("found %v, want %d days", found.Warnings[0].Span, row.days)
			}
			for _, w := range found.Warnings {
				if w.Span.First <= asOf || w.Likelihood < warnedFrom || w.Begun || w.Kind == WarmSpell && w.Keeps < 1 {
					t.Errorf("%+v", w)
				}
			}
		})
	}
}

// How long sap keeps is what extension sheets say: a day at 50 °F (10 °C), a week at 38 °F (3 °C) or colder; and what a
// producer's log of buckets has: clear after four days above 50 °F with nights in the twenties (-6 °C).
func TestSapKeeps(t *testing.T) {
	for _, row := range []struct {
		min, max float64
		keeps    int
	}{{10, 10, 1}, {5, 15, 1}, {2, 10, 3}, {0, 12, 2}, {3, 3, 7}, {-6, 10, 4}} {
		w := &Warning{Days: slices.Repeat([]WarningDay{{Min: Celsius(row.min), Max: Celsius(row.max)}}, 7)}
		if got := keeps(w); got != row.keeps {
			t.Errorf("%g to %g °C: keeps %d days, want %d", row.min, row.max, got, row.keeps)
		}
	}
}
