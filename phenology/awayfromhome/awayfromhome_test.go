package awayfromhome

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology"
)

const folder = "../../../shared/data/transfer"

var update = flag.Bool("update", false, "write the kept table anew")

// What volunteers saw at some 250 places (USA National Phenology Network, doi:10.5066/F78S4N1V) lies within p10 to
// p90 in about eight years of ten, by each way of dating, where the day itself is taken for it and nothing is
// allowed for slips; and no way of dating is off by more than a week on the median.
func TestVolunteersDatesAreInside(t *testing.T) {
	if _, err := os.Stat(folder); os.IsNotExist(err) {
		t.Skipf("the open data are not here: %s", folder)
	}
	seen, err := readSeen(os.DirFS(folder))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := foresee(seen)
	if err != nil {
		t.Fatal(err)
	}
	for _, phase := range []phenology.Phase{phenology.BudBreak, phenology.Flowering} {
		for m, method := range methods {
			of := slices.DeleteFunc(slices.Clone(rows), func(r row) bool {
				return r.phase != phase || r.said[m] == nil
			})
			share := inside(of, m, 1)
			bias, spread, _, sites := errorsOf(of, m)
			t.Logf("%s by %s: %.2f of %d at %d sites, median %+.1f days, spread %.1f", phase, method, share, len(of),
				sites, bias, spread)
			if len(of) < 200 || share < 0.72 || share > 0.86 || bias < -7.5 || bias > 7.5 {
				t.Errorf("%s by %s: %.2f of %d inside, median %+.1f days, want 0.72 to 0.86 and a week", phase, method,
					share, len(of), bias)
			}
		}
	}
}

// report writes all that is measured of the open data in a folder.
func report(w io.Writer, folder fs.FS) error {
	seen, err := readSeen(folder)
	if err != nil {
		return err
	}
	rows, err := foresee(seen)
	if err != nil {
		return err
	}
	springs, err := watch(folder)
	if err != nil {
		return err
	}
	allow(rows)
	reportPhases(w, rows)
	leaveOut(w, rows)
	reportCameras(w, springs)
	return chooseStarts(w, seen)
}

// What is measured on the open data is kept, so that no change of the dates goes unseen: read what -update changes,
// and mend README and help method by it.
func TestKeptTable(t *testing.T) {
	if _, err := os.Stat(folder); os.IsNotExist(err) {
		t.Skipf("the open data are not here: %s", folder)
	}
	const file = "../../testdata/awayfromhome.txt"
	var b bytes.Buffer
	if err := report(&b, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), b.String()); diff != "" {
		t.Errorf("the table is another (-update writes it anew):\n%s", diff)
	}
}

// A file is read as its header says, and what cannot be is told by its line.
func TestReadSeen(t *testing.T) {
	const head = "site,latitude,longitude,elevation_m,species,npn_phenophase,year,day_of_year"
	first := head + "\n1,44,-72,300,acer-rubrum,371,2014,120\n1,44,-72,300,acer-rubrum,501,2014,20\n"
	more := head + ",days_since_last_no,trees\n1,44,-72,300,acer-rubrum,483,2014,128,3,2\n" +
		"1,44,-72,300,acer-rubrum,498,2014,260,30,1\n"
	files := fstest.MapFS{"npn-siteyears.csv": {Data: []byte(first)}, "npn-more-phases.csv": {Data: []byte(more)}}
	seen, err := readSeen(files)
	if err != nil {
		t.Fatal(err)
	}
	// Between the first breaking bud and the first leaf; flowers in January and color a month after the last "no"
	// are slips.
	if len(seen) != 1 || seen[0].phase != phenology.BudBreak || seen[0].day != 124 || seen[0].site.Elevation != 300 {
		t.Errorf("found %+v, want one bud break on day 124", seen)
	}
	files["npn-siteyears.csv"] = &fstest.MapFile{Data: []byte(first + "1,44,-72,high,acer-rubrum,371,2015,120\n")}
	if _, err := readSeen(files); err == nil || !strings.Contains(err.Error(), "npn-siteyears.csv:4") {
		t.Errorf("found error %v, want one of line 4", err)
	}
}

// A camera whose canopy is always two days behind the date is that much off on the mean and not at all from year to
// year; one that moves twice as far as the dates has a slope of a half.
func TestMeasure(t *testing.T) {
	var late, wide []spring
	for _, day := range []float64{110, 120, 130} {
		late = append(late, spring{day + 2, said{day - 3, day, day + 1}})
		wide = append(wide, spring{2*day - 120, said{day - 5, day, day + 5}})
	}
	if m := measure(late); m.n != 3 || !near(m.bias, 2) || !near(m.single, 0) || !near(m.slope, 1) || !near(m.inside, 0) {
		t.Errorf("two days late: %+v", m)
	}
	if m := measure(wide); !near(m.bias, 0) || !near(m.slope, 0.5) || !near(m.inside, 1./3) {
		t.Errorf("twice as far: %+v", m)
	}
}

func near(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

// First leaves that are all as many days before the dates come out at none, each site's by the others' alone; what is
// of spring stays.
func TestAllow(t *testing.T) {
	var rows []row
	for i := range 20 {
		site := phenology.Site{ID: fmt.Sprint(i)}
		for _, phase := range []phenology.Phase{phenology.LeafColor, phenology.BudBreak} {
			at := &said{90, 100, 110}
			rows = append(rows, row{sighting: sighting{site: site, phase: phase, day: 85}, said: [3]*said{at, at, at}})
		}
	}
	rows[0].day = 60 // one site's own slip
	allow(rows)
	for i, r := range rows {
		want := map[phenology.Phase]float64{phenology.LeafColor: 100, phenology.BudBreak: 85}[r.phase]
		if i == 0 {
			want = 75
		}
		if r.day != want {
			t.Errorf("site %s %s: day %v, want %v", r.site.ID, r.phase, r.day, want)
		}
	}
}

// What is missing or broken is told by its file, and its line.
func TestWatchRefuses(t *testing.T) {
	temperatures := &fstest.MapFile{Data: []byte("date,tmin,tmax\n2010-01-01,-5,3\n")}
	const head = "site,dir,y,doy10,doy25,doy50\n"
	files := fstest.MapFS{"camera-dates.csv": {Data: []byte(head + "bart,rising,2010,100,soon,120\n")},
		"temperatures-bart.csv": temperatures, "temperatures-willow.csv": temperatures}
	if _, err := watch(files); err == nil || !strings.Contains(err.Error(), "camera-dates.csv:2") {
		t.Errorf("found error %v, want one of line 2", err)
	}
	files["camera-dates.csv"] = &fstest.MapFile{Data: []byte(head + "bart,falling,2010,1,2,3\n")}
	if _, err := watch(files); err == nil || !strings.Contains(err.Error(), "temperatures-mmsf.csv") {
		t.Errorf("found error %v, want one of the file that is missing", err)
	}
}
