package feed_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/feed"
)

var noon = time.Date(2027, 3, 12, 12, 0, 0, 0, time.UTC)

func calendarBody(n int) []byte {
	return []byte("BEGIN:VCALENDAR\r\n" + strings.Repeat(fmt.Sprintf("X-N:%d\r\n", n), 500) + "END:VCALENDAR\r\n")
}

func documents(n int) []feed.Document {
	secret := feed.Document{Path: "/feeds/hidden.ics", Type: "text/calendar; charset=utf-8", CacheControl: "private, max-age=300", Body: calendarBody(n + 1000)}
	secret.Key = feed.Key("a secret of the plan", secret.Path)
	hiddenPage := feed.Document{Path: "/page/", Type: "text/html; charset=utf-8", CacheControl: "no-cache", Body: []byte("<p>hidden")}
	hiddenPage.Key = feed.Key("a secret of the plan", hiddenPage.Path)
	return []feed.Document{
		{Path: "/", Type: "text/html; charset=utf-8", CacheControl: "no-cache", Policy: "default-src 'none'", Body: []byte("<p>page")},
		{Path: "/feeds/ridge.ics", Type: "text/calendar; charset=utf-8", CacheControl: "public, max-age=300", Body: calendarBody(n)},
		secret, hiddenPage,
	}
}

func newHandler(t testing.TB, prefix string) *feed.Handler {
	t.Helper()
	s, err := feed.NewSnapshot(nil, noon, documents(1))
	if err != nil {
		t.Fatal(err)
	}
	h := &feed.Handler{Prefix: prefix}
	h.Swap(s)
	return h
}

