package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/outing"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var sheetCommand = command{
	name: "sheet", args: "[PLAN] [options]",
	summary: "a page to take along: what can be seen on a day, and what cannot be told apart",
	about: "Without --date it is the next field trip or twig survey of the site; with it, any day, whether or\n" +
		"not one is planned. The site must be named where the plan has several with outings.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var day optionalDate
		var format, out, feeds string
		o.addTo(fs)
		fs.Var(&day, "date", "the `DATE` of the outing")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text or html")
		addFeeds(fs, &feeds)
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(_ context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "html"); err != nil {
				return err
			}
			if o.season != 0 {
				return problem.Usagef("sheet: --season says no day; use --date")
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			if err := in.recall(p, feeds); err != nil {
				return err
			}
			sheet, err := in.sheet(day)
			if err != nil {
				return err
			}
			return p.output(out, in.files, func(w io.Writer) error {
				if format == "html" {
					return page.WriteSheetHTML(w, sheet)
				}
				return text.WriteSheet(w, sheet)
			})
		}
	},
}

// sheet returns the sheet of a day, or of the next outing.
func (in *inputs) sheet(day optionalDate) (*outing.FieldSheet, error) {
	var sites []string
	var chosen *place
	for _, pl := range in.places {
		if len(in.places) == 1 || slices.Contains(pl.site.Activities, calendar.FieldTrip) || slices.Contains(pl.site.Activities, calendar.TwigSurvey) {
			sites, chosen = append(sites, pl.site.ID), pl
		}
	}
	switch len(sites) {
	case 0:
		return nil, problem.Usagef("sheet: no site of the plan has field trips or twig surveys; name one with --site")
	case 1:
	default:
		return nil, problem.Usagef("sheet: found several sites with outings, want one named with --site: %s", list(sites, 10))
	}
	span := civil.Span{First: in.asOf, Last: in.asOf + 365}
	if day.set {
		span = civil.Span{First: min(span.First, day.Date), Last: max(span.Last, day.Date)}
	}
	if span.Days() > 3660 {
		return nil, problem.Usagef("--date: found %s, want a day within ten years of %s", day.Date, in.asOf)
	}
	plan := in.calendarPlan(span)
	var next *calendar.Entry
	at := in.calendarPlace(chosen)
	for _, e := range build.At(plan, at).Entries {
		sheet, ok := e.Facts.(*outing.FieldSheet)
		if !ok || e.Task == calendar.TaskRainDate && !day.set {
			continue
		}
		if day.set && e.Best == day.Date {
			return sheet, nil
		}
		if !day.set && e.Best >= in.asOf && (next == nil || e.Best < next.Best) {
			next = e
		}
	}
	switch {
	case next != nil:
		return next.Facts.(*outing.FieldSheet), nil
	case !day.set:
		return nil, fmt.Errorf("%s: no field trip and no twig survey within a year of %s; name a day with --date", chosen.site.ID, in.asOf)
	}
	return outing.NewSheet(at, day.Date, calendar.FieldTrip), nil
}
