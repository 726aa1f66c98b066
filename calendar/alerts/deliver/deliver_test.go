package deliver

import (
	"context"
	"fmt"
	"io"
	"mime"
	"mime/quotedprintable"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/alerts"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/planfile"
	"treewhen/calendar/words"
)

// planOf reads a plan with alerts, given by their YAML.
func planOf(t testing.TB, text string) *planfile.Plan {
	t.Helper()
	p, err := planfile.Read(strings.NewReader("title: A plan\nalerts:\n"+text+
		"\nsites: [{id: here, latitude: 44, longitude: -89, elevation: 350 m, timezone: America/Chicago}]\n"), "plan.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func mailPlan(t testing.TB, m *mailServer, way planfile.TLS, more string) *planfile.Plan {
	return planOf(t, fmt.Sprintf(`  mail: {server: %s, port: %s, tls: %s, from: Kettle Ridge <bush@example.org>%s}
  to: [{mail: Crew <crew@example.org>}]`, m.host, m.port, way, more))
}

func sender(t testing.TB, p *planfile.Plan, m *mailServer, s *sink) *Sender {
	t.Helper()
	got, err := New(p, func(name string) string { return map[string]string{"PASSWORD": serverPassword}[name] })
	if err != nil {
		t.Fatal(err)
	}
	switch {
	case m != nil:
		got.trusted = m.trusted
	case s != nil:
		got.trusted = s.Client().Transport.(*http.Transport).TLSClientConfig.RootCAs
	}
	got.patience = patience{mail: time.Second, post: time.Second}
	return got
}

// message is an alert of an invented entry.
func message() alerts.Message {
	e := icaltest.TapEntry("2027-03-10", "2027-03-20")
	icaltest.Said(e, func(t *words.Text) {
		t.Reminders[1] = "Tap sugar maple: tap now – érable, " + strings.Repeat("long ", 30)
	})
	return alerts.Due(calendartest.Day("2027-03-10"), []*calendar.Entry{e})[1].Message()
}

func TestMailIsHandedOver(t *testing.T) {
	for _, way := range []planfile.TLS{planfile.StartTLS, planfile.FromTLS, planfile.NoTLS} {
		for _, login := range []string{"", ", user: bush@example.org, password: {env: PASSWORD}"} {
			m := startMail(t, way)
			p := mailPlan(t, m, way, login)
			want := message()
			if err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], want); err != nil {
				t.Errorf("%s%s: %v", way, login, err)
				continue
			}
			list := m.taken(t)
			if logins := m.times("auth"); len(list) != 1 || (logins > 0) != (login != "") {
				t.Errorf("%s%s: found %d mails and %d logins", way, login, len(list), logins)
				continue
			}
			letter := list[0]
			subject, err := new(mime.WordDecoder).DecodeHeader(letter.Header.Get("Subject"))
			to, errTo := letter.Header.AddressList("To")
			from, errFrom := letter.Header.AddressList("From")
			_, errDate := letter.Header.Date()
			if err != nil || errTo != nil || errFrom != nil || errDate != nil {
				t.Fatal(err, errTo, errFrom, errDate)
			}
			if subject != want.Title || to[0].Address != "crew@example.org" || from[0].Name != "Kettle Ridge" ||
				letter.Header.Get("Message-ID") != "<"+want.ID+"@example.org>" || letter.Header.Get("Auto-Submitted") != "auto-generated" {
				t.Errorf("found %q, %v, %v, %v", subject, to, from, letter.Header)
			}
			body, err := io.ReadAll(quotedprintable.NewReader(letter.Body))
			text := strings.ReplaceAll(string(body), "\r\n", "\n")
			if err != nil || !strings.HasPrefix(text, want.Message) || !strings.Contains(text, "A plan") {
				t.Errorf("found %v\n%s\nwant\n%s", err, text, want.Message)
			}
		}
	}
}

