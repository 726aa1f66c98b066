package busy_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"treewhen/calendar/busy"
	"treewhen/phenology/civil"
)

var update = flag.Bool("update", false, "rewrite what the damaged calendars are to say")

// titled reads a calendar of one whole day, 3 May 2027, and returns its event.
func titled(t testing.TB, words busy.Words, title, more string) busy.Event {
	t.Helper()
	text := calendarOf("BEGIN:VEVENT\nSUMMARY:" + title + "\nDTSTART;VALUE=DATE:20270503\n" + more + "\nEND:VEVENT")
	if strings.Contains(more, "DTSTART") {
		text = calendarOf("BEGIN:VEVENT\nSUMMARY:" + title + "\n" + more + "\nEND:VEVENT")
	}
	d, err := words.Read(strings.NewReader(text), "test.ics", civil.Span{First: day("2027-05-01"), Last: day("2027-05-31")})
	if err != nil {
		t.Fatal(err)
	}
	list := append(d.Events, d.Free...)
	if len(list) != 1 {
		t.Fatalf("%s: found %d events, want one", title, len(list))
	}
	return list[0]
}

// Titles as schools and calendar programs write them, and what they leave of a day. Where a title was read in a published
// calendar, rules_en.tsv and rules_fr.tsv name it.
func TestTitles(t *testing.T) {
	for state, titles := range map[busy.State][]string{
		busy.Taken: {
			"No School, Teacher Inservice", " Rosh Hashanah: No School\\, Offices Open", "Schools Closed/Offices Open (February Vacation)", "School/ Offices Closed",
			"Schools closed for Thanksgiving", "Veteran's Day", "Veterans Day - Schools and Offices Closed", "All Students Full Remote", "non-student day",
			"Teacher Inservice Day &#8211\\; Student Holiday", "Labor Day – Student / Teacher Holiday", "Holiday (Thanksgiving)", "Thanksgiving Holidays", "Columbus Day/Indigenous Peoples Day",
			"Memorial Day (observed)", "MLK Day", "Dr. Martin Luther King\\, Jr. Day 2027", "July 4th", "PD Day", "Staff only / Professional Development", "Optional Teacher Planning Day",
			"No School (Emergency Makeup Day)", "SNOW DAY!!", "Statewide Testing window", "Exam week", "Jour 0 - Examens", "Journée pédagogique — peut être annulée",
			"CONGÉ FÉRIÉ", "École fermée", "No school 🎉", "Long weekend in October", "Classes canceled: ice", "Cancelled classes", "Out of office", "Staff day\\, no pupils",
			"Thanksgiving & Black Friday Recess", "Summer holidays",
		},
		busy.Half: {
			"Early Release @ 11:15 Due to Impending Weather", "Early Dismissal / Professional Development", "Professional Learning - 1/2 day Students ONLY", "½ Day", "Day 4 Half Day",
			"2.5 Hr. Early Release", "2-Hour Delay", "Two hour delayed opening", "Minimum day", "All schools dismissed 1 hour early", "No Activity Bus - Early Release Day",
			"Demi-journée", "School closed early: snow", "12:30 dismissal", "Half day before Winter Break",
		},
		busy.Free: {
			"Spirit Week", "Day 4", "A Day", "JOUR 1", "Holiday Concert", "Girls Wrestling: Holiday Tourney", "WINTER CONCERT (SNOW DATE)", "Final Day *if no snow days*",
			"School Day - Make up From January 22nd Snow Day", "Possible snow make-up day", "Snow Make-up Day", "Activity Bus Early Release", "Breakfast with books", "Offices Closed",
			"District Offices Closed", "Closed for renovation: the east playground", "Report Cards Issued", "PSAT", "Vision testing\\, grade 2", "Canceled: Teacher Workday", "CANCELED - No School",
			"First Day of School", "Classes Resume after Winter Break", "No School Lunches today", "No Early Dismissal", "Pretzel Day", "Open house", "Photo scolaire", "Annulé: congé",
			"Memorial Day Parade rehearsal", "Break a leg: school play", "Unit 2 Exam", "No late bus",
			"Return from Winter Break", "Retour du congé des Fêtes",
		},
	} {
		for _, title := range titles {
			for _, transp := range []string{"", "TRANSP:TRANSPARENT", "TRANSP:OPAQUE"} {
				if e := titled(t, busy.Words{}, title, transp); e.State != state {
					t.Errorf("%q %s: found %s, want %s", title, transp, e.State, state)
				}
			}
		}
	}
}

