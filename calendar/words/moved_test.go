package words

import (
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// A spell of weather has days, and none of them is the best for anything; a tapping that moved has.
func TestNoDayOfASpellIsTheBest(t *testing.T) {
	first := civil.Of(2027, time.March, 3)
	for _, of := range []calendar.Facts{&tapping.WarningFacts{}, &tapping.TapFacts{}} {
		task, want := calendar.TaskTap, true
		if _, spell := of.(*tapping.WarningFacts); spell {
			task, want = calendar.TaskWarmSpell, false
		}
		was := calendar.Memory{Window: civil.Span{First: first, Last: first + 2}, Best: civil.Some(first), Told: map[string]string{}}
		for _, fact := range of.Essence() {
			was.Told[fact.Name] = "no"
		}
		is := was
		is.Window.Last += 4
		for _, lang := range []phrase.Language{"", phrase.French} {
			as := phrase.Speech{Language: lang}
			e := &calendar.Entry{Task: task, Activity: calendar.Tapping, Window: is.Window, Best: first, Speech: as, Facts: of,
				Species: []*phenology.Species{{ID: "acer-saccharum", Common: []string{"sugar maple"}}},
				Moved:   &calendar.Moved{On: first - 1, Was: was.Window, WasBest: was.Best}}
			for _, text := range []string{Moved(e), Revision("It", was, is, as)} {
				if got := strings.Contains(text, "best") || strings.Contains(text, "mieux"); got != want {
					t.Errorf("%s: %q", task, text)
				}
			}
		}
	}
}

// A run that has become part of another is not said to be expected no longer.
func TestRunThatIsPartOfAnother(t *testing.T) {
	day := civil.Of(2027, time.March, 10)
	was := calendar.Memory{Window: civil.Span{First: day, Last: day}}
	is := was
	is.Cancelled, is.PartOf = true, civil.Span{First: day - 8, Last: day + 1}
	for lang, want := range map[phrase.Language][2]string{
		"": {"It: part of the run of 2 to 11 Mar, was 10 Mar", "Part of the run of 2 to 11 Mar, as of 5 March 2027. What stood here:"},
		phrase.French: {"It\u00a0: fait partie de la coulée du 2 au 11 mars, était le 10 mars",
			"Fait partie de la coulée du 2 au 11 mars, depuis le 5 mars 2027. Ici se trouvait\u00a0:"},
	} {
		as := phrase.Speech{Language: lang}
		text := LabelsIn(as).CancelledText(day-5, is.PartOf, "It.")
		if got := Revision("It", was, is, as); got != want[0] || !strings.HasPrefix(text, want[1]) {
			t.Errorf("found %q and %q, want %q", got, text, want)
		}
	}
}

// Of a run or a spell that has begun no chance is told.
func TestRevisionTellsThatARunHasBegun(t *testing.T) {
	day := civil.Of(2027, time.March, 10)
	for fact, want := range map[string]string{"size": "has begun", "begun": "has begun", "holes-end-it": "chance was 60 %, is 100 %"} {
		was := calendar.Memory{Window: civil.Span{First: day, Last: day}, Chance: 60, Told: map[string]string{fact: "no"}}
		is := was
		is.Chance = 100
		if got := Revision("It", was, is, phrase.Speech{}); got != "It, 10 Mar: "+want {
			t.Errorf("%s: found %q", fact, got)
		}
	}
}

// What is said of a gap before a forecast stands in feeds, and does not change because a morning passes.
func TestAGapIsSaidAlikeEveryMorning(t *testing.T) {
	last := civil.Some(civil.Of(2027, time.March, 3))
	for _, what := range []calendar.Flaw{calendar.BeginsLate, calendar.Bridged} {
		for _, as := range []phrase.Speech{{}, {Language: phrase.French}} {
			said := map[string]bool{}
			for day := civil.Date(8); day < 11; day++ {
				said[Doubt(calendar.Doubt{What: what, Day: last.Or(0) + day, Observed: last}, as)] = true
			}
			if len(said) != 1 {
				t.Errorf("%s: %v", what, said)
			}
		}
	}
}

// A revision says which fact became another, in words and not in the names of feeds; the general words are for what has no
// name.
func TestARevisionSaysWhatChanged(t *testing.T) {
	told := func(facts ...string) calendar.Memory {
		m := calendar.Memory{Window: civil.Span{First: 3, Last: 3}, State: "open", Chance: 70, Told: map[string]string{}}
		for i := 0; i < len(facts); i += 2 {
			m.Told[facts[i]] = facts[i+1]
		}
		return m
	}
	done, hours, chance := told(), told(), told("flowering-acer-rubrum", "30%")
	done.State, hours.Hours, chance.Chance = "done", calendar.Hours{Start: 9 * 60, End: 11 * 60}, 71
	later := hours
	later.Hours.End += 30
	var english phrase.Speech
	french := phrase.Speech{Language: phrase.French}
	for _, row := range []struct {
		was, is calendar.Memory
		as      phrase.Speech
		want    string
	}{
		{told(), told(), english, "its details changed"},
		{calendar.Memory{Window: told().Window, Chance: 70}, told("crop", "good"), english, "its details changed"},
		{told(), done, english, "is done"},
		{hours, later, english, "hours were 09:00 to 11:00, are 09:00 to 11:30"},
		{told("crop", "good"), told("crop", "light"), english, "crop was good, is light"},
		{told(), told("crop", "good"), english, "crop is good"},
		{told("visits", "one"), told("visits", "as-checks-decide"), english, "one visit is not to be relied on"},
		{told(), told("put-off", "to-another-spring"), english, "sowing is put off to another spring"},
		{told("put-off", "days"), told(), english, "sowing is not put off"},
		{told("rain", "20270501"), told("rain", "20270503"), english, "rain date was 1 May, is 3 May"},
		{told("for", "leaf-color"), told("for", "seed-fall+fruit-ripe+fruit-angle"), english,
			"is to see falling seed, seed ripe and fruit angle"},
		{told("flowering-acer-rubrum", "30%", "leaf-color-acer-rubrum", "50%"), chance, english,
			"chance of red maple in autumn color was 50 %, is under 20 %; chance was 70 %, is 71 %"},
		{told("advice", "wait"), told("advice", "tap-now"), french, "conseil\u00a0: attendez, maintenant entaillez"},
		{told("begun", "no"), told("begun", "yes"), french, "a commencé"},
		{told("holes-end-it", "no"), told("holes-end-it", "yes"), french, "les entailles tarissent avant la fin de la saison"},
	} {
		red := &phenology.Species{ID: "acer-rubrum", Common: []string{"red maple"}}
		_, got, _ := strings.Cut(Revision("It", row.was, row.is, row.as, red), tongue{row.as}.colon())
		if got != row.want {
			t.Errorf("found %q, want %q", got, row.want)
		}
	}
}