// What goes wrong is said without any address, and without what the other side says.
func TestMailThatFails(t *testing.T) {
	at := func(step string, err error) func(string, int) error {
		return func(s string, _ int) error {
			if s == step {
				return err
			}
			return nil
		}
	}
	hang := func(step string) func(string, int) error {
		return func(s string, _ int) error {
			if s == step {
				time.Sleep(3 * time.Second) // three times what is waited for it
			}
			return nil
		}
	}
	login := ", user: bush@example.org, password: {env: PASSWORD}"
	for name, row := range map[string]struct {
		server, plan planfile.TLS
		more         string
		fails        func(string, int) error
		untrusted    bool
		want         string
	}{
		"nobody of that name":       {planfile.StartTLS, planfile.StartTLS, login, at("to", refuses(550)), false, "it does not take the mail: 550 5.1.1"},
		"try again later":           {planfile.StartTLS, planfile.StartTLS, "", at("from", refuses(451)), false, "it does not take the mail: 451 4.1.1"},
		"refused at the end":        {planfile.StartTLS, planfile.StartTLS, "", at("end", refuses(552)), false, "it does not take the mail: 552 5.1.1"},
		"not let in":                {planfile.StartTLS, planfile.StartTLS, login, at("auth", refuses(535)), false, "it does not let us in: 535"},
		"it hangs at the end":       {planfile.StartTLS, planfile.StartTLS, "", hang("end"), false, "it broke off, or does not answer in time"},
		"it hangs at once":          {planfile.StartTLS, planfile.StartTLS, "", hang("hello"), false, "it does not answer in time"},
		"it knows no TLS":           {planfile.NoTLS, planfile.StartTLS, login, nil, false, "it offers no TLS"},
		"no TLS from the start":     {planfile.NoTLS, planfile.FromTLS, login, nil, false, "it does not speak TLS there"},
		"a certificate of nobody's": {planfile.StartTLS, planfile.StartTLS, login, nil, true, "its certificate is not to be trusted"},
	} {
		t.Run(name, func(t *testing.T) {
			m := startMail(t, row.server)
			m.fails = row.fails
			p := mailPlan(t, m, row.plan, row.more)
			s := sender(t, p, m, nil)
			if row.untrusted {
				s.trusted = nil
			}
			err := s.Send(t.Context(), p.Alerts.To[0], message())
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("found %v, want %q", err, row.want)
			}
			saysNothing(t, err)
			if row.server == planfile.NoTLS && m.times("auth") > 0 {
				t.Error("found the password sent on a connection without TLS")
			}
		})
	}
	m := startMail(t, planfile.StartTLS)
	p := mailPlan(t, m, planfile.StartTLS, "")
	p.Alerts.Mail.Port = 1
	err := sender(t, p, m, nil).Send(t.Context(), p.Alerts.To[0], message())
	if err == nil || !strings.Contains(err.Error(), "the recipient on line 4 of the plan: the mail server: it refuses connections") {
		t.Errorf("found %v", err)
	}
}

// saysNothing holds an error to what may be read in a log.
func saysNothing(t testing.TB, err error) {
	t.Helper()
	for _, kept := range []string{"example", "127.0.0.1", "crew", "bush", serverPassword, "not today"} {
		if err != nil && strings.Contains(fmt.Sprintf("%v %+v %#v", err, err, err), kept) {
			t.Errorf("found %q in %v", kept, err)
		}
	}
}

func postPlan(t testing.TB, s *sink, more string) *planfile.Plan {
	return planOf(t, fmt.Sprintf("  to: [{post: %q%s}]", s.URL+"/example-bush?key=crew", more))
}

func TestPost(t *testing.T) {
	s := startSink(t, nil)
	p := postPlan(t, s, `, token: {env: PASSWORD}, fields: {topic: bush, text: "{title}: {message}"}`)
	want := message()
	if err := sender(t, p, nil, s).Send(t.Context(), p.Alerts.To[0], want); err != nil {
		t.Fatal(err)
	}
	got, header := s.taken()
	if len(got) != 1 || header[0].Get("Authorization") != "Bearer "+serverPassword || header[0].Get("Content-Type") != "application/json" ||
		header[0].Get("Idempotency-Key") != `"`+want.ID+`"` {
		t.Errorf("found %v %v", got, header)
	}
	for _, part := range []string{`"id":"` + want.ID + `"`, `"topic":"bush"`, `"text":"Tap sugar maple: tap now`, `"site":"fallow-creek"`} {
		if !strings.Contains(got[0], part) {
			t.Errorf("found no %s in %s", part, got[0])
		}
	}
}

func TestPostThatFails(t *testing.T) {
	code := func(code int) func(int, http.ResponseWriter, *http.Request) bool {
		return func(_ int, w http.ResponseWriter, _ *http.Request) bool {
			w.Header().Set("Location", "/elsewhere")
			w.WriteHeader(code)
			io.WriteString(w, "<crew@example.org>: not today")
			return false
		}
	}
	for name, row := range map[string]struct {
		answer func(int, http.ResponseWriter, *http.Request) bool
		want   string
	}{
		"not there":    {code(404), "it answers 404"},
		"out of order": {code(503), "it answers 503"},
		"elsewhere":    {code(307), "it answers 307 and redirects"},
		"it hangs": {func(_ int, _ http.ResponseWriter, r *http.Request) bool {
			select {
			case <-r.Context().Done():
			case <-time.After(3 * time.Second):
			}
			return false
		}, "it does not answer in time"},
		"it breaks off": {func(int, http.ResponseWriter, *http.Request) bool { panic(http.ErrAbortHandler) }, "it broke off"},
	} {
		s := startSink(t, row.answer)
		p := postPlan(t, s, "")
		err := sender(t, p, nil, s).Send(t.Context(), p.Alerts.To[0], message())
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: found %v, want %q", name, err, row.want)
		}
		saysNothing(t, err)
		if n := s.times(); n != 1 {
			t.Errorf("%s: found %d requests, want one: redirects are not followed", name, n)
		}
	}
	s := startSink(t, nil)
	p := postPlan(t, s, "")
	one := sender(t, p, nil, s)
	one.trusted = nil
	err := one.Send(t.Context(), p.Alerts.To[0], message())
	if err == nil || !strings.Contains(err.Error(), "its certificate is not to be trusted") {
		t.Errorf("found %v", err)
	}
	saysNothing(t, err)
	s.Close()
	err = sender(t, p, nil, s).Send(t.Context(), p.Alerts.To[0], message())
	if err == nil || !strings.Contains(err.Error(), "it refuses connections") {
		t.Errorf("found %v", err)
	}
	saysNothing(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := sender(t, p, nil, s).Send(ctx, p.Alerts.To[0], message()); err == nil || !strings.Contains(err.Error(), "interrupted") {
		t.Errorf("found %v", err)
	}
}

