package main

import (
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/hindcast"
	"treewhen/phenology/problem"
)

var hindcastCommand = command{
	name: "hindcast", args: "[PLAN] [options]",
	summary: "how far off its dates would have been, against what was seen and against no model",
	about: "Every phase that the plan's observations have is dated again, season by season, as it would\n" +
		"have been dated so many days before its usual date, the mean of the other years. What was not\n" +
		"known that day is not looked at: of that season, neither later temperatures nor later sightings,\n" +
		"and never the sighting that is scored. Other years are looked at whole, also later ones: their\n" +
		"temperatures complete the season, their sightings move the models to the site. A lead of -60,\n" +
		"60 days after the usual date, has all temperatures known; sightings count up to the usual date.\n\n" +
		"Without --cross-validate the models are scored as the profiles have them, even on years that\n" +
		"they were fitted to: then the errors flatter them.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		var opts hindcast.Options
		var leads []int
		o.addTo(fs)
		fs.IntSliceVar(&leads, "lead", hindcast.Leads(), "`DAYS` before the usual date (repeatable, or with commas)")
		fs.BoolVar(&opts.CrossValidate, "cross-validate", false,
			"refit the models' requirements without each scored year")
		fs.BoolVar(&opts.Unseen, "temperatures-alone", false, "leave out what was seen, of that season and of other "+
			"years")
		addFormat(fs, &format, "csv", "json")
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			for _, l := range leads {
				if l < -180 || l > 300 {
					return problem.Usagef("--lead: found %d, want days from -180 to 300", l)
				}
			}
			slices.SortFunc(leads, func(a, b int) int { return b - a })
			opts.Leads = slices.Compact(leads)
			opts.Season = o.Season
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			rows, err := p.hindcast(ctx, in, opts)
			if err != nil {
				return err
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				switch format {
				case "csv":
					return writeHindcastCSV(w, rows)
				case "json":
					return writeHindcastJSON(w, rows)
				}
				return writeHindcastText(w, rows, opts)
			})
		}
	},
}

// hindcast scores every site of the plan that has observations.
func (p *program) hindcast(ctx context.Context, in *inputs.Inputs, opts hindcast.Options) ([]hindcast.Row, error) {
	var rows []hindcast.Row
	for _, pl := range in.Places {
		outlook := in.Outlook(pl)
		if outlook.Temps == nil && len(pl.Sightings) > 0 {
			p.say("%s: no temperatures; its dates rest on the place alone at every lead", pl.Site.ID)
		}
		progress := p.progress(pl.Site.ID + ": hindcast")
		opts.Progress = progress.update
		list, err := hindcast.Run(ctx, outlook, pl.Species, opts)
		progress.end()
		if err == nil {
			err = in.Err()
		}
		if err != nil {
			return nil, err
		}
		rows = append(rows, list...)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("no phase was seen in %d years or more at any of the sites; a hindcast needs dates of "+
			"past years in the plan's observations",
			hindcast.MinYears)
	}
	for _, r := range rows {
		if r.Undatable > 0 && r.Lead == slices.Min(opts.Leads) {
			p.say("%s: %s: %s: %s could not be dated and %s not scored", r.Site.ID, r.Species.ID, r.Phase,
				phrase.Count(r.Undatable, "season"), map[bool]string{true: "is", false: "are"}[r.Undatable == 1])
		}
	}
	return rows, nil
}

func writeHindcastCSV(w io.Writer, rows []hindcast.Row) error {
	out := csv.NewWriter(w)
	out.Write([]string{"site", "species", "phase", "lead_days", "n", "rmse", "bias", "mae", "coverage80", "null_rmse"})
	number := func(x float64) string {
		if math.IsNaN(x) {
			return ""
		}
		return strconv.FormatFloat(x, 'f', 2, 64)
	}
	for _, r := range rows {
		out.Write([]string{r.Site.ID, r.Species.ID, r.Phase.String(), strconv.Itoa(r.Lead), strconv.Itoa(len(r.Cases)),
			number(r.RMSE), number(r.Bias), number(r.MAE), number(r.Coverage), number(r.MeanRMSE)})
	}
	out.Flush()
	return out.Error()
}

type jsonHindcast struct {
	Site     string             `json:"site"`
	Species  string             `json:"species"`
	Phase    phenology.Phase    `json:"phase"`
	Lead     int                `json:"lead_days"`
	N        int                `json:"n"`
	RMSE     *float64           `json:"rmse"`
	Bias     *float64           `json:"bias"`
	MAE      *float64           `json:"mae"`
	Coverage *float64           `json:"coverage80"`
	Null     *float64           `json:"null_rmse"`
	Cases    []jsonHindcastCase `json:"cases"`
}

type jsonHindcastCase struct {
	Season   int             `json:"season"`
	AsOf     civil.Date      `json:"as_of"`
	Observed civil.Date      `json:"observed"`
	P10      civil.Date      `json:"p10"`
	P50      civil.Date      `json:"p50"`
	P90      civil.Date      `json:"p90"`
	Null     civil.Date      `json:"null"`
	Basis    phenology.Basis `json:"basis"`
}

