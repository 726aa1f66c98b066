package words

import (
	"slices"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

func TestPairs(t *testing.T) {
	for _, row := range []struct {
		n    outing.Pairs
		want string
	}{
		{outing.Pairs{}, ""},
		{outing.Pairs{AtAGlance: 1}, "The two can be told apart at a glance."},
		{outing.Pairs{NotByColor: 1}, "The two can be told apart, though not by their colors."},
		{outing.Pairs{WithCare: 1}, "Of 1 pair, 1 can be told apart only with care."},
		{outing.Pairs{NotApart: 1}, "Of 1 pair, our tables tell none apart that day."},
		{outing.Pairs{AtAGlance: 3}, "All 3 pairs can be told apart at a glance."},
		{outing.Pairs{NotByColor: 3, WithCare: 1, NotApart: 2}, "Of 6 pairs, 3 can be told apart by other characters " +
			"than color, 1 only with care, 2 by nothing that our tables hold that day."},
	} {
		if got := pairs(row.n); got != row.want {
			t.Errorf("%+v: found %q, want %q", row.n, got, row.want)
		}
	}
}

func TestTraits(t *testing.T) {
	for _, row := range []struct {
		t    phenology.Trait
		want string
	}{
		{phenology.Trait{Organ: "bud", Name: "color", Text: "reddish brown"}, "bud: reddish brown"},
		{phenology.Trait{Organ: "bud", Name: "tip", Text: "round buds"}, "round buds"},
		{phenology.Trait{Organ: "fruit", Name: "kind", Text: "paired samaras"}, "paired samaras"},
		{phenology.Trait{Organ: "habit", Name: "ground", Text: "stream banks"}, "grows: stream banks"},
		{phenology.Trait{Organ: "habit", Name: "form", Text: "often of several stems"}, "often of several stems"},
		{phenology.Trait{Organ: "bud", Name: "end-bud-size", States: []string{"small", "medium"}},
			"end bud small or middling"},
		{phenology.Trait{Organ: "leaf", Name: "edge", States: []string{"fine-teeth", "double-teeth", "own-word"}},
			"leaf edge finely toothed, with small teeth on large ones or own-word"},
		{phenology.Trait{Organ: "fruit", Name: "angle", Low: 60, High: 90, Unit: "degrees"},
			"60 to 90 degrees between the two wings"},
	} {
		if got := Trait(&row.t, phrase.Speech{}); got != row.want {
			t.Errorf("found %q, want %q", got, row.want)
		}
	}
}

// What several notes of a site say of one species each is said once.
func TestNotesOfSeveralSpecies(t *testing.T) {
	site, other := &phenology.Site{Name: "A"}, &phenology.Site{Name: "B"}
	species := func(name string) *phenology.Species { return &phenology.Species{ID: name, Common: []string{name}} }
	oak, elm := species("oak"), species("elm")
	flowers := calendar.Sight{Phase: phenology.Flowering}
	got := Notes([]calendar.Note{
		{Says: "of all"}, {Site: site, Says: outing.NeverBare{Species: oak}},
		{Site: site, Says: outing.Undated{See: flowers, Species: oak}},
		{Site: site, Says: outing.NeverBare{Species: elm}}, {Site: other, Says: outing.NeverBare{Species: elm}},
	}, phrase.Speech{})
	want := []string{
		"of all", "A: no twig survey for oak and elm: leaf fall or bud swell cannot be dated here",
		"A: no date here, so no trip, for oak in flower",
		"B: no twig survey for elm: leaf fall or bud swell cannot be dated here",
	}
	if !slices.Equal(got, want) {
		t.Errorf("found %q, want %q", got, want)
	}
}

// Every sight that a wish can name by its phase has words.
func TestSights(t *testing.T) {
	for p := range phenology.Dormant + 1 {
		said := phaseSights[p]
		if _, err := calendar.ParseSight(p.String()); err == nil && (said.what == "" || said.of == "") {
			t.Errorf("%s: found no words", p)
		}
	}
}
