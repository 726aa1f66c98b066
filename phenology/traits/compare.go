package traits

import (
	"slices"

	"treewhen/phenology"
)

// character is what is looked at on a tree, in words shared between species.
type character struct{ organ, name string }

// numbered is a trait with what comparing it takes in numbers, since comparing text takes longer.
type numbered struct {
	*phenology.Trait
	is    int // its character
	form  int // which of the forms that species show of that
	spell int // in which it can be seen
	next  int // the next trait of its species' profile that is of its character; 0: none
}

// described is a species with its traits ready to be compared with another's: numbers of a separator's traits, 0 where
// there is no such thing.
type described struct {
	species *phenology.Species
	first   int   // of its profile's traits, which follow each other
	at      []int // by character: the first of its profile
	colors  []int // of its profile: see isColor
	// The form of an evergreen's leaves, and of a deciduous species, in its place, that it has none from leaf fall
	// until its buds break: nobody needs a bud to tell a spruce from a bare larch.
	evergreen, bare int
	// Broad is that a tree bears no needles, which can be seen on every day of the year: between bud break and the
	// unfolding of leaves an oak is neither bare nor in leaf, and still is no pine. None where it has some.
	broad int
	// Fruit is what it bears, and FruitGone that it bears none that day.
	fruit, fruitGone int
}

// split is a [Split] whatever the day, in numbers.
type split struct {
	a, b           int32 // traits
	spellA, spellB int32 // in which they can be seen
	handy          int8  // rank of the character
	plain          bool  // it is of the plan of the plant, or a color by which people know a tree
	doubt          Doubt
}

// verdict is what two forms of a character say of the species that show them.
type verdict struct {
	known bool
	apart bool // they share no state
	near  bool // of colors: they are a shade apart, or the same
	doubt Doubt
}

// forms has what is shown of each character, each once: the library's species show the same few of most.
type forms struct {
	numbers map[character]int
	ranks   []int8               // by character
	plain   []bool               // by character: see [split]
	shown   [][]*phenology.Trait // by character
	nothing [][]bool             // of these: see [ProvesNothing]
	said    [][]verdict          // by character: of every two forms, row by row
}

// number gives a trait the numbers of its character and of its form.
func (f *forms) number(t *phenology.Trait) (is, form int) {
	name := character{t.Organ, t.Name}
	is, known := f.numbers[name]
	if !known {
		is = len(f.shown)
		f.numbers[name] = is
		f.shown, f.ranks = append(f.shown, nil), append(f.ranks, int8(Rank(t)))
		f.nothing = append(f.nothing, nil)
		f.plain = append(f.plain, isPlan(t) || isColor(t))
	}
	form = slices.IndexFunc(f.shown[is], func(o *phenology.Trait) bool {
		return o.Low == t.Low && o.High == t.High && o.Unit == t.Unit && o.NeedsHandling == t.NeedsHandling &&
			slices.Equal(o.States, t.States)
	})
	if form < 0 {
		form = len(f.shown[is])
		f.shown[is], f.nothing[is] = append(f.shown[is], t), append(f.nothing[is], ProvesNothing(t))
	}
	return is, form
}

// of returns what two traits of one character say.
func (f *forms) of(x, y *numbered) *verdict {
	n := len(f.shown[x.is])
	if f.said[x.is] == nil {
		f.said[x.is] = make([]verdict, n*n)
	}
	v := &f.said[x.is][x.form*n+y.form]
	if !v.known {
		v.known = true
		if v.apart = x.Name != "litter" && disjoint(x.Trait, y.Trait); v.apart {
			v.doubt = doubtOf(x.Trait, y.Trait)
		}
		if isColor(x.Trait) {
			v.near, _ = closeness(x.Trait, y.Trait)
		}
	}
	return v
}