func writeHindcastJSON(w io.Writer, rows []hindcast.Row) error {
	number := func(x float64) *float64 {
		if math.IsNaN(x) {
			return nil
		}
		x = math.Round(x*100) / 100
		return &x
	}
	list := []jsonHindcast{}
	for _, r := range rows {
		j := jsonHindcast{
			Site: r.Site.ID, Species: r.Species.ID, Phase: r.Phase, Lead: r.Lead, N: len(r.Cases), RMSE: number(r.RMSE),
			Bias: number(r.Bias), MAE: number(r.MAE), Coverage: number(r.Coverage), Null: number(r.MeanRMSE),
			Cases: []jsonHindcastCase{},
		}
		for _, c := range r.Cases {
			s := c.Season
			j.Cases = append(j.Cases, jsonHindcastCase{
				s.Year, c.AsOf, s.Nearest(c.Observed), s.Nearest(c.P10), s.Nearest(c.P50), s.Nearest(c.P90),
				s.Nearest(c.Mean),
				c.Basis,
			})
		}
		list = append(list, j)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(list)
}

// writeHindcastText writes a table a site, a phase a line, then how the errors fall as the date draws near.
func writeHindcastText(w io.Writer, rows []hindcast.Row, opts hindcast.Options) error {
	var b strings.Builder
	for len(rows) > 0 {
		n := 1
		for n < len(rows) && rows[n].Site.ID == rows[0].Site.ID {
			n++
		}
		hindcastTable(&b, rows[:n], opts)
		if rows = rows[n:]; len(rows) > 0 {
			b.WriteByte('\n')
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func hindcastTable(b *strings.Builder, rows []hindcast.Row, opts hindcast.Options) {
	how := "models as the profiles have them; where these years went into their fit, the errors flatter them"
	if opts.CrossValidate {
		how = "requirements refitted without each scored year"
	}
	fmt.Fprintf(b, "%s: error in days (root mean square), by days before the usual date\n%s\n", rows[0].Site.Name, how)
	if opts.Unseen {
		b.WriteString("dates rest on temperatures and profiles alone\n")
	}
	fmt.Fprintf(b, "\n  %-24s %-12s %5s %6s", "species", "phase", "years", "mean*")
	for _, l := range opts.Leads {
		fmt.Fprintf(b, " %6s", leadName(l))
	}
	fmt.Fprintf(b, " %8s\n", "inside**")
	k := len(opts.Leads)
	for i := 0; i+k <= len(rows); i += k {
		r := rows[i+k-1]
		fmt.Fprintf(b, "  %-24s %-12s %5d %6s", r.Species.ID, r.Phase, len(r.Cases), days(r.MeanRMSE))
		for _, one := range rows[i : i+k] {
			fmt.Fprintf(b, " %6s", days(one.RMSE))
		}
		fmt.Fprintf(b, " %8s\n", percent(r.Coverage))
	}
	b.WriteString("  * the mean date of the other years: no model\n  ** share of the dates seen that lay from p10 " +
		"to p90, at the last lead; 80 % is meant\n\n")
	hindcastPlot(b, rows, opts.Leads)
}

// hindcastPlot draws the mean over all phases, a bar a lead.
func hindcastPlot(b *strings.Builder, rows []hindcast.Row, leads []int) {
	const width = 40
	m := hindcast.MeanOf(rows, leads)
	most := 0.0
	if m.Phases > 0 {
		most = m.MeanDate
	}
	for _, one := range m.Leads {
		if one.Phases > 0 {
			most = max(most, one.RMSE)
		}
	}
	if most == 0 {
		return
	}
	bar := func(name string, days float64) {
		fmt.Fprintf(b, "  %-22s %-*s %4.1f days", name, width, strings.Repeat("█", int(math.Round(days/most*width))),
			days)
	}
	fmt.Fprintf(b, "  mean over the %s that could be dated\n", phrase.Count(m.Phases, "phase"))
	if m.Phases > 0 {
		bar("mean date", m.MeanDate)
		b.WriteByte('\n')
	}
	for i, one := range m.Leads {
		if one.Phases == 0 {
			continue
		}
		bar(leadWords(leads[i]), one.RMSE)
		if !math.IsNaN(one.Coverage) {
			fmt.Fprintf(b, ", %s inside", percent(one.Coverage))
		}
		b.WriteByte('\n')
	}
}

func leadName(l int) string {
	if l == hindcast.TemperaturesKnown {
		return "known"
	}
	return strconv.Itoa(l)
}

func leadWords(l int) string {
	switch {
	case l == hindcast.TemperaturesKnown:
		return "temperatures known"
	case l == 0:
		return "on the usual date"
	case l < 0:
		return phrase.Count(-l, "day") + " after"
	}
	return phrase.Count(l, "day") + " before"
}

func days(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return strconv.FormatFloat(x, 'f', 1, 64)
}

func percent(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return fmt.Sprintf("%.0f %%", 100*x)
}
