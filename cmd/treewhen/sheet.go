package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

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
	about: "With --stand it is what a nursery takes to a stand: what is to be done there in a fortnight, what to\n" +
		"look for, how much to bring home, and labels for the bags; from --date on, or from today.\n" +
		"Without --date it is the next field trip or twig survey of the site, trips of the next seven days\n" +
		"only if they are booked or in --feeds; with it, any day, whether or not one is planned. The site must\n" +
		"be named where the plan has several with outings.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var day *civil.Date
		var format, level, out, feeds, stand string
		var letter bool
		o.addTo(fs)
		addDate(fs, &day, "date", "the `DATE` of the outing")
		fs.StringVar(&stand, "stand", "", "the `ID` of a stand, for what a nursery takes there")
		addWord(fs, &format, "format", "text",
			"the `FORMAT`: text, html or csv; csv is rows to fill in after the outing, for the plan's observations",
			"text", "html", "csv")
		fs.BoolVar(&letter, "letter", false, "the letter to parents and office instead: where, when, what for, what "+
			"to bring")
		fs.StringVar(&level, "level", "secondary", "the `LEVEL` of those who go: primary, secondary or adult")
		addFeeds(fs, &feeds)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			people, err := outing.ParseLevel(level)
			if err != nil {
				return problem.Usagef("--level: %v", err)
			}
			if letter && format == "csv" {
				return problem.Usagef("--letter: found --format csv beside it, want text or html")
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
				if format == "csv" || letter {
					return problem.Usagef("--stand: found --format csv or --letter beside it, want text or html")
				}
				sheet, err := build.StandSheet(in, stand, day)
				if err != nil {
					return err
				}
				write := text.WriteStandSheet
				if format == "html" {
					write = page.WriteStandSheetHTML
				}
				return p.output(ctx, out, in.Files, func(w io.Writer) error { return write(w, sheet) })
			}
			sheet, err := build.Sheet(in, day)
			if err != nil {
				return err
			}
			sheet = sheet.For(people)
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				switch {
				case format == "html" && letter:
					return page.WriteLetterHTML(w, sheet)
				case format == "csv":
					return text.WriteForm(w, sheet)
				case format == "html":
					return page.WriteSheetHTML(w, sheet)
				case letter:
					return text.WriteLetter(w, sheet)
				}
				return text.WriteSheet(w, sheet)
			})
		}
	},
}
