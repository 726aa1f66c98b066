package weather

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"treewhen/phenology/civil"
)

func TestJoinTakesTheMostTrusted(t *testing.T) {
	first := Series{First: date("2027-03-02"), Days: []Day{{Min: 1, Max: 11}, Missing, {Min: 2, Max: nan}, {Min: nan, Max: 13}, {Min: nan, Max: 14}}}
	second := Series{First: date("2027-03-01"), Days: []Day{{Min: 5, Max: 6, Flags: Suspect}, {Min: 5, Max: 6}, {Min: 5, Max: 7}, {Min: -5, Max: 1}, {Min: 5, Max: 9}, {Min: 15, Max: 16}}}
	got, reports := Join([]Source{{Name: "empty"}, {Name: "first", Series: first}, {Name: "second", Series: second}})
	want := Series{date("2027-03-01"), []Day{
		{5, 6, Suspect}, // only the second has it
		{1, 11, 0},      // the first's
		{5, 7, 0},       // the first has a row without values
		{2, nan, 0},     // the second's maximum of 1 would be below the first's minimum
		{5, 13, 0},      // one of each
		{nan, 14, 0},    // the second's minimum of 15 would be above the first's maximum
	}}
	if diff := cmp.Diff(want, got, sameDays); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if len(reports) != 3 || reports[0].Used != 0 || reports[1].Used != 4 || reports[2].Used != 3 || reports[2].Dropped != 2 {
		t.Errorf("got %+v", reports)
	}
	for i, want := range []string{"has no temperatures", "4 days from 2027-03-02 to 2027-03-06, as measured",
		"joined without an offset: it shares 3 days with those, and an offset needs 20"} {
		if got := reports[i].String(); !strings.Contains(got, want) {
			t.Errorf("report %d: %q, want %q in it", i, got, want)
		}
	}
	if first.Days[0].Min != 1 || !math.IsNaN(first.Days[1].Min) {
		t.Error("Join changed its argument")
	}
}

// seasonal moves s by an offset that is largest in January for minima and the same all year for maxima.
func seasonal(s Series, mean, wave, high float64) Series {
	out := Series{First: s.First, Days: slices.Clone(s.Days)}
	for i := range out.Days {
		d := &out.Days[i]
		d.Min += mean + wave*math.Cos(2*math.Pi*float64(yearDay(s.First+civil.Date(i)))/365)
		d.Max += high
	}
	return out
}

