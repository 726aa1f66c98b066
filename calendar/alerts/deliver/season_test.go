package deliver

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// A season of an invented bush is lived day by day: each morning its work is worked out anew over the feed of the day
// before, and every hour what is due is sent, to an SMTP server and to an address that takes a POST. Both fail a third of
// the time, in one way or another, and are away for days; the program is started anew every third day. Each thing that was
// due arrives exactly once with each, not before its hour and not later than it is of use.
func TestSeasonOfFailingServers(t *testing.T) {
	r, q := rand.New(rand.NewPCG(2027, 3)), rand.New(rand.NewPCG(2027, 4))
	day := civil.Of(2027, time.February, 1)
	var gone atomic.Bool
	away := gone.Load
	m := startMail(t, planfile.StartTLS)
	m.fails = func(step string, _ int) error {
		m.mu.Lock()
		defer m.mu.Unlock()
		if steps := []string{"from", "to", "data", "end"}; away() || r.IntN(3) == 0 && steps[r.IntN(4)] == step || r.IntN(12) == 0 {
			return refuses(451)
		}
		return nil
	}
	asked, refused := 0, 0
	s := startSink(t, nil)
	s.answer = func(_ int, w http.ResponseWriter, _ *http.Request) bool {
		s.mu.Lock()
		defer s.mu.Unlock()
		asked++
		if !away() && q.IntN(3) > 0 {
			return true
		}
		refused++
		w.WriteHeader([]int{500, 503, 404, 429}[q.IntN(4)])
		return false
	}
	p := planOf(t, fmt.Sprintf(`  mail: {server: %s, port: %s, from: bush@example.org}
  to:
    - {mail: crew@example.org, quiet: "21:00/06:00"}
    - {post: %q}`, m.host, m.port, s.URL))
	send := sender(t, p, m, nil)
	send.trusted.AddCert(s.Certificate())
	send.patience = usual

	var clock time.Time
	open := func(path string) *Outbox {
		box, err := Open(path, func() time.Time { return clock })
		if err != nil {
			t.Fatal(err)
		}
		return box
	}
	path := filepath.Join(t.TempDir(), MemoryName)
	box := open(path)
	owed := map[string]alerts.Alert{} // what was due at any time while servers were asked
	var previous *ical.Previous
	var byMail, byPost int
	last := civil.Of(2027, time.May, 20)
	for ; day <= last; day++ {
		gone.Store(day.YearDay()%9 < 2)
		if day%3 == 0 {
			box = open(path)
		}
		entries, feed := morning(t, day, previous)
		previous = feed
		due := alerts.Due(day, entries)
		clock = day.Time()
		box.Put(calendartest.FeedID, p.Alerts.To, send, due, day, true)
		for _, a := range due {
			if !away() {
				owed[a.ID] = a
			}
		}
		for range 24 * 4 {
			box.Send(t.Context()) // what fails is tried again: it is the arrivals that count
			letters, posts := m.texts(), s.texts()
			if hour := clock.Hour(); len(letters) > byMail && (hour >= 21 || hour < 6) {
				t.Errorf("%s: found a mail in quiet hours", clock)
			}
			for _, list := range [][]string{letters[byMail:], posts[byPost:]} {
				for _, text := range list {
					for _, a := range due {
						if strings.Contains(text, a.ID) && (clock.Before(a.At()) || civil.FromTime(clock) > a.Until) {
							t.Errorf("%s: found it told of %s on %s to %s", clock, a.Reminder().Kind, a.Day, a.Until)
						}
					}
				}
			}
			byMail, byPost = len(letters), len(posts)
			clock = clock.Add(15 * time.Minute)
		}
	}
	arrived := map[string][2]int{}
	for _, letter := range m.taken(t) {
		id, _, _ := strings.Cut(strings.Trim(letter.Header.Get("Message-ID"), "<>"), "@")
		n := arrived[id]
		n[0]++
		arrived[id] = n
	}
	for _, text := range s.texts() {
		var got alerts.Message
		if err := json.Unmarshal([]byte(text), &got); err != nil {
			t.Fatal(err)
		}
		n := arrived[got.ID]
		n[1]++
		arrived[got.ID] = n
	}
	for id, a := range owed {
		if arrived[id] != [2]int{1, 1} {
			t.Errorf("%s of %s, from %s to %s: found it told %v times, by mail and by POST, want once each",
				a.Reminder().Kind, a.Entry.Task, a.Day, a.Until, arrived[id])
		}
		delete(arrived, id)
	}
	if len(arrived) > 0 {
		t.Errorf("found told what was never due: %v", arrived)
	}
	if len(owed) < 8 || refused*4 < asked || asked < 2*len(owed)*9/10 {
		t.Errorf("found %d things due and %d of %d requests refused: too few to show anything", len(owed), refused, asked)
	}
	if trouble := box.Trouble(); trouble.Any() {
		t.Errorf("found %+v", trouble)
	}
	t.Logf("%d things due; %d of %d requests and %v of mail refused", len(owed), refused, asked, m.asked)
}

// morning works out the bush's work of a day over the feed of the day before.
func morning(t testing.TB, day civil.Date, previous *ical.Previous) ([]*calendar.Entry, *ical.Previous) {
	t.Helper()
	p := calendartest.MadePlan(day, 12, 0, "red maple", "sugar maple")
	p.FeedID, p.AsOf, p.Span = calendartest.FeedID, day, civil.Span{First: day - 14, Last: day + 365}
	pl := p.Places[0]
	made := calendartest.MadeSeries(day+6, 12, 0) // of which the last seven days are forecast
	for d := day; d <= day+6; d++ {
		made.Days[d-made.First].Flags |= weather.Forecast
	}
	pl.Outlook.Temps = phenology.NewTemperatures(pl.Outlook.Site, made)
	pl.Activities = []calendar.Activity{calendar.Tapping, calendar.SeedCollection}
	if previous != nil {
		pl.Memory = previous.Memory()
	}
	entries := buildtest.Schedule(p).Entries
	data, _, err := ical.RenderICS(ical.Feed{UID: calendar.CalendarUID(p.FeedID, pl.Site().ID, ""), Name: "Made Hill", AsOf: day,
		Entries: entries, Previous: previous})
	if err != nil {
		t.Fatal(err)
	}
	if previous, err = ical.ReadPrevious(bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	return entries, previous
}
