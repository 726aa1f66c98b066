package build_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// A season is lived through as its producer gets it: each morning the newest day and the newest forecast come in, feeds are
// made over those of the day before, and whatever is to ring that day is counted as having rung.

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

// forecaster makes forecasts of a record with errors that persist from one morning to the next, as those of real ones do:
// the error of a day is made of one step for each day that it lies ahead, so that it shrinks, step by step, as the day
// comes near. Steps of neighbouring days go together. Its standard deviation grows from 1 to 4 degrees over seven days.
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

// ring is an alarm that rang.
type ring struct {
	on   civil.Date
	uid  string
	task calendar.Task
	of   string
	text string
}

// lived is what a season brought to a subscriber.
type lived struct {
	revised, added, cancelled, back, unsettled int
	mostBack                                   int
	byTask                                     map[calendar.Task]int
	rings                                      []ring
	runs                                       map[string]*livedRun // by UID
	advice                                     []string
}

type livedRun struct {
	uid   string
	last  *calendar.Entry
	large bool // of middling size or more at some time
}

// live lives a season through, from 1 December to the end of May, two species of maple at one bush or at two.
func live(t testing.TB, record weather.Series, season int, seed uint64, taps ...calendar.Collection) *lived {
	t.Helper()
	span := civil.Span{First: civil.Of(season-1, time.December, 1), Last: civil.Of(season, time.May, 31)}
	f := newForecaster(seed, 7, civil.Span{First: span.First, Last: span.Last})
	l := &lived{byTask: map[calendar.Task]int{}, runs: map[string]*livedRun{}}
	previous := map[string]*ical.Previous{}
	was := map[string]published{}
	cancelled := map[string]bool{}
	back := map[string]int{}
	for asOf := span.First; asOf <= span.Last; asOf++ {
		known := f.on(record, asOf)
		p := &calendar.Plan{Title: "Lived", AsOf: asOf, Span: civil.Span{First: asOf - 30, Last: asOf + 365}}
		for i, collection := range taps {
			site := phenology.Site{ID: fmt.Sprintf("bush-%d", i), Name: fmt.Sprintf("Bush %d", i), Latitude: 45.47, Longitude: -73.75, Elevation: 36 + 150*float64(i), Zone: time.UTC}
			pl := &calendar.Place{
				Outlook:    &phenology.Outlook{Site: site, Temps: phenology.NewTemperatures(site, known)},
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
			if before := previous[site.ID]; before != nil {
				pl.Memory = before.Memory()
			}
			p.Places = append(p.Places, pl)
		}
		s := buildtest.Schedule(p)
		for _, pl := range p.Places {
			var entries []*calendar.Entry
			for _, e := range s.Entries {
				if e.Site.ID == pl.Site().ID {
					entries = append(entries, e)
				}
			}
			feed := ical.Feed{UID: calendar.CalendarUID(p.FeedID, pl.Site().ID, ""), Name: pl.Site().Name, Entries: entries, AsOf: asOf, Previous: previous[pl.Site().ID]}
			data, changes, err := ical.RenderICS(feed)
			if err != nil {
				t.Fatalf("%s: %v", asOf, err)
			}
			if previous[pl.Site().ID], err = ical.ReadPrevious(strings.NewReader(string(data))); err != nil {
				t.Fatalf("%s: %v", asOf, err)
			}
			l.revised, l.added, l.cancelled = l.revised+changes.Revised, l.added+changes.Added, l.cancelled+changes.Cancelled
			l.look(t, asOf, data, entries, was, cancelled, back)
		}
	}
	for _, n := range back {
		l.back += n
		l.mostBack = max(l.mostBack, n)
	}
	return l
}

// published is an event as it stood on a morning.
type published struct {
	start, sequence, best, facts string
	settled                      bool
}

// look reads a feed as a program does that shares no code with what wrote it.
func (l *lived) look(t testing.TB, asOf civil.Date, data []byte, entries []*calendar.Entry, was map[string]published, cancelled map[string]bool, back map[string]int) {
	byUID := map[string]*calendar.Entry{}
	for _, e := range entries {
		byUID[e.UID] = e
	}
	for _, event := range icaltest.Read(t, data).Events() {
		uid := event.Props.Get("UID").Value
		e := byUID[uid]
		if event.Props.Get("STATUS").Value == "CANCELLED" {
			cancelled[uid] = true
			continue
		}
		if cancelled[uid] {
			back[uid]++
			cancelled[uid] = false
		}
		text, err := event.Props.Text("DESCRIPTION")
		if err != nil {
			t.Fatal(err)
		}
		best, _, _ := strings.Cut(text, "\n")
		facts := event.Props.Get("X-TREEWHEN-FACTS").Value
		facts = event.Props.Get("DTSTART").Value + "-" + event.Props.Get("DTEND").Value + strings.Split(facts, "|name")[0] + facts[strings.Index(facts, "||")+1:]
		now := published{event.Props.Get("DTSTART").Value, event.Props.Get("SEQUENCE").Value, best, facts, strings.Contains(text, "These dates are settled")}
		if old, ok := was[uid]; ok && old.sequence != now.sequence {
			if e != nil {
				l.byTask[e.Task]++
				if os.Getenv("LIVED") != "" {
					t.Logf("rev %s %s %s %s->%s %s", asOf, e.Task, uid[:4], old.facts, now.facts, now.start)
				}
			}
			if old.settled && (old.start != now.start || old.best != now.best) {
				l.unsettled++
			}
		}
		was[uid] = now
		start, err := time.Parse("20060102", now.start)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range event.Children {
			var after time.Duration
			if after, err = a.Props.Get("TRIGGER").Duration(); err != nil {
				t.Fatal(err)
			}
			if civil.FromTime(start.Add(after)) == asOf {
				words, _ := a.Props.Text("DESCRIPTION")
				r := ring{on: asOf, uid: uid, text: words}
				if e != nil {
					r.task, r.of = e.Task, e.Site.ID+" "+e.Species[0].ID
				}
				l.rings = append(l.rings, r)
			}
		}
	}
	for _, e := range entries {
		if e.Task != calendar.TaskRun {
			continue
		}
		r := l.runs[e.UID]
		if r == nil {
			r = &livedRun{uid: e.UID}
			l.runs[e.UID] = r
		}
		r.last = e
		r.large = r.large || strings.HasPrefix(e.Summary, "Middling") || strings.HasPrefix(e.Summary, "Large")
	}
}

// TestSeasonsLived lives the springs of 2008 and 2012 at Montreal, one long and snowy, the other over in March.
func TestSeasonsLived(t *testing.T) {
	record := openRecord(t, "montreal/en_climate_daily_QC_7025250_*.csv")
	for _, season := range []int{2008, 2012} {
		t.Run(fmt.Sprint(season), func(t *testing.T) {
			l := live(t, record, season, 1, calendar.Gravity, calendar.Vacuum)
			rang := map[string]int{}
			for _, r := range l.rings {
				rang[r.uid]++
				t.Logf("%s %s %-12s %-28s %s", r.on, r.uid[:4], r.task, r.of, r.text)
			}
			silent, loud := 0, 0
			for uid, r := range l.runs {
				if r.large && r.last.Window.Last >= civil.Of(season, time.March, 1) {
					if rang[uid] == 0 {
						silent++
						t.Logf("silent: %s %s %s", r.last.Site.ID, r.last.Summary, r.last.Window)
					} else {
						loud++
					}
				}
			}
			t.Logf("added %d, revised %d (%v), cancelled %d, brought back %d (one event %d times), moved after 'settled' %d, runs from March on silent %d of %d",
				l.added, l.revised, l.byTask, l.cancelled, l.back, l.mostBack, l.unsettled, silent, silent+loud)
		})
	}
}
