package gazetteer

import (
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Capitals of states and provinces, to the nearest tenth of a degree, from memory; zones by the IANA database's own towns.
func TestTownsLieWhereTheyDo(t *testing.T) {
	tests := []struct {
		ask       string
		lat, lon  float64 // to 0.1 degree
		elevation float64 // metres, to 60 m: a town is not flat; NaN: not held to any
		zone      string
	}{
		{"Montpelier, VT", 44.3, -72.6, 160, "America/New_York"},
		{"montpelier vermont", 44.3, -72.6, 160, "America/New_York"},
		{"Denver, Colorado", 39.7, -105.0, 1609, "America/Denver"}, // a mile, as its people say
		{"Québec, QC", 46.8, -71.2, math.NaN(), "America/Toronto"},
		{"QUEBEC, Quebec, Canada", 46.8, -71.2, math.NaN(), "America/Toronto"},
		{"St. John's, Newfoundland and Labrador", 47.6, -52.7, math.NaN(), "America/St_Johns"},
		{"saint johns, nl", 47.6, -52.7, math.NaN(), "America/St_Johns"},
		{"Winnipeg", 49.9, -97.1, 238, "America/Winnipeg"},
		{"Sault Sainte Marie, Ontario", 46.5, -84.3, 190, "America/Toronto"},
		{"Saulte Ste Marie, MI", 0, 0, 0, ""}, // a slip: none of that name
		{"Ontario, CA", 34.1, -117.6, 305, "America/Los_Angeles"},
		{"New York", 40.7, -74.0, 10, "America/New_York"},
		{"Juneau, Alaska, USA", 58.3, -134.4, math.NaN(), "America/Juneau"},
		{"Phoenix, AZ", 33.4, -112.1, 331, "America/Phoenix"},
		{"Oaxaca, Oaxaca", 17.1, -96.7, 1555, "America/Mexico_City"},
		{"Iqaluit", 63.7, -68.5, math.NaN(), "America/Iqaluit"},
		{"Hilo, HI", 19.7, -155.1, math.NaN(), "Pacific/Honolulu"},
	}
	for _, tt := range tests {
		got, err := Find(tt.ask)
		if err != nil {
			t.Errorf("%s: %v", tt.ask, err)
			continue
		}
		if tt.zone == "" {
			if len(got.Towns) > 0 || len(got.Near) == 0 || got.Near[0].String() != "Sault Ste. Marie, Michigan" {
				t.Errorf("%s: found %v, near %v; want none, and Sault Ste. Marie, Michigan offered first", tt.ask, names(got.Towns), names(got.Near))
			}
			continue
		}
		if len(got.Towns) != 1 {
			t.Errorf("%s: found %v, near %v, want one", tt.ask, names(got.Towns), names(got.Near))
			continue
		}
		g := got.Towns[0]
		if math.Abs(g.Latitude-tt.lat) > 0.1 || math.Abs(g.Longitude-tt.lon) > 0.1 || g.Zone != tt.zone {
			t.Errorf("%s: found %s in %s, want %.1f, %.1f in %s", tt.ask, g.Describe(), g.Zone, tt.lat, tt.lon, tt.zone)
		}
		if !math.IsNaN(tt.elevation) && (!g.HasElevation || math.Abs(g.Elevation-tt.elevation) > 60) {
			t.Errorf("%s: found %.0f m (known: %v), want some %.0f m", tt.ask, g.Elevation, g.HasElevation, tt.elevation)
		}
	}
}

func TestSeveralTownsAndNone(t *testing.T) {
	tests := []struct {
		ask, first string // the first of several, or of those near
		several    bool
	}{
		{"Burlington", "Burlington, Ontario", true},
		{"Burlington, US", "Burlington, North Carolina", true},
		{"Springfield", "Springfield, Missouri", true},
		{"Stowe, New York", "Stow, New York", false}, // where it was asked for, not Vermont's
		{"Lac-Beauport, Vermont", "", false},
		{"Stoneham, Quebec", "", false}, // not Massachusetts'
		{"Hull, QC", "", false},
		{"Hull QC", "", false},
		{"hull, quebec, canada", "", false},
		{"Stow, Maine", "", false},
		{"Middle Craftsbury, VT", "Craftsbury, Vermont", false},
		{"Cabot", "Cabot, Arkansas", true},
		{"Monpelier, VT", "Montpelier, Vermont", false},       // a letter dropped
		{"Burlignton, Vermont", "Burlington, Vermont", false}, // two swapped
		{"White River, Vermont", "White River Junction, Vermont", false},
	}
	for _, tt := range tests {
		got, err := Find(tt.ask)
		if err != nil {
			t.Errorf("%s: %v", tt.ask, err)
			continue
		}
		list, other := got.Near, got.Towns
		if tt.several {
			list, other = got.Towns, got.Near
		}
		if tt.first == "" {
			if len(list)+len(other) > 0 || got.In == "" {
				t.Errorf("%s: found %v, near %v in %q; want none", tt.ask, names(got.Towns), names(got.Near), got.In)
			}
			continue
		}
		if len(list) == 0 || tt.several && len(list) < 2 || len(other) > 0 || list[0].String() != tt.first {
			t.Errorf("%s: found %v, near %v; want %s first (of several: %v)", tt.ask, names(got.Towns), names(got.Near), tt.first, tt.several)
		}
	}
	for ask, want := range map[string]string{"": "want a town", " , VT": "want a town", "Stowe, Vermnt": "did you mean Vermont?", "Stowe, Bavaria": "want a state"} {
		if _, err := Find(ask); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: found error %v, want one with %q", ask, err, want)
		}
	}
}

