package ical

import (
	"reflect"
	"strings"
	"testing"
	"time"

	ics "github.com/arran4/golang-ical"
	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/phenology/civil"
)

// The leeways of a window and of a trip, far ahead and soon.
var (
	today      = civil.Of(2027, time.March, 1)
	window     = leewayOf(today, false, false, false)
	windowSoon = leewayOf(today, false, true, false)
	trip       = leewayOf(today, true, false, false)
	tripSoon   = leewayOf(today, true, true, false)
	span       = civil.Span{First: today + 11, Last: today + 16}
)

func day(t *rapid.T, name string) civil.Date {
	return civil.Date(rapid.IntRange(int(civil.MinDate), int(civil.MaxDate)).Draw(t, name))
}

// drawFacts draws facts as [factsOf] makes them.
func drawFacts(t *rapid.T) facts {
	f := facts{
		version: rapid.IntRange(1, 9).Draw(t, "version"), state: rapid.SampledFrom([]string{"open", "booked", "done", "observed"}).Draw(t, "state"),
		settled: rapid.Bool().Draw(t, "settled"), chance: rapid.IntRange(noChance, 100).Draw(t, "chance"), basis: "season",
		name: rapid.IntRange(1, 200).Draw(t, "name"), said: [2]uint32{rapid.Uint32().Draw(t, "said"), rapid.Uint32().Draw(t, "said soon")},
	}
	if rapid.Bool().Draw(t, "has a best day") {
		f.best = civil.Some(day(t, "best"))
	}
	if rapid.Bool().Draw(t, "alone") {
		f.of = civil.Span{First: day(t, "from"), Last: day(t, "to")}
	}
	if rapid.Bool().Draw(t, "has moved") {
		f.moved = &calendar.Moved{On: day(t, "moved on"), Was: civil.Span{First: day(t, "was from"), Last: day(t, "was to")}}
		if rapid.Bool().Draw(t, "had a best day") {
			f.moved.WasBest = civil.Some(day(t, "was best"))
		}
	}
	if rapid.Bool().Draw(t, "has hours") {
		f.hours = "540-690"
	}
	for _, name := range rapid.SliceOfDistinct(rapid.StringMatching(`[a-z0-9][a-z0-9-]{0,30}`), rapid.ID).Draw(t, "names") {
		value := rapid.OneOf(
			rapid.Map(rapid.Float64Range(0, 1), func(p float64) any { return calendar.Chance(p) }),
			rapid.Map(rapid.Float64Range(0, 1000), func(x float64) any { return calendar.Amount(x) }),
			rapid.Map(rapid.Bool(), func(b bool) any { return b }),
			rapid.Map(rapid.StringMatching(`[a-z0-9-]{1,20}(\+[a-z0-9-]{1,20})?`), func(s string) any { return s }),
			rapid.Map(rapid.IntRange(int(civil.MinDate), int(civil.MaxDate)), func(n int) any { return civil.Date(n) }),
		).Draw(t, name)
		f.essence = append(f.essence, fact{name, written(value)})
	}
	return f
}

func TestFactsAreReadBackEqual(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFacts(t)
		text := f.String()
		if escaped := ics.ToText(text); escaped != text {
			t.Errorf("found %q of %q, want nothing in it that a TEXT value escapes", escaped, text)
		}
		got, err := readFacts(text)
		if err != nil || !reflect.DeepEqual(*got, f) {
			t.Fatalf("found %+v, %v, want %+v\n%s", got, err, f, text)
		}
		for _, l := range []leeway{window, windowSoon, trip, tripSoon} {
			if !l.near(got, &f, span) {
				t.Errorf("%+v: found facts that are not near themselves: %s", l, text)
			}
			// Near is near both ways, among facts of one version.
			other := drawFacts(t)
			f.version, other.version = factsVersion, factsVersion
			if l.near(&f, &other, span) != l.near(&other, &f, span) {
				t.Errorf("%+v: found one near the other and not the other way about:\n%s\n%s", l, f.String(), other.String())
			}
		}
	})
}

func TestReadFactsRefuses(t *testing.T) {
	for _, text := range []string{
		"best=20270314", "0|best=20270314", "-1|state=open", "1|best=2027-03-14", "1|best=20270230", "1|chance=101%", "1|chance=86", "1|name=x",
		"1|said=1", "1|state=open||a=b|a=c", "1|state=open||A=b", "1|state=open||a=b c", "1|state=open||=b", "70000|state=open",
		"1|moved=20270314", "1|moved=20270314-20270301", "1|moved=20270314-20270301-2027030x", "1|moved=20270314-20270301-20270303-20270302-20270302",
	} {
		if f, err := readFacts(text); err == nil {
			t.Errorf("%s: found %+v, want an error", text, f)
		}
	}
}

