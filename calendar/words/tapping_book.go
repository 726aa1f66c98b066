package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// Book says what a place's book has of a season, what seasons before brought, and what is tuned to them.
func Book(b *tapping.Book, as phrase.Speech) []string {
	if isFrench(as) {
		return inFrench{as}.book(b)
	}
	var list []string
	if b.This.Days > 0 || b.This.Syrup > 0 {
		list = append(list, "By the book, "+booked(b.This, as)+".")
	} else {
		list = append(list, "The book has nothing of this season yet.")
	}
	for i := len(b.Past) - 1; i >= 0 && i >= len(b.Past)-3; i-- {
		list = append(list, fmt.Sprintf("%d: %s.", b.Past[i].Season, booked(b.Past[i], as)))
	}
	if t := b.Tuning; t.Seasons < tapping.TunedAfter {
		list = append(list, "Once two whole seasons are in the book, the volumes to expect are tuned to them.")
	} else {
		list = append(list, fmt.Sprintf("Volumes are tuned to %s of the book: times %.2g of what is usual; a season's total "+
			"still differs by a factor of about %.2g.", phrase.Count(t.Seasons, "season"), t.Factor, math.Exp(t.Spread)))
	}
	return append(list, Tuned(&b.Tuning, as)...)
}

func booked(b tapping.Booked, as phrase.Speech) string {
	text := fmt.Sprintf("%s of sap on %s from %s to %s", as.Liquid(b.Sap), phrase.Count(b.Days, "day"),
		phrase.ShortDate(b.First), phrase.ShortDate(b.Last))
	if b.Sugar > 0 {
		text += fmt.Sprintf(", at %.1f %% sugar", b.Sugar)
	}
	if b.Syrup > 0 {
		text += ", and " + as.Liquid(b.Syrup) + " of syrup"
		if b.Sap > 0 {
			text += fmt.Sprintf(" (%.0f of sap to one)", b.Sap/b.Syrup)
		}
	}
	return text
}
