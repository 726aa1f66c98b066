package page_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

var updatePages = flag.Bool("update", false, "write golden files anew; read them before you keep them")

// pageSpecies is an invented tree, dated by what was seen of it at Fallow Creek in invented years.
func pageSpecies(id, name string, days map[phenology.Phase]float64) *phenology.Species {
	sp := &phenology.Species{ID: id, Botanical: id, Common: []string{name}}
	for _, p := range phenology.Phases() {
		if day, ok := days[p]; ok {
			sp.Phases = append(sp.Phases, &phenology.PhaseRecord{Phase: p, Moves: phenology.MovesNot, References: []phenology.Reference{{
				Place: "Fallow Creek", Latitude: calendartest.Sugarbush().Latitude, Longitude: calendartest.Sugarbush().Longitude, Elevation: calendartest.Sugarbush().Elevation,
				Day: day, Spread: 4, Source: phenology.FromMemory,
			}}})
		}
	}
	return sp
}

// pageTemperatures is ten years and a spring of a made-up wave, with a forecast of a week.
func pageTemperatures(asOf civil.Date) weather.Series {
	s := weather.Series{First: civil.Of(asOf.Year()-10, 1, 1)}
	for d := s.First; d <= asOf+7; d++ {
		mean := 8 - 16*math.Cos(2*math.Pi*float64(d.YearDay()-20)/365) + 5*math.Sin(float64(d)*0.9) + 3*math.Sin(float64(d)*0.37)
		day := weather.Day{Min: mean - 6, Max: mean + 6}
		if d > asOf {
			day.Flags = weather.Forecast
		}
		s.Days = append(s.Days, day)
	}
	return s
}

// testPage is a page of two places: one with a spring under way and one without a thermometer, whose owner gave it and
// its tree names that try to break out of their place.
func testPage() page.Page {
	asOf := calendartest.Day("2027-03-12")
	tree := pageSpecies("acer-saccharum", "Sugar maple", map[phenology.Phase]float64{
		phenology.SapStart: 60, phenology.SapEnd: 105, phenology.BudSwell: 105, phenology.Flowering: 120, phenology.BudBreak: 125,
		phenology.LeafOut: 140, phenology.FruitRipe: 270, phenology.LeafColor: 275, phenology.LeafFall: 290,
	})
	tree.Sap = phenology.Sap{Tapped: phenology.TappedCommonly, Run: &phenology.RunRule{Night: phenology.Threshold{Low: -1, High: -1}, Day: phenology.Threshold{Low: 3, High: 3}}}
	hostile := pageSpecies("x", `"><script>alert(1)</script>`, map[phenology.Phase]float64{phenology.Flowering: 80, phenology.SeedFallEnd: 400})
	hostile.Phases = append(hostile.Phases, &phenology.PhaseRecord{Phase: phenology.Dormant})
	other := &phenology.Site{ID: "b", Name: `</title><b onclick="x">&amp;`, Latitude: calendartest.Sugarbush().Latitude, Longitude: calendartest.Sugarbush().Longitude, Elevation: calendartest.Sugarbush().Elevation, Zone: calendartest.Sugarbush().Zone}

	open := icaltest.GatherEntry("2027-03-01", "2027-04-10")
	tap := icaltest.TapEntry("2027-03-14", "2027-03-20")
	late := icaltest.GatherEntry("2028-02-20", "2028-03-05")
	late.UID = calendar.UID(calendartest.FeedID, calendartest.Sugarbush().ID, calendar.Tapping, nil, "gather", 2028)
	outing := icaltest.TapEntry("2027-04-21", "2027-04-21")
	outing.UID = calendar.UID(calendartest.FeedID, "b", calendar.FieldTrip, nil, "visit", 2027)
	outing.Site, outing.Activity, outing.Species = other, calendar.FieldTrip, []*phenology.Species{hostile}
	icaltest.Said(outing, func(t *words.Text) {
		t.Summary, t.Kit = `<img src=x onerror="alert(1)">`, []string{"Hand lens"}
	})

	plan := &calendar.Plan{Title: "Two places & a <spring>", AsOf: asOf, Span: civil.Span{First: asOf, Last: asOf + 365}, Places: []*calendar.Place{
		{
			Outlook: &phenology.Outlook{Site: *calendartest.Sugarbush(), Temps: phenology.NewTemperatures(*calendartest.Sugarbush(), pageTemperatures(asOf)),
				Sightings: phenology.Sightings{{Date: calendartest.Day("2027-03-02"), Site: calendartest.Sugarbush().ID, Species: tree.ID, Phase: phenology.SapStart}}},
			Species: []*phenology.Species{tree}, Activities: []calendar.Activity{calendar.Tapping}, Chosen: true,
		},
		{
			Outlook: &phenology.Outlook{Site: *other}, Species: []*phenology.Species{hostile, tree},
			Activities: []calendar.Activity{calendar.TwigSurvey, calendar.FieldTrip}, Chosen: true,
		},
	}}
	s := &calendar.Schedule{Title: plan.Title, AsOf: asOf, Span: plan.Span, Notes: []calendar.Note{{Says: "All of this is <invented>."}},
		Entries: []*calendar.Entry{open, tap, outing, late}}
	return page.Page{Plan: plan, Schedule: s, Feeds: []page.FeedLink{
		{Site: calendartest.Sugarbush().ID, Address: "feeds/fallow-creek.ics", Webcal: "webcal://example.org/trees/feeds/fallow-creek.ics"},
		{Site: "b", Activity: calendar.FieldTrip, Address: "feeds/b.field-trip.ics", Webcal: "javascript:alert(1)"},
	}}
}

