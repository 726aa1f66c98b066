// Package starter answers: what plan does one start from? From the name of a town and a few words it makes one in which
// every key is explained and every sample can be taken into use, and it can ask a person at a terminal for them.
package starter

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/gazetteer"
	"treewhen/calendar/services"
	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

// Options are what is known beforehand of a plan to be written. Empty ones are found from the others, or asked for.
type Options struct {
	Name                           string // of the site
	Place                          string // the nearest town, with its state or province behind a comma
	Latitude, Longitude, Elevation string // decimal degrees; a height with its unit
	Zone                           string // IANA name of the time zone
	Purposes                       []string
	Species                        []string // names, or lists of them with commas
	File                           string   // where the plan is to be; "" or "-" is standard output
	Contact                        string   // whom a weather service may turn to
	// Addresses are those of servers that answer in the place of services.
	Addresses map[services.Name]string
}

// Draft is a plan in the making.
type Draft struct {
	Options
	Spot    *Spot
	Chosen  []*phenology.Species
	Weather Weather

	library *profiles.Library
	year    int // this one, for dates in samples
	uses    uses
	offered []*phenology.Species // for samples: at home there too, and sometimes tapped
}

// New works out a plan from what is known. A [problem.Usage] says what is missing or wrong.
func New(o Options, library *profiles.Library, year int) (*Draft, error) {
	s := &Draft{Options: o, library: library, year: year, uses: purposesOf(o.Purposes)}
	err := s.uses.check()
	if err != nil {
		return nil, err
	}
	if s.Spot, err = findSpot(s.Options); err != nil {
		return nil, err
	}
	if err := s.settleName(); err != nil {
		return nil, err
	}
	return s, s.settleSpecies()
}

// uses are what a plan is for.
type uses struct {
	activities []calendar.Activity
	words      string // the user's own, "" if a purpose that is known says it all
	kind       string // of place, as its name says: sugarbush
	title      string
}

// purpose is a use that is known, with the words people have for it.
type purpose struct {
	name, kind, title string
	words             []string
	activities        []calendar.Activity
}

var purposes = []purpose{
	{
		"producer", "sugarbush", "Tapping",
		[]string{"producer", "producers", "tapping", "sap", "syrup", "sugaring", "sugarbush", "sugarmaker",
			"sugarmaking"},
		[]calendar.Activity{calendar.Tapping},
	},
	{
		"nursery", "nursery", "Seed collection", []string{"nursery", "nurseries", "seed", "seeds", "seed-collection"},
		[]calendar.Activity{calendar.SeedCollection},
	},
	{"school", "school", "Twig surveys and field trips", []string{
		"school", "schools", "class", "teacher", "teaching", "pupils", "students", "field-trip", "twig-survey",
	},
		[]calendar.Activity{calendar.TwigSurvey, calendar.FieldTrip}},
}

// Purposes names the uses that are known.
func Purposes() (names []string) {
	for _, p := range purposes {
		names = append(names, p.name)
	}
	return names
}

// purposesOf reads what a plan is for. Words that name no known purpose are kept as they are, and leave every activity
// in.
func purposesOf(texts []string) uses {
	var u uses
	var titles, kinds, own []string
	for _, text := range texts {
		known := false
		for _, word := range strings.Fields(strings.ToLower(strings.ReplaceAll(text, ",", " "))) {
			for _, p := range purposes {
				if !slices.Contains(p.words, word) {
					continue
				}
				known = true
				if !slices.Contains(titles, p.title) {
					titles, kinds = append(titles, p.title), append(kinds, p.kind)
					u.activities = append(u.activities, p.activities...)
				}
			}
		}
		if !known && strings.TrimSpace(text) != "" {
			own = append(own, strings.TrimSpace(text))
		}
	}
	u.words = strings.Join(own, ", ")
	if len(own) > 0 || len(u.activities) == 0 {
		u.activities = nil
	}
	var ordered []calendar.Activity
	for _, a := range calendar.Activities() {
		if len(u.activities) == 0 || slices.Contains(u.activities, a) {
			ordered = append(ordered, a)
		}
	}
	u.activities = ordered
	switch {
	case u.words != "":
		u.title = u.words
	case len(titles) > 0:
		u.title = titles[0]
		for _, t := range titles[1:] {
			u.title += " and " + strings.ToLower(t[:1]) + t[1:]
		}
	default:
		u.title = "The trees' year"
	}
	if len(kinds) == 1 && u.words == "" {
		u.kind = kinds[0]
	}
	return u
}

