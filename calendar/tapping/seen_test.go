package tapping

import (
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Sap that was seen to run runs from holes: who wrote that down is not told to tap, whatever the record says, and holes
// are taken to be in since the advice, if it came before, else since that day. Seen elsewhere or on another species, in
// another year or after today it tells nothing.
func TestSapSeenMeansTapped(t *testing.T) {
	plan := func(asOf civil.Date, sightings ...phenology.Sighting) *calendar.Plan {
		p := dryingByAge(calendartest.MadePlan(asOf, 20, 0, "sugar maple", "red maple"))
		p.Places[0].Outlook.Sightings, p.Places[0].Outlook.Known = sightings, p.Places[0].Species
		return p
	}
	season := func(p *calendar.Plan) *Season { return SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027) }
	on := func(d civil.Date) phenology.Sighting {
		return phenology.Sighting{Date: d, Site: "made", Species: "acer-saccharum", Phase: phenology.SapStart}
	}
	// The first day on which the record alone advises to tap, and a day later still does.
	first := civil.Of(2027, time.February, 1)
	for season(plan(first)).Advice != TapNow {
		if first++; first > civil.Of(2027, time.April, 30) {
			t.Fatal("it was never advised to tap")
		}
	}
	other := on(first)
	other.Species = "acer-rubrum"
	for _, c := range []struct {
		what      string
		asOf      civil.Date
		sightings phenology.Sightings
		advice    Advice
		tapDay    civil.Date
	}{
		{"nothing", first + 1, nil, TapNow, first},
		{"after the advice", first + 3, phenology.Sightings{on(first + 2)}, TakenDone, first},
		{"on its day", first, phenology.Sightings{on(first)}, TakenDone, first},
		{"before it", first - 5, phenology.Sightings{on(first - 7)}, TakenDone, first - 7},
		{"long before it", first + 1, phenology.Sightings{on(first - 20)}, TakenDone, first - 20},
		{"last year", first + 1, phenology.Sightings{on(first - 365)}, TapNow, first},
		{"on red maple", first + 1, phenology.Sightings{other}, TapNow, first},
	} {
		p := plan(c.asOf, c.sightings...)
		s := season(p)
		if s.Advice != c.advice || s.TapDay != civil.Some(c.tapDay) || s.SapSeen.Known() != (c.advice == TakenDone) {
			t.Errorf("sap seen, %s: %s, holes in since %v, seen %v; want %s and %s", c.what, s.Advice, s.TapDay, s.SapSeen, c.advice, c.tapDay)
		}
		if dry := s.fading(c.tapDay).Dry; s.Dry != civil.Some(dry) {
			t.Errorf("sap seen, %s: holes dry on %v, want %s", c.what, s.Dry, dry)
		}
		for _, e := range schedule(p).Entries {
			if e.Task == calendar.TaskTap && e.Season == 2027 && e.Species[0] == s.Species && c.advice == TakenDone {
				t.Errorf("sap seen, %s: still to be tapped, best %s", c.what, e.Best)
			}
		}
	}

	// What the plan says of tapping is surer, and so is the end of the season.
	p := plan(first+3, on(first+2))
	tapped := first + 1
	p.Places[0].Options.Tapping.Tapped = &tapped
	if s := season(p); s.Advice != Tapped || s.TapDay != civil.Some(tapped) || s.SapSeen.Known() {
		t.Errorf("tapped by the plan, and yet %s since %v", s.Advice, s.TapDay)
	}
	if s := season(plan(civil.Of(2027, time.June, 20), on(first+2))); s.Advice != Over {
		t.Errorf("in June %s, want %s", s.Advice, Over)
	}

	// And it holds where there is no record to decide by.
	p = plan(first+3, on(first+2))
	p.Places[0].Outlook.Temps = nil
	if s := season(p); s.Advice != TakenDone || s.TapDay != civil.Some(first+2) || s.TapFacts().Price != nil {
		t.Errorf("from the place alone: %s since %v", s.Advice, s.TapDay)
	}
	for _, e := range schedule(p).Entries {
		if e.Task == calendar.TaskTap && e.Season == 2027 && e.Species[0].ID == "acer-saccharum" {
			t.Errorf("from the place alone: still to be tapped, %+v", e.Facts)
		}
	}
}
