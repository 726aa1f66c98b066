package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/ical"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology/problem"
)

var scheduleCommand = command{
	name: "schedule", args: "[PLAN] [options]",
	summary: "the work ahead, soonest first",
	about: "Every entry has the days on which the work can be done, the best of them, how sure that\n" +
		"is in words and as a probability, and what it rests on.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out, feeds string
		var details, chart bool
		o.addTo(fs)
		o.addActivity(fs)
		fs.Var(&o.from, "from", "first `DATE` to schedule; default: the as-of day")
		fs.Var(&o.to, "to", "last `DATE` to schedule; default: 365 days after the first")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text, csv, json, ics or html (one page, whole in itself)")
		fs.BoolVar(&details, "details", false, "with text: reasons, what to look for, cautions and sources of every entry")
		fs.BoolVar(&chart, "chart", false, "with text: first the year at a glance, in 80 columns")
		addFeeds(fs, &feeds)
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "csv", "json", "ics", "html"); err != nil {
				return err
			}
			if chart && format != "text" {
				return problem.Usagef("--chart is drawn in text; found --format %s with it", format)
			}
			in, plan, err := p.planned(args, &o)
			if err != nil {
				return err
			}
			if err := in.recall(p, feeds); err != nil {
				return err
			}
			b := scheduleBuilder{in: in, plan: plan, options: &o, keep: calendar.KeepDetails}
			opt := text.ChartOptions{ASCII: p.ascii, Color: p.terminal && out == ""}
			switch {
			case format == "csv":
				b.keep = calendar.KeepRows
			case format == "text" && !details:
				b.keep = calendar.KeepLines
			case format == "html":
				b.most = page.MaxPageSites
			}
			if chart {
				b.chart = &opt
			}
			s, err := b.build(ctx, p.progress("sites scheduled"))
			if err != nil {
				return err
			}
			return p.output(out, in.files, func(w io.Writer) error {
				switch format {
				case "csv":
					return text.WriteCSV(w, s)
				case "json":
					return text.WriteJSON(w, s)
				case "ics":
					return ical.WriteICS(w, in.feed(in.plan.Title, "", "", s.Entries))
				case "html":
					return page.WritePage(w, page.Page{Plan: plan, Schedule: s})
				default:
					if chart {
						if err := text.WriteYears(w, b.charts, opt); err != nil {
							return err
						}
						if _, err := io.WriteString(w, "\n"); err != nil {
							return err
						}
					}
					return text.WriteText(w, s, text.TextOptions{Color: p.terminal && out == "", Details: details})
				}
			})
		}
	},
}

// planned reads a plan over the days and the season that the options ask for. The plan has no places as yet.
func (p *program) planned(args []string, o *inputOptions) (*inputs, *calendar.Plan, error) {
	in, err := p.load(args, o)
	if err != nil {
		return nil, nil, err
	}
	span, err := o.span(in)
	if err != nil {
		return nil, nil, err
	}
	return in, in.calendarPlan(span), nil
}

// scheduleBuilder works out a schedule site by site, and of each keeps what the output needs.
type scheduleBuilder struct {
	in      *inputs
	plan    *calendar.Plan // is given its places
	options *inputOptions
	keep    calendar.Keep
	most    int                // sites kept with their outlooks and entries; of the others, only who they are. 0: entries of all, outlooks of none
	chart   *text.ChartOptions // nil: no years are to be drawn
	charts  []text.YearChart
}

// builtPlace is what is kept of a site.
type builtPlace struct {
	place *calendar.Place
	work  *calendar.Work
	chart text.YearChart
}

func (b *scheduleBuilder) build(ctx context.Context, watch *progress) (*calendar.Schedule, error) {
	s := calendar.NewSchedule(b.plan)
	work := func(pl *place) (built builtPlace) {
		at := b.in.calendarPlace(pl)
		built.work = build.At(b.plan, at)
		built.work.Entries = b.options.inSeason(built.work.Entries)
		built.work.Lighten(b.keep)
		if b.chart != nil {
			built.chart = text.DrawYear(at, b.plan.AsOf, *b.chart)
		}
		built.place = at
		return built
	}
	err := atEveryPlace(ctx, b.in, watch, work, func(pl *place, built builtPlace) error {
		switch {
		case b.most == 0:
			built.place = b.in.namedPlace(pl)
		case len(b.plan.Places) >= b.most:
			built.place, built.work.Entries = b.in.namedPlace(pl), nil
		}
		b.plan.Places = append(b.plan.Places, built.place)
		s.Add(built.work)
		if b.chart != nil {
			b.charts = append(b.charts, built.chart)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	s.Sort()
	return s, b.in.refused(s.Problems)
}

// refused is the error for a plan that asks for what it cannot have; nil for one that does not.
func (in *inputs) refused(problems problem.List) error {
	for i := range problems {
		problems[i].File = in.plan.File
	}
	return problems.Err()
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
	return problem.Usagef("%s: found %q, want one of %s", option, value, list(allowed, len(allowed)))
}
