package main

import (
	"context"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/glance"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var scheduleCommand = command{
	name: "schedule", args: "[PLAN] [options]",
	summary: "the work ahead, soonest first",
	about: "Every entry has the days on which the work can be done, the best of them, how sure that\n" +
		"is in words and as a probability, and what it rests on.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out, feeds, picture string
		var details, chart bool
		o.addTo(fs)
		o.addActivity(fs)
		o.addDays(fs, " to schedule")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text, csv, csv-species, json, ics, html, svg or wall "+
			"(csv: species parted by spaces; csv-species: a row for each; html: one page, whole in itself; "+
			"svg: a --picture; wall: a sheet a site to print and hang up, A4, Letter or A3)")
		formats := []string{"text", "csv", "csv-species", "json", "ics", "html", "svg", "wall"}
		offer(fs, "format", formats...)
		fs.BoolVar(&details, "details", false,
			"with text: reasons, what to look for, cautions and sources of every entry")
		fs.BoolVar(&chart, "chart", false, "with text: first the year at a glance, in 80 columns")
		addWord(fs, &picture, "picture", "spring",
			"with svg: which `PICTURE`: spring, this one against past years", "spring")
		addFeeds(fs, &feeds)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			if format == "chart" {
				return problem.Usagef("--format: found \"chart\", which is an option of text: want --chart")
			}
			if err := oneOf("--format", format, formats...); err != nil {
				return err
			}
			if chart && format != "text" {
				return problem.Usagef("--chart is drawn in text; found --format %s with it", format)
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			days, err := o.Days(in)
			if err != nil {
				return err
			}
			if err := p.recall(in, feeds); err != nil {
				return err
			}
			if format == "svg" {
				return p.spring(ctx, in, days, out)
			}
			if format == "wall" {
				return p.walls(ctx, in, days, out)
			}
			want := build.Want{Season: o.Season, Keep: calendar.KeepDetails}
			opt := text.ChartOptions{ASCII: p.ascii, Color: p.terminal && out == "", As: in.Plan.Speech}
			switch {
			case format == "csv", format == "csv-species":
				want.Keep = calendar.KeepRows
			case format == "text" && !details:
				want.Keep = calendar.KeepLines
			case format == "html" && len(in.Places) > page.MaxPageSites:
				want.Pick = func(list []*calendar.Entry) []*calendar.Entry { return page.Overview(list, in.AsOf) }
			case format == "html":
				want.Most = page.MaxPageSites
			}
			var draw func(*calendar.Place, []*calendar.Entry) text.YearChart
			if chart {
				draw = func(pl *calendar.Place, entries []*calendar.Entry) text.YearChart {
					return text.DrawYear(pl, entries, in.AsOf, opt)
				}
			}
			plan, s, years, err := schedule(ctx, p, in, days, want, draw)
			if err != nil {
				return err
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				switch format {
				case "csv":
					return text.WriteCSV(w, s)
				case "csv-species":
					return text.WriteSpeciesCSV(w, s)
				case "json":
					return text.WriteJSON(w, s)
				case "ics":
					return ical.WriteICS(w, build.Feed(in, in.Plan.Title, "", "", s.Entries, in.Places...))
				case "html":
					return page.WritePage(w, page.Page{Plan: plan, Schedule: s})
				default:
					if chart {
						if err := text.WriteYears(w, years, opt); err != nil {
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

// schedule works out a schedule, and on a terminal tells how far it is.
func schedule[T any](
	ctx context.Context, p *program, in *inputs.Inputs, days civil.Span, want build.Want,
	look func(*calendar.Place, []*calendar.Entry) T,
) (*calendar.Plan, *calendar.Schedule, []T, error) {
	watch := p.progress("sites scheduled")
	defer watch.end()
	want.Told = watch.update
	return build.All(ctx, in, days, want, look)
}

// spring writes the picture of a spring, of the one site that has one.
func (p *program) spring(ctx context.Context, in *inputs.Inputs, days civil.Span, out string) error {
	look := func(pl *calendar.Place, entries []*calendar.Entry) *glance.Spring {
		return page.SpringOf(pl, entries, in.AsOf)
	}
	_, _, springs, err := schedule(ctx, p, in, days, build.Want{Keep: calendar.KeepRows}, look)
	if err != nil {
		return err
	}
	springs = slices.DeleteFunc(springs, func(s *glance.Spring) bool { return s == nil })
	switch {
	case len(springs) == 0:
		return fmt.Errorf("--picture spring: no site has a record of %d years or more that reaches into this season",
			phenology.MinYears)
	case len(springs) > 1:
		return problem.Usagef("--picture spring: found %d sites that have one, %s first; want one, chosen by --site",
			len(springs), springs[0].Site.ID)
	}
	return p.output(ctx, out, in.Files, func(w io.Writer) error {
		return page.WriteSpring(w, springs[0], in.Plan.Speech)
	})
}

// walls writes a sheet for the wall for each site.
func (p *program) walls(ctx context.Context, in *inputs.Inputs, days civil.Span, out string) error {
	draw := func(pl *calendar.Place, entries []*calendar.Entry) page.Wall {
		return page.NewWall(pl, entries, in.AsOf, in.Plan.Speech)
	}
	plan, _, walls, err := schedule(ctx, p, in, days, build.Want{Keep: calendar.KeepDetails}, draw)
	if err != nil {
		return err
	}
	return p.output(ctx, out, in.Files, func(w io.Writer) error {
		return page.WriteWall(w, plan.Title, plan.Speech, walls)
	})
}
