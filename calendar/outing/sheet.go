package outing

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// FieldSheet is one page to take along: what can be seen on a day at a place, in the order in which one meets it, and
// what cannot be told apart.
type FieldSheet struct {
	Site     *phenology.Site
	Activity calendar.Activity
	Title    string
	Date     civil.Date
	Hours    calendar.Hours
	Rain     *civil.Date // the day to fall back on, nil if there is none

	Sun, Temperature string
	Sights           []string // what the day was chosen for, a sentence a sight
	Common           []string // characters that all its species share, where it has several
	Species          []SheetSpecies
	Pairs            []traits.Pair // all of them, in the order of species
	Kit, Cautions    []string

	shows  []calendar.Sight   // of a trip: what it is for, the chief thing first
	chance map[string]float64 // how many of the things that the day was chosen for can be expected of a species, by id
}

// RainDate returns the day to fall back on of an entry that is a trip; nil if there is none.
func RainDate(e *calendar.Entry) *civil.Date {
	if sheet, ok := e.Facts.(*FieldSheet); ok {
		return sheet.Rain
	}
	return nil
}

// Essence tells what the outing is for, the chief thing first, and its rain date.
func (s *FieldSheet) Essence() (list []calendar.Fact) {
	if len(s.shows) > 0 {
		names := make([]string, len(s.shows))
		for i, see := range s.shows {
			if names[i] = see.Phase.String(); see.Organ != "" {
				names[i] = see.Organ + "-" + see.Name
			}
		}
		list = append(list, calendar.Fact{Name: "for", Value: strings.Join(names, "+")})
	}
	if s.Rain != nil {
		list = append(list, calendar.Fact{Name: "rain", Value: *s.Rain})
	}
	return list
}

// Lighten returns what outputs need that show no sheet.
func (s *FieldSheet) Lighten() calendar.Facts { return &FieldSheet{Rain: s.Rain, shows: s.shows} }

// SheetSpecies is a species on a sheet.
type SheetSpecies struct {
	Species *phenology.Species
	Traits  []SheetTrait // that can likely be seen, from what shows from afar to what must be broken off
}

// SheetTrait is a character on a sheet.
type SheetTrait struct {
	phenology.Trait
	P     float64 // that it can be seen that day
	Tells int     // how well it tells this species from the others of the sheet: 2 for each that it does at a glance, 1 with care
}

// Words returns the trait as a sheet says it.
func (t *SheetTrait) Words() string { return traitWords(t.Trait) }

// traitWords returns a trait in its profile's words, and names the part of the tree where they do not.
func traitWords(t phenology.Trait) string {
	if t.Text == "" {
		return calendar.CharacterName(t) + ": " + traitStates(t)
	}
	part := t.Organ
	named := []string{part}
	switch part {
	case "leaf":
		named = append(named, "leaves", "lobe", "needle", "edge")
	case "fruit":
		named = append(named, "samara", "wing", "acorn", "nut", "cone", "berr", "seed", "pod", "capsule", "drupe", "catkin", "ball", "cherr", "pome", "husk", "cup")
	case "flower":
		named = append(named, "catkin", "sepal", "petal", "spike")
	case "bud":
		named = append(named, "scale")
	case "twig":
		named = append(named, "scar")
	case "habit":
		if part = "grows"; t.Name != "ground" {
			return t.Text
		}
	case "sap", "pith":
		return t.Text
	}
	text := strings.ToLower(t.Text)
	if slices.ContainsFunc(named, func(word string) bool { return strings.Contains(text, word) }) {
		return t.Text
	}
	return part + ": " + t.Text
}

func traitStates(t phenology.Trait) string {
	if len(t.States) == 0 {
		return phrase.Range(t.Low, t.High, 0) + " " + t.Unit
	}
	words := make([]string, len(t.States))
	for i, s := range t.States {
		words[i] = stateWords(s)
	}
	if n := len(words); n > 2 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, " or ")
}

