package weather

import (
	"flag"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/phenology/civil"
)

// kinds lists the kinds of findings, without those that are told of every record of their sort.
func kinds(findings []Finding) string {
	var words []string
	for _, f := range findings {
		words = append(words, string(f.Kind))
	}
	return strings.Join(words, " ")
}

func TestCheckFindsWhatWasBroken(t *testing.T) {
	day := func(s Series, d string) *Day { return &s.Days[date(d)-s.First] }
	for _, c := range []struct {
		name    string
		damage  func(s *Series)
		want    string // kinds
		text    string // part of the first finding's text
		suggest string
	}{
		{"nothing", func(*Series) {}, "", "", ""},
		{"a minimum above its maximum", func(s *Series) {
			d := day(*s, "1994-07-10")
			d.Min, d.Max = d.Max, d.Min
		}, "reversed", "1 day with the minimum above the maximum", ""},
		{"a lost minus sign", func(s *Series) {
			day(*s, "1995-01-20").Min, day(*s, "1995-01-21").Min, day(*s, "1995-01-22").Min = -21, 21.5, -20
			day(*s, "1995-01-21").Max = 22
		}, "spike", "1995-01-21", "leave_out: {tmin: [1995-01-21]}"},
		{"a digit too many", func(s *Series) {
			day(*s, "1996-07-03").Max = day(*s, "1996-07-02").Max + 20
		}, "spike", "1 value of tmax far off", "leave_out: {tmax: [1996-07-03]}"},
		{"a thermometer that froze", func(s *Series) {
			for d := date("1997-03-01"); d <= date("1997-03-15"); d++ {
				s.Days[d-s.First].Min = -4.4
			}
			for d := date("1997-03-01"); d <= date("1997-03-15"); d++ {
				s.Days[d-s.First].Max = max(s.Days[d-s.First].Max, -4.4)
			}
		}, "stuck", "1 run of the same tmin day after day, the longest from 1997-03-01 to 1997-03-15, 15 days", ""},
		{"days copied", func(s *Series) {
			for d := date("1997-06-02"); d <= date("1997-06-07"); d++ {
				s.Days[d-s.First] = s.Days[date("1997-06-01")-s.First]
			}
		}, "stuck", "1 run of the same tmin and tmax day after day, the longest from 1997-06-01 to 1997-06-07, 7 days", ""},
		{"a year in Fahrenheit", func(s *Series) {
			for d := date("1998-01-01"); d <= date("1998-12-31"); d++ {
				day := &s.Days[d-s.First]
				day.Min, day.Max = day.Min*1.8+32, day.Max*1.8+32
			}
		}, "unit", "12 months look like degrees Fahrenheit read as Celsius, from 1998-01-01 to 1998-12-31", ""},
		{"a summer in tenths of tenths", func(s *Series) {
			for d := date("1998-06-01"); d <= date("1998-08-31"); d++ {
				day := &s.Days[d-s.First]
				day.Min, day.Max = day.Min/10, day.Max/10
			}
		}, "unit", "3 months look like degrees taken for tenths", ""},
		{"all of it in Fahrenheit", func(s *Series) {
			for i := range s.Days {
				day := &s.Days[i]
				day.Min, day.Max = day.Min*1.8+32, day.Max*1.8+32
			}
		}, "unit", "hotter than any month measured on earth", "unit: F"},
		{"whole degrees", func(s *Series) {
			for i := range s.Days {
				day := &s.Days[i]
				day.Min, day.Max = math.Round(day.Min), math.Round(day.Max)
			}
		}, "rounded", "whole degrees", ""},
		{"weeks without rows", func(s *Series) {
			for d := date("1996-02-01"); d <= date("1996-02-20"); d++ {
				s.Days[d-s.First] = Missing
			}
		}, "gap", "1 gap of more than 3 days, 20 days together, the longest from 1996-02-01 to 1996-02-20", ""},
		{"maxima a day late", func(s *Series) {
			*s, _ = Correction{ShiftMax: 1}.Apply(*s)
			for i := range s.Days { // a breakfast reading never shows it
				d := &s.Days[i]
				d.Min = min(d.Min, d.Max)
				d.Flags = 0
			}
		}, "shift", "its maxima look dated one day late, or its minima one day early", "shift: {tmax: -1 day}"},
		{"maxima a day early", func(s *Series) {
			*s, _ = Correction{ShiftMax: -1}.Apply(*s)
			for i := range s.Days {
				d := &s.Days[i]
				d.Min = min(d.Min, d.Max)
				d.Flags = 0
			}
		}, "shift", "its maxima look dated one day early, or its minima one day late", "shift: {tmax: +1 day}"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := inventedWeather(4, firstOf1990, 20)
			c.damage(&s)
			found := Check([]Source{{Name: "a.csv", Series: s}})
			if got := kinds(found); got != c.want {
				t.Fatalf("found %q, want %q: %v", got, c.want, found)
			}
			if len(found) == 0 {
				return
			}
			f := found[0]
			if !strings.Contains(f.Text, c.text) || f.Suggest != c.suggest && c.suggest != "" {
				t.Errorf("got %q, suggesting %q; want %q and %q", f.Text, f.Suggest, c.text, c.suggest)
			}
			if f.File != "a.csv" || f.Days == 0 || f.Span.Empty() {
				t.Errorf("a finding without its file or days: %+v", f)
			}
		})
	}
}

