package staging

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// names lists a folder.
func names(t testing.TB, dir string) (list []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		list = append(list, e.Name())
	}
	return list
}

// endedProcess returns the number of a process that is no more.
func endedProcess(t *testing.T) int {
	t.Helper()
	c := exec.Command(os.Args[0], "-test.run=^$")
	if err := c.Run(); err != nil {
		t.Fatal(err)
	}
	return c.Process.Pid
}

// What a killed run left behind is taken away by the next: our own files alone, old ones alone, and never those of a
// run that goes on.
func TestSweepTakesWhatKilledRunsLeft(t *testing.T) {
	dir := t.TempDir()
	ended := endedProcess(t)
	old, young := time.Now().Add(-leftFor-time.Minute), time.Now().Add(-leftFor+time.Minute)
	var kept []string
	put := func(name string, at time.Time, stays bool) {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, at, at); err != nil {
			t.Fatal(err)
		}
		if stays {
			kept = append(kept, name)
		}
	}
	put(fmt.Sprintf(".ridge.ics.treewhen-%d-123456", ended), old, false)
	put(fmt.Sprintf(".ridge.tapping.ics.treewhen-%d-7", ended), old, false)
	put(fmt.Sprintf(".ridge.ics.treewhen-%d-123457", ended), young, true)     // a run of another machine may still put it
	put(fmt.Sprintf(".ridge.ics.treewhen-%d-123458", os.Getpid()), old, true) // a run that goes on
	put(fmt.Sprintf("ridge.ics.treewhen-%d-123459", ended), old, true)        // not hidden, so not ours
	put(fmt.Sprintf(".ridge.ics.treewhen-%d-x", ended), old, true)            // another name
	put(fmt.Sprintf(".ridge.ics.treewhen-%d-12.ics", ended), old, true)       // another name
	put(".ridge.ics.123456", old, true)                                       // somebody else's
	put(".ridge.ics.treewhen-99999999999999999999-1", old, true)              // no process has that number
	put("ridge.ics", old, true)
	folder := fmt.Sprintf(".ridge.ics.treewhen-%d-1", ended)
	if err := os.Mkdir(filepath.Join(dir, folder), 0o755); err != nil {
		t.Fatal(err)
	}
	os.Chtimes(filepath.Join(dir, folder), old, old)
	kept = append(kept, folder)

	if err := Replace(filepath.Join(dir, "ridge.ics"), []byte("new")); err != nil {
		t.Fatal(err)
	}
	slices.Sort(kept)
	if got := names(t, dir); !slices.Equal(got, kept) {
		t.Errorf("found\n%q, want\n%q", got, kept)
	}
}

// The names that staged files get are those that are swept.
func TestStagedNamesAreSwept(t *testing.T) {
	dir := t.TempDir()
	for _, base := range []string{"ridge.ics", "a", ".hidden", "no treewhen-12-3", "*"} {
		f, err := stage(filepath.Join(dir, base), func(w io.Writer) error { return nil })
		if err != nil {
			t.Fatal(err)
		}
		m := stagedNames.FindStringSubmatch(filepath.Base(f.beside))
		if m == nil || m[1] != fmt.Sprint(os.Getpid()) {
			t.Errorf("%s is staged as %s, which is not swept: %q", base, f.beside, m)
		}
	}
}

// Files are put all or none, and none can be added once they were dropped.
func TestStagingPutsAllOrNone(t *testing.T) {
	dir := t.TempDir()
	below := filepath.Join(dir, "new", "below")
	var s Files
	if err := s.MakeFolder(below); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"a", "b"} {
		if err := s.Add(filepath.Join(below, name), []byte(name)); err != nil {
			t.Fatal(err)
		}
	}
	s.Drop()
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("after drop, found %q", got)
	}
	if err := s.Add(filepath.Join(dir, "c"), nil); !errors.Is(err, ErrDropped) {
		t.Errorf("after drop, found %v", err)
	}
	if got := names(t, dir); len(got) != 0 {
		t.Errorf("after drop, found %q", got)
	}

	s = Files{}
	s.MakeFolder(below)
	broken := errors.New("full")
	if err := s.AddBy(filepath.Join(below, "a"), func(w io.Writer) error { io.WriteString(w, "half"); return broken }); !errors.Is(err, broken) {
		t.Errorf("found %v", err)
	}
	if got := names(t, below); len(got) != 0 {
		t.Errorf("after an error, found %q", got)
	}
	if err := s.Add(filepath.Join(below, "a"), []byte("whole")); err != nil {
		t.Fatal(err)
	}
	if err := s.Put(); err != nil {
		t.Fatal(err)
	}
	s.Drop()
	if got := names(t, below); !slices.Equal(got, []string{"a"}) {
		t.Errorf("after put, found %q", got)
	}
}
