package outing_test

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/outing"
	"treewhen/phenology"
	"treewhen/profiles"
)

// What JSON and feeds have of an outing's facts: species by their ids, no figure finer than it is known, and nothing of
// a sheet.
func TestFactsOfOutings(t *testing.T) {
	plan := calendartest.School(func(p *calendar.Place) {
		p.Activities = []calendar.Activity{calendar.FieldTrip, calendar.TwigSurvey}
		p.Outlook.Temps = temperatures(p.Outlook.Site, 8, 13)
	})
	for _, e := range buildtest.Schedule(plan).Entries {
		data, err := json.Marshal(e.Facts)
		if err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(data, &got); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(data), "null") || len(data) > 2500 {
			t.Errorf("%s: found\n%s", e.Task, data)
		}
		light := e.Facts.(interface{ Lighten() calendar.Facts }).Lighten()
		line := e.Facts.(interface{ Line() calendar.Facts }).Line()
		if again, err := json.Marshal(light); err != nil || !bytes.Equal(again, data) {
			t.Errorf("%s: found %s without a sheet, want %s", e.Task, again, data)
		}
		if !reflect.DeepEqual(e.Facts.Essence(), light.Essence()) || light.(outing.Facts).OfDay().Sheet != nil ||
			outing.SheetOf(e) == nil {
			t.Errorf("%s: found another essence without a sheet", e.Task)
		}
		if !reflect.DeepEqual(line.(outing.Facts).OfDay().Minded, e.Facts.(outing.Facts).OfDay().Minded) {
			t.Errorf("%s: a line minds other species", e.Task)
		}
		trip, ok := e.Facts.(*outing.Trip)
		if !ok {
			continue
		}
		chances := got["chances"].(map[string]any)
		told := map[string]any{}
		for _, f := range e.Facts.Essence() {
			if told[f.Name] != nil || strings.Trim(f.Name, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
				t.Errorf("found fact %q", f.Name)
			}
			told[f.Name] = f.Value
		}
		if told["number"] != strconv.Itoa(trip.Number) || told["rain"] != trip.Rain.To || got["school_year"] != 2027. {
			t.Errorf("found %v and %v", told, got)
		}
		// A species is named from a fifth on, and what the day was chosen for on its likeliest in any case.
		for i, s := range trip.Sights {
			for k, x := range s.On {
				p, named := told[s.See.String()+"-"+x.Species.ID]
				if named != (x.P >= 0.2 || i == 0 && k == 0) || named && p != calendar.Chance(x.P) {
					t.Errorf("%v of %s, %.3f: found %v told", s.See, x.Species.ID, x.P, p)
				}
				of, _ := chances[s.See.String()].(map[string]any)
				if x.P >= 0.005 && math.Abs(of[x.Species.ID].(float64)-x.P) > 0.0051 {
					t.Errorf("%v of %s: found %v in JSON, want %.2f", s.See, x.Species.ID, of[x.Species.ID], x.P)
				}
			}
		}
	}
}

// Two wishes for the same of one species are one thing to see, of their weights together.
func TestWishesThatOverlap(t *testing.T) {
	trips := func(wishes ...calendar.Wish) *outing.Trip {
		plan := calendartest.School(func(p *calendar.Place) { p.Options.Trip.Wishes = wishes })
		return tripOf(pick(buildtest.Schedule(plan), calendar.TaskTrip)[0])
	}
	flowers := calendar.Sight{Phase: phenology.Flowering}
	got := trips(calendar.Wish{See: flowers, Weight: 1},
		calendar.Wish{See: flowers, Species: []string{"acer-rubrum"}, Weight: 2})
	if got.Among != 5 || got.Wished != 7 || !got.Weighted || len(got.Sights[0].On) != 5 {
		t.Errorf("found %d species and a weight of %v, want 5 and 7", got.Among, got.Wished)
	}
}

// No trip to ripe fruit is almost certain where nobody has looked up when it ripens; once it was seen here, it may be.
func TestRecalledRipeningIsNeverAlmostSure(t *testing.T) {
	trip := func(seen bool) *calendar.Entry {
		plan := calendartest.School(func(place *calendar.Place) {
			place.Species = nil
			names := []string{"box elder", "sugar maple", "Norway maple", "red oak", "white oak", "paper birch"}
			for _, name := range names {
				sp, err := profiles.Builtin().Find(name)
				if err != nil {
					t.Fatal(err)
				}
				place.Species = append(place.Species, sp)
				for _, year := range []string{"2024", "2025", "2026"} {
					if seen {
						place.Outlook.Sightings = append(place.Outlook.Sightings, phenology.Sighting{
							Date: calendartest.Day(year + "-09-20"), Site: place.Site().ID, Species: sp.ID,
							Phase: phenology.FruitRipe,
						})
					}
				}
			}
			place.Outlook.Known = place.Species
			place.Options.Trip.Trips = 1
			place.Options.Trip.Wishes = []calendar.Wish{{See: calendar.Sight{Phase: phenology.FruitRipe}, Weight: 1}}
		})
		return buildtest.Schedule(plan).Entries[0]
	}
	recalled := trip(false)
	if p := recalled.Probability; p > calendar.SurestRecalled || p < 0.8 || !recalled.Rests.Recalled {
		t.Errorf("found %.2f, recalled: %v; want %g at most, and that said", p, recalled.Rests.Recalled,
			calendar.SurestRecalled)
	}
	for _, s := range outing.SheetOf(recalled).Sights {
		for _, x := range s.On {
			if x.P > calendar.SurestRecalled {
				t.Errorf("%s: found %.2f, on a recalled date", x.Species.ID, x.P)
			}
		}
	}
	if e := trip(true); e.Probability <= calendar.SurestRecalled || e.Rests.Recalled {
		t.Errorf("seen here: found %.2f, recalled: %v; want more than what is recalled may have", e.Probability,
			e.Rests.Recalled)
	}
}
