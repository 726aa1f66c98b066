package traits_test

import (
	"slices"
	"strings"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
	"treewhen/profiles"
)

// school is an invented place within reach of the references of all five maples.
var school = phenology.Site{ID: "school", Name: "Invented school", Latitude: 43.2, Longitude: -71.5, Elevation: 120}

var fiveMaples = []string{"acer-saccharum", "acer-rubrum", "acer-saccharinum", "acer-platanoides", "acer-negundo"}

func watches(t testing.TB, site phenology.Site, ids ...string) []*traits.Watch {
	t.Helper()
	o := &phenology.Outlook{Site: site}
	var list []*traits.Watch
	for _, id := range ids {
		sp, err := profiles.Builtin().Find(id)
		if err != nil {
			t.Fatal(err)
		}
		known := map[int]phenology.Estimates{}
		list = append(list, traits.NewWatch(site, sp, func(season int) phenology.Estimates {
			if _, ok := known[season]; !ok {
				known[season] = o.Estimate(sp, season)
			}
			return known[season]
		}))
	}
	return list
}

// pairOf finds a pair by the epithets of its species.
func pairOf(t *testing.T, pairs []traits.Pair, a, b string) traits.Pair {
	t.Helper()
	for _, p := range pairs {
		ids := p.A.ID + " " + p.B.ID
		if strings.Contains(ids, a) && strings.Contains(ids, b) {
			return p
		}
	}
	t.Fatalf("no pair of %s and %s", a, b)
	return traits.Pair{}
}

// The characters by which handbooks tell the five maples apart, in winter, in summer and by their keys. The sources of
// the single characters stand in the profiles; those named here say of two species that they differ in them.
func TestFiveMaples(t *testing.T) {
	s := traits.NewSeparator(watches(t, school, fiveMaples...))
	winter, spring, summer, autumn := civil.Of(2027, 1, 20), civil.Of(2027, 4, 15), civil.Of(2027, 7, 10),
		civil.Of(2027, 9, 20)
	for _, row := range []struct {
		name string
		day  civil.Date
		a, b string
		ease traits.Ease
		by   string // organ and name of a character that must be among those given; "" for any
	}{
		// Winter. Ohio's twig key (dendro.ohioplants.org) and Common Trees of Pennsylvania: sugar maple's bud is a
		// sharp narrow cone of many scales, red, silver and Norway maple's are blunt with few.
		{"sharp bud", winter, "saccharum", "rubrum", traits.Apart, "bud tip"},
		{"sharp bud", winter, "saccharum", "saccharinum", traits.Apart, "bud tip"},
		{"many scales", winter, "saccharum", "platanoides", traits.Apart, "bud scales"},
		// Virginia Tech dendrology: box elder's twig is green or purplish, its buds white-hairy. That nothing else of
		// the five has green twigs in winter is common practice, no source.
		{"green twig", winter, "negundo", "saccharum", traits.Apart, "twig color"},
		{"green twig", winter, "negundo", "rubrum", traits.Apart, "twig color"},
		{"green twig", winter, "negundo", "saccharinum", traits.Apart, "twig color"},
		{"woolly buds", winter, "negundo", "platanoides", traits.Apart, "bud hair"},
		// Common Trees of Pennsylvania: silver maple is like red maple in winter but for its rank smell.
		{"only by smell", winter, "rubrum", "saccharinum", traits.WithCare, "twig smell"},
		// Norway maple's twig is stout and its end bud 6 to 9 mm long, red maple's slender and 3 to 4 (Otis 1915, Dame
		// & Brooks 1904); silver maple's is 3 to 7 mm long, so that its milky sap alone is sure. Whether Norway maple's
		// leaf scars meet is disputed (Otis 1915; Michigan Flora).
		{"stout twig", winter, "rubrum", "platanoides", traits.Apart, "twig stoutness"},
		{"milky bud", winter, "saccharinum", "platanoides", traits.WithCare, "bud sap"},
		// Milky sap from a cut bud, when no leaf stalk is at hand to break: Common Trees of Pennsylvania.
		{"milky bud", winter, "saccharum", "platanoides", traits.Apart, "bud sap"},
		// Buds are there, and twigs bare, until they break: common practice, no source.
		{"swollen buds", spring, "saccharum", "rubrum", traits.Apart, "bud tip"},
		{"swollen buds", spring, "saccharum", "platanoides", traits.Apart, "bud scales"},
		{"green twig in spring", spring, "negundo", "rubrum", traits.Apart, "twig color"},
		{"twigs before the leaves", civil.Of(2027, 5, 6), "negundo", "saccharum", traits.Apart, "twig color"},
		// Summer: box elder alone has leaflets; teeth and notches of the lobed leaves (Common Trees of Pennsylvania);
		// Norway maple's milky sap (Colorado State University Extension), which needs a broken stalk and so is no
		// character at a glance.
		{"leaflets", summer, "negundo", "saccharum", traits.Apart, "leaf form"},
		{"teeth", summer, "saccharum", "rubrum", traits.Apart, "leaf edge"},
		{"notches", summer, "rubrum", "saccharinum", traits.Apart, "leaf lobe-depth"},
		{"milky sap", summer, "saccharum", "platanoides", traits.Apart, "sap color"},
		{"bristles", summer, "rubrum", "platanoides", traits.Apart, "leaf edge"},
		// Keys: Norway maple's spread in a straight line (Colorado State University Extension), sugar maple's nearly
		// parallel.
		{"straight keys", autumn, "saccharum", "platanoides", traits.Apart, "fruit angle"},
		{"straight keys", autumn, "negundo", "platanoides", traits.Apart, "fruit angle"},
	} {
		t.Run(row.name+" "+row.a+" "+row.b, func(t *testing.T) {
			p := pairOf(t, pairsOn(s, row.day), row.a, row.b)
			if p.Ease != row.ease {
				t.Errorf("found %v by %v, want %v", p.Ease, names(p.By), row.ease)
			}
			if !slices.Contains(names(p.By), row.by) {
				t.Errorf("found %v, want %s among them", names(p.By), row.by)
			}
		})
	}
	// Red maple's keys are a fingertip long, silver maple's the largest (Common Trees of Pennsylvania). Both fall so
	// soon that at a place without a thermometer no day is sure to have both.
	red, silver := watches(t, school, "acer-rubrum")[0].Species, watches(t, school, "acer-saccharinum")[0].Species
	if got := names(splits(red, silver)); !slices.Contains(got, "fruit length") {
		t.Errorf("red and silver maple: found %v, want fruit length among them", got)
	}
	// Opposite buds, three at the tip, are what all maples share: they tell no pair apart (common practice, no source).
	for _, d := range []civil.Date{winter, spring, summer} {
		for _, p := range pairsOn(s, d) {
			for _, by := range p.By {
				if by.A.Name == "arrangement" || by.A.Name == "tip-buds" {
					t.Errorf("%s and %s: told apart by %s", p.A.ID, p.B.ID, by.A.Name)
				}
			}
		}
	}
	// In full leaf all ten pairs are told apart at a glance.
	for _, p := range pairsOn(s, summer) {
		if p.Ease != traits.Apart {
			t.Errorf("%s and %s in July: found %v", p.A.ID, p.B.ID, p.Ease)
		}
	}
	if sum, n := s.Expected(summer); n != 10 || sum < 9.5 || sum > 10 {
		t.Errorf("July: found %v of %d", sum, n)
	}
}

