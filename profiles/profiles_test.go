package profiles_test

import (
	"encoding/csv"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

func TestBuiltinProfilesAreClean(t *testing.T) {
	l := profiles.Builtin()
	for _, note := range l.Notes() {
		t.Errorf("%v", note)
	}
	for _, s := range l.All() {
		for _, p := range profiles.Check(s) {
			t.Errorf("%s: %v", s.ID, p)
		}
	}
}

func species(t *testing.T, id string) *phenology.Species {
	t.Helper()
	s, ok := profiles.Builtin().Lookup(id)
	if !ok {
		t.Fatalf("no %s", id)
	}
	return s
}

// Months of flowering, ripening and seed fall as printed in Bonner and Karrfalt (eds.) 2008, The Woody Plant Seed
// Manual, USDA Forest Service Agriculture Handbook 727, Acer, table 3, p. 206.
func TestMonthsOfTheMaplesAgainstTheSeedManual(t *testing.T) {
	type months struct{ from, to int }
	for _, tt := range []struct {
		id                   string
		flowers, ripe, sheds months
	}{
		{"acer-saccharum", months{3, 5}, months{9, 10}, months{10, 12}},
		{"acer-rubrum", months{3, 5}, months{4, 6}, months{4, 7}},
		{"acer-saccharinum", months{2, 5}, months{4, 6}, months{4, 6}},
		{"acer-negundo", months{3, 5}, months{8, 10}, months{9, 3}},
		{"acer-platanoides", months{4, 6}, months{9, 10}, months{10, 11}},
	} {
		s := species(t, tt.id)
		for phase, want := range map[phenology.Phase]months{
			phenology.Flowering: tt.flowers, phenology.FruitRipe: tt.ripe, phenology.SeedFall: tt.sheds,
		} {
			r := s.Phase(phase)
			if r == nil || r.Months == nil {
				t.Errorf("%s %s has no months", tt.id, phase)
			} else if got := (months{r.Months.From, r.Months.To}); got != want {
				t.Errorf("%s %s: months %v, the manual has %v", tt.id, phase, got, want)
			}
		}
	}
}

// Mean cleaned seeds per kilogram and stratification of the same manual, tables 4 and 5: the means must lie in the
// ranges of the profiles.
func TestSeedFiguresAgainstTheSeedManual(t *testing.T) {
	for _, tt := range []struct {
		id       string
		perKg    float64
		min, max int // days of cold, 0 for none
	}{
		{"acer-saccharum", 15540, 40, 90},
		{"acer-rubrum", 50520, 60, 90},
		{"acer-saccharinum", 3930, 0, 0},
		{"acer-negundo", 29610, 60, 90},
		{"acer-platanoides", 6320, 90, 120},
	} {
		seed := species(t, tt.id).Seed
		if q := seed.SeedsPerKg; q.Low > tt.perKg || q.High < tt.perKg {
			t.Errorf("%s: %v to %v seeds per kg, the manual's mean is %v", tt.id, q.Low, q.High, tt.perKg)
		}
		last := seed.Pretreatments[len(seed.Pretreatments)-1] // of red maple the first is to sow it fresh
		var lo, hi int
		for _, step := range last.Steps {
			lo, hi = lo+step.MinDays, hi+step.MaxDays
		}
		if lo != tt.min || hi != tt.max {
			t.Errorf("%s: %d to %d days of cold, the manual has %d to %d", tt.id, lo, hi, tt.min, tt.max)
		}
	}
}

// Red and silver maple ripen and shed in spring and early summer, the other three in autumn (Agriculture Handbook 727,
// Acer, table 3): one collecting season for all maples is wrong for two of five.
func TestOrderOfTheYear(t *testing.T) {
	const midsummer = 181 // 30 June
	day := func(s *phenology.Species, p phenology.Phase) float64 {
		var at func(phenology.Phase) float64
		at = func(p phenology.Phase) float64 {
			r := s.Phase(p)
			for _, ref := range r.References {
				if strings.HasPrefix(ref.Place, "Petersham") {
					return ref.Day
				}
			}
			lag, ok := r.Model.Models[0].(phenology.Lag)
			if !ok {
				t.Fatalf("%s %s has neither a date at Petersham nor a lag", s.ID, p)
			}
			return at(lag.After) + lag.Days
		}
		return at(p)
	}
	for _, s := range profiles.Builtin().All() {
		spring := s.ID == "acer-rubrum" || s.ID == "acer-saccharinum"
		if !slices.Contains([]string{"acer-saccharum", "acer-rubrum", "acer-saccharinum", "acer-negundo",
			"acer-platanoides"}, s.ID) {
			continue
		}
		if ripe := day(s, phenology.FruitRipe); ripe < midsummer != spring {
			t.Errorf("%s ripens on day %v", s.ID, ripe)
		}
		if down := day(s, phenology.SeedFallEnd); down < midsummer != spring {
			t.Errorf("%s has shed its seed on day %v", s.ID, down)
		}
		for _, p := range phenology.Phases() {
			if s.Phase(p) == nil {
				t.Errorf("%s has no %s", s.ID, p)
			}
		}
	}
	silver, red, sugar := species(t, "silver maple"), species(t, "red maple"), species(t, "sugar maple")
	if a, b := day(silver, phenology.Flowering), day(red, phenology.Flowering); b-a < 7 || b-a > 21 {
		t.Errorf("silver maple flowers %v days before red maple, want one to three weeks", b-a)
	}
	if a, b := day(red, phenology.BudSwell), day(sugar, phenology.BudSwell); a >= b {
		t.Errorf("red maple's buds swell on day %v, sugar maple's on day %v, want red maple first", a, b)
	}
	if sap := silver.Sap; sap.Tapped == phenology.TappedNever || sap.Run == nil {
		t.Error("silver maple is not tapped")
	}
	// Sap may turn before the leaves, but flowers come before bud break in red and silver, not in every maple.
	if day(silver, phenology.Flowering) >= day(silver, phenology.BudBreak) {
		t.Error("silver maple leafs before it flowers")
	}
}

// Start and end of production in regions of Quebec, mean days of the year 1999 to 2011 and their standard deviations:
// Houle D and others 2015, PLoS ONE 10(12):e0144844, table 1.
func TestSapSeasonsAgainstHoule(t *testing.T) {
	sugar := species(t, "acer-saccharum")
	find := func(p phenology.Phase, place string) phenology.Reference {
		for _, ref := range sugar.Phase(p).References {
			if strings.HasPrefix(ref.Place, place+",") {
				return ref
			}
		}
		t.Fatalf("no %s at %s", p, place)
		return phenology.Reference{}
	}
	for _, tt := range []struct {
		place                      string
		start, startSD, end, endSD float64
	}{
		{"Valleyfield", 65, 7, 101, 6},
		{"Saint-Hyacinthe", 66, 9, 102, 5},
		{"Quebec", 71, 9, 110, 5},
		{"Estrie", 73, 11, 108, 6},
		{"Beauce", 73, 11, 107, 6},
		{"Laurentides", 73, 13, 110, 10},
		{"Mauricie", 77, 12, 108, 8},
		{"Côte-du-Sud", 77, 7, 115, 3},
		{"Bas-Saint-Laurent", 83, 8, 116, 4},
	} {
		a, b := find(phenology.SapStart, tt.place), find(phenology.SapEnd, tt.place)
		if a.Day != tt.start || a.Spread != tt.startSD || b.Day != tt.end || b.Spread != tt.endSD {
			t.Errorf("%s: %v+-%v to %v+-%v, the table has %+v", tt.place, a.Day, a.Spread, b.Day, b.Spread, tt)
		}
	}
}

// Mean dates and spreads between years worked out again from Harvard Forest Data Archive HF003 (O'Keefe).
func TestReferencesAgainstHarvardForest(t *testing.T) {
	const folder = "../../shared/data/harvard-forest"
	if _, err := os.Stat(folder); err != nil {
		t.Skipf("the open observations are not at %s: %v", folder, err)
	}
	for _, tt := range []struct {
		file, code, column, id string
		phase                  phenology.Phase
	}{
		{"spring-species-means-1990-2005.csv", "ACSA", "fopn.jd", "acer-saccharum", phenology.Flowering},
		{"spring-species-means-1990-2005.csv", "ACSA", "bb.jd", "acer-saccharum", phenology.BudBreak},
		{"spring-species-means-1990-2005.csv", "ACSA", "l75.jd", "acer-saccharum", phenology.LeafOut},
		{"fall-species-means-1991-2005.csv", "ACSA", "lc.doy", "acer-saccharum", phenology.LeafColor},
		{"fall-species-means-1991-2005.csv", "ACSA", "lf.doy", "acer-saccharum", phenology.LeafFall},
		{"spring-species-means-1990-2005.csv", "ACRU", "fopn.jd", "acer-rubrum", phenology.Flowering},
		{"spring-species-means-1990-2005.csv", "ACRU", "bb.jd", "acer-rubrum", phenology.BudBreak},
		{"spring-species-means-1990-2005.csv", "ACRU", "l75.jd", "acer-rubrum", phenology.LeafOut},
		{"fall-species-means-1991-2005.csv", "ACRU", "lc.doy", "acer-rubrum", phenology.LeafColor},
		{"fall-species-means-1991-2005.csv", "ACRU", "lf.doy", "acer-rubrum", phenology.LeafFall},
	} {
		days := column(t, filepath.Join(folder, tt.file), tt.code, tt.column)
		mean, sd := stat(days)
		ref := species(t, tt.id).Phase(tt.phase).References[0]
		// the profile has whole days, and tenths of spread
		if math.Abs(ref.Day-mean) > 0.5 || math.Abs(ref.Spread-sd) > 0.05 {
			t.Errorf("%s %s: %v+-%v, the observations have %.1f+-%.2f (%d years)", tt.id, tt.phase, ref.Day, ref.Spread,
				mean, sd, len(days))
		}
	}
}

func column(t *testing.T, file, code, name string) (values []float64) {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	col := slices.Index(rows[0], name)
	for _, row := range rows[1:] {
		if row[1] == code {
			if v, err := strconv.ParseFloat(row[col], 64); err == nil && !math.IsNaN(v) {
				values = append(values, v)
			}
		}
	}
	return values
}

func stat(x []float64) (mean, sd float64) {
	for _, v := range x {
		mean += v / float64(len(x))
	}
	for _, v := range x {
		sd += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sd / float64(len(x)-1))
}

func TestFieldCharactersTellTheMaplesApart(t *testing.T) {
	winter := func(id string) map[string][]string {
		traits := map[string][]string{}
		for _, tr := range species(t, id).Traits {
			if tr.Organ == "twig" || tr.Organ == "bud" || tr.AllYear {
				traits[tr.Organ+" "+tr.Name] = tr.States
			}
		}
		return traits
	}
	differ := func(a, b map[string][]string) (by []string) {
		for name, states := range a {
			other, ok := b[name]
			if ok && len(states) > 0 && !slices.ContainsFunc(states, func(s string) bool { return slices.Contains(other, s) }) {
				by = append(by, name)
			}
		}
		slices.Sort(by)
		return by
	}
	if by := differ(winter("acer-saccharum"), winter("acer-platanoides")); !slices.Contains(by, "bud tip") ||
		!slices.Contains(by, "bud shape") {
		t.Errorf("sugar and Norway maple differ on a bare twig by %v, want bud tip and bud shape among them", by)
	}
	// Ontario tree guide, winter keys: red and silver maple are not safely told apart by the bud.
	for _, name := range differ(winter("acer-rubrum"), winter("acer-saccharinum")) {
		if strings.HasPrefix(name, "bud ") {
			t.Errorf("red and silver maple differ by %s, want no character of the bud to part them", name)
		}
	}
	// The milky sap of Norway maple needs green leaves: no winter sheet can offer it.
	for _, tr := range species(t, "acer-platanoides").Traits {
		if tr.Organ == "sap" && (tr.AllYear || tr.From.String() != "bud-break+7" ||
			!slices.Equal(tr.States, []string{"milky"})) {
			t.Errorf("Norway maple's sap: %+v", tr)
		}
	}
	for _, s := range profiles.Builtin().All() {
		if got := winter(s.ID)["twig arrangement"]; strings.HasPrefix(s.ID, "acer-") &&
			!slices.Equal(got, []string{"opposite"}) {
			t.Errorf("%s has twigs %v, want opposite", s.ID, got)
		}
	}
}

func TestLookup(t *testing.T) {
	l := profiles.Builtin()
	for _, name := range []string{"acer-negundo", "Acer negundo", "ACER NEGUNDO", "box elder", "Box-Elder", "boxelder",
		"Manitoba maple"} {
		if s, ok := l.Lookup(name); !ok || s.ID != "acer-negundo" {
			t.Errorf("Lookup(%q) = %v, %v", name, s, ok)
		}
	}
	for name, want := range map[string]string{
		"shugar maple": `did you mean sugar maple?`,
		"acer-rubum":   `did you mean acer-rubrum?`,
		"elder":        `did you mean box elder or American elder?`,
		"yew":          `which is not among the `,
	} {
		if _, err := l.Find(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Find(%q): %v, want %q in it", name, err, want)
		}
	}
	all := l.All()
	if !slices.IsSortedFunc(all, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) }) {
		t.Error("All is not by id")
	}
}

