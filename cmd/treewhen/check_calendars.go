package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"treewhen/calendar/busy"
	"treewhen/calendar/inputs"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// reportCalendars writes what the calendars of the sites hold, each once.
func reportCalendars(w *reportWriter, in *inputs.Inputs) {
	type use struct {
		diary *busy.Diary
		place *inputs.Place
	}
	var uses []use
	for _, pl := range in.Places {
		seen := map[*busy.Diary]bool{}
		for _, d := range slices.Concat(pl.Site.Options.Seed.Busy, pl.Site.Options.Twig.Busy,
			pl.Site.Options.Trip.Busy) {
			if !seen[d] {
				seen[d] = true
				uses = append(uses, use{d, pl})
			}
		}
	}
	for _, group := range grouped(uses, func(u use) string { return fmt.Sprintf("%p", u.diary) }) {
		var places []*inputs.Place
		for _, u := range group {
			places = append(places, u.place)
		}
		w.line(0, "")
		w.line(0, "calendar of %s:", siteNames(places))
		reportCalendar(w, group[0].diary, places[0].Site.Zone)
	}
}

// mostTitles is how many titles of a calendar are listed.
const mostTitles = 1000

// reportCalendar writes what was made of every event of a calendar, by the clocks of a zone.
func reportCalendar(w *reportWriter, d *busy.Diary, zone *time.Location) {
	titles := titlesOf(d, zone)
	counts := map[busy.State]int{}
	for _, t := range titles {
		counts[t.State]++
	}
	w.line(2, "%s, %s to %s", d.Name, d.Span.First, d.Span.Last)
	w.line(4, "titles: %d taken, %d half, %d free", counts[busy.Taken], counts[busy.Half], counts[busy.Free])
	for i, t := range titles {
		if i == mostTitles {
			w.line(4, "and %d more titles", len(titles)-i)
			break
		}
		w.line(4, "%s", t.String())
	}
	for _, n := range slices.Concat(d.Notes, d.Remarks) {
		w.line(4, "%s", n)
	}
	if list := d.NotUnderstood(d.Span); len(list) > 0 {
		free := 0
		for _, e := range list {
			if e.State == busy.Free {
				free++
			}
		}
		var parts []string
		if free > 0 {
			parts = append(parts, fmt.Sprintf("%d left free", free))
		}
		if taken := len(list) - free; taken > 0 {
			parts = append(parts, fmt.Sprintf("%d taken, being marked as busy", taken))
		}
		w.line(4, "not understood: %s. The plan can say what they are (busy: taken, half, free).",
			strings.Join(parts, ", "))
	}
}

// calendarTitle is what all events of one title that are read alike take.
type calendarTitle struct {
	*busy.Source
	lost  string // which hours of a day, "" for all or none
	days  []civil.Span
	times int
}

// titlesOf gathers the events of a calendar by what a reader sees of them, in the order in which they first come.
func titlesOf(d *busy.Diary, zone *time.Location) []*calendarTitle {
	type key struct {
		title, lost string
		state       busy.State
		basis       busy.Basis
	}
	known := map[key]*calendarTitle{}
	var titles []*calendarTitle
	for _, list := range [][]busy.Event{d.Events, d.Free} {
		for i := range list {
			e := &list[i]
			lost := hoursText(e, zone)
			k := key{e.Summary, lost, e.State, e.Basis}
			t := known[k]
			if t == nil {
				t = &calendarTitle{Source: e.Source, lost: lost}
				known[k] = t
				titles = append(titles, t)
			}
			t.times++
			days := e.DaysIn(zone)
			if n := len(t.days); n > 0 && days.First <= t.days[n-1].Last+1 && days.First >= t.days[n-1].First {
				t.days[n-1].Last = max(t.days[n-1].Last, days.Last)
				continue
			}
			t.days = append(t.days, days)
		}
	}
	order := []busy.State{busy.Taken, busy.Half, busy.Free}
	slices.SortStableFunc(titles, func(a, b *calendarTitle) int {
		return cmp.Compare(slices.Index(order, a.State), slices.Index(order, b.State))
	})
	return titles
}

// hoursText says which hours an event is about: those of an event with hours, those that a half day loses.
func hoursText(e *busy.Event, zone *time.Location) string {
	clock := func(minutes int) string { return phrase.Clock(minutes % (24 * 60)) }
	if e.State == busy.Half || e.State == busy.Taken && e.ByTheDay() {
		switch from, to := e.Lost(zone); {
		case from == 0 && to == 24*60:
			return ""
		case from == 0:
			return "lost until " + clock(to)
		default:
			return "lost from " + clock(from)
		}
	}
	if e.WholeDays() {
		return ""
	}
	start, end := e.In(zone)
	return start.Format("15:04") + " to " + end.Format("15:04")
}

// String writes the title as check lists it: what it takes, its days, and what decided where no words of the title did.
func (t *calendarTitle) String() string {
	title := t.Summary
	if title == "" {
		title = "no title"
	}
	parts := []string{title}
	if t.lost != "" {
		parts = append(parts, t.lost)
	}
	const mostSpans = 6
	if len(t.days) > mostSpans {
		whole := civil.Span{First: t.days[0].First, Last: t.days[len(t.days)-1].Last}
		parts = append(parts, fmt.Sprintf("%d times from %s", t.times, datesText([]civil.Span{whole})))
	} else {
		parts = append(parts, datesText(t.days))
	}
	text := fmt.Sprintf("%s: %s", t.State, strings.Join(parts, "; "))
	if why := basisTexts[t.Basis]; why != "" {
		text += " (" + why + ")"
	}
	return text
}

// basisTexts say what decided, where it is not plain from the title or the hours.
var basisTexts = map[busy.Basis]string{
	busy.ByPlan:         "by the plan's words",
	busy.ByCancellation: "called off",
	busy.ByText:         "by its description or category",
	busy.ByTransparency: "as the calendar marks it",
	busy.ByMark:         "not understood; marked as busy",
	busy.ByNothing:      "not understood",
}

// datesText writes days as short as they can be read, each year once.
func datesText(list []civil.Span) string {
	var parts []string
	for i, s := range list {
		text := phrase.Span(s)
		if s.First.Year() != s.Last.Year() {
			text = fmt.Sprintf("%s %d to %s", phrase.ShortDate(s.First), s.First.Year(), phrase.ShortDate(s.Last))
		}
		if i+1 == len(list) || list[i+1].First.Year() != s.Last.Year() {
			text += fmt.Sprintf(" %d", s.Last.Year())
		}
		parts = append(parts, text)
	}
	return phrase.Join(parts)
}
