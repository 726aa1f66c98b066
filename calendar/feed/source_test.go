package feed_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"treewhen/calendar/feed"
)

// inputs are a source's inputs as a test changes them.
type inputs struct {
	mu       sync.Mutex
	stamp    string
	err      error
	computed int
	log      []string
}

func (in *inputs) set(stamp string, err error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	in.stamp, in.err = stamp, err
}

func (in *inputs) said() string {
	in.mu.Lock()
	defer in.mu.Unlock()
	return strings.Join(in.log, "\n")
}

func (in *inputs) count() int {
	in.mu.Lock()
	defer in.mu.Unlock()
	return in.computed
}

func (in *inputs) source() *feed.Source {
	return &feed.Source{
		Compute: func(context.Context) ([]feed.Document, error) {
			in.mu.Lock()
			defer in.mu.Unlock()
			in.computed++
			return []feed.Document{
				{Path: "/feed", Type: "text/plain", Body: []byte(in.stamp)},
				{Path: "/health", Type: "text/plain", Body: []byte("ok")},
			}, in.err
		},
		Stale: func(last []feed.Document, err error, since time.Time) []feed.Document {
			return []feed.Document{last[0], {Path: "/health", Type: "text/plain", Body: []byte("bad since " + since.UTC().Format(time.TimeOnly) + ": " + err.Error())}}
		},
		Stamp: func() string {
			in.mu.Lock()
			defer in.mu.Unlock()
			return in.stamp
		},
		Next: func(now time.Time) time.Time { return now.Truncate(24 * time.Hour).Add(24 * time.Hour) },
		Log: func(text string) {
			in.mu.Lock()
			defer in.mu.Unlock()
			in.log = append(in.log, text)
		},
		Poll: time.Second, Retry: 30 * time.Second,
	}
}

// TestSource follows a server through days of a clock that costs no time.
func TestSource(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		in := &inputs{stamp: "one"}
		s, h := in.source(), &feed.Handler{}
		ctx, cancel := context.WithCancel(t.Context())
		if err := s.Start(ctx, h); err != nil {
			t.Fatal(err)
		}
		var done atomic.Bool
		go func() {
			s.Run(ctx, h)
			done.Store(true)
		}()
		is := func(feed, health string, computed int) {
			t.Helper()
			synctest.Wait()
			if got := body(t, ask(h, "GET", "/feed")); got != feed {
				t.Errorf("found feed %q, want %q", got, feed)
			}
			if got := body(t, ask(h, "GET", "/health")); got != health {
				t.Errorf("found health %q, want %q", got, health)
			}
			if got := in.count(); got != computed {
				t.Errorf("worked it out %d times, want %d", got, computed)
			}
		}
		is("one", "ok", 1)
		time.Sleep(10 * time.Minute)
		is("one", "ok", 1) // nothing changed, nothing was done

		in.set("two", nil)
		time.Sleep(1500 * time.Millisecond)
		is("one", "ok", 1) // seen once: it may still be changing
		time.Sleep(time.Second)
		is("two", "ok", 2)

		for i := range 20 { // a file that is being written
			in.set(fmt.Sprint("writing ", i), nil)
			time.Sleep(time.Second)
		}
		is("two", "ok", 2)
		time.Sleep(2 * time.Second)
		is("writing 19", "ok", 3)

		in.set("three", errors.New("ridge.csv:4: found nonsense"))
		time.Sleep(3 * time.Second)
		is("writing 19", "bad since 00:10:26: ridge.csv:4: found nonsense", 4)
		time.Sleep(5 * time.Minute) // tried every half minute, said once
		is("writing 19", "bad since 00:10:26: ridge.csv:4: found nonsense", 14)
		if got := in.said(); got != "keeping the last good feeds: ridge.csv:4: found nonsense" {
			t.Errorf("found log %q", got)
		}
		in.set("three", nil) // mended without a trace: the next try finds it
		time.Sleep(31 * time.Second)
		is("three", "ok", 15)
		if got := in.said(); !strings.HasSuffix(got, "\nthe inputs are good again") {
			t.Errorf("found log %q", got)
		}

		time.Sleep(24 * time.Hour)
		is("three", "ok", 16) // the day's own
		cancel()
		synctest.Wait()
		if !done.Load() {
			t.Error("it does not stop")
		}
	})
}

