package build

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/inputs"
	"treewhen/calendar/outing"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// Sheet returns the sheet of an outing: of a day, whether or not one is planned, or, with nil, of the next one within a
// year. The inputs must have one site, or one with outings: else the error is a [problem.Usage].
func Sheet(in *inputs.Inputs, day *civil.Date) (*outing.Sheet, error) {
	s, err := sheet(in, day)
	if s != nil {
		s.Speech = in.Plan.Speech
	}
	return s, err
}

func sheet(in *inputs.Inputs, day *civil.Date) (*outing.Sheet, error) {
	var sites []string
	var chosen *inputs.Place
	for _, pl := range in.Places {
		outings := slices.ContainsFunc(pl.Site.Activities, func(a calendar.Activity) bool {
			return a == calendar.FieldTrip || a == calendar.TwigSurvey
		})
		if len(in.Places) == 1 || outings {
			sites, chosen = append(sites, pl.Site.ID), pl
		}
	}
	switch len(sites) {
	case 0:
		return nil, problem.Usagef("sheet: no site of the plan has field trips or twig surveys; name one with " +
			"--site, or a nursery's stand with --stand")
	case 1:
	default:
		return nil, problem.Usagef(
			"sheet: found several sites with outings, want one named with --site: %s", problem.Names(sites, 10),
		)
	}
	span := civil.Span{First: in.AsOf, Last: in.AsOf + 365}
	if day != nil {
		span = civil.Span{First: min(span.First, *day), Last: max(span.Last, *day)}
	}
	if span.Days() > inputs.MostDays {
		return nil, problem.Usagef("--date: found %s, want a day within ten years of %s", *day, in.AsOf)
	}
	at := in.Ready(chosen)
	if err := in.Err(); err != nil {
		return nil, err
	}
	var next *calendar.Entry
	for _, e := range At(in.Schedule(span), at).Entries {
		its := outing.SheetOf(e)
		switch {
		case its == nil:
		case day != nil:
			if e.Best == *day {
				return its, nil
			}
		case unannounced(in, e):
		case e.Task != calendar.TaskRainDate && e.Best >= in.AsOf && (next == nil || e.Best < next.Best):
			next = e
		}
	}
	switch {
	case next != nil:
		return outing.SheetOf(next), nil
	case day == nil:
		return nil, fmt.Errorf(
			"%s: no field trip and no twig survey within a year of %s; name a day with --date, or a nursery's stand "+
				"with --stand",
			chosen.Site.ID, in.AsOf,
		)
	}
	return outing.NewSheet(at, *day, calendar.FieldTrip), nil
}

// notice is how many days ahead a trip is told of, at least: entries ring as many days before.
const notice = 7

// unannounced reports whether an entry is a trip of the next days that nobody has heard of: it is neither booked nor in
// a feed that was looked into. What is best of the days left is no trip yet.
func unannounced(in *inputs.Inputs, e *calendar.Entry) bool {
	return e.Task == calendar.TaskTrip && e.State != calendar.Booked && len(in.Memory) == 0 && e.Best < in.AsOf+notice
}
