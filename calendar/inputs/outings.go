package inputs

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/busy"
	"treewhen/calendar/phrase"
	"treewhen/calendar/planfile"
	"treewhen/phenology"
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
				"found %q, which is a trait of no species; treewhen species NAME lists what there is",
				see.Organ+" "+see.Name,
			)
		}
		trip.Wishes[i].Species = in.resolve(trip.Wishes[i].Species, trip.Wishes[i].Line, "wishes.species", wrong)
	}
	twig.Targets = in.resolve(twig.Targets, s.Line, "targets", wrong)
}

// hasTrait reports whether any species has a trait.
func (in *Inputs) hasTrait(see calendar.Sight) bool {
	return in.Library.Any(func(sp *phenology.Species) bool {
		_, _, _, has := see.Spell(sp)
		return has
	})
}

// readCalendars reads the calendars that the chosen sites' crews, trips and surveys name, each once for the same words.
func (r *reader) readCalendars(days civil.Span) {
	read := map[string]*busy.Diary{}
	for _, pl := range r.in.Places {
		for _, a := range []struct {
			activity calendar.Activity
			outings  *calendar.Outings
		}{
			{calendar.SeedCollection, &pl.Site.Options.Seed.Outings},
			{calendar.TwigSurvey, &pl.Site.Options.Twig.Outings},
			{calendar.FieldTrip, &pl.Site.Options.Trip.Outings},
		} {
			if !slices.Contains(pl.Site.Activities, a.activity) {
				continue
			}
			for _, file := range a.outings.Calendar {
				key := fmt.Sprintf("%q", []any{file.Path, file.Words})
				diary, known := read[key]
				if !known {
					diary = r.calendar(file, days)
					read[key] = diary
				}
				if diary != nil {
					a.outings.Busy = append(a.outings.Busy, diary)
				}
			}
		}
	}
}

// calendar reads a calendar file.
func (r *reader) calendar(file calendar.CalendarFile, days civil.Span) *busy.Diary {
	f, name := r.named(planfile.Path{Path: file.Path, Line: file.Line}, "busy")
	if f == nil {
		return nil
	}
	defer f.Close()
	r.note(name)
	// A school year may begin before the days asked for and end after them.
	diary, err := file.Words.Read(f, name, civil.Span{First: days.First - 400, Last: days.Last + 400})
	if err != nil {
		r.add(name, err)
		return nil
	}
	for _, n := range diary.Notes {
		r.say("%s", n)
	}
	r.sayNotUnderstood(diary, days)
	return diary
}

// sayNotUnderstood tells of whole days that are left free because nobody's words explain them. Those that the calendar
// marks as free are told by check alone.
func (r *reader) sayNotUnderstood(d *busy.Diary, days civil.Span) {
	const most = 3
	var titles []string
	for _, e := range d.NotUnderstood(days) {
		if e.State == busy.Free && !e.MarkedFree {
			titles = append(titles, e.Summary)
		}
	}
	if len(titles) == 0 {
		return
	}
	names := phrase.Join(titles)
	if len(titles) > most+1 {
		names = fmt.Sprintf("%s and %d more", strings.Join(titles[:most], ", "), len(titles)-most)
	}
	r.say("%s: not understood, so free: %s (whole days; see treewhen check)", d.Name, names)
}
