package supply_test

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"treewhen/calendar/fetch"
	"treewhen/calendar/services"
	"treewhen/calendar/supply"
	"treewhen/calendar/supply/supplytest"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

const contact = "alder@farm.example"

// story is a plan's owner, day after day.
type story struct {
	t     *testing.T
	world *supplytest.World
	now   time.Time
	dir   string        // of copies; "" to keep them in memory, which takes no disk's time
	web   *fetch.Client // with those
	log   strings.Builder
}

func newStory(t *testing.T, start string, stations ...supplytest.Station) *story {
	t.Helper()
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	s := &story{t: t}
	if s.now, err = time.ParseInLocation("2006-01-02 15:04", start, zone); err != nil {
		t.Fatal(err)
	}
	s.world = supplytest.New(t, func() time.Time { return s.now }, zone, stations...)
	return s
}

// desk is a run of the program of its own, with what earlier ones kept.
func (s *story) desk() *supply.Desk {
	web := s.web
	if web == nil || s.dir != "" {
		web = fetch.New(s.dir, s.world.URL)
	}
	s.web = web
	web.Now = func() time.Time { return s.now }
	web.Wait = func(ctx context.Context, d time.Duration) error {
		s.now = s.now.Add(d)
		return ctx.Err()
	}
	return &supply.Desk{
		Web: web, Contact: contact, Today: s.today(),
		Log: func(format string, args ...any) { fmt.Fprintf(&s.log, format+"\n", args...) },
	}
}

func (s *story) today() civil.Date { return civil.FromTime(s.now.In(s.world.Zone)) }

func (s *story) want(name services.Name, station string) supply.Want {
	return supply.Want{
		Service: services.Find(name), Address: s.world.Address(name), Station: station,
		Zone: s.world.Zone, Until: s.today(),
		At: services.Point{Latitude: 44.4712, Longitude: -72.6845, Elevation: 221, Decimals: 2},
	}
}

func (s *story) get(w supply.Want) supply.Got { return s.desk().Get(s.t.Context(), w) }

func (s *story) count() int { return len(s.world.Asked()) }

var (
	hollow = supplytest.Station{
		ID: "USC00999903", Service: services.NOAADaily, Latitude: 44.48, Longitude: -72.70, Elevation: 230,
		First: civil.Of(1980, 1, 1), Last: civil.Of(2100, 1, 1),
	}
	oldPort = supplytest.Station{
		ID: "7999901", Service: services.CanadaDaily, Latitude: 45.47, Longitude: -73.74, Elevation: 36,
		First: civil.Of(1941, 9, 1), Last: civil.Of(2027, 4, 30),
	}
	newPort = supplytest.Station{
		ID: "7999902", Service: services.CanadaDaily, Latitude: 45.47, Longitude: -73.74, Elevation: 36,
		First: civil.Of(2027, 5, 1), Last: civil.Of(2100, 1, 1),
	}
)

// truth checks that a record's days from first to last are the world's.
func (s *story) truth(series weather.Series, first, last civil.Date, tolerance float64) {
	s.t.Helper()
	for d := first; d <= last; d++ {
		low, high := supplytest.Day(d)
		if got := series.At(d); !(math.Abs(got.Min-low) <= tolerance) || !(math.Abs(got.Max-high) <= tolerance) {
			s.t.Fatalf("%s: found %.1f to %.1f, want %.1f to %.1f", d, got.Min, got.Max, low, high)
		}
	}
}

