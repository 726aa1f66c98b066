package words

import (
	"fmt"
	"time"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/services"
	"treewhen/phenology/civil"
	"treewhen/phenology/climate"
	"treewhen/phenology/problem"
)

// OldTemperatures says that what services gave is not the latest, of which day it is, and why. The states are of one
// service, one day and one fault. It says dates, no ages: what it is in may be read days later.
func OldTemperatures(as phrase.Speech, states ...*services.State) string {
	if isFrench(as) {
		return inFrench{as}.oldTemperatures(states)
	}
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
func SilentStations(site string, last civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.silentStations(site, last)
	}
	return fmt.Sprintf("%s: no station has reported since %s. It may have closed, or go on under another identifier.",
		site, phrase.LongDate(last))
}

// OldSource says that a source, on a line of the plan, cannot be used since a moment, which is written in UTC and, in
// English, in a form as [time.Time.Format] takes it.
func OldSource(line int, since time.Time, form string, as phrase.Speech) string {
	since = since.UTC()
	if isFrench(as) {
		return fmt.Sprintf("Les températures ne sont pas les dernières%sla source de la ligne %d du plan est "+
			"inutilisable depuis le "+
			"%s à %s (UTC).", french.Colon, line, french.Dated(civil.FromTime(since)),
			french.Clock(since.Hour()*60+since.Minute()))
	}
	return fmt.Sprintf("Temperatures are not the latest: the source on line %d of the plan cannot be used since "+
		"%s.", line,
		since.Format(form))
}

// Credit is whom to credit for what a weather service gives, in a sentence.
func Credit(name services.Name, as phrase.Speech) string {
	if isFrench(as) && frenchAgencies[name].credit != "" {
		return frenchAgencies[name].credit
	}
	return services.Find(name).Attribution
}

// ClimateCredit is whom to credit for the built-in climate.
func ClimateCredit(as phrase.Speech) string {
	if isFrench(as) {
		return "Climat" + french.Colon + "tiré de CRU CL 2.0 (New et autres 2002, Climate Research 21:1-25) et des " +
			"normales " +
			"climatiques sur grille de la NOAA, 1991 à 2020."
	}
	return climate.Attribution
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
		list = append(list, OldTemperatures(as, s))
	case !s.Confirmed.IsZero():
		list = append(list, fmt.Sprintf("asked last on %s", phrase.LongDate(civil.FromTime(s.Confirmed.UTC()))))
	}
	if s.LeftOut > 0 {
		list = append(list, fmt.Sprintf("left out: %s, since no weather jumps so", phrase.Count(s.LeftOut, "value")))
	}
	if len(s.Revised) > 0 {
		list = append(list, fmt.Sprintf("revised by its agency, as seen on %s: "+
			"%s", s.RevisedOn, changes(s.Revised, as)))
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
