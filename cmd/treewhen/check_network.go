package main

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/calendar/services"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// reportNetwork writes what a plan has the program ask over the web: every address with all that is sent, and the
// sites' coordinates in it.
func reportNetwork(w *reportWriter, in *inputs.Inputs) {
	if len(in.Asks) == 0 && len(in.Addresses) == 0 {
		w.line(0, "plan %s: nothing is asked over the web", in.Plan.File)
		return
	}
	w.line(0, "plan %s: what is asked over the web, and nobody was asked now", in.Plan.File)
	for _, address := range in.Addresses {
		w.line(0, "")
		w.line(0, "an address of the plan's own, at every run, by the name treewhen:")
		fmt.Fprintf(w.w, "  %s\n", address)
	}
	for _, group := range grouped(in.Asks, func(a inputs.Ask) string { return string(a.State.Service) }) {
		s := services.Find(group[0].State.Service)
		w.line(0, "")
		w.line(0, "%s, %s, at most every %s for each of these, by the name %s:", s.Name, s.Agency,
			phrase.Count(int(s.Every.Hours()), "hour"), in.Agent)
		for _, ask := range group {
			for _, address := range ask.Addresses {
				fmt.Fprintf(w.w, "  %s\n", address) // in one piece, so that it can be tried
			}
			w.line(4, "%s", askedState(&ask.State))
		}
		var points []string
		for _, ask := range group {
			if p := ask.State.Point; p != "" && !slices.Contains(points, p) {
				points = append(points, p)
			}
		}
		if len(points) > 0 {
			w.line(2, "coordinates sent: %s", strings.Join(points, "; "))
		} else {
			w.line(2, "no coordinates are sent, but who knows the station knows the neighborhood")
		}
		w.line(2, "terms: %s", s.Terms)
	}
}

// askedState says what is there of a source.
func askedState(s *services.State) string {
	if s.Confirmed.IsZero() {
		return "never answered yet"
	}
	text := "last answered on " + phrase.LongDate(civil.FromTime(s.Confirmed.UTC()))
	if s.Fault != services.NoFault && s.Fault != services.Offline {
		text += "; since then " + words.ServiceFault(s.Fault)
	}
	return text
}

// reportService writes how the service stands that a record came from.
func reportService(w *reportWriter, s *services.State) {
	for _, text := range words.ServiceState(s, w.as) {
		w.line(4, "%s", text)
	}
}

// reportCredit writes whom to credit for the temperatures.
func reportCredit(w *reportWriter, in *inputs.Inputs) {
	list := in.Attributions()
	if len(list) == 0 {
		return
	}
	w.line(0, "")
	for _, text := range list {
		w.line(0, "%s", text)
	}
}
