package ical_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	goical "github.com/emersion/go-ical"
	"github.com/google/go-cmp/cmp"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/ical"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// The place, the people and the dates of these tests are invented.
var (
	sugarbush = &phenology.Site{ID: "fallow-creek", Name: "Fallow Creek sugarbush", Latitude: 44.62, Longitude: -89.61, Elevation: 350, Zone: time.UTC}
)

func text(t testing.TB, props goical.Props, name string) string {
	t.Helper()
	s, err := props.Text(name)
	if err != nil {
		t.Errorf("%s: %v", name, err)
	}
	return s
}

func TestFeedIsReadByAnotherParser(t *testing.T) {
	tap, gather := icaltest.TapEntry("2027-03-03", "2027-03-12"), icaltest.GatherEntry("2027-03-05", "2027-04-10")
	gather.Settled = true
	tells(tap, fact("advice", "wait"), fact("run", civil.Some(calendartest.Day("2027-03-08"))), fact("ice", civil.Maybe{}))
	f := icaltest.Feed("2027-02-01", gather, tap)
	f.Zone = "America/Chicago"
	data := icaltest.Render(t, f)
	c := icaltest.Read(t, data)

	head := map[string]string{}
	for name := range c.Props {
		head[name] = c.Props.Get(name).Value
	}
	if diff := cmp.Diff(map[string]string{
		"PRODID": "-//treewhen//NONSGML treewhen//EN", "VERSION": "2.0", "CALSCALE": "GREGORIAN", // RFC 5545 3.7.1, 3.7.3, 3.7.4
		"NAME": "Fallow Creek sugarbush", "X-WR-CALNAME": "Fallow Creek sugarbush", // RFC 7986 5.1
		"DESCRIPTION":      `When trees do things at Fallow Creek\; an invented place.`, // RFC 7986 5.2, RFC 5545 3.3.11
		"UID":              calendar.CalendarUID(calendartest.FeedID, sugarbush.ID, ""), // RFC 7986 5.3
		"LAST-MODIFIED":    "20270201T000000Z",                                          // RFC 7986 5.4
		"URL":              "https://example.org/trees/?site=fallow-creek;a,b",          // RFC 7986 5.5; a URI has no escapes
		"REFRESH-INTERVAL": "PT12H",                                                     // RFC 7986 5.7
		"X-PUBLISHED-TTL":  "PT12H", "X-WR-TIMEZONE": "America/Chicago",                 // RFC 5545 3.8.8.2
		"SOURCE": "https://example.org/trees/fallow-creek.ics", "COLOR": "forestgreen", // RFC 7986 5.8, 5.9
	}, head); diff != "" {
		t.Errorf("calendar (-want +found):\n%s", diff)
	}

	events := c.Events()
	if len(events) != 3 {
		t.Fatalf("found %d events, want 2 and one that rings", len(events))
	}
	events[1], events[2] = events[2], events[1]
	got := map[string]string{}
	for name, props := range events[0].Props {
		if len(props) != 1 {
			t.Errorf("%s: found %d, want one", name, len(props))
		}
		got[name] = props[0].Value
	}
	description := text(t, events[0].Props, "DESCRIPTION")
	delete(got, "DESCRIPTION")
	if diff := cmp.Diff(map[string]string{
		"UID": tap.UID, "DTSTAMP": "20270201T000000Z", "LAST-MODIFIED": "20270201T000000Z", // RFC 5545 3.8.7.2: the same
		"SEQUENCE": "0",                             // 3.8.7.4
		"DTSTART":  "20270303", "DTEND": "20270313", // 3.6.1: the end is not part of the event
		"SUMMARY": "Tap sugar maple", "LOCATION": "Fallow Creek sugarbush", "GEO": "44.62;-89.61",
		"STATUS": "TENTATIVE", "TRANSP": "TRANSPARENT", "CATEGORIES": "Tapping", "COLOR": "chocolate",
		"X-TREEWHEN-FACTS": "1|best=20270305|state=open|chance=72%|basis=record|name=15|said=46bf0137.d7fb514b||advice=wait|run=20270308", // 3.8.8.2
	}, got); diff != "" {
		t.Errorf("event (-want +found):\n%s", diff)
	}
	if got := events[0].Props.Get("DTSTART").ValueType(); got != goical.ValueDate {
		t.Errorf("found DTSTART of type %v, want a date", got)
	}
	if diff := cmp.Diff(`Tap as the forecast has it.
72 % chance that sap has not yet run in earnest.
Take care: hot sap, ice.
Based on: 14 past years of temperatures here.`, description); diff != "" {
		t.Errorf("description (-want +found):\n%s", diff)
	}
	if got := events[1].Props.Get("RELATED-TO").Value; got != tap.UID { // 3.8.4.5
		t.Errorf("found RELATED-TO %s, want %s", got, tap.UID)
	}
	if got := events[1].Props.Get("STATUS").Value; got != "CONFIRMED" { // 3.8.1.11
		t.Errorf("found STATUS %s of a settled entry, want CONFIRMED", got)
	}

	alarms := icaltest.Alarms(t, data, tap.UID)
	if len(alarms) != 2 {
		t.Fatalf("found %d alarms, want 2", len(alarms))
	}
	for i, want := range []icaltest.Alarm{
		{Text: "Wash the taps, the window opens 2027-03-03", At: time.Date(2027, 2, 24, 7, 0, 0, 0, time.UTC)}, // seven days before
		{Text: "Today is the first day to tap", At: time.Date(2027, 3, 3, 7, 30, 0, 0, time.UTC)},
	} {
		got := alarms[i]
		if _, err := calendar.ParseUUID(got.UID); err != nil { // RFC 9074 4
			t.Errorf("alarm %d: UID: %v", i, err)
		}
		if got.UID = ""; got != want {
			t.Errorf("alarm %d: found %v, want %v", i, got, want)
		}
	}
	if alarms[0].UID == alarms[1].UID {
		t.Error("two alarms have one UID")
	}
	// That after the start of the day has a short event of its own.
	short := map[string]string{}
	for name := range events[2].Props {
		short[name] = events[2].Props.Get(name).Value
	}
	if diff := cmp.Diff(map[string]string{
		"DTSTAMP": "20270201T000000Z", "LAST-MODIFIED": "20270201T000000Z", "SEQUENCE": "0", "STATUS": "TENTATIVE",
		"DTSTART": "20270303T073000Z", "DTEND": "20270303T074500Z", "SUMMARY": "Today is the first day to tap",
		"DESCRIPTION": "Tap sugar maple: Wed 3 Mar 2027 to Fri 12 Mar 2027.", "RELATED-TO": tap.UID,
		"LOCATION": "Fallow Creek sugarbush", "GEO": "44.62;-89.61", "TRANSP": "TRANSPARENT", "CATEGORIES": "Tapping",
		"COLOR": "chocolate", "X-TREEWHEN-FACTS": "1|rings-for=" + tap.UID, "UID": short["UID"],
	}, short); diff != "" {
		t.Errorf("short event (-want +found):\n%s", diff)
	}
	if alarm := events[2].Children[0]; len(events[2].Children) != 1 || alarm.Name != "VALARM" ||
		alarm.Props.Get("ACTION").Value != "DISPLAY" || alarm.Props.Get("TRIGGER").Value != "PT0S" { // 3.6.6
		t.Errorf("found %v", events[2].Children)
	}
	// The other parser's own rules, on writing: required and once-only properties.
	if err := goical.NewEncoder(io.Discard).Encode(c); err != nil {
		t.Errorf("another encoder: %v", err)
	}
}

