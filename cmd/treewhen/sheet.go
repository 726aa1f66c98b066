package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar/build"
	"treewhen/calendar/page"
	"treewhen/calendar/text"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

var sheetCommand = command{
	name: "sheet", args: "[PLAN] [options]",
	summary: "a page to take along: what can be seen on a day, and what cannot be told apart",
	about: "With --stand it is what a nursery takes to a stand: what is to be done there in a fortnight, what to\n" +
		"look for, how much to bring home, and labels for the bags; from --date on, or from today.\n" +
		"Without --date it is the next field trip or twig survey of the site; with it, any day, whether or\n" +
		"not one is planned. The site must be named where the plan has several with outings.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var day *civil.Date
		var format, out, feeds, stand string
		o.addTo(fs)
		fs.Var(dateValue{&day}, "date", "the `DATE` of the outing")
		fs.StringVar(&stand, "stand", "", "the `ID` of a stand, for what a nursery takes there")
		fs.StringVar(&format, "format", "text", "the `FORMAT`: text or html")
		addFeeds(fs, &feeds)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "html"); err != nil {
				return err
			}
			if o.Season != 0 {
				return problem.Usagef("sheet: --season says no day; use --date")
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			if err := p.recall(in, feeds); err != nil {
				return err
			}
			if stand != "" {
				if format == "html" {
					return problem.Usagef("--format: a stand's sheet is text; found html")
				}
				sheet, err := build.StandSheet(in, stand, day)
				if err != nil {
					return err
				}
				return p.output(ctx, out, in.Files, func(w io.Writer) error { return text.WriteStandSheet(w, sheet) })
			}
			sheet, err := build.Sheet(in, day)
			if err != nil {
				return err
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				if format == "html" {
					return page.WriteSheetHTML(w, sheet)
				}
				return text.WriteSheet(w, sheet)
			})
		}
	},
}
