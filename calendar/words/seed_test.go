package words_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

func species(t testing.TB, name string) *phenology.Species {
	t.Helper()
	sp, err := profiles.Builtin().Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return sp
}

// seedWork is two years of seed work of some species at an invented nursery, as of 1 March 2027.
func seedWork(p *calendar.Place, list ...*phenology.Species) *calendar.Schedule {
	p.Species = list
	return buildtest.Schedule(&calendar.Plan{
		AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-12-31"), Places: []*calendar.Place{p},
	})
}

func first(t testing.TB, s *calendar.Schedule, task calendar.Task) words.Text {
	t.Helper()
	i := slices.IndexFunc(s.Entries, func(e *calendar.Entry) bool { return e.Task == task })
	if i < 0 {
		t.Fatalf("no %s", task)
	}
	return words.Say(s.Entries[i])
}

// has reports whether one of a list of texts has a part in it.
func has(list []string, part string) bool {
	return slices.ContainsFunc(list, func(text string) bool { return strings.Contains(text, part) })
}

// withLots is a nursery with a lot of each species of the library in store, and others that lie in the cold or sprout.
func withLots() *calendar.Place {
	p := calendartest.Nursery()
	for _, sp := range profiles.Builtin().All() {
		for lot, what := range map[string]calendar.LotStep{
			"stored": calendar.LotStored, "cold": calendar.LotStratified, "roots": calendar.LotSprouting,
		} {
			n := calendar.LotNote{Lot: sp.ID + lot, Date: calendartest.Day("2027-03-05"), Species: sp, What: calendar.LotCollected}
			p.Lots = append(p.Lots, n)
			n.Date, n.What = n.Date+7, what
			p.Lots = append(p.Lots, n)
		}
	}
	return p
}

// Whatever the library, the place and the plan, all is said, and nothing is said of what is not there.
func TestAllSeedWorkIsSaid(t *testing.T) {
	frost, second := calendartest.Nursery(), calendartest.Nursery()
	frost.Options.Seed.FrostRisk = 0.1
	second.Options.Seed.SowingOf = map[string]calendar.SowingRule{}
	for _, sp := range profiles.Builtin().All() {
		second.Options.Seed.SowingOf[sp.ID] = calendar.SowingRule{Second: true}
	}
	south := calendartest.Nursery()
	south.Outlook.Site.Latitude, south.Outlook.Site.Longitude = -42, 146
	tasks := map[calendar.Task]int{}
	for _, p := range []*calendar.Place{frost, second, south, withLots()} {
		s := seedWork(p, profiles.Builtin().All()...)
		for _, e := range s.Entries {
			tasks[e.Task]++
			said := words.Say(e)
			if said.Summary == "" || said.ChanceOf == "" || said.Basis == "" || len(said.Reasons) == 0 ||
				len(said.Sources) == 0 && e.State == calendar.Open || len(said.Reminders) != len(e.Reminders) {
				t.Errorf("%s of %s: %+v", e.Task, e.Species[0].ID, said)
			}
			for _, list := range [][]string{{said.Summary, said.ChanceOf, said.Basis}, said.Reasons, said.LookFor, words.Minded(said.Cautions), said.Sources, said.Reminders} {
				for _, text := range list {
					if text == "" || strings.Contains(text, "%!") || strings.Contains(text, "  ") || text != strings.TrimSpace(text) {
						t.Errorf("%s of %s says %q", e.Task, e.Species[0].ID, text)
					}
				}
			}
		}
		for _, n := range words.Notes(s.Notes, s.Speech) {
			if strings.Contains(n, "{") {
				t.Errorf("a note without words: %q", n)
			}
		}
	}
	for _, task := range calendar.SeedTasks() {
		if tasks[task] == 0 {
			t.Errorf("no entry of %s was looked at", task)
		}
	}
}

func TestEveryKitItemIsSaid(t *testing.T) {
	said := map[string]bool{}
	for k := seed.Binoculars; k <= seed.CountFrame; k++ {
		what, of := words.Kit(seed.KitItem{What: k, For: []*phenology.Species{species(t, "sugar maple"), species(t, "Norway maple")}},
			phrase.Speech{})
		if what == "" || said[what] || !slices.Equal(of, []string{"sugar maple", "Norway maple"}) {
			t.Errorf("%d: %q for %q", k, what, of)
		}
		said[what] = true
	}
}

