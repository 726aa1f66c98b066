package ical_test

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/words"
	"treewhen/profiles"
)

// workOf is a schedule of all activities at an invented place with a record.
func workOf(t testing.TB, asOf string) []*calendar.Entry {
	t.Helper()
	p := calendartest.MadePlan(calendartest.Day(asOf), 8, 0, "sugar maple", "red maple", "northern red oak", "paper birch", "American basswood")
	p.FeedID = calendartest.FeedID
	p.Places[0].Activities = calendar.Activities()
	p.Places[0].Outlook.Site.Zone = calendartest.Zone("America/New_York")
	p.Places[0].Options.Twig.Coldest = -30
	p.Span.First -= 14
	made := buildtest.Schedule(p)
	entries := made.Entries
	activities := map[calendar.Activity]bool{}
	for _, e := range entries {
		activities[e.Activity] = true
	}
	if len(activities) != len(calendar.Activities()) {
		t.Fatalf("found work of %v, want some of every activity\n%v", activities, made.Notes)
	}
	return entries
}

// other says an entry so that no sentence, no word of the scale of confidence and no sign is as package words has it.
func other(e *calendar.Entry) words.Text {
	t := words.Say(e)
	swap := func(s string) string {
		if s == "" {
			return ""
		}
		return "§ " + strings.NewReplacer("°C", "degrees", "%", "per cent", " ", "_", ".", "!").Replace(strings.ToUpper(s))
	}
	for _, s := range []*string{&t.Summary, &t.Headline, &t.Fact, &t.Word, &t.Verdict, &t.ChanceOf, &t.Basis, &t.Care} {
		*s = swap(*s)
	}
	for _, list := range []*[]string{&t.Reasons, &t.LookFor, &t.Kit, &t.Sources, &t.Reminders} {
		*list = slices.Clone(*list)
		for i, s := range *list {
			(*list)[i] = swap(s)
		}
	}
	t.Cautions = slices.Clone(t.Cautions)
	for i, c := range t.Cautions {
		t.Cautions[i] = words.Caution{Of: swap(c.Of), Text: swap(c.Text)}
	}
	return t
}

var otherLabels = words.Labels{
	Basis: "Worauf: ", RainDate: "Bei Regen: ", TakeCare: "Gib acht: ", Booked: "Bestellt", Settled: "Steht fest",
	Moved:  [3]string{"Verlegt am ", " von ", "."},
	AnyDay: [3]string{"Jeder Tag von ", " bis ", " geht."}, OfBest: "Am besten: ", Cancelled: "Abgesagt: ",
	NoLonger: [2]string{"Nicht mehr erwartet am ", ". Hier stand:"}, DayForm: "2006-01-02", NoLongerOn: "2006-01-02",
	Categories: map[calendar.Activity]string{calendar.Tapping: "Anzapfen"},
}

// lines returns the content lines of some names in each event and its alarms, by UID.
func lines(t testing.TB, data []byte, names ...string) map[string][]string {
	found := map[string][]string{}
	for uid, raw := range rawEvents(t, data) {
		found[uid] = linesOf(raw, names...)
	}
	return found
}

// linesOf returns the content lines of some names.
func linesOf(raw []byte, names ...string) (found []string) {
	for line := range strings.SplitSeq(strings.ReplaceAll(string(raw), "\r\n ", ""), "\r\n") {
		if name, _, _ := strings.Cut(line, ":"); slices.Contains(names, strings.SplitN(name, ";", 2)[0]) {
			found = append(found, line)
		}
	}
	return found
}

