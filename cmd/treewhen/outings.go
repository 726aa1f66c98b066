package main

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// resolveOutings replaces the species that a site's trips and surveys name by their ids.
func (in *inputs) resolveOutings(s *planfile.Site, wrong *problem.List) {
	resolve := func(names []string, line int, path string) []string {
		ids := slices.Clone(names)
		for i, name := range names {
			sp, err := in.library.Find(name)
			if err != nil {
				wrong.Add(in.plan.File, line, path, "%v", err)
				continue
			}
			ids[i] = sp.ID
		}
		return ids
	}
	trip, twig := &s.Options.Trip, &s.Options.Twig
	trip.Wishes = slices.Clone(trip.Wishes) // the plan's own, shared by its sites
	for i := range trip.Wishes {
		if see := trip.Wishes[i].See; see.Organ != "" && !in.hasTrait(see) {
			wrong.Add(in.plan.File, trip.Wishes[i].Line, "wishes.see", "found %q, which is a trait of no species; treewhen species NAME lists what there is", see.Organ+" "+see.Name)
		}
		trip.Wishes[i].Species = resolve(trip.Wishes[i].Species, trip.Wishes[i].Line, "wishes.species")
	}
	twig.Targets = resolve(twig.Targets, s.Line, "targets")
}

// hasTrait reports whether any species has a trait.
func (in *inputs) hasTrait(see calendar.Sight) bool {
	for _, sp := range in.library.All() {
		for _, t := range sp.Traits {
			if t.Organ == see.Organ && t.Name == see.Name {
				return true
			}
		}
	}
	return false
}

// readCalendars reads the calendars that the chosen sites' trips and surveys name, each once.
func (in *inputs) readCalendars(r *reader, span civil.Span) {
	// A school year may begin before the days asked for and end after them.
	span = civil.Span{First: span.First - 400, Last: span.Last + 400}
	read := map[string]*busy.Diary{}
	for _, pl := range in.places {
		for _, a := range []struct {
			activity calendar.Activity
			outings  *calendar.Outings
		}{{calendar.TwigSurvey, &pl.site.Options.Twig.Outings}, {calendar.FieldTrip, &pl.site.Options.Trip.Outings}} {
			if !slices.Contains(pl.site.Activities, a.activity) {
				continue
			}
			for _, file := range a.outings.Calendar {
				diary, known := read[file.Path]
				if !known {
					diary = r.calendar(in, file, span)
					read[file.Path] = diary
				}
				if diary != nil {
					a.outings.Busy = append(a.outings.Busy, diary)
				}
			}
		}
	}
}

// calendar reads a calendar file.
func (r *reader) calendar(in *inputs, file calendar.CalendarFile, span civil.Span) *busy.Diary {
	f, err := r.open(file.Path)
	if err != nil {
		r.problems.Add(in.plan.File, file.Line, "busy", "%v", problem.OfFile(err))
		return nil
	}
	defer f.Close()
	name := r.name(file.Path)
	in.files = append(in.files, name)
	diary, err := busy.Read(f, name, span)
	if err != nil {
		r.add(name, err)
		return nil
	}
	for _, n := range diary.Notes {
		r.p.say("%s", n)
	}
	return diary
}

// reportCalendars writes what the calendars of the sites hold, each once.
func (in *inputs) reportCalendars(w *reportWriter) {
	type use struct {
		diary *busy.Diary
		place *place
	}
	var uses []use
	for _, pl := range in.places {
		seen := map[*busy.Diary]bool{}
		for _, d := range slices.Concat(pl.site.Options.Twig.Busy, pl.site.Options.Trip.Busy) {
			if !seen[d] {
				seen[d] = true
				uses = append(uses, use{d, pl})
			}
		}
	}
	for _, group := range grouped(uses, func(u use) string { return fmt.Sprintf("%p", u.diary) }) {
		d := group[0].diary
		var places []*place
		for _, u := range group {
			places = append(places, u.place)
		}
		sources := map[*busy.Source]bool{}
		for _, e := range d.Events {
			sources[e.Source] = true
		}
		w.line(0, "")
		w.line(0, "calendar of %s:", siteNames(places))
		take := "take"
		if len(sources) == 1 {
			take = "takes"
		}
		text := fmt.Sprintf("%s: %s %s %s from %s to %s", d.Name, plural(len(sources), "event"), take, plural(len(d.Events), "time"), d.Span.First, d.Span.Last)
		if d.Free > 0 {
			text += fmt.Sprintf("; %s cancelled or marked as free, which take nothing", plural(d.Free, "event"))
		}
		w.line(2, "%s", text)
		for _, n := range d.Notes {
			w.line(4, "%s", n)
		}
	}
}