func (s *Draft) defaultName() string {
	if s.Spot.Town == "" {
		return "My " + cmpString(s.uses.kind, "trees")
	}
	return strings.TrimSpace(s.Spot.Town + " " + s.uses.kind)
}

func cmpString(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func (s *Draft) settleName() error {
	s.Name = strings.TrimSpace(s.Name)
	if s.Name == "" {
		s.Name = s.defaultName()
	}
	return checkLine("--name", s.Name)
}

// checkLine refuses what cannot stand on a line of a plan.
func checkLine(what, text string) error {
	if err := problem.CheckText(text, problem.MostName, false); err != nil {
		return problem.Usagef("%s: %v", what, err)
	}
	return nil
}

// check refuses words that cannot stand on a line, and those that are a slip for a purpose that is known.
func (u uses) check() error {
	if err := checkLine("--for", u.words); err != nil {
		return err
	}
	if near := problem.Nearest(u.words, Purposes()); near != "" && u.words != "" {
		return problem.Usage{
			Text: fmt.Sprintf("--for: found %q, want producer, nursery or school, or words of your own", u.words),
			Hint: fmt.Sprintf("did you mean %s?", near),
		}
	}
	return nil
}

// id returns the site's id: the name in small letters and hyphens.
func (s *Draft) id() string {
	id := strings.ReplaceAll(gazetteer.Fold(s.Name), " ", "-")
	if len(id) > 60 {
		id = strings.TrimRight(id[:60], "-")
	}
	return cmpString(id, "my-trees")
}

// settleSpecies finds the species named, or those that the place is in the range of.
func (s *Draft) settleSpecies() error {
	for _, list := range s.Species {
		for name := range strings.SplitSeq(list, ",") {
			if strings.TrimSpace(name) == "" {
				continue
			}
			sp, err := s.library.Find(strings.TrimSpace(name))
			if err != nil {
				return problem.Usagef("--species: %v", err)
			}
			if !slices.Contains(s.Chosen, sp) {
				s.Chosen = append(s.Chosen, sp)
			}
		}
	}
	if len(s.Chosen) == 0 {
		if s.Chosen, s.offered = s.atHome(); s.forAClass() {
			s.Chosen, s.offered = ofAClass(s.Chosen)
		}
	}
	return nil
}

// atHome returns the species whose range the place lies in: for tapping alone, those that are commonly tapped, and
// beside them those that sometimes are.
func (s *Draft) atHome() (chosen, offered []*phenology.Species) {
	chosen, offered = s.growing((*phenology.Species).AtHome)
	if len(chosen)+len(offered) == 0 { // on the shore the very cell may be of the sea
		atHome := func(sp *phenology.Species, at phenology.Site) bool { return sp.KilometresOutside(at) == 0 }
		chosen, offered = s.growing(atHome)
	}
	return chosen, offered
}

// growing returns the species of the library that grow at the place, as atHome has them.
func (s *Draft) growing(here func(*phenology.Species, phenology.Site) bool) (chosen, offered []*phenology.Species) {
	tapping := slices.Equal(s.uses.activities, []calendar.Activity{calendar.Tapping})
	for _, sp := range s.library.All() {
		switch {
		case !here(sp, s.Spot.site()):
		case !tapping || sp.Sap.Tapped == phenology.TappedCommonly:
			chosen = append(chosen, sp)
		case sp.Sap.Tapped == phenology.TappedSometimes:
			offered = append(offered, sp)
		}
	}
	if len(chosen) == 0 {
		return offered, nil
	}
	return chosen, offered
}