// Passwords come from where the plan says, and are in no error.
func TestSecrets(t *testing.T) {
	file := filepath.Join(t.TempDir(), "secret.txt")
	text := "  mail: {server: smtp.example.org, from: bush@example.org, user: bush, password: %s}\n  to: [{mail: crew@example.org}]"
	for _, row := range []struct{ where, holds, want string }{
		{"{env: PASSWORD}", "", ""},
		{"{file: " + file + "}", "  " + serverPassword + " \r\nnotes\n", ""},
		{"{env: NOTHING}", "", "plan.yaml:3: alerts: found no variable NOTHING in the environment"},
		{"{file: " + file + "}", "\nhunter2\n", "found nothing in its first line"},
		{"{file: " + file + ".gone}", "", "no such file"},
	} {
		if err := os.WriteFile(file, []byte(row.holds), 0o600); err != nil {
			t.Fatal(err)
		}
		p := planOf(t, fmt.Sprintf(text, row.where))
		s, err := New(p, func(name string) string { return map[string]string{"PASSWORD": serverPassword}[name] })
		if row.want == "" && (err != nil || s.secrets[p.Alerts.Mail.Password] != serverPassword) {
			t.Errorf("%s: found %v", row.where, err)
		}
		if row.want != "" && (err == nil || !strings.Contains(err.Error(), row.want) || strings.Contains(err.Error(), "hunter2")) {
			t.Errorf("%s: found %v, want %q", row.where, err, row.want)
		}
	}
}

// A late answer is waited for; one that comes later than that makes it sent again, as the same thing. Who hangs keeps
// nobody else waiting.
func TestOutboxWithLateAnswers(t *testing.T) {
	late := 100 * time.Millisecond
	s := startSink(t, nil)
	s.answer = func(n int, _ http.ResponseWriter, _ *http.Request) bool {
		s.mu.Lock()
		wait := late
		s.mu.Unlock()
		if n == 1 {
			time.Sleep(wait)
		}
		return true
	}
	m := startMail(t, planfile.StartTLS)
	m.fails = func(step string, _ int) error {
		if step == "data" {
			time.Sleep(3 * time.Second)
		}
		return nil
	}
	for _, row := range []struct {
		late time.Duration
		want int
	}{{100 * time.Millisecond, 1}, {1500 * time.Millisecond, 2}} {
		s.mu.Lock()
		late, s.asked, s.got, s.header = row.late, 0, nil, nil
		s.mu.Unlock()
		p := planOf(t, fmt.Sprintf(`  mail: {server: %s, port: %s, from: bush@example.org}
  to: [{mail: crew@example.org}, {post: %q}]`, m.host, m.port, s.URL))
		send := sender(t, p, m, nil)
		send.trusted.AddCert(s.Certificate())
		send.patience = patience{mail: 20 * time.Second, post: time.Second}
		var hours atomic.Int64 // since noon
		box, err := Open(filepath.Join(t.TempDir(), MemoryName), func() time.Time {
			return time.Date(2027, 3, 10, 12+int(hours.Load()), 0, 0, 0, time.UTC)
		})
		if err != nil {
			t.Fatal(err)
		}
		e := icaltest.TapEntry("2027-03-10", "2027-03-20")
		e.Reminders = e.Reminders[1:]
		due := alerts.Due(calendartest.Day("2027-03-10"), []*calendar.Entry{e})
		box.Put(calendartest.FeedID, p.Alerts.To, send, due, calendartest.Day("2027-03-10"), true)
		mailed := make(chan error, 1)
		go func() { mailed <- box.Send(t.Context()) }()
		for try := 0; try < 1000; try++ {
			time.Sleep(10 * time.Millisecond)
			if got, _ := s.taken(); len(got) == row.want {
				break
			}
			if box.Trouble().Failing > 0 { // only by POST: mail takes three seconds
				hours.Store(1)
				box.Send(t.Context())
			}
		}
		if len(m.taken(t)) > 0 {
			t.Error("found the mail taken before the POST, which had to wait for it")
		}
		if err := <-mailed; (err != nil) != (row.want > 1) {
			t.Errorf("found %v", err)
		}
		time.Sleep(row.late)
		got, header := s.taken()
		if len(got) != row.want || header[0].Get("Idempotency-Key") != header[len(header)-1].Get("Idempotency-Key") {
			t.Errorf("answered after %v: found it taken %d times, want %d: %v", row.late, len(got), row.want, header)
		}
		if box.Trouble().Any() || len(m.taken(t)) != 1 {
			t.Errorf("found %+v, %d mails", box.Trouble(), len(m.taken(t)))
		}
		m.mu.Lock()
		m.got = nil
		m.mu.Unlock()
	}
}