func TestJoinMovesTheLesserToTheTrusted(t *testing.T) {
	truth := inventedWeather(21, firstOf1990, 14)
	for _, c := range []struct {
		name        string
		from, to    string  // shared days: the trusted begins, the lesser ends
		mean        float64 // tolerances, from the noise of 1.2 C and the days
		wave        float64
		wantOffset  bool
		wantMonthly bool
	}{
		{"three years", "1999-01-01", "2001-12-31", 0.15, 0.25, true, true},
		{"sixteen months", "2000-03-01", "2001-06-30", 0.2, 0.35, true, true},
		{"six weeks in summer", "2000-06-01", "2000-07-12", 1.5, 2, true, false},
		{"two weeks", "2000-06-01", "2000-06-14", 0, 0, false, false},
		{"none", "2000-06-01", "2000-05-31", 0, 0, false, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			trusted := cut(truth, c.from, "2003-12-31")
			lesser := seasonal(cut(neighbour(5, truth, 0, 0), "1990-01-01", c.to), -2, 1, 0.7)
			joined, reports := Join([]Source{{Name: "trusted", Series: trusted}, {Name: "lesser", Series: lesser}})
			r := reports[1]
			if joined.First != truth.First || joined.Last() != truth.Last() {
				t.Fatalf("joined %v, want %v", joined.Span(), truth.Span())
			}
			if !c.wantOffset {
				if r.Min.Known() || r.Max.Known() || joined.Days[100] != lesser.Days[100] {
					t.Errorf("moved without knowing by how much: %+v", r)
				}
				if !strings.Contains(r.String(), "joined without an offset: it shares") {
					t.Errorf("not told: %s", r)
				}
				return
			}
			for m, v := range r.Min.Added.Months() {
				want := 2 - math.Cos(2*math.Pi*(float64(m)+0.5)/12)
				if off := math.Abs(v - want); off > c.mean+c.wave/2 {
					t.Errorf("month %d: minima moved by %.2f, want %.2f", m+1, v, want)
				}
			}
			if low, high := r.Min.Added.Range(); c.wantMonthly != (high-low > 1.2) {
				t.Errorf("minima moved by %.2f to %.2f by month", low, high)
			}
			if math.Abs(r.Max.Added.Mean+0.7) > 0.3 {
				t.Errorf("maxima moved by %.2f, want -0.7", r.Max.Added.Mean)
			}
			if r.Min.Lag != 0 || r.Max.Lag != 0 {
				t.Errorf("lags %d and %d", r.Min.Lag, r.Max.Lag)
			}
			var off []float64
			for i, d := range joined.Days[:3000] {
				if d.Flags != Adjusted {
					t.Fatalf("day %d is %v", i, d.Flags)
				}
				off = append(off, d.Min-truth.Days[i].Min)
			}
			if m := mean(off); math.Abs(m) > c.mean {
				t.Errorf("joined minima are off by %.2f on the mean", m)
			}
			for d := trusted.First; d <= trusted.Last(); d++ {
				if joined.At(d) != trusted.At(d) {
					t.Fatalf("%v: the trusted source's day was changed", d)
				}
			}
		})
	}
}

func TestJoinReportTellsOfHeight(t *testing.T) {
	low, high := 120.0, 410.0
	s := inventedWeather(1, firstOf1990, 4)
	a, b := cut(s, "1992-01-01", "1993-12-31"), cut(s, "1990-01-01", "1991-12-31")
	for _, c := range []struct {
		first, second *float64
		told          bool
	}{{&low, &high, true}, {&low, nil, false}, {nil, &high, false}, {&low, &low, false}} {
		_, reports := Join([]Source{{Name: "a", Series: a, Elevation: c.first}, {Name: "b", Series: b, Elevation: c.second}})
		if got := strings.Contains(reports[1].String(), "its thermometer stands 290 m above the first one, which nothing makes up for"); got != c.told {
			t.Errorf("%v: told %v", reports[1], got)
		}
	}
}

func TestMerge(t *testing.T) {
	a := Series{First: 10, Days: []Day{{Min: 1, Max: 2}, {Min: 1, Max: nan}}}
	b := Series{First: 9, Days: []Day{{Min: 5, Max: 6}, {Min: 5, Max: 6}, {Min: 5, Max: 7, Flags: Estimated}}}
	want := Series{First: 9, Days: []Day{{Min: 5, Max: 6}, {Min: 1, Max: 2}, {Min: 1, Max: 7, Flags: Estimated}}}
	if diff := cmp.Diff(want, Merge(Series{}, a, b), sameDays); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	if !math.IsNaN(a.Days[1].Max) {
		t.Error("Merge changed its argument")
	}
	if got := Merge(); len(got.Days) != 0 {
		t.Errorf("got %v of nothing", got)
	}
}

func TestYearDaysAgreeWithTheCalendar(t *testing.T) {
	for _, first := range []string{"1899-12-31", "1900-02-28", "2000-02-29", "2027-07-15"} {
		days := newYearDays(date(first))
		for i := range civil.Date(1600) {
			if got, want := days.next(), yearDay(date(first)+i); got != want {
				t.Fatalf("%v: got %d, want %d", date(first)+i, got, want)
			}
		}
	}
}