// example returns the profile in the package's documentation.
func example(t *testing.T) string {
	t.Helper()
	doc, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	_, after, ok := strings.Cut(string(doc), "// # Example\n")
	if !ok {
		t.Fatal("doc.go has no example")
	}
	var b strings.Builder
	for line := range strings.Lines(after) {
		if code, ok := strings.CutPrefix(line, "//\t"); ok {
			b.WriteString(code)
		}
	}
	return b.String()
}

func TestTheExampleInTheDocumentation(t *testing.T) {
	s, err := profiles.Decode(strings.NewReader(example(t)), "example.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r := s.Phase(phenology.BudBreak)
	model := r.Model.Models[0].(phenology.ThermalTime)
	if got := fmt.Sprintf("%.2f m, day %v; start %d, base %.2f C, %s, %v degree-days", r.References[0].Elevation,
		r.References[0].Day, model.Start, model.Base, model.Method, model.Requirement); got !=
		"350.52 m, day 126; start 60, base 4.44 C, sine, 190 degree-days" {
		t.Error(got)
	}
	if step := s.Seed.Pretreatments[0].Steps[0]; step.MinDays != 84 || step.MaxDays != 84 || step.LowC != 1 ||
		step.HighC != 5 {
		t.Errorf("12 weeks at 1 to 5 C became %+v", step)
	}
	if src := r.Model.Source; src.Mark != phenology.MarkComputed || src.Key != "own-notes" {
		t.Errorf("source %+v", src)
	}
}

func TestAUsersFolder(t *testing.T) {
	red, err := fs.ReadFile(os.DirFS("species"), "acer-rubrum.yaml")
	if err != nil {
		t.Fatal(err)
	}
	mine := strings.Replace(string(red), "common: [red maple,", "common: [our red maple, red maple,", 1)
	folder := fstest.MapFS{
		"acer-rubrum.yaml":   {Data: []byte(mine)},
		"arbor-exempli.yaml": {Data: []byte(strings.ReplaceAll(example(t), "source: herbarium", "source: flora"))},
		"sources.yaml":       {Data: []byte("flora: {citation: a flora, mark: seen}\n")},
		"README.txt":         {Data: []byte("not a profile")},
	}
	l, err := profiles.Read(folder, "mine")
	if err != nil {
		t.Fatal(err)
	}
	if s, _ := l.Lookup("our red maple"); s == nil || s.ID != "acer-rubrum" {
		t.Error("the user's red maple does not stand in for the built-in one")
	}
	if _, ok := l.Lookup("example tree"); !ok {
		t.Error("the user's own species is not beside the built-in ones")
	}
	if got, want := len(l.All()), len(profiles.Builtin().All())+1; got != want {
		t.Errorf("%d species, want %d", got, want)
	}
	// Its own key herbarium is now cited by nothing.
	if notes := l.Notes(); len(notes) != 1 || notes[0].Field != "sources.herbarium" || notes[0].Line == 0 {
		t.Errorf("notes %v", notes)
	}
	if s, _ := profiles.Builtin().Lookup("our red maple"); s != nil {
		t.Error("the built-in library has changed")
	}
}

func TestAUsersFolderWithWhatOnlyAFolderCanGetWrong(t *testing.T) {
	ex := example(t)
	for _, tt := range []struct {
		name   string
		folder fstest.MapFS
		want   string
	}{
		{"file name unlike the id", fstest.MapFS{"tree.yaml": {Data: []byte(ex)}},
			`mine/tree.yaml:1: id: found "arbor-exempli" in a file called "tree.yaml", want both the same`},
		{"two files of one species", fstest.MapFS{"arbor-exempli.yaml": {Data: []byte(ex)},
			"arbor-exempli.yml": {Data: []byte(ex)}},
			`mine/arbor-exempli.yml:1: id: found "arbor-exempli", which is the id in mine/arbor-exempli.yaml too, want one file a species`},
		{"a common name that is taken",
			fstest.MapFS{"arbor-exempli.yaml": {Data: []byte(strings.Replace(ex, "[example tree]", "[Box-elder]", 1))}},
			`mine/arbor-exempli.yaml: common: found name "Box-elder", which acer-negundo has too (built-in acer-negundo), want it in one of them`},
		{"a broken bibliography", fstest.MapFS{"sources.yaml": {Data: []byte("flora: {citation: a flora}\n")}},
			`mine/sources.yaml:1: flora: found no key "mark", want it`},
		{"a key of the shared bibliography",
			fstest.MapFS{"sources.yaml": {Data: []byte("skinner-2010: {citation: x, mark: seen}\n")}},
			`mine/sources.yaml:1: skinner-2010: found source key "skinner-2010", which is another source in the shared bibliography, want a key of its own`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := profiles.Read(tt.folder, "mine"); fmt.Sprint(err) != tt.want {
				t.Errorf("got\n%v\nwant\n%s", err, tt.want)
			}
		})
	}
}

