package build

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/inputs"
	"treewhen/calendar/seed"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// StandSheet returns the sheet to take to a stand, from a day on; nil: from the as-of day. Errors of naming are of type
// [problem.Usage].
func StandSheet(in *inputs.Inputs, id string, day *civil.Date) (*seed.StandSheet, error) {
	var chosen *inputs.Place
	var names []string
	for _, pl := range in.Places {
		if !slices.Contains(pl.Site.Activities, calendar.SeedCollection) {
			continue
		}
		for _, s := range pl.Stands {
			names = append(names, s.ID)
			if s.ID != id {
				continue
			}
			if chosen != nil {
				return nil, problem.Usagef("sheet: several sites have a stand %s; name one with --site", id)
			}
			chosen = pl
		}
	}
	if chosen == nil {
		return nil, problem.Usagef("--stand: found %q, want one of %s", id, problem.Names(names, 10))
	}
	first := in.AsOf
	if day != nil {
		first = *day
	}
	span := civil.Span{First: min(in.AsOf, first), Last: first + seed.SheetDays - 1}
	if span.Days() > inputs.MostDays {
		return nil, problem.Usagef("--date: found %s, want a day within ten years of %s", first, in.AsOf)
	}
	at := in.Ready(chosen)
	if err := in.Err(); err != nil {
		return nil, err
	}
	for _, s := range at.Stands {
		if s.ID == id {
			plan, metres := in.Schedule(span), s.Outlook.Site.Elevation
			return seed.NewStandSheet(&chosen.Site.Site, s, metres, At(plan, at).Entries, first, plan.Speech), nil
		}
	}
	return nil, problem.Usagef("--stand: found %q, which has no seed collection", id)
}