// A half day keeps its other half: which it is, and from or until when, by the title or by the event's own hours.
func TestHalves(t *testing.T) {
	const hours = "DTSTART:20270503T%s00\nDTEND:20270503T%s00"
	for _, row := range []struct {
		title, more string
		from, to    string
	}{
		{"Half Day", "", "12:00", "24:00"},
		{"Early Release @ 11:15", "", "11:15", "24:00"},
		{"Early dismissal at 1:30 pm (grades 1-5)", "", "13:30", "24:00"},
		{"1:15 dismissal", "", "13:15", "24:00"},
		{"Demi-journée: départ à 12 h 15", "", "12:15", "24:00"},
		{"Students dismissed at noon", "", "12:00", "24:00"},
		{"Late Start", "", "00:00", "12:00"},
		{"Delayed opening: doors open 10:30", "", "00:00", "10:30"},
		{"Early release, buses at 11:40 and 12:10", "", "11:40", "24:00"},
		{"Late start and early release", "", "00:00", "24:00"},
		{"Conferences", "DESCRIPTION:Students are dismissed at 11:45.", "11:45", "24:00"},
		{"Early release", fmt.Sprintf(hours, "0810", "1145"), "11:45", "24:00"}, // what remains
		{"Early release", fmt.Sprintf(hours, "1130", "1430"), "11:30", "24:00"}, // what is lost
		{"Early release", fmt.Sprintf(hours, "1130", "1130"), "11:30", "24:00"}, // when
		{"1 Hour Late Start", fmt.Sprintf(hours, "0750", "0850"), "00:00", "08:50"},
		{"Late start", fmt.Sprintf(hours, "1000", "1430"), "00:00", "10:00"},
	} {
		e := titled(t, busy.Words{}, row.title, row.more)
		from, to := e.Lost(time.UTC)
		if got := fmt.Sprintf("%02d:%02d %02d:%02d", from/60, from%60, to/60, to%60); got != row.from+" "+row.to || e.State != busy.Half && row.title != "" {
			t.Errorf("%q %s: found %s lost (%s), want %s to %s", row.title, row.more, got, e.State, row.from, row.to)
		}
	}
	// An outing in the half that remains is possible, one that touches the other is not.
	d := read(t, eventOf("DTSTART;VALUE=DATE:20270503\nDTEND;VALUE=DATE:20270505"), "2027-05-01", "2027-05-31")
	d.Events = []busy.Event{titled(t, busy.Words{}, "Early release at 11:30", "DTEND;VALUE=DATE:20270505")}
	two := civil.Span{First: day("2027-05-02"), Last: day("2027-05-05")}
	for want, hours := range map[string][2]int{"....": {540, 690}, ".xx.": {540, 691}} {
		got := ""
		for _, e := range busy.Blocks([]*busy.Diary{d}, two, hours[0], hours[1], time.UTC, nil) {
			got += map[bool]string{true: ".", false: "x"}[e == nil]
		}
		if got != want {
			t.Errorf("from %d to %d: found %s, want %s", hours[0], hours[1], got, want)
		}
	}
}

// Words of a plan's own come before the rules, the longest first, in any case and with any accents; they hold for events
// with hours too.
func TestOwnWords(t *testing.T) {
	words := busy.Words{
		Taken: []string{"fete", "Pretzel Day", "Chorus"}, Free: []string{"No School LHS only", "Early Dismissal (Elementary)", "Library"}, Half: []string{"Pretzel Day (whole class)", "Delayed bus"},
	}
	const timed = "DTSTART:20270503T090000\nDTEND:20270503T100000"
	for _, row := range []struct {
		title, more string
		state       busy.State
		from, to    int
		basis       busy.Basis
	}{
		{"FÊTE des pommes", "", busy.Taken, 0, 1440, busy.ByPlan},
		{"No school: LHS only", "", busy.Free, 0, 0, busy.ByPlan},
		{"No school", "", busy.Taken, 0, 1440, busy.ByTitle},
		{"Early Dismissal Elementary", "", busy.Free, 0, 0, busy.ByPlan},
		{"Pretzel day", "", busy.Taken, 0, 1440, busy.ByPlan},
		{"Pretzel day, whole class, 11:00 dismissal", "", busy.Half, 660, 1440, busy.ByPlan},
		{"Delayed bus", "", busy.Half, 720, 1440, busy.ByPlan},
		{"Library", timed, busy.Free, 0, 0, busy.ByPlan},
		{"Chorus", timed + "\nTRANSP:TRANSPARENT", busy.Taken, 0, 1440, busy.ByPlan},
		{"Choruses", "", busy.Free, 0, 0, busy.ByNothing},
	} {
		e := titled(t, words, row.title, row.more)
		from, to := e.Lost(time.UTC)
		if e.State != row.state || e.Basis != row.basis || from != row.from || to != row.to {
			t.Errorf("%q: found %s %d to %d (%d), want %s %d to %d (%d)", row.title, e.State, from, to, e.Basis, row.state, row.from, row.to, row.basis)
		}
	}
	if e := titled(t, words, "Chorus", timed); e.ByTheDay() {
		t.Error("an event with hours that a plan calls taken takes its hours, not its day")
	}
	for text, ok := range map[string]bool{"Spirit Week": true, "  –!? ": false, "": false, "Ж": true} {
		if err := busy.CheckWords(text); (err == nil) != ok {
			t.Errorf("%q: found %v", text, err)
		}
	}
}

