package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/seed"
	"treewhen/calendar/text"
)

var workloadCommand = command{
	name: "workload", args: "[PLAN] [options]",
	summary: "a nursery's seed work by week, its clashes, a table for the wall, what to have at hand",
	about: "People-days come from the plan's own figures: activities.seed-collection.work, for each task,\n" +
		"and people_days_a_week, what a week has. A task counts in the week of its best day. For a\n" +
		"spreadsheet, take --format csv.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		o.addTo(fs)
		o.addDays(fs, "")
		addFormat(fs, &format, "csv", "json")
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			o.Activities = []string{string(calendar.SeedCollection)}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			days, err := o.Days(in)
			if err != nil {
				return err
			}
			plan, s, _, err := schedule[any](ctx, p, in, days, build.Want{Season: o.Season, Keep: calendar.KeepDetails},
				nil)
			if err != nil {
				return err
			}
			load := seed.NewWorkload(plan, s)
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				switch format {
				case "csv":
					return text.WriteWorkloadCSV(w, load)
				case "json":
					return text.WriteWorkloadJSON(w, load)
				default:
					return text.WriteWorkload(w, load, text.TextOptions{Color: p.terminal && out == ""})
				}
			})
		}
	},
}
