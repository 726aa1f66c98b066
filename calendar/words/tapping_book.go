package words

import (
	"fmt"
	"math"

	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
)

// Book says what a place's book has of a season, what seasons before brought, and what is tuned to them.
func Book(b *tapping.Book, as phrase.Speech) []string {
	l := tongue{as}
	list := []string{in(as, "The book has nothing of this season yet.",
		"Votre cahier n'a encore rien de cette saison.")}
	if b.This.Days > 0 || b.This.Syrup > 0 {
		list[0] = l.say("By the book, %s.", "D'après votre cahier, %s.", l.booked(b.This))
	}
	for i := len(b.Past) - 1; i >= 0 && i >= len(b.Past)-3; i-- {
		list = append(list, l.say("%d: %s.", "%d\u00a0: %s.", b.Past[i].Season, l.booked(b.Past[i])))
	}
	switch t := b.Tuning; {
	case t.Seasons < tapping.TunedAfter && t.Odd > 0:
		list = append(list, l.say("Volumes are not tuned to the book: its sap is more than %d times what is to be "+
			"expected, or less than a %[1]dth. Check taps and units in plan and book.",
			"Les volumes ne sont pas réglés sur votre cahier\u00a0: son eau est plus de %d fois ce qui est à prévoir, "+
				"ou moins du %[1]de. Vérifiez entailles et unités au plan et au cahier.", tapping.OddTimes))
	case t.Seasons < tapping.TunedAfter:
		list = append(list, in(as, "Once two whole seasons are in the book, the volumes to expect are tuned to them.",
			"Dès que deux saisons entières y seront, les volumes à prévoir seront réglés sur elles."))
	default:
		list = append(list, l.say("Volumes are tuned to %s of the book: times %s of what is usual; a season's total "+
			"still differs by a factor of about %s.",
			"Les volumes sont réglés sur %s de votre cahier\u00a0: %s fois l'ordinaire; le total d'une saison diffère "+
				"encore d'un facteur d'environ %s.",
			l.count(t.Seasons, "season", "saison", "saisons"), l.twoDigits(t.Factor), l.twoDigits(math.Exp(t.Spread))))
	}
	return append(list, l.tuned(&b.Tuning)...)
}

// twoDigits writes a factor.
func (l tongue) twoDigits(x float64) string {
	switch {
	case !isFrench(l.Speech):
		return fmt.Sprintf("%.2g", x)
	case x < 10:
		return french.Decimal(x, 1)
	}
	return french.Decimal(x, 0)
}

func (l tongue) booked(b tapping.Booked) string {
	volume := func(litres float64) string { return l.volumes(tapping.Range{Low: litres, High: litres}) }
	text := l.say("%s of sap on %s from %s to %s", "%s d'eau en %s du %s au %s", volume(b.Sap), l.days(b.Days),
		l.day(b.First), l.day(b.Last))
	if b.Sugar > 0 {
		text += l.say(", at %s %% sugar", ", à %s\u00a0%% de sucre", l.tenths(b.Sugar))
	}
	if b.Syrup > 0 {
		text += l.say(", and %s of syrup", ", et %s de sirop", volume(b.Syrup))
		if b.Sap > 0 {
			text += l.say(" (%.0f of sap to one)", " (%.0f d'eau pour un)", b.Sap/b.Syrup)
		}
	}
	return text
}

// tuned says what of a book's seasons was tried to foretell the ones left out, and what came of it; nothing before two
// whole seasons are in.
func (l tongue) tuned(t *tapping.Tuning) (list []string) {
	noBetter := func(what string) string {
		return l.say("Tried on the book, each season left out in turn: tuning %s foretells no better; the usual stays.",
			"Essayé sur votre cahier, chaque saison mise de côté à son tour\u00a0: régler %s ne prévoit pas mieux; on "+
				"garde l'ordinaire.", what)
	}
	switch {
	case t.Hole.Kept:
		list = append(list, l.say("How long holes last is tuned to the book: %s.",
			"La durée des entailles est réglée sur votre cahier\u00a0: %s.", l.closer(t.Hole)))
	case t.Hole.Seasons > 0:
		list = append(list, noBetter(in(l.Speech, "how long holes last", "la durée des entailles")))
	}
	switch {
	case t.Thresholds.Kept:
		list = append(list, l.say("Run days count for volumes from nights %s and days %s on: %s.",
			"Pour les volumes, une journée de coulée compte à partir d'une nuit %s et d'un jour %s\u00a0: %s.",
			l.milder(t.Milder.Night, "douce", "froide"), l.milder(t.Milder.Day, "doux", "froid"),
			l.closer(t.Thresholds)))
	case t.Thresholds.Seasons > 0:
		list = append(list, noBetter(in(l.Speech, "from which night and day a run day counts",
			"la nuit et le jour à partir desquels une journée compte")))
	}
	return list
}

// closer says by how much what is tuned is better.
func (l tongue) closer(t tapping.Trial) string {
	return l.say("foretold from the others, each of its %d seasons is missed by %s less",
		"prévue d'après les autres, chacune de ses %d saisons est manquée de %s de moins", t.Seasons,
		Percent(1-t.Tuned/t.Usual, l.Speech))
}

// milder says by how much a threshold is moved, in French in the gender of what it is of.
func (l tongue) milder(by float64, doux, froid string) string {
	switch {
	case by > 0:
		return l.say("%s milder than usual", "plus "+doux+" de %s que d'ordinaire", l.apart(by))
	case by < 0:
		return l.say("%s colder than usual", "plus "+froid+" de %s que d'ordinaire", l.apart(-by))
	}
	return in(l.Speech, "as usual", "comme d'ordinaire")
}
