package french

import (
	"testing"

	"treewhen/phenology/civil"
)

func day(t *testing.T, s string) civil.Date {
	t.Helper()
	d, err := civil.Parse(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// Forms of the Office québécois de la langue française (Banque de dépannage linguistique, articles named) and, of short
// months and days of the week, of Unicode CLDR 48 for fr-CA.
func TestForms(t *testing.T) {
	first, middle, last := day(t, "2027-03-01"), day(t, "2027-03-14"), day(t, "2027-04-02")
	to := func(a, b civil.Date) civil.Span { return civil.Span{First: a, Last: b} }
	for _, c := range []struct{ got, want string }{
		{The(middle), "le 14 mars"},
		{TheWeekday(middle), "le dimanche 14 mars"}, // BDL 21597: never dimanche, le 14 mars
		{The(first), "le 1er mars"},                 // BDL 1242
		{Long(middle), "dim. 14 mars 2027"},
		{Full(first), "lundi 1er mars 2027"},
		{Span(to(first, middle)), "du 1er au 14 mars"},
		{Span(to(middle, last)), "du 14 mars au 2 avril"},
		{Span(to(last, last)), "le 2 avril"},
		{ShortSpan(to(middle, last)), "14 mars au 2 avr."},
		{Between(to(middle, middle+2)), "entre le 14 et le 16 mars"},
		{Between(to(middle, last)), "entre le 14 mars et le 2 avril"},
		{Format(middle, "lun. 2 janv. 2006"), "dim. 14 mars 2027"},
		{Format(first, "lundi 2 janvier 2006"), "lundi 1er mars 2027"},
		{Clock(7 * 60), "7\u00a0h"}, {Clock(14*60 + 30), "14\u00a0h\u00a030"}, {Clock(9*60 + 5), "9\u00a0h\u00a005"},
		// BDL 1242
		{Decimal(3.5, 1), "3,5"}, {Decimal(-0.04, 1), "0,0"}, {Decimal(-9, 0), "−9"}, {Figure(1.10), "1,1"},
		{Figure(4), "4"},
		{Rough(11234), "11\u00a0000"}, {Rough(0.34), "0,3"}, {Rough(1.26), "1,3"}, {RoughRange(8540, 11234), "8500 " +
			"à 11\u00a0000"},
		{Percent(0.55), "55\u00a0%"}, {Percent(0.9999), "99\u00a0%"},
		{Count(0, "jour", "jours"), "0 jour"}, {Count(1, "jour", "jours"), "1 jour"}, {Count(2, "jour", "jours"),
			"2 jours"}, // BDL 3619
		{Join([]string{"a", "b", "c"}), "a, b et c"},
		{Confidence(0.96, true), "presque certaine"}, {Confidence(0.5, false), "une chance sur deux"},
		{Fitting(5, "trop long", "court", "x"), "court"}, {Fitting(2, "trop long", "court"), "court"},
	} {
		if c.got != c.want {
			t.Errorf("found %q, want %q", c.got, c.want)
		}
	}
}
