package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"text/template"

	"treewhen/calendar"
	"treewhen/calendar/gazetteer"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
	"treewhen/phenology/problem"
)

//go:embed starter.yaml.tmpl
var starterText string

var starterTemplate = template.Must(template.New("starter").Parse(starterText))

// starterFields are what the starter plan is filled in with.
type starterFields struct {
	File, Title, FeedID, ID, Name         string
	Latitude, Longitude, Elevation, Zone  string
	PlaceNote, ElevationNote, ZoneNote    string
	SpeciesNote, ActivityNote, Activities string
	Species, Offered                      []starterSpecies
	Forbidden, ForbiddenNote              []string // ids of species whose seed may not be collected there; and why, a line each
	Tapping, Seed, Twig                   bool
	Year, NextYear                        int
}

type starterSpecies struct{ ID, Name string }

// render fills in the plan.
func (s *starter) render(feedID calendar.UUID) ([]byte, error) {
	f := starterFields{
		File: cmpString(s.out, "plan.yaml"), Title: yamlText(s.uses.title + " at " + s.name), FeedID: feedID.String(), ID: yamlText(s.id()), Name: yamlText(s.name),
		Latitude: degrees(s.spot.latitude), Longitude: degrees(s.spot.longitude), Elevation: s.spot.elevation, Zone: s.spot.zone,
		Tapping: slices.Contains(s.uses.activities, calendar.Tapping), Seed: slices.Contains(s.uses.activities, calendar.SeedCollection),
		Twig: slices.Contains(s.uses.activities, calendar.TwigSurvey), Year: s.year, NextYear: s.year + 1,
	}
	if s.spot.fromTown != "" {
		f.PlaceNote = " These are " + s.spot.fromTown + ": put your trees' own."
	}
	if s.spot.elevationFrom != "" {
		f.ElevationNote = " This is about that of " + s.spot.elevationFrom + ", from GeoNames: check it."
	}
	if s.spot.zoneFrom != "" {
		f.ZoneNote = " This is that of " + s.spot.zoneFrom + "."
	}
	for _, sp := range s.chosen {
		f.Species = append(f.Species, starterSpecies{sp.ID, sp.Name()})
	}
	for _, sp := range s.chosen {
		if r, j := forbiddingRule(sp, s.spot.latitude, s.spot.longitude, s.spot.zone); r != nil {
			f.Forbidden = append(f.Forbidden, sp.ID)
			f.ForbiddenNote = append(f.ForbiddenNote, fmt.Sprintf("In %s that may be so of %s (judged by the nearest town, %s): see treewhen species %s.", r.Where, sp.Name(), j.town, sp.ID))
		}
	}
	for _, sp := range s.offered {
		f.Offered = append(f.Offered, starterSpecies{sp.ID, sp.Name()})
	}
	switch {
	case len(s.chosen) == 0:
		f.SpeciesNote = "No species of the library that serves here is at home here. Name those you have; treewhen species lists all."
	case len(s.species) > 0:
		f.SpeciesNote = "The trees, by any name that treewhen species knows."
	default:
		f.SpeciesNote = "The trees: these are those of the library that are at home here, by rough ranges. Delete what you do not have."
	}
	f.ActivityNote = "What to schedule: " + joinActivities() + "."
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
var plainYAML = regexp.MustCompile(`^[\p{L}][\p{L}\p{M}0-9 ,.'’-]*$`)

// yamlText writes a text as a YAML scalar, in quotes where it needs them.
func yamlText(text string) string {
	switch strings.ToLower(text) {
	case "y", "n", "yes", "no", "true", "false", "on", "off", "null":
		return strconv.Quote(text)
	}
	if plainYAML.MatchString(text) && !strings.HasSuffix(text, " ") {
		return text
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

// write writes the plan, and tells what it rests on and how to go on.
func (s *starter) write(p *program) error {
	data, err := s.render(newUUID())
	if err != nil {
		return err
	}
	if s.out == "" || s.out == "-" {
		if _, err := p.stdout.Write(data); err != nil {
			return err
		}
	} else if err := createFile(s.out, data); err != nil {
		return err
	}
	p.say("%s: %s", s.name, s.spot)
	if s.spot.elevationFrom != "" {
		// Of half the towns the source has no height but that of a ground model at one point, which may be a hill's.
		p.say("elevation: about %s, that of %s, from GeoNames; check it, for your trees may stand higher or lower: 100 m is about 3 days", s.spot.elevation, s.spot.elevationFrom)
	}
	if s.spot.fromTown != "" || s.spot.elevationFrom != "" || s.spot.zoneFrom != "" {
		p.say("%s", gazetteer.Attribution)
	}
	if len(s.chosen) == 0 {
		p.say("no species of the library that serves is at home there; name those you have in the plan")
	} else {
		p.say("%d species: %s", len(s.chosen), list(speciesNames(s.chosen), 6))
	}
	if s.out != "" && s.out != "-" {
		p.say("wrote %s; now: treewhen check %s, then treewhen schedule %s", s.out, s.out, s.out)
	}
	return nil
}

func speciesNames(list []*phenology.Species) []string {
	var names []string
	for _, sp := range list {
		names = append(names, sp.Name())
	}
	return names
}

// createFile writes a file that is not there yet.
func createFile(path string, data []byte) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s: found a file there already, which is left as it is; want another name", path)
	}
	if err != nil {
		return problem.OfFile(err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync(), f.Close())
	if err != nil {
		os.Remove(path)
		return problem.OfFile(err)
	}
	return nil
}
