package seed_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/build/buildtest"
	"treewhen/calendar/calendartest"
	"treewhen/calendar/seed"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/profiles"
)

func find(t testing.TB, names ...string) (list []*phenology.Species) {
	t.Helper()
	for _, n := range names {
		sp, err := profiles.Builtin().Find(n)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, sp)
	}
	slices.SortFunc(list, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
	return list
}

// buildSeed builds the work of growing years up to the end of 2028, as of 1 March 2027.
func buildSeed(places ...*calendar.Place) *calendar.Schedule {
	return buildtest.Schedule(&calendar.Plan{Title: "x", AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-12-31"), Places: places})
}

func only(s *calendar.Schedule, species string, season int, task calendar.Task) (list []*calendar.Entry) {
	for _, e := range s.Entries {
		if e.Species[0].ID == species && e.Season == season && e.Task == task {
			list = append(list, e)
		}
	}
	return list
}

// said reports whether the schedule has a note.
func said(s *calendar.Schedule, note any) bool {
	return slices.ContainsFunc(s.Notes, func(n calendar.Note) bool { return n.Says == note })
}

func one(t testing.TB, s *calendar.Schedule, species string, season int, task calendar.Task) *calendar.Entry {
	t.Helper()
	list := only(s, species, season, task)
	if len(list) != 1 {
		t.Fatalf("%d entries of %s for %s in %d, want 1", len(list), task, species, season)
	}
	return list[0]
}

// Every species of the east is collected between the months in which the seed manual has it ripe and those in which it
// sheds, a fortnight to either side: see the table of months in profiles.
func TestEverySpeciesIsCollectedInItsMonths(t *testing.T) {
	p := calendartest.Nursery()
	p.Species, p.Chosen = profiles.Builtin().All(), false
	s := buildSeed(p)
	var far []*phenology.Species
	for _, sp := range p.Species {
		list := only(s, sp.ID, 2027, calendar.TaskCollect)
		if len(list) == 0 {
			far = append(far, sp)
			continue
		}
		e := list[0]
		ripe, falls := sp.Phase(phenology.FruitRipe).Months, sp.Phase(phenology.SeedFall).Months
		if falls == nil { // cones that hold their seed for years
			falls = ripe
		}
		first := civil.Of(2027, time.Month(ripe.From), 1)
		to := falls.To
		if to < ripe.From {
			to += 12
		}
		last := civil.Of(2027+to/12, time.Month(to%12+1), 1) - 1
		if e.Best < first-14 || e.Best > last+14 {
			t.Errorf("%s: best on %s, the manual has it ripe from month %d and shed by month %d", sp.ID, e.Best, ripe.From, falls.To)
		}
		if !e.Window.Contains(e.Best) || e.Probability < 0.7 || e.Probability > 0.99 {
			t.Errorf("%s: best %s in %v with %v", sp.ID, e.Best, e.Window, e.Probability)
		}
		if said := words.Say(e); len(said.LookFor) < 3 || len(said.Sources) == 0 || len(said.Reasons) < 3 || len(said.Cautions) < 3 {
			t.Errorf("%s: an entry without reasons, signs, cautions or sources: %+v", sp.ID, said)
		}
		for _, task := range []calendar.Task{calendar.TaskScout, calendar.TaskProcess, calendar.TaskSow, calendar.TaskGerminated} {
			if sp.Seed.Processing == nil && task == calendar.TaskProcess {
				continue
			}
			if len(only(s, sp.ID, 2027, task)) == 0 {
				t.Errorf("%s: no %s", sp.ID, task)
			}
		}
		if checks := only(s, sp.ID, 2027, calendar.TaskRipeness); len(checks) != 2 || checks[0].Best >= checks[1].Best {
			t.Errorf("%s: ripeness checks %v", sp.ID, checks)
		}
	}
	// They grow on the other side of the continent, or in the far south.
	said := strings.Join(words.Notes(s.Notes, s.Speech), "\n")
	for _, sp := range far {
		if !strings.Contains(said, sp.Name()) {
			t.Errorf("%s has no date, and nothing is said of it:\n%s", sp.ID, said)
		}
	}
	for _, sp := range find(t, "vine maple", "bigleaf maple", "yellow buckeye", "coast Douglas-fir", "Garry oak", "slash pine") {
		if !slices.Contains(far, sp) {
			t.Errorf("%s has a date in New Hampshire", sp.ID)
		}
	}
}

func TestOrderOfWork(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "silver maple", "American elm", "red maple", "black cherry", "sugar maple", "northern red oak", "black walnut")
	s := buildSeed(p)
	best := func(name string) civil.Date { return one(t, s, find(t, name)[0].ID, 2027, calendar.TaskCollect).Best }
	for _, pair := range [][2]string{{"silver maple", "red maple"}, {"American elm", "black cherry"}, {"red maple", "black cherry"}, {"black cherry", "northern red oak"}, {"black cherry", "sugar maple"}} {
		if best(pair[0]) >= best(pair[1]) {
			t.Errorf("%s on %s, %s on %s", pair[0], best(pair[0]), pair[1], best(pair[1]))
		}
	}
	for _, name := range []string{"silver maple", "red maple", "American elm"} {
		if b := best(name); b > calendartest.Day("2027-06-30") {
			t.Errorf("%s is collected on %s: it is down by July", name, b)
		}
	}
	// Five to eight weeks ahead, but no crop is judged before its flowers have set.
	for _, e := range s.Entries {
		if e.Task == calendar.TaskScout && e.Season == 2027 {
			collect := one(t, s, e.Species[0].ID, 2027, calendar.TaskCollect)
			weeks := float64(collect.Best-e.Best) / 7
			early := collect.Best < calendartest.Day("2027-07-01")
			if !early && weeks != 6 || early && (weeks < 1 || weeks > 6) {
				t.Errorf("%s is scouted %.1f weeks before", e.Species[0].Name(), weeks)
			}
			if !slices.Contains(collect.After, e.UID) {
				t.Errorf("the collection of %s does not follow its scouting", e.Species[0].Name())
			}
		}
	}
}

// Treatments end at the sowing date, with the days of the seed manual (Agriculture Handbook 727).
func TestStratificationEndsAtSowing(t *testing.T) {
	p := calendartest.Nursery()
	p.Options.Seed.Sowing, p.Options.Seed.SowingSet = civil.MonthDay{Month: time.May, Day: 5}, true
	p.Species = find(t, "sugar maple", "white ash", "black cherry", "flowering dogwood", "black ash", "paper birch")
	s := buildSeed(p)
	for _, tt := range []struct {
		id    string
		steps [][2]int // least and most days of each, in order
	}{
		{"acer-saccharum", [][2]int{{40, 90}}},               // Acer, table 5
		{"fraxinus-americana", [][2]int{{30, 30}, {60, 60}}}, // Fraxinus, pp. 537-542
		{"fraxinus-nigra", [][2]int{{60, 60}, {90, 90}}},     // Fraxinus, pp. 537-542
		{"prunus-serotina", [][2]int{{120, 120}}},            // Prunus
		{"cornus-florida", [][2]int{{120, 120}}},             // Cornus
		{"betula-papyrifera", [][2]int{{60, 75}}},            // Betula
	} {
		sow := one(t, s, tt.id, 2027, calendar.TaskSow)
		if sow.Best != calendartest.Day("2028-05-05") {
			t.Errorf("%s is sown on %s, want the plan's 5 May", tt.id, sow.Best)
		}
		steps := only(s, tt.id, 2027, calendar.TaskStratify)
		if len(steps) != len(tt.steps) {
			t.Errorf("%s: %d steps, want %d", tt.id, len(steps), len(tt.steps))
			continue
		}
		for i, e := range steps {
			end := sow.Best
			if i+1 < len(steps) {
				end = steps[i+1].Best
				if !slices.Contains(steps[i+1].After, e.UID) {
					t.Errorf("%s: step %d does not follow step %d", tt.id, i+2, i+1)
				}
			}
			const weekend = 3 // it begins on the Friday before, or ends on the Monday after
			if days := int(end - e.Best); days < tt.steps[i][0] || days > tt.steps[i][1]+weekend {
				t.Errorf("%s step %d takes %d days, the manual has %d to %d", tt.id, i+1, days, tt.steps[i][0], tt.steps[i][1])
			}
		}
		if !slices.Contains(sow.After, steps[len(steps)-1].UID) {
			t.Errorf("%s: sowing does not follow the treatment", tt.id)
		}
	}
}

// Silver maple's seed and the white oaks' acorns do not keep (Agriculture Handbook 727, Acer and Quercus).
func TestSeedThatDoesNotKeepIsSownAtOnce(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "silver maple", "white oak", "American elm", "red maple", "quaking aspen", "American sycamore")
	s := buildSeed(p)
	for _, sp := range p.Species {
		collect, sow := one(t, s, sp.ID, 2027, calendar.TaskCollect), one(t, s, sp.ID, 2027, calendar.TaskSow)
		wait := int(sow.Best - collect.Best)
		if sp.ID == "platanus-occidentalis" { // stored dry, and sown in spring without treatment
			if wait < 150 || len(only(s, sp.ID, 2027, calendar.TaskStore)) != 1 || len(only(s, sp.ID, 2027, calendar.TaskStratify)) != 0 {
				t.Errorf("sycamore is sown %d days after collection", wait)
			}
			continue
		}
		if how := sow.Facts.(*seed.Sow).How; wait < 1 || wait > 7 || how != seed.AtOnce {
			t.Errorf("%s: sown %s, %d days after collection, want within a week", sp.ID, how, wait)
		}
		if n := len(only(s, sp.ID, 2027, calendar.TaskStore)) + len(only(s, sp.ID, 2027, calendar.TaskStratify)); n != 0 {
			t.Errorf("%s: %d entries of storing or stratifying", sp.ID, n)
		}
	}
}

