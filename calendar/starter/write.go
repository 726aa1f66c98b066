package starter

import (
	"bytes"
	"crypto/rand"
	_ "embed"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"text/template"

	"treewhen/calendar"
	"treewhen/calendar/law"
	"treewhen/calendar/phrase"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
)

//go:embed plan.yaml.tmpl
var starterText string

var starterTemplate = template.Must(template.New("starter").Parse(starterText))

// byRange says how the species of a place are found.
const byRange = "by Little's maps or, where there is none, a rough box about their range"

// starterFields are what the starter plan is filled in with.
type starterFields struct {
	File, Title, FeedID, ID, Name         string
	Latitude, Longitude, Elevation, Zone  string
	PlaceNote, ElevationNote, ZoneNote    string
	SpeciesNote, ActivityNote, Activities string
	Species, Offered                      []starterSpecies
	// ids of species whose seed may not be collected there; and why, a line each
	Forbidden, ForbiddenNote []string
	Tapping, Seed, Twig      bool
	Contact, RecordService   string
	RecordExample            string
	Stations                 []string // a line each of the plan, with what is to be said of it above
	StationNotes             []string
	NoStation                string // why there is none
	Forecast                 string // a line of the plan
	Year, NextYear           int
	Units                    phrase.Units
	French                   bool   // whether the plan may well be told in French, and can
	FourDays                 string // the height by which spring is four days later
}

type starterSpecies struct{ ID, Name string }

// Render fills in the plan, with an identifier for its feeds: see [NewFeedID].
func (s *Draft) Render(feedID calendar.UUID) ([]byte, error) {
	f := starterFields{
		File: cmpString(s.File, "plan.yaml"), Title: yamlText(s.uses.title + " at " + s.Name), FeedID: feedID.String(),
		ID: yamlText(s.id()), Name: yamlText(s.Name),
		Latitude: degrees(s.Spot.Latitude), Longitude: degrees(s.Spot.Longitude),
		Elevation: s.Spot.Elevation, Zone: s.Spot.Zone,
		Tapping: slices.Contains(s.uses.activities, calendar.Tapping),
		Seed:    slices.Contains(s.uses.activities, calendar.SeedCollection),
		Twig:    slices.Contains(s.uses.activities, calendar.TwigSurvey),
		Year:    s.year, NextYear: s.year + 1, Units: s.Spot.Units,
		French:   s.Spot.French && slices.Equal(s.uses.activities, []calendar.Activity{calendar.Tapping}),
		FourDays: s.Spot.Units.Either("122 m", "400 ft"),
	}
	if s.Spot.FromTown != "" {
		f.PlaceNote = " These are " + s.Spot.FromTown + ": put your trees' own."
	}
	switch {
	case s.Spot.ElevationOff > 0:
		f.ElevationNote = fmt.Sprintf(" This is that of %s, give or take %s: check it.", s.Spot.ElevationFrom,
			s.Spot.Units.Height(s.Spot.ElevationOff))
	case s.Spot.ElevationFrom != "":
		f.ElevationNote = " This is about that of " + s.Spot.ElevationFrom + ", from GeoNames: check it."
	}
	if s.Spot.ZoneFrom != "" {
		f.ZoneNote = " This is that of " + s.Spot.ZoneFrom + "."
	}
	for _, sp := range s.Chosen {
		f.Species = append(f.Species, starterSpecies{sp.ID, sp.Name()})
	}
	for _, sp := range s.Chosen {
		if r, j := law.Forbidding(sp, s.Spot.Latitude, s.Spot.Longitude, s.Spot.Zone); r != nil {
			f.Forbidden = append(f.Forbidden, sp.ID)
			f.ForbiddenNote = append(f.ForbiddenNote, fmt.Sprintf(
				"In %s that may be so of %s (judged by the nearest town, %s): see treewhen species %s.", r.Where,
				sp.Name(), j.Town,
				sp.ID,
			))
		}
	}
	for _, sp := range s.offered {
		f.Offered = append(f.Offered, starterSpecies{sp.ID, sp.Name()})
	}
	switch {
	case len(s.Chosen) == 0:
		f.SpeciesNote = "No species of the library that serves here is at home here. Name those you have; treewhen " +
			"species lists all."
	case len(s.Species) > 0:
		f.SpeciesNote = "The trees, by any name that treewhen species knows."
	case s.forAClass():
		f.SpeciesNote = "The trees: ten of those at home here, " + byRange + ", that a class sees from a path, and " +
			"more to choose from. Name those you have."
	default:
		f.SpeciesNote = "The trees: these are those of the library that are at home here, " + byRange + ". Delete " +
			"what you do not have."
	}
	s.fillWeather(&f)
	f.ActivityNote = "What to schedule: " + planfile.ActivityNames() + "."
	var names []string
	for _, a := range s.uses.activities {
		names = append(names, string(a))
	}
	f.Activities = strings.Join(names, ", ")
	var b bytes.Buffer
	if err := starterTemplate.Execute(&b, f); err != nil {
		return nil, err
	}
	// What was written must be read: a plan that the program itself refuses would be a poor start.
	if _, err := planfile.Read(bytes.NewReader(b.Bytes()), f.File); err != nil {
		return nil, fmt.Errorf("the plan made from these answers is not one that can be read: %w", err)
	}
	return b.Bytes(), nil
}

// plainYAML is text that means itself in YAML without quotes.
var plainYAML = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^[\p{L}][\p{L}\p{M}0-9 ,.'’-]*$`)
})

// yamlText writes a text as a YAML scalar, in quotes where it needs them.
func yamlText(text string) string {
	switch strings.ToLower(text) {
	case "y", "n", "yes", "no", "true", "false", "on", "off", "null":
		return strconv.Quote(text)
	}
	if plainYAML().MatchString(text) && !strings.HasSuffix(text, " ") {
		return text
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// NewFeedID makes a random UUID, RFC 9562 version 4, for a user to keep.
func NewFeedID() calendar.UUID {
	var u calendar.UUID
	rand.Read(u[:]) // never fails: the program ends if the system has no randomness
	u[6] = u[6]&0x0f | 0x40
	u[8] = u[8]&0x3f | 0x80
	return u
}

// SpeciesNames returns the names of species as people say them.
func SpeciesNames(list []*phenology.Species) (names []string) {
	for _, sp := range list {
		names = append(names, sp.Name())
	}
	return names
}
