package outing

import (
	"cmp"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/traits"
)

// Both are our own choice. What comes with a lower chance is still on the sheet, behind the rest and with its chance:
// on the day of a trip for young leaves half the species may have none yet.
const (
	likelyThere = 0.5 // from this chance on a sight is named in a title
	mayBeThere  = 0.2 // from this chance on a character is on the sheet
)

const aboutNow = 5 // days by which a phase may be off eight years of ten and still be asked for

// MostPairs is the most pairs of a sheet that need care of which it is said how.
const MostPairs = 10

const mostCommon = 5 // characters that are said of all species together

// Sheet is one page to take along: what can be seen on a day at a place, in the order in which one meets it, and what
// cannot be told apart.
type Sheet struct {
	Day
	Site     *phenology.Site
	Activity calendar.Activity
	Date     civil.Date
	Hours    calendar.Hours
	Rain     *civil.Date  // the day to fall back on, nil if there is none
	Sights   Sights       // what the day was chosen for; none on a day that was not
	Named    []NamedSight // of these, what the title of a trip names
	Common   []Common     // characters that all its species share, where it has several
	Species  []SheetSpecies

	Level  Level         // for whom it is
	Speech phrase.Speech // how it is told; for whoever shows it to set
	apart  *traits.Comparison
	worst  []traits.Pair // those that need care, as far as they are told
}

// SheetSpecies is a species on a sheet.
type SheetSpecies struct {
	Species  *phenology.Species
	Traits   []SheetTrait       // that can likely be seen, from what shows from afar to what must be broken off
	Expected float64            // how many of the things that the day was chosen for can be expected of it
	Ground   []*phenology.Trait // of its leaves on the ground, while it is bare and they can still be told
	Coming   []phenology.Phase  // that may just have come that day

	apart *traits.Comparison
	at    int // its number there
}

// SheetTrait is a character on a sheet.
type SheetTrait struct {
	*phenology.Trait
	P     float64 // that it can be seen that day
	is    int     // the number of its character where the sheet's species are compared
	bonus int     // what it is worth whatever it tells
	met   int     // its place in the order in which one meets the characters of a tree
}

// Kit is what to bring beside what is always brought.
type Kit struct {
	Ruler     bool `json:"ruler"` // and a protractor
	Knife     bool `json:"knife"`
	Layers    bool `json:"warm_layers"`
	Repellent bool `json:"tick_repellent"` // and long trousers
}

// organOrder is the order in which one meets the parts of a tree, from afar to the hand.
var organOrder = []string{"habit", "bark", "leaf", "flower", "fruit", "twig", "bud", "sap", "pith"}

// met returns the place of a character in the order in which one meets them: what must be cut or broken after all else.
func met(t *phenology.Trait) int {
	return boolInt(t.NeedsHandling)*len(organOrder) + slices.Index(organOrder, t.Organ)
}

// MostShown is how many species with characters of their own are on a sheet of text; others are named. As many have
// their own cautions read out: a site may have the whole library, and sixty cautions are none.
const MostShown = 9

// coldHours is the usual temperature of an outing's hours, in degrees Celsius, below which warm layers are worth
// carrying: our own choice. From ticksFrom on ticks look for a host, be there leaves or not: extension services name
// about 40 F, from memory. Where no temperature is known, the season alone decides.
const (
	coldHours = 8
	ticksFrom = 4.4
)

