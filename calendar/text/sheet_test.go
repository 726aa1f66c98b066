package text_test

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

// A sheet is a page, says what must be on it, and says once what several species share.
func TestSheet(t *testing.T) {
	plan := calendartest.School(nil)
	var trip *outing.Sheet
	for _, e := range buildtest.Schedule(plan).Entries {
		if trip = outing.SheetOf(e); e.Task == calendar.TaskTrip {
			break
		}
	}
	write := func(name string, s *outing.Sheet) string {
		var b bytes.Buffer
		if err := text.WriteSheet(&b, s); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(b.String()) {
			if n := utf8.RuneCountInString(line) - 1; n > 80 {
				t.Errorf("%s: found a line of %d characters: %s", name, n, line)
			}
		}
		sheet, key, keyed := strings.Cut(b.String(), "WHICH TREE IS IT?")
		if n, m := strings.Count(strings.TrimSpace(sheet), "\n")+1, strings.Count(key, "\n"); max(n, m) > 66 && len(s.Species) <= outing.MostShown {
			t.Errorf("%s: found %d lines and %d of the key, want a page each", name, n, m)
		}
		if !keyed {
			t.Errorf("%s: found no key", name)
		}
		if strings.Contains(b.String(), "simple-lobed") || strings.Contains(b.String(), "plates-lifting") {
			t.Errorf("%s: found a word of the profiles in\n%s", name, b.String())
		}
		return b.String()
	}
	said := write("five maples", trip)
	for _, want := range []string{
		"09:00 to 11:30", "rain date", "LOOK FOR", "NOTES", "MIND", "APART TODAY?",
		"Leave of the landowner", "Ticks", "blaze orange", "allergies",
		"silver maple and box elder: By water", "All of them: twigs and buds opposite, in pairs",
	} {
		if strings.Count(said, want) != 1 {
			t.Errorf("found %q %d times, want it once in\n%s", want, strings.Count(said, want), said)
		}
	}
	// Seedlings are taken for poison ivy while they have leaves, and then alone.
	const lookAlike = "both have three leaflets"
	days := []civil.Date{calendartest.Day("2027-01-20"), calendartest.Day("2027-05-19"), calendartest.Day("2027-10-12")}
	for i, d := range days {
		said := write(d.String(), outing.NewSheet(plan.Places[0], d, calendar.FieldTrip))
		if in := strings.Contains(strings.Join(strings.Fields(said), " "), lookAlike); in != (i > 0) {
			t.Errorf("%v: found the look-alike minded: %v", d, in)
		}
	}
	var printed bytes.Buffer
	if err := page.WriteSheetHTML(&printed, trip); err != nil {
		t.Fatal(err)
	}
	html := printed.String()
	if !strings.HasPrefix(html, "<!doctype html>") || !strings.Contains(html, plan.Places[0].Site().Name) ||
		strings.Contains(html, "http") {
		t.Errorf("found\n%s", html)
	}
	for _, id := range []string{"quercus-rubra", "tilia-americana", "betula-papyrifera", "fraxinus-americana"} {
		sp, err := profiles.Builtin().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		plan.Places[0].Species = append(plan.Places[0].Species, sp)
	}
	for _, d := range days {
		write("nine species on "+d.String(), outing.NewSheet(plan.Places[0], d, calendar.FieldTrip))
	}
	// Any day has a sheet, of all species at once if need be.
	plan.Places[0].Species = profiles.Builtin().All()
	write("all species", outing.NewSheet(plan.Places[0], calendartest.Day("2027-07-10"), calendar.FieldTrip))
}