// Every row can be used: a zone that loads, a place in North America, a name that folds to letters people have on their
// keyboards, a region with towns in it.
func TestEveryTown(t *testing.T) {
	all := load()
	if n := len(all.towns); n < 39_000 {
		t.Fatalf("found %d towns, want some 39,000", n)
	}
	zones, towns := map[string]bool{}, map[*Region]int{}
	for i := range all.towns {
		g := &all.towns[i]
		zones[g.Zone] = true
		towns[g.Region]++
		if g.Latitude < 14 || g.Latitude > 77 || g.Longitude < -180 || g.Longitude > -50 || g.Elevation < -100 || g.Elevation > 4500 {
			t.Errorf("%s, %.0f m: not in North America", g.Describe(), g.Elevation)
		}
		if strings.Trim(all.folded[i], "abcdefghijklmnopqrstuvwxyz0123456789 ") != "" || all.folded[i] == "" {
			t.Errorf("%s folds to %q", g, all.folded[i])
		}
	}
	for z := range zones {
		if _, err := time.LoadLocation(z); err != nil {
			t.Error(err)
		}
	}
	for _, r := range Regions() {
		if n := towns[&regions[indexOf(r)]]; n == 0 {
			t.Errorf("no town in %s", r.Name)
		}
	}
	if !strings.Contains(Attribution, "GeoNames") || !strings.Contains(Attribution, "CC BY 4.0") || !strings.Contains(Attribution, "https://creativecommons.org/licenses/by/4.0/") {
		t.Error("the licence asks for the makers, the licence and where to read it")
	}
}

// Any town is found by its name and region, however it is typed, and is the nearest to itself.
func TestTownsAreFound(t *testing.T) {
	all := load()
	rapid.Check(t, func(rt *rapid.T) {
		g := &all.towns[rapid.IntRange(0, len(all.towns)-1).Draw(rt, "town")]
		if strings.Contains(g.Name, ",") {
			return
		}
		ask := []string{g.String(), strings.ToUpper(g.String()), Fold(g.Name) + "," + g.Region.Code, g.Name + ", " + g.Region.Name + ", " + g.Region.Country}
		text := rapid.SampledFrom(ask).Draw(rt, "ask")
		got, err := Find(text)
		if err != nil {
			rt.Fatal(err)
		}
		found := false
		for _, one := range got.Towns {
			found = found || *one == *g
		}
		if !found {
			rt.Fatalf("%s: found %v, want %s", text, names(got.Towns), g.Describe())
		}
		near, km := Nearest(g.Latitude, g.Longitude)
		if km > 0.01 {
			rt.Fatalf("nearest to %s is %s, %.1f km off", g.Describe(), near.Describe(), km)
		}
	})
}