// wordsOfStates are the states that are no words of a sentence.
var wordsOfStates = map[string]string{"plates-lifting": "lifting plates", "simple-lobed": "lobed", "simple-unlobed": "without lobes"}

// stateWords writes a state of the profiles as a sentence does: a noun keeps no hyphen (fine teeth), an adjective does
// (red-brown, v-shaped).
func stateWords(s string) string {
	if words, ok := wordsOfStates[s]; ok {
		return words
	}
	first, last, ok := strings.Cut(s, "-")
	if ok && slices.Contains([]string{"teeth", "tips", "plain", "ground", "ridges", "strips", "warts", "tassels", "clusters", "trees", "flowers", "samara", "leaves"}, last) {
		return first + " " + last
	}
	return s
}

// organOrder is the order in which one meets the parts of a tree, from afar to the hand.
var organOrder = []string{"habit", "bark", "leaf", "flower", "fruit", "twig", "bud", "sap", "pith"}

// MostShown is how many species with characters of their own are on a sheet of text; others are named.
const MostShown = 9

// NewSheet makes the sheet of a day at a place for all its species.
func NewSheet(place *calendar.Place, d civil.Date, activity calendar.Activity) *FieldSheet {
	w := At(calendar.NewWork(&calendar.Plan{}, place))
	hours := place.Options.Trip.Hours
	if activity == calendar.TwigSurvey {
		hours = place.Options.Twig.Hours
	}
	var watches []*traits.Watch
	for _, sp := range place.Species {
		watches = append(watches, w.watch(sp))
	}
	return newSheet(place, watches, traits.NewSeparator(watches), d, hours, activity, nil)
}

func newSheet(place *calendar.Place, watches []*traits.Watch, separator *traits.Separator, d civil.Date, h calendar.Hours, activity calendar.Activity, chance map[string]float64) *FieldSheet {
	site := *place.Site() // a copy: the outlook is a thousand times its size
	s := &FieldSheet{Site: &site, Activity: activity, Date: d, Hours: h, Title: "Field trip", chance: chance}
	if activity == calendar.TwigSurvey {
		s.Title = "Winter-twig survey"
	}
	c := conditionsAt(place.Outlook, d, h)
	s.Sun, s.Temperature = c.sun, c.temperature
	s.Pairs = separator.On(d)
	tells := map[string]int{}
	key := func(sp *phenology.Species, t *phenology.Trait) string { return sp.ID + " " + t.Organ + " " + t.Name }
	for _, p := range s.Pairs {
		for _, by := range p.By {
			points := 1
			if by.Ease() == traits.Apart {
				points = 2
			}
			if len(p.By) == 1 {
				points += 2 * len(watches) // nothing else tells the two apart: without it the sheet would be of no use to them
			}
			tells[key(p.A, by.A)] += points
			tells[key(p.B, by.B)] += points
		}
	}
	if activity == calendar.TwigSurvey { // it is the buds that people have come for, however alike they are
		for _, w := range watches {
			for _, t := range w.Species.Traits {
				if t.Organ == "bud" && !t.NeedsHandling {
					tells[key(w.Species, &t)] += len(watches)
				}
			}
		}
	}
	for _, w := range watches {
		x := SheetSpecies{Species: w.Species}
		for _, t := range w.Species.Traits {
			if p, ok := w.Visible(t, d); ok && p >= likelyThere {
				x.Traits = append(x.Traits, SheetTrait{Trait: t, P: p, Tells: tells[key(w.Species, &t)]})
			}
		}
		slices.SortStableFunc(x.Traits, func(a, b SheetTrait) int {
			return cmp.Or(cmp.Compare(boolInt(a.NeedsHandling), boolInt(b.NeedsHandling)),
				cmp.Compare(slices.Index(organOrder, a.Organ), slices.Index(organOrder, b.Organ)))
		})
		s.Species = append(s.Species, x)
	}
	s.takeCommon()
	s.kit(c)
	s.cautions()
	return s
}

