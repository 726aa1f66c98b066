package main

import (
	"bytes"
	"context"
	"io"

	"github.com/spf13/pflag"

	"treewhen/calendar/build"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/text"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

var phasesCommand = command{
	name: "phases", args: "[PLAN] [options]",
	summary: "the dates of phases, by site and species, each with its spread and basis",
	about: "A phase's dates are those by which it has come in one, five and nine years of ten.\n" +
		"With --stands, stands have dates of their own, as SITE/STAND. Without --season, it is the growing year that " +
		"the as-of day lies in.",
	setup: func(fs *pflag.FlagSet) action {
		var o inputOptions
		var format, out string
		var stands bool
		o.addTo(fs)
		fs.BoolVar(&stands, "stands", false, "date each stand of a site as well, at its height and with its offset")
		addFormat(fs, &format, "csv", "json")
		addOut(fs, &out)
		return func(ctx context.Context, p *program, args []string) error {
			if err := o.CheckSeason(); err != nil {
				return err
			}
			in, err := p.load(ctx, args, &o)
			if err != nil {
				return err
			}
			return p.output(ctx, out, in.Files, func(w io.Writer) error {
				watch := p.progress("phases of sites")
				watch.on = watch.on && (out != "" || !p.terminal) // rows on the same screen tell as much
				return p.writePhases(ctx, in, w, format, o.Season, stands, watch)
			})
		}
	},
}

// datedPlace is a site with its species dated: ready as CSV, or as estimates for whoever lays them out.
type datedPlace struct {
	rows  []byte
	list  []phenology.Estimates
	notes []string
}

// mostNotes is after how many notes on phases without a date those of further sites are only counted: of thousands of
// sites nobody reads them, and they would be longer than the table.
const mostNotes = 500

// writePhases dates site by site, on all cores, so that a plan of any length takes no more memory than a few sites.
func (p *program) writePhases(
	ctx context.Context, in *inputs.Inputs, w io.Writer, format string, season int, stands bool, watch *progress,
) error {
	var table text.PhaseWriter
	switch format {
	case "csv":
		table = text.NewPhaseCSV(w)
	case "json":
		table = text.NewPhaseJSON(w, in.Plan.Speech)
	default:
		table = text.NewPhaseText(w, in.Plan.Speech)
	}
	if format == "csv" { // its rows are made where they are dated; here goes the header
		if err := table.Close(); err != nil {
			return err
		}
	}
	date := func(pl *inputs.Place) datedPlace { return datePlace(in, pl, format, season, stands) }
	said, sites := 0, 0 // of notes, and sites of which none was said
	emit := func(_ *inputs.Place, d datedPlace) error {
		switch {
		case len(d.notes) == 0:
		case said >= mostNotes:
			sites++
		default:
			watch.end() // they take its place
			for _, note := range d.notes {
				p.say("%s", note)
			}
			said += len(d.notes)
		}
		for _, list := range d.list {
			if err := table.Write(list); err != nil {
				return err
			}
		}
		_, err := w.Write(d.rows)
		return err
	}
	defer watch.end()
	if err := build.Each(ctx, in, watch.update, date, emit); err != nil {
		return err
	}
	if sites > 0 {
		p.say("%s more have phases without a date, or species far from home: their basis is none; choose with --site "+
			"to be told why", phrase.Count(sites, "site"))
	}
	if format == "csv" {
		return nil
	}
	return table.Close()
}

func datePlace(in *inputs.Inputs, pl *inputs.Place, format string, season int, stands bool) (d datedPlace) {
	d.list = build.Phases(in, pl, season)
	if stands {
		d.list = append(d.list, build.StandPhases(in, pl, season)...)
	}
	for _, est := range d.list {
		// In text it stands above the dates; of a library's species nobody said that they grow there.
		if outside := text.OutsideText(est, in.Plan.Speech); outside != "" && format != "text" && pl.Chosen() {
			d.notes = append(d.notes, est.Site.ID+": "+est.Species.ID+": "+outside)
		}
		for _, reason := range undated(est.Species, est, in.Plan.Speech) {
			d.notes = append(d.notes, est.Site.ID+": "+est.Species.ID+": no date for "+reason)
		}
	}
	if format == "csv" {
		var b bytes.Buffer
		rows := text.NewPhaseCSV(&b)
		for _, est := range d.list {
			rows.Write(est) // into memory: it does not fail
		}
		rows.Close()
		_, d.rows, _ = bytes.Cut(b.Bytes(), []byte("\n"))
		d.list = nil
	}
	return d
}

// undated says which phases of a species have no date, and why. Where none has, that is said once, with the reason of
// the first that is dated elsewhere.
func undated(sp *phenology.Species, est phenology.Estimates, as phrase.Speech) []string {
	var list []string
	reason := ""
	for _, e := range est.List {
		if e.HasDate() {
			continue
		}
		list = append(list, e.Phase.String()+": "+words.Lack(e.Lack, as))
		if record := sp.Phase(e.Phase); reason == "" && record != nil && len(record.References) > 0 {
			reason = words.Lack(e.Lack, as)
		}
	}
	if len(list) > 1 && len(list) == len(est.List) && reason != "" {
		return []string{"any phase: " + reason}
	}
	return list
}
