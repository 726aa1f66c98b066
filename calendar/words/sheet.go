package words

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// SheetTitle says what a sheet is for.
func SheetTitle(s *outing.Sheet) string {
	if s.Activity == calendar.TwigSurvey {
		return "Winter-twig survey"
	}
	return "Field trip"
}

// Sun says when the sun rises and sets.
func Sun(c outing.Conditions) string {
	switch c.Sun {
	case outing.NeverSets:
		return "the sun does not set"
	case outing.NeverRises:
		return "the sun does not rise"
	}
	return fmt.Sprintf("sun %s to %s", phrase.Clock(c.Rise), phrase.Clock(c.Set))
}

// Warmth says how warm an outing's hours usually are.
func Warmth(c outing.Conditions, as phrase.Speech) string {
	if !c.Known {
		return "no temperatures here to tell how warm it usually is"
	}
	text := fmt.Sprintf("usually %s in these hours, after nights of %s %s",
		as.Readings(c.Low, c.High), as.Reading(c.Night), as.Degrees())
	if c.Drawn {
		text += ", by " + normals(c.BuiltIn)
	}
	return text
}

// Ride says when people leave and when they are back; "" where the plan does not.
func Ride(r outing.Ride) string {
	if r.Bus.Travel == 0 {
		return ""
	}
	text := fmt.Sprintf("leave at %s, back at %s, %d minutes each way",
		phrase.Clock(r.Away.Start), phrase.Clock(r.Away.End), r.Bus.Travel)
	if r.Bus.Bells.End > 0 {
		last := r.Bus.Bells.End - r.Bus.Margin
		text += fmt.Sprintf("; the last minute to be back is %s", phrase.Clock(last))
	}
	return text
}

// OutingKit lists what to bring, in two lines.
func OutingKit(k outing.Kit, a calendar.Activity) []string {
	always := "This sheet, pencils, a hand lens, water, a first-aid kit, a phone"
	if a == calendar.FieldTrip {
		always += ", the class list with its allergies"
	}
	var more []string
	for _, x := range []struct {
		need bool
		what string
	}{
		{k.Ruler, "a ruler and a protractor"}, {k.Knife, "a knife for the leader alone"},
		{k.Layers, "warm layers and gloves"}, {k.Repellent, "long trousers and tick repellent"},
	} {
		if x.need {
			more = append(more, x.what)
		}
	}
	if len(more) == 0 {
		return []string{always + "."}
	}
	return []string{always + ".", phrase.Capital(strings.Join(more, "; ")) + "."}
}

// Ground says what fallen leaves show; "" where there are none to look at.
func Ground(list []*phenology.Trait, as phrase.Speech) string {
	if len(list) == 0 {
		return ""
	}
	said := each(list, func(t *phenology.Trait) string { return Trait(t, as) })
	return "on the ground, if it is this tree's: " + strings.Join(said, ", ")
}

// Sights lists what may be there, a line for each sight, what the day was chosen for and then the likeliest first.
func Sights(list outing.Sights) (lines []string) {
	for _, s := range list.Named() {
		on, more := s.Shortest()
		names := make([]string, len(on))
		for i, x := range on {
			if names[i] = x.Species.Name(); !x.AllYear {
				names[i] += " " + phrase.Percent(x.P)
			}
		}
		text := phrase.Capital(sight(s.See)) + ": " + strings.Join(names, ", ")
		if more > 0 {
			text += fmt.Sprintf(" and %d more", more)
		}
		if s.On[len(s.On)-1].AllYear {
			text += ", all year"
		}
		lines = append(lines, text+".")
	}
	return lines
}

// SheetCommon says what all species of a sheet share; "" if that is nothing.
func SheetCommon(s *outing.Sheet) string {
	if len(s.Common) == 0 {
		return ""
	}
	return common(s.Common, s.Speech)
}

// SheetCare says how many pairs of a sheet can be told apart and which need care, at most so many of them, the worst
// first.
func SheetCare(s *outing.Sheet, most int) []string {
	worst, more := s.Worst(most)
	return care(s.Pairs, worst, more, s.Speech)
}

// SheetMind returns the cautions of a sheet, those that several species share once.
func SheetMind(s *outing.Sheet) []string {
	return MindedOnce(outingCautions(&s.Day, s.Activity, s.Speech))
}

// The usual cautions of outings: common practice, no source. None replaces local rules or a licensed professional.
var (
	surveyCautions = ofNone(
		"Ice, snow and early dusk: tell somebody where you go, and keep off frozen ponds and flooded river margins.",
		"Blaze orange in hunting season; leave of the landowner first.",
		"Learn poison ivy's hairy vines and bare stems: they raise a rash in winter too. Box elder seedlings are its "+
			"look-alike in leaf.",
	)
	tripCautions = ofNone(
		"Leave of the landowner and your school's own rules come first; check roads, parking and who "+
			"is allergic to what.",
		"Ticks, poison ivy and, near rivers, high water; blaze orange in hunting season.",
	)
)

const iceCaution = "Ice may lie on paths, ponds and river margins: keep off it."

// outingCautions lists the usual cautions of an outing, what its species are taken for, and what else is to be minded
// of them.
func outingCautions(d *outing.Day, a calendar.Activity, as phrase.Speech) []Caution {
	usual := tripCautions
	if a == calendar.TwigSurvey {
		usual = surveyCautions
	}
	list := slices.Clip(usual)
	if d.Ice {
		list = append(list, Caution{Text: iceCaution})
	}
	for _, inLeaf := range []bool{true, false} {
		for _, sp := range d.Minded {
			for _, c := range sp.Cautions {
				if c.InLeaf != inLeaf || inLeaf && !d.InLeaf || !goesWith(&c, a) {
					continue
				}
				one := Caution{Of: sp.Name(), Text: phrase.Sentence(as.Measures(c.Text))}
				if inLeaf {
					one.Of = ""
				}
				if !slices.Contains(list, one) {
					list = append(list, one)
				}
			}
		}
	}
	return list
}
