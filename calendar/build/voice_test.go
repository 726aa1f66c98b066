package build_test

import (
	"bytes"
	"html"
	"regexp"
	"strings"
	"testing"

	goical "github.com/emersion/go-ical"

	"treewhen/calendar"
	"treewhen/calendar/page"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// What is kept is read on another day than it was written on: it names days.
var passing = regexp.MustCompile(`(?i)\b(today|tonight|now|tomorrow|yesterday|already)\b`)

// heard holds what an event says to how people read it on a telephone: the title without a percentage, the description
// short, in sentences of twenty words at most, and no word that is true on one day alone.
func heard(t testing.TB, asOf civil.Date, event goical.Event) {
	t.Helper()
	said := func(c *goical.Component, name string) string {
		s, err := c.Props.Text(name)
		if err != nil {
			t.Fatalf("%s: %v", asOf, err)
		}
		return s
	}
	title, description := said(event.Component, "SUMMARY"), said(event.Component, "DESCRIPTION")
	all := title + "\n" + description
	for _, alarm := range event.Children {
		all += "\n" + said(alarm, "DESCRIPTION")
	}
	if word := passing.FindString(all); word != "" {
		t.Errorf("%s: found %q in what is kept:\n%s", asOf, word, all)
	}
	if n := len([]rune(description)); n > words.MostDescribed {
		t.Errorf("%s: found %d characters, want %d at most:\n%s", asOf, n, words.MostDescribed, description)
	}
	if strings.Contains(title, "%") || title == "" {
		t.Errorf("%s: found the title %q, want one without a percentage", asOf, title)
	}
	for line := range strings.Lines(description) {
		if strings.HasPrefix(line, "Take care: ") || strings.HasPrefix(line, "Based on: ") {
			continue // lists
		}
		for _, sentence := range regexp.MustCompile(`[.?!]\s`).Split(line, -1) {
			if n := len(strings.Fields(strings.ReplaceAll(sentence, " %", "%"))); n > 20 {
				t.Errorf("%s: found a sentence of %d words, want 20 at most: %s", asOf, n, sentence)
			}
		}
	}
}

// agree holds a morning's outputs to each other: the season of sap as the command of that name shows it, the schedule's
// entry, the page and the feed give the same advice, in the same words, with the same chance.
func agree(t testing.TB, p *calendar.Plan, s *calendar.Schedule, feeds map[string][]byte) {
	t.Helper()
	var written bytes.Buffer
	if err := page.WritePage(&written, page.Page{Plan: p, Schedule: s}); err != nil {
		t.Fatal(err)
	}
	shown := html.UnescapeString(written.String())
	for _, pl := range p.Places {
		for _, sp := range pl.Species {
			season := tapping.SeasonAt(p, pl, sp, p.AsOf.Year())
			var sap bytes.Buffer
			if err := text.WriteSap(&sap, p.Title, p.AsOf, []*tapping.Season{season}, nil); err != nil {
				t.Fatal(err)
			}
			told := strings.Join(strings.Fields(sap.String()), " ")
			verdict := words.TapVerdict(season.TapFacts(), phrase.Speech{})
			if !strings.Contains(told, strings.Join(strings.Fields(verdict), " ")) {
				t.Errorf("%s %s: found sap to say\n%s\nwant %s", p.AsOf, sp.ID, told, verdict)
			}
			for _, e := range s.Entries {
				facts, is := e.Facts.(*tapping.TapFacts)
				if !is || e.Site.ID != pl.Site().ID || e.Species[0] != sp || e.Season != p.AsOf.Year() {
					continue
				}
				said := words.Say(e)
				if facts.Advice != season.Advice || said.Verdict != verdict {
					t.Errorf("%s %s: found %s in the schedule, %s by sap:\n%s\n%s",
						p.AsOf, sp.ID, facts.Advice, season.Advice, said.Verdict, verdict)
				}
				if !strings.Contains(shown, strings.ReplaceAll(verdict, " %", "\u00a0%")) {
					t.Errorf("%s %s: found no %q on the page", p.AsOf, sp.ID, verdict)
				}
				chance := phrase.Percent(e.Probability) + " chance"
				if e.State == calendar.Open && !strings.Contains(told, chance+" "+words.WellTimed) && season.Advice != tapping.TooLate {
					t.Errorf("%s %s: found sap to say\n%s\nwant a %s, as the schedule has it", p.AsOf, sp.ID, told, chance)
				}
				feed := strings.ReplaceAll(string(feeds[pl.Site().ID]), "\r\n ", "")
				_, event, _ := strings.Cut(feed, "UID:"+e.UID)
				event, _, _ = strings.Cut(event, "END:VEVENT")
				if e.Window.First-p.AsOf <= 14 && !strings.Contains(unescaped.Replace(event), "DESCRIPTION:"+verdict) {
					t.Errorf("%s %s: found the feed to say\n%s\nwant %s", p.AsOf, sp.ID, event, verdict)
				}
			}
		}
	}
}

var unescaped = strings.NewReplacer(`\,`, ",", `\;`, ";", `\n`, "\n")