func TestRemindersRingAtACivilHour(t *testing.T) {
	// RFC 5545 3.3.6: days are nominal, hours exact, and days go first. Triggers count from midnight at the start of
	// the first day: 3.8.6.3. What would come after that rings as a short event begins.
	for _, row := range []struct {
		before, minute int
		on             string
		want           string // TRIGGER; "" in a short event
	}{
		{1, 7 * 60, "2027-03-10", "-PT17H"},
		{0, 7 * 60, "2027-03-10", ""},
		{0, 0, "2027-03-10", "PT0S"},
		{1, 0, "2027-03-10", "-P1D"},
		{8, 7 * 60, "2027-03-10", "-P7DT17H"},
		{14, 18*60 + 45, "2027-03-10", "-P13DT5H15M"},
		{1, 23*60 + 30, "2027-03-10", "-PT30M"},
		{0, 7 * 60, "2027-03-14", ""}, // a day of the window
		{0, 23*60 + 55, "2027-03-20", ""},
		{1, 7 * 60, "2027-03-14", ""}, // the clocks go forward that week in the United States: still 07:00
		{30, 7 * 60, "2027-03-14", "-P25DT17H"},
	} {
		e := icaltest.TapEntry("2027-03-10", "2027-03-20")
		site := *e.Site
		site.Zone = calendartest.Zone("America/Chicago")
		e.Site = &site
		e.Reminders = []calendar.Reminder{{Before: row.before, On: calendartest.Day(row.on), Minute: row.minute}}
		icaltest.Said(e, func(t *words.Text) { t.Reminders = nil })
		data := icaltest.Render(t, icaltest.Feed("2027-02-01", e))
		alarms := icaltest.Alarms(t, data, e.UID)
		// The same by arithmetic on dates and on a clock without zone.
		want := (calendartest.Day(row.on) - civil.Date(row.before)).Time().Add(time.Duration(row.minute) * time.Minute)
		if len(alarms) != 1 || !alarms[0].At.Equal(want) || alarms[0].Late || alarms[0].Text != "Tap sugar maple" { // 3.6.6 wants one for DISPLAY
			t.Errorf("%d days before %s at minute %d: found %v, want one at %v", row.before, row.on, row.minute, alarms, want)
		}
		own := icaltest.EventIn(t, data, e.UID).Children
		if len(own) == 0 != (row.want == "") || len(own) == 1 && own[0].Props.Get("TRIGGER").Value != row.want {
			t.Errorf("%d days before %s at minute %d: found %v, want %s", row.before, row.on, row.minute, own, row.want)
		}
	}
}

