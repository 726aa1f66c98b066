package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/gazetteer"
	"treewhen/phenology"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

var initCommand = command{
	name: "init", args: "[options]",
	summary: "writes a plan to start from, every key explained",
	about: "Say where the trees are and it does the rest: --place \"Stowe, Vermont\" finds latitude, longitude,\n" +
		"elevation and time zone of a town in the United States, Canada or Mexico. Without a place, on a\n" +
		"terminal, it asks. The plan goes to standard output, or with --out to a file that is not there yet.\n\n" +
		"  treewhen init --for producer --place \"Stowe, Vermont\" --out plan.yaml\n" +
		"  treewhen schedule plan.yaml\n\n" +
		strings.NewReplacer(", licensed", ",\nlicensed", "; a", ";\na").Replace(gazetteer.Attribution),
	setup: func(fs *pflag.FlagSet) action {
		var o initOptions
		fs.StringVar(&o.name, "name", "", "the `NAME` of the site; default: the town's, with what it is for")
		fs.StringArrayVar(&o.purposes, "for", nil, "`WHAT` it is for: producer, nursery or school, or words of your own (repeatable)")
		fs.StringVar(&o.place, "place", "", "the nearest `TOWN`, with its state or province behind a comma")
		fs.StringVar(&o.latitude, "latitude", "", "`DEGREES` north, decimal; with --longitude, instead of the town's")
		fs.StringVar(&o.longitude, "longitude", "", "`DEGREES` east, decimal; negative in America")
		fs.StringVar(&o.elevation, "elevation", "", "`HEIGHT` of the trees, such as 350 m or 1150 ft; default: the town's")
		fs.StringVar(&o.zone, "timezone", "", "IANA `NAME` of the time zone; default: the town's")
		fs.StringArrayVar(&o.species, "species", nil, "a species by `NAME` (repeatable); default: those whose range the place is in")
		fs.StringVar(&o.profiles, "profiles", "", "a `DIR` of your own species, beside or over the built-in ones")
		fs.StringVar(&o.out, "out", "", "write to this `FILE`, which must not be there yet, instead of standard output")
		return func(_ context.Context, p *program, args []string) error {
			if len(args) > 0 {
				return problem.Usage{Text: fmt.Sprintf("init: found %q, want options only", args[0]), Hint: "treewhen help init"}
			}
			lib, err := p.library(o.profiles)
			if err != nil {
				return err
			}
			s := &starter{initOptions: o, library: lib, year: p.today.Year()}
			if o.place == "" && o.latitude == "" && o.longitude == "" {
				if !isTerminalReader(p.stdin) {
					return problem.Usage{Text: "init: found no place, want --place \"TOWN, STATE\" or --latitude and --longitude", Hint: "treewhen help init"}
				}
				ask := &interview{in: bufio.NewReader(p.stdin), out: p.stderr}
				if err := s.ask(ask, isTerminalWriter(p.stdout)); err != nil {
					return err
				}
			} else if err := s.resolve(); err != nil {
				return err
			}
			return s.write(p)
		}
	},
}

// initOptions are the answers given on the command line.
type initOptions struct {
	name, place, latitude, longitude, elevation, zone, profiles, out string
	purposes, species                                                []string
}

// starter is a plan in the making.
type starter struct {
	initOptions
	library *profiles.Library
	year    int // this one, for dates in samples
	spot    *spot
	uses    uses
	chosen  []*phenology.Species
	offered []*phenology.Species // for samples: at home there too, and sometimes tapped
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
	{"producer", "sugarbush", "Tapping", []string{"producer", "producers", "tapping", "sap", "syrup", "sugaring", "sugarbush", "sugarmaker", "sugarmaking"}, []calendar.Activity{calendar.Tapping}},
	{"nursery", "nursery", "Seed collection", []string{"nursery", "nurseries", "seed", "seeds", "seed-collection"}, []calendar.Activity{calendar.SeedCollection}},
	{"school", "school", "Twig surveys and field trips", []string{"school", "schools", "class", "teacher", "teaching", "pupils", "students", "field-trip", "twig-survey"},
		[]calendar.Activity{calendar.TwigSurvey, calendar.FieldTrip}},
}