func renderPage(t testing.TB, p page.Page) string {
	t.Helper()
	var b bytes.Buffer
	if err := page.WritePage(&b, p); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// golden compares with a file of testdata, or writes it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *updatePages {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

func TestPageGolden(t *testing.T) {
	p := testPage()
	first := renderPage(t, p)
	if second := renderPage(t, testPage()); second != first {
		t.Error("the same page is not the same bytes")
	}
	// The style is not worth comparing line by line.
	golden(t, "page.html", regexp.MustCompile(`(?s)<style>.*?</style>|'sha256-[^']*'|&#39;sha256-.*?&#39;`).ReplaceAllString(first, ""))
}

// TestPageKeepsToItself: nothing is fetched, no script is let in but the page's own, and no text gets out of its place.
func TestPageKeepsToItself(t *testing.T) {
	html := renderPage(t, testPage())
	policy := page.PagePolicy()
	for tag, directive := range map[string]string{"style": "style-src", "script": "script-src"} {
		all := regexp.MustCompile(`(?s)<`+tag+`>(.*?)</`+tag+`>`).FindAllStringSubmatch(html, -1)
		if len(all) != 1 {
			t.Fatalf("found %d elements %s, want one", len(all), tag)
		}
		sum := sha256.Sum256([]byte(all[0][1]))
		if want := directive + " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"; !strings.Contains(policy, want) {
			t.Errorf("the policy is %s, want %s in it: CSP level 3 section 6.7", policy, want)
		}
	}
	shown := regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>`).ReplaceAllString(html, "")
	for _, tag := range regexp.MustCompile(`<[a-z][^>]*>`).FindAllString(shown, -1) {
		names := regexp.MustCompile(`"[^"]*"`).ReplaceAllString(tag, "")
		if regexp.MustCompile(`\s(on[a-z]+|style|src)=`).MatchString(names) || strings.HasPrefix(tag, "<script") || strings.HasPrefix(tag, "<b ") || strings.HasPrefix(tag, "<img") {
			t.Errorf("found %s", tag)
		}
		for _, m := range regexp.MustCompile(`(?:href|xlink:href)="([^"]*)"`).FindAllStringSubmatch(tag, -1) {
			if a := m[1]; !strings.HasPrefix(a, "#") && !strings.HasPrefix(a, "feeds/") && !strings.HasPrefix(a, "webcal://example.org/") && !strings.HasPrefix(a, "data:image/svg+xml,") {
				t.Errorf("found link %s", a)
			}
		}
	}
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(html)[1]
	if strings.Contains(style, "url(") || strings.Contains(style, "@import") || strings.Contains(style, "@font-face") {
		t.Error("the style fetches something")
	}
	if !strings.Contains(html, "Two places &amp; a &lt;spring&gt;") || !strings.Contains(html, "All of this is &lt;invented&gt;.") {
		t.Error("texts are not escaped")
	}
	bad := testPage()
	bad.All, bad.Pictures = "JavaScript:alert(1)", map[string]string{calendartest.Sugarbush().ID: "data:text/html,x"}
	bad.Feeds[0].Address, bad.Feeds[1].Address = "javascript:alert(1)", `x" onclick="alert(1)`
	if got := renderPage(t, bad); regexp.MustCompile(`(?i)href="(javascript|data:text)|\sonclick="`).MatchString(got) || !strings.Contains(got, `href="#"`) {
		t.Error("the page leads to a script")
	}
	file := testPage()
	file.Feeds = nil
	if got := renderPage(t, file); strings.Contains(got, "<script") || strings.Contains(got, "On your calendar") {
		t.Error("a page in a file has a script or feeds")
	}
	notice := words.Notice{Head: "Not up to date.", Why: "Since <noon>."}
	if got := string(page.WithTrouble([]byte(renderPage(t, file)), notice)); !strings.Contains(got,
		"Not up to date.</strong> Since &lt;noon&gt;.") {
		t.Error("the page does not say what is wrong with it")
	}
}

