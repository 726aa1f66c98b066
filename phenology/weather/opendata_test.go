package weather

import (
	"bytes"
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"testing"

	"treewhen/phenology/civil"
)

// Files as their publishers publish them, held against a second reading by encoding/csv and strconv that knows only
// which columns to look at.
func TestPublishedFiles(t *testing.T) {
	type columns struct{ date, min, max int }
	harvard, canada := columns{date: 0, max: 2, min: 3}, columns{date: 4, max: 9, min: 11}
	for _, c := range []struct {
		file    string
		format  Format
		columns columns
	}{
		// Harvard Forest Data Archive, HF000 and HF001.
		{"harvard-forest/shaler-daily-1980-2002.csv", FormatPlain, harvard},
		{"harvard-forest/fisher-daily-2001-2013.csv", FormatPlain, harvard},
		// Environment and Climate Change Canada, daily data of Montreal Trudeau.
		{"montreal/en_climate_daily_QC_7025250_1995_P1D.csv", FormatCanada, canada},
		{"montreal/en_climate_daily_QC_7025250_2012_P1D.csv", FormatCanada, canada},
		{"montreal/en_climate_daily_QC_7025251_2013_P1D.csv", FormatCanada, canada},
	} {
		t.Run(c.file, func(t *testing.T) {
			f := openShared(t, c.file)
			r, err := Read(f, c.file, Options{Unit: Celsius}) // the plain ones do not name it
			if err != nil {
				t.Fatal(err)
			}
			if r.Format != c.format || r.Unit != Celsius {
				t.Errorf("read as %s in %s, want %s in C", r.Format, r.Unit, c.format)
			}
			f.Seek(0, io.SeekStart)
			text, err := io.ReadAll(f)
			if err != nil {
				t.Fatal(err)
			}
			rows, err := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(text, utf8BOM))).ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			want := map[civil.Date]Day{}
			number := func(s string) float64 {
				if s == "" || s == "NA" {
					return math.NaN()
				}
				v, err := strconv.ParseFloat(s, 64)
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
			for _, row := range rows[1:] {
				d := date(row[c.columns.date])
				want[d] = Day{Min: number(row[c.columns.min]), Max: number(row[c.columns.max])}
			}
			for d, w := range want {
				got := r.Series.At(d)
				if !same(got.Min, w.Min) || !same(got.Max, w.Max) {
					t.Errorf("%v is %v, want %v", d, got, w)
				}
			}
			complete := 0
			for i, got := range r.Series.Days {
				d := r.Series.First + civil.Date(i)
				if _, ok := want[d]; !ok && (!math.IsNaN(got.Min) || !math.IsNaN(got.Max)) {
					t.Errorf("%v is %v, but the file has no such day", d, got)
				}
				if got.Complete() {
					complete++
				}
			}
			if complete < len(want)*3/4 {
				t.Errorf("only %d of %d days are complete", complete, len(want))
			}
		})
	}
}

// What the publisher says of its own files: two estimated minima in March 1995, and no temperature on 1 January 1995.
func TestMontrealFlags(t *testing.T) {
	r, err := Read(openShared(t, "montreal/en_climate_daily_QC_7025250_1995_P1D.csv"), "1995.csv", Options{})
	if err != nil {
		t.Fatal(err)
	}
	if s := r.Station; s.ID != "7025250" || *s.Latitude != 45.47 || *s.Longitude != -73.75 {
		t.Errorf("station %+v", s)
	}
	for day, want := range map[string]Day{
		"1995-03-02": {Min: -13.3, Max: -7, Flags: Estimated},
		"1995-03-13": {Min: -0.6, Max: 10.8, Flags: Estimated},
		"1995-01-01": Missing,
	} {
		got := r.Series.At(date(day))
		if !same(got.Min, want.Min) || !same(got.Max, want.Max) || got.Flags != want.Flags {
			t.Errorf("%s is %v, want %v", day, got, want)
		}
	}
}
