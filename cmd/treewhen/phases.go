package main

import (
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar"
	"treewhen/phenology"
)

var phasesCommand = command{
	name: "phases", args: "[PLAN] [options]",
	summary: "the dates of phases, by site and species, each with its spread and basis",
	about: "A phase's dates are those by which it has come in one, five and nine years of ten.\n" +
		"Without --season, it is the growing year that the as-of day lies in.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		o.addTo(fs)
		fs.StringVar(&format, "format", "text", "`text`, csv or json")
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(ctx context.Context, p *program, args []string) error {
			if err := oneOf("--format", format, "text", "csv", "json"); err != nil {
				return err
			}
			if o.season != 0 {
				if err := o.checkSeason(); err != nil {
					return err
				}
			}
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			return p.output(out, in.files, func(w io.Writer) error {
				var table calendar.PhaseWriter
				switch format {
				case "csv":
					table = calendar.NewPhaseCSV(w)
				case "json":
					table = calendar.NewPhaseJSON(w)
				default:
					table = calendar.NewPhaseText(w)
				}
				for _, pl := range in.places {
					season := o.season
					if season == 0 {
						season = phenology.SeasonAt(pl.site.Site, in.asOf).Year
					}
					for _, sp := range pl.species {
						est := pl.outlook.Estimate(sp, season)
						if err := table.Write(est); err != nil {
							return err
						}
						for _, e := range est.List {
							if !e.Dated() {
								p.say("%s: %s: no date for %s: %s", pl.site.ID, sp.ID, e.Phase, e.Reason)
							}
						}
					}
				}
				return table.Close()
			})
		}
	},
}