// splits are the characters that tell two species apart if all that they have can be seen at once.
func splits(a, b *phenology.Species) []traits.Split {
	watch := func(sp *phenology.Species) *traits.Watch {
		all := *sp
		all.Traits = slices.Clone(sp.Traits)
		for i := range all.Traits {
			all.Traits[i].AllYear = true
		}
		return traits.NewWatch(school, &all, nil)
	}
	p := pairsOn(traits.NewSeparator([]*traits.Watch{watch(a), watch(b)}), civil.Of(2027, 7, 10))[0]
	return append(p.By, p.Hints...)
}

func names(splits []traits.Split) []string {
	var list []string
	for _, s := range splits {
		list = append(list, s.A.Organ+" "+s.A.Name)
	}
	return list
}

// Red and silver maple's buds are reddish, Norway maple's purplish, sugar maple's dark brown: all on brown or reddish
// twigs. Whoever goes by color takes one for another, so each of these pairs needs care though its buds' shape settles
// it; box elder's green twig is like none. All of it common practice, no source.
func TestColorsThatMislead(t *testing.T) {
	s := traits.NewSeparator(watches(t, school, fiveMaples...))
	winter := civil.Of(2027, 1, 20)
	for _, p := range pairsOn(s, winter) {
		// Norway maple's twigs may be olive, and the buds of both red (Otis 1915; Virginia Tech dendrology).
		norway := p.A.ID == "acer-platanoides" || p.B.ID == "acer-platanoides"
		boxElder := !norway && (p.A.ID == "acer-negundo" || p.B.ID == "acer-negundo")
		close := len(p.Close) > 0
		switch {
		case boxElder && close:
			t.Errorf("%s and %s: found %v close, want a green twig to be enough", p.A.ID, p.B.ID, names(p.Close))
		case !boxElder && p.Ease == traits.Apart && !slices.Contains(names(p.Close), "bud color"):
			t.Errorf("%s and %s: found %v close, want bud color among them", p.A.ID, p.B.ID, names(p.Close))
		}
		if close && (p.By[0].Doubt != traits.NoDoubt || p.By[0].A.Name == "color") {
			t.Errorf("%s and %s: settled by %s %s, want what needs no care", p.A.ID, p.B.ID, p.By[0].A.Organ,
				p.By[0].A.Name)
		}
	}
	p := pairOf(t, settled(s, winter), "rubrum", "platanoides")
	if names(p.By)[0] != "twig stoutness" || p.Settle != nil {
		t.Errorf("red and Norway maple: found %v first, settled later by %v; want the thick twig, that day",
			names(p.By), p.Settle)
	}
	for _, p := range pairsOn(s, civil.Of(2027, 7, 10)) { // no twig to look at
		if len(p.Close) > 0 {
			t.Errorf("%s and %s in July: found %v close", p.A.ID, p.B.ID, names(p.Close))
		}
	}
}

