package tapping

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// Guidance is how to tap: sound trees, where and how deep. Figures are from the extension sheets and studies named.
func (s *Season) Guidance() []string {
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		return []string{
			"Sound trees at least 20 cm (8 in) across at breast height; one tap a year, and rest the tree in other years: birches wall off wounds poorly (growers' practice).",
			"Clean, sharp bit; hole about 8 mm (5/16 in) wide and 4 cm (1.5 in) deep, sloping slightly up (from memory). Defer to local guidelines.",
		}
	}
	trees := "Sound trees at least 30 cm (12 in) across at breast height; one tap up to 45 cm (18 in), two above, never three (the careful guideline; University of Vermont studies)."
	if s.Options.TapsByDiameter == calendar.TraditionalTaps {
		trees = "By the traditional rule that the plan asks for: one tap from 25 cm (10 in), two from 38 cm (15 in), three from 50 cm (20 in), four from 64 cm (25 in). Studies no longer recommend it: the careful rule is one from 30 cm, two from 45 cm."
	}
	return []string{
		trees,
		"Clean, sharp bit; hole 8 mm (5/16 in) wide and 4 to 5 cm (1.5 to 2 in) deep in white, sound wood, sloping slightly up; 5 to 10 cm (2 to 4 in) to the side of old holes and 15 to 30 cm (6 to 12 in) above or below (University of Vermont, as extension sheets tell it). Defer to local guidelines.",
	}
}

// Quantities say, roughly, what a season brings.
func (s *Season) Quantities() []string {
	low, high, source := s.sugar()
	if high <= 0 {
		return nil
	}
	text := fmt.Sprintf("At %s %% sugar it takes about %s litres of sap for a litre of syrup, by the rule of 86 (sugar: %s).",
		phrase.Range(low, high, 1), phrase.Range(86/high, 86/low, 0), source)
	if s.Species.Sap.Run.Drive == phenology.RootPressure {
		text = fmt.Sprintf("At %s %% sugar it takes about %s litres of sap for a litre of maple-like syrup by the rule of 86, more by growers' account (sugar: %s).",
			phrase.Range(low, high, 1), phrase.Range(86/high, 86/low, 0), source)
	}
	list := []string{text}
	per := s.Species.Sap.PerTap
	if per == nil {
		return list
	}
	a, b, how := per.Low, per.High, "by gravity"
	if s.Options.Collection == calendar.Vacuum {
		// 57 to 95 litres and more under vacuum against 19 to 57 by gravity, from memory: about twice in the middle.
		a, b, how = 2*a, 2*b, "under vacuum, taken as twice what gravity gives"
	}
	n := float64(max(1, s.Options.Taps))
	what := "A tap gives"
	if s.Options.Taps > 0 {
		what = phrase.Count(s.Options.Taps, "tap") + " together give"
		if len(TappedNames(s.Place.Species)) > 1 {
			what = phrase.Count(s.Options.Taps, "tap") + ", were they all in " + phrase.Name(s.Species.Name()) + ", would give"
		}
	}
	return append(list, fmt.Sprintf("%s very roughly %s of sap in a season %s, %s of syrup; trees and seasons differ even more (%s).",
		what, litresText(n*a, n*b), how, litresText(n*a*low/86, n*b*high/86), per.Source))
}

// litresPerGallon is the US liquid gallon of 231 cubic inches. NIST Handbook 44, appendix C (from memory; exact).
const litresPerGallon = 3.785411784

// litresText writes a run of litres, and what it is in the measure of the United States.
func litresText(lo, hi float64) string {
	return fmt.Sprintf("%s litres (%s US gallons)", roughRange(lo, hi), roughRange(lo/litresPerGallon, hi/litresPerGallon))
}

// sugar returns the sugar content of sap, percent by weight, and where it comes from.
func (s *Season) sugar() (low, high float64, source string) {
	if s.Options.SugarHigh > 0 {
		return s.Options.SugarLow, s.Options.SugarHigh, "the plan's own figure"
	}
	if q := s.Species.Sap.SugarPercent; q != nil {
		return q.Low, q.High, q.Source.String()
	}
	return 0, 0, ""
}

// roughRange writes a range to two digits: nothing finer is known.
func roughRange(lo, hi float64) string {
	a, b := rough(lo), rough(hi)
	if a == b {
		return a
	}
	return a + " to " + b
}

// rough writes a figure to two digits, with spaces between thousands.
func rough(x float64) string {
	if x <= 0 {
		return "0"
	}
	digits := 1 - int(math.Floor(math.Log10(x)))
	if x < 1 {
		digits-- // a digit less below one
	}
	step := math.Pow(10, -float64(digits))
	text := fmt.Sprintf("%.*f", max(digits, 0), math.Round(x/step)*step)
	if i := strings.IndexByte(text, '.'); i < 0 && len(text) > 4 {
		text = text[:len(text)-3] + " " + text[len(text)-3:]
	}
	return text
}