// takeCommon says once what all species of the sheet show, in place of once for each.
func (s *FieldSheet) takeCommon() {
	lists := make([][]phenology.Trait, len(s.Species))
	for i, x := range s.Species {
		for _, t := range x.Traits {
			lists[i] = append(lists[i], t.Trait)
		}
	}
	for _, c := range commonTraits(lists) {
		s.Common = append(s.Common, c.words)
		for i := range s.Species {
			x := &s.Species[i]
			x.Traits = slices.DeleteFunc(x.Traits, func(t SheetTrait) bool { return c.is(t.Trait) })
		}
	}
}

// commonTrait is a character that all of several species have in the same state.
type commonTrait struct {
	organ, name string
	words       string
}

func (c *commonTrait) is(t phenology.Trait) bool { return t.Organ == c.organ && t.Name == c.name }

// commonTraits returns what the traits of several species have in common, but for what must be cut or broken: nothing if
// there are not several.
func commonTraits(lists [][]phenology.Trait) []commonTrait {
	if len(lists) < 2 {
		return nil
	}
	var common []commonTrait
	for _, t := range lists[0] {
		c := commonTrait{organ: t.Organ, name: t.Name, words: t.Text}
		all := len(t.States) > 0 && !t.NeedsHandling
		for _, list := range lists[1:] {
			i := slices.IndexFunc(list, c.is)
			if all = all && i >= 0 && slices.Equal(slices.Sorted(slices.Values(t.States)), slices.Sorted(slices.Values(list[i].States))); !all {
				break
			}
			if list[i].Text != t.Text {
				c.words = calendar.CharacterName(t) + " " + traitStates(t)
			}
		}
		if all {
			common = append(common, c)
		}
	}
	return common
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// kit lists what to bring, in two lines.
func (s *FieldSheet) kit(c conditions) {
	always := "this sheet, pencils, a hand lens, water, a first-aid kit, a phone"
	if s.Activity == calendar.FieldTrip {
		always += ", the class list with its allergies"
	}
	var more []string
	measured, handled := false, false
	leaves := false
	for _, x := range s.Species {
		for _, t := range x.Traits {
			measured = measured || t.Unit == "mm" || t.Unit == "degrees"
			handled = handled || t.NeedsHandling
			leaves = leaves || t.Organ == "leaf"
		}
	}
	if measured {
		more = append(more, "a ruler and a protractor")
	}
	if handled {
		more = append(more, "a knife for the leader alone")
	}
	if !leaves || c.known && c.low < 8 {
		more = append(more, "warm layers and gloves")
	}
	if leaves {
		more = append(more, "long trousers and tick repellent")
	}
	s.Kit = []string{phrase.Capital(always) + "."}
	if len(more) > 0 {
		s.Kit = append(s.Kit, phrase.Capital(strings.Join(more, "; "))+".")
	}
}

// cautions lists the usual cautions of the outing and those of the species that it is about: a site may have the whole
// library, and sixty cautions are none.
func (s *FieldSheet) cautions() {
	list := slices.Clone(calendar.TripCautions)
	if s.Activity == calendar.TwigSurvey {
		list = slices.Clone(calendar.SurveyCautions)
	}
	inLeaf := false
	for _, x := range s.Species {
		for _, t := range x.Traits {
			inLeaf = inLeaf || t.Organ == "leaf"
		}
	}
	if s.Activity == calendar.FieldTrip && !inLeaf && s.winter() {
		list = append(list, "Without leaves, ice may lie on paths, ponds and river margins: keep off it.")
	}
	shown, _ := s.Likeliest(MostShown)
	for _, x := range shown {
		for _, c := range x.Species.Cautions {
			if c.InLeaf && inLeaf && (len(c.Activities) == 0 || slices.Contains(c.Activities, string(s.Activity))) {
				list = append(list, phrase.Sentence(c.Text))
			}
		}
	}
	for _, x := range shown {
		for _, c := range calendar.SpeciesCautions(x.Species, s.Activity) {
			if !slices.Contains(list, c) {
				list = append(list, c)
			}
		}
	}
	s.Cautions = list
}

// winter reports whether the day lies in the half of the year from November to mid-April, or, in the south, from May to
// mid-October.
func (s *FieldSheet) winter() bool {
	day := phenology.SeasonAt(*s.Site, s.Date).Day(s.Date)
	return day < 105 || day > 304
}

// counted returns how many pairs can be told apart, how many of these not by color, how many with care, how many not.
func (s *FieldSheet) counted() (apart, close, care, not int) {
	for _, p := range s.Pairs {
		switch p.Ease {
		case traits.Apart:
			apart++
			if len(p.Close) > 0 {
				close++
			}
		case traits.WithCare:
			care++
		default:
			not++
		}
	}
	return apart, close, care, not
}

// pairsText says how many pairs can be told apart.
func (s *FieldSheet) pairsText() string {
	apart, close, care, not := s.counted()
	n := apart + care + not
	switch {
	case n == 0:
		return ""
	case n == 1 && apart == 1 && close == 1:
		return "The two can be told apart, though not by their colors."
	case n == 1 && apart == 1:
		return "The two can be told apart at a glance."
	case apart == n && close == 0:
		return fmt.Sprintf("All %d pairs can be told apart at a glance.", n)
	}
	var parts []string
	verb := "can be told apart "
	for _, x := range []struct {
		n   int
		how string
	}{
		{apart - close, "at a glance"}, {close, "by other characters than color"}, {care, "only with care"},
	} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s%s", x.n, verb, x.how))
			verb = ""
		}
	}
	switch {
	case not == n:
		return fmt.Sprintf("Of %s, none can be told apart that day.", phrase.Count(n, "pair"))
	case not > 0:
		parts = append(parts, fmt.Sprintf("%d not at all that day", not))
	}
	return fmt.Sprintf("Of %s, %s.", phrase.Count(n, "pair"), strings.Join(parts, ", "))
}