// The words of this program can be changed, down to the last of them, it can speak another language and tell sites apart by
// name and color: no published event is revised by that, cancelled or added, no alarm is another, and every text is renewed, once.
func TestOtherWordsAreNoRevision(t *testing.T) {
	for _, days := range []calendar.FeedDays{calendar.FeedWindows, calendar.FeedBestDays, calendar.FeedBoth} {
		t.Run(string(days), func(t *testing.T) {
			f := icaltest.Feed("2027-03-03", workOf(t, "2027-03-01")...)
			f.Days = days
			said := icaltest.Render(t, f)
			f.Previous, f.AsOf = previous(t, said), f.AsOf+1
			f.Say, f.Labels, f.Page = other, &otherLabels, "https://example.org/trees/"
			f.Looks = map[string]ical.Look{f.Entries[0].Site.ID: {Short: "Made", Color: "teal"}}
			again, changes, err := ical.RenderICS(f)
			if err != nil {
				t.Fatal(err)
			}
			icaltest.LintClean(t, again)
			if changes.Added+changes.Revised+changes.Cancelled+changes.Dropped > 0 || changes.Reworded == 0 {
				t.Errorf("found %+v, want texts renewed and nothing else", changes)
			}
			// What an event is and what rings stays, bytes and order.
			names := []string{"UID", "SEQUENCE", "STATUS", "DTSTART", "DTEND", "LOCATION", "GEO", "RELATED-TO", "TRIGGER", "ACTION"}
			before, after := lines(t, said, names...), lines(t, again, names...)
			if !maps.EqualFunc(before, after, slices.Equal) {
				t.Errorf("found\n%v\nwant\n%v", after, before)
			}
			over := 0
			for uid, raw := range rawEvents(t, again) {
				end := lines(t, again, "DTEND")[uid][0]
				if end[strings.LastIndex(end, ":")+1:] <= "20270304" { // an end is not part of the event
					over++
					continue
				}
				text := strings.ReplaceAll(string(raw), "\r\n ", "")
				if !strings.Contains(text, "SUMMARY:Made: §") && !strings.Contains(text, "SUMMARY:Made: Am besten: §") ||
					!strings.Contains(text, "Worauf: §") || !strings.Contains(text, "COLOR:teal") || !strings.Contains(text, "URL:https://example.org/trees/#work-"+uid) {
					t.Errorf("found the text of %s not renewed:\n%s", uid, text)
				}
				if !strings.Contains(text, "DTSTAMP:20270304T000000Z\r\nLAST-MODIFIED:20270304T000000Z\r\n") {
					t.Errorf("found the stamps of %s as they were", uid)
				}
			}
			if over != changes.Kept {
				t.Errorf("found %d kept, want %d that are over", changes.Kept, over)
			}
			f.Previous = previous(t, again)
			if third := icaltest.Render(t, f); !bytes.Equal(third, again) {
				t.Error("found the feed rewritten, want every byte kept")
			}
		})
	}
}

// While the words change a date, a chance or an advice moves as well: that event is revised and no other.
func TestFactsMoveAmongOtherWords(t *testing.T) {
	tell := func(e *calendar.Entry, advice string) { tells(e, fact("advice", advice)) }
	for name, move := range map[string]func(*calendar.Entry){
		"a date":     func(e *calendar.Entry) { e.Window.Last += 12 },
		"a best day": func(e *calendar.Entry) { e.Best += 8 },
		"a chance":   func(e *calendar.Entry) { e.Probability -= 0.2 },
		"an advice":  func(e *calendar.Entry) { tell(e, "tap-now") },
		"a place":    func(e *calendar.Entry) { s := *e.Site; s.Latitude += 0.1; e.Site = &s },
		"a reminder": func(e *calendar.Entry) { e.Reminders = e.Reminders[:1] },
	} {
		for _, say := range []func(*calendar.Entry) words.Text{nil, other} {
			t.Run(fmt.Sprint(name, say != nil), func(t *testing.T) {
				entries := manyEntries(20)
				for _, e := range entries {
					tell(e, "wait")
				}
				f := icaltest.Feed("2027-02-01", entries...)
				said := icaltest.Render(t, f)
				f.Previous, f.AsOf, f.Say = previous(t, said), f.AsOf+7, say // a chance is news after a week
				f.Entries[7] = with(entries[7], move)
				data, changes, err := ical.RenderICS(f)
				if err != nil {
					t.Fatal(err)
				}
				if changes.Revised != 1 || changes.Kept+changes.Reworded != 19 || (say == nil) != (changes.Reworded == 0) {
					t.Errorf("found %+v, want one revised", changes)
				}
				for uid, sequence := range lines(t, data, "SEQUENCE") {
					want := "SEQUENCE:0"
					if uid == entries[7].UID {
						want = "SEQUENCE:1"
					}
					if sequence[0] != want {
						t.Errorf("found %s of %s, want %s", sequence[0], uid, want)
					}
				}
			})
		}
	}
}

// The essences of every craft can be written and read back.
func TestEssencesStandInFeeds(t *testing.T) {
	if len(profiles.Builtin().All()) == 0 {
		t.Fatal("no profiles")
	}
	for _, asOf := range []string{"2027-03-01", "2027-10-05"} {
		f := icaltest.Feed(asOf, workOf(t, asOf)...)
		data := icaltest.Render(t, f)
		told := lines(t, data, "X-TREEWHEN-FACTS")
		for _, e := range f.Entries {
			if e.Facts == nil {
				continue
			}
			for _, fact := range e.Facts.Essence() {
				if len(told[e.UID]) == 0 || !strings.Contains(told[e.UID][0], "|"+fact.Name+"=") {
					t.Errorf("%s: found %v, want %s in it", e.Task, told[e.UID], fact.Name)
				}
			}
		}
		f.Previous = previous(t, data)
		if again := icaltest.Render(t, f); !bytes.Equal(again, data) {
			t.Error("found the feed rewritten, want every byte kept")
		}
	}
}
