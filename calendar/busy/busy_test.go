package busy_test

import (
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/busy"
	"treewhen/phenology/civil"
)

// crlf makes the lines of a test the lines of a file.
func crlf(s string) string { return strings.ReplaceAll(strings.TrimSpace(s)+"\n", "\n", "\r\n") }

func calendarOf(lines string) string {
	return crlf("BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:-//invented//EN\n" + strings.TrimSpace(lines) + "\nEND:VCALENDAR")
}

func eventOf(lines string) string {
	return calendarOf("BEGIN:VEVENT\nUID:a\nDTSTAMP:20260101T000000Z\nSUMMARY:Busy\n" + strings.TrimSpace(lines) + "\nEND:VEVENT")
}

func read(t testing.TB, text string, first, last string) *busy.Diary {
	t.Helper()
	d, err := busy.Words{}.Read(strings.NewReader(text), "test.ics", civil.Span{First: day(first), Last: day(last)})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func day(s string) civil.Date {
	d, err := civil.Parse(s)
	if err != nil {
		panic(err)
	}
	return d
}

func load(name string) *time.Location {
	loc, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return loc
}

// dates writes the days of a diary's events as "1997 Sep 2 4, Oct 7", those from first on.
func dates(d *busy.Diary, zone *time.Location) string {
	var b strings.Builder
	year, month := 0, ""
	for _, e := range d.Events {
		when := e.Days().First.Time()
		if !e.WholeDays() {
			when, _ = e.In(zone)
		}
		if when.Year() != year {
			year, month = when.Year(), ""
			fmt.Fprintf(&b, " %d", year)
		}
		if m := when.Format("Jan"); m != month {
			month = m
			b.WriteString(" " + m)
		}
		fmt.Fprintf(&b, " %d", when.Day())
	}
	return strings.TrimSpace(b.String())
}

// The examples of RFC 5545 section 3.8.5.3, with the dates that it gives. All begin at 09:00 in New York, on both sides of
// the change of the clocks, which the test checks as well. Examples that go on forever are cut off.
func TestRecurrenceExamplesOfRFC5545(t *testing.T) {
	newYork := load("America/New_York")
	for _, row := range []struct {
		name, start, rule, last, want string
	}{
		{"daily for 10 occurrences", "19970902", "FREQ=DAILY;COUNT=10", "", "1997 Sep 2 3 4 5 6 7 8 9 10 11"},
		{"every other day", "19970902", "FREQ=DAILY;INTERVAL=2", "1997-10-10", "1997 Sep 2 4 6 8 10 12 14 16 18 20 22 24 26 28 30 Oct 2 4 6 8 10"},
		{"every 10 days, 5 occurrences", "19970902", "FREQ=DAILY;INTERVAL=10;COUNT=5", "", "1997 Sep 2 12 22 Oct 2 12"},
		{"weekly for 10 occurrences", "19970902", "FREQ=WEEKLY;COUNT=10", "", "1997 Sep 2 9 16 23 30 Oct 7 14 21 28 Nov 4"},
		{"weekly until 24 December", "19970902", "FREQ=WEEKLY;UNTIL=19971224T000000Z", "", "1997 Sep 2 9 16 23 30 Oct 7 14 21 28 Nov 4 11 18 25 Dec 2 9 16 23"},
		{"every other week", "19970902", "FREQ=WEEKLY;INTERVAL=2;WKST=SU", "1998-02-17", "1997 Sep 2 16 30 Oct 14 28 Nov 11 25 Dec 9 23 1998 Jan 6 20 Feb 3 17"},
		{"Tuesday and Thursday for five weeks", "19970902", "FREQ=WEEKLY;UNTIL=19971007T000000Z;WKST=SU;BYDAY=TU,TH", "", "1997 Sep 2 4 9 11 16 18 23 25 30 Oct 2"},
		{"the same by count", "19970902", "FREQ=WEEKLY;COUNT=10;WKST=SU;BYDAY=TU,TH", "", "1997 Sep 2 4 9 11 16 18 23 25 30 Oct 2"},
		{"every other week on three days", "19970901", "FREQ=WEEKLY;INTERVAL=2;UNTIL=19971224T000000Z;WKST=SU;BYDAY=MO,WE,FR", "", "1997 Sep 1 3 5 15 17 19 29 Oct 1 3 13 15 17 27 29 31 Nov 10 12 14 24 26 28 Dec 8 10 12 22"},
		{"every other week on two days", "19970902", "FREQ=WEEKLY;INTERVAL=2;COUNT=8;WKST=SU;BYDAY=TU,TH", "", "1997 Sep 2 4 16 18 30 Oct 2 14 16"},
		{"monthly on the first Friday", "19970905", "FREQ=MONTHLY;COUNT=10;BYDAY=1FR", "", "1997 Sep 5 Oct 3 Nov 7 Dec 5 1998 Jan 2 Feb 6 Mar 6 Apr 3 May 1 Jun 5"},
		{"monthly on the first Friday until", "19970905", "FREQ=MONTHLY;UNTIL=19971224T000000Z;BYDAY=1FR", "", "1997 Sep 5 Oct 3 Nov 7 Dec 5"},
		{"every other month, first and last Sunday", "19970907", "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU", "", "1997 Sep 7 28 Nov 2 30 1998 Jan 4 25 Mar 1 29 May 3 31"},
		{"second to last Monday", "19970922", "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO", "", "1997 Sep 22 Oct 20 Nov 17 Dec 22 1998 Jan 19 Feb 16"},
		{"third to last day", "19970928", "FREQ=MONTHLY;BYMONTHDAY=-3", "1998-02-26", "1997 Sep 28 Oct 29 Nov 28 Dec 29 1998 Jan 29 Feb 26"},
		{"2nd and 15th", "19970902", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15", "", "1997 Sep 2 15 Oct 2 15 Nov 2 15 Dec 2 15 1998 Jan 2 15"},
		{"first and last day", "19970930", "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1", "", "1997 Sep 30 Oct 1 31 Nov 1 30 Dec 1 31 1998 Jan 1 31 Feb 1"},
		{"every 18 months, 10th to 15th", "19970910", "FREQ=MONTHLY;INTERVAL=18;COUNT=10;BYMONTHDAY=10,11,12,13,14,15", "", "1997 Sep 10 11 12 13 14 15 1999 Mar 10 11 12 13"},
		{"every Tuesday, every other month", "19970902", "FREQ=MONTHLY;INTERVAL=2;BYDAY=TU", "1998-03-31", "1997 Sep 2 9 16 23 30 Nov 4 11 18 25 1998 Jan 6 13 20 27 Mar 3 10 17 24 31"},
		{"yearly in June and July", "19970610", "FREQ=YEARLY;COUNT=10;BYMONTH=6,7", "", "1997 Jun 10 Jul 10 1998 Jun 10 Jul 10 1999 Jun 10 Jul 10 2000 Jun 10 Jul 10 2001 Jun 10 Jul 10"},
		{"every other year in three months", "19970310", "FREQ=YEARLY;INTERVAL=2;COUNT=10;BYMONTH=1,2,3", "", "1997 Mar 10 1999 Jan 10 Feb 10 Mar 10 2001 Jan 10 Feb 10 Mar 10 2003 Jan 10 Feb 10 Mar 10"},
		{"every third year on three days", "19970101", "FREQ=YEARLY;INTERVAL=3;COUNT=10;BYYEARDAY=1,100,200", "", "1997 Jan 1 Apr 10 Jul 19 2000 Jan 1 Apr 9 Jul 18 2003 Jan 1 Apr 10 Jul 19 2006 Jan 1"},
		{"20th Monday of the year", "19970519", "FREQ=YEARLY;BYDAY=20MO", "1999-12-31", "1997 May 19 1998 May 18 1999 May 17"},
		{"Monday of week 20", "19970512", "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO", "1999-12-31", "1997 May 12 1998 May 11 1999 May 17"},
		{"every Thursday in March", "19970313", "FREQ=YEARLY;BYMONTH=3;BYDAY=TH", "1999-12-31", "1997 Mar 13 20 27 1998 Mar 5 12 19 26 1999 Mar 4 11 18 25"},
		{"every Thursday in summer", "19970605", "FREQ=YEARLY;BYDAY=TH;BYMONTH=6,7,8", "1997-12-31", "1997 Jun 5 12 19 26 Jul 3 10 17 24 31 Aug 7 14 21 28"},
		{"Saturday after the first Sunday", "19970913", "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13", "1998-06-13", "1997 Sep 13 Oct 11 Nov 8 Dec 13 1998 Jan 10 Feb 7 Mar 7 Apr 11 May 9 Jun 13"},
		{"election day", "19961105", "FREQ=YEARLY;INTERVAL=4;BYMONTH=11;BYDAY=TU;BYMONTHDAY=2,3,4,5,6,7,8", "2004-12-31", "1996 Nov 5 2000 Nov 7 2004 Nov 2"},
		{"third of three weekdays", "19970904", "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3", "", "1997 Sep 4 Oct 7 Nov 6"},
		{"second to last weekday", "19970929", "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2", "1998-03-30", "1997 Sep 29 Oct 30 Nov 27 Dec 30 1998 Jan 29 Feb 26 Mar 30"},
		{"week from Monday", "19970805", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", "", "1997 Aug 5 10 19 24"},
		{"week from Sunday", "19970805", "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", "", "1997 Aug 5 17 19 31"},
		{"no 30 February", "20070115", "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", "", "2007 Jan 15 30 Feb 15 Mar 15 30"},
		{"four times in 90 minutes", "19970902", "FREQ=MINUTELY;INTERVAL=90;COUNT=4", "", "1997 Sep 2 2 2 2"},
	} {
		t.Run(row.name, func(t *testing.T) {
			last := row.last
			if last == "" {
				last = "2010-01-01"
			}
			d := read(t, eventOf("DTSTART;TZID=America/New_York:"+row.start+"T090000\nDURATION:PT1H\nRRULE:"+row.rule), "1996-01-01", last)
			d.Events = slices.DeleteFunc(d.Events, func(e busy.Event) bool { // the zone's day of grace
				start, _ := e.In(newYork)
				return civil.FromTime(start) > day(last)
			})
			if got := dates(d, newYork); got != row.want {
				t.Errorf("found %s\nwant  %s", got, row.want)
			}
			if !strings.Contains(row.rule, "MINUTELY") {
				for _, e := range d.Events {
					if start, end := e.In(newYork); start.Format("15:04") != "09:00" || end.Sub(start) != time.Hour {
						t.Errorf("found %v to %v, want an hour from 09:00", start, end)
					}
				}
			}
		})
	}
	// The same section, by number of days: daily until 24 December, and every day of January for three years.
	for rule, want := range map[string]int{
		"DTSTART;TZID=America/New_York:19970902T090000\nRRULE:FREQ=DAILY;UNTIL=19971224T000000Z":                                       113,
		"DTSTART;TZID=America/New_York:19980101T090000\nRRULE:FREQ=YEARLY;UNTIL=20000131T140000Z;BYMONTH=1;BYDAY=SU,MO,TU,WE,TH,FR,SA": 93,
		"DTSTART;TZID=America/New_York:19980101T090000\nRRULE:FREQ=DAILY;UNTIL=20000131T140000Z;BYMONTH=1":                             93,
		// Every 20 minutes from 09:00 to 16:40, two days of it.
		"DTSTART;TZID=America/New_York:19970902T090000\nRRULE:FREQ=DAILY;BYHOUR=9,10,11,12,13,14,15,16;BYMINUTE=0,20,40;UNTIL=19970903": 48,
	} {
		if d := read(t, eventOf(rule+"\nDURATION:PT5M"), "1997-01-01", "2001-01-01"); len(d.Events) != want {
			t.Errorf("%s: found %d times, want %d", rule, len(d.Events), want)
		}
	}
	// "Every Friday the 13th, forever", with the first Tuesday taken out by EXDATE.
	d := read(t, eventOf("DTSTART;TZID=America/New_York:19970902T090000\nDURATION:PT1H\nEXDATE;TZID=America/New_York:19970902T090000\nRRULE:FREQ=MONTHLY;BYDAY=FR;BYMONTHDAY=13"), "1997-01-01", "2000-12-31")
	if got, want := dates(d, newYork), "1998 Feb 13 Mar 13 Nov 13 1999 Aug 13 2000 Oct 13"; got != want {
		t.Errorf("Friday the 13th: found %s, want %s", got, want)
	}
}

// An invented school: whole days, hours, exceptions, times moved and cancelled one by one, and what is not busy.
func TestSchool(t *testing.T) {
	d := read(t, calendarOf(`
BEGIN:VEVENT
UID:break
SUMMARY:Spring break
DTSTART;VALUE=DATE:20270424
DTEND;VALUE=DATE:20270503
END:VEVENT
BEGIN:VEVENT
UID:assembly
SUMMARY:Assembly
DTSTART;TZID=America/New_York:20270105T090000
DTEND;TZID=America/New_York:20270105T100000
RRULE:FREQ=WEEKLY;BYDAY=TU
EXDATE;TZID=America/New_York:20270511T090000
END:VEVENT
BEGIN:VEVENT
UID:assembly
RECURRENCE-ID;TZID=America/New_York:20270518T090000
SUMMARY:Assembly\, moved
DTSTART;TZID=America/New_York:20270519T130000
DTEND;TZID=America/New_York:20270519T140000
END:VEVENT
BEGIN:VEVENT
UID:assembly
RECURRENCE-ID;TZID=America/New_York:20270525T090000
STATUS:CANCELLED
DTSTART;TZID=America/New_York:20270525T090000
DTEND;TZID=America/New_York:20270525T100000
END:VEVENT
BEGIN:VEVENT
UID:cancelled
STATUS:CANCELLED
DTSTART;VALUE=DATE:20270506
END:VEVENT
BEGIN:VEVENT
UID:birthday
TRANSP:TRANSPARENT
DTSTART;VALUE=DATE:20270507
RRULE:FREQ=YEARLY
BEGIN:VALARM
ACTION:DISPLAY
DURATION:PT5M
TRIGGER:-PT1H
DTSTART:broken, but nobody's business
END:VALARM
END:VEVENT
BEGIN:VEVENT
UID:floating
SUMMARY:Bell practice
DTSTART:20270513T083000
DURATION:PT45M
END:VEVENT
BEGIN:VEVENT
UID:afternoon
DTSTART:20270514T170000Z
DTEND:20270514T190000Z
END:VEVENT
BEGIN:VEVENT
UID:days
SUMMARY:No classes
DTSTART;VALUE=DATE:20270520
RDATE;VALUE=DATE:20270527,20270528
END:VEVENT
BEGIN:VTODO
UID:marks
DTSTART;VALUE=DATE:20270521
END:VTODO
BEGIN:VFREEBUSY
UID:hall
FREEBUSY:20270531T130000Z/PT3H,20270601T130000Z/20270601T130001Z
FREEBUSY;FBTYPE=FREE:20270602T130000Z/PT3H
END:VFREEBUSY
`), "2027-04-20", "2027-06-30")
	newYork := load("America/New_York")
	blocked := func(from, to int, zone *time.Location) string {
		var list []string
		for i, e := range busy.Blocks([]*busy.Diary{d}, d.Span, from, to, zone, nil) {
			if e != nil && d.Span.First+civil.Date(i) > day("2027-05-02") && d.Span.First+civil.Date(i) < day("2027-06-05") {
				list = append(list, (d.Span.First + civil.Date(i)).Format("1/2"))
			}
		}
		return strings.Join(list, " ")
	}
	// 09:00 to 11:30. Tuesdays, but 11 May (EXDATE), 18 May (moved to the 19th, 13:00) and 25 May (cancelled). The whole days
	// 20, 27, 28 May; bell practice until 09:15; the hall on 31 May from 09:00 and for a second on 1 June.
	if got, want := blocked(9*60, 11*60+30, newYork), "5/4 5/13 5/20 5/27 5/28 5/31 6/1"; got != want {
		t.Errorf("morning: found %s, want %s", got, want)
	}
	if got, want := blocked(13*60, 14*60, newYork), "5/14 5/19 5/20 5/27 5/28"; got != want { // 17:00 UTC is 13:00 in New York in May
		t.Errorf("afternoon: found %s, want %s", got, want)
	}
	// An end is not part of an event: a trip may begin as the assembly ends.
	if got, want := blocked(10*60, 11*60, newYork), "5/20 5/27 5/28 5/31"; got != want {
		t.Errorf("from ten: found %s, want %s", got, want)
	}
	blocks := busy.Blocks([]*busy.Diary{d}, civil.Span{First: day("2027-04-23"), Last: day("2027-05-03")}, 540, 600, newYork, nil)
	for i, e := range blocks {
		if free := i == 0 || i == 10; (e == nil) != free {
			t.Errorf("day %d: found %v, want the break from 24 April to 2 May alone", i, e)
		}
	}
	if got := blocks[1].Summary; got != "Spring break" {
		t.Errorf("found %q", got)
	}
	if e := busy.Blocks([]*busy.Diary{d}, civil.Span{First: day("2027-05-19"), Last: day("2027-05-19")}, 780, 840, newYork, nil)[0]; e.Summary != "Assembly, moved" {
		t.Errorf("found %q, want the comma unescaped", e.Summary)
	}
	ignore := func(e *busy.Event) bool { return e.UID == "break" }
	if e := busy.Blocks([]*busy.Diary{d}, civil.Span{First: day("2027-04-26"), Last: day("2027-04-26")}, 540, 600, newYork, ignore)[0]; e != nil {
		t.Errorf("found %v, want it ignored", e)
	}
}

// Zones: those the IANA database has, those the file defines, names with a prefix. The moments are reckoned by hand.
func TestZones(t *testing.T) {
	const custom = `
BEGIN:VTIMEZONE
TZID:School clocks
BEGIN:STANDARD
DTSTART:20071104T020000
TZOFFSETFROM:-0400
TZOFFSETTO:-0500
RRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU
END:STANDARD
BEGIN:DAYLIGHT
DTSTART:20070311T020000
TZOFFSETFROM:-0500
TZOFFSETTO:-0400
RRULE:FREQ=YEARLY;BYMONTH=3;BYDAY=2SU
END:DAYLIGHT
END:VTIMEZONE
`
	for _, row := range []struct{ id, wall, want string }{
		{"School clocks", "20270312T090000", "2027-03-12T14:00:00Z"}, // before the change of 14 March 2027
		{"School clocks", "20270315T090000", "2027-03-15T13:00:00Z"},
		{"School clocks", "20270314T023000", "2027-03-14T07:30:00Z"}, // skipped: the offset before the gap, RFC 5545 3.3.5
		{"School clocks", "20271107T013000", "2027-11-07T05:30:00Z"}, // twice: the first, RFC 5545 3.3.5
		{"School clocks", "20271107T020000", "2027-11-07T07:00:00Z"},
		{"America/New_York", "20270314T023000", "2027-03-14T07:30:00Z"},
		{"America/New_York", "20271107T013000", "2027-11-07T05:30:00Z"},
		{"America/New_York", "20070311T023000", "2007-03-11T07:30:00Z"}, // the RFC's own example of a gap: 03:30 EDT
		{"America/New_York", "20071104T013000", "2007-11-04T05:30:00Z"}, // and of a time that occurs twice: EDT
		{"/vendor.example/20240101/America/New_York", "20270315T090000", "2027-03-15T13:00:00Z"},
		{"Australia/Lord_Howe", "20270301T090000", "2027-02-28T22:00:00Z"},
	} {
		d := read(t, calendarOf(custom+"BEGIN:VEVENT\nUID:a\nDTSTART;TZID=\""+row.id+"\":"+row.wall+"\nDURATION:PT1H\nEND:VEVENT"), "2007-01-01", "2028-01-01")
		start, _ := d.Events[0].In(time.UTC)
		if got := start.UTC().Format(time.RFC3339); got != row.want {
			t.Errorf("%s %s: found %s, want %s", row.id, row.wall, got, row.want)
		}
	}
}

func TestLenient(t *testing.T) {
	// Bare line feeds, a byte order mark, lower case, an unfolded long line, a fold within a name, empty lines, two calendars
	// in one file, DATE without VALUE, an end on the day of the beginning.
	text := "\ufeffbegin:vcalendar\nversion:2.0\n\nbegin:vevent\nuid:a\nDESCRIPTION:" + strings.Repeat("long, ", 5000) + "\nDTST\n ART:20270503\nDTEND:20270503\nend:vevent\nend:vcalendar\n" +
		"BEGIN:VCALENDAR\nBEGIN:VEVENT\nDTSTART;VALUE=DATE:2027\n 0504\nEND:VEVENT\nEND:VCALENDAR\n"
	d := read(t, text, "2027-05-01", "2027-05-31")
	if got, want := dates(d, time.UTC), "2027 May 3 4"; got != want {
		t.Errorf("found %s, want %s", got, want)
	}
}

// hostile are files made to take long; each must be refused or read at once. The time is for the benchmark; here it is
// that they end at all.
func hostile() map[string]string {
	rules := func(n int, rule string) string {
		return "BEGIN:VCALENDAR\n" + strings.Repeat("BEGIN:VEVENT\nDTSTART:20260101T090000\nRRULE:"+rule+"\nEND:VEVENT\n", n) + "END:VCALENDAR\n"
	}
	one := func(s string) string { return "BEGIN:VCALENDAR\nBEGIN:VEVENT\n" + s + "\nEND:VEVENT\nEND:VCALENDAR\n" }
	return map[string]string{
		"nested":          strings.Repeat("BEGIN:A\n", 500_000),
		"nested calendar": "BEGIN:VCALENDAR\n" + strings.Repeat("BEGIN:VEVENT\n", 500_000),
		"parameters":      one("DTSTART" + strings.Repeat(";a=b", 200_000) + ":20270503"),
		"parameter list":  one("DTSTART;A=" + strings.Repeat("b,", 100_000) + "c:20270503"),
		"folds":           one("DTSTART:2027\n" + strings.Repeat(" \n", 1_000_000) + " 0503"),
		"long value":      one("DTSTART:" + strings.Repeat("2", 4<<20)),
		"every second":    rules(1, "FREQ=SECONDLY"),
		"never":           rules(20_000, "FREQ=DAILY;INTERVAL=7;BYDAY=MO"), // it begins on a Thursday
		"never a leap":    rules(20_000, "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"),
		"far Monday":      rules(1, "FREQ=MONTHLY;BYDAY=53MO"),
		"far back":        rules(1, "FREQ=YEARLY;BYDAY=-53MO"),
		"hours that miss": rules(1, "FREQ=HOURLY;INTERVAL=2;BYHOUR=10"),
		"all times":       rules(1, "FREQ=DAILY;BYHOUR=0,1,2,3,4,5,6,7,8,9,10,11;BYMINUTE=0,1,2,3,4,5,6,7,8,9;BYSECOND=0,1,2,3"),
		"since 1601":      strings.Replace(rules(1, "FREQ=DAILY"), "20260101", "16010101", 1),
		"many since 1601": strings.ReplaceAll(rules(20_000, "FREQ=DAILY"), "20260101", "16010101"),
		"exceptions":      one("DTSTART:20270503T090000\nEXDATE:" + strings.Repeat("20270503T090000,", 10_000) + "20270504T090000"),
		"zone of changes": "BEGIN:VCALENDAR\nBEGIN:VTIMEZONE\nTZID:a\n" + strings.Repeat("BEGIN:STANDARD\nDTSTART:20000101T000000\nTZOFFSETFROM:+0000\nTZOFFSETTO:+0100\nRRULE:FREQ=DAILY\nEND:STANDARD\n", 150) + "END:VTIMEZONE\nEND:VCALENDAR\n",
	}
}

func TestHostile(t *testing.T) {
	refused := map[string]bool{"since 1601": false, "far back": false, "exceptions": false, "folds": false}
	for name, text := range hostile() {
		t.Run(name, func(t *testing.T) {
			_, err := busy.Words{}.Read(strings.NewReader(text), "hostile.ics", civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")})
			if want, ok := refused[name]; (err != nil) != (want || !ok) {
				t.Errorf("found error %v", err)
			}
			if err != nil && (len(err.Error()) > 4000 || !strings.HasPrefix(err.Error(), "hostile.ics")) {
				t.Errorf("found an error of %d characters: %.200s", len(err.Error()), err)
			}
			// A limit of the whole file is said once, and nothing behind it is read.
			if slices.Contains([]string{"zone of changes", "many since 1601", "never", "never a leap"}, name) && strings.Contains(err.Error(), "\n") {
				t.Errorf("found %v, want one line", err)
			}
		})
	}
}

// A calendar that never ends is given up at [busy.MaxBytes], or at the event after the last that is allowed.
func TestSizeLimitsHold(t *testing.T) {
	event := "BEGIN:VEVENT\nUID:a\nDTSTART:20270503T090000Z\nEND:VEVENT\n"
	for name, tt := range map[string]struct{ text, want string }{
		"remarks":    {"X-A:0123456789012345678901234567890123456789\n", "found more than 32 MiB, want a calendar of 32 MiB at most"},
		"one line":   {"0123456789", "found more than 32 MiB, want a calendar of 32 MiB at most"},
		"big events": {strings.Replace(event, "UID:a", "DESCRIPTION:"+strings.Repeat("x", 1000), 1), "found more than 32 MiB, want a calendar of 32 MiB at most"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := busy.Words{}.Read(io.MultiReader(strings.NewReader("BEGIN:VCALENDAR\n"), &endless{text: tt.text}), "a.ics", civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")})
		runtime.ReadMemStats(&after)
		if err == nil || err.Error() != "a.ics: "+tt.want {
			t.Errorf("%s: found %v, want %s", name, err, tt.want)
		}
		if size := after.TotalAlloc - before.TotalAlloc; size > 8*busy.MaxBytes { // what io.ReadAll lets go as it grows is most of that
			t.Errorf("%s: %d bytes were allocated", name, size)
		}
	}
	text := "BEGIN:VCALENDAR\n" + strings.Repeat(event, busy.MaxEvents+1) + "END:VCALENDAR\n"
	_, err := busy.Words{}.Read(strings.NewReader(text), "a.ics", civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")})
	if want := fmt.Sprintf("a.ics:%d: found more than 100000 events, want a calendar of at most that many", 2+4*busy.MaxEvents); err == nil || err.Error() != want {
		t.Errorf("found %v, want %s", err, want)
	}
}

// endless is a text for ever.
type endless struct{ text, left string }

func (e *endless) Read(b []byte) (int, error) {
	if e.left == "" {
		e.left = e.text
	}
	n := copy(b, e.left)
	e.left = e.left[n:]
	return n, nil
}

func BenchmarkHostile(b *testing.B) {
	for name, text := range hostile() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				busy.Words{}.Read(strings.NewReader(text), "hostile.ics", civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")})
			}
		})
	}
}

// school is a calendar of so many bytes: lessons that recur weekly with exceptions, meetings, holidays.
func school(size int) string {
	var b strings.Builder
	b.WriteString("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//invented//EN\r\n")
	for n := 0; b.Len() < size; n++ {
		d := civil.Of(2025, 8, 25) + civil.Date(n%600)
		fmt.Fprintf(&b, "BEGIN:VEVENT\r\nUID:%d@school.invalid\r\nDTSTAMP:20260801T120000Z\r\nSUMMARY:Lesson %d\\, room %d\r\n", n, n, n%40)
		switch n % 3 {
		case 0:
			fmt.Fprintf(&b, "DTSTART;TZID=America/New_York:%sT%02d0000\r\nDURATION:PT50M\r\nRRULE:FREQ=WEEKLY;UNTIL=20270618T000000Z\r\nEXDATE;TZID=America/New_York:20261124T090000,20261222T090000\r\n", d.Format("20060102"), 8+n%8)
		case 1:
			fmt.Fprintf(&b, "DTSTART:%sT130000Z\r\nDTEND:%sT143000Z\r\n", d.Format("20060102"), d.Format("20060102"))
		default:
			fmt.Fprintf(&b, "DTSTART;VALUE=DATE:%s\r\nDTEND;VALUE=DATE:%s\r\n", d.Format("20060102"), (d + 2).Format("20060102"))
		}
		b.WriteString("LOCATION:Invented school\\, Weir Street\r\nDESCRIPTION:Bring pencils\\, a lens and the book of twigs\\; no food in the\r\n  laboratory. Ask at the office if in doubt.\r\nEND:VEVENT\r\n")
	}
	b.WriteString("END:VCALENDAR\r\n")
	return b.String()
}

func BenchmarkReadSchool5MB(b *testing.B) {
	text := school(5 << 20)
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	span := civil.Span{First: day("2026-08-01"), Last: day("2027-07-31")}
	var diary *busy.Diary
	for b.Loop() {
		var err error
		if diary, err = (busy.Words{}).Read(strings.NewReader(text), "school.ics", span); err != nil {
			b.Fatal(err)
		}
		busy.Blocks([]*busy.Diary{diary}, span, 540, 690, load("America/New_York"), nil)
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.HeapSys)/(1<<20), "MB-heap")
	b.ReportMetric(float64(len(diary.Events)), "times")
}

func FuzzRead(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add(eventOf("DTSTART;VALUE=DATE:20270503\nRRULE:FREQ=DAILY;COUNT=3"))
	f.Add(eventOf("DTSTART;TZID=America/New_York:20270503T090000\nDTEND:20270503T150000Z\nRRULE:FREQ=MONTHLY;BYDAY=-1FR;BYSETPOS=-1\nEXDATE:20270528"))
	f.Add(eventOf("DTSTART:20270503T090000\nRDATE;VALUE=PERIOD:20270504T090000/PT1H\nRECURRENCE-ID;RANGE=THISANDFUTURE:20270503T090000"))
	f.Add(eventOf("DTSTART:20270101\nRRULE:FREQ=YEARLY;BYWEEKNO=-53,53;BYYEARDAY=366;INTERVAL=3"))
	f.Add("BEGIN:VCALENDAR\nBEGIN:VTIMEZONE\nTZID:a\nBEGIN:STANDARD\nDTSTART:20071104T020000\nTZOFFSETFROM:-0400\nTZOFFSETTO:-0500\nRRULE:FREQ=YEARLY;BYMONTH=11;BYDAY=1SU\nEND:STANDARD\nEND:VTIMEZONE\nEND:VCALENDAR")
	f.Add(calendarOf("BEGIN:VFREEBUSY\nFREEBUSY:20270531T130000Z/PT3H\nEND:VFREEBUSY"))
	f.Add(hostile()["far back"])
	var broken []string
	for _, folder := range []string{"bad/calendars", "calendars", "calendars/damaged"} {
		files, err := filepath.Glob("../../testdata/" + folder + "/*.ics")
		if err != nil || len(files) == 0 {
			f.Fatalf("no calendars in %s: %v", folder, err)
		}
		broken = append(broken, files...)
	}
	for _, name := range broken {
		data, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	f.Fuzz(func(t *testing.T, text string) {
		span := civil.Span{First: day("2027-01-01"), Last: day("2027-12-31")}
		d, err := busy.Words{}.Read(strings.NewReader(text), "fuzz.ics", span)
		if err != nil {
			if !strings.HasPrefix(err.Error(), "fuzz.ics") {
				t.Errorf("found error %q, want the file's name first", err)
			}
			return
		}
		for i, e := range d.Events {
			if e.WholeDays() {
				if !e.Days().Overlaps(span) {
					t.Errorf("event %d: found %v", i, e.Days())
				}
			} else if start, end := e.In(time.UTC); end.Before(start) || end.Equal(start) && !e.ByTheDay() {
				t.Errorf("event %d: found %v to %v", i, start, end)
			}
		}
		busy.Blocks([]*busy.Diary{d}, span, 540, 690, time.UTC, nil)
	})
}

// What is wrong is quoted as it was found, in the letters it was found in.
func TestErrorsQuoteWhatWasFound(t *testing.T) {
	event := func(line string) string {
		return "BEGIN:VCALENDAR\nVERSION:2.0\nPRODID:x\nBEGIN:VEVENT\nDTSTART;VALUE=DATE:20270503\n" + line + "\nEND:VEVENT\nEND:VCALENDAR\n"
	}
	for _, row := range []struct{ text, want string }{
		{event("RRULE:Freq=Weekly;Until=soon"), `found "soon", want a time`},
		{event("rrule:freq=weekli"), `found rule "freq=weekli" `},
		{event("RRULE:FREQ=WEEKLY;Bymoon=Full"), `found "Bymoon" in a rule`},
		{event("RRULE:FREQ=WEEKLY;weekly"), `found "weekly" in a rule`},
		{event("RRULE:FREQ=WEEKLY;Freq=daily"), `found "Freq" twice in a rule`},
		{event("DURATION:p1day"), `found "p1day", want a duration`},
	} {
		_, err := busy.Words{}.Read(strings.NewReader(row.text), "term.ics", civil.Span{First: civil.Of(2027, 1, 1), Last: civil.Of(2027, 12, 31)})
		if err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("found error %v, want %q in it", err, row.want)
		}
	}
	// Small letters are no fault.
	d, err := busy.Words{}.Read(strings.NewReader(event("rrule:freq=weekly;count=3;byday=mo")), "term.ics", civil.Span{First: civil.Of(2027, 1, 1), Last: civil.Of(2027, 12, 31)})
	if err != nil || len(d.Events) != 3 {
		t.Errorf("found %v, %v, want three Mondays", d, err)
	}
}
