package words

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// phaseNames are the phases as tables of dates have them.
var phaseNames = map[phenology.Phase]string{
	phenology.SapStart: "sap starts", phenology.SapEnd: "last good sap", phenology.BudSwell: "buds swell",
	phenology.Flowering: "in flower", phenology.BudBreak: "buds break", phenology.LeafOut: "leaves out",
	phenology.FloweringEnd: "flowers over", phenology.FruitRipe: "seed ripe", phenology.SeedFall: "seed begins to fall",
	phenology.SeedFallEnd: "most seed down", phenology.LeafColor: "leaves colored", phenology.LeafFall: "half the leaves down",
	phenology.Dormant: "bare, at rest",
}

// Phase says in a word or two what has come with a phase.
func Phase(p phenology.Phase, as phrase.Speech) string {
	if isFrench(as) {
		return frenchPhases[p].noun
	}
	return phaseNames[p]
}

// SpellName names what is to be seen, as it stands beside the days on which it can be.
func SpellName(s calendar.Sight, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.spellName(s.Phase)
	}
	switch s.Phase {
	case phenology.SapStart:
		return "sap"
	case phenology.BudSwell:
		return "buds swelling"
	case phenology.Flowering:
		return "flowers"
	case phenology.BudBreak:
		return "young leaves"
	case phenology.LeafOut:
		return "in leaf"
	case phenology.FruitRipe:
		return "ripe seed"
	case phenology.SeedFall:
		return "falling seed"
	case phenology.LeafColor:
		return "color"
	default:
		return "bare"
	}
}

// RowName names a row of work in a strip of the year; the species is nil where it is of several.
func RowName(a calendar.Activity, t calendar.Task, sp *phenology.Species, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.rowName(t, sp)
	}
	of := ""
	if sp != nil {
		of = " " + sp.Name()
	}
	switch {
	case a == calendar.FieldTrip:
		return "Field trips"
	case a == calendar.TwigSurvey:
		return "Winter twigs"
	case a == calendar.SeedCollection:
		return "Seed of" + of
	case t == calendar.TaskTap:
		return "Tap" + of
	case t == calendar.TaskRun:
		return "Runs of sap"
	case t == calendar.TaskWarmSpell, t == calendar.TaskFreezeUp:
		return phrase.Capital(WarningName(tapping.WarningKind(t), as)) + "s"
	case t == calendar.TaskGather:
		return "Gather" + of + " sap"
	case t == calendar.TaskLast:
		return "Last runs," + of
	case t == calendar.TaskPull:
		return "Pull the taps," + of
	}
	return phrase.Capital(a.Title()) + of
}

// DaysTo says how far a day is from today.
func DaysTo(today, day civil.Date, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.daysTo(int(day - today))
	}
	switch n := int(day - today); {
	case n < 0:
		return phrase.Count(-n, "day") + " ago"
	case n == 0:
		return "today"
	case n == 1:
		return "tomorrow"
	default:
		return fmt.Sprintf("in %d days", n)
	}
}

// WeekPrice says what a week early or late costs; "" where there is nothing to decide.
func WeekPrice(f *tapping.TapFacts, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.weekPrice(f)
	}
	p := f.Price
	if p == nil || p.Caught.IsZero() {
		return ""
	}
	var weeks []string
	if !p.WeekEarlier.IsZero() && p.Best-7 >= f.AsOf {
		weeks = append(weeks, "a week earlier "+share(p.WeekEarlier))
	}
	if !p.WeekLater.IsZero() {
		weeks = append(weeks, "a week later "+share(p.WeekLater))
	}
	text := fmt.Sprintf("Begun on %s, holes catch %s of the season's run days", phrase.ShortDate(p.Best), share(p.Caught))
	if weeks == nil {
		return text + "."
	}
	return text + "; " + phrase.Join(weeks) + "."
}

// Ahead says by how many days something is ahead of the usual; below 0 it is behind.
func Ahead(days int, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.ahead(days)
	}
	switch {
	case days > 0:
		return phrase.Count(days, "day") + " ahead"
	case days < 0:
		return phrase.Count(-days, "day") + " behind"
	}
	return "as usual"
}

// SpringDay is one phase of a spring beside past ones: its own day and its days in eight years of ten, and the middle
// day of so many past years.
type SpringDay struct {
	Species             *phenology.Species
	Phase               phenology.Phase
	Early, Middle, Late civil.Date
	Come                bool // it was seen or reached
	Usual               civil.Date
	Years               int
}

// SpringAhead says how far ahead a spring is by one of its phases.
func SpringAhead(s SpringDay, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.springAhead(int(s.Usual - s.Middle))
	}
	switch days := int(s.Usual - s.Middle); {
	case days > 0:
		return Ahead(days, as) + " of the usual"
	case days < 0:
		return Ahead(days, as) + " the usual"
	}
	return Ahead(0, as)
}