// describe readies a species.
func (s *Separator) describe(w *Watch) *described {
	sp := w.Species
	d := &described{species: sp, first: len(s.traits)}
	spells := len(s.spells) // of other species
	add := func(t *phenology.Trait, absent bool) int {
		is, form := s.forms.number(t)
		s.traits = append(s.traits, numbered{t, is, form, s.spellOf(w, spells, t, absent), 0})
		return len(s.traits) - 1
	}
	for i := range sp.Traits {
		k := add(&sp.Traits[i], false)
		if isColor(&sp.Traits[i]) {
			d.colors = append(d.colors, k)
		}
	}
	inSeason := 0 // the form of leaves that are not there all year
	for i := range sp.Traits {
		t, k := &sp.Traits[i], d.first+i
		switch is := (character{t.Organ, t.Name}); {
		case is == character{"fruit", "kind"} && !t.AllYear:
			none := *t
			none.States, none.Text = []string{"none"}, ""
			d.fruit, d.fruitGone = k, add(&none, true)
		case is != character{"leaf", "form"}:
		case t.AllYear && d.evergreen == 0:
			d.evergreen = k
		case !t.AllYear && inSeason == 0:
			inSeason = k
		}
	}
	if inSeason > 0 && sp.Phase(phenology.LeafFall) != nil && sp.Phase(phenology.BudBreak) != nil {
		leaf := s.traits[inSeason].Trait
		bare := *leaf
		bare.States, bare.Text = []string{"bare"}, ""
		bare.From, bare.To = phenology.Moment{Phase: phenology.LeafFall}, phenology.Moment{Phase: phenology.BudBreak}
		d.bare = add(&bare, false)
		if !slices.ContainsFunc(leaf.States, isNeedle) {
			broad := bare
			broad.States, broad.AllYear = []string{"no-needles"}, true
			d.broad = add(&broad, false)
		}
	}
	return d
}

func isNeedle(form string) bool { return form == "needle" || form == "scale" }

// leafless returns what stands in for the leaves of a deciduous species beside those of an evergreen; 0 if they are not
// that.
func (s *Separator) leafless(evergreen, other *described) int {
	if evergreen.evergreen == 0 {
		return 0
	}
	if other.broad != 0 && allOf(s.traits[evergreen.evergreen].States, []string{"needle", "scale"}) {
		return other.broad
	}
	return other.bare
}

// split returns how two traits of one character tell their species apart.
func (s *Separator) split(a, b int, doubt Doubt) split {
	x, y := &s.traits[a], &s.traits[b]
	return split{int32(a), int32(b), int32(x.spell), int32(y.spell), s.forms.ranks[x.is], s.forms.plain[x.is], doubt}
}

// appendSplits appends the characters in which two species share no state, the surest first.
func (s *Separator) appendSplits(list []split, a, b *described) []split {
	for doubt := range s.sorted {
		s.sorted[doubt] = s.sorted[doubt][:0]
	}
	add := func(x, y int, doubt Doubt) { s.sorted[doubt] = append(s.sorted[doubt], s.split(x, y, doubt)) }
	for x := a.first; x < a.first+len(a.species.Traits); x++ {
		for y := b.at[s.traits[x].is]; y != 0; y = s.traits[y].next {
			if v := s.forms.of(&s.traits[x], &s.traits[y]); v.apart {
				add(x, y, v.doubt)
			}
		}
	}
	if x := s.leafless(a, b); x != 0 {
		add(a.evergreen, x, NoDoubt)
	} else if x := s.leafless(b, a); x != 0 {
		add(x, b.evergreen, NoDoubt)
	}
	if a.fruit != 0 && b.fruit != 0 {
		add(a.fruit, b.fruitGone, Presence)
		add(a.fruitGone, b.fruit, Presence)
	}
	for _, splits := range s.sorted {
		list = append(list, splits...)
	}
	return list
}

// appendAlike appends the colors of twigs, buds and flowers that two species share, or that are only a shade apart.
// What is a shade apart comes first: it misleads more than what is the same, by which nobody tries to tell the two.
func (s *Separator) appendAlike(list []split, a, b *described) []split {
	for _, apart := range []bool{true, false} {
		for _, x := range a.colors {
			for y := b.at[s.traits[x].is]; y != 0; y = s.traits[y].next {
				if v := s.forms.of(&s.traits[x], &s.traits[y]); v.apart == apart && (v.near || !apart) {
					list = append(list, s.split(x, y, Shade))
				}
			}
		}
	}
	return list
}
