package inputs

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"treewhen/phenology/civil"
)

func TestShelf(t *testing.T) {
	s := shelf[string, string]{room: 10}
	made := ""
	get := func(key string, days int) {
		t.Helper()
		if got := s.get(key, func() (string, int) { made += key; return key + key, days }); got != key+key {
			t.Errorf("found %q for %q", got, key)
		}
	}
	s.offer("a", "aa", 4)
	s.offer("b", "bb", 7) // no room beside a
	for _, step := range []struct {
		key   string
		days  int
		made  string // all told
		taken int
	}{
		{"a", 4, "", 4},
		{"b", 5, "b", 9},
		{"a", 4, "b", 9},
		{"c", 5, "bc", 9}, // b was not asked for the longest
		{"a", 4, "bc", 9},
		{"b", 5, "bcb", 9},
		{"big", 50, "bcbbig", 50}, // what was last made stays, however large
		{"a", 4, "bcbbiga", 4},
	} {
		get(step.key, step.days)
		if made != step.made || s.taken != step.taken || s.order.Len() != len(s.items) {
			t.Errorf("after %q: made %q and %d days are held, want %q and %d", step.key, made, s.taken, step.made, step.taken)
		}
	}
	s.clear()
	if get("a", 4); made != "bcbbigaa" || s.taken != 4 {
		t.Errorf("after it was cleared: made %q and %d days are held", made, s.taken)
	}
}

// Whoever asks at once for the same gets the same, made once.
func TestShelfShared(t *testing.T) {
	s := shelf[int, *int]{room: 100}
	var made atomic.Int32
	var wait sync.WaitGroup
	got := make([]*int, 50)
	for i := range got {
		wait.Go(func() {
			got[i] = s.get(i%5, func() (*int, int) { made.Add(1); return new(int), 10 })
		})
	}
	wait.Wait()
	if made.Load() != 5 || s.taken != 50 {
		t.Errorf("made %d, and %d days are held, want 5 and 50", made.Load(), s.taken)
	}
	for i := range got {
		if got[i] != got[i%5] {
			t.Errorf("%d: found another than the first got", i)
		}
	}
}

// manyRecords is a plan of sites of which each has a file of its own, and all another.
func manyRecords(t *testing.T, sites int) (dir string, in *Inputs) {
	t.Helper()
	dir = t.TempDir()
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	plan := "title: Many\nsites:\n"
	for i := range sites {
		id := "s" + string(rune('a'+i))
		plan += "  - {id: " + id + ", latitude: 44, longitude: -72, elevation: 300 m, timezone: America/New_York, " +
			"species: [red maple], temperatures: [" + id + ".csv, county.csv]}\n"
		write(id+".csv", "date,tmin_c,tmax_c\n2026-03-01,-4,5\n2026-03-02,-3,"+string(rune('1'+i))+"\n")
	}
	write("county.csv", "date,tmin_c,tmax_c\n2026-03-01,-4,5\n2026-03-02,-3,6\n2026-03-03,-2,6\n")
	write("plan.yaml", plan)
	asOf := civil.Of(2026, 3, 31)
	in, err := Read(t.Context(), &Options{Plan: filepath.Join(dir, "plan.yaml"), AsOf: &asOf})
	if err != nil {
		t.Fatal(err)
	}
	return dir, in
}

// What is no longer held is read again, and is as it was; a file that several sites name is one record.
func TestReadAgain(t *testing.T) {
	_, in := manyRecords(t, 3)
	for i, pl := range in.Places {
		if pl.Records[1] != in.Places[0].Records[1] {
			t.Errorf("%s: the shared file is read for it alone", pl.Site.ID)
		}
		before, held := in.Temperatures(pl).Series(), pl.Records[0].Read()
		if held != pl.Records[0].Read() {
			t.Errorf("%s: its record is not held", pl.Site.ID)
		}
		in.Release()
		after := in.Temperatures(pl).Series()
		if held == pl.Records[0].Read() {
			t.Errorf("%s: its record is still held", pl.Site.ID)
		}
		if len(before.Days) != 3 || len(after.Days) != 3 || before.Days[1] != after.Days[1] || after.Days[1].Max != float64(i+1) {
			t.Errorf("%s: found %v, then %v", pl.Site.ID, before, after)
		}
	}
	if in.Err() != nil {
		t.Error(in.Err())
	}
}

// A file that is gone or turned bad between the first reading and the next is an error, with its place.
func TestLostRecord(t *testing.T) {
	dir, in := manyRecords(t, 2)
	in.Release()
	bad := filepath.Join(dir, "sa.csv")
	if err := os.WriteFile(bad, []byte("date,tmin_c,tmax_c\n2026-03-01,x,5\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	in.Temperatures(in.Places[1])
	if in.Err() != nil {
		t.Error(in.Err())
	}
	in.Temperatures(in.Places[0])
	if err := in.Err(); err == nil || !strings.HasPrefix(err.Error(), bad+":2: ") {
		t.Errorf("found %v, want the second line of %s blamed", err, bad)
	}
	_, in = manyRecords(t, 1)
	in.Release()
	if err := os.Remove(filepath.Join(filepath.Dir(in.Plan.File), "county.csv")); err != nil {
		t.Fatal(err)
	}
	in.Temperatures(in.Places[0])
	if err := in.Err(); err == nil || !strings.Contains(err.Error(), "plan.yaml:3: file: ") {
		t.Errorf("found %v, want the plan's line blamed", err)
	}
}
