package calendar_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"treewhen/calendar"
)

// feedID is the namespace of the invented plan that these tests publish.
var feedID = mustUUID("3c5d0f52-5a0e-4f8e-9d5c-2f1b7c0a9e41")

func mustUUID(s string) calendar.UUID {
	u, err := calendar.ParseUUID(s)
	if err != nil {
		panic(err)
	}
	return u
}

func TestNameUUID(t *testing.T) {
	// RFC 9562, appendix A.4: the name www.example.com in the namespace of DNS names (6.6, table 3).
	dns := mustUUID("6ba7b810-9dad-11d1-80b4-00c04fd430c8")
	if got, want := calendar.NameUUID(dns, "www.example.com").String(), "2ed6657d-e927-568b-95e1-2665a8aea6a2"; got != want {
		t.Errorf("version 5 of www.example.com: found %s, want %s", got, want)
	}
}

func TestParseUUID(t *testing.T) {
	for _, s := range []string{"2ed6657d-e927-568b-95e1-2665a8aea6a2", "00000000-0000-0000-0000-000000000000"} {
		if u, err := calendar.ParseUUID(s); err != nil || u.String() != s {
			t.Errorf("%s: found %v, %v", s, u, err)
		}
	}
	// RFC 9562 section 4: either case is read, lower case is written.
	if u, err := calendar.ParseUUID("2ED6657D-E927-568B-95E1-2665A8AEA6A2"); err != nil || u.String() != "2ed6657d-e927-568b-95e1-2665a8aea6a2" {
		t.Errorf("upper case: found %v, %v", u, err)
	}
	for _, s := range []string{
		"", "2ed6657d", "2ed6657de927568b95e12665a8aea6a2", "{2ed6657d-e927-568b-95e1-2665a8aea6a2}",
		"urn:uuid:2ed6657d-e927-568b-95e1-2665a8aea6a2", "2ed6657d-e927-568b-95e1-2665a8aea6ag",
		"2ed6657d-e927-568b-95e1-2665a8aea6a2 ", "2ed6657d-e927-568b-95e1-2665a8aea6-a", "-ed6657d-e927-568b-95e1-2665a8aea6a2",
	} {
		if u, err := calendar.ParseUUID(s); err == nil {
			t.Errorf("%q: found %v, want an error", s, u)
		}
	}
}

func TestUIDTellsEntriesApart(t *testing.T) {
	uid := calendar.UID
	maple, both := []string{"acer-saccharum"}, []string{"acer-rubrum", "acer-saccharum"}
	all := map[string]string{
		"base":             uid(feedID, "ridge", calendar.Tapping, maple, "tap", 2027),
		"namespace":        uid(mustUUID("b5b0a86c-2d0a-4b3c-8a52-8f8ed2a7a001"), "ridge", calendar.Tapping, maple, "tap", 2027),
		"site":             uid(feedID, "ridge-2", calendar.Tapping, maple, "tap", 2027),
		"activity":         uid(feedID, "ridge", calendar.SeedCollection, maple, "tap", 2027),
		"species":          uid(feedID, "ridge", calendar.Tapping, both, "tap", 2027),
		"no species":       uid(feedID, "ridge", calendar.Tapping, nil, "tap", 2027),
		"task":             uid(feedID, "ridge", calendar.Tapping, maple, "pull-taps", 2027),
		"season":           uid(feedID, "ridge", calendar.Tapping, maple, "tap", 2028),
		"more":             uid(feedID, "ridge", calendar.Tapping, maple, "tap", 2027, "2"),
		"more, one field":  uid(feedID, "ridge", calendar.Tapping, maple, "tap", 2027, "2", ""),
		"moved between":    uid(feedID, "ridg", calendar.Activity("etapping"), maple, "tap", 2027),
		"species as more":  uid(feedID, "ridge", calendar.Tapping, nil, "tap", 2027, "acer-saccharum"),
		"calendar":         calendar.CalendarUID(feedID, "ridge", ""),
		"calendar of work": calendar.CalendarUID(feedID, "ridge", calendar.Tapping),
	}
	seen := map[string]string{}
	for what, u := range all {
		if other, twice := seen[u]; twice {
			t.Errorf("%s and %s have one identifier", what, other)
		}
		seen[u] = what
		// RFC 7986 section 5.3 with RFC 9562 section 4: a UUID, from which no place can be read.
		if _, err := calendar.ParseUUID(u); err != nil || strings.Contains(u, "ridge") || u[14] != '5' || !strings.ContainsRune("89ab", rune(u[19])) {
			t.Errorf("%s: found %s, want a UUID of version 5 (%v)", what, u, err)
		}
	}
	if a, b := uid(feedID, "ridge", calendar.Tapping, both, "tap", 2027), uid(feedID, "ridge", calendar.Tapping, []string{"acer-saccharum", "acer-rubrum"}, "tap", 2027); a != b {
		t.Errorf("the order of species matters: %s and %s", a, b)
	}
}

// TestUIDStaysForGood pins identifiers that calendars hold: a change of how names are joined would orphan every
// published event. The values were worked out with Python's uuid.uuid5 over the joined bytes.
func TestUIDStaysForGood(t *testing.T) {
	for _, row := range []struct{ got, want string }{
		{calendar.UID(feedID, "fallow-creek", calendar.Tapping, []string{"acer-saccharum"}, "tap", 2027), "cf1e9eb5-39f2-5e47-8060-e256932b3c89"},
		{calendar.UID(feedID, "fallow-creek", calendar.FieldTrip, nil, "visit", 2027, "2"), "1ecf01c3-d99c-51eb-9dd4-7e7729f73666"},
		{calendar.CalendarUID(feedID, "fallow-creek", calendar.Tapping), "474624dd-5663-5fa3-a073-3244b233f955"},
	} {
		if row.got != row.want {
			t.Errorf("found %s, want %s", row.got, row.want)
		}
	}
}

func TestUIDProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String()
		fields := func(label string) (string, []string, []string) {
			return text.Draw(t, label), rapid.SliceOfNDistinct(text, 0, 3, rapid.ID).Draw(t, label+" species"), rapid.SliceOfN(text, 0, 2).Draw(t, label+" more")
		}
		siteA, speciesA, moreA := fields("a")
		siteB, speciesB, moreB := fields("b")
		a := calendar.UID(feedID, siteA, calendar.Tapping, speciesA, "tap", 2027, moreA...)
		b := calendar.UID(feedID, siteB, calendar.Tapping, speciesB, "tap", 2027, moreB...)
		same := siteA == siteB && sameSet(speciesA, speciesB) && strings.Join(moreA, "\x00|") == strings.Join(moreB, "\x00|") && len(moreA) == len(moreB)
		if (a == b) != same {
			t.Fatalf("found %s and %s, want them alike: %v", a, b, same)
		}
	})
}

func sameSet(a, b []string) bool {
	in := map[string]bool{}
	for _, s := range a {
		in[s] = true
	}
	for _, s := range b {
		if !in[s] {
			return false
		}
	}
	return len(a) == len(b)
}
