package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// OldTemperatures says that what services gave is not the latest, of which day it is, and why. The states are of one
// service, one day and one fault. It says dates, no ages: what it is in may be read days later.
func OldTemperatures(states ...*services.State) string {
	s := states[0]
	what, verb := "The forecast", "is"
	var names []string
	for _, one := range states {
		names = append(names, one.Station)
	}
	switch {
	case s.Station != "" && len(states) == 1:
		what, verb = "Temperatures of station "+s.Station, "are"
	case s.Station != "":
		what, verb = "Temperatures of stations "+problem.Names(names, 3), "are"
	case len(states) > 1:
		what, verb = fmt.Sprintf("The forecasts for %d places", len(states)), "are"
	}
	agency := services.Find(s.Service).Agency
	if s.Confirmed.IsZero() {
		return fmt.Sprintf("%s could not be had from %s: %s.", what, agency, ServiceFault(s.Fault))
	}
	return fmt.Sprintf("%s %s what %s gave on %s: since then %s.", what, verb, agency,
		phrase.LongDate(civil.FromTime(s.Confirmed.UTC())), ServiceFault(s.Fault))
}

// SilentStations says that no station of a site reports any more; the last did on a day.
func SilentStations(site string, last civil.Date) string {
	return fmt.Sprintf("%s: no station has reported since %s. It may have closed, or go on under another identifier.",
		site, phrase.LongDate(last))
}

// ServiceFault says why a service's latest temperatures are not there, as the end of a sentence.
func ServiceFault(f services.Fault) string {
	switch f {
	case services.Offline:
		return "nobody was asked"
	case services.NoContact:
		return "it answers only who names a contact (contact: in the plan, or --contact)"
	case services.Down:
		return "it does not answer"
	case services.Refused:
		return "it refuses to answer"
	case services.Astray:
		return "it sends on to an address of a private network, where nobody was asked"
	case services.Nothing:
		return "it has no days there"
	case services.Unreadable:
		return "it answers in a form that is not known"
	case services.Unlikely:
		return "its temperatures cannot be true of this place"
	case services.Unkept:
		return "what it gives cannot be kept"
	}
	return "all is well"
}

// mostChanges is how many changed values are told one by one.
const mostChanges = 5

// ServiceState says how a service's source stands, a sentence each: how old its copy is, and what was revised.
func ServiceState(s *services.State, as phrase.Speech) (list []string) {
	switch {
	case s.Fault != services.NoFault:
		list = append(list, OldTemperatures(s))
	case !s.Confirmed.IsZero():
		list = append(list, fmt.Sprintf("asked last on %s", phrase.LongDate(civil.FromTime(s.Confirmed.UTC()))))
	}
	if s.LeftOut > 0 {
		list = append(list, fmt.Sprintf("left out: %s, since no weather jumps so", phrase.Count(s.LeftOut, "value")))
	}
	if len(s.Revised) > 0 {
		list = append(list, fmt.Sprintf("revised by its agency, as seen on %s: %s", s.RevisedOn, changes(s.Revised, as)))
	}
	return list
}

// changes says what was revised.
func changes(list []services.Change, as phrase.Speech) string {
	var parts []string
	for i, c := range list {
		if i == mostChanges && len(list) > mostChanges+1 {
			parts = append(parts, fmt.Sprintf("%d more", len(list)-i))
			break
		}
		what := "minimum"
		if c.IsMax {
			what = "maximum"
		}
		is := as.Tenths(c.Is)
		if c.Withdrawn {
			is = "none"
		}
		parts = append(parts, fmt.Sprintf("%s of %s from %s to %s %s", what, c.Day, as.Tenths(c.Was), is, as.Degrees()))
	}
	return phrase.Join(parts)
}
