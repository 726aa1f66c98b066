package strictyaml_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"treewhen/profiles/strictyaml"
)

// get reads the value of a document "x: TEXT" with a getter, and returns it as text, or the problem without its place.
func get[T any](t *testing.T, text string, read func(strictyaml.Value) (T, bool)) string {
	t.Helper()
	doc, err := parse("x: " + text + "\n")
	if err != nil {
		t.Fatal(err)
	}
	v, _ := doc.Map().Get("x")
	got, ok := read(v)
	if err := doc.Err(); (err == nil) != ok {
		t.Errorf("%s: ok is %v, and the problem is %v", text, ok, err)
	}
	if !ok {
		return strings.TrimPrefix(doc.Err().Error(), "f.yaml:1: x: ")
	}
	return fmt.Sprint(got)
}

func TestScalars(t *testing.T) {
	float := func(s string) string { return get(t, s, strictyaml.Value.Float) }
	integer := func(s string) string { return get(t, s, strictyaml.Value.Int) }
	text := func(s string) string { return get(t, s, strictyaml.Value.Text) }
	boolean := func(s string) string { return get(t, s, strictyaml.Value.Bool) }
	date := func(s string) string { return get(t, s, strictyaml.Value.Date) }
	monthDay := func(s string) string { return get(t, s, strictyaml.Value.MonthDay) }
	for _, tt := range []struct {
		read     func(string) string
		in, want string
	}{
		{float, "-3.5", "-3.5"},
		{float, "12", "12"},
		{float, ".5", "0.5"},
		{float, "1e3", "1000"},
		{float, "0.5", "0.5"},
		{float, "12,5", "found 12,5, want a number such as 12.5"},
		{float, ".nan", "found .nan, want a number such as 12.5"},
		{float, "-.inf", "found -.inf, want a number such as 12.5"},
		{float, "1e999", "found 1e999, want a number that is not as large"},
		{float, "010", "found 010, want a number without leading zeros"},
		{float, "0x1F", "found 0x1F, want a number such as 12.5"},
		{float, "1_000", "found 1_000, want a number such as 12.5"},
		{float, `"5"`, `found "5", want a number without quotes`},
		{float, "[5]", "found a list, want a number such as 12.5"},
		{float, "{a: 5}", "found keys and values, want a number such as 12.5"},
		{integer, "-7", "-7"},
		{integer, "0", "0"},
		{integer, "3.7", "found 3.7, want a whole number such as 12"},
		{integer, "3.0", "found 3.0, want a whole number such as 12"},
		{integer, "1e3", "found 1e3, want a whole number such as 12"},
		{integer, "010", "found 010, want a whole number without leading zeros"},
		{integer, "0o17", "found 0o17, want a whole number such as 12"},
		{integer, "99999999999", "found 99999999999, want a whole number that is not as large"},
		{text, "  red maple ", "red maple"},
		{text, "2027", "2027"},
		{text, "1990-2005", "1990-2005"},
		{text, "no", "no"},
		{text, "2027-03-09", "2027-03-09"},
		{text, `"a\tb"`, "a\tb"},
		{text, `"a\ab"`, "found character U+0007 in \"a\\ab\", want text that can be printed"},
		{text, `" "`, "found blank text, want text, or the key left out"},
		{text, "[a]", "found a list, want text"},
		{boolean, "true", "true"},
		{boolean, "false", "false"},
		{boolean, "yes", `found "yes", want true or false`},
		{boolean, `"true"`, `found "true", want true or false`},
		{date, "2027-03-09", "2027-03-09"},
		{date, "2027-02-29", `found "2027-02-29", which is no day of the calendar`},
		{date, "9.3.2027", `found "9.3.2027", want a date such as 2027-03-09`},
		{monthDay, "03-15", "03-15"},
		{monthDay, "02-29", `found "02-29", want a month and a day such as 03-20`},
	} {
		if got := tt.read(tt.in); got != tt.want {
			t.Errorf("%s: got %q, want %q", tt.in, got, tt.want)
		}
	}
}

