package civil

import (
	"encoding/json"
	"flag"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for _, tt := range []struct {
		text string
		want string // "" if it must be refused
	}{
		{"2027-03-09", "2027-03-09"},
		{"2028-02-29", "2028-02-29"},
		{"0001-01-01", "0001-01-01"},
		{"9999-12-31", "9999-12-31"},
		{"2027-02-29", ""},
		{"2027-13-01", ""},
		{"2027-00-10", ""},
		{"2027-04-31", ""},
		{"0000-01-01", ""},
		{"2027-3-9", ""},
		{"20270309", ""},
		{"2027-03-09T00:00", ""},
		{" 2027-03-09", ""},
		{"٢٠٢٧-03-09", ""},
		{"", ""},
	} {
		d, err := Parse(tt.text)
		if (err == nil) != (tt.want != "") || err == nil && d.String() != tt.want {
			t.Errorf("Parse(%q) = %v, %v; want %q", tt.text, d, err, tt.want)
		}
	}
}

// Package time is the oracle: it keeps the same calendar by other means.
func TestDatesAgreeWithPackageTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Date(rapid.IntRange(int(MinDate), int(MaxDate)).Draw(t, "days"))
		want := time.Date(1970, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(d))
		if d.Time() != want || d.YearDay() != want.YearDay() || d.Weekday() != want.Weekday() {
			t.Fatalf("%v is not %v", d, want)
		}
		back, err := Parse(d.String())
		if err != nil || back != d {
			t.Fatalf("Parse(%q) = %v, %v", d, back, err)
		}
		over := rapid.IntRange(-400, 400).Draw(t, "days over")
		y, m, day := d.Date()
		if got := Of(y, m, day+over); got != d+Date(over) {
			t.Fatalf("Of(%d, %v, %d) = %v, want %v", y, m, day+over, got, d+Date(over))
		}
		if Of(y, m, day) != d {
			t.Fatalf("Of(%d, %v, %d) = %v, want %v", y, m, day, Of(y, m, day), d)
		}
	})
}

func TestFromTimeReadsTheClockOfTheZone(t *testing.T) {
	for _, hours := range []int{-11, 0, 14} {
		zone := time.FixedZone("", hours*3600)
		if got := FromTime(time.Date(2027, 3, 9, 0, 30, 0, 0, zone)); got.String() != "2027-03-09" {
			t.Errorf("half past midnight at %+d is on %v", hours, got)
		}
	}
}

func TestAddYears(t *testing.T) {
	for _, tt := range []struct {
		from string
		n    int
		want string
	}{{"2028-02-29", 1, "2029-02-28"}, {"2028-02-29", 4, "2032-02-29"}, {"2027-12-31", -27, "2000-12-31"},
		{"2096-02-29", 4, "2100-02-28"}} {
		d, _ := Parse(tt.from)
		if got := d.AddYears(tt.n).String(); got != tt.want {
			t.Errorf("%s and %d years: %s, want %s", tt.from, tt.n, got, tt.want)
		}
	}
}

func TestSpan(t *testing.T) {
	a, b := Of(2027, 3, 1), Of(2027, 3, 10)
	s := Span{a, b}
	if s.Days() != 10 || s.Empty() || !s.Contains(a) || !s.Contains(b) || s.Contains(b+1) {
		t.Error("a span has both its ends in it")
	}
	if (Span{b, a}).Days() != 0 || !(Span{b, a}).Empty() {
		t.Error("a span that ends before it begins is empty")
	}
	if got := s.Intersect(Span{b, b + 5}); got != (Span{b, b}) || !s.Overlaps(Span{b, b + 5}) ||
		s.Overlaps(Span{b + 1, b + 5}) {
		t.Errorf("spans that share a day overlap in it: %v", got)
	}
	if s.Clamp(a-5) != a || s.Clamp(b+5) != b || s.Clamp(a+2) != a+2 {
		t.Error("Clamp gives the nearest day")
	}
}

func TestMonthDay(t *testing.T) {
	for _, text := range []string{"02-29", "13-01", "3-20", "", "03-32"} {
		if m, err := ParseMonthDay(text); err == nil {
			t.Errorf("ParseMonthDay(%q) = %v, want an error", text, m)
		}
	}
	for n := 1; n <= 365; n++ {
		m := MonthDayOf(n)
		back, err := ParseMonthDay(m.String())
		if err != nil || back != m || m.YearDay() != n {
			t.Fatalf("day %d is %v, which reads back as %v, %v, day %d", n, m, back, err, m.YearDay())
		}
	}
	if MonthDayOf(366) != MonthDayOf(1) || MonthDayOf(0) != MonthDayOf(365) || MonthDayOf(-364) != MonthDayOf(1) {
		t.Error("days outside the year wrap round")
	}
}

func TestDatesInJSON(t *testing.T) {
	data, err := json.Marshal(map[Date]Date{Of(2027, 3, 9): Of(2027, 3, 10)})
	if err != nil || string(data) != `{"2027-03-09":"2027-03-10"}` {
		t.Errorf("got %s, %v", data, err)
	}
	var d Date
	if err := json.Unmarshal([]byte(`"2027-02-30"`), &d); err == nil {
		t.Error("a day that is none was read")
	}
}

func FuzzParse(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	for _, s := range []string{"2027-03-09", "2028-02-29", "", "0000-00-00", "9999-12-31"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := Parse(s); err == nil && d.String() != s {
			t.Errorf("Parse(%q) is %s", s, d)
		}
	})
}

// The first day that computers know is a day like any other, and not the lack of one.
func TestMaybe(t *testing.T) {
	var none Maybe
	if d, ok := none.Get(); ok || none.Known() || d != 0 || none.Or(7) != 7 {
		t.Errorf("the zero Maybe is %v", none)
	}
	epoch := Some(Of(1970, time.January, 1))
	if d, ok := epoch.Get(); !ok || !epoch.Known() || d != 0 || epoch.Or(7) != 0 {
		t.Errorf("1970-01-01 is %v", epoch)
	}
}