func TestASowingPutOffNamesWhatToDo(t *testing.T) {
	p := calendartest.Nursery()
	p.Options.Seed.Sowing, p.Options.Seed.SowingSet, p.Options.Seed.SowingLine = civil.MonthDay{Month: time.February, Day: 15}, true, 7
	w := seedWork(p, species(t, "nannyberry"))
	found := words.Notes(w.Notes, phrase.Speech{})
	if len(found) != 1 {
		t.Fatalf("notes %q", found)
	}
	for _, want := range []string{"sowing nannyberry on Tue 15 Feb 2028 leaves 135 days", "at least 210 (warm 150, then cold 60)",
		"75 days short", "the last good start for that date is Tue 20 Jul 2027; it is put off to Thu 15 Feb 2029"} {
		if !strings.Contains(found[0], want) {
			t.Errorf("%q lacks %q", found[0], want)
		}
	}
	put := w.Notes[0].Says.(seed.Shortfall)
	if got, want := words.SowingHint(&put), "sowing_of: {viburnum-lentago: second-spring}"; !strings.Contains(got, want) {
		t.Errorf("hint %q lacks %q", got, want)
	}
	if sow := first(t, w, calendar.TaskStratify); !has(sow.Reasons, "Put off to another spring, since sowing nannyberry") {
		t.Errorf("reasons %q", sow.Reasons)
	}
}

func TestLawComesFirst(t *testing.T) {
	for _, name := range []string{"Norway maple", "butternut"} {
		e := first(t, seedWork(calendartest.Nursery(), species(t, name)), calendar.TaskCollect)
		if !strings.HasPrefix(e.Cautions[0].Text, "Check the law first: ") || !strings.HasSuffix(e.Summary, ", if the law allows") {
			t.Errorf("%s: %q, first caution %q", name, e.Summary, e.Cautions[0])
		}
	}
}

func TestAStandsNotesAreInItsEntry(t *testing.T) {
	p := calendartest.Nursery()
	site := p.Outlook.Site
	site.Elevation = 60
	maple := species(t, "red maple")
	p.Stands = []*calendar.Stand{{ID: "flood-bank", Name: "Flood bank", Outlook: &phenology.Outlook{Site: site},
		Species: []*phenology.Species{maple}, SeedZone: "River 2", Permit: "asked for", Owner: "R. Alder, call first"}}
	s := seedWork(p, maple)
	for _, task := range []calendar.Task{calendar.TaskScout, calendar.TaskRipeness, calendar.TaskCollect} {
		e := first(t, s, task)
		if !strings.Contains(e.Summary, "(Flood bank)") || !has(words.Minded(e.Cautions), "Flood bank, permit: asked for") ||
			!has(words.Minded(e.Cautions), "Flood bank, landowner: R. Alder, call first") {
			t.Errorf("%s: the stand's notes are not in its entry: %+v", task, e)
		}
	}
	if e := first(t, s, calendar.TaskCollect); !has(e.LookFor, "Flood bank, 60 m, seed zone River 2") {
		t.Errorf("labels %q", e.LookFor)
	}
}

func TestReasonsOfSowingAndCrop(t *testing.T) {
	p := calendartest.Nursery()
	rule := calendar.SowingRule{On: civil.MonthDay{Month: time.October, Day: 25}}
	p.Options.Seed.SowingOf = map[string]calendar.SowingRule{"quercus-rubra": rule, "fraxinus-americana": rule}
	for name, want := range map[string]string{
		"northern red oak": "The winter in the bed takes the place of: cold moist stratification for 30 to 45 days",
		"white ash":        "sown now, most of it comes up in the second spring",
	} {
		if sow := first(t, seedWork(p, species(t, name)), calendar.TaskSow); !has(sow.Reasons, want) {
			t.Errorf("%s: %q", name, sow.Reasons)
		}
	}
	p.Crops = []calendar.CropNote{{Date: calendartest.Day("2027-08-20"), Species: "fraxinus-americana", Crop: calendar.BumperCrop, Note: "all trees."}}
	collect := first(t, seedWork(p, species(t, "white ash")), calendar.TaskCollect)
	if want := "Crop scouted on Fri 20 Aug 2027: bumper (all trees). Its seed keeps"; !has(collect.Reasons, want) {
		t.Errorf("reasons %q lack %q", collect.Reasons, want)
	}
}
