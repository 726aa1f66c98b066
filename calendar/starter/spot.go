package starter

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"time"

	"treewhen/calendar/gazetteer"
	"treewhen/calendar/phrase"
	"treewhen/calendar/zone"
	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
)

// Spot is where a new plan's site lies, and what that was taken from.
type Spot struct {
	Latitude, Longitude float64 // decimal degrees
	Elevation           string  // with its unit, as the plan will have it
	Zone                string  // IANA name
	Town                string  // "" if no town is near
	// what they are: "the middle of Stowe, Vermont", "" where the coordinates are the user's own
	FromTown      string
	ElevationFrom string  // the town, or the country about; "" where it is the user's own
	ElevationOff  float64 // of the country about: metres by which the spot may well stand higher or lower
	ZoneFrom      string  // the town, or the map of zones
	ZoneByMap     bool
	Units         phrase.Units // those of the country, by the nearest town; "" if no town is near
	French        bool         // whether French is the language of its province, by the nearest town
}

const (
	elevationReachKM = 5  // from a town, its height still serves; its time zone does to [gazetteer.ZoneReach]
	sameTownKM       = 50 // coordinates farther from the town named with them are a slip
)

func (s *Spot) site() phenology.Site {
	return phenology.Site{Latitude: s.Latitude, Longitude: s.Longitude}
}

// String describes the spot in one line.
func (s *Spot) String() string {
	return fmt.Sprintf("%s, %s, %s, %s", degrees(s.Latitude), degrees(s.Longitude), s.Elevation, s.Zone)
}

func degrees(d float64) string { return strconv.FormatFloat(d, 'f', -1, 64) }

// errSeveral is that a name is of several towns.
type errSeveral struct {
	text  string
	towns []*gazetteer.Town
}

func (e errSeveral) Error() string {
	const most = 12
	var b strings.Builder
	fmt.Fprintf(&b, "found %q, which is the name of %d towns, want one of them:", e.text, len(e.towns))
	for _, t := range e.towns[:min(len(e.towns), most)] {
		b.WriteString("\n  " + t.Describe())
	}
	if n := len(e.towns) - most; n > 0 {
		fmt.Fprintf(&b, "\n  and %d smaller ones", n)
	}
	return b.String()
}

// findTown looks a town up. Errors say what was wrong with the name and what is near it.
func findTown(text string) (*gazetteer.Town, error) {
	answer, err := gazetteer.Find(text)
	switch {
	case err != nil:
		return nil, err
	case len(answer.Towns) == 1:
		return answer.Towns[0], nil
	case len(answer.Towns) > 1:
		return nil, errSeveral{text, answer.Towns}
	}
	in := "among those of the United States, Canada and Mexico"
	if answer.In != "" {
		in = "in " + answer.In
	}
	if len(answer.Near) == 0 {
		return nil, fmt.Errorf("found no town %q %s. Known are places of some 500 people or more, and in the United "+
			"States villages with a post office; a municipality of many hamlets may be missing. Name a larger one "+
			"near you, or give coordinates and elevation", text, in)
	}
	var near []string
	for _, t := range answer.Near {
		near = append(near, t.String())
	}
	return nil, fmt.Errorf("found no town %q %s; did you mean %s? If not, name a larger one near you, or give "+
		"coordinates and elevation", text, in, orList(near))
}

// middle says what a town's coordinates are.
func middle(t *gazetteer.Town) string {
	if t.Village {
		return fmt.Sprintf("about those of %s, to some %s", t, unitsOf(t).Way(gazetteer.VillageReach))
	}
	return "the middle of " + t.String()
}

func orList(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}

// findSpot works out where the site is from the options: a town, coordinates, or both.
func findSpot(o Options) (*Spot, error) {
	var town *gazetteer.Town
	s := &Spot{}
	own := o.Latitude != "" || o.Longitude != ""
	if own {
		if o.Latitude == "" || o.Longitude == "" {
			return nil, problem.Usagef("init: found only one of --latitude and --longitude, want both")
		}
		var err error
		if s.Latitude, err = parseDegrees("--latitude", o.Latitude, 90); err != nil {
			return nil, err
		}
		if s.Longitude, err = parseDegrees("--longitude", o.Longitude, 180); err != nil {
			return nil, err
		}
	}
	if o.Place != "" {
		var err error
		if town, err = findTown(o.Place); err != nil {
			// Of several towns of a name, coordinates tell which is meant.
			var several errSeveral
			if !own || !errors.As(err, &several) {
				hint := `instead of a town: --latitude 44.47 --longitude=-72.69 --elevation "350 m"`
				if errors.As(err, &several) {
					hint = "write its state or province behind a comma; where two are in one, add --latitude and " +
						"--longitude"
				}
				return nil, problem.Usage{Text: "--place: " + err.Error(), Hint: hint}
			}
			town = nearestOf(several.towns, s)
		}
		s.Town = town.Name
	}
	if !own {
		s.Latitude, s.Longitude = town.Latitude, town.Longitude
		s.FromTown = middle(town)
		return s, s.complete(o, town, 0)
	}
	km := 0.0
	if town == nil {
		town, km = gazetteer.Nearest(s.Latitude, s.Longitude)
		if km <= gazetteer.ZoneReach {
			s.Town = town.Name
		}
	} else if km = distance(town, s); km > sameTownKM {
		return nil, problem.Usagef("init: found coordinates %s from %s, want a town near them", unitsOf(town).Way(km),
			town)
	}
	return s, s.complete(o, town, km)
}

