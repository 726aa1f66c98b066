package main

import (
	"encoding/csv"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/phenology/civil"
)

// A generated plan: what it says, apart from how it is laid out in files.
type drawnPlan struct {
	asOf  civil.Date
	sites []drawnSite
	seen  []string // rows of the observations file
}

type drawnSite struct {
	id                  string
	latitude, longitude float64
	elevation           int
	zone                string
	species             []string
	activities          []string
	record              []string // rows of the temperature file; none: no file
}

// The species and zones that plans are generated from.
var (
	madeSpecies    = []string{"red maple", "sugar maple", "box elder", "northern red oak", "white ash", "American basswood"}
	madeActivities = []string{"tapping", "seed-collection", "twig-survey", "field-trip"}
	madeZones      = []string{"America/New_York", "Europe/Berlin", "Asia/Tokyo", "Pacific/Kiritimati", "Pacific/Pago_Pago"}
)

// drawPlan draws a plan of one to three sites.
func drawPlan(t *rapid.T) drawnPlan {
	p := drawnPlan{asOf: civil.Of(2024, 1, 1) + civil.Date(rapid.IntRange(0, 730).Draw(t, "day"))}
	for i := range rapid.IntRange(1, 3).Draw(t, "sites") {
		p.sites = append(p.sites, drawSite(t, fmt.Sprintf("site-%d", i), p.asOf))
	}
	for _, s := range p.sites {
		if rapid.Bool().Draw(t, "seen") {
			year := p.asOf.Year() - rapid.IntRange(0, 2).Draw(t, "years ago")
			p.seen = append(p.seen, fmt.Sprintf("%s,%s,%s,bud-break", civil.Of(year, 5, 4), s.id, s.species[0]),
				fmt.Sprintf("%s,%s,%s,flowering", civil.Of(year, 4, 20), s.id, s.species[0]))
		}
	}
	return p
}

func drawSite(t *rapid.T, id string, asOf civil.Date) drawnSite {
	s := drawnSite{
		id: id, latitude: float64(rapid.IntRange(380, 480).Draw(t, "latitude")) / 10, longitude: float64(rapid.IntRange(-850, -700).Draw(t, "longitude")) / 10,
		elevation: rapid.IntRange(0, 800).Draw(t, "elevation"), zone: rapid.SampledFrom(madeZones).Draw(t, "zone"),
		species:    rapid.Permutation(madeSpecies).Draw(t, "species")[:rapid.IntRange(1, 3).Draw(t, "of them")],
		activities: rapid.Permutation(madeActivities).Draw(t, "activities")[:rapid.IntRange(1, 4).Draw(t, "of these")],
	}
	if len(s.activities) == 1 && s.activities[0] == "tapping" {
		s.activities = append(s.activities, "twig-survey") // where nothing but tapping is asked for, species that are not tapped are refused
	}
	if rapid.IntRange(0, 3).Draw(t, "record") > 0 {
		seed := rapid.Uint64().Draw(t, "weather")
		s.record = madeWeather(asOf-365*6-40, asOf+30, seed, 0)
	}
	return s
}

// madeWeather is weather by a yearly wave and red noise: rows of date, minimum and maximum, moved by so many degrees.
func madeWeather(first, last civil.Date, seed uint64, warmer float64) []string {
	draw := rand.New(rand.NewPCG(seed, 1))
	noise := 0.0
	var rows []string
	for d := first; d <= last; d++ {
		noise = 0.7*noise + 2.6*draw.NormFloat64()
		wave := math.Cos(2 * math.Pi * float64(d.YearDay()-20) / 365.25)
		mean := 7.5 - 13*wave + noise
		rows = append(rows, fmt.Sprintf("%s,%.1f,%.1f", d, mean-5+warmer, mean+5+warmer))
	}
	return rows
}

