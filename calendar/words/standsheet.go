package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
)

// StandHead says where and when a sheet is for, a line each.
func StandHead(s *seed.StandSheet) []string {
	where := fmt.Sprintf("%s, %s", s.Site.Name, s.Speech.Height(s.Metres))
	if s.Stand.SeedZone != "" {
		where += ", seed " + zone(s.Stand.SeedZone)
	}
	lines := []string{where + "; " + phrase.LongDate(s.Days.First) + " to " + phrase.LongDate(s.Days.Last)}
	for _, c := range standCautions(s.Stand) {
		lines = append(lines, strings.TrimPrefix(c.Text, s.Stand.Name+", "))
	}
	return lines
}

// NothingAtStand is said of a stand where nothing is to be done in a sheet's days.
const NothingAtStand = "Nothing is to be done here in these days."

// StandTask says a piece of work on a stand's sheet: what and when, and what to look for and to bring home.
func StandTask(e *calendar.Entry) (title string, looks []string) {
	sp := e.Species[0]
	what := sp.Name() + ": "
	switch f := e.Facts.(type) {
	case *seed.Scout:
		what += "scout the crop"
		looks = []string{countFullSeed}
	case *seed.Check:
		what += fmt.Sprintf("ripeness check %d", f.Number)
		looks = signs(sp, e.Speech)
		if f.Test != "" {
			looks = append(looks, sampleTests[f.Test])
		}
	case *seed.Collection:
		what += "collect"
		looks = append(signs(sp, e.Speech), collectFrom(sp)...)
		if f.Need != nil {
			looks = append(looks, BringHome(f.Need, e.Speech))
		}
	}
	return fmt.Sprintf("%s, %s, best %s", what, phrase.Span(e.Window), phrase.ShortDate(e.Best)), looks
}

// StandMind are the cautions of a stand's sheet, each once, but for those that are in its head.
func StandMind(s *seed.StandSheet) []string {
	head := standCautions(s.Stand)
	var all []Caution
	seen := map[Caution]bool{}
	for _, c := range head {
		seen[c] = true
	}
	for _, e := range s.Work {
		for _, c := range Cautions(e) {
			if !seen[c] {
				seen[c] = true
				all = append(all, c)
			}
		}
	}
	return MindedOnce(all)
}

// labelsEach is how many labels a species has: one in the bag and one on it.
const labelsEach = 2

// LotLabels are the labels for the bags of a sheet, each by its lines.
func LotLabels(s *seed.StandSheet) (list [][]string) {
	for _, e := range s.Collected() {
		for range labelsEach {
			list = append(list, lotLabelLines(s, e))
		}
	}
	return list
}

// lotLabelLines is a label for a bag, to be cut out and filled in.
func lotLabelLines(s *seed.StandSheet, e *calendar.Entry) []string {
	origin := fmt.Sprintf("%s, %s, %s", s.Site.Name, s.Stand.Name, s.Speech.Height(s.Metres))
	if s.Stand.SeedZone != "" {
		origin += ", seed " + zone(s.Stand.SeedZone)
	}
	unit, _ := s.Speech.Weight()
	return []string{
		"Lot ______________  " + e.Species[0].Botanical + ", " + e.Species[0].Name(),
		origin,
		"Collected ____________  from ____ trees  ______ " + unit + "  by ____________",
	}
}