// A year of a record: history once, then what is new, day by day; an agency that revises what it gave; an outage of a
// week; and each way of lying. What is held is always true, and never asked for twice.
func TestYearOfARecord(t *testing.T) {
	s := newStory(t, "2026-11-28 05:10", hollow)
	w := func() supply.Want { return s.want(services.NOAADaily, hollow.ID) }
	got := s.get(w())
	asked := s.world.Asked()
	if len(asked) != 1 || !strings.Contains(asked[0].Query, "startDate=1996-01-01&endDate=2026-11-28") ||
		asked[0].Agent != "treewhen ("+contact+")" {
		t.Fatalf("found %+v", asked)
	}
	last := s.today() - 3
	span := got.Record.Series.Span()
	if span != (civil.Span{First: civil.Of(1996, 1, 1), Last: last}) || got.State.Fault != services.NoFault {
		t.Fatalf("found %s, %+v", span, got.State)
	}
	if e := got.Record.Station.Elevation; e == nil || *e != 230 {
		t.Errorf("found height %v", e)
	}
	s.get(w())
	if n := s.count(); n != 0 {
		t.Errorf("the same again: asked %d times", n)
	}
	outage := civil.Of(2027, 2, 10)
	revisions, requests := 0, 0
	for range 365 {
		s.now = s.now.Add(24 * time.Hour)
		switch s.today() {
		case outage:
			s.world.Becomes(supplytest.Down, services.NOAADaily)
		case outage + 7:
			s.world.Becomes(supplytest.None, services.NOAADaily)
		}
		got = s.get(w())
		asked := s.world.Asked()
		requests += len(asked)
		for _, a := range asked {
			if strings.Contains(a.Query, "startDate=1996") {
				t.Fatalf("%s: history was asked for again", s.today())
			}
		}
		held := s.today() - 3
		if down := s.today() >= outage && s.today() < outage+7; down {
			held = outage - 1 - 3
			if late := got.State.Late(s.now); got.State.Fault != services.Down || late != (s.today() >= outage+2) {
				t.Errorf("%s: found fault %q, late %v", s.today(), got.State.Fault, late)
			}
			if len(asked) > 2 {
				t.Errorf("%s: asked %d times of a service that is down", s.today(), len(asked))
			}
		} else if got.State.Fault != services.NoFault {
			t.Fatalf("%s: found fault %q\n%s", s.today(), got.State.Fault, s.log.String())
		}
		if got.Record.Series.Last() != held {
			t.Fatalf("%s: found days to %s, want %s", s.today(), got.Record.Series.Last(), held)
		}
		if got.State.RevisedOn == s.today() {
			revisions++
		}
	}
	// The last days are provisional, all others are as the agency has them now.
	s.truth(got.Record.Series, civil.Of(1996, 1, 1), s.today()-6, 0.05)
	if revisions < 300 || len(got.State.Revised) == 0 || !got.State.Revised[0].IsMax {
		t.Errorf("found %d days with revisions, the last %+v", revisions, got.State.Revised)
	}
	if requests > 365+7 {
		t.Errorf("asked %d times in a year", requests)
	}
	t.Logf("%d requests in a year, %d days on which something was revised", requests, revisions)

	for _, row := range []struct {
		fault supplytest.Fault
		want  services.Fault
	}{
		{supplytest.Empty, services.Nothing}, {supplytest.Page, services.Unreadable},
		{supplytest.Fahrenheit, services.Unreadable}, {supplytest.Jump, services.Unlikely},
		{supplytest.HangsUp, services.Down}, {supplytest.Forbidden, services.Refused},
	} {
		s.now = s.now.Add(24 * time.Hour)
		before := s.get(w()).Record.Series
		s.now = s.now.Add(24 * time.Hour)
		s.log.Reset()
		s.world.Becomes(row.fault, services.NOAADaily)
		got := s.get(w())
		if got.State.Fault != row.want || got.Record.Series.Last() != before.Last() || s.log.Len() == 0 {
			t.Errorf("%s: found fault %q, days to %s, want %q and %s\n%s", row.fault, got.State.Fault,
				got.Record.Series.Last(), row.want, before.Last(), s.log.String())
		}
		s.truth(got.Record.Series, civil.Of(2026, 1, 1), s.today()-12, 0.05)
		s.world.Becomes(supplytest.None, services.NOAADaily)
	}
}

