package main

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar/doubts"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/climate"
	"treewhen/phenology/weather"
)

// reportFirst writes, before all else, what is gravely wrong with the temperatures on the as-of day.
func reportFirst(w *reportWriter, in *inputs.Inputs) {
	some := false
	for _, group := range grouped(in.Places, func(pl *inputs.Place) string {
		return fmt.Sprint(in.TemperaturesKey(pl), pl.Site.Activities)
	}) {
		for _, d := range doubts.OfTemperatures(in, group[0]) {
			if d.Grave() {
				w.line(0, "doubt: %s: %s", siteNames(group), words.Doubt(d, w.as))
				some = true
			}
		}
		for _, out := range group[0].LeftOut {
			w.line(2, "%s", out.Why)
		}
	}
	if some {
		w.line(0, "")
	}
}

// reportTemperatures writes what the files of temperatures hold and what is made of them, once for all sites that have
// the same.
func reportTemperatures(w *reportWriter, in *inputs.Inputs) {
	climateUsed := false
	defer func() {
		if climateUsed {
			w.line(0, "")
			w.line(0, "%s", climate.Attribution)
		}
	}()
	for _, group := range grouped(in.Places, in.TemperaturesKey) {
		w.line(0, "")
		pl := group[0]
		if _, ok := pl.OnClimate(); ok {
			climateUsed = true
		}
		if len(pl.Records)+len(pl.Forecasts) == 0 && pl.Site.Normals == nil {
			w.line(0, "temperatures of %s: none; dates rest on %s. A daily record of ten years or more would narrow "+
				"them; without one, twelve monthly means (normals) of a station near by help.",
				siteNames(group), insteadText(group, w.as))
			continue
		}
		w.line(0, "temperatures of %s:", siteNames(group))
		report := func(rec *inputs.Record) {
			reportRecord(w, rec.Read())
			if rec.State != nil {
				reportService(w, rec.State)
			}
		}
		for _, rec := range pl.Records {
			report(rec)
		}
		if len(pl.Records) > 0 {
			reportJoin(w, in.Join(pl))
		}
		reportClimate(w, in.ClimateDoubts(pl))
		for _, rec := range pl.Forecasts {
			report(rec)
		}
		if last, silent := in.Silent(pl); silent {
			w.line(2, "doubt: no station has a day after %s; treewhen init finds those near that report", last)
		}
		for _, f := range in.ForecastDoubts(pl) {
			w.line(2, "doubt: %s", f)
			w.line(4, "to mend it, set in the plan beside the station: %s", f.Suggest)
		}
		switch temps := in.Temperatures(pl); {
		case temps == nil || temps.BuiltIn() > 0:
			w.line(2, "used: none, since no day has both values; dates rest on %s", insteadText(group, w.as))
			continue
		case temps.Drawn():
			w.line(2, "used: 30 years drawn from monthly normals%s", normalsText(group, w.as))
		default:
			span := temps.Series().Span()
			w.line(2, "used: %s to %s, observed to %s", span.First, span.Last, temps.Observed())
		}
		if text := climbText(in, group, w.as); text != "" {
			w.line(2, "height: %s", text)
		}
	}
}

// insteadText says what the dates of a group of sites rest on that have no temperatures: the built-in climate and how
// far that is off, or the place alone and why.
func insteadText(group []*inputs.Place, as phrase.Speech) string {
	if _, ok := group[0].OnClimate(); !ok {
		if group[0].Site.NoClimate {
			return "the place alone, as the plan has climate: none"
		}
		return "the place alone: the built-in climate does not reach there, or is not to be trusted there (western " +
			"mountains, the coast of California)"
	}
	least, most := bounds(group, func(pl *inputs.Place) float64 {
		off, _ := pl.OnClimate()
		return off
	})
	return fmt.Sprintf("the climate of the place, which is built in (monthly means of 1991 to 2020, moved to its "+
		"height, some %s off; climate: none in the plan does without)", as.Apart(1, least, most))
}

// normalsText says where the normals of a group of sites are from, and how far off that is.
func normalsText(group []*inputs.Place, as phrase.Speech) string {
	src, n := group[0].Site.NormalsFrom, group[0].Site.Normals
	if src == nil {
		return ""
	}
	text := " of " + src.Path.Path
	var parts []string
	if n.Station.Name != "" {
		parts = append(parts, "station "+n.Station.Name)
	}
	if n.Years > 0 {
		parts = append(parts, phrase.Count(n.Years, "year")+" or more")
	}
	if lat, lon := n.Station.Latitude, n.Station.Longitude; lat != nil && lon != nil {
		least, most := bounds(group, func(pl *inputs.Place) float64 {
			return phenology.Distance(pl.Site.Latitude, pl.Site.Longitude, *lat, *lon)
		})
		parts = append(parts, as.Way(least, most)+" off")
	}
	if len(parts) > 0 {
		text += " (" + strings.Join(parts, ", ") + ")"
	}
	return text
}

