package build_test

import (
	"bytes"
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/page"
	"treewhen/calendar/phrase"
	"treewhen/calendar/services"
	"treewhen/calendar/tapping"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
	"treewhen/profiles"
)

// englishWords are words that no French sentence of ours has, and that every English one is made with.
var englishWords = strings.Fields(`the of and with days day from to by your you not until sap run runs taps
	after before when where which that this than more less about forecast season seasons freeze thaw year years past
	record is are was were be has have for at no week earlier later holes hole buds swell last first good best measured
	done likely unlikely even wait open now work due nothing care always once move rain closed color bare today
	tomorrow advised middle small medium nights above below hours weather
	january february march april june july august feb apr wed thu fri`)

// told takes a text's lines together, and leaves out keys of the plan, which stay English, and a name that looks so.
func told(text string) string {
	text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }), " ")
	return planKeys.ReplaceAllString(text, "X")
}

var planKeys = regexp.MustCompile(`tapped: [0-9-]+|contact: au plan|DeGaetano AT|` +
	`Phenology of Woody Species at Harvard Forest since 1990|National Centers for Environmental Information`)

// checkFrench reports English in a text, and typography that is not Quebec's.
func checkFrench(t testing.TB, where, said string) {
	t.Helper()
	text := told(said)
	if !checkFrenchWords(t, where, text) {
		return
	}
	if at := wrongFrench.FindString(text); at != "" {
		t.Errorf("%s: found %q, which is not written so, in %q", where, at, text)
	}
}

// checkFrenchWords reports the first English word of a text, and whether there is none.
func checkFrenchWords(t testing.TB, where, text string) bool {
	t.Helper()
	text = planKeys.ReplaceAllString(text, "X")
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && r != '_'
	}) {
		if slices.Contains(englishWords, word) {
			t.Errorf("%s: found English, %q, in %q", where, word, text)
			return false
		}
	}
	return true
}

// wrongFrench is what package french does not write: see its sources.
var wrongFrench = regexp.MustCompile(strings.Join([]string{
	`[^\x{a0}]%`, `% chance\b`, `[^\x{a0}]°[CF]`, `[^\x{a0}]:(?: |$)`, `\x{202f}`, `\p{L} [;?!,]`, `  `,
	`\b1 (?:janv|févr|mars|avr|mai|juin)`, `\b[01] (?:jours|années|heures)\b`, `\d\.\d`, `-\d+\x{a0}°`,
	`\b[dl][ea] (?:érab|eau|entaill|emplac|année|autre)`, `\bque (?:elle|ils?|on)\b`, `\bde les?\b`, `\bà le\b`,
	`[0-9]-[0-9] (?:mars|avr)`, `\p{L}\.\.(?:[^.]|$)`,
}, "|"))

// checkFrenchFeed reports English in a feed, and titles and alarms of more than forty letters.
func checkFrenchFeed(t testing.TB, where string, data []byte) {
	t.Helper()
	icaltest.LintClean(t, data)
	c := icaltest.Read(t, data)
	for _, name := range []string{"NAME", "X-WR-CALNAME", "DESCRIPTION"} {
		if p := c.Props.Get(name); p != nil {
			said, _ := p.Text()
			checkFrench(t, where+" "+name, said)
		}
	}
	for _, e := range c.Events() {
		for _, name := range []string{"SUMMARY", "DESCRIPTION", "CATEGORIES"} {
			if p := e.Props.Get(name); p != nil {
				said, _ := p.Text()
				checkFrench(t, where+" "+name, said)
				if name == "SUMMARY" && utf8.RuneCountInString(said) > 40 {
					t.Errorf("%s: found a title of more than 40 letters: %q", where, said)
				}
			}
		}
		for _, a := range e.Children {
			said, _ := a.Props.Text("DESCRIPTION")
			checkFrench(t, where+" alarm", said)
			if utf8.RuneCountInString(said) > 40 {
				t.Errorf("%s: found an alarm of more than 40 letters: %q", where, said)
			}
		}
	}
}

var inFrench = phrase.Speech{Language: phrase.French, Units: phrase.Metric}

