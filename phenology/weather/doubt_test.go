package weather

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology/civil"
)

// plainFile writes a series as a plain file of one column order or the other.
func plainFile(s Series, header string) string {
	var b strings.Builder
	fmt.Fprintln(&b, header)
	for i, d := range s.Days {
		fmt.Fprintf(&b, "%s,%.1f,%.1f\n", s.First+civil.Date(i), d.Min, d.Max)
	}
	return b.String()
}

func wantWarnings(t *testing.T, r *Record, want ...string) {
	t.Helper()
	var got []string
	for _, w := range r.Warnings {
		got = append(got, string(w.Kind)+": "+w.String())
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("warnings (-want +got):\n%s", diff)
	}
}

// Columns that were swapped are refused, be the file a record or a forecast of a week; some slips are told and left out.
func TestMinimaAboveMaxima(t *testing.T) {
	s := inventedWeather(1, firstOf1990, 3)
	const hint = "if the columns are swapped, exchange tmin_c and tmax_c in the header"
	wantError(t, plainFile(s, "date,tmax_c,tmin_c"), Options{}, "a.csv:2: found a minimum above the maximum on 1096 of 1096 days, the first on this line, want it below", hint)
	week := Series{First: s.First, Days: s.Days[:7]}
	wantError(t, plainFile(week, "date,tmax_c,tmin_c"), Options{}, "a.csv:2: found a minimum above the maximum on 7 of 7 days, the first on this line, want it below", hint)

	slips := func(every int) Series {
		bad := Series{First: s.First, Days: append([]Day(nil), s.Days[:400]...)}
		for i := 5; i < len(bad.Days); i += every {
			bad.Days[i].Min, bad.Days[i].Max = bad.Days[i].Max, bad.Days[i].Min
		}
		return bad
	}
	wantError(t, plainFile(slips(10), "date,tmin_c,tmax_c"), Options{}, "a.csv:7: found a minimum above the maximum on 40 of 400 days, the first on this line, want it below",
		hint)
	r := mustRead(t, plainFile(slips(11), "date,tmin_c,tmax_c"), Options{})
	wantWarnings(t, r, "reversed: a.csv:7: 36 days have a minimum above their maximum, the first 1990-01-06; neither is used")
	if f := Check([]Source{{Name: "a.csv", Series: r.Series}}); len(f) == 0 || f[0].Kind != FindingReversed || f[0].Days != 36 {
		t.Errorf("found %v", f)
	}

	joined, reports := Join([]Source{{Name: "a.csv", Series: r.Series}})
	if reports[0].Reversed != 36 || joined.At(s.First+5).Complete() || joined.At(s.First+4) != s.Days[4] {
		t.Errorf("joined: %+v, %v", reports[0], joined.Days[4:7])
	}
	if got, want := reports[0].String(), "364 days from 1990-01-01 to 1991-02-04, as measured; 36 days not taken, with the minimum above the maximum"; got != want {
		t.Errorf("report %q, want %q", got, want)
	}
	if d := Fill(joined).At(s.First + 5); d.Reversed() || d.Flags != Suspect|Interpolated {
		t.Errorf("filled with %v", d)
	}
	if !r.Series.At(s.First + 5).Reversed() {
		t.Error("joining changed the record")
	}
}

// Maxima dated two days off turn over as many days of real records as anything that a plan can mend does: such a file is
// read. Sources: as in TestPublishedFiles.
func TestMisdatedRecordIsRead(t *testing.T) {
	_, manual := harvard(t)
	for name, s := range map[string]Series{"Montreal": mergeAll(montreal(t)), "Harvard Forest, by hand": manual.Series} {
		for _, shift := range []int{-2, -1, 1, 2} {
			for year := s.First.Year() + 1; year < s.Last().Year(); year++ {
				part := clip(s, civil.Span{First: civil.Of(year, 1, 1), Last: civil.Of(year, 12, 31)})
				moved := Series{First: part.First}
				for i := range part.Days {
					d := part.Days[i]
					d.Max = part.At(part.First + civil.Date(i-shift)).Max
					moved.Days = append(moved.Days, d)
				}
				var b strings.Builder
				if err := WritePlain(&b, moved); err != nil {
					t.Fatal(err)
				}
				if _, err := Read(strings.NewReader(b.String()), "a.csv", Options{}); err != nil {
					t.Errorf("%s, maxima of %d moved by %d days: %v", name, year, shift, err)
				}
			}
		}
	}
}