// CareText says which pairs need care, at most so many of them, the worst first.
func (s *FieldSheet) CareText(most int) []string {
	var worst []traits.Pair
	for _, p := range s.Pairs {
		if p.Ease != traits.Apart || len(p.Close) > 0 {
			worst = append(worst, p)
		}
	}
	slices.SortStableFunc(worst, func(a, b traits.Pair) int {
		return cmp.Or(cmp.Compare(b.Ease, a.Ease), cmp.Compare(sharing(a), sharing(b)))
	})
	var lines []string
	if text := s.pairsText(); text != "" {
		lines = append(lines, text)
	}
	for i, p := range worst {
		if i == most {
			more := fmt.Sprintf("%d pairs more need care.", len(worst)-most)
			if len(worst)-most == 1 {
				more = "1 pair more needs care."
			}
			lines = append(lines, more)
			break
		}
		lines = append(lines, PairText(p))
	}
	return lines
}

// notApartText says how many pairs can be told apart, and which cannot, at most so many of them.
func (s *FieldSheet) notApartText(most int) []string {
	var lines []string
	if text := s.pairsText(); text != "" {
		lines = append(lines, text)
	}
	for _, p := range s.Pairs {
		if p.Ease == traits.NotApart && len(lines) <= most {
			lines = append(lines, PairText(p))
		}
	}
	return lines
}

// sharing returns 1 if what a pair is close in is the same in both, by which nobody tries to tell the two, and 0 if it
// is a shade apart, which misleads.
func sharing(p traits.Pair) int {
	if len(p.Close) > 0 && slices.ContainsFunc(p.By, func(s traits.Split) bool {
		return s.A.Organ == p.Close[0].A.Organ && s.A.Name == p.Close[0].A.Name
	}) {
		return 0
	}
	return 1
}

