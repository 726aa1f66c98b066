package traits_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"testing"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// taught are the species that a class meets in eastern North America and that the profiles describe in full.
var taught = []string{
	"abies-balsamea", "acer-negundo", "acer-pensylvanicum", "acer-platanoides", "acer-rubrum", "acer-saccharinum",
	"acer-saccharum", "acer-spicatum", "betula-alleghaniensis", "betula-lenta", "betula-papyrifera",
	"betula-populifolia", "carya-ovata", "fagus-grandifolia", "fraxinus-americana", "fraxinus-pennsylvanica",
	"juglans-cinerea",
	"juglans-nigra", "larix-laricina", "ostrya-virginiana", "picea-glauca", "picea-rubens", "pinus-resinosa",
	"pinus-strobus", "populus-deltoides", "populus-tremuloides", "prunus-serotina", "quercus-alba",
	"quercus-macrocarpa", "quercus-rubra", "quercus-velutina", "thuja-occidentalis", "tilia-americana",
	"tsuga-canadensis", "ulmus-americana",
}

// mixedWood is a wood of northern hardwoods with oaks, ashes and evergreens.
var mixedWood = []string{
	"acer-saccharum", "acer-rubrum", "acer-pensylvanicum", "fraxinus-americana", "fagus-grandifolia",
	"betula-alleghaniensis", "betula-papyrifera", "quercus-rubra", "quercus-alba", "tilia-americana",
	"prunus-serotina", "ostrya-virginiana", "tsuga-canadensis", "pinus-strobus", "picea-rubens",
}

var keyDays = []civil.Date{
	civil.Of(2027, 1, 20), civil.Of(2027, 5, 12), civil.Of(2027, 7, 10), civil.Of(2027, 10, 10),
}

// step is a character by which a printed key parts its species, and what it says of one of them.
type step struct{ organ, name, state string }