func TestQuantities(t *testing.T) {
	type reading struct{ Low, High float64 }
	single := func(d strictyaml.Dimension) func(string) string {
		return func(s string) string {
			return get(t, s, func(v strictyaml.Value) (string, bool) {
				f, ok := v.Quantity(d)
				return fmt.Sprintf("%.4f", f), ok
			})
		}
	}
	run := func(d strictyaml.Dimension) func(string) string {
		return func(s string) string {
			return get(t, s, func(v strictyaml.Value) (reading, bool) {
				low, high, ok := v.QuantityRange(d)
				return reading{low, high}, ok
			})
		}
	}
	figures := func(s string) string {
		return get(t, s, func(v strictyaml.Value) (reading, bool) {
			low, high, ok := v.FloatRange()
			return reading{low, high}, ok
		})
	}
	length, temperature := single(strictyaml.Length), single(strictyaml.Temperature)
	for _, tt := range []struct {
		read     func(string) string
		in, want string
	}{
		{length, "350 m", "350.0000"},
		{length, "1150 ft", "350.5200"}, // 1150 x 0.3048 m, the international foot of 1959
		{length, "350m", "350.0000"},
		{length, `"350 m"`, "350.0000"},
		{length, "350", "found 350, want a number with its unit such as 350 m or 1150 ft"},
		{length, "350 yd", `found "350 yd", want a number with its unit such as 350 m or 1150 ft`},
		{length, "high m", `found "high m", want a number with its unit such as 350 m or 1150 ft`},
		{length, "1 to 2 m", `found "1 to 2 m", want a number with its unit such as 350 m or 1150 ft`},
		{temperature, "32 F", "0.0000"},
		{temperature, "-40 F", "-40.0000"}, // where the scales meet
		{temperature, "-1.1 C", "-1.1000"},
		{temperature, "4 c", `found "4 c", want a number with its unit such as 4 C or 40 F`},
		{single(strictyaml.Days), "8 weeks", "56.0000"},
		{run(strictyaml.Days), "40 to 90 days", "{40 90}"},
		{run(strictyaml.Temperature), "-3 to -1 C", "{-3 -1}"},
		{run(strictyaml.Temperature), "3 C", "{3 3}"},
		{run(strictyaml.Temperature), "5 to 1 C", `found "5 to 1 C", want the lower figure first`},
		{run(strictyaml.Years), "3 to 07 years", `found "3 to 07 years", want a number without leading zeros`},
		{figures, "3 to 7", "{3 7}"},
		{figures, "15540", "{15540 15540}"},
		{figures, "3 - 7", `found "3 - 7", want a number or a run of numbers such as 3 or 3 to 7`},
		{figures, "3 to 7 kg", `found "3 to 7 kg", want a number or a run of numbers such as 3 or 3 to 7`},
	} {
		if got := tt.read(tt.in); got != tt.want {
			t.Errorf("%s: got %s, want %s", tt.in, got, tt.want)
		}
	}
}

func TestAllProblemsAtOnceByLine(t *testing.T) {
	doc, err := parse(`title: Three places
latitude: 95
sites:
  - id: a
    taps: 3.5
  - name: b
storage: recalcitrent
seasn: 2027
odd: 1
`)
	if err != nil {
		t.Fatal(err)
	}
	m := doc.Map()
	m.Required("title", "feed")
	m.Text("title")
	m.FloatIn("latitude", -90, 90)
	sites, _ := m.Maps("sites")
	for _, s := range sites {
		s.Required("id")
		s.Text("name")
		s.IntIn("taps", 0, 9000)
		s.Done()
	}
	strictyaml.GetOneOf(m, "storage", "orthodox", "recalcitrant")
	m.IntIn("season", 1, 9999)
	m.Done()
	doc.Report("sites[2].name", "found %q, want another", "b")
	const want = `f.yaml:1: found no key "feed", want it
f.yaml:2: latitude: found 95, want a number from -90 to 90
f.yaml:5: sites[1].taps: found 3.5, want a whole number such as 12
f.yaml:6: sites[2]: found no key "id", want it
f.yaml:6: sites[2].name: found "b", want another
f.yaml:7: storage: found "recalcitrent", want one of orthodox, recalcitrant; did you mean "recalcitrant"?
f.yaml:8: found unknown key "seasn"; did you mean "season"?
f.yaml:9: found unknown key "odd", want one of title, feed, latitude, sites, storage, season`
	if got := doc.Err().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestAbsentDiffersFromZero(t *testing.T) {
	doc, err := parse("zero: 0\nempty: []\n")
	if err != nil {
		t.Fatal(err)
	}
	m := doc.Map()
	if v, ok := m.Float("zero"); v != 0 || !ok {
		t.Errorf("zero: %v, %v", v, ok)
	}
	if _, ok := m.Float("absent"); ok {
		t.Error("an absent key has a value")
	}
	if list, ok := m.Texts("empty"); len(list) != 0 || !ok {
		t.Errorf("an empty list: %v, %v", list, ok)
	}
	if _, ok := m.Texts("absent"); ok {
		t.Error("an absent key has a list")
	}
	m.Done()
	if err := doc.Err(); err != nil {
		t.Error(err)
	}
}

func TestKeysAreInTheOrderOfTheFile(t *testing.T) {
	doc, err := parse("b: 1\na: 2\nc: 3\n")
	if err != nil {
		t.Fatal(err)
	}
	m := doc.Map()
	if got := m.Keys(); !slices.Equal(got, []string{"b", "a", "c"}) {
		t.Error(got)
	}
	for range m.All() { // and now all of them have been asked for
	}
	m.Done()
	if err := doc.Err(); err != nil {
		t.Error(err)
	}
}
