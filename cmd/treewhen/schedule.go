package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
)

var scheduleCommand = command{
	name: "schedule", args: "[PLAN] [options]",
	summary: "the work ahead, soonest first",
	about: "Every entry has the days on which the work can be done, the best of them, how sure that\n" +
		"is in words and as a probability, and what it rests on.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		var details, chart bool
		o.addTo(fs)
		o.addActivity(fs)
		fs.Var(&o.from, "from", "first `DATE` to schedule; default: the as-of day")
		fs.Var(&o.to, "to", "last `DATE` to schedule; default: 365 days after the first")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text, csv, json, ics or html (one page, whole in itself)")
		fs.BoolVar(&details, "details", false, "with text: reasons, what to look for, cautions and sources of every entry")
		fs.BoolVar(&chart, "chart", false, "with text: first the year at a glance, in 80 columns")
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(_ context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "csv", "json", "ics", "html"); err != nil {
				return err
			}
			if chart && format != "text" {
				return usagef("--chart is drawn in text; found --format %s with it", format)
			}
			in, plan, s, err := p.scheduled(args, &o)
			if err != nil {
				return err
			}
			return p.output(out, in.files, func(w io.Writer) error {
				switch format {
				case "csv":
					return calendar.WriteCSV(w, s)
				case "json":
					return calendar.WriteJSON(w, s)
				case "ics":
					return calendar.WriteICS(w, in.feed(in.plan.Title, "", "", s.Entries))
				case "html":
					return calendar.WritePage(w, calendar.Page{Plan: plan, Schedule: s})
				default:
					if chart {
						opt := calendar.ChartOptions{ASCII: p.ascii, Color: p.terminal && out == ""}
						if err := calendar.WriteChart(w, plan, opt); err != nil {
							return err
						}
						if _, err := io.WriteString(w, "\n"); err != nil {
							return err
						}
					}
					return calendar.WriteText(w, s, calendar.TextOptions{Color: p.terminal && out == "", Details: details})
				}
			})
		}
	},
}

// scheduled reads a plan and works out its entries over the days and the season that the options ask for.
func (p *program) scheduled(args []string, o *inputOptions) (*inputs, *calendar.Plan, *calendar.Schedule, error) {
	in, err := p.load(args, o)
	if err != nil {
		return nil, nil, nil, err
	}
	span, err := o.span(in)
	if err != nil {
		return nil, nil, nil, err
	}
	plan := in.calendarPlan(span)
	s, err := in.build(plan)
	if err != nil {
		return nil, nil, nil, err
	}
	s.Entries = o.inSeason(s.Entries)
	return in, plan, s, nil
}

// inSeason keeps the entries of the season that the options ask for.
func (o *inputOptions) inSeason(entries []*calendar.Entry) []*calendar.Entry {
	if o.season == 0 {
		return entries
	}
	var kept []*calendar.Entry
	for _, e := range entries {
		if e.Season == o.season {
			kept = append(kept, e)
		}
	}
	return kept
}

// oneOf checks an option's value against the words allowed.
func oneOf(option, value string, allowed ...string) error {
	for _, a := range allowed {
		if a == value {
			return nil
		}
	}
	return usagef("%s: found %q, want one of %s", option, value, list(allowed, len(allowed)))
}
