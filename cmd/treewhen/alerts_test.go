package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// receiver takes a POST, or refuses it while it is told to.
type receiver struct {
	*httptest.Server
	mu      sync.Mutex
	got     []string
	refuses bool
}

func startReceiver(t testing.TB) *receiver {
	r := &receiver{}
	r.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		body, _ := io.ReadAll(q.Body)
		r.mu.Lock()
		defer r.mu.Unlock()
		if r.refuses {
			http.Error(w, "not today, crew", http.StatusServiceUnavailable)
			return
		}
		r.got = append(r.got, string(body))
	}))
	t.Cleanup(r.Close)
	return r
}

func (r *receiver) taken() []string {
	r.mu.Lock()
	defer r.mu.Unlock()
	return append([]string(nil), r.got...)
}

func (r *receiver) refuse(is bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.refuses = is
}

// tellingPlan is a plan of an invented school, one of whose trips is booked for a week after a day: its reminder is due on
// that day, from its first minute on.
func tellingPlan(t testing.TB, day civil.Date, address, more string) string {
	t.Helper()
	plan := filepath.Join(t.TempDir(), "plan.yaml")
	text := fmt.Sprintf(`title: A school
feed_id: 6f9619ff-8b86-4d11-b42d-00c04fc964ff
activities:
  field-trip: {booked: [%s], reminder: "00:00", trips: 1, rain_within: 0 days, weekdays: [Mon, Tue, Wed, Thu, Fri, Sat, Sun]}
alerts:
  to: [{post: %q, tls: none, token: {env: TREEWHEN_TEST_TOKEN}%s}]
sites:
  - {id: school, latitude: 43.2, longitude: -71.5, elevation: 120 m, timezone: America/New_York, species: [red maple], activities: [field-trip]}
`, day+7, address+"/hush?key=hush", more)
	if err := os.WriteFile(plan, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return plan
}

// Feed tells what is due once, whatever fails in between, and says nothing that is in the plan alone.
func TestFeedTellsWhatIsDue(t *testing.T) {
	t.Setenv("TREEWHEN_TEST_TOKEN", "hush-hush")
	r := startReceiver(t)
	day := civil.Of(2027, 4, 12)
	plan := tellingPlan(t, day, r.URL, "")
	dir := filepath.Join(t.TempDir(), "cal")
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	feed := func(at civil.Date, hour int, want int, args ...string) string {
		t.Helper()
		var out, errs bytes.Buffer
		y, m, d := at.Date()
		p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: at, pause: time.Millisecond,
			now: func() time.Time { return time.Date(y, m, d, hour, 0, 0, 0, zone) }}
		if code := p.run(t.Context(), append([]string{"feed", plan, "--out", dir}, args...)); code != want {
			t.Fatalf("status %d, want %d: %s", code, want, errs.String())
		}
		for _, kept := range []string{"hush", "127.0.0.1", "not today"} {
			if text := out.String() + errs.String(); strings.Contains(text, kept) {
				t.Errorf("found %q in %s", kept, text)
			}
		}
		return errs.String()
	}
	feed(day-1, 5, exitDone)
	if got := r.taken(); len(got) > 0 {
		t.Fatalf("found told on the day before: %v", got)
	}
	if said := feed(day, 5, exitDone, "--as-of", day.String()); !strings.Contains(said, "no alerts are sent") || len(r.taken()) > 0 {
		t.Errorf("found %s, %v", said, r.taken())
	}
	r.refuse(true)
	if said := feed(day, 5, exitFailed); !strings.Contains(said, "the recipient on line 6 of the plan: it answers 503") {
		t.Errorf("found %s", said)
	}
	r.refuse(false)
	feed(day+1, 5, exitDone)
	feed(day+1, 6, exitDone)
	feed(day+2, 5, exitDone)
	got := r.taken()
	if len(got) != 1 {
		t.Fatalf("found told %d times, want once: %v", len(got), got)
	}
	if err := keeps(closedSchema(t, "alerts"), fmt.Sprintf(`{"title": "A school", "as_of": "%s", "alerts": [%s]}`, day, got[0])); err != nil {
		t.Error(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(files) != 3 {
		t.Errorf("found %v, %v, want two feeds and what is remembered", files, err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil || bytes.Contains(data, []byte("hush")) || bytes.Contains(data, []byte("127.0.0.1")) {
			t.Errorf("%s: %v, or found what is in the plan alone", name, err)
		}
	}
}

// In hours of quiet feed tells nobody, and says so; nothing is lost by it.
func TestFeedInHoursOfQuiet(t *testing.T) {
	t.Setenv("TREEWHEN_TEST_TOKEN", "hush-hush")
	r := startReceiver(t)
	plan := tellingPlan(t, civil.Of(2027, 4, 12), r.URL, `, quiet: "21:00/06:00"`)
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, row := range []struct{ hour, told int }{{5, 0}, {6, 1}, {7, 1}} {
		var out, errs bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 4, 12),
			now: func() time.Time { return time.Date(2027, 4, 12, row.hour, 0, 0, 0, zone) }}
		if code := p.run(t.Context(), []string{"feed", plan, "--out", dir}); code != exitDone {
			t.Fatal(errs.String())
		}
		if got := r.taken(); len(got) != row.told || strings.Contains(errs.String(), "hours of quiet") != (row.told == 0) {
			t.Errorf("at %d: found %d told, want %d; %s", row.hour, len(got), row.told, errs.String())
		}
	}
}

// Serve tells what is due today, tells /healthz when it cannot, and over a restart remembers what it told.
func TestServeTellsWhatIsDue(t *testing.T) {
	t.Setenv("TREEWHEN_TEST_TOKEN", "hush-hush")
	r := startReceiver(t)
	r.refuse(true)
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	plan := tellingPlan(t, civil.FromTime(time.Now().In(zone)), r.URL, "")
	state := filepath.Join(t.TempDir(), "state")
	begin := func() *served { return startServer(t, func(o *serveOptions) { o.state = state }, plan) }
	s := begin()
	s.wait("unsent", func() bool { return s.health().Status == "unsent" })
	_, _, health := s.get("/healthz")
	var h struct {
		Alerts struct{ Failing, Missed int }
	}
	if err := json.Unmarshal([]byte(health), &h); err != nil || h.Alerts.Failing != 1 || h.Alerts.Missed != 0 {
		t.Errorf("found %v, %s", err, health)
	}
	_, _, page := s.get("")
	for _, kept := range []string{"hush", strings.TrimPrefix(r.URL, "http://"), "not today"} {
		if text := s.log.String() + page + health; strings.Contains(text, kept) {
			t.Errorf("found %q in %s", kept, text)
		}
	}
	if !strings.Contains(s.log.String(), "the recipient on line 6 of the plan: it answers 503") {
		t.Errorf("found %s", s.log)
	}
	s.close()

	// A minute after it failed it is tried again: here, as if that had passed.
	r.refuse(false)
	memory := filepath.Join(state, "alerts.json")
	data, err := os.ReadFile(memory)
	if err != nil || !bytes.Contains(data, []byte(`"next"`)) {
		t.Fatalf("found %v\n%s", err, data)
	}
	writeFile(t, memory, strings.Replace(string(data), `"next": "20`, `"next": "19`, 1))
	s = begin()
	s.wait("told", func() bool { return len(r.taken()) == 1 })
	s.wait("ok", func() bool { return s.health().Status == "ok" })
	s.close()
	s = begin()
	time.Sleep(100 * time.Millisecond)
	s.close()
	if got := r.taken(); len(got) != 1 {
		t.Errorf("found told %d times, want once: %v", len(got), got)
	}

	// Without a folder nobody would remember.
	var out, errs bytes.Buffer
	p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 4, 12), now: time.Now}
	if code := p.run(t.Context(), []string{"serve", plan, "--listen", "127.0.0.1:0"}); code != exitUsage || !strings.Contains(errs.String(), "--state") {
		t.Errorf("found status %d: %s", code, errs.String())
	}
}