// frenchFeed makes the feed of a plan's one place over the one before.
func frenchFeed(t testing.TB, p *calendar.Plan, entries []*calendar.Entry, before *ical.Previous) []byte {
	t.Helper()
	site, labels := p.Places[0].Site(), words.LabelsIn(p.Speech)
	data, _, err := ical.RenderICS(ical.Feed{
		UID: calendar.CalendarUID(p.FeedID, site.ID, ""), Name: labels.CalendarTitle(site.Name, calendar.Tapping),
		Description: labels.CalendarText(p.Title, false), Entries: entries, AsOf: p.AsOf, Previous: before,
		Labels: labels,
	})
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// checkFrenchOutputs reports English in all that a plan's producer sees on a day.
func checkFrenchOutputs(t testing.TB, p *calendar.Plan, entries []*calendar.Entry) {
	t.Helper()
	where := p.AsOf.String()
	for _, e := range entries {
		said := words.Say(e)
		for _, line := range slices.Concat(said.Reasons, said.LookFor, words.Minded(said.Cautions), said.Sources,
			said.Reminders,
			said.Doubts, []string{said.Verdict, said.Basis, said.Care, said.Summary, said.Headline, said.Sure()}) {
			checkFrench(t, where+" "+string(e.Task), line)
		}
		for i := range e.Reminders {
			title, message := words.Alert(e, i)
			checkFrench(t, where+" alert", title+"\n"+message)
		}
	}
	var seasons []*tapping.Season
	for _, pl := range p.Places {
		for _, sp := range pl.Species {
			for _, year := range []int{p.AsOf.Year(), p.AsOf.Year() - 1} {
				if s := tapping.SeasonAt(p, pl, sp, year); s != nil {
					seasons = append(seasons, s)
				}
			}
		}
	}
	if seasons == nil {
		return // nothing can be dated, and sap says that it has nothing to tell
	}
	var b bytes.Buffer
	if err := text.WriteSap(&b, p.Title, p.AsOf, seasons, p.Notes); err != nil {
		t.Fatal(err)
	}
	checkFrench(t, where+" sap", b.String())
	var spring bytes.Buffer
	if s := page.SpringOf(p.Places[0], entries, p.AsOf); s != nil {
		if err := page.WriteSpring(&spring, s, p.Speech); err != nil {
			t.Fatal(err)
		}
		checkFrenchPage(t, where+" picture", spring.String())
	}
}

// checkFrenchPlanPage reports English on a plan's page.
func checkFrenchPlanPage(t testing.TB, p *calendar.Plan, s *calendar.Schedule) {
	t.Helper()
	var b bytes.Buffer
	feeds := []page.FeedLink{{Site: p.Places[0].Site().ID, Address: "a.ics", Webcal: "webcal://example.org/a.ics"},
		{Site: p.Places[0].Site().ID, Activity: calendar.Tapping, Address: "b.ics"}}
	if err := page.WritePage(&b, page.Page{Plan: p, Schedule: s, Feeds: feeds}); err != nil {
		t.Fatal(err)
	}
	checkFrenchPage(t, p.AsOf.String()+" page", b.String())
}

// checkFrenchSchedule reports English in a plan's schedule as text, and of its chart, and lines beyond 80
// columns.
func checkFrenchSchedule(t testing.TB, p *calendar.Plan, s *calendar.Schedule) {
	t.Helper()
	for _, details := range []bool{false, true} {
		var b bytes.Buffer
		if err := text.WriteText(&b, s, text.TextOptions{Details: details}); err != nil {
			t.Fatal(err)
		}
		for _, ascii := range []bool{false, true} {
			opt := text.ChartOptions{ASCII: ascii, As: p.Speech}
			year := text.DrawYear(p.Places[0], s.Entries, p.AsOf, opt)
			if err := text.WriteYears(&b, []text.YearChart{year}, opt); err != nil {
				t.Fatal(err)
			}
		}
		for line := range strings.Lines(b.String()) {
			// What stands in columns has more spaces between them than one.
			line = strings.TrimRight(line, "\n")
			checkFrenchWords(t, p.AsOf.String()+" schedule", line)
			if text.Width(line) > 80 {
				t.Errorf("%s schedule: found a line of %d columns: %s", p.AsOf, text.Width(line), line)
			}
		}
	}
}

// checkFrenchPage reports English in what is read of a page or a picture, on it or aloud.
func checkFrenchPage(t testing.TB, where, document string) {
	t.Helper()
	document = unread.ReplaceAllString(document, "")
	for _, label := range labels.FindAllStringSubmatch(document, -1) {
		checkFrench(t, where+" label", html.UnescapeString(label[1]))
	}
	for _, text := range strings.Split(html.UnescapeString(tags.ReplaceAllString(document, "\n")), "\n") {
		checkFrench(t, where, text)
	}
}

var (
	unread = regexp.MustCompile(`(?s)<style>.*?</style>|<script>.*?</script>|` +
		`</?(b|i|strong|span|a|time)\b[^>]*>`)
	labels = regexp.MustCompile(`(?:aria-label|data-[a-z]+)="([^"]*)"`)
	tags   = regexp.MustCompile(`<[^>]*>`)
)

// A season lived through in French, from December to June: nothing that its producer sees is English.
func TestASeasonInFrench(t *testing.T) {
	days := civil.Span{First: civil.Of(2026, time.December, 20), Last: civil.Of(2027, time.June, 10)}
	record := calendartest.MadeSeries(days.Last+20, 12, 0)
	f := newForecaster(3, 7, civil.Span{First: days.First, Last: days.Last + 10})
	var before *ical.Previous
	advice := map[tapping.Advice]bool{}
	// From late February to mid-April every fourth day, else every fortnight.
	for asOf := days.First; asOf <= days.Last; asOf += 4 {
		if m := asOf.YearDay(); (m < 50 || m > 110) && (asOf-days.First)%12 != 0 {
			continue
		}
		p := frenchPlan(t, asOf, f.on(record, asOf))
		if before != nil {
			p.Places[0].Memory = before.Memory()
		}
		s := buildtest.Schedule(p)
		for _, e := range s.Entries {
			if f, ok := e.Facts.(*tapping.TapFacts); ok {
				advice[f.Advice] = true
			}
		}
		data := frenchFeed(t, p, s.Entries, before)
		checkFrenchFeed(t, asOf.String(), data)
		checkFrenchPlanPage(t, p, s)
		checkFrenchSchedule(t, p, s)
		checkFrenchOutputs(t, p, s.Entries)
		for _, note := range words.Notes(s.Notes, p.Speech) {
			checkFrench(t, asOf.String()+" note", note)
		}
		if t.Failed() {
			t.Fatal("a day is enough")
		}
		var err error
		if before, err = ical.ReadPrevious(bytes.NewReader(data)); err != nil {
			t.Fatal(err)
		}
	}
	t.Log(advice)
}

// What a feed says in French is the same work: to its subscribers nothing is revised, and nothing rings anew.
func TestFrenchRevisesNothing(t *testing.T) {
	asOf := calendartest.Day("2027-03-12")
	p := frenchPlan(t, asOf, calendartest.MadeSeries(asOf, 20, 0))
	p.Speech = phrase.Speech{}
	english := frenchFeed(t, p, buildtest.Schedule(p).Entries, nil)
	before, err := ical.ReadPrevious(bytes.NewReader(english))
	if err != nil {
		t.Fatal(err)
	}
	p.Speech = inFrench
	data := frenchFeed(t, p, buildtest.Schedule(p).Entries, before)
	was, is := icaltest.Read(t, english).Events(), icaltest.Read(t, data).Events()
	if len(was) != len(is) || len(is) == 0 || bytes.Equal(english, data) {
		t.Fatalf("found %d events, want %d in other words", len(is), len(was))
	}
	for i := range is {
		for _, name := range []string{"UID", "SEQUENCE", "DTSTART", "DTEND", "STATUS"} {
			if a, b := was[i].Props.Get(name).Value, is[i].Props.Get(name).Value; a != b {
				t.Errorf("%s: found %s in French, want %s", name, b, a)
			}
		}
		if len(was[i].Children) != len(is[i].Children) {
			t.Errorf("found %d alarms in French, want %d", len(is[i].Children), len(was[i].Children))
		}
	}
}

// frenchPlan is a plan of one bush in Quebec that speaks French.
func frenchPlan(t testing.TB, asOf civil.Date, record weather.Series) *calendar.Plan {
	t.Helper()
	p := &calendar.Plan{Title: "Rang du " +
		"Ruisseau", AsOf: asOf, Span: civil.Span{First: asOf - 30, Last: asOf + 365}, Speech: inFrench}
	p.Places = bushes(t, record, calendar.Gravity)
	p.Places[0].Outlook.Site.Name = "Érablière du Ruisseau"
	return p
}

// Whatever a place has, and whatever a plan says of it, what is told is French.
func TestStatesInFrench(t *testing.T) {
	asOf := calendartest.Day("2027-03-12")
	record := calendartest.MadeSeries(asOf, 12, 0)
	day := calendartest.Day
	for _, c := range []struct {
		name   string
		asOf   civil.Date
		change func(*calendar.Plan, *calendar.Place)
	}{
		{"the place alone", asOf, func(_ *calendar.Plan, pl *calendar.Place) { pl.Outlook.Temps = nil }},
		{"three years", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Temps = phenology.NewTemperatures(pl.Outlook.Site, calendartest.MadeSeries(asOf, 3, 0))
		}},
		{"in the tropics", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Temps = phenology.NewTemperatures(pl.Outlook.Site, calendartest.MadeSeries(asOf, 12, 22))
		}},
		{"far from any date", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Temps, pl.Outlook.Site.Latitude = nil, 62
		}},
		{"normals of the months", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Temps = phenology.TemperaturesFromNormals(pl.Outlook.Site, weather.Normals{
				Min: [12]float64{-15, -14, -7, 0, 7, 12, 15, 14, 9, 3, -3, -11},
				Max: [12]float64{-5, -3, 3, 11, 19, 24, 26, 25, 20, 13, 5, -2},
			}, nil)
		}},
		{"tapped", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			tapped := asOf - 8
			pl.Options.Tapping.Tapped = &tapped
		}},
		{"sap seen", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Sightings = phenology.Sightings{{Site: pl.Site().ID, Species: "acer-saccharum",
				Phase: phenology.SapStart,
				Date:  day("2027-03-05")}}
		}},
		{"too late", day("2027-04-20"), nil},
		{"over", day("2027-06-15"), nil},
		{"before the season", day("2026-11-01"), nil},
		{"silent station", day("2027-04-05"), func(_ *calendar.Plan, pl *calendar.Place) {
			pl.Outlook.Temps = phenology.NewTemperatures(pl.Outlook.Site, record)
		}},
		{"all that is tapped, with a pump, in US units", asOf, func(p *calendar.Plan, pl *calendar.Place) {
			p.Speech.Units = phrase.US
			pl.Species = nil
			for _, sp := range profiles.Builtin().All() {
				if tapping.Tappable(sp) {
					pl.Species = append(pl.Species, sp)
				}
			}
			o := &pl.Options.Tapping
			o.Collection, o.Taps, o.DaysToTap, o.TapsByDiameter = calendar.Vacuum, 800, 4, calendar.TraditionalTaps
			o.SugarLow, o.SugarHigh = 2, 2.5
		}},
		{"by age, with a book", day("2027-04-02"), func(_ *calendar.Plan, pl *calendar.Place) {
			none := 0.
			pl.Options.Tapping.DryingByWarmth = &none
			for _, d := range []string{"2025-03-10", "2025-03-22", "2026-03-15", "2027-03-14"} {
				pl.Book = append(pl.Book, calendar.Gathered{Date: day(d), Sap: 400, Sugar: 2.1, Syrup: 9})
			}
		}},
		{"by warmth", asOf, func(_ *calendar.Plan, pl *calendar.Place) {
			all := 1.
			pl.Options.Tapping.DryingByWarmth = &all
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			series := record
			if c.asOf > asOf {
				series = calendartest.MadeSeries(c.asOf, 12, 0)
			}
			p := frenchPlan(t, c.asOf, series.Until(c.asOf))
			if c.change != nil {
				c.change(p, p.Places[0])
			}
			s := buildtest.Schedule(p)
			checkFrenchFeed(t, "feed", frenchFeed(t, p, s.Entries, nil))
			checkFrenchPlanPage(t, p, s)
			checkFrenchSchedule(t, p, s)
			checkFrenchOutputs(t, p, s.Entries)
			for _, note := range words.Notes(s.Notes, p.Speech) {
				checkFrench(t, "note", note)
			}
		})
	}
}