// A sowing that is some seven days short is put off as it was told the morning before, by days or to another spring, until
// it is clearly the other; without a feed the seven days decide.
func TestHowASowingIsPutOffStays(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "nannyberry")
	ready := one(t, buildSeed(p), "viburnum-lentago", 2027, calendar.TaskCollect).Best + civil.Date(p.Species[0].Seed.ProcessingDays())
	earliest := ready + 150 + 60 // as in [TestSowingDateThatLeavesNoTime]
	span := calendartest.Span("2027-03-01", "2029-12-31")
	told := ""
	morning := func(short int) string {
		wanted := earliest - civil.Date(short)
		p.Options.Seed.Sowing, p.Options.Seed.SowingSet = civil.MonthDay{Month: wanted.Month(), Day: wanted.Day()}, true
		s := buildtest.Schedule(&calendar.Plan{AsOf: span.First, Span: span, Places: []*calendar.Place{p}})
		e := one(t, s, "viburnum-lentago", 2027, calendar.TaskSow)
		told = ""
		for _, f := range e.Facts.Essence() {
			if f.Name == "put-off" {
				told = f.Value.(string)
			}
		}
		if by := e.Best - wanted; (told == "days") != (by > 2 && by < 30) || (told == "to-another-spring") != (by > 300) {
			t.Errorf("%d days short: told %q, and sown %d days later", short, told, by)
		}
		p.Memory = map[string]calendar.Memory{e.UID: {Window: e.Window, Told: map[string]string{"put-off": told}}}
		return told
	}
	for _, row := range []struct {
		short []int
		want  string
	}{
		{[]int{7, 8, 7, 9, 11, 8, 6}, "days"}, {[]int{12, 8, 7, 6, 4, 7, 9}, "to-another-spring"}, {[]int{3, 7, 8}, "days"}, {[]int{0}, ""},
	} {
		for _, short := range row.short {
			if got := morning(short); got != row.want {
				t.Errorf("%d days short: found %q, want %q", short, got, row.want)
			}
		}
	}
	for short, want := range map[int]string{7: "days", 8: "to-another-spring"} {
		if p.Memory = nil; morning(short) != want {
			t.Errorf("%d days short, without a feed: found %q, want %q", short, told, want)
		}
	}
}

