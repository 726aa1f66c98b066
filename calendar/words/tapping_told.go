package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// SeasonTold tells a season in a few numbers, beside the mean of the others on record.
func SeasonTold(season phenology.Season, t *tapping.Told, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.seasonTold(season, t)
	}
	first, ok := t.First.Get()
	so := "So far"
	if t.Over {
		so = "The season"
	}
	if to, ok := t.To.Get(); ok {
		so = "To " + phrase.ShortDate(to) + ", where the record ends"
	}
	if !ok {
		return so + ": no day yet on which sap was likely to run and to be good."
	}
	when, days := phrase.ShortDate(first)+" alone", runDaysInAll(float64(t.Days))
	if last := t.Last.Or(first); last > first {
		when = phrase.ShortDate(first) + " first and on " + phrase.ShortDate(last) + " last"
	}
	text := fmt.Sprintf("%s: good sap likely ran on %s; with days that may have been runs, about %s and %.0f hours in all", so,
		when, days, t.Hours)
	if b := t.Best; b != nil {
		text += fmt.Sprintf("; the best run was %s (%.0f hours)", phrase.Span(b.Span), b.Hours)
	}
	if u := t.Usual; u.Seasons > 0 && t.Over {
		text += fmt.Sprintf(". Mean of the %s on record: %s to %s, about %s and %.0f hours",
			phrase.Count(u.Seasons, "other season"), phrase.ShortDate(season.Date(u.First)),
			phrase.ShortDate(season.Date(u.Last)), runDaysInAll(float64(u.Days)), u.Hours)
	}
	text += "."
	if t.Volume != nil {
		text += " " + VolumeSoFar(t.Volume, as)
	}
	return text
}

// runDaysInAll counts run days that are a sum of chances.
func runDaysInAll(days float64) string { return phrase.Count(int(math.Round(days)), "run day") }

// BudsFar says how far the buds are, beside past years on the same day.
func BudsFar(b *tapping.Buds, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.budsFar(b)
	}
	far := share(b.Share) + " of the warmth that swells them has come"
	if b.Share >= 1 {
		far = "the warmth that usually swells them has come; look at them"
	}
	return fmt.Sprintf("Buds, by %s: %s. By that day of %s it was %s, and %s to %s in eight of ten.",
		phrase.ShortDate(b.By), far, phrase.Count(b.Years, "past year"), share(met(b.P50)), share(met(b.P10)),
		share(met(b.P90)))
}

// met is a share of the warmth that swells buds as it is told: all of it, once there is more.
func met(s tapping.Share) tapping.Share { return min(1, s) }