// purposesOf reads what a plan is for. Words that name no known purpose are kept as they are, and leave every activity in.
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

// resolve works out everything from the options.
func (s *starter) resolve() error {
	s.uses = purposesOf(s.purposes)
	err := s.uses.check()
	if err != nil {
		return err
	}
	if s.spot, err = findSpot(s.initOptions); err != nil {
		return err
	}
	if err := s.settleName(); err != nil {
		return err
	}
	return s.settleSpecies()
}

func (s *starter) defaultName() string {
	if s.spot.town == "" {
		return "My " + cmpString(s.uses.kind, "trees")
	}
	return strings.TrimSpace(s.spot.town + " " + s.uses.kind)
}

func cmpString(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

func (s *starter) settleName() error {
	s.name = strings.TrimSpace(s.name)
	if s.name == "" {
		s.name = s.defaultName()
	}
	return checkLine("--name", s.name)
}

// checkLine refuses what cannot stand on a line of a plan.
func checkLine(what, text string) error {
	if i := strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) || r == unicode.ReplacementChar }); i >= 0 || len(text) > 200 {
		return problem.Usagef("%s: found %.60q, want one line of text, 200 characters at most", what, text)
	}
	return nil
}

// check refuses words that cannot stand on a line, and those that are a slip for a purpose that is known.
func (u uses) check() error {
	if err := checkLine("--for", u.words); err != nil {
		return err
	}
	var names []string
	for _, p := range purposes {
		names = append(names, p.name)
	}
	if near := problem.Nearest(u.words, names); near != "" && u.words != "" {
		return problem.Usage{Text: fmt.Sprintf("--for: found %q, want producer, nursery or school, or words of your own", u.words), Hint: fmt.Sprintf("did you mean %s?", near)}
	}
	return nil
}

// id returns the site's id: the name in small letters and hyphens.
func (s *starter) id() string {
	id := strings.ReplaceAll(gazetteer.Fold(s.name), " ", "-")
	if len(id) > 60 {
		id = strings.TrimRight(id[:60], "-")
	}
	return cmpString(id, "my-trees")
}

// settleSpecies finds the species named, or those that the place is in the range of.
func (s *starter) settleSpecies() error {
	for _, list := range s.species {
		for name := range strings.SplitSeq(list, ",") {
			if strings.TrimSpace(name) == "" {
				continue
			}
			sp, err := s.library.Find(strings.TrimSpace(name))
			if err != nil {
				return problem.Usagef("--species: %v", err)
			}
			if !slices.Contains(s.chosen, sp) {
				s.chosen = append(s.chosen, sp)
			}
		}
	}
	if len(s.chosen) == 0 {
		s.chosen, s.offered = s.atHome()
	}
	return nil
}

// atHome returns the species whose range the place lies in: for tapping alone, those that are commonly tapped, and beside
// them those that sometimes are.
func (s *starter) atHome() (chosen, offered []*phenology.Species) {
	tapping := slices.Equal(s.uses.activities, []calendar.Activity{calendar.Tapping})
	for _, sp := range s.library.All() {
		switch {
		case sp.Range != nil && sp.Range.KilometresOutside(s.spot.site()) > 0:
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

// isTerminalReader reports whether a reader is a terminal at which somebody can answer. The null device is a character
// device too, and nobody sits there.
func isTerminalReader(r io.Reader) bool {
	f, ok := r.(*os.File)
	return ok && isTerminal(f) && !isNullDevice(f)
}

func isTerminalWriter(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && isTerminal(f) && !isNullDevice(f)
}

func isNullDevice(f *os.File) bool {
	info, err := f.Stat()
	if err != nil {
		return false
	}
	null, err := os.Stat(os.DevNull)
	return err == nil && os.SameFile(info, null)
}