// Degrees Fahrenheit of a winter are possible ones in Celsius, and are found out by the days that are held.
func TestFahrenheitInWinter(t *testing.T) {
	s := newStory(t, "2027-02-20 05:10", hollow)
	s.get(s.want(services.NOAADaily, hollow.ID))
	s.world.Becomes(supplytest.Fahrenheit, services.NOAADaily)
	s.now = s.now.Add(24 * time.Hour)
	got := s.get(s.want(services.NOAADaily, hollow.ID))
	if got.State.Fault != services.Unlikely || !strings.Contains(s.log.String(), "off what it gave before") {
		t.Errorf("found %q\n%s", got.State.Fault, s.log.String())
	}
	// Where nothing is held, whoever knows the climate of the place judges.
	w := s.want(services.NOAADaily, hollow.ID)
	w.Judge = func(rec *weather.Record) string { return "found degrees that are too warm for " + rec.Name }
	s.web = nil
	s.world.Becomes(supplytest.None, services.NOAADaily)
	if got := s.get(w); got.State.Fault != services.Unlikely || len(got.Record.Series.Days) != 0 {
		t.Errorf("found %q", got.State.Fault)
	}
}

// A redirect into a private network is not followed, whatever the service.
func TestRedirectInward(t *testing.T) {
	s := newStory(t, "2027-03-01 05:10", hollow)
	inside := 0
	private := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { inside++ }))
	defer private.Close()
	s.world.Private = private.URL
	for _, name := range []services.Name{services.NOAADaily, services.NorwayForecast, services.USForecast} {
		w := func() supply.Want {
			if name == services.NOAADaily {
				return s.want(name, hollow.ID)
			}
			return s.want(name, "")
		}
		before := s.get(w())
		s.world.Becomes(supplytest.Inward, name)
		s.now = s.now.Add(25 * time.Hour)
		got := s.get(w())
		if got.State.Fault != services.Astray || got.Record.Series.Last() != before.Record.Series.Last() {
			t.Errorf("%s: found fault %q", name, got.State.Fault)
		}
	}
	if inside != 0 {
		t.Errorf("asked %d times inside", inside)
	}
}

// An airport changes its identifier: the old station falls silent and is asked once a week, the new one goes on.
func TestChangedIdentifier(t *testing.T) {
	s := newStory(t, "2027-04-20 05:10", oldPort, newPort)
	before := s.get(s.want(services.CanadaDaily, oldPort.ID))
	if before.Record.Series.First != civil.Of(1997, 1, 1) || len(s.world.Asked()) != 2 { // 11 000 days are two pages
		t.Errorf("found %s", before.Record.Series.Span())
	}
	got := s.get(s.want(services.CanadaDaily, newPort.ID))
	if got.State.Fault != services.Nothing || len(got.Record.Series.Days) != 0 {
		t.Errorf("of a station that is to come: found %q", got.State.Fault)
	}
	s.world.Asked()
	silent, requests := 0, 0
	var ended, begun supply.Got
	for range 120 {
		s.now = s.now.Add(24 * time.Hour)
		ended = s.get(s.want(services.CanadaDaily, oldPort.ID))
		if ended.State.Silent(s.today()) {
			silent++
			requests += s.count()
		}
		s.world.Asked()
		begun = s.get(s.want(services.CanadaDaily, newPort.ID))
		s.world.Asked()
	}
	if ended.Record.Series.Last() != oldPort.Last ||
		begun.Record.Series.Span() != (civil.Span{First: newPort.First, Last: s.today() - 3}) {
		t.Errorf("found %s and %s", ended.Record.Series.Span(), begun.Record.Series.Span())
	}
	if silent == 0 || requests > silent/7+1 {
		t.Errorf("silent for %d days, asked %d times in them", silent, requests)
	}
}