// Days that nobody's words explain are told, with what was made of them.
func TestNotUnderstood(t *testing.T) {
	d := read(t, calendarOf(`
BEGIN:VEVENT
SUMMARY:Pumpkin weighing
DTSTART;VALUE=DATE:20270503
RRULE:FREQ=DAILY;COUNT=2
END:VEVENT
BEGIN:VEVENT
SUMMARY:Tree week
TRANSP:TRANSPARENT
DTSTART;VALUE=DATE:20270505
END:VEVENT
BEGIN:VEVENT
SUMMARY:Founders walk
DTSTART;VALUE=DATE:20270506
TRANSP:OPAQUE
X-MICROSOFT-CDO-BUSYSTATUS:BUSY
END:VEVENT
BEGIN:VEVENT
SUMMARY:No school
DTSTART;VALUE=DATE:20270507
END:VEVENT
BEGIN:VEVENT
SUMMARY:Barn supper
DTSTART;VALUE=DATE:20270601
END:VEVENT`), "2027-05-01", "2027-12-31")
	var got []string
	for _, e := range d.NotUnderstood(civil.Span{First: day("2027-05-01"), Last: day("2027-05-31")}) {
		got = append(got, fmt.Sprint(e.Summary, " ", e.State, " ", e.MarkedFree))
	}
	if diff := cmp.Diff([]string{"Pumpkin weighing free false", "Tree week free true", "Founders walk taken false"}, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Zones by the names of desktop programs: CLDR 48, supplemental/windowsZones; the moments are reckoned by hand. An unknown
// name makes times float, and that is said once.
func TestDesktopZones(t *testing.T) {
	for _, row := range []struct{ id, want string }{
		{"Eastern Standard Time", "13:00"}, {"eastern standard time", "13:00"}, {"Eastern Standard Time 1", "13:00"}, {"US Eastern Standard Time", "13:00"},
		{"(UTC-05:00) Eastern Time (US & Canada)", "13:00"}, {"(GMT-06:00) Central Time (US & Canada)", "14:00"}, {"US Mountain Standard Time", "16:00"},
		{"Newfoundland Standard Time", "11:30"}, {"Romance Standard Time", "07:00"}, {"(UTC+10:00) Canberra, Melbourne, Sydney", "23:00"}, {"UTC-08", "17:00"}, {"UTC+01", "08:00"},
		{"GMT-3:30", "12:30"}, {"tzone://Microsoft/Utc", "09:00"}, {"/example.org/20050126_1/America/New_York", "13:00"}, {"Customized Time Zone", "09:00"}, {"UTC+99", "09:00"},
	} {
		d := read(t, eventOf("DTSTART;TZID=\""+row.id+"\":20270503T090000\nDTEND;TZID=\""+row.id+"\":20270503T100000"), "2027-04-01", "2027-06-01")
		start, _ := d.Events[0].In(time.UTC)
		if got := start.Format("15:04"); got != row.want {
			t.Errorf("%s: found %s UTC, want %s", row.id, got, row.want)
		}
		if unknown := row.want == "09:00" && !strings.HasSuffix(row.id, "Utc"); (len(d.Notes) == 1) != unknown {
			t.Errorf("%s: found the notes %q", row.id, d.Notes)
		}
	}
}

// Files that are damaged are read as far as they are whole, and say what was not: the .want beside each.
func TestDamagedCalendars(t *testing.T) {
	files, err := filepath.Glob("../../testdata/calendars/damaged/*.ics")
	if err != nil || len(files) < 9 {
		t.Fatalf("found %d files, %v", len(files), err)
	}
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		d := func() *busy.Diary {
			d, err := busy.Words{}.Read(strings.NewReader(string(data)), filepath.Base(name), civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")})
			if err != nil {
				t.Fatal(err)
			}
			return d
		}()
		var b strings.Builder
		for _, e := range d.Events {
			span := e.DaysIn(load("America/New_York"))
			fmt.Fprintf(&b, "%s %s: %s\n", e.State, span.First, e.Summary)
		}
		b.WriteString(strings.Join(append(d.Notes, ""), "\n"))
		if *update {
			if err := os.WriteFile(name+".want", []byte(b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(name + ".want")
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), b.String()); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}
