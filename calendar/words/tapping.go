package words

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// sayTapping says the details of an entry of tapping.
func sayTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	if isFrench(e.Speech) {
		inFrench{e.Speech}.say(t, e, facts)
		return
	}
	switch f := facts.(type) {
	case *tapping.TapFacts:
		t.tap(e, f)
	case *tapping.RunFacts:
		t.run(e, f)
	case *tapping.SeasonFacts:
		t.sapSeason(e, f)
	case *tapping.WarningFacts:
		t.warning(e, f)
	}
}

// briefTapping says what a line of an entry of tapping shows.
func briefTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	if isFrench(e.Speech) {
		inFrench{e.Speech}.brief(t, e, facts)
		return
	}
	name := e.Species[0].Name()
	switch e.Task {
	case calendar.TaskTap:
		t.Summary = "Tap " + name
		if e.State == calendar.Done {
			t.Basis = "your plan says it is done"
		}
	case calendar.TaskRun:
		var size tapping.RunSize
		switch f := facts.(type) {
		case *tapping.RunFacts:
			size = f.Size
		case tapping.Line:
			size = f.Size
		}
		t.Summary = phrase.Capital(RunSize(size, "run")) + " of sap"
		t.Basis = "the forecast"
		if e.State == calendar.Observed {
			t.Basis = "temperatures of these days"
		}
	case calendar.TaskWarmSpell, calendar.TaskFreezeUp:
		t.Summary = phrase.Capital(WarningName(tapping.WarningKind(e.Task), e.Speech))
		t.Basis = "the forecast"
		switch {
		case e.State == calendar.Observed:
			t.Basis = "temperatures of these days"
		case e.Probability == 1: // see [tapping.Warning.Measured]
			t.Basis, t.Fact = "temperatures of its first days, then the forecast", "begun"
		}
	case calendar.TaskGather:
		t.Summary = "Gather and boil " + name + " sap"
	case calendar.TaskLast:
		t.Summary = "Last runs of " + name + " sap"
	case calendar.TaskPull:
		t.Summary = "Pull the taps and clean, " + name
	}
}

// tap says the tapping itself.
func (t *Text) tap(e *calendar.Entry, f *tapping.TapFacts) {
	sp := e.Species[0]
	t.Verdict = TapVerdict(f, e.Speech)
	t.Care = "landowner's leave, ice underfoot, limbs overhead, food-grade gear"
	switch f.Advice {
	case tapping.Tapped:
		t.LookFor = []string{"Spouts that leak or lines that sag; squirrels chew tubing."}
		return
	case tapping.NoRecord:
		t.ChanceOf = "that sap has not yet run in earnest on " + phrase.ShortDate(e.Best)
		t.Reasons = []string{
			fmt.Sprintf("By the place alone the start is known to %s: too wide to drill by, so that no alarm rings.",
				phrase.Count(int(f.Start.P90-f.Start.P10), "day")),
			"Ten years of daily temperatures from a station near by would narrow this to the days that matter.",
		}
		t.LookFor = append([]string{"Nights below freezing and days above it in the forecast."},
			TapGuidance(sp, f.Rule, e.Speech)...)
	default:
		t.ChanceOf = WellTimed
		if days := f.DaysToTap; days > 1 {
			t.Reasons = append(t.Reasons, fmt.Sprintf("The job takes %s: begun on %s, it is done on %s.",
				phrase.Count(days, "day"),
				phrase.ShortDate(e.Best), phrase.ShortDate(addDays(e.Best, days-1))))
		}
		if f.Advice != tapping.TooLate { // else nothing is left to be priced
			t.Reasons = append(t.Reasons, TapPrice(f, true, e.Speech))
		}
		t.Reasons = append(t.Reasons, HoleLife(f.Hole, e.Speech), RunDay(sp.Sap.Run, e.Speech))
		t.LookFor = []string{"Nights below freezing and days above it in the forecast."}
		if sp.Sap.Run.Drive == phenology.RootPressure {
			t.LookFor[0] = "Thawed soil and nights above freezing; a pricked twig that drips."
		}
		t.LookFor = append(t.LookFor, TapGuidance(sp, f.Rule, e.Speech)...)
	}
	t.Sources = citations(append(slices.Clone(f.Sources), sp.Sap.Run.Source)...)
	for _, r := range e.Reminders {
		if r.Kind == tapping.RingSoon {
			t.Reminders = append(t.Reminders, "Get ready to tap "+sp.Name()+": about "+weekday(e.Best))
		} else {
			t.Reminders = append(t.Reminders, t.Summary+" from "+weekday(e.Best))
		}
	}
}