// Forecasts: asked where it is once a month, with conditions, not before it expires; what was forecast for days gone by
// is remembered, so that a record that comes late is continued without a gap.
func TestForecasts(t *testing.T) {
	for _, name := range []services.Name{services.USForecast, services.NorwayForecast} {
		s := newStory(t, "2027-03-01 05:10")
		w := func() supply.Want { return s.want(name, "") }
		got := s.get(w())
		first := s.world.Asked()
		if got.State.Fault != services.NoFault || got.State.Point != "44.47, -72.68" {
			t.Fatalf("%s: found %+v\n%s", name, got.State, s.log.String())
		}
		if strings.Contains(fmt.Sprint(first), "44.471") {
			t.Errorf("%s: more than two decimals were sent: %+v", name, first)
		}
		s.now = s.now.Add(50 * time.Minute)
		s.get(w())
		if n := s.count(); n != 0 {
			t.Errorf("%s: asked %d times before the hour", name, n)
		}
		statuses := map[int]int{}
		where := 0
		for range 24 * 10 {
			s.now = s.now.Add(time.Hour)
			got = s.get(w())
			for _, a := range s.world.Asked() {
				statuses[a.Status]++
				if strings.HasPrefix(a.Query, "/points/") {
					where++
				}
			}
		}
		if statuses[304] < 70 || statuses[200] > 50 || where > 0 {
			t.Errorf("%s: found answers %v, where asked %d times", name, statuses, where)
		}
		span, before := got.Record.Series.Span(), got.Before.Span()
		if span.First > s.today()+1 || span.Last < s.today()+5 || before.First > civil.Of(2027, 3, 3) ||
			before.Last != span.First-1 {
			t.Errorf("%s: found %s, before them %s", name, span, before)
		}
		for _, d := range weather.Merge(got.Before, got.Record.Series).Days {
			if !d.Complete() || d.Flags != weather.Forecast {
				t.Fatalf("%s: found %+v", name, d)
			}
		}
		for _, row := range []struct {
			fault supplytest.Fault
			want  services.Fault
		}{
			{supplytest.Down, services.Down}, {supplytest.Page, services.Unreadable},
			{supplytest.Empty, services.Unreadable},
		} {
			s.world.Becomes(row.fault, name)
			s.now = s.now.Add(26 * time.Hour)
			got := s.get(w())
			if got.State.Fault != row.want || !got.State.Late(s.now) || got.Record.Series.Span().Last != span.Last {
				t.Errorf("%s, %s: found %+v", name, row.fault, got.State)
			}
		}
		// Without a contact nobody is asked; of a past day, a forecast of today is of no use.
		desk := s.desk()
		desk.Contact = ""
		s.world.Asked()
		if got := desk.Get(t.Context(), w()); got.State.Fault != services.NoContact || s.count() != 0 {
			t.Errorf("%s: found %+v", name, got.State)
		}
		past := w()
		past.Until = civil.Of(2027, 2, 1)
		if got := s.get(past); len(got.Record.Series.Days) != 0 || s.count() != 0 {
			t.Errorf("%s: found %s", name, got.Record.Series.Span())
		}
	}
}

// Hundreds of sites in an hour, each with a forecast of its own: one request each, at the service's pace; none before
// they expire; then conditional ones, answered in a few bytes; and of a service that is down four, not hundreds.
func TestStormOfSites(t *testing.T) {
	const sites = 300
	s := newStory(t, "2027-03-01 05:10")
	round := func() (asked []supplytest.Asked, took time.Duration) {
		desk, began := s.desk(), s.now
		for i := range sites {
			w := s.want(services.NorwayForecast, "")
			w.At.Latitude, w.At.Longitude = 42+0.03*float64(i%40), -72-0.03*float64(i/40)
			desk.Get(t.Context(), w)
		}
		return s.world.Asked(), s.now.Sub(began)
	}
	asked, took := round()
	pace := services.Find(services.NorwayForecast).Pace
	if len(asked) != sites || took < (sites-1)*pace {
		t.Errorf("found %d requests in %v", len(asked), took)
	}
	for i := 1; i < len(asked); i++ {
		if asked[i].At.Sub(asked[i-1].At) < pace {
			t.Fatalf("request %d came %v after the one before", i, asked[i].At.Sub(asked[i-1].At))
		}
	}
	if asked, _ := round(); len(asked) != 0 {
		t.Errorf("at once again: found %d requests", len(asked))
	}
	s.now = s.now.Add(75 * time.Minute) // within the six hours of the same forecast
	asked, _ = round()
	same := 0
	for _, a := range asked {
		if a.Conditional && a.Status == http.StatusNotModified {
			same++
		}
	}
	if len(asked) != sites || same != sites {
		t.Errorf("an hour later: found %d requests, %d not modified", len(asked), same)
	}
	t.Logf("%d sites: as many requests in %v, then %d conditional ones, %d not modified", sites, took, len(asked), same)
	s.world.Becomes(supplytest.Down, services.NorwayForecast)
	s.now = s.now.Add(75 * time.Minute)
	if asked, _ := round(); len(asked) > 4 {
		t.Errorf("of a service that is down: found %d requests", len(asked))
	}
}