// write puts the plan into a folder and returns its path.
func (p drawnPlan) write(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "title: A plan\nfeed_id: 9c2a6d1e-5f0b-4c83-8a57-3e1d90b7f246\nas_of: %s\n", p.asOf)
	put := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if len(p.seen) > 0 {
		b.WriteString("observations: seen.csv\n")
		put("seen.csv", "date,site,species,phase\n"+strings.Join(p.seen, "\n")+"\n")
	}
	b.WriteString("sites:\n")
	for _, s := range p.sites {
		fmt.Fprintf(&b, "  - {id: %s, latitude: %g, longitude: %g, elevation: %d m, timezone: %s, species: [%s], activities: [%s]", s.id, s.latitude, s.longitude,
			s.elevation, s.zone, strings.Join(s.species, ", "), strings.Join(s.activities, ", "))
		if len(s.record) > 0 {
			fmt.Fprintf(&b, ", temperatures: [%s.csv]", s.id)
			put(s.id+".csv", "date,tmin_c,tmax_c\n"+strings.Join(s.record, "\n")+"\n")
		}
		b.WriteString("}\n")
	}
	put("plan.yaml", b.String())
	return filepath.Join(dir, "plan.yaml")
}

// results are what the program makes of a plan.
type results struct {
	phases, schedule string
	feeds            map[string]string
}

// results runs the program on a plan, and holds what is made of it to its own limits.
func (p drawnPlan) results(t testing.TB) (r results) {
	t.Helper()
	dir, err := os.MkdirTemp("", "treewhen")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	plan := p.write(t, dir)
	r.phases, _ = runIn(t, "phases", plan, "--format", "csv")
	r.schedule, _ = runIn(t, "schedule", plan, "--format", "csv")
	checkPhases(t, r.phases)
	checkSchedule(t, r.schedule)
	out := filepath.Join(dir, "out")
	runIn(t, "feed", plan, "--out", out)
	r.feeds = map[string]string{}
	files, err := os.ReadDir(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		data, err := os.ReadFile(filepath.Join(out, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		r.feeds[f.Name()] = string(data)
	}
	return r
}

// of returns the rows of a table in which a column has a value.
func of(text, column, value string) string {
	var b strings.Builder
	at := slices.Index(strings.Split(text[:strings.Index(text, "\n")], ","), column)
	for line := range strings.Lines(text) {
		if cells, err := csv.NewReader(strings.NewReader(line)).Read(); err == nil && cells[at] == value {
			b.WriteString(line)
		}
	}
	return b.String()
}

// rapidly checks a property of a few plans: each costs a tenth of a second, and -rapid.checks asks for more.
func rapidly(t *testing.T, times int, property func(t *rapid.T)) {
	t.Helper()
	n := 0
	rapid.Check(t, func(r *rapid.T) {
		if n++; n > times && !asksForMore() {
			return
		}
		property(r)
	})
}

func asksForMore() bool {
	return slices.ContainsFunc(os.Args, func(a string) bool { return strings.HasPrefix(a, "-rapid.checks") })
}

// The order in which anything is written down is nobody's concern.
func TestOrderOfInputChangesNothing(t *testing.T) {
	rapidly(t, 12, func(r *rapid.T) {
		p := drawPlan(r)
		want := p.results(t)
		p.sites = rapid.Permutation(p.sites).Draw(r, "order")
		p.seen = rapid.Permutation(p.seen).Draw(r, "rows")
		for i := range p.sites {
			s := &p.sites[i]
			s.species, s.activities = rapid.Permutation(s.species).Draw(r, "order"), rapid.Permutation(s.activities).Draw(r, "order")
			s.record = slices.Clone(s.record)
			rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "shuffle"), 2)).Shuffle(len(s.record), func(a, b int) { s.record[a], s.record[b] = s.record[b], s.record[a] })
		}
		got := p.results(t)
		if got.schedule != want.schedule {
			r.Errorf("the schedule differs:\n%s\n%s", want.schedule, got.schedule)
		}
		for name, text := range want.feeds {
			if got.feeds[name] != text {
				r.Errorf("%s differs", name)
			}
		}
		for _, s := range p.sites { // phases keep to the plan's order of sites
			if of(got.phases, "site", s.id) != of(want.phases, "site", s.id) {
				r.Errorf("the phases of %s differ", s.id)
			}
		}
	})
}

