package words

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Doubts says what is wrong with the temperatures that work rests on, each one sentence or two.
func Doubts(list []calendar.Doubt, as phrase.Speech) []string {
	var said []string
	for _, d := range list {
		said = append(said, Doubt(d, as))
	}
	return said
}

// Doubt says one doubt.
func Doubt(d calendar.Doubt, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.doubt(d)
	}
	day, observed := phrase.ShortDate(d.Day), d.Observed.Or(d.Day)
	switch d.What {
	case calendar.Stale:
		return fmt.Sprintf("Temperatures end on %s. What is dated after that rests on past years.",
			observed.Format("2 Jan 2006"))
	case calendar.Missing:
		return "No forecast: its file is missing. Watch your local forecast."
	case calendar.Empty:
		return "No forecast: its file is empty. Watch your local forecast."
	case calendar.Damaged:
		return "No forecast: its file cannot be read. Watch your local forecast."
	case calendar.OtherUnit:
		return "No forecast: its degrees are in another unit than the plan says. Watch your local forecast."
	case calendar.Ended:
		return fmt.Sprintf("No forecast: its file ends on %s. Fetch a newer one.", day)
	case calendar.Old:
		return fmt.Sprintf("No forecast: its file is of %s, more than %d days old. Fetch a newer one.",
			day, calendar.ForecastOldDays)
	case calendar.Unserved:
		return "No forecast: its weather service has given none of late. Watch your local forecast."
	case calendar.Incomplete:
		return fmt.Sprintf("The forecast lacks temperatures for %s; nothing after that day is used.", day)
	case calendar.BeginsLate:
		return fmt.Sprintf("No forecast: it begins too long after the last measured day, %s.", phrase.ShortDate(observed))
	case calendar.Bridged:
		return fmt.Sprintf("Measured days end on %s. What lies between them and the forecast is guessed, so that chances "+
			"are less sure.", phrase.ShortDate(observed)) // no day that is another every morning
	case calendar.ShortRecord:
		return fmt.Sprintf("The record holds %s. Dates need %d years at least, and ten narrow them; until then they "+
			"rest on the place alone.",
			phrase.Count(d.Days, "measured day"), phenology.MinYears)
	default:
		text := fmt.Sprintf("the forecast differs from the station by %s on %s that both have.",
			as.Apart(0, float64(d.Off)), phrase.Count(d.Days, "day"))
		if d.Refused {
			return "No forecast: " + text + " It is for another place or in another unit."
		}
		return phrase.Capital(text) + " It may be for another place."
	}
}
