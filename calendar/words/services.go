package words

import (
	"cmp"
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
	l, s := tongue{as}, states[0]
	what, verb := in(as, "The forecast", "Les prévisions"), "is"
	names := each(states, func(one *services.State) string { return one.Station })
	switch {
	case s.Station != "" && len(states) == 1:
		what, verb = l.say("Temperatures of station %s", "Les températures de la station %s", s.Station), "are"
	case s.Station != "":
		what, verb = l.say("Temperatures of stations %s", "Les températures des stations %s",
			in(as, problem.Names(names, 3), french.Join(names))), "are"
	case len(states) > 1:
		what, verb = l.say("The forecasts for %d places", "Les prévisions pour %d endroits", len(states)), "are"
	}
	agency, fault := services.Find(s.Service).Agency, l.fault(s.Fault)
	if isFrench(as) {
		agency = cmp.Or(frenchAgencies[s.Service].name, agency)
	}
	if s.Confirmed.IsZero() {
		return l.say("%s could not be had from %s: %s.", "%s n'ont pu être obtenues de %s\u00a0: %s.", what, agency,
			fault)
	}
	return l.say("%s %s what %s gave on %s: since then %s.",
		"%[1]s sont celles que %[3]s a données le %[4]s; depuis, %[5]s.", what, verb, agency,
		in(as, phrase.LongDate, french.Full)(civil.FromTime(s.Confirmed.UTC())), fault)
}

// SilentStations says that no station of a site reports any more; the last did on a day.
func SilentStations(site string, last civil.Date, as phrase.Speech) string {
	return tongue{as}.say(
		"%s: no station has reported since %s. It may have closed, or go on under another identifier.",
		"%s\u00a0: aucune station n'a rien transmis depuis le %s. Elle a peut-être fermé, ou continue sous un "+
			"autre identifiant.", site, in(as, phrase.LongDate, french.Full)(last))
}

// OldSource says that a source, on a line of the plan, cannot be used since a moment, which is written in UTC and, in
// English, in a form as [time.Time.Format] takes it.
func OldSource(line int, since time.Time, form string, as phrase.Speech) string {
	since = since.UTC()
	when := since.Format(form)
	if isFrench(as) {
		when = french.Dated(civil.FromTime(since)) + " à " + french.Clock(since.Hour()*60+since.Minute())
	}
	return tongue{as}.say("Temperatures are not the latest: the source on line %d of the plan cannot be used since %s.",
		"Les températures ne sont pas les dernières\u00a0: la source de la ligne %d du plan est inutilisable "+
			"depuis le %s (UTC).",
		line, when)
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
	return in(as, climate.Attribution, "Climat\u00a0: tiré de CRU CL 2.0 (New et autres 2002, Climate Research "+
		"21:1-25) et des normales climatiques sur grille de la NOAA, 1991 à 2020.")
}

// ServiceFault says in English why a service's latest temperatures are not there, as the end of a sentence.
func ServiceFault(f services.Fault) string { return tongue{}.fault(f) }

// fault is [ServiceFault] in a plan's language.
func (l tongue) fault(f services.Fault) string {
	switch f {
	case services.Offline:
		return in(l.Speech, "nobody was asked", "personne n'a été interrogé")
	case services.NoContact:
		return in(l.Speech, "it answers only who names a contact (contact: in the plan, or --contact)",
			"il ne répond qu'à qui donne un contact (contact: au plan, ou --contact)")
	case services.Down:
		return in(l.Speech, "it does not answer", "il ne répond pas")
	case services.Refused:
		return in(l.Speech, "it refuses to answer", "il refuse de répondre")
	case services.Astray:
		return in(l.Speech, "it sends on to an address of a private network, where nobody was asked",
			"il renvoie à une adresse d'un réseau privé, où personne n'a été interrogé")
	case services.Nothing:
		return in(l.Speech, "it has no days there", "il n'a pas de jours pour cet endroit")
	case services.Unreadable:
		return in(l.Speech, "it answers in a form that is not known", "il répond sous une forme inconnue")
	case services.Unlikely:
		return in(l.Speech, "its temperatures cannot be true of this place",
			"ses températures ne peuvent être vraies ici")
	case services.Unkept:
		return in(l.Speech, "what it gives cannot be kept", "ce qu'il donne ne peut être conservé")
	}
	return in(l.Speech, "all is well", "tout va bien")
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
		list = append(list, fmt.Sprintf("revised by its agency, as seen on %s: %s", s.RevisedOn,
			changes(s.Revised, as)))
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
