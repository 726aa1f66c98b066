package starter

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"

	"treewhen/calendar/gazetteer"
	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

// interview asks questions, one a line.
type interview struct {
	in  *bufio.Reader
	out io.Writer
}

// errNoAnswer is that the answers ended before the questions did.
var errNoAnswer = errors.New("init: the answers ended before the questions did; nothing was written")

// ask asks a question until its answer is accepted, and says why one was not. The answer of an empty line is usual, if
// there is one.
func (i *interview) ask(question, usual string, accept func(string) error) error {
	for {
		fmt.Fprintf(i.out, "%s", question)
		if usual != "" {
			fmt.Fprintf(i.out, " [%s]", usual)
		}
		fmt.Fprint(i.out, ": ")
		line, err := i.in.ReadString('\n')
		if err != nil && (line == "" || !errors.Is(err, io.EOF)) {
			fmt.Fprintln(i.out)
			return errNoAnswer
		}
		answer := strings.TrimSpace(line)
		if answer == "" {
			answer = usual
		}
		if err := accept(answer); err != nil {
			fmt.Fprintf(i.out, "  %v\n", err)
			var usage problem.Usage
			if errors.As(err, &usage) && usage.Hint != "" {
				fmt.Fprintf(i.out, "  %s\n", usage.Hint)
			}
			continue
		}
		return nil
	}
}

// Ask gets from somebody at a terminal what the options do not say, questions going to out. With askFile, it asks for
// the name of the plan's file as well.
func Ask(o Options, library *profiles.Library, year int, in io.Reader, out io.Writer, askFile bool) (*Draft, error) {
	s := &Draft{Options: o, library: library, year: year}
	return s, s.ask(&interview{bufio.NewReader(in), out}, askFile)
}

func (s *Draft) ask(i *interview, askFile bool) error {
	fmt.Fprint(i.out, "A few questions make a plan to start from. An empty line takes what stands in brackets.\n\n")
	s.uses = purposesOf(s.Purposes)
	if err := s.uses.check(); err != nil {
		return err
	}
	if len(s.Purposes) == 0 {
		const question = "What is it for: producer (sap), nursery (seed), school, or words of your own"
		err := i.ask(question, "everything", func(a string) error {
			if a != "everything" {
				s.uses = purposesOf([]string{a})
			}
			return s.uses.check()
		})
		if err != nil {
			return err
		}
	}
	if err := s.askPlace(i); err != nil {
		return err
	}
	err := i.ask("Name of the site", cmpString(s.Name, s.defaultName()), func(a string) error {
		s.Name = a
		return s.settleName()
	})
	if err != nil {
		return err
	}
	if err := s.askSpecies(i); err != nil {
		return err
	}
	if err := s.askContact(i); err != nil {
		return err
	}
	if s.File != "" || !askFile {
		return nil
	}
	return i.ask("Write the plan to", "plan.yaml", func(a string) error {
		if _, err := os.Lstat(a); err == nil {
			return fmt.Errorf("found a file %s there already, which is left as it is; want another name", a)
		}
		s.File = a
		return nil
	})
}

// askContact asks whom weather services may turn to.
func (s *Draft) askContact(i *interview) error {
	if s.Contact != "" {
		return nil
	}
	const question = "Your address of mail or of the web, which services of forecasts ask for; none for no forecast"
	return i.ask(question, "none", func(a string) (err error) {
		if a == "none" {
			return nil
		}
		s.Contact, err = planfile.ParseContact(a)
		return err
	})
}

// askPlace asks for a town or coordinates, for which of several towns, and for the elevation.
func (s *Draft) askPlace(i *interview) error {
	o := s.Options
	var several []*gazetteer.Town
	err := i.ask("Nearest town with its state or province, or latitude, longitude", "", func(a string) error {
		several = nil
		if lat, lon, ok := coordinates(a); ok {
			o.Place, o.Latitude, o.Longitude = "", lat, lon
			return nil
		}
		o.Place, o.Latitude, o.Longitude = a, "", ""
		_, err := findTown(a)
		var many errSeveral
		if errors.As(err, &many) {
			several = many.towns
			return nil
		}
		return err
	})
	if err != nil {
		return err
	}
	if len(several) > 0 {
		town, err := i.choose(several)
		if err != nil {
			return err
		}
		// The town's own coordinates tell it from the others of its name.
		return s.askElevation(i, o, town)
	}
	return s.askElevation(i, o, nil)
}

// coordinates reads "44.62, -89.61".
func coordinates(text string) (lat, lon string, ok bool) {
	a, b, found := strings.Cut(text, ",")
	if !found {
		return "", "", false
	}
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	_, errA := parseDegrees("", a, 90)
	_, errB := parseDegrees("", b, 180)
	return a, b, errA == nil && errB == nil
}

// choose asks which of several towns of a name is meant.
func (i *interview) choose(towns []*gazetteer.Town) (*gazetteer.Town, error) {
	for n, t := range towns {
		fmt.Fprintf(i.out, "  %2d  %s\n", n+1, t.Describe())
	}
	var town *gazetteer.Town
	err := i.ask(fmt.Sprintf("Which of them, 1 to %d", len(towns)), "", func(a string) error {
		n, err := strconv.Atoi(a)
		if err != nil || n < 1 || n > len(towns) {
			return fmt.Errorf("found %q, want a number from 1 to %d", a, len(towns))
		}
		town = towns[n-1]
		return nil
	})
	return town, err
}

// askElevation settles the spot, asking for the elevation and, where no town is near, the time zone.
func (s *Draft) askElevation(i *interview, o Options, town *gazetteer.Town) error {
	find := func() (*Spot, error) {
		if town == nil {
			return findSpot(o)
		}
		spot := &Spot{
			Town: town.Name, Latitude: town.Latitude, Longitude: town.Longitude, FromTown: middle(town),
		}
		return spot, spot.complete(o, town, 0)
	}
	usual := o.Elevation
	if o.Zone == "" { // a zone that is missing is asked for below, so it must not hide the elevation's own question
		o.Zone = "UTC"
		defer func() { o.Zone = "" }()
	}
	if usual == "" {
		if found, err := find(); err == nil {
			usual = found.Elevation
		}
	}
	err := i.ask("Elevation of the trees, m or ft", usual, func(a string) error {
		if err := checkElevation(a); err != nil {
			return err
		}
		if a != usual || s.Elevation != "" {
			o.Elevation = a
		}
		return nil
	})
	if err != nil {
		return err
	}
	o.Zone = s.Zone
	if s.Spot, err = find(); err == nil {
		return nil
	}
	return i.ask("Time zone, an IANA name such as America/Toronto", "", func(a string) error {
		o.Zone = a
		s.Spot, err = find()
		return err
	})
}

// askSpecies asks for the trees.
func (s *Draft) askSpecies(i *interview) error {
	if len(s.Species) > 0 {
		return s.settleSpecies()
	}
	home, offered := s.atHome()
	usual := "none"
	switch n := len(home); {
	case n > 6:
		usual = fmt.Sprintf("all %d that are at home there", n)
	case n > 0:
		usual = strings.Join(SpeciesNames(home), ", ")
	}
	return i.ask("Trees, with commas between them", usual, func(a string) error {
		s.Species, s.Chosen, s.offered = nil, nil, nil
		if a == usual {
			s.Chosen, s.offered = home, offered
			return nil
		}
		s.Species = []string{a}
		return s.settleSpecies()
	})
}
