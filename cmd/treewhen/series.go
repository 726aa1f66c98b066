package main

import (
	"context"
	"fmt"
	"io"

	"github.com/spf13/pflag"

	"treewhen/phenology/problem"
	"treewhen/phenology/weather"
)

var temperaturesCommand = command{
	name: "temperatures", args: "[PLAN] [options]",
	summary: "the one daily series that a site's dates rest on, as a file that a plan can name",
	about: "A site's files joined at one level, mended as the plan orders, their gaps filled, moved to the\n" +
		"site's height, the forecast behind them; or, where there are only monthly normals, the years\n" +
		"drawn from them. In degrees Celsius, CSV. The column flags says of each day what was done to it\n" +
		"or that nobody measured it, and is read back where the file is used in a plan.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var out string
		o.addTo(fs)
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			if len(in.Places) > 1 {
				var ids []string
				for _, pl := range in.Places {
					ids = append(ids, pl.Site.ID)
				}
				return problem.Usage{
					Text: fmt.Sprintf("found %d sites (%s), want one", len(ids), problem.Names(ids, 10)),
					Hint: "choose with --site",
				}
			}
			temps := in.Temperatures(in.Places[0])
			if err := in.Err(); err != nil {
				return err
			}
			if temps == nil || temps.BuiltIn() > 0 { // what is drawn from it is nobody's weather
				return fmt.Errorf("%s: no temperatures: its dates rest on the climate of the place or the place alone",
					in.Places[0].Site.ID)
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				return weather.WritePlain(w, temps.Series().Rounded())
			})
		}
	},
}