// Villages of Vermont, where their post offices stand by the state's map, to a twentieth of a degree (from memory); they
// keep the state's clock.
func TestVillagesAreFound(t *testing.T) {
	for _, tt := range []struct {
		ask      string
		lat, lon float64
	}{
		{"Craftsbury, Vermont", 44.65, -72.38}, {"Waitsfield, VT", 44.19, -72.82}, {"cabot vermont", 44.40, -72.31},
		{"MARLBORO, vt", 42.86, -72.73},
	} {
		got, err := Find(tt.ask)
		if err != nil || len(got.Towns) != 1 {
			t.Errorf("%s: found %v, %v", tt.ask, names(got.Towns), err)
			continue
		}
		g := got.Towns[0]
		if km := kilometres(g.Latitude, g.Longitude, tt.lat, tt.lon); km > VillageReach+5 || !g.Village || g.HasElevation || g.Zone != "America/New_York" {
			t.Errorf("%s: found %s (village: %v, height known: %v) in %s, %.0f km off", tt.ask, g.Describe(), g.Village, g.HasElevation, g.Zone, km)
		}
	}
}

// A village is found by its name and state beside no town of that name, keeps the clock of a town near it, and is asked
// for by name only.
func TestEveryVillage(t *testing.T) {
	list, n := all(), 0
	towns := map[string]bool{}
	for i := range load().towns {
		towns[load().towns[i].Region.Name+" "+WithoutKind(load().folded[i])] = true
	}
	for i := range list.towns {
		g := &list.towns[i]
		if !g.Village {
			continue
		}
		n++
		if g.Region.Country != "US" || towns[g.Region.Name+" "+WithoutKind(list.folded[i])] || g.HasElevation || g.People != 0 {
			t.Errorf("%s is no village of the United States, or a town", g.Describe())
		}
		if strings.Trim(list.folded[i], "abcdefghijklmnopqrstuvwxyz0123456789 ") != "" || list.folded[i] == "" {
			t.Errorf("%s folds to %q", g, list.folded[i])
		}
		if n%500 > 0 { // the rest takes seconds
			continue
		}
		found, err := Find(g.String())
		if err != nil || !slices.Contains(found.Towns, g) {
			t.Errorf("%s: found %v, %v", g.Describe(), names(found.Towns), err)
		}
		near, km := Nearest(g.Latitude, g.Longitude)
		if near.Village || km > 400 {
			t.Errorf("%s: the nearest town is %s, %.0f km off", g.Describe(), near, km)
		}
	}
	if n < 13_000 {
		t.Errorf("found %d villages, want some 13,500", n)
	}
}

// The degree of latitude is 111.2 km on a sphere of 6371 km: 2 pi 6371 / 360. On the parallel of 60 degrees one of
// longitude is half that, to a few metres.
func TestKilometres(t *testing.T) {
	for _, tt := range []struct{ lat1, lon1, lat2, lon2, want, tol float64 }{
		{44, -72, 45, -72, 111.195, 0.001},
		{60, -72, 60, -73, 55.597, 0.01},
		{10, 179.5, 10, -179.5, 109.5, 0.1},
	} {
		if got := kilometres(tt.lat1, tt.lon1, tt.lat2, tt.lon2); math.Abs(got-tt.want) > tt.tol {
			t.Errorf("from %g, %g to %g, %g: %.3f km, want %.3f", tt.lat1, tt.lon1, tt.lat2, tt.lon2, got, tt.want)
		}
	}
}

func FuzzFind(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	for _, s := range []string{"Stowe, Vermont", "st. johns nl", ",", "Québec", "a,b,c,d", "\x00\xff", strings.Repeat("san ", 100)} {
		f.Add(s)
	}
	var few []*part // the whole table takes milliseconds to be searched for a slip of the pen
	for _, p := range parts() {
		if slices.Contains([]string{"VT", "NL", "YT"}, p.region.Code) {
			few = append(few, p)
		}
	}
	table := whole(few)
	f.Fuzz(func(t *testing.T, s string) {
		got, err := table.find(s)
		if err != nil && len(got.Towns)+len(got.Near) > 0 || len(got.Near) > mostNear {
			t.Errorf("%q: %v, %v, %v", s, names(got.Towns), names(got.Near), err)
		}
	})
}

// What the head says of a region is so of its towns: else Near and Countries leave some out.
func TestHeadOfTheTable(t *testing.T) {
	for _, p := range parts() {
		var zones []string
		south, north, west, east := 90.0, -90.0, 180.0, -180.0
		for _, g := range p.towns() {
			south, north, west, east = min(south, g.Latitude), max(north, g.Latitude), min(west, g.Longitude), max(east, g.Longitude)
			if !slices.Contains(zones, g.Zone) {
				zones = append(zones, g.Zone)
			}
		}
		slices.Sort(zones)
		if south != p.south || north != p.north || west != p.west || east != p.east || !slices.Equal(zones, p.zones) {
			t.Errorf("%s: towns from %v to %v, %v to %v, %v; the head has %v to %v, %v to %v, %v", p.region.Name,
				south, north, west, east, zones, p.south, p.north, p.west, p.east, p.zones)
		}
	}
}

