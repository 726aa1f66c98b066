package weather

import (
	"fmt"
	"strings"
	"testing"

	"treewhen/phenology/civil"
)

func TestPlain(t *testing.T) {
	for _, c := range []struct {
		name, text string
		opts       Options
		first      string
		days       []Day
		notes      []string
	}{
		{name: "other columns, order, quotes and blanks", text: "\"remark\",tmax_c,\"date\",tmin_c\n\"a, \"\"b\"\"\",8.9,2027-03-09, \"0.6\" \n,9, 2027-03-10 ,+1\n",
			first: "2027-03-09", days: []Day{{Min: 0.6, Max: 8.9}, {Min: 1, Max: 9}}},
		{name: "missing in all its spellings", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n2027-03-10,,NA\n2027-03-11,NaN,n/a\n2027-03-12,na,3\n2027-03-13,1,\n2027-03-14,1,2\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}, Missing, Missing, {Min: nan, Max: 3}, {Min: 1, Max: nan}, {Min: 1, Max: 2}},
			notes: []string{"gap: a.csv:3: 2027-03-10 to 2027-03-13: 4 days without both temperatures"}},
		{name: "missing rows", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n2027-03-12,1,2\n2027-03-14,1,2\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}, Missing, Missing, {Min: 1, Max: 2}, Missing, {Min: 1, Max: 2}},
			notes: []string{"gap: a.csv:3: 2027-03-10 to 2027-03-11: 2 days without both temperatures", "gap: a.csv:4: 2027-03-13 has no temperatures"}},
		{name: "empty ends are no part of the series", text: "date,tmin_c,tmax_c\n2027-03-08,,\n2027-03-09,1,2\n2027-03-10,,\n2027-03-11,,\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}},
			notes: []string{"gap: a.csv:2: 2027-03-08 has no temperatures", "gap: a.csv:4: 2027-03-10 to 2027-03-11: 2 days without both temperatures"}},
		{name: "same twice", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n2027-03-10,1,NA\n2027-03-10,1.0,\n2027-03-11,1,2\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}, {Min: 1, Max: nan}, {Min: 1, Max: 2}},
			notes: []string{"gap: a.csv:3: 2027-03-10 has no maximum", "duplicate: a.csv:4: 2027-03-10 was given on line 3 with the same temperatures"}},
		{name: "contradiction: the last one", text: "date,tmin_c,tmax_c\n2027-03-09,1,\n2027-03-09,2,3\n2027-03-09,3,4\n2027-03-10,1,\n2027-03-10,2,\n",
			first: "2027-03-09", days: []Day{{Min: 3, Max: 4}, {Min: 2, Max: nan}},
			notes: []string{
				"duplicate: a.csv:3: 2027-03-09 was given on line 2 as 1 to nothing; this row, 2 to 3, counts, being the last",
				"duplicate: a.csv:4: 2027-03-09 was given on line 3 as 2 to 3; this row, 3 to 4, counts, being the last",
				"duplicate: a.csv:6: 2027-03-10 was given on line 5 as 1 to nothing; this row, 2 to nothing, counts, being the last",
				"gap: a.csv:6: 2027-03-10 has no maximum"}},
		{name: "a morning's row and an evening's", text: "date,tmin_c,tmax_c\n2027-03-09,1,\n2027-03-09,,3\n2027-03-10,1,3\n2027-03-10,,\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 3}, {Min: 1, Max: 3}},
			notes: []string{
				"duplicate: a.csv:3: 2027-03-09 was given on line 2 as 1 to nothing; what this row, nothing to 3, leaves empty stays as it was",
				"duplicate: a.csv:5: 2027-03-10 was given on line 4 as 1 to 3; what this row, nothing to nothing, leaves empty stays as it was"}},
		{name: "half a correction", text: "date,tmin_c,tmax_c,flags\n2027-03-09,1,3,estimated\n2027-03-10,0,1,\n2027-03-09,-1,,\n",
			first: "2027-03-09", days: []Day{{Min: -1, Max: 3, Flags: Estimated}, {Min: 0, Max: 1}},
			notes: []string{
				"disorder: a.csv:4: 2027-03-09 comes after 2027-03-10; the rows were sorted by date",
				"duplicate: a.csv:4: 2027-03-09 was given on line 2 as 1 to 3; this row, -1 to nothing, counts, being the last"}},
		{name: "out of order", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n2027-03-11,3,4\n2027-03-10,2,3\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}, {Min: 2, Max: 3}, {Min: 3, Max: 4}},
			notes: []string{"disorder: a.csv:4: 2027-03-10 comes after 2027-03-11; the rows were sorted by date"}},
		{name: "minimum above maximum", text: "date,tmin_f,tmax_f\n2027-03-09,50,41\n", opts: Options{Unit: Fahrenheit},
			first: "2027-03-09", days: []Day{{Min: 10, Max: 5, Flags: Suspect}},
			notes: []string{"reversed: a.csv:2: 2027-03-09 has a minimum of 50 above its maximum of 41 degrees Fahrenheit; neither is used"}},
		{name: "no unit, asked for C", text: "date,tmin,tmax\n2027-03-09,-1.5,12\n", opts: Options{Unit: Celsius},
			first: "2027-03-09", days: []Day{{Min: -1.5, Max: 12}}},
		{name: "no unit, asked for F", text: "date,tmin,tmax\n2027-03-09,14,59\n", opts: Options{Unit: Fahrenheit},
			first: "2027-03-09", days: []Day{{Min: -10, Max: 15}}},
		{name: "both units", text: "date,tmin_f,tmin_c,tmax_f,tmax_c\n2027-03-09,14,-10,59,15\n",
			first: "2027-03-09", days: []Day{{Min: -10, Max: 15}}},
		{name: "unit in brackets", text: "DATE,Tmin (°F),Tmax (°F)\n2027-03-09,14,59\n",
			first: "2027-03-09", days: []Day{{Min: -10, Max: 15}}},
		{name: "names of open datasets", text: "date,airt,airtmax,airtmin,prec\n2027-03-09,3,12,-1.5,0\n", opts: Options{Unit: Celsius},
			first: "2027-03-09", days: []Day{{Min: -1.5, Max: 12}}},
		{name: "own name before others", text: "time,date,min,tmin,tmax,max\n07:00,2027-03-09,99,-1.5,12,99\n", opts: Options{Unit: Celsius},
			first: "2027-03-09", days: []Day{{Min: -1.5, Max: 12}}},
		{name: "flags", text: "date,tmin_c,tmax_c,flags\n2027-03-09,1,2,estimated suspect\n2027-03-10,1,2,\"forecast, cloudy\"\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2, Flags: Estimated | Suspect}, {Min: 1, Max: 2, Flags: Forecast}}},
		{name: "rows of commas below", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n,,\n,\n , ,\n",
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}}},
		{name: "a station picked", text: "site,date,tmin_c,tmax_c\nMill Hollow,2027-03-09,1,2\nWest Ridge,2027-03-09,3,4\nMill Hollow,2027-03-10,5,6\n", opts: Options{Station: "mill hollow"},
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}, {Min: 5, Max: 6}},
			notes: []string{`station: a.csv: the file holds several stations; "Mill Hollow" is read, not "West Ridge"`}},
		{name: "a station of which the file says nothing", text: "date,tmin_c,tmax_c\n2027-03-09,1,2\n", opts: Options{Station: "Mill Hollow"},
			first: "2027-03-09", days: []Day{{Min: 1, Max: 2}},
			notes: []string{`station: a.csv: the file does not name its station; it is taken to be "Mill Hollow" as asked for`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustRead(t, c.text, c.opts)
			wantSeries(t, r, c.first, c.days...)
			wantNotes(t, r, c.notes...)
		})
	}
}

