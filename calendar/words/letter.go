package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
)

// LetterLine is a line of the letter to parents and office.
type LetterLine struct{ Label, Text string }

// Letter says of an outing what parents and the office need: where, when, what for, how sure, what to bring. It is all
// in whole sentences, without a character of a tree and without a weight.
func Letter(s *outing.Sheet) []LetterLine {
	when := phrase.LongDate(s.Date) + ", " + Hours(s.Hours)
	lines := []LetterLine{{"Where", s.Site.Name}, {"When", when + "."}}
	if ride := Ride(s.Ride); ride != "" {
		lines = append(lines, LetterLine{"Bus", phrase.Capital(ride) + "."})
	}
	if s.Rain != nil {
		lines = append(lines, LetterLine{"If it rains", phrase.LongDate(*s.Rain) + " instead, at the same hours."})
	}
	lines = append(lines, LetterLine{"What for", letterPurpose(s)})
	if sure := letterSure(s.Named); sure != "" {
		lines = append(lines, LetterLine{"How sure", sure})
	}
	weather := phrase.Capital(Warmth(s.Conditions, s.Speech)) + "."
	return append(lines, LetterLine{"Weather", weather}, LetterLine{"To bring", letterKit(s)},
		LetterLine{"Please tell", "Allergies (bees, nuts, pollen, latex), asthma, medicine that must come along, and " +
			"who is not to be in pictures."})
}

// letterPurpose says what an outing is for.
func letterPurpose(s *outing.Sheet) string {
	names := each(s.Species, func(x outing.SheetSpecies) string { return x.Species.Name() })
	trees := fmt.Sprintf("%d kinds of trees", len(names))
	if len(names) <= outing.MostShown {
		trees = phrase.Join(names)
	}
	if s.Activity == calendar.TwigSurvey {
		return "To learn trees by their winter twigs: " + trees + "."
	}
	if len(s.Named) == 0 {
		return "To learn these trees: " + trees + "."
	}
	see := each(s.Named, func(n outing.NamedSight) string { return sight(n.See) })
	return "To see " + phrase.Join(see) + " on trees: " + trees + "."
}

// letterSure says how sure what a trip is for is; "" where nothing was reckoned.
func letterSure(named []outing.NamedSight) string {
	if len(named) == 0 {
		return ""
	}
	said := each(named, func(n outing.NamedSight) string {
		return fmt.Sprintf("%s on at least one of them: %s chance", phrase.Capital(sight(n.See)),
			phrase.Percent(float64(n.Chance)))
	})
	return strings.Join(said, ". ") +
		". Spring and autumn come early or late by a week or two; the day stays unless you hear."
}

// letterKit lists what a pupil brings.
func letterKit(s *outing.Sheet) string {
	list := "Shoes that may get wet, a rain jacket, a water bottle, a snack without nuts, a pencil"
	if s.Kit.Layers {
		list += ", a warm layer, hat and gloves"
	}
	if s.Kit.Repellent {
		list += "; long trousers and socks, since ticks are about: look for ticks that evening, and see a " +
			"doctor about a rash"
	}
	return list + "."
}

// LetterSlip is what comes back to the school, a line each.
func LetterSlip() []string {
	return []string{"Child", "May come (yes or no)", "Telephone that day", "Allergies and medicine", "Signature"}
}