// otis returns what the winter or the summer keys of Otis CH 1915, Michigan Trees, 3rd ed., University of Michigan, say
// of species on the way to each, in the order of their questions.
func otis(t *testing.T, season string) map[string][]step {
	t.Helper()
	f, err := os.Open("testdata/otis-1915-keys.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	steps := map[string][]step{}
	for _, r := range rows[1:] {
		if r[0] == season {
			steps[r[1]] = append(steps[r[1]], step{r[2], r[3], r[4]})
		}
	}
	return steps
}

// No two of the taught species are left without a character that separates them in winter, in May, in July or in
// October.
func TestTaughtSpeciesAreSeparated(t *testing.T) {
	s := traits.NewSeparator(watches(t, school, taught...))
	for _, d := range keyDays {
		for _, p := range pairsOn(s, d) {
			if p.Ease == traits.NotApart && !ashesInLeaf(p) {
				t.Errorf("%v: %s and %s: nothing separates them", d, p.A.ID, p.B.ID)
			}
		}
	}
	// An evergreen beside a deciduous tree is told at a glance on every day of the year.
	oakAndPine := traits.NewSeparator(watches(t, school, "quercus-rubra", "pinus-strobus", "larix-laricina"))
	for d := civil.Of(2027, 1, 1); d < civil.Of(2028, 1, 1); d++ {
		if p := pairOf(t, pairsOn(oakAndPine, d), "rubra", "strobus"); p.Ease != traits.Apart {
			t.Errorf("%v: red oak and white pine: found %v", d, p.Ease)
		}
	}
}

// ashesInLeaf reports whether a pair is that of white and green ash without ripe keys or winter buds. The smooth form
// of green ash shares with white ash what leaves and young twigs show (Otis 1915, of the smooth form; Dame & Brooks
// 1904, who have both species' leaves paler below): they are told by the leaf scars and buds of autumn and winter.
func ashesInLeaf(p traits.Pair) bool {
	return p.A.ID == "fraxinus-americana" && p.B.ID == "fraxinus-pennsylvanica" && p.Day == keyDays[2]
}

// Where the way to two species first parts in a printed key, the profiles part them too: in the season of the key.
func TestPublishedKeysPartWhereProfilesDo(t *testing.T) {
	for _, row := range []struct {
		season string
		day    civil.Date
	}{{"winter", keyDays[0]}, {"summer", keyDays[2]}} {
		steps, pairs := otis(t, row.season), 0
		for _, p := range pairsOn(traits.NewSeparator(watches(t, school, taught...)), row.day) {
			a, b := steps[p.A.ID], steps[p.B.ID]
			first, ok := firstDifference(a, b)
			if !ok {
				continue
			}
			pairs++
			if p.Ease == traits.NotApart && !ashesInLeaf(p) {
				t.Errorf("%s: %s and %s are not apart; Otis parts them by %s %s", row.season, p.A.ID, p.B.ID,
					first.organ, first.name)
			}
			for _, sp := range []*phenology.Species{p.A, p.B} {
				want := steps[sp.ID]
				i := slices.IndexFunc(want, func(x step) bool { return x.organ == first.organ && x.name == first.name })
				if !shows(sp, want[i]) {
					t.Errorf("%s: %s: found no %+v, which Otis has", row.season, sp.ID, want[i])
				}
			}
		}
		if pairs < 100 {
			t.Errorf("%s: found %d pairs to compare", row.season, pairs)
		}
	}
}

func firstDifference(a, b []step) (step, bool) {
	for _, x := range a {
		for _, y := range b {
			if x.organ == y.organ && x.name == y.name && x.state != y.state {
				return x, true
			}
		}
	}
	return step{}, false
}

// shows reports whether a species' profile has what a key says of it, whatever the day.
func shows(sp *phenology.Species, x step) bool {
	return slices.ContainsFunc(sp.Traits, func(t phenology.Trait) bool {
		return t.Organ == x.organ && t.Name == x.name && admits(&t, x.state)
	})
}

func admits(t *phenology.Trait, state string) bool {
	if n, err := strconv.ParseFloat(state, 64); err == nil && len(t.States) == 0 {
		return t.Low <= n && n <= t.High
	}
	if slices.Equal(t.States, []string{"no-needles"}) { // what is said of a tree in leaf beside an evergreen
		return state != "needle" && state != "scale"
	}
	return slices.Contains(t.States, state)
}

// The keys of five maples and of a mixed wood, worked out for four days of the year: every species is reached, alone,
// and no answer on the way contradicts what the printed keys say of it (Otis 1915, see [otis]); of the species that
// Otis lacks, red spruce, what its profile says.
func TestKeysReachEverySpecies(t *testing.T) {
	printed := map[string]map[string][]step{"winter": otis(t, "winter"), "summer": otis(t, "summer")}
	for _, wood := range [][]string{fiveMaples, mixedWood} {
		s := traits.NewSeparator(watches(t, school, wood...))
		for _, d := range keyDays {
			k := s.On(d).Key(false)
			for _, left := range k.Left {
				t.Errorf("%v: %d species are left together, %s first", d, len(left), left[0].ID)
			}
			reached := map[string]bool{}
			deepest := walk(k, 0, nil, func(sp *phenology.Species, way []answer) {
				reached[sp.ID] = true
				checkWay(t, printed, d, sp, way)
			})
			for _, id := range wood {
				if !reached[id] {
					t.Errorf("%v: no way leads to %s", d, id)
				}
			}
			if deepest > len(wood)-1 {
				t.Errorf("%v: found %d questions on the longest way, want fewer than species", d, deepest)
			}
			first := k.Questions[0].Sides[0].Seen
			if plan := first.Name == "arrangement" || first.Name == "form"; !plan && len(wood) > len(fiveMaples) {
				t.Errorf("%v: the first question is %s %s, want how twigs sit or leaves are made", d, first.Organ,
					first.Name)
			}
		}
	}
}

// answer is the answer given to a question, and the one that was not.
type answer struct {
	traits.Side
	other traits.Side
}

// walk follows all ways of a key from a question on, and returns how many questions the longest has.
func walk(k *traits.Key, at int, way []answer, end func(*phenology.Species, []answer)) (deepest int) {
	q := &k.Questions[at]
	for i, side := range q.Sides {
		on := append(slices.Clone(way), answer{side, q.Sides[1-i]})
		if side.Next != 0 {
			deepest = max(deepest, 1+walk(k, side.Next, on, end))
			continue
		}
		deepest = max(deepest, 1)
		for _, sp := range side.Species {
			end(sp, on)
		}
	}
	return deepest
}

func checkWay(t *testing.T, printed map[string]map[string][]step, d civil.Date, sp *phenology.Species, way []answer) {
	t.Helper()
	season := "summer"
	if m := d.Month(); m < 4 || m > 10 {
		season = "winter"
	}
	for _, side := range way {
		seen := &side.Seen
		if slices.Contains(side.other.Species, sp) {
			continue // it may show either, so that either answer leads to it: on one of them stands what Otis has
		}
		for _, x := range printed[season][sp.ID] {
			if x.organ == seen.Organ && x.name == seen.Name && !admits(seen, x.state) {
				t.Errorf("%v: on the way to %s: %s %s %v, where Otis has %s", d, sp.ID, x.organ, x.name, seen.States,
					x.state)
			}
		}
	}
}
