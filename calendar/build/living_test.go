package build_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime/debug"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/ical"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

func TestMain(m *testing.M) {
	debug.SetGCPercent(400) // a fifth of the time went into memory that there is to spare
	m.Run()
}

// A season is lived through as its producer gets it: each morning the newest day and the newest forecast come in,
// feeds are made over those of the day before, and whatever is to ring that day is counted as having rung.

// openRecord reads the files of an open record as one series, and skips the test where they are absent.
func openRecord(t testing.TB, glob string) weather.Series {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("..", "..", "..", "shared", "data", glob))
	if err != nil {
		t.Fatal(err)
	}
	if len(names) == 0 {
		t.Skipf("open data are absent: ../shared/data/%s", glob)
	}
	var s weather.Series
	for _, name := range names {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := weather.Read(f, name, weather.Options{Unit: weather.Celsius})
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		for i, d := range rec.Series.Days {
			if d.Complete() {
				s.Put(rec.Series.First+civil.Date(i), d)
			}
		}
	}
	return weather.Fill(s)
}

// forecaster makes forecasts of a record with errors that persist from one morning to the next, as those of real ones
// do: the error of a day is made of one step for each day that it lies ahead, so that it shrinks, step by step, as
// the day comes near. Steps of neighbouring days go together. Its standard deviation grows from 1 to 4 degrees over
// seven days.
type forecaster struct {
	days  int
	first civil.Date
	steps [][]float64 // of each day from first on, by days ahead
}

func newForecaster(seed uint64, days int, span civil.Span) *forecaster {
	r := rand.New(rand.NewPCG(seed, 7))
	f := &forecaster{days: days, first: span.First, steps: make([][]float64, span.Days()+days)}
	for lead := range days {
		sd, before := 1+3*float64(lead)/6, 0.0
		if lead > 0 {
			before = 1 + 3*float64(lead-1)/6
		}
		step := math.Sqrt(sd*sd - before*before)
		last := r.NormFloat64()
		for i := range f.steps {
			last = 0.6*last + 0.8*r.NormFloat64()
			f.steps[i] = append(f.steps[i], step*last)
		}
	}
	return f
}

// on returns what is known on the morning of a day: the record to the day before, and the forecast.
func (f *forecaster) on(record weather.Series, asOf civil.Date) weather.Series {
	s := weather.Series{First: record.First, Days: append([]weather.Day(nil), record.Until(asOf-1).Days...)}
	for lead := range f.days {
		day := asOf + civil.Date(lead)
		d := record.At(day)
		if !d.Complete() {
			break
		}
		off := 0.0
		for k := 0; k <= lead; k++ {
			off += f.steps[day-f.first][k]
		}
		s.Put(day, weather.Day{Min: d.Min + off, Max: d.Max + off, Flags: weather.Forecast})
	}
	return s
}

// bushes are invented ones under an open record's weather, one for each way of collecting, each higher than the last.
func bushes(t testing.TB, record weather.Series, collections ...calendar.Collection) (list []*calendar.Place) {
	t.Helper()
	for i, collection := range collections {
		site := phenology.Site{ID: fmt.Sprintf("bush-%d", i), Name: fmt.Sprintf("Bush %d", i),
			Latitude: 45.47, Longitude: -73.75, Elevation: 36 + 150*float64(i), Zone: time.UTC}
		pl := &calendar.Place{
			Outlook:    &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, record)},
			Activities: []calendar.Activity{calendar.Tapping}, Options: calendar.DefaultOptions(), Chosen: true,
		}
		pl.Options.Tapping.Collection = collection
		for _, name := range []string{"red maple", "sugar maple"} {
			sp, err := profiles.Builtin().Find(name)
			if err != nil {
				t.Fatal(err)
			}
			pl.Species = append(pl.Species, sp)
		}
		list = append(list, pl)
	}
	return list
}

// sampled is how many days lie between two on which all outputs are held to each other.
const sampled = 6

