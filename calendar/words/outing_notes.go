package words

import (
	"fmt"
	"path/filepath"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
)

// outingNote says the i-th of some notes, the first of which is its site's first, if it is of outings. What notes say
// of several species stands in the first of them: the others say "".
func outingNote(notes []calendar.Note, i int, as phrase.Speech) (text string, ok bool) {
	switch x := notes[i].Says.(type) {
	case outing.NoDayLeft:
		return fmt.Sprintf("no trip in the school year from %s: no day is left. %s",
			phrase.LongDate(x.Taken.Year.First), taken(x.Taken)), true
	case outing.NothingToSee:
		return "no trip in the school year from " + phrase.LongDate(x.YearFrom) +
			": nothing that the class is to see can be dated here", true
	case outing.PlannedFrom:
		are := "are"
		if x.Trips == 1 {
			are = "is"
		}
		return fmt.Sprintf("%s of the school year from %s %s planned from %s on; trips made or booked count once "+
			"their dates stand under booked in the plan",
			phrase.Count(x.Trips, "trip"), phrase.ShortDate(x.YearFrom), are, phrase.ShortDate(x.From)), true
	case outing.FewerTrips:
		return fmt.Sprintf("%s, not %d, in the school year from %s: %s",
			phrase.Count(x.Trips, "trip"), x.Wanted, phrase.LongDate(x.YearFrom), fewer(x)), true
	case outing.Undated:
		return withOthers(notes, i, "no date here, so no trip, for ", "",
			func(x outing.Undated) string { return sightOf(x.See, x.Species) }), true
	case outing.NeverBare:
		return withOthers(notes, i, "no twig survey for ", ": leaf fall or bud swell cannot be dated here",
			func(x outing.NeverBare) string { return x.Species.Name() }), true
	case outing.NoSurvey:
		return noSurvey(&x, as), true
	}
	return "", false
}

// withOthers says in the first of a site's notes of one kind what all of them do, and in the others nothing.
func withOthers[T any](notes []calendar.Note, i int, before, behind string, name func(T) string) string {
	var names []string
	for k, n := range notes {
		if n.Site != notes[i].Site {
			break
		}
		if x, ok := n.Says.(T); ok {
			if k < i {
				return ""
			}
			names = append(names, name(x))
		}
	}
	return before + phrase.Join(names) + behind
}

// fewer says why there are fewer trips than asked for.
func fewer(x outing.FewerTrips) string {
	switch x.Why {
	case outing.AddNothing:
		return phrase.Count(x.Wanted-x.Trips, "trip") + " more would add next to nothing"
	case outing.NothingLikely:
		return "on no day left can anything that the class is to see be expected"
	}
	return "no more days fit the plan's spacing, months and calendars"
}

func noSurvey(x *outing.NoSurvey, as phrase.Speech) string {
	text := fmt.Sprintf("no twig survey in the winter after %d: ", x.Season)
	if x.Term {
		return text + "none of its days with bare twigs lies in the plan's terms"
	}
	text += "no day on which the plan allows one has bare twigs"
	if left := leftOut(&x.LeftOut, as); left != "" {
		return text + "; left out were " + left
	}
	return text + ", and daylight and warmth enough"
}

// taken says what took the days of a school year; "" if nothing did.
func taken(t *outing.Taken) string {
	var parts []string
	for _, x := range []struct {
		n    int
		what string
	}{
		{t.OutOfTerm, "are out of term"}, {t.Closed, "are closed"},
		{t.Busy, "are taken by " + phrase.Join(each(t.Calendars, filepath.Base))},
		{t.Dark, "are dark at " + Hours(t.Hours)},
	} {
		if x.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", x.n, x.what))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf("Of the %d days from %s to %s on weekdays that suit, %s.", t.Suit,
		phrase.ShortDate(t.Year.First), phrase.ShortDate(t.Year.Last), phrase.Join(parts))
}

// leftOut says how many days each bound of a survey took; "" for none.
func leftOut(x *outing.LeftOut, as phrase.Speech) string {
	var parts []string
	if x.Closed > 0 {
		parts = append(parts, phrase.Count(x.Closed, "closed day"))
	}
	if x.Busy > 0 {
		parts = append(parts, phrase.Count(x.Busy, "day")+" that the plan's calendars take")
	}
	if x.Dark > 0 {
		parts = append(parts, fmt.Sprintf("%s with less than %g hours of daylight or with the sun down at %s",
			phrase.Count(x.Dark, "day"), x.MinDayLen, Hours(x.Hours)))
	}
	if x.Cold > 0 {
		parts = append(parts, fmt.Sprintf("%s usually colder than %s at %s",
			phrase.Count(x.Cold, "day"), as.Settings(x.Coldest), Hours(x.Hours)))
	}
	return phrase.Join(parts)
}
