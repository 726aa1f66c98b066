package main

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/doubts"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// reportDoubts writes which species of the sites' seed collections may be forbidden there, with the words that take
// them out, and which are far from home: each once, with all sites of which it is said.
func reportDoubts(w *reportWriter, in *inputs.Inputs) {
	list := doubts.OfSpecies(in)
	if len(list) == 0 {
		return
	}
	w.line(0, "")
	w.line(0, "doubtful species:")
	key := func(d doubts.Species) string {
		if d.Rule == nil {
			return "range " + d.Species.ID
		}
		return "law " + d.Species.ID + d.Rule.Where
	}
	for _, group := range grouped(list, key) {
		w.line(2, "%s", doubtText(group, w.as))
		if d := group[0]; d.Rule != nil {
			w.line(4, "to leave it out, set in the plan under activities, %s: prohibited: [%s]",
				calendar.SeedCollection, d.Species.ID)
		}
	}
}

// daysText says by how many days dates are less sure so many kilometres outside a range.
func daysText(least, most float64) string {
	low, high := math.Round(phenology.OutsideSD(least)), math.Round(phenology.OutsideSD(most))
	if low == high {
		return phrase.Count(int(low), "day")
	}
	return phrase.Range(low, high, 0) + " days"
}

// doubtText says what is doubtful about a species at several sites.
func doubtText(group []doubts.Species, as phrase.Speech) string {
	first := group[0]
	least, most := bounds(group, func(d doubts.Species) float64 { return d.Kilometres })
	var places []*inputs.Place
	for _, d := range group {
		places = append(places, d.Place)
	}
	where := first.Species.Name() + " at " + siteNames(places)
	if first.Rule == nil {
		return fmt.Sprintf("%s: %s outside %s; its dates are %s less sure for it", where, as.Way(least, most),
			words.RangeOf(first.Species), daysText(least, most))
	}
	by := "the nearest town, " + first.Town.String()
	if len(group) > 1 {
		by = "the nearest towns"
	}
	r := first.Rule
	return fmt.Sprintf("%s: collecting its seed can be forbidden in %s, judged by %s: %s (%s)", where, r.Where, by,
		strings.TrimSuffix(r.Text, "."), r.Source)
}
