package build_test

import (
	"bytes"
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
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// englishWords are words that no French sentence of ours has, and that every English one is made with.
var englishWords = strings.Fields(`the of and with days day from to by your you not until sap run runs taps
	after before when where which that this than more less about forecast season seasons freeze thaw year years past
	record is are was were be has have for at no week earlier later holes hole buds swell last first good best measured done
	likely unlikely even wait today tomorrow advised middle small medium nights above below hours weather`)

// told takes a text's lines together, and leaves out keys of the plan, which stay English, and a name that looks so.
func told(text string) string {
	text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\n' }), " ")
	return planKeys.ReplaceAllString(text, "X")
}

var planKeys = regexp.MustCompile(`tapped: [0-9-]+|contact: au plan|DeGaetano AT`)

// checkFrench reports English in a text, and typography that is not Quebec's.
func checkFrench(t testing.TB, where, said string) {
	t.Helper()
	text := told(said)
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && r != '_'
	}) {
		if slices.Contains(englishWords, word) {
			t.Errorf("%s: found English, %q, in %q", where, word, text)
			return
		}
	}
	for _, wrong := range wrongFrench {
		if at := wrong.FindString(text); at != "" {
			t.Errorf("%s: found %q, which is not written so, in %q", where, at, text)
			return
		}
	}
}

// wrongFrench is what [french] does not write: see its sources.
var wrongFrench = []*regexp.Regexp{
	regexp.MustCompile(`[^\x{a0}]%`), regexp.MustCompile(`% chance\b`), regexp.MustCompile(`[^\x{a0}]°[CF]`), regexp.MustCompile(`\d °`),
	regexp.MustCompile(`[^\x{a0}]:( |$)`), regexp.MustCompile(`\x{202f}`), regexp.MustCompile(`\b1 (janv|févr|mars|avr|mai|juin)`),
	regexp.MustCompile(`\d\.\d`), regexp.MustCompile(`\p{L} (?:[;?!,]|\.(?: |$))`), regexp.MustCompile(`\b[dl][ea] (érab|eau|entaill|emplac|année|autre)|\bque (elle|ils?|on)\b`),
	regexp.MustCompile(`\b[01] (jours|années|heures)\b`), regexp.MustCompile(`\bde le\b|\bà le\b|\bde les\b|  `),
	regexp.MustCompile(`[0-9]-[0-9] (mars|avr)`), regexp.MustCompile(`-\d+\x{a0}°`),
}

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

var inFrench = phrase.Speech{Language: phrase.French}

// frenchFeed makes the feed of a plan's one place over the one before.
func frenchFeed(t testing.TB, p *calendar.Plan, entries []*calendar.Entry, before *ical.Previous) []byte {
	t.Helper()
	site, labels := p.Places[0].Site(), words.LabelsIn(p.Speech)
	data, _, err := ical.RenderICS(ical.Feed{
		UID: calendar.CalendarUID(p.FeedID, site.ID, ""), Name: labels.CalendarTitle(site.Name, calendar.Tapping),
		Description: labels.CalendarText(p.Title, false), Entries: entries, AsOf: p.AsOf, Previous: before, Labels: labels,
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
		for _, line := range slices.Concat(said.Reasons, said.LookFor, words.Minded(said.Cautions), said.Sources, said.Reminders,
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
	var b bytes.Buffer
	if err := text.WriteSap(&b, p.Title, p.AsOf, seasons, p.Notes); err != nil {
		t.Fatal(err)
	}
	checkFrench(t, where+" sap", b.String())
}

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
	p := &calendar.Plan{Title: "Rang du Ruisseau", AsOf: asOf, Span: civil.Span{First: asOf - 30, Last: asOf + 365}, Speech: inFrench}
	p.Places = bushes(t, record, calendar.Gravity)
	p.Places[0].Outlook.Site.Name = "Érablière du Ruisseau"
	return p
}