// TestPageStructure: ids are there once, what refers to one finds it, headings skip no level (WCAG 2.2, techniques G141 and
// H42), drawings have names and are well-formed, lists hold what the schedule has.
func TestPageStructure(t *testing.T) {
	html := renderPage(t, testPage())
	ids := map[string]int{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(html, -1) {
		if ids[m[1]]++; ids[m[1]] > 1 {
			t.Errorf("found id %s twice", m[1])
		}
	}
	for _, m := range regexp.MustCompile(`aria-labelledby="([^"]*)"|href="#([^"]*)"`).FindAllStringSubmatch(html, -1) {
		for _, id := range strings.Fields(m[1] + " " + m[2]) {
			if ids[id] == 0 {
				t.Errorf("found no element of id %s", id)
			}
		}
	}
	level := 0
	for _, m := range regexp.MustCompile(`<h([1-6])`).FindAllStringSubmatch(html, -1) {
		n, _ := strconv.Atoi(m[1])
		if n > level+1 {
			t.Errorf("found a heading of level %d below one of level %d", n, level)
		}
		level = n
	}
	drawings := regexp.MustCompile(`(?s)<svg class="(?:year|weather|spring)".*?</svg>\n`).FindAllString(html, -1)
	if len(drawings) != 3 {
		t.Fatalf("found %d drawings, want two of a year and one of temperatures", len(drawings))
	}
	for _, d := range drawings {
		if !strings.Contains(d, `role="img" aria-labelledby="`) {
			t.Errorf("found a drawing without a name: %.100s", d)
		}
		dec := xml.NewDecoder(strings.NewReader(d))
		for {
			if _, err := dec.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%v in %.100s", err, d)
			}
		}
	}
	first := strings.Index(html, `<ol class="nexts"`)
	if i, j := strings.Index(html, "Tap sugar maple"), strings.Index(html, `<h3>The year, day by day</h3>`); first < 0 || i < first || i > j {
		t.Error("what is next does not come first")
	}
	if strings.Count(html, `class="entry `) != 4 {
		t.Errorf("found %d entries, want 4", strings.Count(html, `class="entry `))
	}
	if !strings.Contains(html, "bare, at rest: ") { // of the second place's first tree
		t.Error("the page does not say what could not be dated, and why")
	}
}