// A profile of the southern hemisphere counts its days from 2 July, see phenology.Season.
func TestSouthernReference(t *testing.T) {
	south := strings.NewReplacer("latitude: 44.1", "latitude: -42.8", "date: 05-06", "date: 10-04").Replace(example(t))
	s, err := profiles.Decode(strings.NewReader(south), "south.yaml")
	if err != nil {
		t.Fatal(err)
	}
	season := phenology.Season{Year: 2026, Southern: true}
	if got := season.Nearest(s.Phase(phenology.BudBreak).References[0].Day).String(); got != "2026-10-04" {
		t.Errorf("4 October came back as %s", got)
	}
}

// Agriculture Handbook 727, Fraxinus, table 2: white ash ripens October to November and sheds September to December.
func TestSeedMayFallBeforeItIsRipeElsewhere(t *testing.T) {
	ash := strings.Replace(example(t), "seed:\n", `  seed-fall:
    meaning: samaras fall
    moves: not
    months: {from: 9, to: 12, source: herbarium}
    dating:
      models: [{kind: lag, after: fruit-ripe, days: -20, spread: 10}]
      residual: 10
      source: memory
seed:
`, 1)
	if _, err := profiles.Decode(strings.NewReader(ash), "ash.yaml"); err != nil {
		t.Error(err)
	}
}