// Times of asking are spread: of a hundred sources asked together, not all are due together.
func TestTimesAreSpread(t *testing.T) {
	s := newStory(t, "2027-03-01 05:10", hollow)
	due := map[time.Time]bool{}
	for i := range 100 {
		w := s.want(services.NorwayForecast, "")
		w.At.Latitude += 0.01 * float64(i)
		due[s.get(w).State.Due.Truncate(time.Minute)] = true
	}
	if len(due) < 10 {
		t.Errorf("found %d different minutes", len(due))
	}
}

// What is kept is checked when it is read: a copy that is cut, changed or of something else is asked for anew.
func TestCopiesAreChecked(t *testing.T) {
	s := newStory(t, "2027-03-01 05:10", hollow)
	s.dir = t.TempDir()
	w := s.want(services.NOAADaily, hollow.ID)
	s.get(w)
	s.world.Asked()
	files, err := filepath.Glob(filepath.Join(s.dir, "*"))
	if err != nil || len(files) != 1 {
		t.Fatalf("found %v, %v", files, err)
	}
	data, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	for i, damaged := range []string{
		"", "{}\n", string(data[:len(data)/2]), strings.Replace(string(data), ",-", ",", 1),
		strings.Replace(string(data), "service", "servicf", 1),
	} {
		if err := os.WriteFile(files[0], []byte(damaged), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := s.get(w); got.State.Fault != services.NoFault || s.count() != 1 {
			t.Errorf("%d: found %+v", i, got.State)
		}
		if after, _ := os.ReadFile(files[0]); string(after) != string(data) {
			t.Error("the copy was not put in its place")
		}
	}
	// A folder that cannot be written to: the days are there, and it is said.
	s.dir = files[0]
	if got := s.get(w); got.State.Fault != services.Unkept || len(got.Record.Series.Days) == 0 {
		t.Errorf("found %+v", got.State)
	}
	// No folder: what is asked for is kept for as long as the program runs.
	s.dir, s.web = "", nil
	desk := s.desk()
	desk.Get(t.Context(), w)
	s.world.Asked()
	if desk.Get(t.Context(), w); s.count() != 0 {
		t.Error("asked again in the same run")
	}
	desk = s.desk()
	desk.Offline = true
	s.now = s.now.Add(24 * time.Hour)
	got := desk.Get(t.Context(), w)
	if got.State.Fault != services.Offline || s.count() != 0 || len(desk.Asks(w)) != 1 {
		t.Errorf("found %+v", got.State)
	}
}

// BenchmarkFirstMinute is what comes between the name of a town and dates, but for the network: the stations near, two
// records of thirty years, a forecast.
func BenchmarkFirstMinute(b *testing.B) {
	now := time.Date(2027, 3, 1, 10, 0, 0, 0, time.UTC)
	port := hollow
	port.ID, port.Off = "USW00999901", 0.5
	world := supplytest.New(b, func() time.Time { return now }, time.UTC, hollow, port)
	for b.Loop() {
		web := fetch.New(b.TempDir(), world.URL)
		web.Now, web.Wait = func() time.Time { return now }, func(context.Context, time.Duration) error { return nil }
		desk := &supply.Desk{Web: web, Contact: contact, Today: civil.Of(2027, 3, 1), Log: b.Logf}
		at := services.Point{Latitude: 44.47, Longitude: -72.68, Elevation: 221, Decimals: 2}
		list, err := desk.Near(b.Context(), services.Find(services.NOAADaily), world.Address(services.NOAADaily), at)
		if err != nil || len(list) != 2 {
			b.Fatal(err)
		}
		for _, st := range services.Pick(list, at, desk.Today) {
			got := desk.Get(b.Context(), supply.Want{
				Service: services.Find(services.NOAADaily), Address: world.Address(services.NOAADaily), Station: st.ID,
				At: at, Until: desk.Today,
			})
			if len(got.Record.Series.Days) < 10000 {
				b.Fatal(got.State)
			}
		}
	}
}