// TestYearDrawing: a pin stands on the best day, the area of work covers its window and is as high as it is likely, and that
// of what is seen of a tree is as high on every day as the chance that one phase has come and the other has not.
func TestYearDrawing(t *testing.T) {
	p := testPage()
	html := renderPage(t, p)
	drawing := regexp.MustCompile(`(?s)<svg class="year".*?</svg>\n`).FindString(html)
	first, days := calendartest.Day("2027-02-01"), 365. // twelve months from the month before the as-of day's
	at := func(d civil.Date, half float64) string {
		return fmt.Sprintf("%.2f%%", 1.5+97*(float64(d-first)+half)/days)
	}
	tap := p.Schedule.Entries[1]
	high := 16 * tap.Probability
	area := regexp.MustCompile(fmt.Sprintf(`<rect class="area" x="%s" y="[\d.]+" width="%.2f%%" height="%.1f"/>`,
		at(tap.Window.First, 0), 97*float64(tap.Window.Days())/days, high))
	if !area.MatchString(drawing) {
		t.Errorf("found no area like %s", area)
	}
	if pin := fmt.Sprintf(`<circle class="pin" cx="%s"`, at(tap.Best, 0.5)); !strings.Contains(drawing, pin) {
		t.Errorf("found no pin at %s", at(tap.Best, 0.5))
	}
	pl := p.Plan.Places[0]
	est := pl.Outlook.Estimate(pl.Species[0], 2027)
	from, to := est.Get(phenology.SapStart), est.Get(phenology.SapEnd)
	sap := regexp.MustCompile(`(?s)<g class="sap"><svg x="([\d.]+)%".*?viewBox="0 0 (\d+) 100".*?d="([^"]*)"`).FindStringSubmatch(drawing)
	if sap == nil {
		t.Fatal("found no spell of sap")
	}
	x, _ := strconv.ParseFloat(sap[1], 64)
	begins := first + civil.Date(math.Round((x-1.5)/97*days))
	points := regexp.MustCompile(`L([\d.]+) (\d+)`).FindAllStringSubmatch(sap[3], -1)
	day, height := 0.0, 0.0                       // of the point before
	for i, m := range points[1 : len(points)-2] { // the first and the last two close the outline
		k, _ := strconv.ParseFloat(m[1], 64)
		got, _ := strconv.ParseFloat(m[2], 64)
		got = 100 - got
		for at := day; i > 0 && at <= k; at++ { // between two points the line is drawn
			d := begins + civil.Date(at-0.5)
			drawn, want := height+(got-height)*(at-day)/(k-day), 100*(from.By(d)-to.By(d))
			if off := math.Abs(drawn - want); off > 1.6 || at == k && off > 0.51 {
				t.Errorf("%s: found a height of %.1f, want %.1f", d, drawn, want)
			}
		}
		day, height = k, got
	}
	if want := fmt.Sprintf(`<line class="today" x1="%s"`, at(p.Plan.AsOf, 0.5)); !strings.Contains(drawing, want) {
		t.Errorf("found no line of today at %s", want)
	}
}

// TestTemperatureDrawing checks the run days that the html counts against a count of the series itself.
func TestTemperatureDrawing(t *testing.T) {
	p := testPage()
	html := renderPage(t, p)
	s := pageTemperatures(p.Plan.AsOf)
	rule := p.Plan.Places[0].Species[0].Sap.Run
	past, ahead := 0, 0
	first := calendartest.Day("2027-01-01")
	runs, ok := phenology.NewTemperatures(*calendartest.Sugarbush(), s).Runs(*rule, civil.Span{First: first, Last: s.Last()})
	if !ok {
		t.Fatal("the made-up series has gaps")
	}
	for i, likely := range runs {
		if likely.Likelihood >= 0.5 {
			if first+civil.Date(i) > p.Plan.AsOf {
				ahead++
			} else {
				past++
			}
		}
	}
	if past < 5 {
		t.Fatalf("the made-up series has %d run days, too few to try this on", past)
	}
	drawing := regexp.MustCompile(`(?s)<svg class="weather".*?</svg>\n`).FindString(html)
	if got := strings.Count(drawing, `class="run"`); got != past {
		t.Errorf("found %d run days marked, want %d", got, past)
	}
	if got := strings.Count(drawing, `class="run forecast"`); got != ahead {
		t.Errorf("found %d run days of the forecast marked, want %d", got, ahead)
	}
	if !strings.Contains(html, fmt.Sprintf("%d days with a likely run of sap from 1 Jan to 12 Mar; %d more in the forecast to 19 Mar.", past, ahead)) {
		t.Error("the page does not say how many")
	}
	if !strings.Contains(html, "There are no temperatures for this site") {
		t.Error("the page does not say that a site has no temperatures")
	}
}

