package inputs

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// resolveOutings replaces the species that a site's trips and surveys name by their ids.
func (in *Inputs) resolveOutings(s *planfile.Site, wrong *problem.List) {
	trip, twig := &s.Options.Trip, &s.Options.Twig
	trip.Wishes = slices.Clone(trip.Wishes) // the plan's own, shared by its sites
	for i := range trip.Wishes {
		if see := trip.Wishes[i].See; see.Organ != "" && !in.hasTrait(see) {
			wrong.Add(
				in.Plan.File, trip.Wishes[i].Line, "wishes.see",
				"found %q, which is a trait of no species; treewhen species NAME lists what there is", see.Organ+" "+see.Name,
			)
		}
		trip.Wishes[i].Species = in.resolve(trip.Wishes[i].Species, trip.Wishes[i].Line, "wishes.species", wrong)
	}
	twig.Targets = in.resolve(twig.Targets, s.Line, "targets", wrong)
}

// hasTrait reports whether any species has a trait.
func (in *Inputs) hasTrait(see calendar.Sight) bool {
	for _, sp := range in.Library.All() {
		for _, t := range sp.Traits {
			if t.Organ == see.Organ && t.Name == see.Name {
				return true
			}
		}
	}
	return false
}

// readCalendars reads the calendars that the chosen sites' trips and surveys name, each once.
func (r *reader) readCalendars(span civil.Span) {
	// A school year may begin before the days asked for and end after them.
	span = civil.Span{First: span.First - 400, Last: span.Last + 400}
	read := map[string]*busy.Diary{}
	for _, pl := range r.in.Places {
		for _, a := range []struct {
			activity calendar.Activity
			outings  *calendar.Outings
		}{{calendar.TwigSurvey, &pl.Site.Options.Twig.Outings}, {calendar.FieldTrip, &pl.Site.Options.Trip.Outings}} {
			if !slices.Contains(pl.Site.Activities, a.activity) {
				continue
			}
			for _, file := range a.outings.Calendar {
				diary, known := read[file.Path]
				if !known {
					diary = r.calendar(file, span)
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
func (r *reader) calendar(file calendar.CalendarFile, span civil.Span) *busy.Diary {
	f, err := r.open(file.Path)
	if err != nil {
		r.problems.Add(r.in.Plan.File, file.Line, "busy", "%v", problem.OfFile(err))
		return nil
	}
	defer f.Close()
	name := r.name(file.Path)
	r.note(name)
	diary, err := busy.Read(f, name, span)
	if err != nil {
		r.add(name, err)
		return nil
	}
	for _, n := range diary.Notes {
		r.say("%s", n)
	}
	return diary
}
