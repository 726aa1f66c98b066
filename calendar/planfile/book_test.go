package planfile

import (
	"math"
	"strings"
	"testing"
)

func TestReadBook(t *testing.T) {
	rows, err := ReadBook(strings.NewReader("\ufeffDate,site,volume,unit,sugar,syrup,note\n"+
		"2027-03-09,north-bush,100,gallons,2.1,,first run\n"+
		"2027-03-10, north-bush ,,L,,12.5,\n"+
		"2027-03-08,south-bush,0,litres,,,nothing came\n"), "sap.csv")
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	// 100 US gallons are 378.54 litres (NIST Handbook 44, appendix C, from memory).
	if r := rows[0]; math.Abs(r.Sap-378.541) > 0.001 || r.Sugar != 2.1 || r.Syrup != 0 || r.Note != "first run" || r.Line != 2 {
		t.Errorf("%+v", r)
	}
	if r := rows[1]; r.Sap != 0 || r.Syrup != 12.5 || r.Site != "north-bush" {
		t.Errorf("%+v", r)
	}
}

func TestBadBooks(t *testing.T) {
	const header = "date,site,volume,unit,sugar,syrup,note\n"
	for _, c := range []struct{ text, want string }{
		{"", "sap.csv:1: found an empty file, want a header: date,site,volume,unit"},
		{"date,site,volume\n", "sap.csv:1: found a header without unit"},
		{header + "2027-03-09,a,12,buckets,,,\n", `sap.csv:2: unit: found "buckets", want litres or gallons (US)`},
		{header + "2027-03-09,a,much,l,,,\n", `sap.csv:2: volume: found "much", want a number from 0`},
		{header + "2027-03-09,a,-3,l,,,\n", `sap.csv:2: volume: found "-3"`},
		{header + "2027-03-09,a,NaN,l,,,\n", `sap.csv:2: volume: found "NaN"`},
		{header + "2027-03-09,a,3,l,200,,\n", `sap.csv:2: sugar: found "200", want a number from 0 to 20`},
		{header + "\n9 March,a,3,l,,,\n", "sap.csv:3: date: "},
		{header + "2027-03-09,,3,l,,,\n", "sap.csv:2: site: found nothing, want a value in every row"},
		{header + "2027-03-09,a,,l,2,,\n", "sap.csv:2: volume: found neither sap nor syrup"},
		{header + "2027-03-09,a,3,l,,,a, b\n", "sap.csv:2: found 8 cells under 7 columns"},
	} {
		rows, err := ReadBook(strings.NewReader(c.text), "sap.csv")
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: found %v and %d rows, want %q", c.text, err, len(rows), c.want)
		}
	}
}
