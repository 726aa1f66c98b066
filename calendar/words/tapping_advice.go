package words

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WellTimed is what the chance of a tapping day is of.
const WellTimed = "of a good day: at least 4/5 of the catch that hindsight would pick"

// TapVerdict says what to do: tap, or wait. It names days and never says today, since it is kept in calendars.
func TapVerdict(f *tapping.TapFacts, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.tapVerdict(f)
	}
	tapDay := f.TapDay.Or(f.AsOf)
	day, done := phrase.ShortDate(tapDay), fmt.Sprintf("Done? Put the day in the plan (tapped: %s).", tapDay)
	asOf := phrase.ShortDate(f.AsOf)
	switch f.Advice {
	case tapping.Tapped:
		return holesTapped(f)
	case tapping.NoRecord:
		return fmt.Sprintf("%s, so no tapping day. Sap here starts %s to %s, 8 years in 10: be ready, tap by the forecast.",
			noYears(f.Evidence.Years), phrase.ShortDate(f.Start.P10), phrase.ShortDate(f.Start.P90))
	case tapping.Over:
		return "Nothing is left to tap for this season."
	case tapping.TooLate:
		late := fmt.Sprintf("about %s of this season's run days had passed by %s.", share(f.Gone), asOf)
		if f.Since.Known() {
			return fmt.Sprintf("Advised since %s. %s If not done, it is too late: %s", day, done, late)
		}
		return "Too late to tap: " + late
	case tapping.TakenDone:
		if seen, ok := f.SapSeen.Get(); ok {
			since := day
			if f.TapDayAdvised {
				since += ", when first advised"
			}
			return fmt.Sprintf("You saw sap run on %s. Assumes you tapped on %s. %s", phrase.ShortDate(seen), since, done)
		}
		which := "the usual day"
		if f.TapDayAdvised {
			which = "when first advised"
		}
		return fmt.Sprintf("Assumes you tapped on %s, %s. If not, tap: %s still catches %s of run days. %s",
			day, which, asOf, share(f.Today), done)
	case tapping.WaitAgain:
		return fmt.Sprintf("Not tapped yet? %s The outlook has changed since %s. %s %s", howToWait(f), day, waiting(f), done)
	case tapping.TapNow:
		if since := f.Since.Or(f.AsOf); since < f.AsOf {
			return fmt.Sprintf("Tap if you have not; advised since %s. %s", phrase.ShortDate(since), done)
		}
		return fmt.Sprintf("Tap on %s. Waiting is not likely to catch more.", weekday(f.AsOf))
	case tapping.PlanAhead:
		return fmt.Sprintf("Plan to tap about %s (%s). From %s the date follows the weather.",
			phrase.ShortDate(f.Best), phrase.Count(f.Evidence.Years, "past year"), phrase.ShortDate(f.CountedFrom))
	case tapping.TapOrWait:
		if f.RunFrom.Known() {
			return fmt.Sprintf("Tap on %s or wait, as suits you: it costs less than %s of the catch. %s",
				asOf, phrase.Percent(tapping.Plateau), howToWait(f))
		}
		return fmt.Sprintf("Tap any day from %s: it costs less than %s of the catch.",
			phrase.Span(civil.Span{First: f.AsOf, Last: f.Later.Or(f.Best)}), phrase.Percent(tapping.Plateau))
	default:
		return howToWait(f) + " " + waiting(f)
	}
}

// noYears says how little record there is.
func noYears(years int) string {
	if years == 0 {
		return "No temperatures"
	}
	return "Only " + phrase.Count(years, "past year")
}

// howToWait says how best to wait.
func howToWait(f *tapping.TapFacts) string {
	if from, ok := f.RunFrom.Get(); ok {
		return fmt.Sprintf("Wait for the first run day from %s on; tap the next morning.", phrase.ShortDate(from-1))
	}
	return "Wait until " + weekday(f.Later.Or(f.Best)) + "."
}

// waiting says what waiting catches, and what tapping without waiting would.
func waiting(f *tapping.TapFacts) string {
	return fmt.Sprintf("Tapping then catches %s of this season's run days; on %s, %s.",
		share(f.Waiting), phrase.ShortDate(f.AsOf), share(f.Today))
}

// weekday writes a day on which somebody must act: "Sun 14 Mar".
func weekday(d civil.Date) string { return d.Format("Mon 2 Jan") }

