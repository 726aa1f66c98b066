package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Lack says why a phase has no date, or why what its date rests on is nothing stronger; "" if nothing is lacking.
func Lack(l phenology.Lack, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.lack(l)
	}
	switch l.Kind {
	case phenology.LackProfile:
		return fmt.Sprintf("the profile does not have %s", l.Phase)
	case phenology.LackPlaces:
		if m := l.Months; m != nil {
			return fmt.Sprintf("the profile gives no date for %s at any place, only the months of the whole range, %s",
				l.Phase, phrase.Months(m.From, m.To))
		}
		return fmt.Sprintf("the profile gives no date for %s at any place", l.Phase)
	case phenology.LackNear:
		return fmt.Sprintf("the nearest place with a date for %s is %s off or too unlike; dates are moved %s and "+
			"%d days at most", l.Phase, as.Way(l.KM), as.Way(phenology.PlaceReachKM), phenology.PlaceReachDays)
	case phenology.LackRecord:
		return fmt.Sprintf("no year of the record dates %s", l.Phase)
	case phenology.LackYears:
		return fmt.Sprintf("only %s of record date %s; %d are needed", phrase.Count(l.Years, "year"), l.Phase,
			phenology.MinYears)
	case phenology.LackWinter:
		return fmt.Sprintf("winters too mild for a season by this model: sap would run in earnest by %s and taste of buds "+
			"from %s on; buds are taken to swell by warmth alone since New Year, as measured in Quebec, which may be too "+
			"early here", l.Start.Format("2 January"), l.End.Format("2 January"))
	case phenology.LackAfter:
		text := fmt.Sprintf("it is counted from %s, which has no date here", l.After)
		if m := l.Months; m != nil {
			text += "; the months of the whole range are " + phrase.Months(m.From, m.To)
		}
		return text
	case phenology.LackEnd:
		return "its lags go round in a circle"
	}
	return ""
}