func ask(h http.Handler, method, target string, header ...string) *http.Response {
	r := httptest.NewRequest(method, "/", nil)
	r.URL.Path = target
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func body(t testing.TB, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestStatus asks for what people, programs and mischief ask for.
func TestStatus(t *testing.T) {
	h := newHandler(t, "/trees")
	first := ask(h, "GET", "/feeds/ridge.ics")
	tag := first.Header.Get("ETag")
	modified := first.Header.Get("Last-Modified")
	zippedTag := ask(h, "GET", "/feeds/ridge.ics", "Accept-Encoding", "gzip").Header.Get("ETag")
	if tag == zippedTag || !strings.HasPrefix(tag, `"`) || strings.HasPrefix(tag, "W/") {
		t.Fatalf("found ETags %s and %s, want two strong ones: RFC 9110 section 8.8.3", tag, zippedTag)
	}
	key := feed.Key("a secret of the plan", "/feeds/hidden.ics")
	pageKey := feed.Key("a secret of the plan", "/page/")
	for _, row := range []struct {
		name, method, path string
		header             []string
		want               int
	}{
		{"page", "GET", "/", nil, 200},
		{"feed", "GET", "/feeds/ridge.ics", nil, 200},
		{"head", "HEAD", "/feeds/ridge.ics", nil, 200},
		{"under the prefix", "GET", "/trees/feeds/ridge.ics", nil, 200},
		{"page under the prefix", "GET", "/trees/", nil, 200},
		{"the prefix without its slash", "GET", "/trees", nil, 308},
		{"another prefix", "GET", "/treesfeeds/ridge.ics", nil, 404},
		{"same tag", "GET", "/feeds/ridge.ics", []string{"If-None-Match", tag}, 304},
		{"same tag, who takes gzip", "GET", "/feeds/ridge.ics", []string{"If-None-Match", tag, "Accept-Encoding", "gzip"}, 304},
		{"same tag of gzip", "GET", "/feeds/ridge.ics", []string{"If-None-Match", zippedTag, "Accept-Encoding", "gzip"}, 304},
		{"same tag among others, weak", "HEAD", "/feeds/ridge.ics", []string{"If-None-Match", `"x", W/` + tag}, 304},
		{"any tag", "GET", "/feeds/ridge.ics", []string{"If-None-Match", "*"}, 304},
		{"another tag", "GET", "/feeds/ridge.ics", []string{"If-None-Match", `"x"`}, 200},
		{"not modified since", "GET", "/feeds/ridge.ics", []string{"If-Modified-Since", modified}, 304},
		{"modified since", "GET", "/feeds/ridge.ics", []string{"If-Modified-Since", "Thu, 11 Mar 2027 00:00:00 GMT"}, 200},
		{"a tag beats a date", "GET", "/feeds/ridge.ics", []string{"If-Modified-Since", modified, "If-None-Match", `"x"`}, 200},
		{"no date", "GET", "/feeds/ridge.ics", []string{"If-Modified-Since", "yesterday"}, 200},
		{"precondition", "GET", "/feeds/ridge.ics", []string{"If-Match", `"x"`, "Accept-Encoding", "gzip"}, 412},
		{"range", "GET", "/feeds/ridge.ics", []string{"Range", "bytes=0-14"}, 206},
		{"range of nothing", "GET", "/feeds/ridge.ics", []string{"Range", "bytes=999999-", "Accept-Encoding", "gzip"}, 416},
		{"post", "POST", "/", nil, 405},
		{"put", "PUT", "/feeds/ridge.ics", nil, 405},
		{"delete", "DELETE", "/feeds/ridge.ics", nil, 405},
		{"options", "OPTIONS", "*", nil, 405},
		{"trace", "TRACE", "/", nil, 405},
		{"made up", "BREW", "/", nil, 405},
		{"folder", "GET", "/feeds/", nil, 404},
		{"folder without a slash", "GET", "/feeds", nil, 404},
		{"unknown feed", "GET", "/feeds/other.ics", nil, 404},
		{"other case", "GET", "/Feeds/ridge.ics", nil, 404},
		{"up", "GET", "/feeds/../feeds/ridge.ics", nil, 404},
		{"up to the disk", "GET", "/feeds/../../../../etc/passwd", nil, 404},
		{"backslashes", "GET", `/feeds/..\..\ridge.ics`, nil, 404},
		{"doubled slash", "GET", "//feeds/ridge.ics", nil, 404},
		{"trailing slash", "GET", "/feeds/ridge.ics/", nil, 404},
		{"nul", "GET", "/feeds/ridge.ics\x00", nil, 404},
		{"no path", "GET", "", nil, 404},
		{"long", "GET", "/" + strings.Repeat("a/", 4000), nil, 404},
		{"with the key", "GET", "/feeds/" + key + "/hidden.ics", nil, 200},
		{"page with the key", "GET", "/page/" + pageKey + "/", nil, 200},
		{"page without the key's slash", "GET", "/page/" + pageKey, nil, 404},
		{"without the key", "GET", "/feeds/hidden.ics", nil, 404},
		{"another's key", "GET", "/feeds/" + pageKey + "/hidden.ics", nil, 404},
		{"a part of the key", "GET", "/feeds/" + key[:31] + "/hidden.ics", nil, 404},
		{"an empty key", "GET", "/feeds//hidden.ics", nil, 404},
		{"a key where there is none", "GET", "/feeds/" + key + "/ridge.ics", nil, 404},
	} {
		t.Run(row.name, func(t *testing.T) {
			r := ask(h, row.method, row.path, row.header...)
			if r.StatusCode != row.want {
				t.Fatalf("found %d, want %d", r.StatusCode, row.want)
			}
			text := body(t, r)
			if row.method == "HEAD" || row.want == 304 {
				if text != "" && row.method != "HEAD" {
					t.Errorf("found a body of %d bytes, want none", len(text))
				}
			}
			if row.want == 405 && r.Header.Get("Allow") != "GET, HEAD" {
				t.Errorf("found Allow %q", r.Header.Get("Allow"))
			}
			if r.Header.Get("X-Content-Type-Options") != "nosniff" || r.Header.Get("Referrer-Policy") != "no-referrer" {
				t.Errorf("found headers %v", r.Header)
			}
			switch row.want {
			case 200, 206:
				if r.Header.Get("ETag") == "" || r.Header.Get("Last-Modified") == "" || r.Header.Get("Cache-Control") == "" {
					t.Errorf("found headers %v", r.Header)
				}
			case 304:
				if r.Header.Get("ETag") == "" || r.Header.Get("Cache-Control") == "" || r.Header.Get("Content-Length") != "" {
					t.Errorf("found headers %v: RFC 9110 section 15.4.5", r.Header)
				}
			case 404, 405, 308:
				if strings.Contains(text, "ridge") || strings.Contains(text, "etc") {
					t.Errorf("the refusal says too much: %q", text)
				}
				if r.Header.Get("Content-Length") != fmt.Sprint(len(text)) && row.method != "HEAD" {
					t.Errorf("found Content-Length %s of %d bytes", r.Header.Get("Content-Length"), len(text))
				}
			}
		})
	}
}

func TestHeaders(t *testing.T) {
	h := newHandler(t, "")
	r := ask(h, "GET", "/feeds/ridge.ics", "Accept-Encoding", "br;q=1.0, gzip;q=0.8, *;q=0.1")
	if r.Header.Get("Content-Encoding") != "gzip" || r.Header.Get("Vary") != "Accept-Encoding" || r.Header.Get("Content-Type") != "text/calendar; charset=utf-8" {
		t.Errorf("found headers %v", r.Header)
	}
	z, err := gzip.NewReader(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(z)
	if err != nil || !bytes.Equal(plain, calendarBody(1)) {
		t.Errorf("gzip holds another body (%v)", err)
	}
	for accept, want := range map[string]bool{
		"": false, "gzip": true, "GZIP": true, "x-gzip": true, "*": true, "identity": false, "gzip;q=0": false, "gzip; q=0.000": false,
		"*;q=0": false, "*, gzip;q=0": false, "deflate, br": false, "gzip;q=nonsense": false, "br,gzip": true, "gzip;q=0.001": true,
	} { // RFC 9110 section 12.5.3
		r := ask(h, "GET", "/feeds/ridge.ics", "Accept-Encoding", accept)
		if got := r.Header.Get("Content-Encoding") == "gzip"; got != want {
			t.Errorf("Accept-Encoding %q: found gzip %v, want %v", accept, got, want)
		}
		if n := r.Header.Get("Content-Length"); n != fmt.Sprint(len(body(t, r))) {
			t.Errorf("Accept-Encoding %q: found Content-Length %s", accept, n)
		}
	}
	page := ask(h, "GET", "/")
	if page.Header.Get("Content-Security-Policy") != "default-src 'none'" || page.Header.Get("Content-Encoding") != "" {
		t.Errorf("found headers %v", page.Header)
	}
	if got := ask(h, "GET", "/feeds/"+feed.Key("a secret of the plan", "/feeds/hidden.ics")+"/hidden.ics").Header.Get("X-Robots-Tag"); got != "noindex" {
		t.Errorf("found X-Robots-Tag %q for a secret address", got)
	}
	if r := ask(newHandler(t, "/trees"), "GET", "/trees"); r.Header.Get("Location") != "/trees/" {
		t.Errorf("found Location %q", r.Header.Get("Location"))
	}
	if r := ask(&feed.Handler{}, "GET", "/"); r.StatusCode != 503 || r.Header.Get("Retry-After") == "" {
		t.Errorf("found %d before the first snapshot", r.StatusCode)
	}
}

// TestKey pins the derivation: an address that people have subscribed to must stay. The value is HMAC-SHA-256 (RFC 2104)
// in base32 (RFC 4648), as worked out with Python's hmac and base64.
func TestKey(t *testing.T) {
	if got, want := feed.Key("0123456789abcdef", "/feeds/ridge.ics"), "grsolry4uo5qmke4yeoacszxapwm5sp7"; got != want {
		t.Errorf("found %s, want %s", got, want)
	}
}

func TestSnapshotKeepsTimes(t *testing.T) {
	before, err := feed.NewSnapshot(nil, noon, documents(1))
	if err != nil {
		t.Fatal(err)
	}
	docs := documents(1)
	docs[0].Body = []byte("<p>another page")
	after, err := feed.NewSnapshot(before, noon.Add(time.Hour), docs)
	if err != nil {
		t.Fatal(err)
	}
	h := &feed.Handler{}
	h.Swap(after)
	if got := ask(h, "GET", "/feeds/ridge.ics").Header.Get("Last-Modified"); got != "Fri, 12 Mar 2027 12:00:00 GMT" {
		t.Errorf("an unchanged feed: found Last-Modified %s", got)
	}
	if got := ask(h, "GET", "/").Header.Get("Last-Modified"); got != "Fri, 12 Mar 2027 13:00:00 GMT" {
		t.Errorf("a changed page: found Last-Modified %s", got)
	}
	if _, err := feed.NewSnapshot(nil, noon, append(docs, docs[0])); err == nil {
		t.Error("found no error for two documents at one address")
	}
	if _, err := feed.NewSnapshot(nil, noon, []feed.Document{{Path: "feeds"}}); err == nil {
		t.Error("found no error for a path without a slash")
	}
	if h.Snapshot() != after {
		t.Error("found another snapshot")
	}
}