// Spring says when one of a spring's phases comes, and when it usually does.
func Spring(s SpringDay, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.spring(s)
	}
	text := fmt.Sprintf("%s, %s: ", phrase.Capital(s.Species.Name()), Phase(s.Phase, as))
	if s.Come {
		text += phrase.ShortDate(s.Middle)
	} else {
		text += fmt.Sprintf("about %s (8 years in 10: %s)", phrase.ShortDate(s.Middle),
			phrase.Span(civil.Span{First: s.Early, Last: s.Late}))
	}
	return text + fmt.Sprintf(". Usual day: %s (%s).", phrase.ShortDate(s.Usual), phrase.Count(s.Years, "past year"))
}

// HeatSoFar says how much heat a season has gathered by a day, in degree-days above a base in degrees Celsius, beside
// the middle of past years.
func HeatSoFar(by civil.Date, base, now, usual float64, years int, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.heatSoFar(by, base, now, usual, years)
	}
	text := fmt.Sprintf("Heat to %s: %s degree-days above %s; usual by then %s (%s).",
		phrase.ShortDate(by), as.DegreeDays(now), as.Settings(base), as.DegreeDays(usual), phrase.Count(years, "past year"))
	if math.Max(now, usual) < 5 {
		text = fmt.Sprintf("Heat to %s: hardly any yet, as is usual.", phrase.ShortDate(by))
		if now < usual-2 || now > usual+2 {
			text = fmt.Sprintf("Heat to %s: hardly any yet.", phrase.ShortDate(by))
		}
	}
	return text
}

// Headline says an entry as it stands where it is the next thing to do: for tapping what is advised in a few words,
// else what it is.
func Headline(e *calendar.Entry) string {
	name := e.Species[0].Name()
	if f, ok := e.Facts.(*tapping.TapFacts); ok {
		if isFrench(e.Speech) {
			return cmp.Or(inFrench{e.Speech}.headline(e, f), Brief(e).Summary)
		}
		switch f.Advice {
		case tapping.TapNow:
			return "Tap " + name + " now"
		case tapping.Wait, tapping.WaitAgain:
			if from, ok := f.RunFrom.Get(); ok {
				return fmt.Sprintf("Tap %s after the first run day from %s on", name, phrase.ShortDate(from))
			}
			return fmt.Sprintf("Wait until %s to tap %s", f.Later.Or(f.Best).Format("Mon 2 Jan"), name)
		case tapping.TapOrWait:
			return fmt.Sprintf("Tap %s today, or wait until %s", name, f.Later.Or(f.Best).Format("Mon 2 Jan"))
		case tapping.PlanAhead:
			return fmt.Sprintf("Plan to tap %s about %s", name, phrase.ShortDate(f.Best))
		case tapping.NoRecord:
			return "Tap " + name + " by the forecast"
		}
	}
	return EntryName(e)
}

// EntryName names a piece of work, with the stand that it is at.
func EntryName(e *calendar.Entry) string {
	summary := Brief(e).Summary
	if e.Stand != nil && !strings.Contains(summary, e.Stand.Name) {
		return summary + ", " + e.Stand.Name
	}
	return summary
}

// NoNext says why nothing is next.
func NoNext(as phrase.Speech) string {
	if isFrench(as) {
		return "Il ne reste rien à faire dans les jours de ce calendrier."
	}
	return "Nothing is left to do in the days of this schedule."
}

// LastDay says until when work can be done or, of a trip, on which day to fall back.
func LastDay(e *calendar.Entry) string {
	switch rain := outing.RainDate(e); {
	case rain != nil:
		return "rain date " + rain.Format("Mon 2 Jan")
	case e.Activity == calendar.FieldTrip:
		return "no rain date"
	case e.Window.Days() > 1 && isFrench(e.Speech):
		return "dernier jour " + french.TheWeekday(e.Window.Last)
	case e.Window.Days() > 1:
		return "last day " + e.Window.Last.Format("Mon 2 Jan")
	}
	return ""
}

// MovedBy says by how many days an entry moved; below 0 it is earlier now, and 0 means that only its end is another
// day.
func MovedBy(e *calendar.Entry, days int, since string) string {
	if isFrench(e.Speech) {
		return inFrench{e.Speech}.movedBy(e, days, since)
	}
	text := "Moved " + since
	switch {
	case days > 0:
		text = phrase.Count(days, "day") + " later " + since
	case days < 0:
		text = phrase.Count(-days, "day") + " earlier " + since
	}
	return text + ", was " + was(e, e.Moved)
}