// TestSourceOverdue: what keeps the source waiting longer than it should shows, and is over when it is; and stopping does
// not wait for what never ends.
func TestSourceOverdue(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		in := &inputs{stamp: "one"}
		s, h := in.source(), &feed.Handler{}
		s.Patience, s.Grace = time.Minute, 10*time.Second
		var hang, look atomic.Pointer[chan bool]
		compute, stamp := s.Compute, s.Stamp
		s.Compute = func(ctx context.Context) ([]feed.Document, error) {
			if wait := hang.Load(); wait != nil {
				<-*wait // as a disk does that is gone: no context ends it
			}
			return compute(ctx)
		}
		s.Stamp = func() string {
			if wait := look.Load(); wait != nil {
				<-*wait
			}
			return stamp()
		}
		ctx, cancel := context.WithCancel(t.Context())
		if err := s.Start(ctx, h); err != nil {
			t.Fatal(err)
		}
		var done atomic.Bool
		go func() {
			s.Run(ctx, h)
			done.Store(true)
		}()
		is := func(feed, health string) {
			t.Helper()
			synctest.Wait()
			if got := body(t, ask(h, "GET", "/feed")); got != feed {
				t.Errorf("found feed %q, want %q", got, feed)
			}
			if got := body(t, ask(h, "GET", "/health")); !strings.HasPrefix(got, health) {
				t.Errorf("found health %q, want %q", got, health)
			}
		}
		for _, what := range []*atomic.Pointer[chan bool]{&hang, &look} {
			release := make(chan bool)
			what.Store(&release)
			in.set("two", nil)
			time.Sleep(59 * time.Second)
			is("one", "ok")
			time.Sleep(10 * time.Second)
			is("one", "bad since ")
			what.Store(nil)
			close(release)
			time.Sleep(time.Minute)
			is("two", "ok")
			in.set("one", nil)
			time.Sleep(10 * time.Second)
			is("one", "ok")
		}
		if got := in.said(); strings.Count(got, feed.ErrOverdue.Error()) != 2 || !strings.HasSuffix(got, "good again") {
			t.Errorf("found log %q", got)
		}
		never := make(chan bool)
		hang.Store(&never)
		in.set("three", nil)
		time.Sleep(30 * time.Second)
		cancel()
		time.Sleep(9 * time.Second)
		synctest.Wait()
		if done.Load() {
			t.Error("it leaves at once what may be writing")
		}
		time.Sleep(2 * time.Second)
		synctest.Wait()
		if !done.Load() {
			t.Error("it does not stop")
		}
		close(never)
	})
}

func TestSourceStartFails(t *testing.T) {
	in := &inputs{err: errors.New("no such file")}
	h := &feed.Handler{}
	if err := in.source().Start(t.Context(), h); err == nil || h.Snapshot() != nil {
		t.Errorf("found %v, want the error and no snapshot", err)
	}
}

// TestNoMix has two hundred readers at a server whose documents are swapped all the time. Every reply must be whole, and
// what its ETag says; one snapshot must never be followed by an older one for the same reader.
func TestNoMix(t *testing.T) {
	h := newHandler(t, "")
	server := httptest.NewServer(h)
	defer server.Close()
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: 200, DisableCompression: true}}
	defer client.CloseIdleConnections()
	var tags sync.Map // ETag to the body it was seen with
	stop := make(chan struct{})
	var swaps, wait sync.WaitGroup
	swaps.Go(func() {
		for n := 2; ; n++ {
			select {
			case <-stop:
				return
			default:
			}
			s, err := feed.NewSnapshot(h.Snapshot(), noon.Add(time.Duration(n)*time.Second), documents(n))
			if err != nil {
				t.Error(err)
				return
			}
			h.Swap(s)
		}
	})
	for reader := range 200 {
		wait.Go(func() {
			newest := 0
			for range 15 {
				req, _ := http.NewRequest("GET", server.URL+"/feeds/ridge.ics", nil)
				if reader%2 == 0 {
					req.Header.Set("Accept-Encoding", "gzip")
				}
				r, err := client.Do(req)
				if err != nil {
					t.Error(err)
					return
				}
				raw, err := io.ReadAll(r.Body)
				r.Body.Close()
				if err != nil {
					t.Errorf("torn: %v", err)
					return
				}
				if r.Header.Get("Content-Encoding") == "gzip" {
					raw = unzip(t, raw)
				}
				var n int
				if _, err := fmt.Sscanf(string(raw), "BEGIN:VCALENDAR\r\nX-N:%d", &n); err != nil || !bytes.Equal(raw, calendarBody(n)) {
					t.Errorf("mixed: %.60q (%v)", raw, err)
					return
				}
				if n < newest {
					t.Errorf("found version %d after %d", n, newest)
				}
				newest = n
				if other, seen := tags.LoadOrStore(r.Header.Get("ETag"), n); seen && other != n {
					t.Errorf("found one ETag for versions %d and %v", n, other)
				}
			}
		})
	}
	wait.Wait()
	close(stop)
	swaps.Wait()
}

func unzip(t *testing.T, data []byte) []byte {
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Error(err)
		return nil
	}
	plain, err := io.ReadAll(z)
	if err != nil {
		t.Error(err)
	}
	return plain
}