// A correction below the record counts; what cannot be one is refused.
func TestRepeatedDays(t *testing.T) {
	const header = "date,tmin_c,tmax_c"
	s := inventedWeather(1, firstOf1990, 1)
	first := plainFile(s, header)
	rows := func(s Series) string { _, rows, _ := strings.Cut(plainFile(s, header), "\n"); return rows }
	other := neighbour(2, s, -1.5, 0.7)
	part := func(s Series, from, days int) Series {
		return Series{First: s.First + civil.Date(from), Days: s.Days[from : from+days]}
	}
	var turns strings.Builder
	fmt.Fprintln(&turns, header)
	for i := range s.Days {
		turns.WriteString(rows(part(s, i, 1)) + rows(part(other, i, 1)))
	}
	newer := Series{First: s.First, Days: append([]Day(nil), s.Days...)}
	for i := 0; i < len(newer.Days); i += 5 {
		newer.Days[i].Max += 0.1
	}
	const hint = "two stations in one file? Give each a file of its own, or a column station; of rows that were corrected, keep the last"
	for _, c := range []struct {
		name, text string
		warning    string
		wrong      string
		at         int // a day that must be as in want
		want       Day
	}{
		{name: "one day", text: first + "1990-03-09,-21,-12.5\n", at: 67, want: Day{Min: -21, Max: -12.5},
			warning: "duplicate: a.csv:367: 1990-03-09 is given again with other temperatures than on line 69; the last row counts"},
		{name: "a month redone", text: first + rows(part(other, 31, 28)), at: 40,
			warning: "duplicate: a.csv:367: 28 rows give a day again with other temperatures, the first one of line 33; the last row of each counts"},
		{name: "a newer edition", text: first + rows(newer), at: 50,
			warning: "duplicate: a.csv:367: 73 rows give a day again with other temperatures, the first one of line 2; the last row of each counts"},
		{name: "the same twice", text: first + rows(s), at: 50},
		{name: "two stations, one after the other", text: first + rows(other),
			wrong: "a.csv:367: found 365 rows again with other temperatures, the first on lines 2 and 367, want each day once"},
		{name: "two stations taking turns", text: turns.String(),
			wrong: "a.csv:3: found 365 rows again with other temperatures, the first on lines 2 and 3, want each day once"},
		{name: "two stations that share half a year", text: first + rows(part(other, 200, 165)),
			wrong: "a.csv:367: found 165 rows again with other temperatures, the first on lines 202 and 367, want each day once"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.wrong != "" {
				wantError(t, c.text, Options{}, c.wrong, hint)
				return
			}
			r := mustRead(t, c.text, Options{})
			if c.warning == "" {
				wantWarnings(t, r)
			} else {
				wantWarnings(t, r, c.warning)
			}
			want := c.want
			switch c.name {
			case "a month redone":
				want = mustRead(t, header+"\n"+rows(part(other, c.at, 1)), Options{}).Series.Days[0]
			case "a newer edition":
				want = mustRead(t, header+"\n"+rows(part(newer, c.at, 1)), Options{}).Series.Days[0]
			case "the same twice":
				want = s.Days[c.at]
			}
			if got := r.Series.Days[c.at]; got != want {
				t.Errorf("day %d is %v, want %v", c.at, got, want)
			}
		})
	}
}