// A clean record has no findings: of 40 seeds and 20 years each, in tenths and in whole degrees, none.
func TestCheckRaisesNoFalseAlarm(t *testing.T) {
	for seed := range uint64(40) {
		s := inventedWeather(seed, firstOf1990, 20)
		other := neighbour(seed, s, 0.2, -0.1)
		if found := Check([]Source{{Name: "a", Series: s}, {Name: "b", Series: other}}); len(found) > 0 {
			t.Errorf("seed %d: %v", seed, found)
		}
		for i := range s.Days {
			s.Days[i].Min, s.Days[i].Max = math.Round(s.Days[i].Min), math.Round(s.Days[i].Max)
		}
		if got := kinds(Check([]Source{{Name: "a", Series: s}})); got != "rounded" {
			t.Errorf("seed %d in whole degrees: %s", seed, got)
		}
		short := cut(s, "1993-02-01", "1993-04-30")
		if got := kinds(Check([]Source{{Name: "a", Series: short}})); got != "rounded" {
			t.Errorf("seed %d, three months: %s", seed, got)
		}
	}
}

// A steady climate near the sea and the equator has its own runs and ranges.
func TestCheckRaisesNoFalseAlarmInASteadyClimate(t *testing.T) {
	for seed := range uint64(20) {
		s := inventedWeather(seed, firstOf1990, 20)
		for i := range s.Days {
			d := &s.Days[i]
			d.Min, d.Max = math.Round(24+d.Min/14), math.Round(30+d.Max/14)
		}
		if got := kinds(Check([]Source{{Name: "a", Series: s}})); got != "rounded" {
			t.Errorf("seed %d: %s", seed, got)
		}
	}
}

