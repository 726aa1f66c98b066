package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"treewhen/calendar/icslint"
)

// TestKilledFeed kills feed at random moments and looks at its files each time: every one must be whole, as it was
// before or as it is after. It takes minutes, so it runs only if TREEWHEN_KILLS says how many kills:
//
//	TREEWHEN_KILLS=500 go test -run TestKilledFeed -timeout 30m ./cmd/treewhen
func TestKilledFeed(t *testing.T) {
	kills, _ := strconv.Atoi(os.Getenv("TREEWHEN_KILLS"))
	if kills == 0 {
		t.Skip("set TREEWHEN_KILLS to the number of kills, such as 500")
	}
	dir := t.TempDir()
	binary := filepath.Join(dir, "treewhen")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	feeds := filepath.Join(dir, "feeds")
	days := []string{"2027-03-12", "2027-03-20"} // two states of the feeds, in turn
	command := func(n int) *exec.Cmd { return exec.Command(binary, "feed", "--as-of", days[n%2], "--out", feeds) }
	begin := time.Now()
	if out, err := command(0).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	full := time.Since(begin)
	names, _ := filepath.Glob(filepath.Join(feeds, "*.ics"))
	if len(names) < 5 {
		t.Fatalf("found %d feeds", len(names))
	}
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 0))
	ended, changed, left := 0, 0, 0
	last := map[string][]byte{}
	for n := range kills {
		c := command(n + 1)
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		// Most of the time goes into working things out; the writing at the end is what matters. So most kills wait for
		// its first sign and come within the few milliseconds that it takes.
		if n%4 == 0 {
			time.Sleep(time.Duration(random.Int64N(int64(full * 5 / 4))))
		} else {
			waitForWriting(feeds, 10*full)
			time.Sleep(time.Duration(random.Int64N(int64(4 * time.Millisecond))))
		}
		c.Process.Kill()
		if c.Wait() == nil {
			ended++
		}
		now, _ := filepath.Glob(filepath.Join(feeds, "*.ics"))
		if len(now) != len(names) {
			t.Fatalf("kill %d (seed %d): found %d feeds, want %d", n, seed, len(now), len(names))
		}
		for _, name := range names {
			data, err := os.ReadFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if found := icslint.Check(data); len(found) > 0 {
				t.Fatalf("kill %d (seed %d): %s: %v", n, seed, name, found)
			}
			if !bytes.Equal(data, last[name]) {
				changed++
			}
			last[name] = data
		}
		if stray, _ := filepath.Glob(filepath.Join(feeds, ".*.ics.*")); len(stray) > left {
			left = len(stray)
		}
	}
	// Nothing that a kill left behind keeps the next run from its work.
	if out, err := command(0).CombinedOutput(); err != nil {
		t.Errorf("after all kills: %v\n%s", err, out)
	}
	t.Logf("%d kills, %d of them too late; %d files changed, all whole; %d unfinished files left behind; a run takes %v", kills, ended, changed, left, full)
	if changed == 0 {
		t.Error("no file ever changed, so that nothing was tried")
	}
}

// waitForWriting waits until anything in a folder has changed.
func waitForWriting(dir string, most time.Duration) {
	look := func() (state string) {
		entries, _ := os.ReadDir(dir)
		for _, e := range entries {
			if info, err := e.Info(); err == nil {
				state += e.Name() + info.ModTime().String()
			}
		}
		return state
	}
	before := look()
	for end := time.Now().Add(most); time.Now().Before(end) && look() == before; {
		time.Sleep(100 * time.Microsecond)
	}
}