// A trial arrives as one, however often, and is no telling.
func TestTryAlerts(t *testing.T) {
	t.Setenv("TREEWHEN_TEST_TOKEN", "hush-hush")
	r := startReceiver(t)
	plan := tellingPlan(t, civil.Of(2027, 4, 19), r.URL, "")
	for try, row := range []struct {
		refuses bool
		code    int
		out     string
	}{
		{false, exitDone, "the recipient on line 6 of the plan: taken\n"}, {false, exitDone, "the recipient on line 6 of the plan: taken\n"},
		{true, exitFailed, ""},
	} {
		r.refuse(row.refuses)
		var out, errs bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 4, 12),
			now: func() time.Time { return time.Date(2027, 4, 12, 9, try, 0, 0, time.UTC) }}
		if code := p.run(t.Context(), []string{"alerts", plan, "--try"}); code != row.code || out.String() != row.out || strings.Contains(errs.String(), "hush") {
			t.Errorf("try %d: found status %d, %q and %q", try, code, out.String(), errs.String())
		}
	}
	ids := map[string]bool{}
	for _, text := range r.taken() {
		var got struct{ ID, Title, Message string }
		if err := json.Unmarshal([]byte(text), &got); err != nil || !strings.HasPrefix(got.Title, "Trial: ") || !strings.Contains(got.Message, "trial") {
			t.Errorf("found %v, %s", err, text)
		}
		ids[got.ID] = true
	}
	if len(ids) != 2 {
		t.Errorf("found %d trials, want 2", len(ids))
	}
}
