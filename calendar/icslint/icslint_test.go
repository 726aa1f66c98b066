package icslint_test

import (
	"bytes"
	"flag"
	"strings"
	"testing"

	"treewhen/calendar/contentline"
	"treewhen/calendar/icslint"
)

// good is a feed with everything in it that feeds have, typed by hand after the standards. Lines end in LF here and in
// CR LF in the tests; a line that begins with a blank continues the one before.
const good = `BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//Example//Hand//EN
CALSCALE:GREGORIAN
UID:5c0e8a44-52b4-5a0c-9f0e-0d3b3c1c8a11
NAME:Trees
DESCRIPTION:Trees\, and when they do things\; an example\nof two lines
COLOR:forestgreen
LAST-MODIFIED:20270201T000000Z
URL:https://example.org/trees?a;b,c
SOURCE;VALUE=URI:https://example.org/trees.ics
REFRESH-INTERVAL;VALUE=DURATION:PT12H
BEGIN:VTIMEZONE
TZID:Example/Central
BEGIN:STANDARD
DTSTART:20261101T020000
TZOFFSETFROM:-0500
TZOFFSETTO:-0600
END:STANDARD
END:VTIMEZONE
BEGIN:VEVENT
UID:8a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f30
DTSTAMP:20270201T000000Z
LAST-MODIFIED:20270201T000000Z
SEQUENCE:0
STATUS:TENTATIVE
DTSTART;VALUE=DATE:20270303
DTEND;VALUE=DATE:20270313
SUMMARY:Tap sugar maple (likely\, 72 %)
LOCATION:The hill
GEO:44.62;-89.61
CATEGORIES:Tapping,Trees
COLOR:Chocolate
TRANSP:TRANSPARENT
RELATED-TO:9a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f31
DESCRIPTION:A text that is long enough to be folded\, since it has more t
 han seventy-five octets: Ahornsaft\, 糖楓\, 🍁
BEGIN:VALARM
UID:0a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f32
ACTION:DISPLAY
TRIGGER:-P6DT17H
DESCRIPTION:Wash the taps
END:VALARM
END:VEVENT
BEGIN:VEVENT
UID:8a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f33
DTSTAMP:20270201T000000Z
DTSTART;TZID=Example/Central:20270303T070000
DTEND;TZID=Example/Central:20270303T080000
SUMMARY:Walk
END:VEVENT
END:VCALENDAR
`