func TestPageOfManySites(t *testing.T) {
	p := testPage()
	one := p.Plan.Places[1]
	p.Plan.Places, p.Feeds, p.Schedule.Entries = nil, nil, nil
	for i := range 45 {
		pl := *one
		site := *calendartest.Sugarbush()
		site.ID, site.Name = fmt.Sprintf("s%d", i), fmt.Sprintf("Site %d", i)
		pl.Outlook = &phenology.Outlook{Site: site}
		p.Plan.Places = append(p.Plan.Places, &pl)
		p.Feeds = append(p.Feeds, page.FeedLink{Site: site.ID, Address: "feeds/" + site.ID + ".ics"})
	}
	html := renderPage(t, p)
	if strings.Count(html, `<section class="site"`) != 0 || strings.Count(html, `class="address"`)+strings.Count(html, `<a href="feeds/`) != 45 ||
		!strings.Contains(html, "45 sites, what is next first") || strings.Count(html, "<circle cx=") != 45+3 {
		t.Error("a page of many sites does not show what is next at each, with its feed and its dot")
	}
}

// A page of a thousand sites is below 300 kB, all its links and dots with it.
func TestPageOfAThousandSites(t *testing.T) {
	html := renderPage(t, manyPage(1000))
	if len(html) > 300_000 || strings.Count(html, "Tap sugar maple") < 1000 {
		t.Errorf("found %d bytes with %d pieces of work, want less than 300,000 with a thousand", len(html), strings.Count(html, "Tap sugar maple"))
	}
}

// manyPage is a page of sites on a lattice, each with its own day to tap.
func manyPage(n int) page.Page {
	p := testPage()
	one := p.Plan.Places[0]
	p.Plan.Places, p.Feeds, p.Schedule.Entries = nil, nil, nil
	for i := range n {
		pl, site := *one, *calendartest.Sugarbush()
		site.ID, site.Name = fmt.Sprintf("s%d", i), fmt.Sprintf("Site %d", i)
		site.Latitude, site.Longitude = 42+float64(i%40)/8, -85+float64(i/40)/4
		pl.Outlook = &phenology.Outlook{Site: site}
		first := civil.Date(i % 60)
		e := icaltest.TapEntry("2027-03-14", "2027-03-20")
		e.Site, e.Window, e.Best = &site, civil.Span{First: e.Window.First + first, Last: e.Window.Last + first}, e.Best+first
		p.Schedule.Entries = append(p.Schedule.Entries, e)
		p.Plan.Places = append(p.Plan.Places, &pl)
		p.Feeds = append(p.Feeds, page.FeedLink{Site: site.ID, Address: "feeds/" + site.ID + ".ics"})
	}
	return p
}

// BenchmarkPageOfMany writes the page of a thousand sites.
func BenchmarkPageOfMany(b *testing.B) {
	p := manyPage(1000)
	b.ReportAllocs()
	for b.Loop() {
		if err := page.WritePage(io.Discard, p); err != nil {
			b.Fatal(err)
		}
	}
}

// TestPageTellsWhatMoved: what moved since yesterday and since last week is listed, each once, and what moved before that
// is no news; what is wrong with the temperatures stands with the work that rests on them.
func TestPageTellsWhatMoved(t *testing.T) {
	p := testPage()
	e, asOf := p.Schedule.Entries, p.Schedule.AsOf
	e[0].Moved = &calendar.Moved{On: asOf - 7, Was: calendartest.Span("2027-02-20", "2027-04-01")}
	e[1].Moved = &calendar.Moved{On: asOf - 1, Was: calendartest.Span("2027-03-08", "2027-03-13"), WasBest: civil.Some(asOf - 2)}
	e[3].Moved = &calendar.Moved{On: asOf - 8, Was: calendartest.Span("2028-01-20", "2028-02-05")}
	e[1].Doubts = []calendar.Doubt{{What: calendar.Stale, Observed: civil.Some(asOf - 9)}}
	html := renderPage(t, p)
	first, _, _ := strings.Cut(html, `<section class="site"`)
	next := `<p class="moved"><span class="arrow" aria-hidden="true">→</span> ` +
		`9 days later since last week, was 20 Feb to 1 Apr; 1 other entry has moved</p>`
	if !strings.Contains(first, next) {
		t.Errorf("the first screen does not say %q", next)
	}
	before := strings.Index(html, "<h3>What moved</h3>")
	for _, want := range []string{
		"since yesterday", "<li>Tap sugar maple: was 8 to 13 Mar (best 10 Mar), is 14 to 20 Mar (best 16 Mar).</li>",
		"since last week", "<li>Gather sap of sugar maple: was 20 Feb to 1 Apr, is 1 Mar to 10 Apr.</li>",
	} {
		at := before + strings.Index(html[before:], want)
		if at <= before {
			t.Errorf("found %q at %d, want it after what is before it, at %d", want, at, before)
		}
		before = at
	}
	if strings.Contains(html, "20 Jan") || strings.Count(html, ": was ") != 2 {
		t.Error("found more to have moved")
	}
	if !strings.Contains(html, `<p class="doubt">Temperatures end on 3 Mar 2027.`) {
		t.Error("found no doubt on the page")
	}
}