// Every doubt about temperatures, and every fault of a weather service, has its French.
func TestDoubtsInFrench(t *testing.T) {
	for _, flaw := range []calendar.Flaw{calendar.Stale, calendar.Missing, calendar.Empty, calendar.Damaged,
		calendar.OtherUnit,
		calendar.Ended, calendar.Old, calendar.Unserved, calendar.Incomplete, calendar.BeginsLate, calendar.Bridged,
		calendar.Contradicts, calendar.ShortRecord} {
		for _, refused := range []bool{false, true} {
			d := calendar.Doubt{What: flaw, Day: calendartest.Day("2027-03-01"), Off: 5, Days: 3, Refused: refused,
				Observed: civil.Some(calendartest.Day("2027-02-26"))}
			checkFrench(t, string(flaw), words.Doubt(d, inFrench))
		}
	}
	asked := time.Date(2027, time.March, 1, 6, 5, 0, 0, time.UTC)
	for _, service := range []services.Name{services.CanadaDaily, services.NOAADaily, services.NorwayForecast,
		services.USForecast} {
		for _, fault := range []services.Fault{services.Offline, services.NoContact, services.Down, services.Refused,
			services.Astray,
			services.Nothing, services.Unreadable, services.Unlikely, services.Unkept} {
			state := services.State{Service: service, Fault: fault, Confirmed: asked}
			checkFrench(t, "fault", words.OldTemperatures(inFrench, &state))
			state.Station, state.Confirmed = "CA007025250", time.Time{}
			checkFrench(t, "fault", words.OldTemperatures(inFrench, &state, &state))
		}
		if credit := words.Credit(service, inFrench); credit == services.Find(service).Attribution {
			t.Errorf("found no French for %q", credit)
		}
	}
	checkFrench(t, "station", words.SilentStations("Rang", calendartest.Day("2027-03-01"), inFrench))
	checkFrench(t, "source", words.OldSource(9, asked, "", inFrench))
}
