package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// The usual cautions of tapping. All are common practice, no source; none replaces local rules or a licensed
// professional.
var (
	tapCautions = ofNone(
		"Tap only with the landowner's leave and by your local guidelines; "+
			"leave stressed, damaged or small trees alone.",
		"Use food-grade spouts, buckets and tubing; old galvanized or soldered gear can put lead in syrup.",
		"Watch for ice underfoot, hung-up limbs overhead, and the drill: work in pairs on steep ground.",
	)
	boilCautions = ofNone(
		"Boiling sap and syrup scald: keep children back, never leave the pan, mind the foam.",
		"Boil outdoors or in a vented sugarhouse: steam and carbon monoxide build up inside a closed room.",
		"Keep sap cold and boil it within days; spoiled sap is thrown away.",
	)
	pullCautions = ofNone(
		"Rinse with hot water only, or as your local guidelines say; cleaners must be food-safe and rinsed out.",
		"Wet spring ground, ice and loose limbs: mind your footing and look up.",
	)
)

// SapCautions are the cautions of a whole season of a species' sap.
func SapCautions(sp *phenology.Species, as phrase.Speech) []Caution {
	if isFrench(as) {
		return inFrench{as}.sapCautions(sp)
	}
	return slices.Concat(tapCautions, boilCautions, speciesCautions(sp, calendar.Tapping))
}

// cautionsFor returns the usual cautions of a task of tapping and those of some species.
func cautionsFor(usual []Caution, species []*phenology.Species) []Caution {
	list := slices.Clip(usual)
	for _, sp := range species {
		list = append(list, speciesCautions(sp, calendar.Tapping)...)
	}
	return list
}

// tappingCautions are the cautions of an entry of tapping.
func tappingCautions(e *calendar.Entry) []Caution {
	if isFrench(e.Speech) {
		return inFrench{e.Speech}.cautions(e)
	}
	switch e.Task {
	case calendar.TaskTap:
		return cautionsFor(tapCautions, e.Species)
	case calendar.TaskRun, calendar.TaskGather:
		return cautionsFor(boilCautions, e.Species)
	case calendar.TaskLast:
		return boilCautions
	default:
		return pullCautions
	}
}

// TapGuidance is how to tap a species: sound trees, where and how deep. Figures are from the extension sheets and
// studies named.
func TapGuidance(sp *phenology.Species, rule calendar.TapsByDiameter, as phrase.Speech) []string {
	if isFrench(as) {
		return inFrench{as}.tapGuidance(sp, rule)
	}
	if sp.Sap.Run.Drive == phenology.RootPressure {
		return []string{
			"Sound trees at least 20 cm (8 in) across at breast height; one tap a year, and rest the tree in other " +
				"years: birches wall off wounds poorly (growers' practice).",
			"Clean, sharp bit; hole about 8 mm (5/16 in) wide and 4 cm (1.5 in) deep, sloping slightly up (from " +
				"memory). Defer to local guidelines.",
		}
	}
	trees := "Sound trees at least 30 cm (12 in) across at breast height. One tap up to 45 cm (18 in), two above, " +
		"never three (the careful guideline; University of Vermont studies)."
	if rule == calendar.TraditionalTaps {
		trees = "By the traditional rule that the plan asks for: one tap from 25 cm (10 in), two from 38 cm (15 " +
			"in), three from 50 cm (20 in), four from 64 cm (25 in). Studies no longer recommend it: the careful " +
			"rule is one from 30 cm, two from 45 cm."
	}
	return []string{
		trees,
		"Clean, sharp bit. Hole 8 mm (5/16 in) wide and 4 to 5 cm (1.5 to 2 in) deep in white, sound wood, sloping " +
			"slightly up. Keep 5 to 10 cm (2 to 4 in) to the side of old holes and 15 to 30 cm (6 to 12 in) above or " +
			"below (University of Vermont, as extension sheets tell it). Defer to local guidelines.",
	}
}

// SapQuantities say, roughly, what a season of a species brings; nothing where the sugar of its sap is not known.
func SapQuantities(sp *phenology.Species, q *tapping.Quantities, as phrase.Speech) []string {
	if isFrench(as) {
		return inFrench{as}.sapQuantities(sp, q)
	}
	if q == nil {
		return nil
	}
	syrup, more := "syrup", ""
	if sp.Sap.Run.Drive == phenology.RootPressure {
		syrup, more = "maple-like syrup", ", more by growers' account"
	}
	source := "the plan's own figure"
	if !q.SugarOwn {
		source = sp.Sap.SugarPercent.Source.String()
	}
	list := []string{fmt.Sprintf("At %s %% sugar, a liter of %s takes about %s liters of sap%s (rule of %d; sugar: %s).",
		phrase.Range(q.Sugar.Low, q.Sugar.High, 1), syrup, phrase.Range(q.PerSyrup.Low, q.PerSyrup.High, 0),
		more, tapping.SugarRule, source)}
	if q.Sap == nil {
		return list
	}
	how := "by gravity"
	if q.Collection == calendar.Vacuum {
		how = "under vacuum, taken as twice what gravity gives"
	}
	what := "A tap"
	if q.Taps > 0 {
		what = phrase.Count(q.Taps, "tap")
		if q.Shared {
			what += ", if all " + sp.Name()
		}
	}
	return append(list, fmt.Sprintf("%s: very roughly %s of sap in a season %s. That makes %s of syrup. Trees and seasons "+
		"differ even more (%s).",
		what, litres(*q.Sap), how, litres(*q.Syrup), sp.Sap.PerTap.Source))
}

// litres writes a run of litres, and what it is in the measure of the United States.
func litres(r tapping.Range) string {
	return fmt.Sprintf("%s liters (%s US gallons)", roughRange(r.Low, r.High),
		roughRange(r.Low/calendar.LitresPerGallon, r.High/calendar.LitresPerGallon))
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