func TestNastyTextsAreReadBackEqual(t *testing.T) {
	long := strings.Repeat("Knospenschuppenfarbe", 15)
	for name, row := range map[string]struct{ in, want string }{ // want is what one line of text becomes; "" is in itself
		"escapes":          {in: `a,b;c\d\n\\,"e":f`},
		"emoji":            {in: strings.Repeat("🍁🌱👩‍🌾", 40)},
		"chinese":          {in: strings.Repeat("糖楓樹開始流汁的時候", 30)},
		"combining":        {in: strings.Repeat("é̂ñ̃", 60)},
		"a word of 300":    {in: long},
		"tags":             {in: strings.Repeat("<b>x</b>", 40)},
		"backslashes":      {in: strings.Repeat(`\`, 300)},
		"commas":           {in: strings.Repeat(`,`, 300)},
		"semicolons, even": {in: strings.Repeat(`;;`, 151)},
		"spaces within":    {in: "a" + strings.Repeat(" ", 200) + "b"},
		"right to left":    {in: "עץ אדר " + strings.Repeat("שלום, ", 30) + "."},
		"line ends":        {in: "a\r\nb\rc\nd\u2028e", want: "a b c d e"},
		"injection":        {in: "x\r\nATTENDEE:mailto:a@example.org", want: "x ATTENDEE:mailto:a@example.org"},
		"controls":         {in: "a\x00b\x07c\x1b[31md\x7fe\u0085f\tg\ufeffh", want: "abc[31mde f gh"},
		"not UTF-8":        {in: "a\xff\xfeb\xe2\x82", want: "a\ufffdb\ufffd"},
		"around":           {in: " \n a \t\n", want: "a"},
		"an end":           {in: "x\r\nEND:VEVENT\r\nEND:VCALENDAR", want: "x END:VEVENT END:VCALENDAR"},
	} {
		t.Run(name, func(t *testing.T) {
			want := row.want
			if want == "" {
				want = row.in
			}
			site := *sugarbush
			site.Name = row.in
			e := icaltest.TapEntry("2027-03-03", "2027-03-12")
			e.Site = &site
			icaltest.Said(e, func(t *words.Text) {
				t.Summary, t.Verdict = row.in, row.in
				t.Reminders[0] = row.in
			})
			f := icaltest.Feed("2027-02-01", e)
			f.Name, f.Description = row.in, row.in
			data := icaltest.Render(t, f)
			c := icaltest.Read(t, data)
			if n := len(c.Events()); n != 2 || len(c.Children) != 2 {
				t.Fatalf("found %d events in %d components, want one and one that rings", n, len(c.Children))
			}
			event := c.Events()[0]
			for what, got := range map[string]string{
				"NAME":     text(t, c.Props, "NAME"),
				"SUMMARY":  text(t, event.Props, "SUMMARY"),
				"LOCATION": text(t, event.Props, "LOCATION"),
			} {
				if got != want {
					t.Errorf("%s: found %q, want %q", what, got, want)
				}
			}
			stop := want
			if !strings.HasSuffix(want, ".") {
				stop += "."
			}
			if got, want := text(t, event.Props, "DESCRIPTION"), stop+"\n72 % chance "; !strings.HasPrefix(got, want) {
				t.Errorf("DESCRIPTION: found %q, want it to begin with %q", got, want)
			}
			for what, got := range map[string]string{"calendar": text(t, c.Props, "DESCRIPTION"), "alarm": text(t, event.Children[0].Props, "DESCRIPTION")} {
				if strings.Join(strings.Fields(got), " ") != strings.Join(strings.Fields(want), " ") {
					t.Errorf("DESCRIPTION of the %s: found %q, want %q", what, got, want)
				}
			}
			// What was written can be built upon.
			f.Previous = previous(t, data)
			if again := icaltest.Render(t, f); !bytes.Equal(again, data) {
				t.Errorf("unchanged, but found\n%s\nwant\n%s", again, data)
			}
		})
	}
}

func TestEmptyFeed(t *testing.T) {
	data := icaltest.Render(t, icaltest.Feed("2027-02-01"))
	c := icaltest.Read(t, data)
	// RFC 5545 3.6: "at least one calendar component"; a VTIMEZONE alone is one of the forms that it names.
	if len(c.Children) != 1 || c.Children[0].Name != "VTIMEZONE" || len(c.Events()) != 0 {
		t.Fatalf("found %v, want a zone and no event", c.Children)
	}
	// The next day, and with work, and without it again.
	f := icaltest.Feed("2027-02-02")
	f.Previous = previous(t, data)
	if again := icaltest.Render(t, f); !bytes.Equal(again, data) {
		t.Error("an empty feed changed overnight")
	}
	f.Entries = []*calendar.Entry{icaltest.TapEntry("2027-03-03", "2027-03-12")}
	if c := icaltest.Read(t, icaltest.Render(t, f)); len(c.Children) != 2 || len(c.Events()) != 2 {
		t.Errorf("found %v, want the event alone", c.Children)
	}
}

func TestGeo(t *testing.T) {
	// RFC 5545 3.8.1.6: latitude;longitude in decimal degrees, no exponents.
	for _, row := range []struct {
		lat, lon float64
		want     string
	}{
		{44.62, -89.61, "44.62;-89.61"}, {0, 0, "0;0"}, {-0.00001, 1e-7, "0;0"}, {90, -180, "90;-180"},
		{-33.123456, 151.987654, "-33.1235;151.9877"}, {12.3, 100, "12.3;100"}, {math.Copysign(0, -1), 0.00005, "0;0.0001"},
	} {
		site := *sugarbush
		site.Latitude, site.Longitude = row.lat, row.lon
		e := icaltest.TapEntry("2027-03-03", "2027-03-12")
		e.Site = &site
		if got := icaltest.Read(t, icaltest.Render(t, icaltest.Feed("2027-02-01", e))).Events()[0].Props.Get("GEO").Value; got != row.want {
			t.Errorf("%v, %v: found %s, want %s", row.lat, row.lon, got, row.want)
		}
	}
}

func TestConfidenceIsNeverRoundedToCertainty(t *testing.T) {
	for p, want := range map[float64]int{0: 0, 0.001: 1, 0.5: 50, 0.8: 80, 0.9999: 99, 1: 100} {
		e := icaltest.TapEntry("2027-03-03", "2027-03-12")
		e.Probability = p
		if got := text(t, icaltest.Read(t, icaltest.Render(t, icaltest.Feed("2027-02-01", e))).Events()[0].Props, "DESCRIPTION"); !strings.Contains(got, fmt.Sprintf("\n%d %% chance that", want)) {
			t.Errorf("%v: found %q, want %d %%", p, got, want)
		}
	}
}

func TestRefreshInterval(t *testing.T) {
	// RFC 7986 5.7 and the grammar of RFC 5545 3.3.6.
	for d, want := range map[time.Duration]string{
		24 * time.Hour: "P1D", 7 * 24 * time.Hour: "P7D", 90 * time.Minute: "PT1H30M", 36 * time.Hour: "P1DT12H",
		time.Hour + 5*time.Second: "PT1H0M5S", 45 * time.Second: "PT45S", 24*time.Hour + time.Minute: "P1DT1M",
	} {
		f := icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-03", "2027-03-12"))
		f.Refresh = d
		if got := icaltest.Read(t, icaltest.Render(t, f)).Props.Get("REFRESH-INTERVAL"); got.Value != want || got.Params.Get("VALUE") != "DURATION" {
			t.Errorf("%v: found %v, want %s", d, got, want)
		}
	}
	f := icaltest.Feed("2027-02-01")
	f.Refresh, f.URL, f.Source, f.Color, f.Description = 0, "", "", "", ""
	for _, name := range []string{"REFRESH-INTERVAL", "X-PUBLISHED-TTL", "X-WR-TIMEZONE", "URL", "SOURCE", "COLOR", "DESCRIPTION"} {
		if got := icaltest.Read(t, icaltest.Render(t, f)).Props.Get(name); got != nil {
			t.Errorf("found %v, want none", got)
		}
	}
}

func TestWriteICSRefuses(t *testing.T) {
	change := func(f func(*calendar.Entry)) ical.Feed {
		e := icaltest.TapEntry("2027-03-03", "2027-03-12")
		f(e)
		return icaltest.Feed("2027-02-01", e)
	}
	head := func(f func(*ical.Feed)) ical.Feed {
		x := icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-03", "2027-03-12"))
		f(&x)
		return x
	}
	for name, row := range map[string]struct {
		f    ical.Feed
		want string
	}{
		"feed uid":          {head(func(f *ical.Feed) { f.UID = "ridge@example.org" }), `found "ridge@example.org", want a UUID`},
		"no name":           {head(func(f *ical.Feed) { f.Name = "\x00" }), "found no name"},
		"hex color":         {head(func(f *ical.Feed) { f.Color = "#00ff00" }), `found color "#00ff00", want a color name`},
		"url injection":     {head(func(f *ical.Feed) { f.URL = "https://example.org/\r\nATTENDEE:mailto:x@example.org" }), "found address"},
		"url of a script":   {head(func(f *ical.Feed) { f.URL = "javascript:alert(1)" }), "found address"},
		"source with space": {head(func(f *ical.Feed) { f.Source = "https://example.org/a b" }), "found address"},
		"refresh backward":  {head(func(f *ical.Feed) { f.Refresh = -time.Hour }), "found refresh interval"},
		"odd zone":          {head(func(f *ical.Feed) { f.Zone = "Local" }), "found time zone"},
		"refresh in parts":  {head(func(f *ical.Feed) { f.Refresh = time.Millisecond }), "found refresh interval"},
		"as-of":             {head(func(f *ical.Feed) { f.AsOf = civil.MaxDate }), "found as-of date"},
		"twice":             {icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-03", "2027-03-12"), icaltest.TapEntry("2027-03-04", "2027-03-12")), "twice"},
		"uid":               {change(func(e *calendar.Entry) { e.UID = "x\r\nSUMMARY:y" }), "want a UUID"},
		"after":             {change(func(e *calendar.Entry) { e.After = []string{"x"} }), "want a UUID"},
		"summary":           {change(func(e *calendar.Entry) { icaltest.Said(e, func(t *words.Text) { t.Summary = " \n" }) }), "found no summary"},
		"window":            {change(func(e *calendar.Entry) { e.Window.Last = e.Window.First - 1 }), "found window"},
		"far window":        {change(func(e *calendar.Entry) { e.Window.Last = civil.MaxDate }), "found window"},
		"best":              {change(func(e *calendar.Entry) { e.Best = e.Window.Last + 1 }), "found best day"},
		"no number":         {change(func(e *calendar.Entry) { e.Probability = math.NaN() }), "found probability NaN"},
		"per cent":          {change(func(e *calendar.Entry) { e.Probability = 72 }), "found probability 72"},
		"no site":           {change(func(e *calendar.Entry) { e.Site = nil }), "found no site"},
		"off the globe":     {change(func(e *calendar.Entry) { e.Site = &phenology.Site{Name: "x", Latitude: 91} }), "found latitude 91"},
		"reminder":          {change(func(e *calendar.Entry) { e.Reminders[0].Minute = 24 * 60 }), "found reminder"},
		"reminder day":      {change(func(e *calendar.Entry) { e.Reminders[0].On = e.Window.Last + 1 }), "found reminder"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := ical.WriteICS(&b, row.f)
			if err == nil || !strings.Contains(err.Error(), row.want) || b.Len() > 0 {
				t.Errorf("found error %v and %d bytes, want %q and none", err, b.Len(), row.want)
			}
		})
	}
}

// failAfter is a writer that takes only so much.
type failAfter int

func (n *failAfter) Write(b []byte) (int, error) {
	if len(b) > int(*n) {
		return int(*n), errors.New("disk full")
	}
	*n -= failAfter(len(b))
	return len(b), nil
}

func TestWriteICSReportsAFullDisk(t *testing.T) {
	f := icaltest.Feed("2027-02-01", icaltest.TapEntry("2027-03-03", "2027-03-12"))
	size := len(icaltest.Render(t, f))
	for _, room := range []int{0, 100, size - len("END:VCALENDAR\r\n"), size - 1} {
		n := failAfter(room)
		if err := ical.WriteICS(&n, f); err == nil {
			t.Errorf("room for %d of %d bytes: found no error, want one", room, size)
		}
	}
	n := failAfter(size)
	if err := ical.WriteICS(&n, f); err != nil {
		t.Error(err)
	}
}

func TestFeedIsDeterministic(t *testing.T) {
	entries := manyEntries(50)
	want := icaltest.Render(t, icaltest.Feed("2027-02-01", entries...))
	local := time.Local
	defer func() { time.Local = local }()
	for _, hours := range []int{-11, 0, 13} {
		time.Local = time.FixedZone("elsewhere", hours*3600)
		slices.Reverse(entries)
		entries = append(entries[7:], entries[:7]...)
		if got := icaltest.Render(t, icaltest.Feed("2027-02-01", entries...)); !bytes.Equal(got, want) {
			t.Errorf("the order of entries or the zone of this machine changed the feed")
		}
	}
}

// manyEntries returns n entries, some of them on the same days.
func manyEntries(n int) []*calendar.Entry {
	list := make([]*calendar.Entry, n)
	for i := range list {
		e := icaltest.TapEntry("2027-03-03", "2027-03-12")
		e.UID = calendar.UID(calendartest.FeedID, sugarbush.ID, calendar.Tapping, nil, "tap", 2027, fmt.Sprint(i))
		e.Window.First += civil.Date(i / 3)
		e.Window.Last += civil.Date(i / 2)
		e.Best = e.Window.First
		for j := range e.Reminders {
			e.Reminders[j].On = e.Window.First
		}
		list[i] = e
	}
	return list
}

func BenchmarkRenderICS(b *testing.B) {
	f := icaltest.Feed("2027-02-01", manyEntries(1000)...)
	data := icaltest.Render(b, f)
	b.Run("new", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := ical.RenderICS(f); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("unchanged", func(b *testing.B) {
		f.Previous = previous(b, data)
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := ical.RenderICS(f); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("moved", func(b *testing.B) { // every second event by a day
		moved := f
		moved.Entries = manyEntries(1000)
		for i, e := range moved.Entries {
			e.Window.Last += civil.Date(i % 2)
		}
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			if _, _, err := ical.RenderICS(moved); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("read", func(b *testing.B) {
		b.SetBytes(int64(len(data)))
		b.ReportAllocs()
		for b.Loop() {
			if _, err := ical.ReadPrevious(bytes.NewReader(data)); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// TestFeedsForOtherCheckers writes feeds, and what each must hold, for the checkers in other languages: .ci/icscheck/run.
func TestFeedsForOtherCheckers(t *testing.T) {
	dir := os.Getenv("ICSCHECK_DIR")
	if dir == "" {
		t.Skip("run by .ci/icscheck/run, which sets ICSCHECK_DIR to a folder for the feeds")
	}
	type alarm struct {
		Before int    `json:"before"`
		Text   string `json:"text"`
	}
	type event struct {
		UID         string      `json:"uid"`
		First       civil.Date  `json:"first"`
		Last        civil.Date  `json:"last"`
		Sequence    int         `json:"sequence"`
		Status      string      `json:"status"`
		Summary     string      `json:"summary"`
		Description string      `json:"description,omitempty"`
		Location    string      `json:"location"`
		Geo         *[2]float64 `json:"geo"`
		Categories  []string    `json:"categories"`
		After       []string    `json:"after"`
		Alarms      []alarm     `json:"alarms"`
	}
	// expected says what the event of an entry holds, and what the short events that ring for it do; the entries below
	// have 0.72 for a probability, and their texts need no cleaning.
	expected := func(e *calendar.Entry) []event {
		x := event{UID: e.UID, First: e.Window.First, Last: e.Window.Last, Status: "TENTATIVE", Summary: words.Say(e).Summary,
			Location: e.Site.Name, Geo: &[2]float64{e.Site.Latitude, e.Site.Longitude}, Categories: []string{"Tapping"},
			After: append([]string{}, e.After...), Alarms: []alarm{}}
		list := []event{x}
		for i, r := range e.Reminders {
			a := alarm{-(int(r.Day()-e.Window.First)*24*60 + r.Minute), words.Say(e).Reminders[i]}
			if a.Before >= 0 {
				list[0].Alarms = append(list[0].Alarms, a)
				continue
			}
			uid, err := calendar.AlarmUID(e.UID, i)
			if err != nil {
				t.Fatal(err)
			}
			short := x
			short.UID, err = calendar.RingUID(uid)
			short.First, short.Last, short.Summary, short.After = r.Day(), r.Day(), a.Text, []string{e.UID}
			short.Alarms = []alarm{{0, a.Text}}
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, short)
		}
		return list
	}
	write := func(name string, data []byte, events []event) {
		list, err := json.Marshal(events)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(os.WriteFile(filepath.Join(dir, name+".ics"), data, 0o666), os.WriteFile(filepath.Join(dir, name+".json"), list, 0o666)); err != nil {
			t.Fatal(err)
		}
	}

	tap, gather := icaltest.TapEntry("2027-03-03", "2027-03-12"), icaltest.GatherEntry("2027-03-05", "2027-04-10")
	first := icaltest.Render(t, icaltest.Feed("2027-02-01", tap, gather))
	write("plain", first, append(expected(tap), expected(gather)...))
	write("empty", icaltest.Render(t, icaltest.Feed("2027-02-01")), []event{})

	f := icaltest.Feed("2027-02-05", icaltest.TapEntry("2027-03-10", "2027-03-20"))
	f.Previous = previous(t, first)
	moved := append(expected(f.Entries[0]), expected(gather)...)
	for i := range moved {
		moved[i].Sequence = 1
	}
	off := &moved[len(moved)-1]
	off.Status, off.Summary = "CANCELLED", "Cancelled: Gather sap of sugar maple"
	write("revised", icaltest.Render(t, f), moved)

	var entries []*calendar.Entry
	var events []event
	for i, s := range []string{
		`a,b;c\d\n\\,"e":f`, strings.Repeat("🍁🌱👩‍🌾", 40), strings.Repeat("糖楓樹開始流汁的時候", 30), strings.Repeat("é̂ñ̃", 60),
		strings.Repeat("Knospenschuppenfarbe", 15), strings.Repeat("<b>x</b>", 40), strings.Repeat(`\`, 300), strings.Repeat(`,;`, 150),
		"a" + strings.Repeat(" ", 200) + "b", "עץ אדר " + strings.Repeat("שלום, ", 30) + "!", "X:Y=Z;A=\"B\"", "- 'quoted' ^n ^' %0D%0A &amp;",
	} {
		site := *sugarbush
		site.Name = s
		site.Latitude, site.Longitude = float64(-45+i), float64(15*i)+0.125
		e := icaltest.TapEntry("2027-03-03", "2027-03-12")
		e.UID = calendar.UID(calendartest.FeedID, sugarbush.ID, calendar.Tapping, nil, "tap", 2027, fmt.Sprint(i))
		e.Site = &site
		icaltest.Said(e, func(t *words.Text) {
			t.Summary, t.Verdict = s, s+"!"
			t.Reminders[0] = s
		})
		x := expected(e)
		x[0].Description = s + "!\n72 % chance that sap has not yet run in earnest.\n" +
			"Take care: hot sap, ice.\nBased on: 14 past years of temperatures here."
		entries, events = append(entries, e), append(events, x...)
	}
	write("nasty", icaltest.Render(t, icaltest.Feed("2027-02-01", entries...)), events)

	entries, events = manyEntries(500), nil
	for _, e := range entries {
		events = append(events, expected(e)...)
	}
	write("many", icaltest.Render(t, icaltest.Feed("2027-02-01", entries...)), events)
}