func TestPlainErrors(t *testing.T) {
	const unit = "head the columns tmin_c and tmax_c, or tmin_f and tmax_f; or set unit: C or unit: F beside the file in the plan"
	const head = "date,tmin_c,tmax_c\n"
	for _, c := range []struct {
		name, text, want, hint string
		opts                   Options
	}{
		{name: "decimal comma in quotes", text: head + "2027-03-09,\"-1,5\",2\n", hint: "decimal commas are not read: export the file with decimal points",
			want: `a.csv:2: tmin_c: found "-1,5", want a number in degrees Celsius such as 12.5, or nothing where it is missing`},
		{name: "decimal comma without", text: head + "2027-03-09,-1,5,2,5\n", hint: "a decimal comma cuts a number in two: export the file with decimal points",
			want: `a.csv:2: found 5 columns, want the header's 3`},
		{name: "a column short", text: head + "2027-03-09,-1\n", want: `a.csv:2: found 2 columns, want the header's 3`},
		{name: "date of the other order", text: head + "09/03/2027,1,2\n", hint: "write dates as year-month-day, so that 03/04 cannot be two days",
			want: `a.csv:2: date: found "09/03/2027", want a date such as 2027-03-09`},
		{name: "date with time", text: head + "2027-03-09T00:00,1,2\n", hint: "leave out the time of day",
			want: `a.csv:2: date: found "2027-03-09T00:00", want a date such as 2027-03-09`},
		{name: "no such day", text: head + "2027-02-29,1,2\n", want: `a.csv:2: date: found "2027-02-29", which is no day of the calendar`},
		{name: "no minimum", text: "date,tmax\n2027-03-09,1\n", want: `a.csv:1: found the header "date,tmax", want also tmin`},
		{name: "two units", text: "date,tmin_c,tmax_f\n2027-03-09,1,2\n", want: `a.csv:1: found the columns "tmin_c" and "tmax_f", want both in the same unit`},
		{name: "not the unit asked for", text: head + "2027-03-09,1,2\n", opts: Options{Unit: Fahrenheit}, hint: "leave the unit out, or rename the columns",
			want: `a.csv:1: found the column "tmin_c", but degrees F were asked for`},
		{name: "two columns for one thing", text: "date,min_temp,temp_min,tmax\n2027-03-09,1,1,2\n", hint: "rename the one that is not meant",
			want: `a.csv:1: found the columns "min_temp" and "temp_min", want one of them`},
		{name: "missing as a number", text: head + "2027-03-09,-9999,2\n", hint: "leave the cell empty where a number stands for 'missing'",
			want: `a.csv:2: tmin_c: found -9999, want -90 to 60 degrees Celsius`},
		{name: "Fahrenheit under a Celsius header", text: head + "2027-03-09,31,2\n2027-07-09,61,88.5\n", hint: "if the file is in degrees Fahrenheit, say so: name its columns tmin_f and tmax_f, or give its unit as F",
			want: "a.csv:3: tmin_c: found 61, want -90 to 60 degrees Celsius\na.csv:3: tmax_c: found 88.5, want -90 to 60 degrees Celsius"},
		{name: "kelvin", text: "date,tasmin,tasmax\n2027-03-09,271.3,280.1\n", opts: Options{Unit: Celsius}, hint: "subtract 273.15 if this is in kelvin",
			want: "a.csv:2: tasmin: found 271.3, want -90 to 60 degrees Celsius\na.csv:2: tasmax: found 280.1, want -90 to 60 degrees Celsius"},
		{name: "Fahrenheit without a unit", text: "date,tmin,tmax\n2027-07-09,61,88\n2027-07-10,55,90\n", hint: unit,
			want: `a.csv:1: found the columns "tmin" and "tmax", which do not name their unit, want degrees C or F; values up to 90 look like F`},
		{name: "no unit", text: "# shed\ndate,tmin,tmax\n2027-03-09,-1.5,12\n", hint: unit,
			want: `a.csv:2: found the columns "tmin" and "tmax", which do not name their unit, want degrees C or F; the values run from -1.5 to 12`},
		{name: "no unit and no values yet", text: "date,airtmin,airtmax\n2027-03-09,,\n", hint: unit,
			want: `a.csv:1: found the columns "airtmin" and "airtmax", which do not name their unit, want degrees C or F`},
		{name: "no unit and no rows yet", text: "date,tmin,tmax\n", hint: unit,
			want: `a.csv:1: found the columns "tmin" and "tmax", which do not name their unit, want degrees C or F`},
		{name: "infinite", text: head + "2027-03-09,-Inf,2\n", want: `a.csv:2: tmin_c: found "-Inf", want a number in degrees Celsius such as 12.5, or nothing where it is missing`},
		{name: "lines counted through quotes and comments", text: "# shed\n" + strings.TrimSpace(head) + ",remark\n\n2027-03-09,1,2,\"two\nlines\"\n# more\n2027-03-10,x,2,\n",
			want: `a.csv:7: tmin_c: found "x", want a number in degrees Celsius such as 12.5, or nothing where it is missing`},
		{name: "quotation mark left open", text: head + "2027-03-09,1,\"2\n2027-03-10,1,2\n",
			want: "a.csv:2: found a quotation mark that is never closed, want one at the cell's end"},
		{name: "text behind a quotation mark", text: head + "2027-03-09,\"1\"x,2\n",
			want: "a.csv:2: found text between a closing quotation mark and the next comma, want none"},
		{name: "several stations", text: "station,date,tmin_c,tmax_c\nA,2027-03-09,1,2\nB,2027-03-09,x,2\nC,2027-03-09,1,2\n", hint: "name one of them as the station to read, or keep one station a file",
			want: `a.csv: the file holds several stations, "A", "B" and "C", want one`},
		{name: "no such station", text: "station,date,tmin_c,tmax_c\nA,2027-03-09,1,2\nB,2027-03-09,1,2\n", opts: Options{Station: "Z"},
			want: `a.csv: the file holds no station "Z", only "A" and "B"`},
	} {
		t.Run(c.name, func(t *testing.T) { wantError(t, c.text, c.opts, c.want, c.hint) })
	}
}

