package seed

import (
	"encoding/json"
	"regexp"
	"testing"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func TestTestByFruit(t *testing.T) {
	cut := []phenology.MaturitySign{{}, {Test: phenology.CutTest}}
	float := []phenology.MaturitySign{{Test: phenology.FloatTest}}
	for _, tt := range []struct {
		fruit phenology.Fruit
		signs []phenology.MaturitySign
		want  SampleTest
	}{
		{phenology.Acorn, nil, FloatNuts},
		{phenology.Acorn, float, ""},
		{phenology.Nut, cut, FloatNuts}, // of which nobody has said that they sink
		{phenology.Drupe, float, CutStones},
		{phenology.Pome, cut, ""},
		{phenology.SeedCatkin, nil, CutCones},
		{phenology.Samara, nil, CutSamaras},
		{phenology.Samara, cut, ""},
		{phenology.Pod, nil, ""},
		{phenology.Capsule, nil, ""},
	} {
		if got := testOf(&phenology.Seed{Fruit: tt.fruit, MaturitySigns: tt.signs}); got != tt.want {
			t.Errorf("%s with %v: %q, want %q", tt.fruit, tt.signs, got, tt.want)
		}
	}
}

func TestVisits(t *testing.T) {
	for p, want := range map[float64]Visits{1: OneVisit, 0.8: OneVisit, 0.799: CheckedVisit, 0.5: CheckedVisit, 0.499: ChecksDecide, 0: ChecksDecide} {
		if got := visitsFor(p); got != want {
			t.Errorf("%v: %s, want %s", p, got, want)
		}
	}
}

// What stands in feeds keeps to the letters that they have room for.
func TestEssence(t *testing.T) {
	two := &Treatment{Steps: []Step{{Kind: phenology.WarmStratify, Days: 60}, {Kind: phenology.ColdStratify, Days: 90}}}
	late := &Shortfall{Needs: sowSpread + 1, Species: &phenology.Species{Seed: &phenology.Seed{Storage: phenology.Orthodox}}}
	soon := &Shortfall{Species: &phenology.Species{Seed: &phenology.Seed{Storage: phenology.Recalcitrant}}}
	form := regexp.MustCompile(`^[a-z0-9-]+$`)
	for _, tt := range []struct {
		facts Facts
		want  string
	}{
		{&Collection{Visits: CheckedVisit}, "visits=one-checked "},
		{&Collection{Visits: OneVisit, MayForbid: true, Crop: &calendar.CropNote{Crop: calendar.GoodCrop}}, "visits=one crop=good may-forbid "},
		{&Scout{}, ""}, {&Check{}, ""}, {&Cleaning{}, ""}, {&Store{}, ""}, {&Germination{}, ""},
		{&Germination{Wintered: true}, "wintered "},
		{&Stratification{Step: 2, Treatment: two}, "step=cold-2-of-2 "},
		{&Stratification{Step: 1, Treatment: two, Late: late}, "step=warm-1-of-2 put-off=to-another-spring "},
		{&Sow{How: InSpring, Late: soon}, "how=in-spring put-off=days "},
	} {
		got := ""
		for _, f := range tt.facts.Essence() {
			got += f.Name
			if text, ok := f.Value.(string); ok {
				got += "=" + text
				if !form.MatchString(text) || !form.MatchString(f.Name) {
					t.Errorf("%s=%s is not of a-z 0-9 -", f.Name, text)
				}
			}
			got += " "
		}
		if got != tt.want {
			t.Errorf("%T: %q, want %q", tt.facts, got, tt.want)
		}
	}
}

func TestFactsInJSON(t *testing.T) {
	for _, tt := range []struct {
		facts Facts
		want  string
	}{
		{&Collection{Ripe: Usually{20000, 20010}, Stays: 9, One: 0.347, Visits: ChecksDecide},
			`{"ripe":{"from":"2024-10-04","to":"2024-10-14"},"stays_days":9,"one_visit":0.35,"visits":"as-checks-decide"}`},
		{&Stratification{Step: 1, Treatment: &Treatment{Steps: []Step{{Kind: phenology.ColdStratify, Days: 65}}}, Sowing: &Sowing{On: 20000, By: ByPlan}},
			`{"step":1,"treatment":{"steps":[{"kind":"cold","days":65}]},"sowing":{"on":"2024-10-04","by":"plan"}}`},
		{&Sow{How: AtOnce, Treatment: &Treatment{}}, `{"how":"at-once"}`},
	} {
		if got, err := json.Marshal(tt.facts); err != nil || string(got) != tt.want {
			t.Errorf("%T: %s (%v), want %s", tt.facts, got, err, tt.want)
		}
	}
}

// The days of a look at the crop move as far as the flowers and the collection that set them, and no farther where the one
// takes over from the other; none lies before the crop can be seen.
func TestScoutingDoesNotJump(t *testing.T) {
	const collect = civil.Date(1000)
	by := map[bool]bool{}
	var before civil.Span
	for flower := collect - 80; flower < collect; flower++ {
		best, days, byFlowers := scoutDays(collect, 5, civil.Some(flower))
		by[byFlowers] = true
		if flower > collect-80 && (civil.Apart(days.First, before.First) > 1 || civil.Apart(days.Last, before.Last) > 1) {
			t.Errorf("flowers %d days before: found %v after %v", collect-flower, days, before)
		}
		if !days.Contains(best) || best > collect-7 || days.First < min(flower+afterFlowersMin, best)-4 {
			t.Errorf("flowers %d days before: found %v in %v, want a crop to see", collect-flower, best, days)
		}
		before = days
	}
	if !by[true] || !by[false] {
		t.Error("want both to set the day")
	}
	if best, days, _ := scoutDays(collect, 8, civil.Maybe{}); best != collect-56 || days != (civil.Span{First: best - 14, Last: best + 7}) {
		t.Errorf("found %v in %v", best, days)
	}
}
