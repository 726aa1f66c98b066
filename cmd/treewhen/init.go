package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/gazetteer"
	"treewhen/calendar/inputs"
	"treewhen/calendar/planfile"
	"treewhen/calendar/services"
	"treewhen/calendar/starter"
	"treewhen/calendar/supply"
	"treewhen/calendar/words"
	"treewhen/calendar/zone"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
)

var initCommand = command{
	name: "init", args: "[TOWN] [options]",
	summary: "writes a plan to start from, every key explained",
	about: "Say where the trees are and it does the rest: the name \"Stowe, Vermont\" finds latitude, longitude,\n" +
		"elevation and time zone of a town in the United States, Canada or Mexico; a small village of the United\n" +
		"States it finds to some 10 km, and asks for its --elevation. A state or province that is named is obeyed.\n" +
		"Without a place, on a terminal, it asks. The plan goes to standard output, or with --out to a file that\n" +
		"is not there yet.\n\n" +
		"It asks an open weather service which stations are near, names the two that serve best together in\n" +
		"the plan, and keeps their records, so that all dates rest on them; no more is sent than a box of some\n" +
		"60 km around the town. --offline asks nobody. Forecasts are given to those alone who name a --contact.\n\n" +
		"  treewhen init \"Stowe, Vermont\" --for producer --contact you@example.org --out plan.yaml\n" +
		"  treewhen schedule plan.yaml\n\n" +
		strings.NewReplacer(", licensed", ",\nlicensed", "; a", ";\na").Replace(gazetteer.Attribution),
	setup: func(fs *pflag.FlagSet) action {
		var o starter.Options
		var folder, cache string
		var offline bool
		var instead []string
		fs.StringVar(&o.Name, "name", "", "the `NAME` of the site; default: the town's, with what it is for")
		fs.StringArrayVar(&o.Purposes, "for", nil,
			"`WHAT` it is for: producer, nursery or school, or words of your own (repeatable)")
		offer(fs, "for", starter.Purposes()...)
		fs.StringVar(&o.Place, "place", "", "the nearest `TOWN`, with its state or province behind a comma")
		fs.StringVar(&o.Latitude, "latitude", "", "`DEGREES` north, decimal; with --longitude, instead of the town's")
		fs.StringVar(&o.Longitude, "longitude", "", "`DEGREES` east, decimal; negative in America")
		fs.StringVar(&o.Elevation, "elevation", "",
			"`HEIGHT` of the trees, such as 350 m or 1150 ft; default: the town's")
		fs.StringVar(&o.Zone, "timezone", "", "IANA `NAME` of the time zone; default: the town's")
		fs.StringArrayVar(&o.Species, "species", nil,
			"a species by `NAME` (repeatable); default: those whose range the place is in")
		addProfiles(fs, &folder)
		addContact(fs, &o.Contact)
		fs.BoolVar(&offline, "offline", false, "ask no weather service")
		fs.StringArrayVar(&instead, "service", nil,
			"a server that answers in a weather service's place, `NAME=ADDRESS` (repeatable)")
		fs.StringVar(&cache, "cache", "", "a `DIR` for what weather services give; default: beside your other caches")
		fs.StringVar(&o.File, "out", "",
			"write to this `FILE`, which must not be there yet, instead of standard output")
		return func(ctx context.Context, p *program, args []string) error {
			if err := placeOf(args, &o); err != nil {
				return err
			}
			var err error
			if o.Addresses, err = insteadOf(instead); err != nil {
				return err
			}
			lib, err := inputs.Library(folder)
			if err != nil {
				return err
			}
			year := p.today.Year()
			var d *starter.Draft
			switch {
			case o.Place != "" || o.Latitude != "" || o.Longitude != "":
				d, err = starter.New(o, lib, year)
			case atTerminal(p.stdin):
				d, err = starter.Ask(o, lib, year, inputs.Awaited(ctx, p.stdin), p.stderr, atTerminal(p.stdout))
			default:
				err = problem.Usage{
					Text: "init: found no place, want --place \"TOWN, STATE\" or --latitude and --longitude",
					Hint: "treewhen help init",
				}
			}
			if err != nil {
				return err
			}
			if err := refuseExisting(d.File); err != nil {
				return err // before anybody is asked
			}
			if !offline {
				p.say("looking for weather stations within %s (--offline asks nobody)",
					d.Spot.Units.Way(services.Within))
			}
			web := p.weather(cache)
			web.Know(slices.Collect(maps.Values(o.Addresses))...)
			d.FindWeather(ctx, &supply.Desk{
				Web: web, Contact: d.Contact, Today: p.today, Offline: offline, Log: p.say,
			})
			if err := ctx.Err(); err != nil {
				return err
			}
			return p.writeDraft(d)
		}
	},
}