// NewSheet makes the sheet of a day at a place for all its species.
func NewSheet(place *calendar.Place, d civil.Date, activity calendar.Activity) *Sheet {
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

// newSheet makes a sheet of the species that are watched; expected says how many of the things that the day was chosen
// for can be expected of each.
func newSheet(place *calendar.Place, watches []*traits.Watch, separator *traits.Separator, d civil.Date,
	h calendar.Hours, activity calendar.Activity, expected map[*phenology.Species]float64) *Sheet {
	site := *place.Site() // a copy: the outlook is a thousand times its size
	s := &Sheet{Site: &site, Activity: activity, Date: d, Hours: h, apart: separator.On(d)}
	s.Conditions = conditionsAt(place.Outlook, d, h)
	out := &place.Options.Trip.Outings
	if activity == calendar.TwigSurvey {
		out = &place.Options.Twig.Outings
	}
	if out.Bus.Travel > 0 {
		s.Ride = Ride{out.Away(), out.Bus}
	}
	for at, w := range watches {
		x := SheetSpecies{Species: w.Species, Expected: expected[w.Species], apart: s.apart, at: at}
		x.Traits = make([]SheetTrait, 0, len(w.Species.Traits))
		for i := range w.Species.Traits {
			t := &w.Species.Traits[i]
			p := s.apart.Chance(at, i) // that nothing hangs on a tree is nothing to look for
			if p >= mayBeThere && !s.apart.ProvesNothing(at, i) && !useless(t) && !repeated(t, x.Traits) {
				x.Traits = append(x.Traits, SheetTrait{t, p, s.apart.Character(at, i), s.bonus(w.Species, t), met(t)})
			}
		}
		slices.SortStableFunc(x.Traits, func(a, b SheetTrait) int { return cmp.Compare(a.met, b.met) })
		x.Ground = onTheGround(w, d)
		x.Coming = slices.DeleteFunc(w.Near(d, aboutNow), func(p phenology.Phase) bool {
			// nothing that one sees on a trip
			return p == phenology.SapStart || p == phenology.SapEnd || p == phenology.Dormant
		})
		s.Species = append(s.Species, x)
	}
	s.takeCommon()
	s.judge()
	s.prepare()
	return s
}

// prepare decides what to bring and what to mind.
func (s *Sheet) prepare() {
	for _, x := range s.Species {
		for _, t := range x.Traits {
			s.Kit.Ruler = s.Kit.Ruler || t.Unit == "mm" || t.Unit == "degrees"
			s.Kit.Knife = s.Kit.Knife || t.NeedsHandling
			s.InLeaf = s.InLeaf || t.Organ == "leaf" && !t.AllYear && t.Name != "held"
		}
	}
	cold := s.coldHalf()
	s.Kit.Layers, s.Kit.Repellent, s.Ice = cold, !cold, cold
	if c := &s.Conditions; c.Known {
		s.Kit.Layers, s.Kit.Repellent, s.Ice = c.Low < coldHours, c.High >= ticksFrom, c.Night < 0
	}
	s.Ice = s.Ice && s.Activity == calendar.FieldTrip
	shown, _ := s.Likeliest(MostShown)
	for _, x := range shown {
		s.Minded = append(s.Minded, x.Species)
	}
}

// coldHalf reports whether the day lies in the half of the year from November to mid-April, or, in the south, from May
// to mid-October.
func (s *Sheet) coldHalf() bool {
	day := phenology.SeasonAt(*s.Site, s.Date).Day(s.Date)
	return day < 105 || day > 304
}

// Likeliest returns at most so many species, in their order, and the rest: those of which most can be expected of what
// the day was chosen for, and then those of which most characters can be seen.
func (s *Sheet) Likeliest(most int) (shown, rest []SheetSpecies) {
	if len(s.Species) <= most {
		return s.Species, nil
	}
	first := topOf(len(s.Species), most, func(a, b int) int {
		x, y := &s.Species[a], &s.Species[b]
		return cmp.Or(cmp.Compare(y.Expected, x.Expected), cmp.Compare(len(y.Traits), len(x.Traits)))
	})
	for i, x := range s.Species {
		if first[i] {
			shown = append(shown, x)
		} else {
			rest = append(rest, x)
		}
	}
	return shown, rest
}

// topOf returns which of n things are the first so many of an order; of equals, the first stay first.
func topOf(n, most int, compare func(a, b int) int) []bool {
	ranked := make([]int, n)
	for i := range ranked {
		ranked[i] = i
	}
	slices.SortStableFunc(ranked, compare)
	top := make([]bool, n)
	for _, i := range ranked[:most] {
		top[i] = true
	}
	return top
}