func crlf(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") }

func TestGoodFeed(t *testing.T) {
	for _, f := range icslint.Check([]byte(crlf(good))) {
		t.Errorf("%v", f)
	}
	calendar, _ := contentline.Parse([]byte(crlf(good)))
	event := calendar.Children[1]
	if got, want := event.Value("DESCRIPTION"), `A text that is long enough to be folded\, since it has more than seventy-five octets: Ahornsaft\, 糖楓\, 🍁`; got != want {
		t.Errorf("unfolded: found %q, want %q", got, want)
	}
	if raw := crlf(good)[event.Start:event.End]; !strings.HasPrefix(raw, "BEGIN:VEVENT\r\nUID:8a1b3f60") || !strings.HasSuffix(raw, "END:VALARM\r\nEND:VEVENT\r\n") {
		t.Errorf("bytes of the event: found %q", raw)
	}
}

// TestBrokenFeeds breaks the good feed in one place at a time and wants the clause named that it then breaks.
func TestBrokenFeeds(t *testing.T) {
	for _, row := range []struct{ name, old, new, clause, want string }{
		// Bytes and lines.
		{"bare LF", "CALSCALE:GREGORIAN\r\n", "CALSCALE:GREGORIAN\n", "RFC 5545 3.1", "bare LF"},
		{"bare CR", "The hill", "The\rhill", "RFC 5545 3.1", "control character U+000D"},
		{"long line", "LOCATION:The hill", "LOCATION:" + strings.Repeat("x", 67), "RFC 5545 3.1", "line of 76 octets"},
		{"long in octets only", "LOCATION:The hill", "LOCATION:" + strings.Repeat("é", 34), "RFC 5545 3.1", "line of 77 octets"},
		{"fold splits a character", "🍁", "\xf0\x9f\r\n \x8d\x81", "RFC 5545 3.1", "no fold within a character"},
		{"Latin 1", "Ahornsaft", "B\xe4ume", "RFC 5545 3.1", "not UTF-8"},
		{"NUL", "The hill", "The\x00hill", "RFC 5545 3.1", "control character U+0000"},
		{"escape character", "The hill", "The \x1b[31mhill", "RFC 5545 3.1", "control character U+001B"},
		{"C1 control", "The hill", "The\u0085hill", "RFC 5545 3.1", "control character U+0085"},
		{"byte order mark", "BEGIN:VCALENDAR", "\ufeffBEGIN:VCALENDAR", "RFC 5545 3.4", "byte order mark"},
		{"empty line", "END:VEVENT\r\nBEGIN:VEVENT", "END:VEVENT\r\n\r\nBEGIN:VEVENT", "RFC 5545 3.1", "empty line"},
		{"no last line end", "END:VCALENDAR\r\n", "END:VCALENDAR", "RFC 5545 3.1", "end of the file within a line"},
		{"continues nothing", "BEGIN:VCALENDAR\r\n", " x\r\nBEGIN:VCALENDAR\r\n", "RFC 5545 3.1", "continuation of nothing"},
		{"no colon", "LOCATION:The hill", "LOCATION", "RFC 5545 3.1", "want NAME:value"},
		{"name", "LOCATION:The hill", "LOC ATION:The hill", "RFC 5545 3.1", `found the name "LOC ATION"`},
		{"parameter without value", "LOCATION:The hill", "LOCATION;X:The hill", "RFC 5545 3.2", "want NAME=value"},
		{"open quote", "LOCATION:The hill", `LOCATION;X-A="b:The hill`, "RFC 5545 3.2", "not closed"},
		{"quote within", "LOCATION:The hill", `LOCATION;X-A=b"c":The hill`, "RFC 5545 3.2", "want a semicolon or a colon"},
		{"after a quote", "LOCATION:The hill", `LOCATION;X-A="b"c:The hill`, "RFC 5545 3.2", "want a semicolon or a colon"},
		{"no colon after parameter", "LOCATION:The hill", `LOCATION;X-A=b`, "RFC 5545 3.1", "no colon"},
		{"parameter twice", "DTSTART;VALUE=DATE:20270303", "DTSTART;VALUE=DATE;VALUE=DATE:20270303", "RFC 5545 3.2", "VALUE twice"},
		{"backslash in a parameter", "LOCATION:The hill", `LOCATION;X-A=O\'Brien:The hill`, "RFC 6868 3", "backslash in parameter"},
		// Structure.
		{"nothing", good, "", "RFC 5545 3.4", "found no content line"},
		{"something else", "BEGIN:VCALENDAR", "BEGIN:VCARD", "RFC 5545 3.4", "want BEGIN:VCALENDAR"},
		{"cut short", "END:VCALENDAR\r\n", "", "RFC 5545 3.6", "cut short"},
		{"cut within an event", "END:VALARM\r\nEND:VEVENT\r\nBEGIN:VEVENT", "", "RFC 5545 3.6", "want END:VALARM"},
		{"two calendars", "END:VCALENDAR\r\n", "END:VCALENDAR\r\nBEGIN:VCALENDAR\r\nEND:VCALENDAR\r\n", "RFC 5545 3.4", "nothing after it"},
		{"after the end", "END:VCALENDAR\r\n", "END:VCALENDAR\r\nX-A:b\r\n", "RFC 5545 3.4", "nothing after it"},
		{"property after component", "END:VCALENDAR\r\n", "X-A:b\r\nEND:VCALENDAR\r\n", "RFC 5545 3.6", "want properties first"},
		{"no version", "VERSION:2.0\r\n", "", "RFC 5545 3.6,", "without VERSION"},
		{"version 1", "VERSION:2.0", "VERSION:1.0", "RFC 5545 3.7.4", `VERSION "1.0"`},
		{"no product", "PRODID:-//Example//Hand//EN\r\n", "", "RFC 5545 3.6,", "without PRODID"},
		{"two products", "VERSION:2.0\r\n", "VERSION:2.0\r\nPRODID:x\r\n", "RFC 5545 3.6,", "2 of PRODID"},
		{"another calendar", "GREGORIAN", "JULIAN", "RFC 5545 3.7.1", "CALSCALE"},
		{"METHOD without ORGANIZER", "VERSION:2.0\r\n", "VERSION:2.0\r\nMETHOD:PUBLISH\r\n", "RFC 5546 3.2.1", "without ORGANIZER"},
		{"event in event", "BEGIN:VALARM", "BEGIN:VEVENT\r\nEND:VEVENT\r\nBEGIN:VALARM", "RFC 5545 3.6.1", "VEVENT within a VEVENT"},
		{"alarm in calendar", "END:VCALENDAR\r\n", "BEGIN:VALARM\r\nACTION:AUDIO\r\nTRIGGER:PT0S\r\nEND:VALARM\r\nEND:VCALENDAR\r\n", "RFC 5545 3.6,", "VALARM within a VCALENDAR"},
		{"zone without rules", "BEGIN:STANDARD\r\nDTSTART:20261101T020000\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0600\r\nEND:STANDARD\r\n", "", "RFC 5545 3.6.5", "without STANDARD"},
		{"offset", "TZOFFSETTO:-0600", "TZOFFSETTO:-6", "RFC 5545 3.3.14", `offset "-6"`},
		{"unknown zone", "DTSTART;TZID=Example/Central", "DTSTART;TZID=Example/Eastern", "RFC 5545 3.2.19", "VTIMEZONE"},
		// Events.
		{"no UID", "UID:8a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f30\r\n", "", "RFC 5545 3.6.1", "without UID"},
		{"UID of a host", "UID:8a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f30", "UID:tap-1@example.org", "RFC 7986 5.3", "tap-1@example.org"},
		{"UID in use", "f30\r\n", "f33\r\n", "RFC 5545 3.8.4.7", "has already"},
		{"no DTSTAMP", "DTSTAMP:20270201T000000Z\r\nLAST", "LAST", "RFC 5545 3.6.1", "without DTSTAMP"},
		{"two DTSTAMPs", "DTSTAMP:20270201T000000Z\r\nLAST", "DTSTAMP:20270201T000000Z\r\nDTSTAMP:20270201T000000Z\r\nLAST", "RFC 5545 3.6.1", "2 of DTSTAMP"},
		{"local DTSTAMP", "DTSTAMP:20270201T000000Z\r\nLAST", "DTSTAMP:20270201T000000\r\nLAST", "RFC 5545 3.8.7.2", "want a moment in UTC"},
		{"fraction", "DTSTAMP:20270201T000000Z\r\nLAST", "DTSTAMP:20270201T000000.5Z\r\nLAST", "RFC 5545 3.8.7.2", "want a moment in UTC"},
		{"DTSTAMP apart", "DTSTAMP:20270201T000000Z\r\nLAST", "DTSTAMP:20270202T000000Z\r\nLAST", "RFC 5545 3.8.7.2", "want the same"},
		{"LAST-MODIFIED by date", "LAST-MODIFIED:20270201T000000Z\r\nSEQ", "LAST-MODIFIED:20270201\r\nSEQ", "RFC 5545 3.8.7.3", "want a moment in UTC"},
		{"no DTSTART", "DTSTART;VALUE=DATE:20270303\r\n", "", "RFC 5545 3.6.1", "without DTSTART"},
		{"DTEND is DTSTART", "20270313", "20270303", "RFC 5545 3.8.2.2", "not after DTSTART"},
		{"DTEND before DTSTART", "20270313", "20270302", "RFC 5545 3.8.2.2", "not after DTSTART"},
		{"DTEND of another type", "DTEND;VALUE=DATE:20270313", "DTEND:20270313T000000", "RFC 5545 3.8.2.2", "different types"},
		{"both ends", "SUMMARY:Walk", "DURATION:PT1H\r\nSUMMARY:Walk", "RFC 5545 3.6.1", "both DTEND and DURATION"},
		{"a date as a time", "DTSTART;VALUE=DATE:", "DTSTART:", "RFC 5545 3.3.5", "VALUE=DATE"},
		{"no such day", "20270313", "20270231", "RFC 5545 3.3.4", "want a date"},
		{"UTC with zone", "DTSTART;TZID=Example/Central:20270303T070000", "DTSTART;TZID=Example/Central:20270303T070000Z", "RFC 5545 3.3.5", "want a time"},
		{"sequence", "SEQUENCE:0", "SEQUENCE:-1", "RFC 5545 3.8.7.4", "SEQUENCE"},
		{"sequence too large", "SEQUENCE:0", "SEQUENCE:2147483648", "RFC 5545 3.8.7.4", "SEQUENCE"},
		{"status of a to-do", "TENTATIVE", "COMPLETED", "RFC 5545 3.8.1.11", "STATUS"},
		{"transparency", "TRANSP:TRANSPARENT", "TRANSP:CLEAR", "RFC 5545 3.8.2.7", "TRANSP"},
		{"two summaries", "SUMMARY:Walk", "SUMMARY:Walk\r\nSUMMARY:Run", "RFC 5545 3.6.1", "2 of SUMMARY"},
		{"latitude", "GEO:44.62", "GEO:94.62", "RFC 5545 3.8.1.6", "GEO"},
		{"longitude", "-89.61", "-189.61", "RFC 5545 3.8.1.6", "GEO"},
		{"exponent", "-89.61", "1e-07", "RFC 5545 3.8.1.6", "GEO"},
		{"comma in GEO", "44.62;-89.61", "44.62,-89.61", "RFC 5545 3.8.1.6", "GEO"},
		{"hex color", "COLOR:Chocolate", "COLOR:#d2691e", "RFC 7986 5.9", "COLOR"},
		{"color of level 4", "COLOR:forestgreen", "COLOR:rebeccapurple", "RFC 7986 5.9", "COLOR"},
		{"facts twice", "SUMMARY:Walk", "SUMMARY:Walk\r\nX-TREEWHEN-FACTS:1|state=open\r\nX-TREEWHEN-FACTS:1|state=done", "RFC 5545 3.6.1", "2 of X-TREEWHEN-FACTS"},
		{"facts unescaped", "SUMMARY:Walk", "SUMMARY:Walk\r\nX-TREEWHEN-FACTS:1;state=open", "RFC 5545 3.3.11", "';' in X-TREEWHEN-FACTS"},
		{"comma", `likely\,`, "likely,", "RFC 5545 3.3.11", "',' in SUMMARY"},
		{"semicolon", "LOCATION:The hill", "LOCATION:The; hill", "RFC 5545 3.3.11", "';' in LOCATION"},
		{"escaped colon", "LOCATION:The hill", `LOCATION:The\: hill`, "RFC 5545 3.3.11", "backslash in LOCATION"},
		{"backslash at the end", "LOCATION:The hill", `LOCATION:The hill\`, "RFC 5545 3.3.11", "backslash in LOCATION"},
		{"semicolon between categories", "Tapping,Trees", "Tapping;Trees", "RFC 5545 3.3.11", "CATEGORIES"},
		{"related to a host", "RELATED-TO:9a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f31", "RELATED-TO:a@example.org", "RFC 5545 3.8.4.5", "RELATED-TO"},
		{"URL", "URL:https://example.org/trees?a;b,c", "URL:the page", "RFC 5545 3.8.4.6", "want a URI"},
		// RFC 7986.
		{"source without type", "SOURCE;VALUE=URI", "SOURCE", "RFC 7986 5.8", "VALUE=URI"},
		{"interval without type", "REFRESH-INTERVAL;VALUE=DURATION", "REFRESH-INTERVAL", "RFC 7986 5.7", "VALUE=DURATION"},
		{"interval of nothing", "PT12H", "PT0S", "RFC 7986 5.7", "positive"},
		{"interval backward", "PT12H", "-PT12H", "RFC 7986 5.7", "positive"},
		{"interval in words", "PT12H", "daily", "RFC 7986 5.7", "positive"},
		{"calendar UIDs", "UID:5c0e8a44-52b4-5a0c-9f0e-0d3b3c1c8a11\r\n", "UID:a\r\nUID:b\r\n", "RFC 5545 3.6, RFC 7986 4", "2 of UID"},
		// Alarms.
		{"alarm without text", "DESCRIPTION:Wash the taps\r\n", "", "RFC 5545 3.6.6", "DISPLAY alarm without DESCRIPTION"},
		{"alarm without trigger", "TRIGGER:-P6DT17H\r\n", "", "RFC 5545 3.6.6", "without TRIGGER"},
		{"alarm without action", "ACTION:DISPLAY\r\n", "", "RFC 5545 3.6.6", "without ACTION"},
		{"mail without address", "ACTION:DISPLAY", "ACTION:EMAIL", "RFC 5545 3.6.6", "EMAIL alarm without SUMMARY"},
		{"old action", "ACTION:DISPLAY", "ACTION:PROCEDURE", "RFC 5545 3.8.6.1", "ACTION"},
		{"trigger without days", "-P6DT17H", "-P6T17H", "RFC 5545 3.8.6.3", "TRIGGER"},
		{"trigger skips minutes", "-P6DT17H", "-P6DT17H5S", "RFC 5545 3.8.6.3", "TRIGGER"},
		{"trigger in local time", "TRIGGER:-P6DT17H", "TRIGGER;VALUE=DATE-TIME:20270224T070000", "RFC 5545 3.8.6.3", "TRIGGER"},
		{"trigger related", "TRIGGER:-P6DT17H", "TRIGGER;RELATED=MIDDLE:-P6DT17H", "RFC 5545 3.2.14", "RELATED"},
		{"repeat without duration", "TRIGGER:-P6DT17H", "TRIGGER:-P6DT17H\r\nREPEAT:2", "RFC 5545 3.6.6", "DURATION and REPEAT"},
		{"alarm UID twice", "END:VALARM\r\n", "END:VALARM\r\nBEGIN:VALARM\r\nUID:0a1b3f60-6c1d-5d0e-8f2a-7b9c0d1e2f32\r\nACTION:AUDIO\r\nTRIGGER:PT0S\r\nEND:VALARM\r\n", "RFC 9074 4", "alarm UID"},
	} {
		t.Run(row.name, func(t *testing.T) {
			old := row.old
			if old == good {
				old = crlf(good)
			}
			broken := strings.Replace(crlf(good), old, row.new, 1)
			if broken == crlf(good) {
				t.Fatalf("nothing was broken: %q is not in the feed", old)
			}
			found := icslint.Check([]byte(broken))
			for _, f := range found {
				if strings.HasPrefix(f.Clause, row.clause) && strings.Contains(f.Text, row.want) {
					return
				}
			}
			t.Errorf("found %v, want %s: %s", found, row.clause, row.want)
		})
	}
}

func TestEmptyCalendar(t *testing.T) {
	found := icslint.Check([]byte("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nEND:VCALENDAR\r\n"))
	if len(found) != 1 || found[0].Clause != "RFC 5545 3.6" || found[0].Line != 1 { // "at least one calendar component"
		t.Errorf("found %v, want a word about 3.6 alone", found)
	}
}

func TestLineNumbers(t *testing.T) {
	broken := strings.Replace(crlf(good), "SUMMARY:Walk", "SUMMARY:Walk, run", 1)
	found := icslint.Check([]byte(broken))
	want := 1 + strings.Count(broken[:strings.Index(broken, "SUMMARY:Walk")], "\n")
	if len(found) != 1 || found[0].Line != want {
		t.Errorf("found %v, want one on line %d", found, want)
	}
}

func TestColorsOfCSS(t *testing.T) {
	// CSS Color Module Level 3, section 4.3. Level 4 added a name, which RFC 7986 does not know.
	for name, want := range map[string]bool{"forestgreen": true, "ForestGreen": true, "rebeccapurple": false, "#228b22": false, "": false, "dark green": false} {
		if got := icslint.IsColor(name); got != want {
			t.Errorf("%q: found %v, want %v", name, got, want)
		}
	}
}

func FuzzCheck(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add([]byte(crlf(good)))
	f.Add([]byte(good))
	f.Add([]byte("BEGIN:VCALENDAR\r\nEND:VCALENDAR\r\nEND:VCALENDAR\r\n"))
	f.Add([]byte("END:\r\n"))
	f.Add([]byte("A;B=\"c\",d;E=:\r\n \r\n"))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		calendar, found := contentline.Parse(data)
		if calendar == nil && len(found) == 0 {
			t.Error("found neither a calendar nor what is wrong")
		}
		if len(icslint.Check(data)) > 2*contentline.MaxFaults {
			t.Error("found more than is kept")
		}
		lines := bytes.Count(data, []byte{'\n'}) + 1
		for _, f := range found {
			if f.Line < 0 || f.Line > lines {
				t.Errorf("%v: no such line", f)
			}
		}
		if calendar != nil {
			inBytes(t, calendar, 0, len(data))
		}
	})
}

// inBytes checks that components lie within each other and apart from each other.
func inBytes(t *testing.T, c *contentline.Component, from, to int) {
	if c.Start < from || c.End > to || c.Start >= c.End {
		t.Errorf("%s of line %d: found bytes %d to %d within %d to %d", c.Name, c.Line, c.Start, c.End, from, to)
	}
	at := c.Start
	for _, child := range c.Children {
		inBytes(t, child, at, c.End)
		at = child.End
	}
}

// BenchmarkCheckHostile is linear in the size of what no feed has: compare the two sizes.
func BenchmarkCheckHostile(b *testing.B) {
	for name, unit := range map[string]string{"parameters": ";A=b", "folds": "x\r\n ", "commas": `\,`, "nesting": "x\r\nBEGIN:A\r\n", "quotes": `;A="b"`} {
		for _, n := range []int{10_000, 100_000} {
			data := []byte("BEGIN:VCALENDAR\r\nSUMMARY" + strings.Repeat(unit, n) + ":\r\nEND:VCALENDAR\r\n")
			b.Run(name, func(b *testing.B) {
				b.SetBytes(int64(len(data)))
				for b.Loop() {
					icslint.Check(data)
				}
			})
		}
	}
}
