//go:build unix

package main

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

const pipePlan = `title: A plan
observations: seen.csv
sites_from: grid.csv
every_site: {species: [red maple], timezone: America/New_York}
activities: {field-trip: {busy: [term.ics]}}
sites:
  - id: here
    latitude: 44.2
    longitude: -72.6
    elevation: 300 m
    timezone: America/New_York
    species: [red maple]
    temperatures: [days.csv]
    forecast: [ahead.csv]
    normals: {file: normals.csv}
`

// A named pipe that nobody writes to, in the place of any file that is read, is refused at once by its name.
func TestPipeInPlaceOfAFile(t *testing.T) {
	for _, name := range []string{
		"plan.yaml", "seen.csv", "grid.csv", "term.ics", "days.csv", "ahead.csv", "normals.csv", "own/acer-rubrum.yaml",
		"own/sources.yaml", "out/here.ics",
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			for _, sub := range []string{"own", "out"} {
				if err := os.Mkdir(filepath.Join(dir, sub), 0o755); err != nil {
					t.Fatal(err)
				}
			}
			for file, text := range map[string]string{
				"plan.yaml": pipePlan, "seen.csv": "date,site,species,phase\n", "days.csv": "date,tmin_c,tmax_c\n2027-03-01,-3,5\n",
				"grid.csv": "id,latitude,longitude,elevation_m\nthere,44,-72,300\n", "ahead.csv": "date,tmin_c,tmax_c\n2027-03-02,-3,5\n",
				"term.ics": "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n", "normals.csv": "x\n",
			} {
				writeFile(t, filepath.Join(dir, file), text)
			}
			pipe := filepath.Join(dir, filepath.FromSlash(name))
			os.Remove(pipe)
			if err := syscall.Mkfifo(pipe, 0o644); err != nil {
				t.Fatal(err)
			}
			args := []string{"feed", "plan.yaml", "--profiles", "own", "--out", "out"}
			if name == "out/here.ics" { // the rest must be good for it to be read
				plan := strings.ReplaceAll(pipePlan, "    normals: {file: normals.csv}\n", "")
				writeFile(t, filepath.Join(dir, "plan.yaml"), plan)
			}
			type result struct {
				code        int
				out, errors string
			}
			ended := make(chan result, 1)
			t.Chdir(dir)
			go func() {
				var r result
				r.code, r.out, r.errors = runHere(args...)
				ended <- r
			}()
			select {
			case r := <-ended:
				if r.code != exitFailed || r.out != "" || !strings.Contains(r.errors, "found a named pipe, want a file") ||
					!strings.Contains(r.errors, name) {
					t.Errorf("status %d, %q\n%s", r.code, r.out, r.errors)
				}
			case <-time.After(30 * time.Second):
				if w, err := os.OpenFile(pipe, os.O_RDWR, 0); err == nil { // what reads it is let go
					defer w.Close()
				}
				t.Fatal("it waits for the pipe")
			}
		})
	}
}

// An input that becomes a named pipe for a while makes the feeds stale, no more: the server goes on answering, is well
// again when the file is back, and stops when it is told to.
func TestServeInputBecomesAPipe(t *testing.T) {
	dir, plan := writeServedPlan(t, "")
	s := startServer(t, nil, plan)
	seen := filepath.Join(dir, "seen.csv")
	for range 2 {
		if err := os.Remove(seen); err != nil {
			t.Fatal(err)
		}
		if err := syscall.Mkfifo(seen, 0o644); err != nil {
			t.Fatal(err)
		}
		s.wait("stale", func() bool { return s.health().Status == "stale" })
		if code, _, _ := s.get("/feeds/ridge.ics"); code != 200 {
			t.Errorf("found %d for a feed", code)
		}
		os.Remove(seen)
		writeFile(t, seen, "date,site,species,phase\n")
		s.wait("ok again", func() bool { return s.health().Status == "ok" })
	}
	os.Remove(seen)
	if err := syscall.Mkfifo(seen, 0o644); err != nil {
		t.Fatal(err)
	}
	s.close()
}
