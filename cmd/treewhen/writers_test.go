package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
)

// Two writers into one folder, round after round, each with another date for the same work: of every event the SEQUENCE
// only rises, and it has risen once for each revision that either of them told of.
func TestTwoWriters(t *testing.T) {
	dir := t.TempDir()
	for i := range 2 {
		name := "plan" + strconv.Itoa(i)
		plan := strings.ReplaceAll(strings.ReplaceAll(servedPlan, "seen.csv", name+".csv"), "%s", "Two writers")
		writeFile(t, filepath.Join(dir, name+".yaml"), strings.ReplaceAll(plan, "2027-03-12", "2027-03-25"))
	}
	t.Chdir(dir)
	const rounds = 20
	feed := filepath.Join("out", "ridge.seed-collection.ics")
	sequences := func() (list map[string]int) {
		data, err := os.ReadFile(feed)
		if err != nil {
			return nil
		}
		list = map[string]int{}
		for _, m := range regexp.MustCompile(`(?s)BEGIN:VEVENT\r\n.*?END:VEVENT`).FindAllString(string(data), -1) {
			uid := regexp.MustCompile(`\nUID:(\S+)`).FindStringSubmatch(m)
			n := regexp.MustCompile(`\nSEQUENCE:(\d+)`).FindStringSubmatch(m)
			if uid == nil {
				t.Errorf("an event without a UID\n%s", m)
				continue
			}
			list[uid[1]] = 0
			if n != nil {
				list[uid[1]], _ = strconv.Atoi(n[1])
			}
		}
		return list
	}
	var told, revised [2]int
	revisions := regexp.MustCompile(regexp.QuoteMeta(feed) + `: .*?(\d+) revised`)
	var writers, reader sync.WaitGroup
	stop := make(chan bool)
	reader.Go(func() {
		last := map[string]int{}
		for {
			select {
			case <-stop:
				return
			default:
			}
			for uid, n := range sequences() {
				if n < last[uid] {
					t.Errorf("SEQUENCE of %s fell from %d to %d", uid, last[uid], n)
				}
				last[uid] = n
			}
		}
	})
	for round := range 2 * rounds {
		i := round % 2
		seen := fmt.Sprintf("date,site,species,phase\n2027-03-%02d,ridge,red maple,flowering\n", 4+round%20)
		writeFile(t, "plan"+strconv.Itoa(i)+".csv", seen)
		writers.Go(func() {
			plan := "plan" + strconv.Itoa(i) + ".yaml"
			code, out, errs := runHere("feed", plan, "--activity", "seed-collection", "--out", "out")
			if code != exitDone {
				t.Errorf("status %d\n%s", code, errs)
			}
			if m := revisions.FindStringSubmatch(out); m != nil {
				n, _ := strconv.Atoi(m[1])
				told[i], revised[i] = told[i]+1, revised[i]+n
			}
		})
		if i == 1 { // both at once, and the next two when they are done
			writers.Wait()
		}
	}
	close(stop)
	reader.Wait()
	total := 0
	for _, n := range sequences() {
		total += n
	}
	if want := revised[0] + revised[1]; total != want || total == 0 {
		t.Errorf("found %d revisions in the feed, want the %d that the writers told of", total, want)
	}
	if left, _ := filepath.Glob(filepath.Join("out", ".*")); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
	t.Logf("%d runs that revised, %d revisions", told[0]+told[1], total)
}