// That silver maple grows by water is a hint: it is planted in every street. Common practice, no source.
func TestGroundIsAHint(t *testing.T) {
	p := pairsOn(traits.NewSeparator(watches(t, school, "acer-rubrum", "acer-saccharinum")), civil.Of(2027, 1, 20))[0]
	if len(p.Hints) != 1 || p.Hints[0].A.Name != "ground" {
		t.Errorf("red and silver maple: found %v, want where they grow as a hint", names(p.Hints))
	}
	if slices.Contains(names(p.By), "habit ground") {
		t.Error("red and silver maple: told apart by where they grow")
	}
	// Species that differ in nothing else are not told apart, whatever the day.
	all := watches(t, school, "acer-rubrum", "acer-saccharinum")
	for _, w := range all {
		only := *w.Species
		only.Traits = slices.DeleteFunc(slices.Clone(only.Traits),
			func(t phenology.Trait) bool { return t.Organ != "habit" || t.Name != "ground" })
		w.Species = &only
	}
	s := traits.NewSeparator(all)
	p = settled(s, civil.Of(2027, 1, 20))[0]
	if p.Ease != traits.NotApart || len(p.By) > 0 || p.Settle != nil || len(p.Hints) != 1 {
		t.Errorf("found %v by %v, settled by %v, with %v", p.Ease, names(p.By), p.Settle, names(p.Hints))
	}
	if sum, _ := s.Expected(civil.Of(2027, 1, 20)); sum != 0 {
		t.Errorf("found %v pairs expected apart, want none", sum)
	}
}

// pairsOn are all pairs of a day.
func pairsOn(s *traits.Separator, d civil.Date) (pairs []traits.Pair) {
	c := s.On(d)
	for i := range c.Pairs() {
		pairs = append(pairs, c.Pair(i))
	}
	return pairs
}

// settled are all pairs of a day, with what settles them at another time.
func settled(s *traits.Separator, d civil.Date) (pairs []traits.Pair) {
	c := s.On(d)
	for i := range c.Pairs() {
		pairs = append(pairs, c.Settled(i))
	}
	return pairs
}

