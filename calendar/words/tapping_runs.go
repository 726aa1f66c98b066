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
func RunDay(r *phenology.RunRule, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.runDay(r)
	}
	if r.Drive == phenology.RootPressure {
		return fmt.Sprintf("Run day: the last %d nights above %s and days above %s, on average. Near these limits a day "+
			"counts in part.",
			phenology.PressureDays, as.Settings(r.Night.Low, r.Night.High), as.Settings(r.Day.Low, r.Day.High))
	}
	return fmt.Sprintf("Run day: hours of thaw soon after a freeze. It counts in full if the night was %s or colder "+
		"and the day %s or warmer, else in part; of the catch, if it thaws %g hours or more.",
		as.Settings(r.Night.Low), as.Settings(r.Day.High), phenology.WholeThaw)
}

// RunSize says how large a run is before a noun, such as run; of a size that is not known, the noun alone.
func RunSize(size tapping.RunSize, noun string) string {
	switch size {
	case tapping.SizeSmall:
		return "small " + noun
	case tapping.SizeMiddling:
		return "medium " + noun
	case tapping.SizeLarge:
		return "large " + noun
	}
	return noun
}

// runDays lists a run's days with their temperatures, and how likely sap runs on those still to come.
func runDays(r *tapping.Run, as phrase.Speech) string {
	var days []string
	measured, coming := false, false
	for _, d := range r.Days {
		text := phrase.ShortDate(d.Date) + " " + as.Readings(float64(d.Min), float64(d.Max))
		if d.Forecast {
			text += ", " + share(d.Likelihood) + " chance of a run"
			coming = true
		} else {
			measured = true
		}
		days = append(days, text)
	}
	head := "Night and day, measured: "
	switch {
	case measured && coming:
		head = "Night and day, measured, then by the forecast: "
	case coming:
		head = "Night and day, by the forecast: "
	}
	return head + strings.Join(days, "; ") + "."
}

// runSize says how large a run is, and how roughly that is known.
func runSize(r *tapping.Run) string {
	if r.Size == tapping.SizeUnknown {
		return "Too few past runs are on record here to say how large it is."
	}
	hours := "about %.0f hours of flow to expect"
	if r.Over {
		hours = "about %.0f hours above freezing"
	}
	return fmt.Sprintf("A %s beside past runs here: "+hours+". Small is the lesser half of them, large the greatest "+
		"fifth. Trees differ widely.",
		RunSize(r.Size, "run"), r.Hours)
}

// CrewOrder says how one crew serves several bushes, a line a bush under one that says whether they clash.
func CrewOrder(c *tapping.Crew, as phrase.Speech) []string {
	if isFrench(as) {
		return inFrench{as}.crewOrder(c)
	}
	lines := []string{"One crew can tap all of them on their best days."}
	if c.Clash {
		by := "over all of them"
		if c.Counted {
			by = "by the number of their taps"
		}
		lines[0] = "One crew cannot tap all of them on their best days. The least is lost, " + by + ", in this order:"
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
			line += fmt.Sprintf(": catches %s than from its own best day, %s",
				lost(turn.Lost), phrase.ShortDate(turn.Best))
		}
		lines = append(lines, line)
	}
	for _, l := range c.Left {
		lines = append(lines, crewLeft(l))
	}
	return lines
}

// lost writes how much of the run days is lost; what is less than a hundredth of them is not made larger.
func lost(share float64) string {
	if share < 0.005 {
		return "hardly less"
	}
	return phrase.Count(phrase.WholePercent(share), "point") + " less of run days"
}
