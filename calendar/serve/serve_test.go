package serve

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"treewhen/calendar/inputs"
)

// safeBuffer is a buffer that may be read while it is written.
type safeBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (b *safeBuffer) Write(p []byte) (int, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.Write(p)
}

func (b *safeBuffer) String() string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.b.String()
}

// TestRoughClients sends what no well-meaning client sends; the server must answer or hang up, and live on.
func TestRoughClients(t *testing.T) {
	log := &safeBuffer{}
	web := newWebServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "ok") }), &calmLog{w: log, most: linesAMinute})
	if web.ReadHeaderTimeout == 0 || web.ReadTimeout == 0 || web.WriteTimeout == 0 || web.IdleTimeout == 0 {
		t.Fatal("the server waits for ever")
	}
	web.ReadHeaderTimeout, web.ReadTimeout = 100*time.Millisecond, 200*time.Millisecond
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- serveUntil(ctx, web, newCrowd(listener, 8), func(context.Context) {}) }()
	talk := func(text string) string {
		t.Helper()
		c, err := net.Dial("tcp", listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		c.SetDeadline(time.Now().Add(5 * time.Second))
		io.WriteString(c, text) // may fail: the server may have hung up
		answer, _ := io.ReadAll(c)
		line, _, _ := strings.Cut(string(answer), "\r\n")
		return line
	}
	close := "Host: x\r\nConnection: close\r\n\r\n"
	for _, row := range []struct{ name, text, want string }{
		{"well meaning", "GET / HTTP/1.1\r\n" + close, "HTTP/1.1 200 OK"},
		{"huge header", "GET / HTTP/1.1\r\nX-A: " + strings.Repeat("a", 1<<20) + "\r\n" + close, "HTTP/1.1 431 Request Header Fields Too Large"},
		{"huge path", "GET /" + strings.Repeat("a", 1<<20) + " HTTP/1.1\r\n" + close, "HTTP/1.1 431 Request Header Fields Too Large"},
		{"no host", "GET / HTTP/1.1\r\n\r\n", "HTTP/1.1 400 Bad Request"},
		{"no HTTP", "hello\r\n\r\n", "HTTP/1.1 400 Bad Request"},
		{"another version", "GET / HTTP/3.9\r\n" + close, "HTTP/1.1 505 HTTP Version Not Supported"},
		{"bad header", "GET / HTTP/1.1\r\nX A: b\r\n" + close, "HTTP/1.1 400 Bad Request"},
		{"two lengths", "GET / HTTP/1.1\r\nContent-Length: 1\r\nContent-Length: 2\r\n" + close, "HTTP/1.1 400 Bad Request"},
		{"half a header", "GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ", ""},
		{"nothing", "", ""},
		{"TLS", "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", "HTTP/1.1 400 Bad Request"},
	} {
		got := talk(row.text)
		if row.want == "" && got != "" && !strings.Contains(got, "408") || !strings.HasPrefix(got, row.want) {
			// What cannot be parsed may be refused while it is still being sent, which resets the connection.
			if !(got == "" && len(row.text) > 1<<16) {
				t.Errorf("%s: found %q, want %q", row.name, got, row.want)
			}
		}
	}
	// Eight that say nothing take all the slots; when they have been hung up on, the next is served.
	for range 8 {
		c, err := net.Dial("tcp", listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
	}
	if got := talk("GET / HTTP/1.1\r\n" + close); got != "HTTP/1.1 200 OK" {
		t.Errorf("after eight silent clients: found %q", got)
	}
	if n := strings.Count(log.String(), "\n"); n > linesAMinute {
		t.Errorf("the log has %d lines", n)
	}
	cancel()
	if err := <-ended; err != nil {
		t.Errorf("found %v at the end", err)
	}
}

// TestGracefulStop: who is being answered when the signal comes gets the whole answer.
func TestGracefulStop(t *testing.T) {
	begun, release := make(chan bool), make(chan bool)
	web := newWebServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		begun <- true
		<-release
		io.WriteString(w, "the whole answer")
	}), io.Discard)
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended, answered := make(chan error, 1), make(chan string, 1)
	kept := make(chan bool, 1)
	go func() {
		ended <- serveUntil(ctx, web, newCrowd(listener, 8), func(ctx context.Context) { <-ctx.Done(); kept <- true })
	}()
	go func() {
		resp, err := http.Get("http://" + listener.Addr().String())
		if err != nil {
			answered <- err.Error()
			return
		}
		defer resp.Body.Close()
		body, err := io.ReadAll(resp.Body)
		answered <- fmt.Sprintf("%s%v", body, err)
	}()
	<-begun
	cancel()
	for range 200 { // until it has stopped listening
		if c, err := net.Dial("tcp", listener.Addr().String()); err != nil {
			break
		} else {
			c.Close()
		}
		time.Sleep(5 * time.Millisecond)
	}
	release <- true
	if got := <-answered; got != "the whole answer<nil>" {
		t.Errorf("found %s", got)
	}
	if err := <-ended; err != nil || !<-kept {
		t.Errorf("found %v", err)
	}
}

// TestNextDay: the civil hour of the day, over the changes to and from summer time. In New York clocks went from 02:00
// to 03:00 on 14 March 2027 and go from 02:00 to 01:00 on 7 November 2027 (Uniform Time Act as amended in 2005).
func TestNextDay(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{Daily: 5 * 60, zone: zone, good: &inputs.Inputs{}}
	for _, row := range []struct{ now, want string }{
		{"2027-03-12T09:00:00Z", "2027-03-12T10:00:00Z"},
		{"2027-03-12T10:00:00Z", "2027-03-13T10:00:00Z"},
		{"2027-03-13T12:00:00Z", "2027-03-14T09:00:00Z"}, // 23 hours on
		{"2027-11-06T12:00:00Z", "2027-11-07T10:00:00Z"}, // 25 hours on
		{"2027-12-31T23:00:00Z", "2028-01-01T10:00:00Z"},
	} {
		now, _ := time.Parse(time.RFC3339, row.now)
		if got := s.next(now).UTC().Format(time.RFC3339); got != row.want {
			t.Errorf("after %s: found %s, want %s", row.now, got, row.want)
		}
	}
	s.good.Remote = true
	now, _ := time.Parse(time.RFC3339, "2027-03-12T12:00:00Z")
	if got := s.next(now); got != now.Add(time.Hour) {
		t.Errorf("with temperatures from the web: found %s, want an hour on", got)
	}
}

func TestCalmLog(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var b bytes.Buffer
		l := &calmLog{w: &b, most: 3}
		for i := range 10 {
			l.Println(fmt.Sprintf("line %d", i))
		}
		time.Sleep(time.Minute)
		l.Println("one\ntwo\n")
		want := "treewhen: line 0\ntreewhen: line 1\ntreewhen: line 2\ntreewhen: 7 more lines were left out\ntreewhen: one\ntreewhen: two\n"
		if b.String() != want {
			t.Errorf("found\n%swant\n%s", &b, want)
		}
	})
}