func TestCheckOfTwoRecords(t *testing.T) {
	base := inventedWeather(8, firstOf1990, 12)
	overlap := func(s Series) Series { return cut(s, "1998-06-01", "2001-12-31") }
	late := func(s Series) Series {
		s, _ = Correction{ShiftMax: 1}.Apply(s)
		for i := range s.Days {
			s.Days[i].Min, s.Days[i].Flags = min(s.Days[i].Min, s.Days[i].Max), 0
		}
		return s
	}
	early := func(s Series) Series {
		s, _ = Correction{ShiftMin: -1}.Apply(s)
		for i := range s.Days {
			s.Days[i].Min, s.Days[i].Flags = min(s.Days[i].Min, s.Days[i].Max), 0
		}
		return s
	}
	for _, c := range []struct {
		name          string
		first, second Series
		want          string
		source        int
		suggest       string
	}{
		{"alike", overlap(base), neighbour(1, base, 0.1, 0.1), "", 0, ""},
		{"the second colder at night", overlap(base), neighbour(2, base, -1.2, 0), "offset", 1, "offset: {tmin: 1.2 C}"},
		{"the second's maxima late", overlap(base), late(neighbour(3, base, 0, 0)), "shift", 1, "shift: {tmax: -1 day}"},
		{"the first's maxima late", late(neighbour(3, base, 0, 0)), overlap(base), "shift", 0, "shift: {tmax: -1 day}"},
		{"the first's minima early", early(neighbour(6, base, 0, 0)), overlap(base), "shift", 0, "shift: {tmin: +1 day}"},
		{"the second a day late", overlap(base), Series{First: base.First + 1, Days: neighbour(4, base, 0, 0).Days}, "shift shift", 1, "shift: {tmin: -1 day}"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := Check([]Source{{Name: "one.csv", Series: c.first}, {Name: "two.csv", Series: c.second}})
			if got := kinds(found); got != c.want {
				t.Fatalf("found %q, want %q: %v", got, c.want, found)
			}
			for _, f := range found {
				if f.Source != c.source || f.File != []string{"one.csv", "two.csv"}[c.source] {
					t.Errorf("%v: blamed source %d, want %d", f, f.Source, c.source)
				}
			}
			if len(found) > 0 && found[0].Suggest != c.suggest {
				t.Errorf("suggests %q, want %q", found[0].Suggest, c.suggest)
			}
		})
	}
	t.Run("the second in Fahrenheit", func(t *testing.T) {
		winter := cut(base, "1998-11-01", "1999-02-28") // as Celsius it looks like a summer
		second := neighbour(5, winter, 0, 0)
		for i := range second.Days {
			d := &second.Days[i]
			d.Min, d.Max = math.Round(d.Min*1.8+32), math.Round(d.Max*1.8+32)
		}
		found := Check([]Source{{Name: "one", Series: overlap(base)}, {Name: "two", Series: second}})
		found = slices.DeleteFunc(found, func(f Finding) bool { return f.Kind == FindingRounded })
		if kinds(found) != "unit" || found[0].Suggest != "unit: F" {
			t.Errorf("found %v", found)
		}
	})
}

// Harvard Forest's manual station dates its maxima one day late and its minima right, and is colder at night than the
// automatic one by about 1.2 C: found by comparing, without being told. Source: Harvard Forest Data Archive, HF000 and
// HF001; the facts are of a comparison made apart from this code.
func TestCheckHarvardForest(t *testing.T) {
	fisher, shaler := harvard(t)
	for _, order := range [][]Source{{fisher, shaler}, {shaler, fisher}} {
		found := Check(order)
		var shifts, offsets int
		for _, f := range found {
			t.Logf("%s: %v => %s", f.Kind, f, f.Suggest)
			switch f.Kind {
			case FindingShift:
				shifts++
				if f.File != "shaler.csv" || f.Suggest != "shift: {tmax: -1 day}" {
					t.Errorf("blamed %s: %s", f.File, f.Suggest)
				}
			case FindingOffset:
				offsets++
				if f.File != order[1].Name || math.Abs(math.Abs(f.Correction.OffsetMin)-1.2) > 0.2 || f.Correction.OffsetMax != 0 {
					t.Errorf("offset of %s: %s", f.File, f.Suggest)
				}
			default:
				if f.File != "shaler.csv" {
					t.Errorf("%v, in a clean record", f)
				}
			}
		}
		if shifts != 1 || offsets != 1 {
			t.Errorf("%d shifts and %d offsets, want one of each", shifts, offsets)
		}
	}
	t.Run("the manual station by itself", func(t *testing.T) {
		for _, part := range []Series{shaler.Series, cut(shaler.Series, "1990-01-01", "2002-06-30")} {
			found := Check([]Source{{Name: "shaler.csv", Series: part}})
			if c := suggestedShift(found); c.ShiftMax != -1 || c.ShiftMin != 0 {
				t.Errorf("found %v", found)
			}
		}
	})
	t.Run("mended, it is no longer found", func(t *testing.T) {
		mended, _ := suggestedShift(Check([]Source{fisher, shaler})).Apply(shaler.Series)
		for _, f := range Check([]Source{fisher, {Name: "mended", Series: mended}}) {
			if f.Kind == FindingShift {
				t.Errorf("found %v", f)
			}
		}
	})
}

