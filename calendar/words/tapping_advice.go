package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// WellTimed is what the confidence of a tapping day means.
const WellTimed = "holes drilled then catch at least four fifths of what those of the best day would, which is " +
	"known only afterwards"

// TapVerdict says what to do: tap, or wait.
func TapVerdict(f *tapping.TapFacts) string {
	tapDay := f.TapDay.Or(f.AsOf)
	day, written := phrase.ShortDate(tapDay), tapDay.String()
	switch f.Advice {
	case tapping.Tapped:
		return fmt.Sprintf("Tapped on %s: holes run well to about %s, at half by %s, and are dry about %s, if they "+
			"last as supposed (%d days, %s).",
			day, phrase.ShortDate(addDays(tapDay, f.Hole.Well)), phrase.ShortDate(addDays(tapDay, f.Hole.Half)),
			phrase.ShortDate(f.Dry.Or(tapDay)), f.Hole.Half, f.Hole.Collection)
	case tapping.NoRecord:
		return fmt.Sprintf("No record of temperatures to decide by. From the place alone sap starts between %s and "+
			"%s, eight years in ten: be ready for the first, and let the forecast set the day.",
			phrase.ShortDate(f.Start.P10), phrase.ShortDate(f.Start.P90))
	case tapping.Over:
		return "Nothing is left to tap for this season."
	case tapping.TooLate:
		if f.Since.Known() {
			return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan "+
				"(tapped: %s, if it was then). If it is not, it is too late: %s of the season's run days are past.",
				day, written, share(f.Gone))
		}
		return fmt.Sprintf("Too late to tap: %s of the season's run days are past.", share(f.Gone))
	case tapping.TakenDone:
		if seen, ok := f.SapSeen.Get(); ok {
			since := "that day"
			if f.TapDayAdvised {
				since = day + ", the first day on which that was advised"
			}
			return fmt.Sprintf("Sap was seen to run on %s, so that holes are taken to be in since %s; write the day into "+
				"the plan (tapped: %s, if it was then).", phrase.ShortDate(seen), since, written)
		}
		which := "the usual day"
		if f.TapDayAdvised {
			which = "the first day on which that was advised"
		}
		return fmt.Sprintf("The time to tap is past, and holes are taken to be in since %s, %s; if they are, write "+
			"the day into the plan (tapped: %s). Drilled today, holes would catch %s of the season's run days, by %s.",
			day, which, written, share(f.Today), evidence(f.Evidence))
	case tapping.WaitAgain:
		return fmt.Sprintf("It has been time to tap since %s; if that is done, write the day into the plan (tapped: "+
			"%s, if it was then). If it is not, wait again, best %s: that can be expected to catch %s of the "+
			"season's run days, holes drilled today %s, by %s.",
			day, written, howToWait(f.Price), share(f.Waiting), share(f.Today), evidence(f.Evidence))
	case tapping.TapNow:
		if since := f.Since.Or(f.AsOf); since < f.AsOf {
			return fmt.Sprintf("Tap now, if it is not done: so it has been since %s, by %s. Once it is done, write "+
				"the day into the plan (tapped: %s, if it is today).",
				phrase.ShortDate(since), evidence(f.Evidence), f.AsOf)
		}
		return fmt.Sprintf("Tap now: waiting promises no more, by %s.", evidence(f.Evidence))
	case tapping.PlanAhead:
		return fmt.Sprintf("Plan for about %s, by %s; once the season has begun it is worked out anew every day.",
			phrase.ShortDate(f.Best), evidence(f.Evidence))
	case tapping.TapOrWait:
		return fmt.Sprintf("Tap today or wait, best %s, as suits you: the difference is within %s, by %s.",
			howToWait(f.Price), phrase.Percent(tapping.Plateau), evidence(f.Evidence))
	default:
		return fmt.Sprintf("Wait, best %s: that can be expected to catch %s of the season's run days, holes drilled "+
			"today %s, by %s.",
			howToWait(f.Price), share(f.Waiting), share(f.Today), evidence(f.Evidence))
	}
}

// howToWait says how best to wait.
func howToWait(p *tapping.Price) string {
	if from, ok := p.RunFrom.Get(); ok {
		return fmt.Sprintf("for the first morning from %s on that follows a run day", phrase.ShortDate(from))
	}
	return "to " + phrase.ShortDate(p.Later.Or(p.Best))
}

