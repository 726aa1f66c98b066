package weather

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology/civil"
)

func TestCorrectionApply(t *testing.T) {
	s := Series{First: date("2027-03-01"), Days: []Day{{Min: 0, Max: 10}, {Min: 1, Max: 11, Flags: Estimated}, Missing, {Min: 8, Max: 7}, {Min: 4, Max: 14}}}
	for _, c := range []struct {
		name     string
		order    Correction
		first    string
		want     []Day
		reversed int
	}{
		{"nothing", Correction{}, "2027-03-01", s.Days, 0},
		{"maxima a day earlier", Correction{ShiftMax: -1}, "2027-02-28",
			[]Day{{nan, 10, Shifted}, {0, 11, Shifted | Estimated}, {1, nan, Estimated}, {nan, 7, Shifted}, {8, 14, Shifted}, {4, nan, 0}},
			0},
		{"minima two days later", Correction{ShiftMin: 2}, "2027-03-01",
			[]Day{{nan, 10, 0}, {nan, 11, Estimated}, {0, nan, Shifted}, {1, 7, Shifted | Estimated}, {nan, 14, 0}, {8, nan, Shifted}, {4, nan, Shifted}},
			0},
		{"both a day later", Correction{ShiftMin: 1, ShiftMax: 1}, "2027-03-02",
			[]Day{{0, 10, Shifted}, {1, 11, Shifted | Estimated}, Missing, {7.5, 7.5, Shifted | Suspect}, {4, 14, Shifted}},
			1},
		{"offsets", Correction{OffsetMin: -1.5, OffsetMax: 0.5}, "2027-03-01",
			[]Day{{-1.5, 10.5, Adjusted}, {-0.5, 11.5, Adjusted | Estimated}, Missing, {6.5, 7.5, Adjusted}, {2.5, 14.5, Adjusted}},
			0},
		{"left out, by the file's dates, before they move", Correction{ShiftMax: -1, LeaveOutMax: []civil.Date{date("2027-03-04"), date("2027-03-03"), date("2020-01-01")}}, "2027-02-28",
			[]Day{{nan, 10, Shifted}, {0, 11, Shifted | Estimated}, {1, nan, Estimated}, Missing, {8, 14, Shifted}, {4, nan, 0}},
			0},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := slices.Clone(s.Days)
			got, reversed := c.order.Apply(s)
			if diff := cmp.Diff(Series{date(c.first), c.want}, got, sameDays); diff != "" {
				t.Errorf("(-want +got)\n%s", diff)
			}
			if reversed != c.reversed {
				t.Errorf("%d days reversed, want %d", reversed, c.reversed)
			}
			if diff := cmp.Diff(before, s.Days, sameDays); diff != "" {
				t.Errorf("the argument changed: %s", diff)
			}
		})
	}
	if got, _ := (Correction{ShiftMax: 1}).Apply(Series{}); len(got.Days) != 0 {
		t.Errorf("got %v of nothing", got)
	}
}

func TestCorrectionIsWrittenAsThePlanReadsIt(t *testing.T) {
	for want, c := range map[string]Correction{
		"":                       {},
		"shift: {tmax: -1 day}":  {ShiftMax: -1},
		"offset: {tmin: -1.2 C}": {OffsetMin: -1.2},
		"shift: {tmin: +2 days}": {ShiftMin: 2},
		"leave_out: {tmax: [1970-01-01, 1970-01-02]}":                              {LeaveOutMax: []civil.Date{0, 1}},
		"shift: {tmin: +1 day, tmax: +1 day}, offset: {tmin: 0.5 C, tmax: -0.5 C}": {ShiftMin: 1, ShiftMax: 1, OffsetMin: 0.5, OffsetMax: -0.5},
	} {
		if got := c.String(); got != want {
			t.Errorf("got %s, want %s", got, want)
		}
		if c.IsZero() != (want == "") {
			t.Errorf("%s: IsZero is %v", want, c.IsZero())
		}
	}
}

// Moved back by a day, Harvard Forest's manual maxima agree with the automatic station day by day; few days come out
// with the minimum above the maximum, and those are marked. Source: Harvard Forest Data Archive, HF000 and HF001.
func TestMendHarvardForest(t *testing.T) {
	fisher, shaler := harvard(t)
	mended, reversed := Correction{ShiftMax: -1}.Apply(shaler.Series)
	off := func(s Series) float64 {
		var d []float64
		for day := fisher.Series.First; day <= s.Last(); day++ {
			if v := s.At(day).Max - fisher.Series.At(day).Max; !math.IsNaN(v) {
				d = append(d, math.Abs(v))
			}
		}
		return mean(d)
	}
	before, after := off(shaler.Series), off(mended)
	t.Logf("maxima are %.2f C off as dated and %.2f C moved; %d days reversed", before, after, reversed)
	if before < 3 || after > 1.2 {
		t.Errorf("maxima are %.2f C off as dated and %.2f C moved, want over 3 and about 1", before, after)
	}
	marked := 0
	for _, day := range mended.Days {
		if day.Min == day.Max && day.Flags&(Suspect|Shifted) == Suspect|Shifted {
			marked++
		}
	}
	if reversed == 0 || reversed > 25 || marked != reversed {
		t.Errorf("%d days reversed, %d of them marked", reversed, marked)
	}
}