// reportRecord writes what a temperature file held.
func reportRecord(w *reportWriter, rec *weather.Record) {
	span := rec.Series.Span()
	missing := 0
	for _, d := range rec.Series.Days {
		if !d.Complete() {
			missing++
		}
	}
	text := fmt.Sprintf("%s: %s, °%s", rec.Name, rec.Format, rec.Unit)
	if rec.Station.Name != "" {
		text += ", station " + rec.Station.Name
	}
	if span.Empty() {
		w.line(2, "%s, no day with a temperature", text)
	} else {
		lacks := "none missing"
		if missing > 0 {
			lacks = fmt.Sprintf("%d missing", missing)
		}
		w.line(2, "%s, %s to %s, %s, %s", text, span.First, span.Last, phrase.Count(span.Days(), "day"), lacks)
	}
	for _, n := range rec.Notes {
		if n.Line > 0 {
			w.line(4, "line %d: %s: %s", n.Line, n.Kind, n.Text)
		} else {
			w.line(4, "%s: %s", n.Kind, n.Text)
		}
	}
}

// reportJoin writes how a site's files were joined, what is doubtful about them, and the plan's words that would mend
// it.
func reportJoin(w *reportWriter, j *phenology.JoinedStations) {
	for _, r := range j.Reports {
		w.line(2, "used of %s", r)
	}
	for _, f := range weather.Check(j.Sources) {
		w.line(2, "doubt: %s", f)
		if f.Suggest != "" {
			way := "to mend it"
			if f.Kind == weather.FindingOffset { // nothing needs mending: the files are joined at one level already
				way = "if one figure for all the year is wanted instead"
			}
			w.line(4, "%s, set in the plan beside the file: %s", way, f.Suggest)
		}
	}
}

// reportClimate writes how a site's files are not like the climate of their place, and whose figures say so.
func reportClimate(w *reportWriter, list []weather.Finding) {
	for _, f := range list {
		w.line(2, "doubt: %s", f)
		if f.Suggest != "" {
			w.line(4, "to mend it, set in the plan beside the file: %s", f.Suggest)
		}
	}
	if len(list) > 0 {
		w.line(4, "%s", climate.Attribution)
	}
}

// climbText says how far the series of a group of sites was moved in height, and by what rates; "" if it was not.
func climbText(in *inputs.Inputs, group []*inputs.Place, as phrase.Speech) string {
	j := in.Join(group[0])
	least, most := bounds(group, in.Climb)
	if least == 0 && most == 0 {
		return ""
	}
	rates := func(rates [12]float64) string {
		least, most := slices.Min(rates[:]), slices.Max(rates[:])
		if most-least < 0.05 {
			return as.Lapse(most)
		}
		return as.Lapse(least, most) + " by month"
	}
	var way string
	switch {
	case least >= 0:
		way = as.Height(least, most) + " up"
	case most <= 0:
		way = as.Height(-most, -least) + " down"
	default:
		way = as.Height(-least) + " down to " + as.Height(most) + " up"
	}
	sites := "site"
	if len(group) > 1 {
		sites = "sites"
	}
	return fmt.Sprintf("moved %s to the %s: minima by %s, maxima by %s; %s", way, sites, rates(j.Rate.Min),
		rates(j.Rate.Max), j.Rate.Source.Citation) + delayText(least, most, j.Valley)
}

// delayText says how much later spring is taken to be above a thermometer than the models have it; "" where none of its
// sites is as much as half a day.
func delayText(least, most float64, valley bool) string {
	later := phenology.ClimbDelay(most)
	switch {
	case later < 0.5:
		return ""
	case valley:
		return "; spring is not taken to be later for it, since the thermometer stands on a valley's floor"
	}
	return fmt.Sprintf("; spring is taken to be %s days later than that makes it, as trees are seen to be up there "+
		"(none if the thermometer stands on a valley's floor, where cold air pools: then write station: valley "+
		"beside the file)",
		phrase.Range(phenology.ClimbDelay(least), later, 1))
}