func TestSowingDateThatLeavesNoTime(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "nannyberry")
	p.Options.Seed.Sowing, p.Options.Seed.SowingSet, p.Options.Seed.SowingLine = civil.MonthDay{Month: time.February, Day: 15}, true, 7
	s := buildSeed(p)
	if len(s.Notes) != 1 {
		t.Fatalf("%d notes, want 1: %v", len(s.Notes), s.Notes)
	}
	// Ready when the last of the lot is clean; it needs at least 150 days warm and 60 cold (Agriculture Handbook 727, Viburnum).
	ready := one(t, s, "viburnum-lentago", 2027, calendar.TaskCollect).Best + civil.Date(p.Species[0].Seed.ProcessingDays())
	const least = 150 + 60
	sowing := calendartest.Day("2028-02-15")
	want := seed.Shortfall{Species: p.Species[0], How: &p.Species[0].Seed.Pretreatments[0], Wanted: sowing, Ready: ready, Needs: least,
		Sown: calendartest.Day("2029-02-15"), Line: 7}
	if got := s.Notes[0]; got.Says != want || got.Site.ID != "mill-fork" {
		t.Errorf("note %+v, want %+v", got, want)
	}

	// What the hint proposes is taken.
	p.Options.Seed.SowingOf = map[string]calendar.SowingRule{"viburnum-lentago": {Second: true}}
	s = buildtest.Schedule(&calendar.Plan{AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2029-12-31"), Places: []*calendar.Place{p}})
	if len(s.Notes) != 0 || one(t, s, "viburnum-lentago", 2027, calendar.TaskSow).Best != calendartest.Day("2029-02-15") {
		t.Errorf("second spring: %v", s.Notes)
	}

	// A few days are made good by sowing so much later.
	p.Options.Seed.SowingOf = nil
	p.Options.Seed.Sowing = civil.MonthDay{Month: (ready + least - 1).Month(), Day: (ready + least - 1).Day()}
	s = buildSeed(p)
	if sow := one(t, s, "viburnum-lentago", 2027, calendar.TaskSow); sow.Best < ready+least || sow.Window.First != ready+least ||
		len(s.Notes) != 2 || s.Notes[1].Says.(seed.Shortfall).Sown != ready+least { // the first is of the season before
		t.Errorf("a day short: %v, sown on %s of %v", s.Notes, sow.Best, sow.Window)
	}
	p.Options.Seed.Sowing = civil.MonthDay{Month: time.February, Day: 15}

	// A library's worth of species is no choice of the owner's: the date is put off, and the entry says so.
	p.Options.Seed.SowingOf, p.Chosen = nil, false
	s = buildtest.Schedule(&calendar.Plan{AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2029-12-31"), Places: []*calendar.Place{p}})
	sow := one(t, s, "viburnum-lentago", 2027, calendar.TaskSow)
	if len(s.Notes) != 0 || sow.Best != calendartest.Day("2029-02-15") || *sow.Facts.(*seed.Sow).Late != want {
		t.Errorf("not chosen: %v, sown on %s, put off for %+v", s.Notes, sow.Best, sow.Facts.(*seed.Sow).Late)
	}
}

func TestCropsFromScoutingNotes(t *testing.T) {
	notes := func(list ...calendar.CropNote) *calendar.Schedule {
		p := calendartest.Nursery()
		p.Species = find(t, "sugar maple", "white oak")
		p.Crops = list
		return buildSeed(p)
	}
	crop := func(on string, c calendar.Crop) calendar.CropNote {
		return calendar.CropNote{Date: calendartest.Day(on), Species: "acer-saccharum", Crop: c}
	}
	s := notes(crop("2027-08-20", calendar.NoCrop))
	for _, e := range s.Entries {
		if e.Species[0].ID == "acer-saccharum" && e.Season == 2027 {
			t.Errorf("no crop, and yet %s", e.Task)
		}
	}
	none := seed.NothingToCollect{Species: find(t, "sugar maple")[0], Season: 2027, Scouted: calendartest.Day("2027-08-20")}
	if !said(s, none) {
		t.Errorf("notes %v, want %v", s.Notes, none)
	}
	one(t, s, "quercus-alba", 2027, calendar.TaskCollect)
	one(t, s, "acer-saccharum", 2028, calendar.TaskCollect) // next year's crop is another

	s = notes(crop("2027-07-01", calendar.NoCrop), crop("2027-08-20", calendar.BumperCrop))
	latest := crop("2027-08-20", calendar.BumperCrop)
	if got := one(t, s, "acer-saccharum", 2027, calendar.TaskCollect).Facts.(*seed.Collection).Crop; got == nil || *got != latest {
		t.Errorf("collected by the note %+v, want %+v", got, latest)
	}
	s = notes(crop("2026-10-01", calendar.NoCrop))
	one(t, s, "acer-saccharum", 2027, calendar.TaskCollect) // last year's note says nothing of this year

	// What has been scouted in its time need not be scouted again; flower buds counted in winter are no crop yet.
	scouted := func(s *calendar.Schedule) (n int) {
		for _, e := range s.Entries {
			if e.Task == calendar.TaskScout && e.Species[0].ID == "acer-saccharum" && e.Season == 2027 {
				n++
			}
		}
		return n
	}
	early := one(t, notes(), "acer-saccharum", 2027, calendar.TaskScout).Window.First - 10
	if n := scouted(notes(crop(early.String(), calendar.GoodCrop))); n != 0 {
		t.Errorf("the crop was scouted ten days early, and %d scoutings are left", n)
	}
	if n := scouted(notes(crop("2027-02-10", calendar.GoodCrop))); n != 1 {
		t.Errorf("buds were seen in February, and %d scoutings are left, want 1", n)
	}
	s = notes(crop("2027-08-27", calendar.GoodCrop))
	if n := scouted(s); n != 0 {
		t.Errorf("the crop was scouted in August, and %d scoutings are left", n)
	}
	one(t, s, "acer-saccharum", 2027, calendar.TaskCollect)
}

// stands returns an invented flood bank and a hilltop of the nursery's.
func stands(t testing.TB, names ...string) []*calendar.Stand {
	list := find(t, names...)
	at := func(metres float64) *phenology.Outlook {
		site := calendartest.Nursery().Outlook.Site
		site.Elevation = metres
		return &phenology.Outlook{Site: site}
	}
	return []*calendar.Stand{
		{ID: "flood-bank", Name: "Flood bank", Outlook: at(60), Species: list, SeedZone: "River 2", Permit: "asked for", Owner: "R. Alder, call first"},
		{ID: "top-lot", Name: "Top lot", Outlook: at(600), Species: list},
	}
}

func TestStands(t *testing.T) {
	whole := calendartest.Nursery()
	whole.Species = find(t, "red maple", "northern red oak")
	plain := buildSeed(whole)
	withStands := calendartest.Nursery()
	withStands.Species = whole.Species
	withStands.Stands = stands(t, "red maple", "northern red oak")
	s := buildSeed(withStands)

	collect := only(s, "acer-rubrum", 2027, calendar.TaskCollect)
	if len(collect) != 2 || collect[0].Stand.ID != "flood-bank" || collect[1].Stand.ID != "top-lot" {
		t.Fatalf("collections %v, want the flood bank's and then the top lot's", collect)
	}
	// Spring comes later higher up: 540 m are 540/122 times four days by the bioclimatic law, 17.7 days.
	if later := collect[1].Best - collect[0].Best; later < 14 || later > 21 {
		t.Errorf("540 m higher, red maple is collected %d days later, want about 18", later)
	}
	if e := collect[0]; e.Stand.Permit != "asked for" || e.Stand.Outlook != nil || e.Facts.(*seed.Collection).Elevation != 60 {
		t.Errorf("stand %+v, facts %+v", e.Stand, e.Facts)
	}
	// What follows is work on each lot by itself: the seed zone of the one is known, and they must not be mixed.
	sow := only(s, "acer-rubrum", 2027, calendar.TaskSow)
	if len(sow) != 2 || sow[0].Best >= sow[1].Best || sow[0].Lot.SeedZone != "River 2" || !sow[0].Lot.Apart || !sow[1].Lot.Apart {
		t.Fatalf("sowings %+v, want one of each lot, the flood bank's first", sow)
	}
	clean := only(s, "quercus-rubra", 2027, calendar.TaskProcess)
	if len(clean) != 2 || len(clean[0].After) != 1 || len(clean[1].After) != 1 || clean[0].After[0] == clean[1].After[0] {
		t.Errorf("found cleaning of %d lots, want two, each after its own collection", len(clean))
	}
	// Identifiers: that of the work on all seed together goes on as that of one lot; a stand's do not depend on others.
	if a, b := one(t, plain, "acer-rubrum", 2027, calendar.TaskSow).UID, sow[1].UID; a != b {
		t.Errorf("stands changed the site's identifier from %s to %s", a, b)
	}
	withStands.Stands = withStands.Stands[1:]
	if got := one(t, buildSeed(withStands), "acer-rubrum", 2027, calendar.TaskCollect).UID; got != collect[1].UID {
		t.Errorf("a stand's identifier changed with another stand, from %s to %s", collect[1].UID, got)
	}
	seen := map[string]string{}
	for _, e := range s.Entries {
		if other, dup := seen[e.UID]; dup {
			t.Errorf("%s and %s of %s have one identifier", e.Task, other, e.Species[0].ID)
		}
		seen[e.UID] = string(e.Task)
	}
	if one(t, plain, "acer-rubrum", 2027, calendar.TaskCollect).UID == collect[0].UID {
		t.Error("a stand's entry has the identifier of the whole site's")
	}
}

// Stands of one seed zone give one lot, whatever their heights.
func TestStandsOfOneZoneAreOneLot(t *testing.T) {
	p := calendartest.Nursery()
	p.Stands = stands(t, "black cherry")
	p.Stands[1].SeedZone = p.Stands[0].SeedZone
	s := buildSeed(p)
	sow := one(t, s, "prunus-serotina", 2027, calendar.TaskSow)
	if !slices.Equal(sow.Lot.Stands, []string{"Flood bank", "Top lot"}) || sow.Lot.Apart {
		t.Errorf("found %+v, want both stands, and no other lot", sow.Lot)
	}
	if after := one(t, s, "prunus-serotina", 2027, calendar.TaskProcess).After; len(after) != 2 {
		t.Errorf("cleaning follows %v, want both collections", after)
	}
}

// What is kept moist and cold is stratified by that: it is not stored first and then treated (common practice; for red
// oak, AH-727, Quercus, and the recalcitrance of its acorns).
func TestMoistStoreIsStratification(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "northern red oak", "black walnut", "butternut", "pin oak", "white ash")
	s := buildSeed(p)
	for _, sp := range p.Species {
		if sp.Seed.Keep == nil || !sp.Seed.Keep.Moist {
			continue
		}
		f := one(t, s, sp.ID, 2027, calendar.TaskStore).Facts.(*seed.Store)
		if n := len(only(s, sp.ID, 2027, calendar.TaskStratify)); n != 0 || f.Stratifies == nil || f.Stratifies.Days < f.Stratifies.Of.MinDays {
			t.Errorf("%s: found %d starts of a stratification and a store of %+v", sp.ID, n, f.Stratifies)
		}
	}
	if n := len(only(s, "fraxinus-americana", 2027, calendar.TaskStratify)); n != 2 {
		t.Errorf("white ash, kept dry: found %d starts, want two", n)
	}
}

func TestAspectOffset(t *testing.T) {
	at := func(offset float64) *calendar.Schedule {
		p := calendartest.Nursery()
		p.Stands = stands(t, "red maple", "flowering dogwood", "northern red oak")[:1]
		p.Stands[0].Offset = offset
		return buildSeed(p)
	}
	level, late := at(0), at(5)
	for id, want := range map[string]civil.Date{
		"acer-rubrum":    5,  // moves with spring
		"cornus-florida": -5, // ripens earlier northward (Agriculture Handbook 727, Cornus, table 2), so against it
		"quercus-rubra":  0,  // moves neither way
	} {
		got := one(t, late, id, 2027, calendar.TaskCollect).Best - one(t, level, id, 2027, calendar.TaskCollect).Best
		if got != want {
			t.Errorf("%s: five days' offset moves its best day by %d, want %d", id, got, want)
		}
	}
}

func TestLaw(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "Norway maple", "butternut", "sugar maple")
	s := buildSeed(p)
	for _, id := range []string{"acer-platanoides", "juglans-cinerea"} {
		if e := one(t, s, id, 2027, calendar.TaskCollect); !e.Facts.(*seed.Collection).MayForbid {
			t.Errorf("%s: law forbids nothing", id)
		}
	}
	p.Options.Seed.Prohibited = []string{"acer-platanoides"}
	if n := len(only(buildSeed(p), "acer-platanoides", 2027, calendar.TaskCollect)); n != 0 {
		t.Error("a prohibited species is collected")
	}
}

func TestOutsideTheRange(t *testing.T) {
	at := func(latitude float64) (*calendar.Schedule, *calendar.Place) {
		p := calendartest.Nursery()
		p.Outlook.Site.Latitude = latitude
		p.Species = find(t, "tuliptree") // by Little's map it ends near 43.7 N
		return buildSeed(p), p
	}
	inside, _ := at(43)
	outside, _ := at(45.7)
	far, _ := at(49)
	a, b := one(t, inside, "liriodendron-tulipifera", 2027, calendar.TaskCollect), one(t, outside, "liriodendron-tulipifera", 2027, calendar.TaskCollect)
	if b.Window.Days() <= a.Window.Days() {
		t.Errorf("220 km outside its range the window has %d days, inside %d", b.Window.Days(), a.Window.Days())
	}
	tuliptree := find(t, "tuliptree")[0]
	if !said(outside, seed.OutsideRange{Species: tuliptree, KM: 220}) {
		t.Errorf("notes %v", outside.Notes)
	}
	if n := len(only(far, "liriodendron-tulipifera", 2027, calendar.TaskCollect)); n != 0 {
		t.Error("dated 585 km outside its range")
	}
	if !said(far, seed.TooFar{Species: tuliptree, KM: 585}) {
		t.Errorf("notes %v", far.Notes)
	}
}

// What somebody saw at a stand moves that stand's dates and no other's.
func TestSightingsTeachTheirStand(t *testing.T) {
	p := calendartest.Nursery()
	p.Stands = stands(t, "red maple")
	before := only(buildSeed(p), "acer-rubrum", 2027, calendar.TaskCollect)
	p.Stands = stands(t, "red maple")
	p.Stands[0].Outlook.Sightings = phenology.Sightings{{Date: calendartest.Day("2027-05-20"), Site: "mill-fork", Species: "acer-rubrum", Phase: phenology.FruitRipe}}
	after := only(buildSeed(p), "acer-rubrum", 2027, calendar.TaskCollect)
	if after[0].Window.First != calendartest.Day("2027-05-20") || after[0].Best != calendartest.Day("2027-05-20") {
		t.Errorf("seen ripe on 20 May, collected %v, best %s", after[0].Window, after[0].Best)
	}
	if after[1].Best != before[1].Best || after[0].Window.Days() >= before[0].Window.Days() {
		t.Errorf("the other stand moved from %s to %s; this one's window went from %d to %d days", before[1].Best, after[1].Best,
			before[0].Window.Days(), after[0].Window.Days())
	}
}

// The order in which places, stands and species are named changes nothing.
func TestSeedWorkDoesNotDependOnOrder(t *testing.T) {
	names := []string{"silver maple", "red maple", "sugar maple", "white oak", "white ash", "American elm"}
	print := func(list []*phenology.Species, order []int) string {
		p := calendartest.Nursery()
		all := stands(t, names...)
		for _, i := range order {
			all[i].Species = list
			p.Stands = append(p.Stands, all[i])
		}
		p.Species = list
		var b bytes.Buffer
		if err := text.WriteJSON(&b, buildSeed(p)); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	want := print(find(t, names...), []int{0, 1})
	rapid.Check(t, func(r *rapid.T) {
		list := rapid.Permutation(find(t, names...)).Draw(r, "species")
		if got := print(list, rapid.Permutation([]int{0, 1}).Draw(r, "stands")); got != want {
			r.Fatal("another order, another schedule")
		}
	})
}

func BenchmarkSeedOfAllSpeciesAtFiveStands(b *testing.B) {
	p := calendartest.Nursery()
	for i := range 5 {
		site := p.Outlook.Site
		site.Elevation = float64(60 + 100*i)
		p.Stands = append(p.Stands, &calendar.Stand{ID: fmt.Sprint(i), Name: fmt.Sprint(i), Outlook: &phenology.Outlook{Site: site}, Species: profiles.Builtin().All()})
	}
	plan := &calendar.Plan{AsOf: calendartest.Day("2027-03-01"), Span: calendartest.Span("2027-03-01", "2028-03-01"), Places: []*calendar.Place{p}}
	b.ReportAllocs()
	for b.Loop() {
		buildtest.Schedule(plan)
	}
}

// Sown before winter, seed that wants only cold gets it in the bed (common practice; the profiles' notes say so too).
func TestAutumnSowing(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = find(t, "northern red oak", "white ash")
	rule := calendar.SowingRule{On: civil.MonthDay{Month: time.October, Day: 25}}
	p.Options.Seed.SowingOf = map[string]calendar.SowingRule{"quercus-rubra": rule, "fraxinus-americana": rule}
	s := buildSeed(p)
	for id, warm := range map[string]bool{"quercus-rubra": false, "fraxinus-americana": true} {
		sow := one(t, s, id, 2027, calendar.TaskSow)
		f := sow.Facts.(*seed.Sow)
		if sow.Best != calendartest.Day("2027-10-25") || f.How != seed.ForWinter || seed.Has(f.Treatment.How.Steps, phenology.WarmStratify) != warm {
			t.Errorf("%s is sown on %s: %+v", id, sow.Best, f)
		}
		if n := len(only(s, id, 2027, calendar.TaskStratify)); n != 0 {
			t.Errorf("%s: sown in autumn and stratified %d times", id, n)
		}
		if up := one(t, s, id, 2027, calendar.TaskGerminated); up.Best < calendartest.Day("2028-04-15") || up.Best > calendartest.Day("2028-05-31") {
			t.Errorf("%s: looked for on %s, want spring", id, up.Best)
		}
	}
}

// A date that is only recalled makes nothing almost sure (95 % and more), and is told as recalled; one that was seen
// here is not.
func TestRecalledDatesAreNeverAlmostSure(t *testing.T) {
	p := calendartest.Nursery()
	p.Species = profiles.Builtin().All()
	recalled := 0
	for _, e := range buildSeed(p).Entries {
		if !e.Rests.Recalled {
			continue
		}
		if recalled++; e.Probability > 0.9 {
			t.Errorf("%s of %s: found %.2f, on recalled dates", e.Task, e.Species[0].ID, e.Probability)
		}
		if said := words.Say(e); !strings.Contains(said.Basis, "recalled") || strings.Contains(said.Word, "almost") {
			t.Errorf("%s of %s says %q, %q", e.Task, e.Species[0].ID, said.Word, said.Basis)
		}
	}
	if recalled < 100 {
		t.Errorf("found %d entries on recalled dates: nothing is tested", recalled)
	}
	p.Species = find(t, "northern red oak")
	p.Outlook.Sightings = phenology.Sightings{{
		Date: calendartest.Day("2026-09-20"), Site: p.Site().ID, Species: "quercus-rubra", Phase: phenology.FruitRipe,
	}}
	p.Outlook.Known = p.Species
	for _, e := range buildSeed(p).Entries {
		if e.Rests.Recalled {
			t.Errorf("%s in %d: found recalled, though it was seen here in a year", e.Task, e.Season)
		}
	}
}
