package starter

import (
	"crypto/rand"
	_ "embed"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"treewhen/calendar"
	"treewhen/calendar/law"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
)

//go:embed plan.txt
var planText string

// byRange says how the species of a place are found.
const byRange = "by Little's maps or, where there is none, a rough box about their range"

// Render fills in the plan, with an identifier for its feeds: see [NewFeedID].
func (s *Draft) Render(feedID calendar.UUID) ([]byte, error) {
	file, units := cmpString(s.File, "plan.yaml"), s.Spot.Units
	does := func(a calendar.Activity) bool { return slices.Contains(s.uses.activities, a) }
	var names []string
	for _, a := range s.uses.activities {
		names = append(names, string(a))
	}
	fill := map[string]string{
		"File": file, "Title": yamlText(s.uses.title + " at " + s.Name), "FeedID": feedID.String(),
		"ID": yamlText(s.id()), "Name": yamlText(s.Name), "Units": sample("units", string(units), "us"),
		"Contact":  sample("contact", s.Contact, "you@example.org"),
		"Latitude": degrees(s.Spot.Latitude), "Longitude": degrees(s.Spot.Longitude), "PlaceNote": "",
		"Elevation": s.Spot.Elevation, "ElevationNote": s.elevationNote(), "FourDays": units.Either("122 m", "400 ft"),
		"Zone": s.Spot.Zone, "ZoneNote": "", "Year": strconv.Itoa(s.year), "NextYear": strconv.Itoa(s.year + 1),
		"Prohibited": s.prohibited(), "SpeciesNote": s.speciesNote(), "Species": s.speciesLines(does(calendar.Tapping)),
		"ActivityNote": "What to schedule: " + planfile.ActivityNames() + ".", "Activities": strings.Join(names, ", "),
	}
	if s.Spot.FromTown != "" {
		fill["PlaceNote"] = " These are " + s.Spot.FromTown + ": put your trees' own."
	}
	if s.Spot.ZoneFrom != "" {
		fill["ZoneNote"] = " This is that of " + s.Spot.ZoneFrom + "."
	}
	fill["Temperatures"], fill["Forecast"] = s.weatherLines()
	// Whether the plan may well be told in French, and can.
	french := s.Spot.French && slices.Equal(s.uses.activities, []calendar.Activity{calendar.Tapping})
	tapping, seed, twig := does(calendar.Tapping), does(calendar.SeedCollection), does(calendar.TwigSurvey)
	var plan strings.Builder
	for _, part := range []struct {
		name string
		has  bool
	}{
		{"title", true}, {"french", french}, {"feeds", true}, {"activities", tapping || seed || twig},
		{"tapping", tapping}, {"seed", seed}, {"twig", twig}, {"site", true}, {"stands", seed}, {"species", true},
	} {
		if part.has {
			_, text, _ := strings.Cut(planText, "=== "+part.name+"\n")
			text, _, _ = strings.Cut(text, "=== ")
			plan.WriteString(os.Expand(text, func(name string) string {
				value, known := fill[name]
				if !known {
					panic("starter: nothing fills in " + name)
				}
				return value
			}))
		}
	}
	// What was written must be read: a plan that the program itself refuses would be a poor start.
	if _, err := planfile.Read(strings.NewReader(plan.String()), file); err != nil {
		return nil, fmt.Errorf("the plan made from these answers is not one that can be read: %w", err)
	}
	return []byte(plan.String()), nil
}

// sample is a key with its value or, where there is none, a sample of it.
func sample(key, value, example string) string {
	if value == "" {
		return "#" + key + ": " + example
	}
	return key + ": " + value
}

func (s *Draft) elevationNote() string {
	switch {
	case s.Spot.ElevationOff > 0:
		return fmt.Sprintf(" This is that of %s, give or take %s: check it.", s.Spot.ElevationFrom,
			s.Spot.Units.Height(s.Spot.ElevationOff))
	case s.Spot.ElevationFrom != "":
		return " This is about that of " + s.Spot.ElevationFrom + ", from GeoNames: check it."
	}
	return ""
}

// prohibited lists the species whose seed may not be collected there, and why.
func (s *Draft) prohibited() string {
	var ids []string
	notes := ""
	for _, sp := range s.Chosen {
		if r, j := law.Forbidding(sp, s.Spot.Latitude, s.Spot.Longitude, s.Spot.Zone); r != nil {
			ids = append(ids, sp.ID)
			notes += fmt.Sprintf("    # In %s that may be so of %s (judged by the nearest town, %s): "+
				"see treewhen species %s.\n", r.Where, sp.Name(), j.Town, sp.ID)
		}
	}
	if ids == nil {
		return "    #prohibited: [acer-platanoides]"
	}
	return notes + "    prohibited: [" + strings.Join(ids, ", ") + "]"
}

func (s *Draft) speciesNote() string {
	switch {
	case len(s.Chosen) == 0:
		return "No species of the library that serves here is at home here. Name those you have; treewhen " +
			"species lists all."
	case len(s.Species) > 0:
		return "The trees, by any name that treewhen species knows."
	case s.forAClass():
		return "The trees: ten of those at home here, " + byRange + ", that a class sees from a path, and " +
			"more to choose from. Name those you have."
	}
	return "The trees: these are those of the library that are at home here, " + byRange + ". Delete " +
		"what you do not have."
}

// speciesLines lists the species, and as samples those that are offered beside them.
func (s *Draft) speciesLines(tapping bool) string {
	if len(s.Chosen) == 0 {
		return "    #species: [acer-saccharum, acer-rubrum]"
	}
	lines := "    species:"
	for _, sp := range s.Chosen {
		lines += "\n      - " + sp.ID + "  # " + sp.Name()
	}
	for _, sp := range s.offered {
		lines += "\n    #  - " + sp.ID + "  # " + sp.Name()
		if tapping {
			lines += ", sometimes tapped"
		}
	}
	return lines
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