// Three stations in a row, of which the first and the last share no day: the middle one carries the level over.
func TestJoinCarriesTheLevelOverAChain(t *testing.T) {
	truth := inventedWeather(22, firstOf1990, 15)
	a := cut(truth, "2001-01-01", "2004-12-31")
	b := cut(neighbour(1, truth, 1.5, -1), "1996-01-01", "2002-12-31")
	c := cut(neighbour(2, truth, -2, 2), "1990-01-01", "1997-12-31")
	joined, reports := Join([]Source{{Name: "a", Series: a}, {Name: "b", Series: b}, {Name: "c", Series: c}})
	if r := reports[2]; math.Abs(r.Min.Added.Mean-2) > 0.3 || math.Abs(r.Max.Added.Mean+2) > 0.3 {
		t.Errorf("the third moved by %.2f and %.2f, want 2 and -2", r.Min.Added.Mean, r.Max.Added.Mean)
	}
	if v := joined.At(date("1992-05-05")); v.Flags != Adjusted {
		t.Errorf("got %v", v)
	}
}

func TestJoinTellsOfADatingThatItLeavesAlone(t *testing.T) {
	truth := inventedWeather(23, firstOf1990, 12)
	late, _ := Correction{ShiftMax: 1}.Apply(cut(neighbour(3, truth, 0, 1), "1990-01-01", "1999-12-31"))
	for i := range late.Days {
		late.Days[i].Min, late.Days[i].Flags = min(late.Days[i].Min, late.Days[i].Max), 0
	}
	trusted := cut(truth, "1998-01-01", "2001-12-31")
	joined, reports := Join([]Source{{Name: "trusted", Series: trusted}, {Name: "late", Series: late}})
	r := reports[1]
	if r.Max.Lag != 1 || r.Min.Lag != 0 || !strings.Contains(r.String(), "its maxima are dated one day late against those") {
		t.Errorf("got lags %d and %d: %s", r.Min.Lag, r.Max.Lag, r)
	}
	if e := r.Max.LagErrors; !(e[2] < e[1]/2 && e[2] < e[0]/2) {
		t.Errorf("errors at lags -1, 0, 1: %v", e)
	}
	if r.Max.Spread > 1.2 || math.Abs(r.Max.Added.Mean+1) > 0.15 {
		t.Errorf("the offset was not taken at the right dating: %.2f, spread %.2f", r.Max.Added.Mean, r.Max.Spread)
	}
	d := date("1995-06-06")
	if got, want := joined.At(d).Max, late.At(d).Max+r.Max.Added.On(d); math.Abs(got-want) > 1e-9 {
		t.Errorf("%v: got %v, want the day's own value moved to %v", d, got, want)
	}
}

// Whatever the sources hold, the first one's values stand, nothing goes missing, and no day is turned over that was not
// so in its source.
func TestJoinProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var sources []Source
		for range rapid.IntRange(1, 4).Draw(t, "sources") {
			s := Series{First: civil.Date(rapid.IntRange(0, 60).Draw(t, "first"))}
			for range rapid.IntRange(0, 90).Draw(t, "days") {
				low := rapid.Float64Range(-30, 20).Draw(t, "low")
				d := Day{Min: low, Max: low + rapid.Float64Range(0, 20).Draw(t, "range")}
				switch rapid.IntRange(0, 5).Draw(t, "missing") {
				case 0:
					d.Min = math.NaN()
				case 1:
					d.Max = math.NaN()
				case 2:
					d = Missing
				}
				s.Days = append(s.Days, d)
			}
			sources = append(sources, Source{Name: "s", Series: s})
		}
		joined, reports := Join(sources)
		used := 0
		for _, r := range reports {
			used += r.Used
		}
		for d := civil.Date(-5); d < 200; d++ {
			got := joined.At(d)
			if got.Min > got.Max {
				t.Fatalf("%v: %+v", d, got)
			}
			anyone := false
			for i, s := range sources {
				day := s.Series.At(d)
				if !anyone && !math.IsNaN(day.Min) && !math.IsNaN(day.Max) && len(sources[0].Series.Days) > 0 && i == 0 && got != day {
					t.Fatalf("%v: %+v, but the first has %+v", d, got, day)
				}
				anyone = anyone || !math.IsNaN(day.Min) || !math.IsNaN(day.Max)
			}
			if has := !math.IsNaN(got.Min) || !math.IsNaN(got.Max); has != anyone {
				t.Fatalf("%v: has values: %v, in a source: %v", d, has, anyone)
			}
		}
		if used < withValues(joined) {
			t.Fatalf("%d days used of %d", used, withValues(joined))
		}
	})
}

