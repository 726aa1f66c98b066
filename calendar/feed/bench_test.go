package feed

import (
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// BenchmarkServing puts the feeds beside the standard library's own file server, over loopback, in one run: with a
// matching ETag (its Last-Modified, for files) and without. The first should not be below nine tenths of the second.
func BenchmarkServing(b *testing.B) {
	dir := b.TempDir()
	feedBody := []byte("BEGIN:VCALENDAR\r\n" + strings.Repeat("X-LINE:of a feed of thirty kilobytes\r\n", 800) + "END:VCALENDAR\r\n")
	if err := os.WriteFile(filepath.Join(dir, "ridge.ics"), feedBody, 0o644); err != nil {
		b.Fatal(err)
	}
	for _, server := range []struct {
		name    string
		handler http.Handler
		path    string
	}{
		{"feeds", benchmarkHandler(b, feedBody), "/feeds/ridge.ics"},
		{"files", http.FileServer(http.Dir(dir)), "/ridge.ics"},
	} {
		for _, matching := range []bool{false, true} {
			name := server.name + "/whole"
			if matching {
				name = server.name + "/unchanged"
			}
			b.Run(name, func(b *testing.B) {
				s := httptest.NewServer(server.handler)
				defer s.Close()
				benchmarkGet(b, s.URL+server.path, matching)
			})
		}
	}
}

// benchmarkHandler serves one feed from memory.
func benchmarkHandler(b *testing.B, body []byte) http.Handler {
	s, err := NewSnapshot(nil, time.Now(), []Document{{
		Path: "/feeds/ridge.ics", Type: "text/calendar; charset=utf-8", CacheControl: "public, max-age=300", Body: body,
	}})
	if err != nil {
		b.Fatal(err)
	}
	h := &Handler{}
	h.Swap(s)
	return h
}

// benchmarkGet asks again and again over eight connections, and reports requests a second and the slowest of a hundred.
func benchmarkGet(b *testing.B, address string, matching bool) {
	transport := &http.Transport{MaxIdleConnsPerHost: 8, DisableCompression: true}
	defer transport.CloseIdleConnections()
	client := &http.Client{Transport: transport}
	first, err := client.Get(address)
	if err != nil {
		b.Fatal(err)
	}
	io.Copy(io.Discard, first.Body)
	first.Body.Close()
	var mu sync.Mutex
	var took []time.Duration
	b.ReportAllocs()
	b.ResetTimer()
	b.SetParallelism(4)
	b.RunParallel(func(pb *testing.PB) {
		var mine []time.Duration
		for pb.Next() {
			req, _ := http.NewRequest("GET", address, nil)
			if matching {
				if tag := first.Header.Get("ETag"); tag != "" {
					req.Header.Set("If-None-Match", tag)
				} else {
					req.Header.Set("If-Modified-Since", first.Header.Get("Last-Modified"))
				}
			}
			begin := time.Now()
			resp, err := client.Do(req)
			if err != nil {
				b.Error(err)
				return
			}
			io.Copy(io.Discard, resp.Body)
			resp.Body.Close()
			mine = append(mine, time.Since(begin))
			if want := map[bool]int{false: 200, true: 304}[matching]; resp.StatusCode != want {
				b.Errorf("found %d, want %d", resp.StatusCode, want)
				return
			}
		}
		mu.Lock()
		took = append(took, mine...)
		mu.Unlock()
	})
	slices.Sort(took)
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "requests/s")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds()), "p99-µs")
}