// TapBasis says what an advice rests on.
func TapBasis(e tapping.Evidence, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.tapBasis(e)
	}
	var list []string
	if day, ok := e.SeasonTo.Get(); ok {
		list = append(list, "this season to "+phrase.ShortDate(day))
	}
	if day, ok := e.ForecastTo.Get(); ok {
		list = append(list, "forecast to "+phrase.ShortDate(day))
	}
	years := phrase.Count(e.Years, "past year")
	if e.Drawn {
		years = phrase.Count(e.Years, "year") + " drawn from " + normals(e.BuiltIn)
	}
	return strings.Join(append(list, years), ", ")
}

// TapPrice says what the best day catches and, if wanted, what a week early or late would. There must be a price.
func TapPrice(f *tapping.TapFacts, weeks bool, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.tapPrice(f, weeks)
	}
	p := f.Price
	text := fmt.Sprintf("Tapping on %s catches %s of run days, on average over %s: %s of what hindsight would.",
		phrase.ShortDate(p.Best), share(p.Caught), phrase.Count(f.Evidence.Years, "year"), share(p.OfHindsight))
	if weeks && !p.WeekEarlier.IsZero() {
		text += fmt.Sprintf(" A week earlier catches %s.", share(p.WeekEarlier))
	}
	if weeks && !p.WeekLater.IsZero() {
		text += fmt.Sprintf(" A week later catches %s.", share(p.WeekLater))
	}
	if p.Gone >= 0.005 {
		text += fmt.Sprintf(" %s of run days had passed by %s.", share(p.Gone), phrase.ShortDate(f.AsOf))
	}
	first := "first run of two days or more since " + phrase.ShortDate(p.CountedFrom)
	switch p.Missed {
	case 0:
		return text + " It catches the " + first + "."
	case 1:
		return text + " The " + first + " is past; no day can catch it."
	}
	return text + fmt.Sprintf(" In %s of past years it misses the %s.", share(p.Missed), first)
}

// SapEnd says what ends a species' season.
func SapEnd(sp *phenology.Species, f *tapping.SeasonFacts, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.sapEnd(sp, f)
	}
	end := "Freezes stop or " + Spoiling(f.Spoils)
	if sp.Sap.Run.Drive == phenology.RootPressure {
		end = phrase.Capital(Spoiling(f.Spoils)) + " then"
	}
	text := fmt.Sprintf("Last good sap: %s, 8 years in 10. %s",
		phrase.Span(civil.Span{First: f.End.P10, Last: f.End.P90}), end)
	if f.Spoiled != nil {
		text += " (" + phrase.Span(civil.Span{First: f.Spoiled.P10, Last: f.Spoiled.P90}) + ")"
	}
	text += "."
	if dry, ok := f.Dry.Get(); ok {
		drilled := phrase.ShortDate(f.TapDay.Or(dry))
		if dry < f.End.P50 {
			text += fmt.Sprintf(" Holes drilled on %s are dry before that, about %s. Sap may still run, but not in them.",
				drilled, phrase.ShortDate(dry))
		} else {
			text += fmt.Sprintf(" Holes drilled on %s last to about %s.", drilled, phrase.ShortDate(dry))
		}
	}
	return text
}

// Spoiling says what buds do from then on sap is no longer worth boiling.
func Spoiling(p phenology.Phase) string {
	if p == phenology.BudBreak {
		return "buds break"
	}
	return "buds swell"
}

// RunDaysLeft says how many run days a season has.
func RunDaysLeft(n *tapping.RunDays, spoils phenology.Phase, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.runDaysLeft(n, spoils)
	}
	text := fmt.Sprintf("Run days until %s: about %.0f", Spoiling(spoils), n.P50)
	if alike(n) {
		return text + "."
	}
	return text + fmt.Sprintf("; %.0f to %.0f, 8 years in 10.", n.P10, n.P90)
}

// alike reports whether all ways in which the season may go have as many run days, as they are told: of a season that is
// nearly past a spread says nothing.
func alike(n *tapping.RunDays) bool { return math.Round(n.P10) == math.Round(n.P90) }

// share writes a share as a whole percentage.
func share(s tapping.Share) string { return phrase.Percent(float64(s)) }

func addDays(d civil.Date, days int) civil.Date { return d + civil.Date(days) }
