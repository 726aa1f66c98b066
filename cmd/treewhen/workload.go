package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
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
		fs.Var(&o.from, "from", "first `DATE`; default: the as-of day")
		fs.Var(&o.to, "to", "last `DATE`; default: 365 days after the first")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text, csv or json")
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "csv", "json"); err != nil {
				return err
			}
			o.activities = []string{string(calendar.SeedCollection)}
			in, plan, err := p.planned(args, &o)
			if err != nil {
				return err
			}
			b := scheduleBuilder{in: in, plan: plan, options: &o, keep: calendar.KeepDetails}
			s, err := b.build(ctx, p.progress("sites scheduled"))
			if err != nil {
				return err
			}
			load := seed.NewWorkload(plan, s)
			return p.output(out, in.files, func(w io.Writer) error {
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