// placeOf takes the one argument there may be for the place.
func placeOf(args []string, o *starter.Options) error {
	switch {
	case len(args) == 0:
		return nil
	case len(args) == 1 && o.Place == "":
		o.Place = args[0]
		return nil
	}
	return problem.Usage{
		Text: fmt.Sprintf("init: found %q, want one town, in quotes where it has spaces", strings.Join(args, " ")),
		Hint: "treewhen help init",
	}
}

// insteadOf reads which servers answer in the place of services.
func insteadOf(pairs []string) (map[services.Name]string, error) {
	found := map[services.Name]string{}
	for _, pair := range pairs {
		name, address, _ := strings.Cut(pair, "=")
		address, err := planfile.ParseAddress(address)
		if services.Find(services.Name(name)) == nil || err != nil {
			return nil, problem.Usagef("--service: found %q, want a service and an address, such as "+
				"noaa-daily=https://weather.example.org/access/services", pair)
		}
		found[services.Name(name)] = address
	}
	return found, nil
}

// refuseExisting refuses a file that is there already.
func refuseExisting(path string) error {
	if path == "" || path == "-" {
		return nil
	}
	if _, err := os.Lstat(path); err == nil {
		return thereAlready(path)
	}
	return nil
}

func thereAlready(path string) error {
	return fmt.Errorf("%s: found a file there already, which is left as it is; want another name", path)
}

// writeDraft writes the plan, and tells what it rests on and how to go on.
func (p *program) writeDraft(d *starter.Draft) error {
	data, err := d.Render(starter.NewFeedID())
	if err != nil {
		return err
	}
	toFile := d.File != "" && d.File != "-"
	if toFile {
		err = createFile(d.File, data)
	} else {
		_, err = p.stdout.Write(data)
	}
	if err != nil {
		return err
	}
	p.say("%s: %s", d.Name, d.Spot)
	u := d.Spot.Units
	threeDays := u.Either("100 m", "300 ft")
	switch {
	case d.Spot.ElevationOff > 0:
		p.say("elevation: %s, that of %s, give or take %s; check it: %s is about 3 days", d.Spot.Elevation,
			d.Spot.ElevationFrom, u.Height(d.Spot.ElevationOff), threeDays)
		p.say("%s", climate.Attribution)
	case d.Spot.ElevationFrom != "":
		// Of half the towns the source has no height but that of a ground model at one point, which may be a hill's.
		p.say("elevation: about %s, that of %s, from GeoNames; check it, for your trees may stand higher or lower: "+
			"%s is about 3 days", d.Spot.Elevation, d.Spot.ElevationFrom, threeDays)
	}
	if d.Spot.ZoneByMap {
		p.say("time zone: %s, by a coarse map; check it near a boundary", d.Spot.Zone)
		p.say("%s", zone.Attribution)
	}
	if d.Spot.FromTown != "" || d.Spot.ElevationFrom != "" && d.Spot.ElevationOff == 0 ||
		d.Spot.ZoneFrom != "" && !d.Spot.ZoneByMap {
		p.say("%s", gazetteer.Attribution)
	}
	p.sayWeather(d)
	if len(d.Chosen) == 0 {
		p.say("no species of the library that serves is at home there; name those you have in the plan")
	} else {
		p.say("%d species: %s", len(d.Chosen), problem.Names(starter.SpeciesNames(d.Chosen), 6))
	}
	if toFile {
		p.say("wrote %s; now: treewhen check %s, then treewhen schedule %s", d.File, d.File, d.File)
	}
	return nil
}

// sayWeather tells which stations the plan names, or why none. A station's name is its service's own.
func (p *program) sayWeather(d *starter.Draft) {
	w := &d.Weather
	for _, c := range w.Records {
		p.say("%s: %q, %s", w.Asked.Name, c.Name, c.Describe(d.Height(), d.Spot.Units))
	}
	switch {
	case len(w.Records) > 0:
		p.say("%s", w.Asked.Attribution)
		if d.Contact == "" && w.Forecast.Contact {
			p.say("hint: %s gives forecasts to those alone who name a contact: put contact: into the plan, or use "+
				"--contact", w.Forecast.Agency)
		}
	case w.Fault != services.Offline:
		why := words.ServiceFault(w.Fault)
		p.say("no station for the plan's temperatures: %s was asked, and %s", w.Asked.Agency, why)
	}
}

// atTerminal reports whether a reader or a writer is a terminal at which somebody can answer. The null device is a
// character device too, and nobody sits there.
func atTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	if !ok || !isTerminal(f) {
		return false
	}
	info, errInfo := f.Stat()
	null, errNull := os.Stat(os.DevNull)
	return errInfo == nil && (errNull != nil || !os.SameFile(info, null))
}

// createFile writes a file that is not there yet.
func createFile(path string, data []byte) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return thereAlready(path)
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