// Near finds what looking at every town finds, wherever one stands: on the date line and at a pole too.
func TestNearMissesNone(t *testing.T) {
	all := load()
	rapid.Check(t, func(rt *rapid.T) {
		latitude, longitude := rapid.Float64Range(-90, 90).Draw(rt, "latitude"), rapid.Float64Range(-180, 180).Draw(rt, "longitude")
		if rapid.Bool().Draw(rt, "close") { // to a town, most of them near a border
			g := all.towns[rapid.IntRange(0, len(all.towns)-1).Draw(rt, "town")]
			latitude, longitude = g.Latitude+rapid.Float64Range(-1, 1).Draw(rt, "north"), g.Longitude+rapid.Float64Range(-2, 2).Draw(rt, "east")
		}
		within := rapid.Float64Range(0, 500).Draw(rt, "within")
		want := 0
		for i := range all.towns {
			if kilometres(latitude, longitude, all.towns[i].Latitude, all.towns[i].Longitude) <= within {
				want++
			}
		}
		got := Near(latitude, longitude, within)
		if len(got) != want {
			rt.Fatalf("%d towns within %.0f km of %.2f, %.2f, want %d", len(got), within, latitude, longitude, want)
		}
		if !slices.IsSortedFunc(got, func(a, b Found) int { return cmp.Compare(a.Kilometres, b.Kilometres) }) {
			rt.Fatal("not by distance")
		}
	})
}

// What is packed comes back, and the tables are what packing makes of what they hold.
func TestPackedTables(t *testing.T) {
	for name, data := range map[string][]byte{"towns": packed, "villages": packedVillages} {
		list, err := readParts(data)
		if err != nil {
			t.Fatal(err)
		}
		again, err := Pack(whole(list).towns)
		if err != nil || !bytes.Equal(again, data) {
			t.Errorf("%s: found %d bytes and %v, want the table's %d", name, len(again), err, len(data))
		}
		if !bytes.HasPrefix(data, []byte(Attribution)) {
			t.Errorf("%s: the table does not say whose work it is", name)
		}
	}
	odd := []Town{
		{Name: "Hamlet", Region: &regions[0], Latitude: 71.11, Longitude: -179.99, Zone: "B/b", Elevation: -86, HasElevation: true, People: 9},
		{Name: "Hamlets", Region: &regions[0], Latitude: 51.01, Longitude: -100, Zone: "A/a", HasElevation: true, People: 99},
		{Name: "Été", Region: &regions[0], Latitude: 51, Longitude: -100.5, Zone: "A/a", People: 8_900_000},
		{Name: "Èté", Region: &regions[5], Latitude: 14, Longitude: -92, Zone: "A/a", Elevation: 4200, HasElevation: true},
	}
	data, err := Pack(odd)
	if err != nil {
		t.Fatal(err)
	}
	list, err := readParts(data)
	if err != nil {
		t.Fatal(err)
	}
	if got := whole(list).towns; !slices.Equal(got, odd) {
		t.Errorf("found %+v, want %+v", got, odd)
	}
	for cut := range len(data) {
		list, err := readParts(data[:cut])
		if err == nil {
			t.Fatalf("found no error in the first %d bytes of %d: %v", cut, len(data), list)
		}
	}
}

func BenchmarkLoad(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		list, err := readParts(packed)
		if err != nil {
			b.Fatal(err)
		}
		whole(list)
	}
}

// The first question of a run: whose law holds in Stowe, Vermont?
func BenchmarkNearAtAStart(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		list, err := readParts(packed)
		if err != nil {
			b.Fatal(err)
		}
		for _, p := range list {
			if p.reaches(44.47, -72.69, 50) {
				p.towns()
			}
		}
	}
}

func BenchmarkFindSlip(b *testing.B) {
	load()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Find("Monpelier, Vermont"); err != nil {
			b.Fatal(err)
		}
	}
}

func names(towns []*Town) (list []string) {
	for _, t := range towns {
		list = append(list, t.Describe())
	}
	return list
}

func indexOf(r Region) int {
	for i := range regions {
		if regions[i] == r {
			return i
		}
	}
	panic(fmt.Sprint("no region ", r))
}
