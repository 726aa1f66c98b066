package fetch

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

const goodAnswer = "date,tmin_c,tmax_c\n2027-03-01,-4,5\n2027-03-02,-3,6\n"

// otherSide is a server that misbehaves as it is told to.
type otherSide struct {
	*httptest.Server
	asked  atomic.Int32
	answer atomic.Pointer[http.HandlerFunc]
}

func newOtherSide(t *testing.T, answer http.HandlerFunc) *otherSide {
	s := &otherSide{}
	s.answer.Store(&answer)
	s.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.asked.Add(1)
		(*s.answer.Load())(w, r)
	}))
	t.Cleanup(func() {
		s.CloseClientConnections()
		s.Close()
	})
	return s
}

func (s *otherSide) becomes(answer http.HandlerFunc) {
	s.answer.Store(&answer)
	s.asked.Store(0)
}

func good(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("ETag", `"one"`)
	if r.Header.Get("If-None-Match") == `"one"` {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	io.WriteString(w, goodAnswer)
}

func status(code int) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(code) }
}

// testFetcher is a fetcher that waits for nothing and says for how long it would have.
func testFetcher(dir string, named ...string) (*Client, *[]time.Duration) {
	f := New(dir, named...)
	f.web.Timeout = 20 * time.Second
	f.limit = 1 << 20
	var waits []time.Duration
	f.Wait = func(ctx context.Context, d time.Duration) error {
		waits = append(waits, d)
		return ctx.Err()
	}
	return f, &waits
}

// accept is a reader of temperatures: it takes what begins as they do.
func accept(got *string) func(io.Reader) error {
	return func(r io.Reader) error {
		data, err := io.ReadAll(r)
		if err != nil {
			return err
		}
		if !strings.HasPrefix(string(data), "date,") {
			return errors.New("found no header")
		}
		*got = string(data)
		return nil
	}
}

// TestFetchMisbehaved: with every way in which the other side can fail, there is an error that says which without a
// copy, and the last good copy with one.
func TestFetchMisbehaved(t *testing.T) {
	huge := strings.Repeat("date,tmin_c,tmax_c\n", 1<<16)
	for _, row := range []struct {
		name   string
		answer http.HandlerFunc
		want   string // in the error
		tries  int32
	}{
		{"not found", status(404), "HTTP status 404 Not Found", 1},
		{"gone", status(410), "HTTP status 410 Gone", 1},
		{"forbidden", status(403), "HTTP status 403 Forbidden", 1},
		{"server error", status(500), "HTTP status 500", 4},
		{"overloaded", status(503), "HTTP status 503", 4},
		{"too many requests", status(429), "HTTP status 429", 4},
		{"no content", status(204), "HTTP status 204", 1},
		{"partial content", status(206), "HTTP status 206", 1},
		{"not modified, unasked", status(304), "HTTP status 304", 1},
		{"silent", func(_ http.ResponseWriter, r *http.Request) { <-r.Context().Done() }, "no answer in time", 4},
		{"slow", func(w http.ResponseWriter, r *http.Request) {
			for range 100 {
				if _, err := io.WriteString(w, "date,"); err != nil {
					return
				}
				w.(http.Flusher).Flush()
				select {
				case <-r.Context().Done():
					return
				case <-time.After(20 * time.Millisecond):
				}
			}
		}, "no answer in time", 4},
		{"cut short", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Length", "1000")
			io.WriteString(w, goodAnswer)
		}, "cut short", 4},
		{"cut short in chunks", func(w http.ResponseWriter, _ *http.Request) {
			io.WriteString(w, goodAnswer)
			w.(http.Flusher).Flush()
			panic(http.ErrAbortHandler)
		}, "cut short", 4},
		{"hangs up", func(w http.ResponseWriter, _ *http.Request) { panic(http.ErrAbortHandler) }, "EOF", 4},
		{"no HTTP", func(w http.ResponseWriter, _ *http.Request) {
			c, _, err := w.(http.Hijacker).Hijack()
			if err != nil {
				return
			}
			io.WriteString(c, "what?\r\n\r\n")
			c.Close()
		}, "malformed HTTP", 4},
		{"redirects in circles", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/again", http.StatusFound) }, "circles", 6},
		{"redirects to a file", func(w http.ResponseWriter, r *http.Request) {
			http.Redirect(w, r, "file:///etc/passwd", http.StatusFound)
		}, "neither https nor http", 1},
		{"huge", func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, huge) }, "MiB", 1},
		{"huge and says so", func(w http.ResponseWriter, _ *http.Request) { w.Header().Set("Content-Length", "4000000000") }, "MiB", 1},
		{"huge once unpacked", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Encoding", "gzip")
			z := gzip.NewWriter(w)
			io.WriteString(z, huge)
			z.Close()
		}, "MiB", 1},
		{"broken gzip", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Encoding", "gzip")
			io.WriteString(w, goodAnswer)
		}, "gzip", 4},
		{"another type", func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html")
			io.WriteString(w, "<html>Please log in")
		}, "found no header", 1},
		{"empty", func(http.ResponseWriter, *http.Request) {}, "found no header", 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			s := newOtherSide(t, row.answer)
			patience := 20 * time.Second // only who waits for nothing is not waited for
			if row.want == "no answer in time" {
				patience = 300 * time.Millisecond
			}
			f, waits := testFetcher("", s.URL)
			f.web.Timeout = patience
			f.web.Transport.(*http.Transport).DisableCompression = false
			var got string
			stale, _, err := f.Get(t.Context(), s.URL, accept(&got))
			if err == nil || !strings.Contains(err.Error(), row.want) || stale != "" || strings.Contains(err.Error(), s.URL) {
				t.Errorf("found %v, want an error with %q and without the address", err, row.want)
			}
			if n := s.asked.Load(); n != row.tries {
				t.Errorf("asked %d times, want %d", n, row.tries)
			}
			if row.tries == 4 && fmt.Sprint(*waits) != "[1s 2s 4s]" {
				t.Errorf("waited %v, want each twice as long as the one before", *waits)
			}

			// The same with a good copy of two days ago.
			dir := t.TempDir()
			f, _ = testFetcher(dir, s.URL)
			f.Now = func() time.Time { return time.Date(2027, 3, 10, 6, 12, 0, 0, time.UTC) }
			s.becomes(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, goodAnswer) }) // without an ETag, so that it is sent anew
			if stale, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil || stale != "" {
				t.Fatalf("found %q, %v", stale, err)
			}
			f.Now = func() time.Time { return time.Date(2027, 3, 12, 7, 0, 0, 0, time.UTC) }
			if row.name == "not modified, unasked" {
				return // asked about a copy, that is a good answer
			}
			f.web.Timeout = patience
			s.becomes(row.answer)
			got = ""
			stale, _, err = f.Get(t.Context(), s.URL, accept(&got))
			if err != nil || got != goodAnswer || !strings.Contains(stale, row.want) || !strings.HasSuffix(stale, "; using the copy of 10 March 2027 06:12 UTC, 2 days old") {
				t.Errorf("found %q, %v, %q", stale, err, got)
			}
		})
	}
}