func TestBrokenProfiles(t *testing.T) {
	const dir = "../testdata/bad/profiles"
	files, err := filepath.Glob(dir + "/*.yaml")
	if err != nil || len(files) < 10 {
		t.Fatalf("%d broken profiles in %s, want at least 10 (%v)", len(files), dir, err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			f, err := os.Open(file)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			want, err := os.ReadFile(strings.TrimSuffix(file, ".yaml") + ".want")
			if err != nil {
				t.Fatal(err)
			}
			_, err = profiles.Decode(f, filepath.Base(file))
			if got := fmt.Sprint(err) + "\n"; got != string(want) {
				t.Errorf("got\n%swant\n%s", got, want)
			}
		})
	}
}

func FuzzDecode(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add([]byte("id: a\n"))
	// The broken ones are short and have every kind of thing in them; the real ones are four times as long.
	files, err := filepath.Glob("../testdata/bad/profiles/*.yaml")
	if err != nil || len(files) == 0 {
		f.Fatalf("no broken profiles: %v", err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := profiles.Decode(strings.NewReader(string(data)), "f.yaml")
		if err == nil {
			if more := profiles.Check(s); len(more) > 0 {
				t.Errorf("decoded, but %v", more)
			}
			return
		}
		list, ok := err.(problem.List)
		if !ok {
			t.Fatalf("%T is no problem.List", err)
		}
		for _, p := range list {
			if p.Line < 1 || p.File != "f.yaml" || p.Text == "" || strings.Contains(p.Text, "\n") {
				t.Errorf("problem without a place or a text on one line: %#v", p)
			}
		}
	})
}