// PairText says how two species can be told apart on the pair's day, and what settles it if that is not enough.
func PairText(p traits.Pair) string {
	text := fmt.Sprintf("%s and %s: ", phrase.Capital(phrase.Name(p.A.Name())), phrase.Name(p.B.Name()))
	switch {
	case p.Ease == traits.NotApart:
		text += "not to be told apart that day"
	case len(p.Close) > 0 && p.Ease == traits.Apart:
		text += fmt.Sprintf("take care, %s is close; %s settles it", splitText(p.Close[0]), splitText(p.By[0]))
	default:
		by := p.By[0]
		text += splitText(by)
		switch by.Doubt {
		case traits.Shade:
			text += ", only a shade apart"
			if by.A.Name != "color" {
				text = strings.TrimSuffix(text, "only a shade apart") + "only a little apart"
			}
		case traits.Age:
			text += ", on grown trees only"
		case traits.Handling:
			text += ", to be cut, broken, scraped or held under a lens"
		}
	}
	if s := p.Settle; s != nil {
		text += fmt.Sprintf("; from %s, %s settles it", phrase.ShortDate(s.Span.First), splitText(s.Split))
		if s.Doubt == traits.Handling {
			text += " when cut or broken"
		}
	} else if p.Ease != traits.Apart {
		text += "; no character in the profiles settles it at another time"
	}
	if p.Ease != traits.Apart && len(p.Hints) > 0 {
		h := p.Hints[0]
		text += fmt.Sprintf("; where they stand is a hint and no proof (%s against %s)", traitStates(*h.A), traitStates(*h.B))
	}
	return text + "."
}

// splitText names a character and its two states.
func splitText(s traits.Split) string {
	return fmt.Sprintf("%s (%s against %s)", calendar.CharacterName(*s.A), traitStates(*s.A), traitStates(*s.B))
}

// Mind returns the cautions, those that several species share once.
func (s *FieldSheet) Mind() []string {
	of := map[string]string{}
	for _, x := range s.Species {
		for _, c := range calendar.SpeciesCautions(x.Species, s.Activity) {
			of[c] = x.Species.Name()
		}
	}
	return calendar.MergeSpecies(s.Cautions, of)
}

// CommonText says what all species of the sheet share.
func (s *FieldSheet) CommonText() string { return "All of them: " + phrase.Clauses(s.Common) }

// Likeliest returns at most so many species, in their order, and the names of the rest: those of which most can be
// expected of what the day was chosen for, and then those of which most characters can be seen.
func (s *FieldSheet) Likeliest(most int) ([]SheetSpecies, []string) {
	if len(s.Species) <= most {
		return s.Species, nil
	}
	ranked := make([]int, len(s.Species))
	for i := range ranked {
		ranked[i] = i
	}
	slices.SortStableFunc(ranked, func(a, b int) int {
		x, y := s.Species[a], s.Species[b]
		return cmp.Or(cmp.Compare(s.chance[y.Species.ID], s.chance[x.Species.ID]), cmp.Compare(len(y.Traits), len(x.Traits)))
	})
	var shown []SheetSpecies
	var rest []string
	for _, i := range slices.Sorted(slices.Values(ranked[:most])) {
		shown = append(shown, s.Species[i])
	}
	for _, i := range slices.Sorted(slices.Values(ranked[most:])) {
		rest = append(rest, phrase.Name(s.Species[i].Species.Name()))
	}
	return shown, rest
}

// Best returns at most so many characters, in their order: those that tell the species from most others.
func (x *SheetSpecies) Best(most int) []SheetTrait {
	if len(x.Traits) <= most {
		return x.Traits
	}
	ranked := make([]int, len(x.Traits))
	for i := range ranked {
		ranked[i] = i
	}
	// Where it grows is nothing to look for on the tree.
	slices.SortStableFunc(ranked, func(a, b int) int {
		s, t := &x.Traits[a], &x.Traits[b]
		return cmp.Or(cmp.Compare(t.Tells, s.Tells), cmp.Compare(boolInt(s.Name == "ground"), boolInt(t.Name == "ground")))
	})
	ranked = slices.Sorted(slices.Values(ranked[:most]))
	var list []SheetTrait
	for _, i := range ranked {
		list = append(list, x.Traits[i])
	}
	return list
}
