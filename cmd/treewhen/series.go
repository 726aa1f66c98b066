package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"slices"

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
		fs.StringVar(&out, "out", "", "write to this `FILE` instead of standard output")
		return func(_ context.Context, p *program, args []string) error {
			in, err := p.load(args, &o)
			if err != nil {
				return err
			}
			if len(in.places) > 1 {
				var ids []string
				for _, pl := range in.places {
					ids = append(ids, pl.site.ID)
				}
				return problem.Usage{Text: fmt.Sprintf("found %d sites (%s), want one", len(in.places), list(ids, 10)), Hint: "choose with --site"}
			}
			temps := in.temperatures(in.places[0])
			if temps == nil {
				return fmt.Errorf("%s: no temperatures: its dates rest on the place alone", in.places[0].site.ID)
			}
			return p.output(out, in.files, func(w io.Writer) error { return weather.WritePlain(w, rounded(temps.Series())) })
		}
	},
}

// rounded returns a series in hundredths of a degree: more digits would claim what no thermometer knows.
func rounded(s weather.Series) weather.Series {
	s.Days = slices.Clone(s.Days)
	for i := range s.Days {
		d := &s.Days[i]
		d.Min, d.Max = math.Round(d.Min*100)/100, math.Round(d.Max*100)/100
	}
	return s
}