// suggestedShift is the correction of the first finding that values are dated a day off; none if there is none.
func suggestedShift(findings []Finding) Correction {
	for _, f := range findings {
		if f.Kind == FindingShift {
			return f.Correction
		}
	}
	return Correction{}
}

// Montreal's published files hold two gaps and nothing else that should be found.
func TestCheckMontreal(t *testing.T) {
	sources := montreal(t)
	for _, f := range Check([]Source{{Name: "montreal", Series: mergeAll(sources)}}) {
		if f.Kind != FindingGap {
			t.Errorf("joined: %v", f)
		}
	}
	for _, f := range Check(sources) {
		if f.Kind != FindingGap {
			t.Errorf("file by file: %v", f)
		}
	}
}

// A clean record whose maxima are moved on purpose is found out, by itself, from a few years on. Sources: as in
// TestCheckMontreal, and Harvard Forest Data Archive, HF001.
func TestCheckFindsRealDaysMoved(t *testing.T) {
	fisher, _ := harvard(t)
	for _, c := range []struct {
		name  string
		clean Series
	}{{"Montreal", mergeAll(montreal(t))}, {"Harvard Forest", fisher.Series}} {
		for _, shift := range []int{1, -1} {
			for _, years := range []int{2, 4, 8} {
				found, tried := 0, 0
				for from := c.clean.First; from.AddYears(years) <= c.clean.Last(); from = from.AddYears(years) {
					part := clip(c.clean, civil.Span{First: from, Last: from.AddYears(years) - 1})
					moved, _ := Correction{ShiftMax: shift}.Apply(part)
					tried++
					switch late, ok := dateAlone(moved).says(); {
					case ok && late == shift:
						found++
					case ok && late != 0:
						t.Errorf("%s from %v, maxima moved by %+d: found %+d", c.name, from, shift, late)
					}
				}
				t.Logf("%s, maxima moved by %+d: found in %d of %d stretches of %d years", c.name, shift, found, tried, years)
				if years == 8 && found < tried {
					t.Errorf("%s, maxima moved by %+d: found in %d of %d stretches of eight years", c.name, shift, found, tried)
				}
			}
		}
	}
}

func FuzzCheck(f *testing.F) {
	flag.Set("test.fuzzminimizetime", "10x") // by default, a minute goes into each find and stops all else
	f.Add([]byte{1, 2, 3, 200, 100, 100, 100, 100, 100, 100, 100, 100, 100, 0, 9, 9, 9}, uint8(3))
	f.Fuzz(func(t *testing.T, b []byte, at uint8) {
		// Any days at all, also all missing or all alike: no panic, and every finding is whole.
		s := Series{First: civil.Of(1999, time.February, 20)}
		for i := 0; i+1 < len(b); i += 2 {
			d := Day{Min: float64(int8(b[i])), Max: float64(int8(b[i+1]))}
			if b[i] == 128 {
				d.Min = math.NaN()
			}
			if b[i+1] == 128 {
				d.Max = math.NaN()
			}
			s.Days = append(s.Days, d)
		}
		k := min(int(at), len(s.Days))
		sources := []Source{{Name: "a", Series: s}, {Name: "b", Series: Series{First: s.First - 3, Days: s.Days[k:]}}, {Name: "c"}}
		for _, f := range Check(sources) {
			if f.Text == "" || f.File == "" || strings.Contains(f.Text, "NaN") {
				t.Errorf("%+v", f)
			}
			mended, _ := f.Correction.Apply(sources[f.Source].Series)
			for _, d := range mended.Days {
				if d.Min > d.Max && !f.Correction.IsZero() {
					t.Errorf("%v left %+v", f.Correction, d)
				}
			}
		}
		joined, reports := Join(sources)
		for _, r := range reports {
			if r.String() == "" || strings.Contains(r.String(), "NaN") {
				t.Errorf("%v", r)
			}
		}
		Fill(joined)
	})
}