func TestFetchAsksWhetherACopyIsGood(t *testing.T) {
	s := newOtherSide(t, good)
	f, _ := testFetcher(t.TempDir(), s.URL)
	var got string
	var confirmed time.Time
	for i := range 3 {
		confirmed = time.Date(2027, 3, 10+i, 0, 0, 0, 0, time.UTC)
		f.Now = func() time.Time { return confirmed }
		got = ""
		if stale, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil || stale != "" || got != goodAnswer {
			t.Fatalf("found %q, %v, %q", stale, err, got)
		}
	}
	if c := f.Kept.Read(s.URL); c == nil || !c.Confirmed.Equal(confirmed) {
		t.Errorf("found copy %+v, want one confirmed on the last day", c)
	}
	// By Last-Modified, where there is no ETag.
	var since string
	s.becomes(func(w http.ResponseWriter, r *http.Request) {
		since = r.Header.Get("If-Modified-Since")
		w.Header().Set("Last-Modified", "Fri, 12 Mar 2027 12:00:00 GMT")
		io.WriteString(w, goodAnswer)
	})
	for range 2 {
		if _, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil {
			t.Fatal(err)
		}
	}
	if since != "Fri, 12 Mar 2027 12:00:00 GMT" {
		t.Errorf("found If-Modified-Since %q", since)
	}
	// A damaged copy is as good as none: it is fetched anew, not trusted.
	path := f.Kept.path(s.URL)
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, damaged := range [][]byte{data[:len(data)-3], nil, []byte("{}\n"), bytes.Replace(data, []byte("-4,5"), []byte("-4,6"), 1)} {
		if err := os.WriteFile(path, damaged, 0o644); err != nil {
			t.Fatal(err)
		}
		s.becomes(good)
		if _, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil || got != goodAnswer {
			t.Errorf("found %v, %q", err, got)
		}
		if after, _ := os.ReadFile(path); !bytes.Contains(after, []byte("-4,5")) {
			t.Errorf("the damaged copy was kept")
		}
	}
}

func TestFetchWaitsAsAsked(t *testing.T) {
	s := newOtherSide(t, nil)
	first := true
	s.becomes(func(w http.ResponseWriter, r *http.Request) {
		if first {
			first = false
			w.Header().Set("Retry-After", "7")
			w.WriteHeader(503)
			return
		}
		good(w, r)
	})
	f, waits := testFetcher("", s.URL)
	var got string
	if _, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil || fmt.Sprint(*waits) != "[7s]" {
		t.Errorf("found %v, waits %v", err, *waits)
	}
	s.becomes(func(w http.ResponseWriter, _ *http.Request) { // a day is more than anybody waits
		w.Header().Set("Retry-After", "86400")
		w.WriteHeader(503)
	})
	*waits = nil
	if _, _, err := f.Get(t.Context(), s.URL, accept(&got)); err == nil || fmt.Sprint(*waits) != "[30s 30s 30s]" {
		t.Errorf("found %v, waits %v", err, *waits)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, _, err := f.Get(ctx, s.URL, accept(&got)); err == nil || !strings.Contains(err.Error(), "stopped") {
		t.Errorf("when told to stop: found %v", err)
	}
}

func TestRedirectsAreFollowedWithCare(t *testing.T) {
	s := newOtherSide(t, func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path != "/end" {
			http.Redirect(w, r, "/end", http.StatusMovedPermanently)
			return
		}
		good(w, r)
	})
	f, _ := testFetcher("", s.URL)
	var got string
	if _, _, err := f.Get(t.Context(), s.URL, accept(&got)); err != nil || got != goodAnswer {
		t.Errorf("found %v", err)
	}
	secure := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, s.URL, http.StatusFound) }))
	defer secure.Close()
	client := secure.Client()
	client.CheckRedirect = checkRedirect
	f.web = client
	if _, _, err := f.Get(t.Context(), secure.URL, accept(&got)); !errors.Is(err, errDowngrade) {
		t.Errorf("from https to http: found %v", err)
	}
}