func FuzzReadFacts(f *testing.F) {
	f.Add("1|best=20270314|state=open|chance=86%|basis=season|name=15|said=5b3f0c1e.88a0d2b7||advice=wait|rain=20270321")
	f.Add("2|from=20270314|to=20270320|new=1||")
	f.Fuzz(func(t *testing.T, text string) {
		facts, err := readFacts(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\r\n") {
				t.Errorf("found %q, want one line", err)
			}
			return
		}
		again, err := readFacts(facts.String())
		if err != nil || again.String() != facts.String() {
			t.Errorf("%q: found %q, %v, want %q", text, again.String(), err, facts.String())
		}
	})
}

// A feed of another version says nothing by what is not in it.
func TestFactsOfAnotherVersion(t *testing.T) {
	read := func(text string) *facts {
		f, err := readFacts(text)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	now := read("1|best=20270314|state=open|chance=86%|basis=season|name=15|said=00000001.00000002||advice=wait|rain=20270321")
	for text, want := range map[string]bool{
		"9|best=20270314":                 true,
		"9|best=20270315":                 true,  // within the leeway
		"9|best=20270316":                 false, // beyond it
		"9|chance=50%":                    false,
		"9|state=booked":                  false,
		"9|colour=green||moon=full":       true,
		"9|best=20270314||advice=tap-now": false,
		"1|best=20270314|state=open|chance=86%||rain=20270321":             false, // no advice
		"1|best=20270314|state=open|chance=86%||advice=wait":               false, // no rain date
		"1|best=20270314|state=open||advice=wait|rain=20270321":            false, // no chance
		"1|best=20270314|chance=86%||advice=wait|rain=20270321":            false, // no state
		"1|best=20270314|state=open|chance=80%||advice=wait|rain=20270320": true,
	} {
		if got := window.near(read(text), now, span); got != want {
			t.Errorf("%s: found near: %v, want %v", text, got, want)
		}
	}
}

func TestLeewayOfValues(t *testing.T) {
	for _, row := range []struct {
		a, b string
		l    leeway
		want bool
	}{
		{"flowers+leaves", "flowers+seed", trip, true}, // what else there is to see
		{"flowers+leaves", "flowers", trip, true},
		{"flowers+leaves", "leaves+flowers", trip, false},
		{"flowers+leaves", "flowers+seed", tripSoon, false},
		{"flowers+leaves", "flowers+seed", window, false},
		{"20270314", "20270315", window, true},
		{"20270314", "20270315", windowSoon, false},
		{"20270314", "20270315", trip, false}, // a rain date
		{"20270314", "", window, false},
		{"40%", "50%", trip, true}, {"40%", "51%", trip, false}, {"40%", "45%", tripSoon, true}, {"40%", "46%", tripSoon, false},
		{"29%", "", trip, true}, {"30%", "", trip, false}, {"24%", "", tripSoon, true}, {"25%", "", tripSoon, false},
		{"2.0", "2.5", trip, true}, {"2.0", "2.6", trip, false}, {"0.3", "0.8", window, true},
		{"1", "2", trip, false}, {"1", "1", trip, true}, // numbers of trips
		{"yes", "no", window, false}, {"yes", "", window, false},
	} {
		if got, back := row.l.nearValue(row.a, row.b), row.l.nearValue(row.b, row.a); got != row.want || back != row.want {
			t.Errorf("%+v: %q and %q: found %v and %v, want %v", row.l, row.a, row.b, got, back, row.want)
		}
	}
}

func TestFactsBefore(t *testing.T) {
	for name, row := range map[string]struct {
		event event
		want  string
	}{
		"a window": {event{summary: "Tap sugar maple (likely, 72 %)", description: "Best day: Friday 5 March 2027.\nHow sure, on that day: likely, 72 %, that it is so.\n\nWhy these days:\n- x."},
			"0|best=20270305|state=|chance=72%|basis=|name=15|said=00000000.00000000"},
		"a trip": {event{summary: "Field trip: flowers (almost sure, 100 %)", description: "Best day: Monday 3 May 2027.\nHours: 09:00 to 11:30.\nRain date: Tuesday 4 May 2027.\nSite: X."},
			"0|best=20270503|state=|chance=100%|basis=|name=19|said=00000000.00000000||rain=20270504"},
		"observed":     {event{summary: "Sap run (observed)", description: "Best day: Friday 5 March 2027."}, "0|best=20270305|state=|basis=|name=18|said=00000000.00000000"},
		"a list":       {event{summary: "x", description: "\nWhy:\n\nBest day: Friday 5 March 2027."}, "0|state=|basis=|name=1|said=00000000.00000000"},
		"nothing":      {event{}, "0|state=|basis=|name=0|said=00000000.00000000"},
		"no such date": {event{summary: "Ahorn (§) (x, 5 %)", description: "Best day: Friday 35 March 2027."}, "0|state=|chance=5%|basis=|name=9|said=00000000.00000000"},
	} {
		if got := factsBefore(&row.event).String(); got != row.want {
			t.Errorf("%s: found %s, want %s", name, got, row.want)
		}
	}
}

// How far a day of a window may be off, on both sides of the bound; all by our own choice. Days are days from today.
func TestLeewayOfDays(t *testing.T) {
	for _, row := range []struct {
		name   string
		day    civil.Date // that is published
		window int        // days of it
		part   int
		most   civil.Date // by which it may be later
		early  civil.Date // by which it may be earlier, of which the bound is that of the earlier day
	}{
		{"tomorrow", 1, 3, edgePart, 1, 1},
		{"within a week", 6, 3, edgePart, 1, 1},
		{"two weeks ahead", 14, 3, edgePart, 2, 1},
		{"two months ahead", 63, 3, edgePart, 9, 7},
		{"a long window, near", 2, 90, edgePart, 15, 15},
		{"a long window, a year ahead", 371, 90, edgePart, 53, 46},
		{"the best day of a week", 3, 7, bestPart, 1, 1},
		{"the best day of a month, near", 3, 30, bestPart, 6, 6},
		{"today", 0, 12, edgePart, 2, 7}, // that it was before today costs nobody a day
		{"a week ago", -7, 3, edgePart, 7, 7},
	} {
		for _, fresh := range []bool{false, true} {
			l := leewayOf(today, false, false, fresh)
			near := func(off civil.Date) bool {
				return l.nearDay(today+row.day, today+row.day+off, civil.Span{First: 0, Last: civil.Date(row.window - 1)}, row.part)
			}
			if !near(row.most) || !near(-row.early) || !near(0) {
				t.Errorf("%s: found %d days late or %d early to be too far off", row.name, row.most, row.early)
			}
			if late, early := near(row.most+1), near(-row.early-1); !fresh && (late || early) {
				t.Errorf("%s: found a day more to be near: %v late, %v early", row.name, late, early)
			}
			if twice := near(2 * row.most); fresh && row.most > 1 && row.day > 0 && (!twice || near(2*row.most+1)) {
				t.Errorf("%s: found it not to bear twice as much in a week: %v", row.name, twice)
			}
			if timed := leewayOf(today, true, false, fresh); timed.nearDay(today+row.day, today+row.day+1, span, row.part) {
				t.Errorf("%s: found an appointment to be off by a day", row.name)
			}
		}
	}
	// A window that was to begin and has begun, or the other way about: only what a day to come may bear.
	week := civil.Span{First: 0, Last: 6}
	if window.nearDay(today-1, today+1, week, edgePart) || window.nearDay(today+2, today-1, week, edgePart) || !window.nearDay(today, today+1, week, edgePart) {
		t.Error("found a window that has begun near one that has not")
	}
}

// A chance that was told within the week is news to nobody; after it, from more than a tenth on.
func TestLeewayOfChances(t *testing.T) {
	at := func(chance int) *facts { return &facts{version: factsVersion, state: "open", chance: chance} }
	fresh := leewayOf(today, false, false, true)
	for off, want := range map[int]bool{0: true, 10: true, 11: false, -10: true, -11: false} {
		if got := window.near(at(50), at(50+off), span); got != want {
			t.Errorf("%d: found near: %v, want %v", off, got, want)
		}
		if !fresh.near(at(50), at(50+off), span) {
			t.Errorf("%d: found it to be news within the week", off)
		}
	}
	if fresh.near(at(50), at(noChance), span) || fresh.near(at(noChance), at(50), span) {
		t.Error("found what has a chance near what has none")
	}
}