// TestPageOfWholeLibrary: where nobody chose, the species with work to do are drawn and the rest are counted.
func TestPageOfWholeLibrary(t *testing.T) {
	p := testPage()
	pl := p.Plan.Places[0]
	pl.Chosen, pl.Activities = false, append(slices.Clone(pl.Activities), calendar.FieldTrip)
	for i := range 30 {
		pl.Species = append(pl.Species, pageSpecies(fmt.Sprintf("a-%02d", i), fmt.Sprintf("Tree %d", i), map[phenology.Phase]float64{
			phenology.Flowering: 120, phenology.FloweringEnd: 130,
		}))
	}
	html := renderPage(t, p)
	first, _, _ := strings.Cut(html, "</section>")
	drawing := strings.Join(regexp.MustCompile(`(?s)<svg class="year".*?</svg>\n`).FindAllString(first, -1), "")
	if n := strings.Count(drawing, `class="species"`); n != 12 || !strings.Contains(drawing, "Sugar maple") || !strings.Contains(html, "19 more species of the library") {
		t.Errorf("found %d species drawn, want 12 with the tree that is tapped among them", n)
	}
}

// TestPageContrast works out the contrast of every colour of text and drawing that the style names, on every ground it
// stands on, by WCAG 2.2: relative luminance, at least 4.5 to 1 (success criterion 1.4.3), 3 to 1 for the strokes of
// drawings (1.4.11). axe-core cannot see text in drawings.
func TestPageContrast(t *testing.T) {
	html := renderPage(t, testPage())
	roots := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(html, -1)
	if len(roots) != 3 {
		t.Fatalf("found %d palettes, want light, dark and paper", len(roots))
	}
	for i, name := range []string{"light", "dark", "paper"} {
		palette := map[string]string{}
		for _, m := range regexp.MustCompile(`--([a-z]+):(#[0-9a-f]+)`).FindAllStringSubmatch(roots[i][1], -1) {
			palette[m[1]] = m[2]
		}
		for _, ground := range []string{"paper", "card", "shade"} {
			for _, words := range []string{"ink", "soft", "link", "sap", "leaf", "flower", "seed", "fall", "today"} {
				if c := contrast(t, palette[words], palette[ground]); c < 4.5 {
					t.Errorf("%s: %s on %s: found %.2f to 1, want 4.5", name, words, ground, c)
				}
			}
			for _, stroke := range []string{"twig", "day", "years"} { // the rest are drawn in colours of words
				if c := contrast(t, palette[stroke], palette[ground]); c < 3 {
					t.Errorf("%s: %s on %s: found %.2f to 1, want 3", name, stroke, ground, c)
				}
			}
		}
		for _, words := range []string{"ink", "soft"} {
			if c := contrast(t, palette[words], palette["warn"]); c < 4.5 {
				t.Errorf("%s: a warning: found %.2f to 1", name, c)
			}
		}
		for _, tone := range []string{"sap", "leaf", "flower", "seed", "twig"} { // a pin's stem, inside the days of its work
			if c := contrast(t, palette["paper"], palette[tone]); c < 3 {
				t.Errorf("%s: paper on %s: found %.2f to 1, want 3", name, tone, c)
			}
		}
		if c := contrast(t, palette["day"], palette["usual"]); c < 3 {
			t.Errorf("%s: a day's bar on the usual band: found %.2f to 1", name, c)
		}
	}
	// Whatever the style draws with is among those that were held to a bound, and nothing is drawn thinner than its colour.
	style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindStringSubmatch(html)[1]
	grounds := []string{"paper", "shade", "card", "line", "usual", "warn", "tone", "hue"} // of what lies behind, or a name for another
	held := []string{"ink", "soft", "link", "sap", "leaf", "flower", "seed", "fall", "today", "twig", "day", "years"}
	for _, m := range regexp.MustCompile(`(?:fill|stroke|--tone|--hue):var\(--([a-z]+)\)`).FindAllStringSubmatch(style, -1) {
		if !slices.Contains(grounds, m[1]) && !slices.Contains(held, m[1]) {
			t.Errorf("the style draws in %s, whose contrast nothing holds to a bound", m[1])
		}
	}
	if strings.Contains(style, "opacity") {
		t.Error("the style draws what it thins, so that its contrast is not that of its colour")
	}
	if c := contrast(t, "#fff", "#777777"); math.Abs(c-4.48) > 0.005 { // a well-known pair just below the bound, WCAG understanding 1.4.3
		t.Errorf("found %.3f to 1 for #777 on white, want 4.48", c)
	}
}