// A pair that needs care in winter is settled by the leaf of the next summer, at the soonest.
func TestSettlement(t *testing.T) {
	s := traits.NewSeparator(watches(t, school, "acer-rubrum", "acer-saccharinum"))
	p := settled(s, civil.Of(2027, 1, 20))[0]
	if p.Settle == nil {
		t.Fatal("found no check")
	}
	if p.Settle.Doubt != traits.NoDoubt || p.Settle.A.Organ != "leaf" {
		t.Errorf("found %s %s, want a leaf, that anybody can look at", p.Settle.A.Organ, p.Settle.A.Name)
	}
	if first := p.Settle.Span.First; first < civil.Of(2027, 5, 1) || first > civil.Of(2027, 6, 30) ||
		p.Settle.Span.Last < civil.Of(2027, 8, 31) {
		t.Errorf("found %v, want from leaf-out until autumn", p.Settle.Span)
	}
	if p := settled(s, civil.Of(2027, 7, 1))[0]; p.Settle != nil {
		t.Error("want none where the day's own characters do")
	}
	// Where there is nothing to go by today, what must be cut on a bud of autumn comes half a year before what shows at
	// a glance. Without the smell of its twigs, that tells the two all year, and without leaves and bark, the pair has
	// a bud's sap and its spring flowers alone; the sap is invented here.
	all := watches(t, school, "acer-rubrum", "acer-saccharinum")
	for i, w := range all {
		sp := *w.Species
		sp.Traits = slices.DeleteFunc(slices.Clone(sp.Traits),
			func(t phenology.Trait) bool {
				return t.Name == "smell" || t.Organ == "leaf" || t.Organ == "bark" || t.Organ == "pith"
			})
		for k := range sp.Traits {
			if sp.Traits[k].Organ == "bud" && sp.Traits[k].Name == "sap" {
				sp.Traits[k].States = []string{[]string{"clear", "milky"}[i]}
			}
		}
		w.Species = &sp
	}
	p = settled(traits.NewSeparator(all), civil.Of(2027, 7, 16))[0]
	if p.Ease != traits.NotApart || p.Settle == nil || p.Settle.A.Name != "sap" ||
		p.Settle.Span.First > civil.Of(2027, 12, 31) {
		t.Errorf("red and silver maple in July: found %v by %v, settled by %+v, want the buds before New Year",
			p.Ease, names(p.By), p.Settle)
	}
}

// The rules of telling apart, on invented species.
func TestSplits(t *testing.T) {
	of := func(list ...phenology.Trait) *phenology.Species {
		return &phenology.Species{ID: "a", Common: []string{"a"}, Traits: list}
	}
	states := func(organ, name string, list ...string) phenology.Trait {
		return phenology.Trait{Organ: organ, Name: name, States: list, AllYear: true}
	}
	angle := func(low, high float64) phenology.Trait {
		return phenology.Trait{Organ: "fruit", Name: "angle", Low: low, High: high, Unit: "degrees", AllYear: true}
	}
	handled := states("sap", "color", "milky")
	handled.NeedsHandling = true
	for _, row := range []struct {
		name  string
		a, b  *phenology.Species
		want  int
		doubt traits.Doubt
	}{
		{"no state in common", of(states("bud", "tip", "sharp")), of(states("bud", "tip", "blunt")), 1, traits.NoDoubt},
		{"one state in common", of(states("bud", "tip", "sharp", "blunt")), of(states("bud", "tip", "blunt")), 0, 0},
		{"only one has it", of(states("bud", "tip", "sharp")), of(states("bud", "scales", "many")), 0, 0},
		{"same name, other organ", of(states("bud", "color", "red")), of(states("twig", "color", "green")), 0, 0},
		{"ranges apart", of(angle(0, 50)), of(angle(160, 180)), 1, traits.NoDoubt},
		{"ranges that touch", of(angle(0, 60)), of(angle(60, 90)), 0, 0},
		{"measured and named", of(angle(0, 50)), of(states("fruit", "angle", "wide")), 0, 0},
		{"a shade apart", of(states("bud", "color", "red")), of(states("bud", "color", "maroon")), 1, traits.Shade},
		{"next grade", of(states("bud", "end-bud-size", "small")), of(states("bud", "end-bud-size", "medium", "large")),
			1, traits.Shade},
		{"far grades", of(states("bud", "end-bud-size", "small")), of(states("bud", "end-bud-size", "large")), 1,
			traits.NoDoubt},
		{"where it grows", of(states("habit", "ground", "swamp")), of(states("habit", "ground", "upland")), 1,
			traits.Hint},
		{"far colors", of(states("bud", "color", "green")), of(states("bud", "color", "red")), 1, traits.NoDoubt},
		{"to be broken", of(handled), of(states("sap", "color", "clear")), 1, traits.Handling},
		{"old bark", of(states("bark", "pattern", "smooth")), of(states("bark", "pattern", "plates-lifting")), 1,
			traits.Age},
	} {
		for _, pair := range [][2]*phenology.Species{{row.a, row.b}, {row.b, row.a}} { // either way round
			got := splits(pair[0], pair[1])
			if len(got) != row.want || len(got) > 0 && got[0].Doubt != row.doubt {
				t.Errorf("%s: found %v, want %d with doubt %d", row.name, got, row.want, row.doubt)
			}
		}
	}
}

