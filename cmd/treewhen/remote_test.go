package main

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
)

// TestPlanWithAddress: a plan's url is fetched and dated by; its copy serves when the other side is down, and everybody
// is told; nothing is fetched that no plan names.
func TestPlanWithAddress(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("demo", "kettle-ridge.csv"))
	if err != nil {
		t.Fatal(err)
	}
	var answer atomic.Pointer[http.HandlerFunc]
	becomes := func(h http.HandlerFunc) { answer.Store(&h) }
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { (*answer.Load())(w, r) }))
	defer s.Close()
	notFound := func(w http.ResponseWriter, _ *http.Request) { w.WriteHeader(404) }
	becomes(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Query().Get("key") != "secret" {
			t.Errorf("found address %s", r.URL)
		}
		w.Write(data)
	})
	dir := t.TempDir()
	plan := fmt.Sprintf(servedPlan, "From afar") + "    temperatures: [{url: \"" + s.URL + "/daily.csv?key=secret\"}]\n"
	writeFile(t, filepath.Join(dir, "plan.yaml"), plan)
	writeFile(t, filepath.Join(dir, "seen.csv"), "date,site,species,phase\n")
	code, out, errs := run(t, dir, "phases", "plan.yaml", "--format", "csv", "--cache", "copies")
	if code != 0 || !strings.Contains(out, "record") {
		t.Fatalf("found status %d\n%s%s", code, out, errs)
	}
	// From 404 on, there is no sense in trying again, so this costs no time.
	becomes(notFound)
	code, again, errs := run(t, dir, "phases", "plan.yaml", "--format", "csv", "--cache", "copies")
	if code != 0 || again != out || !strings.Contains(errs, "/daily.csv?…: found HTTP status 404 Not Found, want 200 OK; using the copy of") || strings.Contains(errs, "secret") {
		t.Errorf("found status %d\n%s", code, errs)
	}
	if code, out, _ := run(t, dir, "schedule", "plan.yaml", "--cache", "copies"); code != 0 || !strings.Contains(strings.Join(strings.Fields(out), " "), "note: Temperatures are not the latest") {
		t.Errorf("found status %d\n%s", code, out)
	}
	code, out, errs = run(t, dir, "phases", "plan.yaml")
	if code != 1 || out != "" || !strings.Contains(errs, "plan.yaml:13: url: "+s.URL+"/daily.csv?…: found HTTP status 404 Not Found, want 200 OK") {
		t.Errorf("without a copy: found status %d\n%s%s", code, out, errs)
	}
	becomes(func(w http.ResponseWriter, _ *http.Request) { io.WriteString(w, "<html>Please log in") })
	code, _, errs = run(t, dir, "phases", "plan.yaml")
	if code != 1 || !strings.Contains(errs, "/daily.csv?…") {
		t.Errorf("a page in its place: found status %d\n%s", code, errs)
	}
	becomes(func(w http.ResponseWriter, _ *http.Request) { w.Write(data) })
	if code, _, errs = run(t, dir, "phases", "plan.yaml", "--cache", "plan.yaml"); code != 1 || !strings.Contains(errs, "plan.yaml") {
		t.Errorf("a file for a folder: found status %d\n%s", code, errs)
	}
	// The server says so on its page.
	becomes(notFound)
	srv := startServer(t, func(o *serveOptions) { o.Cache = filepath.Join(dir, "copies") }, filepath.Join(dir, "plan.yaml"))
	if _, _, page := srv.get(""); !strings.Contains(page, "Temperatures are not the latest: the source on line 13 of the plan cannot be used since") {
		t.Error("the page does not say that its temperatures are old")
	}
	if h := srv.health(); h.Status != "lagging" || h.Since == nil {
		t.Errorf("found health %+v, want it to say that a source lags", h)
	}
}

// What the other side sends, or redirects to, is for the log: no word of it reaches the page, a feed or a kept text, and
// no server of this machine is asked that the plan does not name.
func TestOtherSideCannotWriteOnThePage(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("demo", "kettle-ridge.csv"))
	if err != nil {
		t.Fatal(err)
	}
	const marked = "INTERNAL-ADMIN-TOKEN"
	var inside atomic.Int32
	private := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		inside.Add(1)
		io.WriteString(w, marked+"\n")
	}))
	defer private.Close()
	for _, row := range []struct {
		name   string
		answer http.HandlerFunc
		log    string
	}{
		{"redirect", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, private.URL, http.StatusFound) }, "it redirects to"},
		{"words", func(w http.ResponseWriter, _ *http.Request) {
			io.WriteString(w, "date,tmin_c,tmax_c\n"+marked+",1,2\n")
		}, marked},
		{"reason", func(w http.ResponseWriter, _ *http.Request) {
			if c, _, err := w.(http.Hijacker).Hijack(); err == nil {
				io.WriteString(c, "HTTP/1.1 404 "+marked+"\r\nContent-Length: 0\r\n\r\n")
				c.Close()
			}
		}, "HTTP status 404 Not Found"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var bad atomic.Bool
			s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				if bad.Load() {
					row.answer(w, r)
					return
				}
				w.Write(data)
			}))
			defer s.Close()
			dir := t.TempDir()
			plan := fmt.Sprintf(servedPlan, "From afar") + "    temperatures: [{url: \"" + s.URL + "/daily.csv\"}]\n"
			writeFile(t, filepath.Join(dir, "plan.yaml"), plan)
			writeFile(t, filepath.Join(dir, "seen.csv"), "date,site,species,phase\n")
			if code, _, errs := run(t, dir, "phases", "plan.yaml", "--cache", "copies"); code != 0 {
				t.Fatal(errs)
			}
			bad.Store(true)
			code, out, errs := run(t, dir, "schedule", "plan.yaml", "--cache", "copies")
			if code != 0 || strings.Contains(out, marked) || strings.Contains(out, s.URL) || !strings.Contains(errs, row.log) {
				t.Errorf("status %d\n%s%s", code, errs, out)
			}
			srv := startServer(t, func(o *serveOptions) { o.Cache = filepath.Join(dir, "copies") }, filepath.Join(dir, "plan.yaml"))
			for _, path := range []string{"", "/feeds/ridge.ics", "/healthz"} {
				if _, _, body := srv.get(path); strings.Contains(body, marked) || strings.Contains(body, s.URL) {
					t.Errorf("%s shows what the other side sent\n%s", path, body)
				}
			}
			if inside.Load() != 0 {
				t.Error("a server was asked that the plan does not name")
			}
		})
	}
}
