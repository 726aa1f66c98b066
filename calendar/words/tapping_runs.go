package words

import (
	"fmt"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// RunDay says what is counted as a run day by a rule, which every count must say: published definitions differ by a
// factor of nearly two. The rule's source is to be cited beside it.
func RunDay(r *phenology.RunRule) string {
	if r.Drive == phenology.RootPressure {
		return fmt.Sprintf("A run day is one that ends %d days whose minima lie above %s and whose maxima lie above "+
			"%s on average; days near these limits count in part.",
			phenology.PressureDays, r.Night, r.Day)
	}
	return fmt.Sprintf("A run day is a thaw to above %s, lasting some hours, after a night below %s; a freeze "+
		"serves for a day or two, days near these limits count in part.",
		r.Day, r.Night)
}

// RunSize says how large a run is before a noun, such as run; of a size that is not known, the noun alone.
func RunSize(size tapping.RunSize, noun string) string {
	switch size {
	case tapping.SizeSmall:
		return "small " + noun
	case tapping.SizeMiddling:
		return "middling " + noun
	case tapping.SizeLarge:
		return "large " + noun
	}
	return noun
}

// runDays lists a run's days with their temperatures, and how likely sap runs on those still to come.
func runDays(r *tapping.Run) string {
	var days []string
	observed, coming := false, false
	for _, d := range r.Days {
		text := fmt.Sprintf("%s %s to %s °C", phrase.ShortDate(d.Date), phrase.Celsius(float64(d.Min)),
			phrase.Celsius(float64(d.Max)))
		if d.Forecast {
			text += ", " + share(d.Likelihood)
			coming = true
		} else {
			observed = true
		}
		days = append(days, text)
	}
	head := "Night's minimum and day's maximum, observed"
	switch {
	case observed && coming:
		head += "; and, of the forecast, how likely sap runs"
	case coming:
		head = "Night's minimum, day's maximum and how likely sap runs, by the forecast"
	}
	return head + ": " + strings.Join(days, "; ") + "."
}

// runSize says how large a run is, and how roughly that is known.
func runSize(r *tapping.Run) string {
	if r.Size == tapping.SizeUnknown {
		return "Too few past runs are on record here to say how large it is."
	}
	hours := "with about %.0f hours of flow to expect"
	if r.Over {
		hours = "about %.0f of them"
	}
	return fmt.Sprintf("By hours above freezing, "+hours+", it is a %s beside this site's past runs (small: the "+
		"lesser half of them; large: the greatest fifth). Trees differ widely.",
		r.Hours, RunSize(r.Size, "run"))
}

// ForecastDoubts says what is wrong with a forecast, each a sentence.
func ForecastDoubts(list []tapping.Doubt) []string {
	var said []string
	for _, d := range list {
		said = append(said, forecastDoubt(d))
	}
	return said
}

func forecastDoubt(d tapping.Doubt) string {
	day := phrase.ShortDate(d.Day)
	switch d.What {
	case tapping.Ended:
		return fmt.Sprintf("The forecast ends on %s and says nothing of the days ahead.", day)
	case tapping.Old:
		return fmt.Sprintf("The forecast begins on %s and is more than %d days old: fetch a newer one.",
			day, tapping.ForecastOldDays)
	case tapping.Incomplete:
		return fmt.Sprintf("The forecast has no complete temperatures for %s; nothing after that day is used.", day)
	case tapping.BeginsLate:
		return fmt.Sprintf("Between the last observed day, %s, and the forecast's first, %s, there is a gap, so "+
			"that the forecast cannot be used.",
			phrase.ShortDate(d.Observed.Or(d.Day)), day)
	default:
		unused := ""
		if d.Refused {
			unused = ", and is not used"
		}
		return fmt.Sprintf("On %s that both have, the forecast differs from the station by %.0f °C on average: it "+
			"may be for another place or in another unit%s.",
			phrase.Count(d.Days, "day"), d.Off, unused)
	}
}

// CrewOrder says how one crew serves several bushes, a line a bush under one that says whether they clash.
func CrewOrder(c *tapping.Crew) []string {
	lines := []string{"They do not get in each other's way."}
	if c.Clash {
		by := "over all of them"
		if c.Counted {
			by = "by the number of their taps"
		}
		lines[0] = "They get in each other's way. The least is lost, " + by + ", in this order:"
	}
	for _, turn := range c.Turns {
		var names []string
		for _, sp := range turn.Species {
			names = append(names, sp.Name())
		}
		line := fmt.Sprintf("%s  %s, %s", phrase.Span(turn.Days), turn.Site.Name, strings.Join(names, " and "))
		if turn.Days.First == turn.Best {
			line += ": its own best day to begin"
		} else {
			line += fmt.Sprintf(": catches %s of the season than begun on its own best day, %s",
				lost(turn.Lost), phrase.ShortDate(turn.Best))
		}
		lines = append(lines, line)
	}
	return lines
}

// lost writes a share that is lost; what is less than a hundredth is not made larger.
func lost(share float64) string {
	if share < 0.005 {
		return "hardly less"
	}
	return phrase.Percent(share) + " less"
}