// Another site, or another species, is nobody else's concern.
func TestOthersChangeNothing(t *testing.T) {
	rapidly(t, 8, func(r *rapid.T) {
		p := drawPlan(r)
		if len(p.sites) == 1 { // whose titles need no name of a site
			p.sites = append(p.sites, drawSite(r, "second", p.asOf))
		}
		want := p.results(t)
		more := p
		more.sites = append(slices.Clone(p.sites), drawSite(r, "another", p.asOf))
		got := more.results(t)
		for _, s := range p.sites {
			if of(got.phases, "site", s.id) != of(want.phases, "site", s.id) || of(got.schedule, "site", s.id) != of(want.schedule, "site", s.id) {
				r.Errorf("a site more changes the rows of %s", s.id)
			}
		}
		for name, text := range want.feeds {
			if got.feeds[name] != text {
				r.Errorf("a site more changes %s", name)
			}
		}
		p.sites = slices.Clone(p.sites)
		first := &p.sites[0]
		for _, sp := range madeSpecies {
			if !slices.Contains(first.species, sp) {
				first.species = append(slices.Clone(first.species), sp)
				break
			}
		}
		got = p.results(t)
		gotRows := strings.Split(got.phases, "\n")
		for row := range strings.Lines(want.phases) {
			if !slices.Contains(gotRows, strings.TrimSuffix(row, "\n")) {
				r.Errorf("a species more changes %s", row)
			}
		}
		gotRows = strings.Split(got.schedule, "\n")
		for row := range strings.Lines(want.schedule) {
			if strings.Contains(row, ","+first.id+",tapping,") && strings.Contains(row, ",sap-run,") {
				// Species share a run, and its row names them all; in all else it stays the same event.
				const species = 5 // its column
				same := func(other string) bool {
					a, b := strings.Split(strings.TrimSuffix(row, "\n"), ","), strings.Split(other, ",")
					return len(a) == len(b) && slices.Equal(slices.Delete(a, species, species+1), slices.Delete(b, species, species+1))
				}
				if !slices.ContainsFunc(gotRows, same) {
					r.Errorf("a species more makes another event of the run %s", row)
				}
				continue
			}
			// An outing and a survey are for all species together.
			if !strings.Contains(row, ","+first.id+",twig-survey,") && !strings.Contains(row, ","+first.id+",field-trip,") && !slices.Contains(gotRows, strings.TrimSuffix(row, "\n")) {
				r.Errorf("a species more changes %s", row)
			}
		}
		for name, text := range want.feeds {
			if !strings.HasPrefix(name, first.id+".") && got.feeds[name] != text {
				r.Errorf("a species more at %s changes %s", first.id, name)
			}
		}
	})
}

// The machine's zone, locale and number of cores change no byte.
func TestMachineChangesNothing(t *testing.T) {
	local, cores := time.Local, runtime.GOMAXPROCS(0)
	t.Cleanup(func() { time.Local = local; runtime.GOMAXPROCS(cores) })
	rapidly(t, 6, func(r *rapid.T) {
		p := drawPlan(r)
		time.Local = time.UTC
		runtime.GOMAXPROCS(1)
		want := p.results(t)
		for _, name := range []string{"Pacific/Chatham", "America/St_Johns"} {
			zone, err := time.LoadLocation(name)
			if err != nil {
				t.Fatal(err)
			}
			time.Local = zone
			runtime.GOMAXPROCS(4)
			t.Setenv("TZ", name)
			t.Setenv("LC_ALL", "tr_TR.UTF-8")
			got := p.results(t)
			if got.phases != want.phases || got.schedule != want.schedule || !maps.Equal(got.feeds, want.feeds) {
				r.Errorf("with %s and 4 cores it differs", name)
			}
		}
	})
}

