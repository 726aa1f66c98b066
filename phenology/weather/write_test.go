package weather

import (
	"bytes"
	"errors"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"treewhen/phenology/civil"
)

func TestWritePlain(t *testing.T) {
	s := Series{First: date("2027-02-28"), Days: []Day{{Min: -12.25, Max: -1}, {Min: nan, Max: 0.5, Flags: Estimated | Suspect}, Missing, {Min: 0, Max: 1}}}
	var b strings.Builder
	if err := WritePlain(&b, s); err != nil {
		t.Fatal(err)
	}
	const want = "date,tmin_c,tmax_c,flags\n2027-02-28,-12.25,-1,\n2027-03-01,,0.5,estimated suspect\n2027-03-02,,,\n2027-03-03,0,1,\n"
	if diff := cmp.Diff(want, b.String()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if err := WritePlain(brokenWriter{}, s); !errors.Is(err, os.ErrClosed) {
		t.Errorf("got %v, want the writer's error", err)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, os.ErrClosed }

// anyDay draws a day as a file may hold it: either value missing, a flag only where there is a value.
var anyDay = rapid.Custom(func(t *rapid.T) Day {
	value := func(label string) float64 {
		if rapid.IntRange(0, 4).Draw(t, label+" there") == 0 {
			return nan
		}
		return rapid.Float64Range(coldestAir, hottestAir).Draw(t, label)
	}
	d := Day{Min: value("min"), Max: value("max")}
	if d.Min == d.Min || d.Max == d.Max {
		d.Flags = Flags(rapid.IntRange(0, 1<<len(flagNames)-1).Draw(t, "flags"))
	}
	if d.Min > d.Max {
		d.Min, d.Max = d.Max, d.Min
	}
	return d
})

func TestPlainRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Series{
			First: civil.Date(rapid.Int32Range(int32(earliest), int32(latest)-60).Draw(t, "first")),
			Days:  rapid.SliceOfN(anyDay, 1, 50).Draw(t, "days"),
		}
		for i := range rapid.IntRange(0, min(len(s.Days), leastReversed-1)).Draw(t, "slips of the pen") {
			s.Days[i] = Day{Min: 2, Max: 1, Flags: s.Days[i].Flags | Suspect}
		}
		var b bytes.Buffer
		if err := WritePlain(&b, s); err != nil {
			t.Fatal(err)
		}
		r, err := Read(&b, "a.csv", Options{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(withoutEmptyEnds(s), r.Series, cmpopts.EquateNaNs()); diff != "" {
			t.Fatalf("(-written +read):\n%s", diff)
		}
	})
}

func withoutEmptyEnds(s Series) Series {
	empty := func(d Day) bool { return d.Min != d.Min && d.Max != d.Max }
	for len(s.Days) > 0 && empty(s.Days[0]) {
		s.Days, s.First = s.Days[1:], s.First+1
	}
	for len(s.Days) > 0 && empty(s.Days[len(s.Days)-1]) {
		s.Days = s.Days[:len(s.Days)-1]
	}
	if len(s.Days) == 0 {
		return Series{}
	}
	return s
}
