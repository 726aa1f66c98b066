package main

import (
	"fmt"
	"slices"

	"treewhen/calendar/busy"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
)

// reportCalendars writes what the calendars of the sites hold, each once.
func reportCalendars(w *reportWriter, in *inputs.Inputs) {
	type use struct {
		diary *busy.Diary
		place *inputs.Place
	}
	var uses []use
	for _, pl := range in.Places {
		seen := map[*busy.Diary]bool{}
		for _, d := range slices.Concat(pl.Site.Options.Twig.Busy, pl.Site.Options.Trip.Busy) {
			if !seen[d] {
				seen[d] = true
				uses = append(uses, use{d, pl})
			}
		}
	}
	for _, group := range grouped(uses, func(u use) string { return fmt.Sprintf("%p", u.diary) }) {
		d := group[0].diary
		var places []*inputs.Place
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
		text := fmt.Sprintf(
			"%s: %s %s %s from %s to %s", d.Name, phrase.Count(len(sources), "event"), take, phrase.Count(len(d.Events), "time"),
			d.Span.First, d.Span.Last,
		)
		if d.Free > 0 {
			text += fmt.Sprintf("; %s cancelled or marked as free, which take nothing", phrase.Count(d.Free, "event"))
		}
		w.line(2, "%s", text)
		for _, n := range d.Notes {
			w.line(4, "%s", n)
		}
	}
}