// The phases that warmth brings, and those that cold does. Leaf color follows day length as well and some profiles have
// it earlier for drought or warmth: what is asked is that warmth never brings it on.
var (
	springPhases = []string{"bud-swell", "flowering", "bud-break", "leaf-out"}
	autumnPhases = []string{"leaf-color", "leaf-fall"}
)

// A degree warmer throughout brings spring no later, and autumn no earlier.
func TestWarmerMovesTheSeasons(t *testing.T) {
	moved := 0
	rapidly(t, 60, func(r *rapid.T) {
		p := drawPlan(r)
		p.seen = nil
		seed := rapid.Uint64().Draw(r, "seed")
		p.sites = p.sites[:1]
		at := func(warmer float64) map[string]map[string]string {
			p.sites[0].record = madeWeather(p.asOf-365*7, p.asOf, seed, warmer)
			found := map[string]map[string]string{}
			dir := t.TempDir()
			out, _ := runIn(t, "phases", p.write(t, dir), "--format", "csv")
			for _, row := range table(t, out) {
				found[row["species"]+" "+row["phase"]] = row
			}
			return found
		}
		cool, warm := at(0), at(1)
		for key, c := range cool {
			w := warm[key]
			if c["p50"] == "" || w["p50"] == "" || c["basis"] != w["basis"] {
				continue
			}
			_, phase, _ := strings.Cut(key, " ")
			if slices.Contains(springPhases, phase) && w["p50"] > c["p50"] || slices.Contains(autumnPhases, phase) && w["p50"] < c["p50"] {
				r.Errorf("%s at %s: %s, and a degree warmer %s (%s)", key, p.asOf, c["p50"], w["p50"], c["basis"])
			}
			if w["p50"] != c["p50"] {
				moved++
			}
		}
	})
	if moved < 20 {
		t.Errorf("a degree moved %d dates, want many", moved)
	}
}

// What has been reached stays as it was when the days go on.
func TestReachedStays(t *testing.T) {
	stayed := 0
	rapidly(t, 30, func(r *rapid.T) {
		p := drawPlan(r)
		p.sites = p.sites[:1]
		p.seen = slices.DeleteFunc(p.seen, func(row string) bool { return !strings.Contains(row, ",site-0,") })
		p.sites[0].record = madeWeather(p.asOf-365*7, p.asOf+70, rapid.Uint64().Draw(r, "seed"), 0)
		season := p.asOf.Year()
		reached, seen := map[string]string{}, map[string]string{}
		for range 3 {
			out, _ := runIn(t, "phases", p.write(t, t.TempDir()), "--format", "csv", "--season", fmt.Sprint(season))
			rows, told := table(t, out), map[string]string{}
			for _, row := range rows {
				if row["basis"] == "seen" {
					told[row["species"]] += row["phase"] + " "
				}
			}
			for _, row := range rows {
				key := row["species"] + " " + row["phase"]
				// what is seen of another phase bounds those before it, and moves those that are counted from it
				news := told[row["species"]] != seen[row["species"]]
				if was, ok := reached[key]; ok && !news {
					stayed++
					if now := row["p10"] + " " + row["p50"] + " " + row["p90"] + " " + row["basis"]; now != was && row["basis"] != "seen" { // what is seen replaces what was worked out
						r.Errorf("%s: %s, and as of %s %s", key, was, p.asOf, now)
					}
				}
				if row["basis"] == "reached" || row["basis"] == "seen" {
					reached[key] = row["p10"] + " " + row["p50"] + " " + row["p90"] + " " + row["basis"]
				}
			}
			seen = told
			p.asOf += 30
		}
	})
	if stayed < 5 {
		t.Errorf("%d dates had been reached, want some", stayed)
	}
}