// Harvard Forest's two stations, the automatic one first and the other way round. Source: Harvard Forest Data Archive,
// HF001 and HF000; the offsets were found by a comparison made apart from this code: minima about 1.2 C, maxima within
// 0.3 C once moved to their days.
func TestJoinHarvardForest(t *testing.T) {
	fisher, shaler := harvard(t)
	for _, order := range [][]Source{{fisher, shaler}, {shaler, fisher}} {
		joined, reports := Join(order)
		r, sign := reports[1], 1.0
		if order[0].Name == "shaler.csv" {
			sign = -1
		}
		t.Logf("%s: %v", r.Name, r)
		if math.Abs(r.Min.Added.Mean-sign*1.2) > 0.2 || math.Abs(r.Max.Added.Mean) > 0.3 {
			t.Errorf("%s moved by %.2f and %.2f", r.Name, r.Min.Added.Mean, r.Max.Added.Mean)
		}
		if r.Max.Lag != int(sign) || r.Min.Lag != 0 {
			t.Errorf("lags %d and %d", r.Min.Lag, r.Max.Lag)
		}
		if joined.First != date("1980-01-01") || joined.Last() != date("2013-06-30") {
			t.Errorf("joined %v", joined.Span())
		}
	}
}

// Files that follow one another share no day, are taken as they are, and say so.
func TestJoinMontreal(t *testing.T) {
	sources := montreal(t)
	joined, reports := Join(sources)
	for _, r := range reports[1:] {
		if r.Min.Known() || !strings.Contains(r.String(), "joined without an offset: it shares 0 days") {
			t.Errorf("%s: %v", r.Name, r)
		}
	}
	if diff := cmp.Diff(mergeAll(sources), joined, sameDays); diff != "" {
		t.Errorf("joining moved something: %s", diff)
	}
}

func BenchmarkJoin(b *testing.B) {
	truth := inventedWeather(1, firstOf1990, 50)
	sources := []Source{{Name: "a", Series: cut(truth, "2008-01-01", "2039-12-31")}, {Name: "b", Series: neighbour(2, cut(truth, "1990-01-01", "2015-12-31"), 1, 1)}}
	b.ReportAllocs()
	for b.Loop() {
		Join(sources)
	}
}

func BenchmarkCheck(b *testing.B) {
	truth := inventedWeather(1, firstOf1990, 50)
	sources := []Source{{Name: "a", Series: cut(truth, "2008-01-01", "2039-12-31")}, {Name: "b", Series: neighbour(2, cut(truth, "1990-01-01", "2015-12-31"), 1, 1)}}
	b.ReportAllocs()
	for b.Loop() {
		Check(sources)
	}
}

func BenchmarkFill(b *testing.B) {
	s := inventedWeather(1, firstOf1990, 50)
	for i := range s.Days {
		if i%97 == 0 || i%700 < 9 {
			s.Days[i] = Missing
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		Fill(s)
	}
}

// Half a century put right as a plan orders.
func BenchmarkMend(b *testing.B) {
	s := inventedWeather(1, firstOf1990, 50)
	order := Correction{ShiftMin: 1, OffsetMax: -0.6}
	b.ReportAllocs()
	for b.Loop() {
		order.Apply(s)
	}
}