// contrast is WCAG 2.2's contrast ratio of two colours.
func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	light := func(hex string) float64 {
		hex = strings.TrimPrefix(hex, "#")
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		n, err := strconv.ParseUint(hex, 16, 32)
		if err != nil || len(hex) != 6 {
			t.Fatalf("found colour %q", hex)
		}
		channel := func(v uint64) float64 {
			c := float64(v&255) / 255
			if c <= 0.04045 {
				return c / 12.92
			}
			return math.Pow((c+0.055)/1.055, 2.4)
		}
		return 0.2126*channel(n>>16) + 0.7152*channel(n>>8) + 0.0722*channel(n)
	}
	l := []float64{light(a), light(b)}
	slices.Sort(l)
	return (l[1] + 0.05) / (l[0] + 0.05)
}

// chart draws the year at a glance of every place of a plan.
func chart(w io.Writer, p *calendar.Plan, all []*calendar.Entry, opt text.ChartOptions) error {
	var charts []text.YearChart
	for _, pl := range p.Places {
		var entries []*calendar.Entry
		for _, e := range all {
			if e.Site.ID == pl.Site().ID {
				entries = append(entries, e)
			}
		}
		charts = append(charts, text.DrawYear(pl, entries, p.AsOf, opt))
	}
	return text.WriteYears(w, charts, opt)
}

func TestChart(t *testing.T) {
	p := testPage()
	p.Plan.Places[1].Outlook.Site.Name = "Weir Street"
	p.Plan.Places[1].Species[0].Common[0] = "Érable à sucre des bois"
	for _, row := range []struct {
		name string
		opt  text.ChartOptions
	}{{"chart.txt", text.ChartOptions{}}, {"chart-ascii.txt", text.ChartOptions{ASCII: true}}} {
		var b bytes.Buffer
		if err := chart(&b, p.Plan, p.Schedule.Entries, row.opt); err != nil {
			t.Fatal(err)
		}
		golden(t, row.name, b.String())
		for line := range strings.Lines(b.String()) {
			if n := len([]rune(strings.TrimSuffix(line, "\n"))); n > 80 {
				t.Errorf("%s: found a line of %d columns: %s", row.name, n, line)
			}
			if row.opt.ASCII && strings.ContainsFunc(line, func(r rune) bool { return r > 126 }) {
				t.Errorf("%s: found more than ASCII: %s", row.name, line)
			}
		}
	}
	var b bytes.Buffer
	if err := chart(&b, p.Plan, p.Schedule.Entries, text.ChartOptions{Color: true}); err != nil {
		t.Fatal(err)
	}
	if plain := regexp.MustCompile("\x1b\\[[01]m").ReplaceAllString(b.String(), ""); strings.Contains(plain, "\x1b") {
		t.Error("found other sequences than bold")
	} else {
		golden(t, "chart.txt", plain)
	}
}

// BenchmarkPage writes the page of two places.
func BenchmarkPage(b *testing.B) {
	p := testPage()
	b.ReportAllocs()
	for b.Loop() {
		if err := page.WritePage(io.Discard, p); err != nil {
			b.Fatal(err)
		}
	}
}