// What can be seen when: bare twigs from leaf fall, over New Year, until buds swell; a southern place half a year on;
// box elder's keys through the winter.
func TestVisible(t *testing.T) {
	trait := func(w *traits.Watch, organ, name string) *phenology.Trait {
		i := slices.IndexFunc(w.Species.Traits,
			func(t phenology.Trait) bool { return t.Organ == organ && t.Name == name })
		if i < 0 {
			t.Fatalf("%s has no %s %s", w.Species.ID, organ, name)
		}
		return &w.Species.Traits[i]
	}
	all := watches(t, school, "acer-saccharum", "acer-negundo")
	sugar, boxElder := all[0], all[1]
	for _, row := range []struct {
		name        string
		watch       *traits.Watch
		organ, what string
		day         civil.Date
		least, most float64
	}{
		{"bud before New Year", sugar, "bud", "tip", civil.Of(2026, 12, 20), 0.99, 1},
		{"bud after New Year", sugar, "bud", "tip", civil.Of(2027, 1, 20), 0.99, 1},
		{"no winter bud in July", sugar, "bud", "tip", civil.Of(2027, 7, 1), 0, 0.01},
		{"bud swollen in April", sugar, "bud", "tip", civil.Of(2027, 4, 10), 0.95, 1}, // common practice, no source
		{"bud broken in May", sugar, "bud", "tip", civil.Of(2027, 5, 15), 0, 0.05},
		{"twig before the leaves", sugar, "twig", "color", civil.Of(2027, 4, 28), 0.9, 1}, // common practice, no source
		{"leaf in July", sugar, "leaf", "edge", civil.Of(2027, 7, 1), 0.99, 1},
		{"no leaf in January", sugar, "leaf", "edge", civil.Of(2027, 1, 20), 0, 0.01},
		{"bark always", sugar, "bark", "pattern", civil.Of(2027, 4, 20), 1, 1},
		// Virginia Tech dendrology: they hang into winter
		{"keys through the winter", boxElder, "fruit", "hangs", civil.Of(2027, 1, 20), 0.5, 1},
		{"flowers in May, perhaps", sugar, "flower", "form", civil.Of(2027, 5, 3), 0.2, 0.9},
	} {
		p, ok := row.watch.Visible(trait(row.watch, row.organ, row.what), row.day)
		if !ok || p < row.least || p > row.most {
			t.Errorf("%s: found %v, %v, want %v to %v", row.name, p, ok, row.least, row.most)
		}
	}
	// It never jumps over New Year, whose day is no phase, and is a probability always.
	bud := trait(sugar, "bud", "tip")
	before := -1.0
	for d := civil.Of(2026, 1, 1); d < civil.Of(2028, 1, 1); d++ {
		p, ok := sugar.Visible(bud, d)
		if !ok || p < 0 || p > 1 || before >= 0 && (p-before > 0.15 || before-p > 0.15) {
			t.Fatalf("%v: found %v after %v", d, p, before)
		}
		before = p
	}
	// An evergreen stands in leaf beside bare trees.
	p := pairsOn(traits.NewSeparator(watches(t, school, "picea-rubens", "larix-laricina")), civil.Of(2027, 1, 20))[0]
	if p.Ease != traits.Apart || names(p.By)[0] != "leaf form" {
		t.Errorf("red spruce and larch in January: found %v by %v, want needles against none", p.Ease, names(p.By))
	}
	south := watches(t, phenology.Site{ID: "south", Latitude: -43.2, Longitude: 171.5, Elevation: 120},
		"acer-saccharum")[0]
	if p, ok := south.Visible(bud, civil.Of(2027, 7, 20)); !ok || p < 0.99 {
		t.Errorf("southern July: found %v, %v, want bare twigs", p, ok)
	}
	if p, ok := south.Visible(bud, civil.Of(2027, 1, 2)); !ok || p > 0.01 {
		t.Errorf("southern January: found %v, %v, want leaves", p, ok)
	}
}

// A spell's bounds rise from day to day and its chance is between them: what choosing several days together rests on.
func TestSpellBoundsRise(t *testing.T) {
	w := watches(t, school, "acer-rubrum")[0]
	s, ok := w.Spell(phenology.Moment{Phase: phenology.Flowering},
		phenology.Moment{Phase: phenology.FloweringEnd}, 2027)
	if !ok {
		t.Fatal("found no spell")
	}
	come, gone := 0.0, 0.0
	for d := civil.Of(2027, 2, 1); d < civil.Of(2027, 7, 1); d++ {
		c, g := s.Come(d), s.Gone(d)
		if c < come || g < gone || s.On(d) < 0 || s.On(d) > c {
			t.Fatalf("%v: found %v to %v after %v to %v", d, g, c, gone, come)
		}
		come, gone = c, g
	}
	if come < 0.999 || gone < 0.99 {
		t.Errorf("found %v, %v at the end, want both over", come, gone)
	}
}