// A winter in whole degrees Fahrenheit has no value that is too hot for Celsius; its daily range gives it away.
func TestPlainWinterInFahrenheit(t *testing.T) {
	var b strings.Builder
	b.WriteString("date,tmin,tmax\n")
	for i := range 40 {
		fmt.Fprintf(&b, "%s,%d,%d\n", date("2027-01-01")+civil.Date(i), 10+i%7, 28+i%9)
	}
	_, err := Read(strings.NewReader(b.String()), "a.csv", Options{})
	if want := `a.csv:1: found the columns "tmin" and "tmax", which do not name their unit, want degrees C or F; ` +
		"whole numbers with the maximum 19 above the minimum on average look like F"; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
	mustRead(t, b.String(), Options{Unit: Fahrenheit})
	mustRead(t, b.String(), Options{Unit: Celsius})
}

// The same temperatures, once in each unit. The pairs are the fixed points of the scales and the exact equals between
// them (NIST Special Publication 811, appendix B.8: t/°C = (t/°F - 32)/1.8).
func TestFahrenheitAndCelsiusAgree(t *testing.T) {
	pairs := []struct{ f, c string }{{"-40", "-40"}, {"-4", "-20"}, {"14", "-10"}, {"32", "0"}, {"33.8", "1"}, {"50", "10"}, {"98.6", "37"}, {"104", "40"}}
	var f, c strings.Builder
	f.WriteString("date,tmin_f,tmax_f\n")
	c.WriteString("date,tmin_c,tmax_c\n")
	for i := 1; i < len(pairs); i++ {
		d := date("2027-03-09") + civil.Date(i)
		fmt.Fprintf(&f, "%s,%s,%s\n", d, pairs[i-1].f, pairs[i].f)
		fmt.Fprintf(&c, "%s,%s,%s\n", d, pairs[i-1].c, pairs[i].c)
	}
	inF, inC := mustRead(t, f.String(), Options{}), mustRead(t, c.String(), Options{})
	if inF.Unit != Fahrenheit || inC.Unit != Celsius {
		t.Errorf("units %q and %q, want F and C", inF.Unit, inC.Unit)
	}
	wantSeries(t, inF, inC.Series.First.String(), inC.Series.Days...)
}

// Not an error: agencies publish such files on the first days of a year.
func TestPlainWithoutAnyTemperature(t *testing.T) {
	r := mustRead(t, "date,tmin_c,tmax_c\n2027-01-01,,\n2027-01-02,,\n", Options{})
	if len(r.Series.Days) != 0 {
		t.Errorf("series %v, want none", r.Series)
	}
	wantNotes(t, r, "gap: a.csv:2: 2027-01-01 to 2027-01-02: 2 days without both temperatures")
}