// evidence says what an advice rests on.
func evidence(e tapping.Evidence) string {
	var list []string
	if day, ok := e.SeasonTo.Get(); ok {
		list = append(list, "this season to "+phrase.ShortDate(day))
	}
	if day, ok := e.ForecastTo.Get(); ok {
		list = append(list, "the forecast to "+phrase.ShortDate(day))
	}
	if e.Drawn {
		return phrase.Join(append(list, phrase.Count(e.Years, "year")+" drawn from "+normals(e.BuiltIn)))
	}
	return phrase.Join(append(list, phrase.Count(e.Years, "past year")))
}

// TapPrice says what the best day catches and, if wanted, what a week early or late would. There must be a price.
func TapPrice(f *tapping.TapFacts, weeks bool) string {
	p := f.Price
	text := fmt.Sprintf("Begun on %s, holes catch %s of the season's run days (mean of %s, one a past year), %s of "+
		"what each outcome's own best day would.",
		phrase.ShortDate(p.Best), share(p.Caught), phrase.Count(f.Evidence.Years, "outcome"), share(p.OfHindsight))
	if p.Gone >= 0.005 {
		text += fmt.Sprintf(" %s have gone by already.", share(p.Gone))
	}
	if weeks && !p.WeekEarlier.IsZero() {
		text += fmt.Sprintf(" A week earlier: %s.", share(p.WeekEarlier))
	}
	if weeks && !p.WeekLater.IsZero() {
		text += fmt.Sprintf(" A week later: %s.", share(p.WeekLater))
	}
	missed := share(p.Missed) + " of outcomes"
	switch p.Missed {
	case 0:
		missed = "no outcome"
	case 1:
		missed = "every outcome"
	}
	return text + fmt.Sprintf(" The first run, two run days or more since %s, is missed in %s.",
		phrase.ShortDate(p.CountedFrom), missed)
}

// holeDays says how long a hole is taken to run.
func holeDays(h tapping.Hole) string {
	return fmt.Sprintf("A hole is taken to run well for %d days, at half after %d and to be dry after %d (%s",
		h.Well, h.Half, h.Dry, h.Collection)
}

// HoleLife says how long a hole is taken to run, and by whose experience.
func HoleLife(h tapping.Hole) string { return holeDays(h) + "; growers' experience, from memory)." }

// SapEnd says what ends a species' season.
func SapEnd(sp *phenology.Species, f *tapping.SeasonFacts) string {
	end := "no more freezes, or " + Spoiler(f.Spoils)
	if sp.Sap.Run.Drive == phenology.RootPressure {
		end = "before " + Spoiler(f.Spoils)
	}
	sign := ": "
	if sp.Sap.Run.Drive == phenology.RootPressure {
		sign = ", "
	}
	text := fmt.Sprintf("The last good sap runs between %s and %s, eight years in ten%s%s",
		phrase.ShortDate(f.End.P10), phrase.ShortDate(f.End.P90), sign, end)
	if f.Spoiled != nil {
		text += fmt.Sprintf(" (%s to %s)", phrase.ShortDate(f.Spoiled.P10), phrase.ShortDate(f.Spoiled.P90))
	}
	text += "."
	if dry, ok := f.Dry.Get(); ok {
		drilled := phrase.ShortDate(f.TapDay.Or(dry))
		if dry < f.End.P50 {
			text += fmt.Sprintf(" Holes drilled on %s are dry before that, about %s; sap may still run, "+
				"but not in them.", drilled, phrase.ShortDate(dry))
		} else {
			text += fmt.Sprintf(" Holes drilled on %s would last to about %s.", drilled, phrase.ShortDate(dry))
		}
	}
	return text
}

// Spoiler names the phase from which sap is no longer worth boiling.
func Spoiler(p phenology.Phase) string {
	if p == phenology.BudBreak {
		return "bud break"
	}
	return "bud swell"
}

// share writes a share as a whole percentage.
func share(s tapping.Share) string { return phrase.Percent(float64(s)) }

func addDays(d civil.Date, days int) civil.Date { return d + civil.Date(days) }
