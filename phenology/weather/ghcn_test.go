package weather

import (
	"fmt"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

// dly writes one line of the fixed-width form; days holds value and flags, eight characters each.
func dly(id string, year, month int, element string, days map[int]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s%04d%02d%s", id, year, month, element)
	for day := 1; day <= 31; day++ {
		if s, ok := days[day]; ok {
			b.WriteString(s)
		} else {
			b.WriteString("-9999   ")
		}
	}
	return b.String() + "\n"
}

const hill = "XXT00000001" // an invented station

func TestDly(t *testing.T) {
	text := dly(hill, 2028, 2, "TMAX", map[int]string{27: "   89  S", 28: "   99 IS", 29: "  106L S"}) +
		dly(hill, 2028, 2, "TMIN", map[int]string{27: " -122  S", 28: "    0  S", 29: "   11  S"}) +
		dly(hill, 2028, 2, "PRCP", map[int]string{27: "12345  S"}) +
		dly(hill, 2028, 3, "TMAX", map[int]string{1: "   10  S"}) +
		strings.TrimRight(dly(hill, 2028, 3, "TMIN", map[int]string{1: "   20  S"}), " \n") + "\n" // trailing blanks lost
	r := mustRead(t, text, Options{})
	if r.Station.ID != hill {
		t.Errorf("station %q, want %q", r.Station.ID, hill)
	}
	wantSeries(t, r, "2028-02-27", Day{Min: -12.2, Max: 8.9}, Day{Min: 0, Max: nan}, Day{Min: 1.1, Max: 10.6, Flags: Suspect}, Day{Min: 2, Max: 1, Flags: Suspect})
	wantNotes(t, r,
		"dropped: a.csv:1: TMAX of 2028-02-28 (99 in the file) failed the publisher's internal consistency check and was left out",
		"gap: a.csv:2: 2028-02-28 has no maximum",
		"reversed: a.csv:5: 2028-03-01 has a minimum of 20 above its maximum of 10 tenths of a degree Celsius; neither is used")
}

func TestDlyDoublesAndDisorder(t *testing.T) {
	march := map[int]string{9: "   10  S", 10: "   20  S"}
	text := dly(hill, 2027, 3, "TMAX", march) +
		dly(hill, 2027, 3, "TMIN", map[int]string{9: "    1  S", 10: "    2  S"}) +
		dly(hill, 2027, 2, "TMAX", map[int]string{28: "    5  S"}) +
		dly(hill, 2027, 3, "TMAX", map[int]string{9: "   10  S", 10: "   21  S"})
	r := mustRead(t, text, Options{})
	wantNotes(t, r,
		"disorder: a.csv:3: 2027-02-28 comes after 2027-03-10; the rows were sorted by date",
		"gap: a.csv:3: 2027-02-28 to 2027-03-08: 9 days without both temperatures",
		"duplicate: a.csv:4: TMAX of 2027-03-09 was given on line 1 with the same value",
		"duplicate: a.csv:4: TMAX of 2027-03-10 was given on line 1 as 20; this one, 21, counts, being the last")
}

func TestDlyErrors(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"day 30 of February", dly(hill, 2027, 2, "TMAX", map[int]string{30: "   10  S"}),
			"a.csv:1: TMAX: found 10 on day 30 of a month of 28 days, want -9999 there"},
		{"no number", dly(hill, 2027, 2, "TMIN", map[int]string{3: "  1x0  S"}),
			`a.csv:1: TMIN: found "  1x0" on day 3, want tenths of a degree Celsius, or -9999 for none`},
		{"month 13", dly(hill, 2027, 13, "TMIN", nil), `a.csv:1: TMIN: found the year and month "202713", want one from 170001 to 219912`},
		{"too hot", dly(hill, 2027, 2, "TMAX", map[int]string{3: "  612  S"}), "a.csv:1: TMAX: found 612, want -900 to 600 tenths of a degree Celsius"},
		{"rain only", dly(hill, 2027, 2, "PRCP", map[int]string{3: "  612  S"}), "a.csv: the file holds no TMAX and no TMIN, want both"},
		{"two stations", dly(hill, 2027, 2, "TMAX", nil) + dly("XXT00000002", 2027, 2, "TMAX", nil),
			`a.csv: the file holds several stations, "XXT00000001" and "XXT00000002", want one`},
		{"a line cut short", dly(hill, 2027, 2, "TMAX", nil) + "XXT00000001202703TMAX   10  S\n",
			`a.csv:2: found "XXT00000001202703TMAX   10  S" (29 characters), want 269 characters: station, year, month, element and 31 values`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Read(strings.NewReader(c.text), "a.csv", Options{})
			if err == nil || err.Error() != c.want {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
	_, err := Read(strings.NewReader(dly(hill, 2027, 2, "TMAX", map[int]string{3: "   61  S"})), "a.csv", Options{Unit: Fahrenheit})
	if want := "a.csv: the file is in tenths of a degree Celsius by its format, but degrees Fahrenheit were asked for"; err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}

func TestGHCNLong(t *testing.T) {
	const rows = hill + ",20270309,TMAX,89,,,S,0700\n" + hill + ",20270309,PRCP,25,T,,S,0700\n" +
		hill + ",20270309,TMIN,-122,,,S,\n" + hill + ",20270310,TMAX,450,,X,S,\n" + hill + ",20270310,TMIN,6,,,S,\n"
	dropped := func(line int) string {
		return fmt.Sprintf("dropped: a.csv:%d: TMAX of 2027-03-10 (450 in the file) failed the publisher's bounds check and was left out", line)
	}
	for _, c := range []struct {
		name, text string
		first      int // line of the first row
	}{
		{"without a header", rows, 1},
		{"with one", "ID,DATE,ELEMENT,DATA_VALUE,M_FLAG,Q_FLAG,S_FLAG,OBS_TIME\n" + rows, 2},
		{"with another", "ID,YEAR/MONTH/DAY,DATE,ELEMENT,VALUE,MFLAG,QFLAG,SFLAG,OBSTIME\n" +
			strings.ReplaceAll(rows, hill+",", hill+",x,"), 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustRead(t, c.text, Options{})
			wantSeries(t, r, "2027-03-09", Day{Min: -12.2, Max: 8.9}, Day{Min: 0.6, Max: nan})
			wantNotes(t, r, dropped(c.first+3), fmt.Sprintf("gap: a.csv:%d: 2027-03-10 has no maximum", c.first+4))
		})
	}
}

// A by-year file holds the whole network: without a station it is refused, with one it is read.
func TestGHCNLongOfManyStations(t *testing.T) {
	var b strings.Builder
	for i := range 3000 {
		fmt.Fprintf(&b, "XXT%08d,20270309,TMAX,%d,,,S,\nXXT%08d,20270309,TMIN,%d,,,S,\n", i, i%400, i, i%400-100)
	}
	_, err := Read(strings.NewReader(b.String()), "a.csv", Options{})
	if want := `a.csv: the file holds several stations, "XXT00000000", "XXT00000001", "XXT00000002", "XXT00000003", "XXT00000004" and many more, want one`; err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
	r := mustRead(t, b.String(), Options{Station: "xxt00002345"})
	if r.Station.ID != "XXT00002345" {
		t.Errorf("station %q", r.Station.ID)
	}
	wantSeries(t, r, "2027-03-09", Day{Min: 24.5, Max: 34.5})
}

const wideHeader = `"STATION","DATE","LATITUDE","LONGITUDE","ELEVATION","NAME","TMAX","TMAX_ATTRIBUTES","TMIN","TMIN_ATTRIBUTES"` + "\n"

// wide writes rows of the form with a row for each day, one a day from 1 January 2027.
func wide(rows ...string) string {
	var b strings.Builder
	b.WriteString(wideHeader)
	for i, r := range rows {
		fmt.Fprintf(&b, "\"%s\",\"%s\",\"44.62\",\"-89.61\",\"350.5\",\"HILL, XX\",%s\n", hill, date("2027-01-01")+civil.Date(i), r)
	}
	return b.String()
}

func TestGHCNWideStationAndFlags(t *testing.T) {
	r := mustRead(t, wide(`"  289",",,7,1800","  106","H,,7,1800"`, `"  290",",S,7","",""`, `"",,"-9999",`), Options{})
	if s := r.Station; s.ID != hill || s.Name != "HILL, XX" || *s.Latitude != 44.62 || *s.Longitude != -89.61 || *s.Elevation != 350.5 {
		t.Errorf("station %+v", s)
	}
	wantSeries(t, r, "2027-01-01", Day{Min: 10.6, Max: 28.9})
	wantNotes(t, r, "unit: a.csv: TMAX and TMIN are read as tenths of a degree Celsius: values from 106 to 289 are too large for whole degrees",
		"dropped: a.csv:3: TMAX of 2027-01-02 (290 in the file) failed the publisher's spatial consistency check and was left out",
		"gap: a.csv:3: 2027-01-02 to 2027-01-03: 2 days without both temperatures")
}

func TestGHCNWideUnit(t *testing.T) {
	repeat := func(n int, row string) string {
		rows := make([]string, n)
		for i := range rows {
			rows[i] = row
		}
		return wide(rows...)
	}
	for _, c := range []struct {
		name, text string
		unit       Unit
		first      Day
		note, fail string
	}{
		{name: "tenths by size", text: wide(`250,,120,`), first: Day{Min: 12, Max: 25}, note: "tenths of a degree Celsius: values from 120 to 250 are too large for whole degrees"},
		{name: "tenths by cold", text: wide(`-100,,-180,`), first: Day{Min: -18, Max: -10}, note: "tenths of a degree Celsius: values from -180 to -100 are too large for whole degrees"},
		{name: "tenths by range", text: repeat(12, `50,,-50,`), first: Day{Min: -5, Max: 5}, note: "tenths of a degree Celsius: the maximum is 100 above the minimum on average, too much for whole degrees"},
		{name: "Fahrenheit by summer", text: repeat(12, `86,,68,`), first: Day{Min: 20, Max: 30}, note: "degrees Fahrenheit: values from 68 to 86 are too hot for degrees Celsius and too small for tenths"},
		{name: "Celsius by decimals", text: repeat(12, `8.5,,-2.5,`), first: Day{Min: -2.5, Max: 8.5}, note: "degrees Celsius: values from -2.5 to 8.5 are written with decimals, as orders in metric units are"},
		{name: "neither", text: repeat(12, `40,,20,`), fail: "a.csv: the file does not say whether its values, from 20 to 40, are degrees Fahrenheit or Celsius, and they fit both, want F or C"},
		{name: "neither, but asked for F", text: repeat(12, `50,,32,`), unit: Fahrenheit, first: Day{Min: 0, Max: 10}, note: "degrees Fahrenheit: asked for"},
		{name: "neither, but asked for C", text: repeat(12, `25,,12,`), unit: Celsius, first: Day{Min: 12, Max: 25}, note: "degrees Celsius: asked for, and the maximum is 13 above the minimum on average"},
		{name: "tenths, asked for C", text: repeat(12, `250,,120,`), unit: Celsius, first: Day{Min: 12, Max: 25}, note: "tenths of a degree Celsius: values from 120 to 250 are too large for whole degrees"},
		{name: "tenths, asked for F", text: wide(`250,,120,`), unit: Fahrenheit, fail: "a.csv:2: TMAX: found values from 120 to 250, which are tenths of a degree Celsius, but degrees Fahrenheit were asked for"},
		{name: "C, but too few days", text: wide(`25,,12,`), unit: Celsius, fail: "a.csv: the file has too few days to tell whole degrees Celsius from tenths: 1 complete day, with values from 12 to 25"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Read(strings.NewReader(c.text), "a.csv", Options{Unit: c.unit})
			if c.fail != "" {
				if err == nil || err.Error() != c.fail {
					t.Errorf("got %v\nwant %s", err, c.fail)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if got := r.Series.Days[0]; got != c.first {
				t.Errorf("first day %v, want %v", got, c.first)
			}
			if got, want := r.Notes[0].Text, "TMAX and TMIN are read as "+c.note; got != want {
				t.Errorf("note:\n got %s\nwant %s", got, want)
			}
		})
	}
}

func TestGHCNCSVErrors(t *testing.T) {
	const long = hill + ",20270309,TMAX,89,,,S,\n"
	row := func(day, cells string) string { return hill + "," + day + "," + cells + "\n" }
	const header = "STATION,DATE,TMAX,TMIN\n"
	for _, c := range []struct {
		name, text string
		opts       Options
		want, hint string
	}{
		{name: "no TMIN", text: "STATION,DATE,TMAX\n" + row("2027-01-01", "250"), want: "a.csv:1: found a header without TMIN, want TMAX and TMIN", hint: "choose a station and years with both"},
		{name: "no number", text: wide(`250,,cold,`), want: `a.csv:2: TMIN: found "cold", want a number such as 12.5, or nothing where it is missing`},
		{name: "no day", text: header + row("2027-02-29", "250,120"), want: `a.csv:2: DATE: found "2027-02-29", which is no day of the calendar`},
		{name: "a column more", text: header + row("2027-02-28", "250,120,9"), want: "a.csv:2: found 5 columns, want the header's 4", hint: "a decimal comma cuts a number in two: export the file with decimal points"},
		{name: "neither, and no number of C", text: header + row("2027-02-28", "61.5,20"), opts: Options{Unit: Celsius}, want: "a.csv:2: TMAX: found 61.5, want -90 to 60 degrees Celsius", hint: "if the file is in degrees Fahrenheit, give its unit as F"},
		{name: "row by row: no day", text: long + hill + ",20270230,TMAX,89,,,S,\n", want: `a.csv:2: DATE: found "20270230", which is no day of the calendar`},
		{name: "row by row: no date", text: long + hill + ",March,TMAX,89,,,S,\n", want: `a.csv:2: DATE: found "March", want a date such as 20270309`},
		{name: "row by row: no tenths", text: long + hill + ",20270310,TMAX,8.9,,,S,\n", want: `a.csv:2: TMAX: found "8.9", want tenths of a degree Celsius such as 125`},
		{name: "row by row: columns lost", text: long + hill + ",20270310\n", want: "a.csv:2: found 2 columns, want 8: ID, date, element, value, three flags and hour"},
		{name: "row by row: not the unit asked for", text: long, opts: Options{Unit: Fahrenheit}, want: "a.csv: the file is in tenths of a degree Celsius by its format, but degrees Fahrenheit were asked for", hint: "leave the unit out"},
		{name: "row by row: no such station", text: long, opts: Options{Station: "XXT00000009"}, want: `a.csv: the file holds no station "XXT00000009", only "XXT00000001"`},
	} {
		t.Run(c.name, func(t *testing.T) { wantError(t, c.text, c.opts, c.want, c.hint) })
	}
}

func TestGHCNCSVOtherDates(t *testing.T) {
	r := mustRead(t, "STATION,DATE,TMAX,TMIN\n"+hill+",20270310,250,120\n,,,\n"+hill+",20270309,-9999,110\n", Options{})
	wantSeries(t, r, "2027-03-09", Day{Min: 11, Max: nan}, Day{Min: 12, Max: 25})
	r = mustRead(t, "STATION,DATE,ELEMENT,VALUE\n"+hill+",2027-03-10,TMAX,250\n"+hill+",2027-03-10,TMIN,-9999\n", Options{})
	wantSeries(t, r, "2027-03-10", Day{Min: nan, Max: 25})
}