// run says one run.
func (t *Text) run(e *calendar.Entry, f *tapping.RunFacts) {
	rule := e.Species[0].Sap.Run
	days := phrase.Span(e.Window)
	t.Care = "boiling sap scalds; vent steam and smoke"
	if f.Over {
		t.Verdict = "These days had the freeze and thaw of a run. How much came, the buckets know."
		if rule.Drive == phenology.RootPressure {
			t.Verdict = "These days and nights were as warm as a run needs. How much came, the buckets know."
		}
	} else {
		of := RunSize(f.Size, "run") + " " + phrase.Confidence(e.Probability) + " "
		t.Headline, t.named = phrase.Capital(of)+days, len(RunSize(f.Size, "run"))
		t.Verdict = fmt.Sprintf("Be ready to gather, %s: buckets and tanks empty, lines tight, pan and wood ready.", days)
		if f.Volume != nil {
			t.Verdict += " " + phrase.Capital(Volume(f.Volume, e.Speech)) + "."
		}
		t.ChanceOf = "that sap runs on " + phrase.ShortDate(e.Best) + ", errors of the forecast allowed for"
		t.remind(e, phrase.Capital(of)+weekday(stillToCome(e, f))+": empty the tanks")
	}
	t.Reasons = []string{runDays(&f.Run, e.Speech), runSize(&f.Run), RunDay(rule, e.Speech)}
	t.LookFor = []string{"Buckets and tanks empty, lines tight, the pan and wood ready."}
	t.Sources = citations(rule.Source)
	if f.Thaw.First {
		t.Reasons = append(firstThaw(f.Thaw, e.Speech), t.Reasons...)
		t.Sources = append(t.Sources, trunkThaw)
	}
}

// stillToCome returns the first day of a run that is not measured yet: an alarm that rings while it runs is not for
// yesterday.
func stillToCome(e *calendar.Entry, f *tapping.RunFacts) civil.Date {
	if i := slices.IndexFunc(f.Days, func(d tapping.RunDay) bool { return d.Forecast }); i > 0 {
		return f.Days[i].Date
	}
	return e.Window.First
}

// sapSeason says the gathering, the last runs or the pulling of the taps.
func (t *Text) sapSeason(e *calendar.Entry, f *tapping.SeasonFacts) {
	sp := e.Species[0]
	best := phrase.ShortDate(e.Best)
	first, last := phrase.ShortDate(e.Window.First), phrase.ShortDate(e.Window.Last)
	t.Care = "boiling sap scalds; vent steam and smoke"
	switch e.Task {
	case calendar.TaskGather:
		t.Verdict = fmt.Sprintf("Gather after each run and boil within days, from %s to about %s.", first, last)
		t.ChanceOf = "that the season is on, on " + best
		t.Reasons = []string{fmt.Sprintf("Sap starts %s to %s and ends %s to %s, 8 years in 10.",
			phrase.ShortDate(f.Start.P10), phrase.ShortDate(f.Start.P90), phrase.ShortDate(f.End.P10),
			phrase.ShortDate(f.End.P90))}
		if n := f.RunDays; n != nil {
			t.Reasons = append(t.Reasons, RunDaysLeft(n, f.Spoils, e.Speech), RunDay(sp.Sap.Run, e.Speech))
		}
		t.Reasons = append(append(t.Reasons, SapEnd(sp, f, e.Speech)), SapQuantities(sp, f.Quantities, e.Speech)...)
		t.LookFor = []string{"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils."}
	case calendar.TaskLast:
		t.Verdict = fmt.Sprintf("From %s on, boil a cupful and taste it before you fire the pan.", first)
		t.ChanceOf = "that the last good sap has run by " + best
		if f.HolesEnd {
			t.ChanceOf = "that sap is still good when the holes dry"
		}
		t.Reasons = []string{SapEnd(sp, f, e.Speech)}
		t.LookFor = []string{"Swelling buds; cloudy or yellowing sap."}
		t.remind(e, "Taste "+sp.Name()+" sap before you boil, from "+first)
	case calendar.TaskPull:
		t.Verdict = fmt.Sprintf("Pull every spout once sap stops or turns: about %s, by %s. Do not plug the holes.", best, last)
		t.Care = "food gear: hot water only; wet ground, loose limbs"
		t.ChanceOf = "that the last good sap has run by " + best
		if f.HolesEnd {
			t.ChanceOf = "that holes are dry or sap is over by " + best + ", if holes last as assumed"
		}
		t.Reasons = []string{SapEnd(sp, f, e.Speech), "One hole a season: pull every spout so that the tree can close it, and " +
			"do not plug it. Drilling anew in a season wounds the tree twice; common guidance is against it."}
		t.LookFor = []string{"Swelling buds, cloudy sap, an off smell from the pan."}
		t.remind(e, "Pull "+sp.Name()+" spouts: about "+weekday(e.Best))
	}
	t.Sources = citations(f.Sources...)
}

// tappingNote says a note of tapping.
func tappingNote(n tapping.NoDates, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.noDates(n.Species, n.Lack)
	}
	return fmt.Sprintf("no tapping dates for %s: %s", n.Species.Name(), Lack(n.Lack, as))
}