// live lives some days through, with a forecast of seven days. The subscriber reads each bush's feed every morning.
func live(
	t testing.TB, record weather.Series, days civil.Span, seed uint64, collections ...calendar.Collection,
) *subscriber {
	t.Helper()
	f := newForecaster(seed, 7, days)
	sub := newSubscriber(t)
	previous := map[string]*ical.Previous{}
	for asOf := days.First; asOf <= days.Last; asOf++ {
		p := &calendar.Plan{Title: "Lived", AsOf: asOf, Span: civil.Span{First: asOf - 30, Last: asOf + 365}}
		p.Places = bushes(t, f.on(record, asOf), collections...)
		for _, pl := range p.Places {
			if before := previous[pl.Site().ID]; before != nil {
				pl.Memory = before.Memory()
			}
		}
		s := buildtest.Schedule(p)
		feeds := map[string][]byte{}
		for _, pl := range p.Places {
			var entries []*calendar.Entry
			for _, e := range s.Entries {
				if e.Site.ID == pl.Site().ID {
					entries = append(entries, e)
				}
			}
			feed := ical.Feed{UID: calendar.CalendarUID(p.FeedID, pl.Site().ID, ""), Name: pl.Site().Name,
				Entries: entries, AsOf: asOf, Previous: previous[pl.Site().ID]}
			data, _, err := ical.RenderICS(feed)
			if err != nil {
				t.Fatalf("%s: %v", asOf, err)
			}
			if previous[pl.Site().ID], err = ical.ReadPrevious(bytes.NewReader(data)); err != nil {
				t.Fatalf("%s: %v", asOf, err)
			}
			sub.read(asOf, data, entries)
			feeds[pl.Site().ID] = data
		}
		if (asOf-days.First)%sampled == 0 {
			agree(t, p, s, feeds)
		}
	}
	return sub
}

// TestSeasonsLived lives springs at Montreal: those of 2008, long and snowy, and 2012, over in March, at two bushes;
// and those of 2006 and 2010 at one: each from before its first alarm is due until its last has rung. What a subscriber
// relies on is held each morning; the bounds of the whole are what four seasons with four other sets of forecasts came
// to, with some room.
func TestSeasonsLived(t *testing.T) {
	record := openRecord(t, "montreal/en_climate_daily_QC_7025250_*.csv")
	gravity, vacuum := []calendar.Collection{calendar.Gravity}, []calendar.Collection{calendar.Vacuum}
	both := []calendar.Collection{calendar.Gravity, calendar.Vacuum}
	for _, row := range []struct {
		season      int
		first, last civil.Date
		collections []calendar.Collection
		mostRevised int
	}{
		{2008, civil.Of(2008, time.January, 15), civil.Of(2008, time.May, 15), both, 150},
		{2012, civil.Of(2012, time.January, 1), civil.Of(2012, time.April, 30), both, 125},
		{2006, civil.Of(2005, time.December, 15), civil.Of(2006, time.April, 30), gravity, 100},
		{2010, civil.Of(2010, time.January, 10), civil.Of(2010, time.April, 15), vacuum, 95},
	} {
		t.Run(fmt.Sprint(row.season), func(t *testing.T) {
			t.Parallel()
			s := live(t, record, civil.Span{First: row.first, Last: row.last}, 1, row.collections...)
			if s.revised > row.mostRevised {
				t.Errorf("found %d revisions, want at most %d: %v", s.revised, row.mostRevised, s.byTask)
			}
			for uid, e := range s.events {
				if e.back > 1 {
					t.Errorf("%s: found it cancelled and brought back %d times, want once at most", uid, e.back)
				}
			}
			for _, task := range []calendar.Task{calendar.TaskWarmSpell, calendar.TaskFreezeUp} {
				if s.cancelled[task] > len(row.collections) || s.back[task] > 0 {
					t.Errorf("%s: found %d called off and %d brought back, want at most one a bush, and none", task,
						s.cancelled[task], s.back[task])
				}
			}
			// Nothing of all this is said of nothing.
			rang := map[string]int{}
			for _, r := range s.rings {
				rang[r.kind]++
			}
			for kind, fewest := range map[string]int{tapping.RingSoon: 1, tapping.RingNow: 1, tapping.RingLargeRun: 3,
				tapping.RingRun: 1, tapping.RingLast: 1, tapping.RingPull: 1} {
				if rang[kind] < fewest {
					t.Errorf("found %q to have rung %d times, want %d or more", kind, rang[kind], fewest)
				}
			}
			if s.parts == 0 {
				t.Error("found no run that became part of another")
			}
			t.Logf("revised %d (%v), rang %v", s.revised, s.byTask, rang)
			t.Logf("made %v, cancelled %v, brought back %v", s.made, s.cancelled, s.back)
		})
	}
}