func distance(t *gazetteer.Town, s *Spot) float64 {
	return phenology.Distance(t.Latitude, t.Longitude, s.Latitude, s.Longitude)
}

func nearestOf(towns []*gazetteer.Town, s *Spot) *gazetteer.Town {
	best := towns[0]
	for _, t := range towns {
		if distance(t, s) < distance(best, s) {
			best = t
		}
	}
	return best
}

// unitsOf returns the units in which people of a town's country read.
func unitsOf(t *gazetteer.Town) phrase.Units {
	if t.Region.Country == "US" {
		return phrase.US
	}
	return phrase.Metric
}

// speaksFrench reports whether French is the language of a town's province: Quebec, whose only official language
// it is (Charter of the French Language, section 1).
func speaksFrench(t *gazetteer.Town) bool { return t.Region.Country == "CA" && t.Region.Code == "QC" }

// complete settles units, language, elevation and time zone: the user's own, or those of a town so many kilometres off.
func (s *Spot) complete(o Options, town *gazetteer.Town, km float64) error {
	if km <= gazetteer.ZoneReach {
		s.Units, s.French = unitsOf(town), speaksFrench(town)
	}
	off := ""
	if km >= 1 {
		off = ", " + s.Units.Way(km) + " off"
	}
	switch {
	case o.Elevation != "":
		if err := checkElevation(o.Elevation); err != nil {
			return problem.Usagef("--elevation: %v", err)
		}
		s.Elevation = strings.TrimSpace(o.Elevation)
	case town.HasElevation && km <= elevationReachKM:
		s.Elevation, s.ElevationFrom = s.Units.Height(town.Elevation), town.String()+off
	default:
		c, ok := climate.At(s.Latitude, s.Longitude)
		if !ok || !c.ElevationServes() {
			return s.elevationWanted(town, km, c, ok)
		}
		s.Elevation = s.Units.Height(c.Elevation)
		s.ElevationFrom, s.ElevationOff = "the country about", math.Ceil(c.ElevationError()/10)*10
	}
	switch {
	case o.Zone != "":
		if _, err := time.LoadLocation(o.Zone); err != nil || o.Zone == "Local" {
			return problem.Usagef("--timezone: found %q, want an IANA time zone such as America/Toronto", o.Zone)
		}
		s.Zone = o.Zone
	case km <= gazetteer.ZoneReach:
		s.Zone, s.ZoneFrom = town.Zone, town.String()+off
	default:
		s.Zone = zone.At(s.Latitude, s.Longitude)
		// the sea's, by nobody kept
		if _, err := time.LoadLocation(s.Zone); err != nil || strings.HasPrefix(s.Zone, "Etc/") {
			return problem.Usagef("init: no time zone is known at %s, %s, want --timezone such as America/Toronto",
				degrees(s.Latitude), degrees(s.Longitude))
		}
		s.ZoneFrom, s.ZoneByMap = "a map of time zones", true
	}
	return nil
}

// elevationWanted is the error where neither a town's elevation nor that of the country about would serve.
func (s *Spot) elevationWanted(town *gazetteer.Town, km float64, c climate.Cell, known bool) error {
	why := fmt.Sprintf("no town within %s whose elevation would serve", s.Units.Way(elevationReachKM))
	if km <= elevationReachKM {
		why = fmt.Sprintf("the elevation of %s is not known", town)
	}
	if known {
		why += fmt.Sprintf(", and the country about, near %s, rises and falls by more than dates allow",
			s.Units.Height(c.Elevation))
	}
	return problem.Usagef("init: %s; want --elevation such as 350 m or 1150 ft", why)
}

func parseDegrees(option, text string, most float64) (float64, error) {
	d, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(d) || math.Abs(d) > most {
		return 0, problem.Usagef(
			"%s: found %q, want decimal degrees from -%g to %g, such as -72.69", option, text, most, most,
		)
	}
	return d, nil
}

var elevationForm = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^(-?[0-9]+(?:\.[0-9]+)?) ?(m|ft)$`)
})

// checkElevation judges a height with its unit.
func checkElevation(text string) error {
	m := elevationForm().FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return fmt.Errorf("found %q, want a height with its unit, such as 350 m or 1150 ft", text)
	}
	metres, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return err
	}
	if m[2] == "ft" {
		metres *= 0.3048
	}
	return phenology.Site{Elevation: metres}.Check()
}
