package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
)

// Sources of what is said in warnings. Growers' and extension pages as they were read; none is a study.
const (
	heldCold = "Extension sheets, as growers' pages repeat them: hold sap at 38 °F (3 °C) or colder, above 50 °F (10 °C) " +
		"boil at once"
	weeklyLog = "A producer's log of buckets boiled once a week, about 2022 (growers' forum)"
	paleAgain = "La Terre de chez nous, 2024: sap that darkened at 14 to 15 °C was pale again after frost"
	frozenGas = "A producer's account: at 5 to 10 °F (−15 to −12 °C) tank, valve and lines froze"
	coldDrill = "Ontario's producers, 2021: no drilling in deep cold, which splits bark"
	trunkThaw = "University of Vermont, as told to producers: trunks need a day or two of sun to thaw, the south side " +
		"first"
)

// mildEnough is the coldest night, in degrees Celsius, after which holes are drilled.
const mildEnough = -8

// The usual cautions of freeze-ups and warm spells. All are common practice, no source.
var (
	freezeCautions = ofNone(
		"Ice on paths, ladders and tank lids: clear it, and work in pairs on steep ground.",
		"Thaw lines, valves and pumps with warm water or by day: no torch, and no heater left alone.",
		"Full buckets and tanks that are frozen are heavy, and burst: bail them before, do not chop at them.",
	)
	spoiledCaution = ofNone("Do not drink or boil down sap that is ropy, milky or smells: throw it away, and rinse with " +
		"hot water.")
)

// WarningName names a kind of warning.
func WarningName(k tapping.WarningKind, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.warningName(k)
	}
	if k == tapping.FreezeUp {
		return "hard freeze-up"
	}
	return "warm spell"
}

// warning says one warning as an event.
func (t *Text) warning(e *calendar.Entry, f *tapping.WarningFacts) {
	name := phrase.Capital(WarningName(f.Kind, e.Speech))
	sure := phrase.Confidence(e.Probability)
	if !f.Over {
		t.Headline, t.named = name+" "+sure+" "+phrase.Span(e.Window), len(name)
	}
	from := " " + sure + " " + weekday(e.Window.First)
	if f.Measured() {
		from = " since " + weekday(e.Window.First)
	}
	t.Verdict = WarningVerdict(&f.Warning, e.Speech)
	t.Reasons = []string{warningDays(&f.Warning, e.Speech)}
	if f.Kind == tapping.FreezeUp {
		t.ChanceOf = fmt.Sprintf("of a night of %s or colder and a day that stays below freezing",
			e.Speech.Settings(tapping.FreezeUpNight))
		t.Care = "ice underfoot; no flame at frozen lines"
		t.LookFor = []string{"When it thaws: split fittings, lines that stay frozen in the shade, taps that were pushed " +
			"out."}
		t.Reasons = append(t.Reasons, "Do not drill in such cold: bark splits. Wait for nights of "+
			e.Speech.Settings(mildEnough)+" or milder.")
		t.Sources = []string{frozenGas, coldDrill}
		t.remind(e, name+from+": empty tanks and lines")
		return
	}
	t.ChanceOf = fmt.Sprintf("of a day so warm that two of it spoil stored sap (%s degree-days above %s)",
		e.Speech.DegreeDays(tapping.SpoilWarmth), e.Speech.Settings(tapping.SpoilBase))
	t.Care = "boiling sap scalds; throw spoiled sap away"
	t.LookFor = []string{"Cloudy or yellowing sap: boil it at once. Milky, ropy or sour sap: throw it away."}
	t.Reasons = append(t.Reasons, swelling(f.Swell)...)
	t.Sources = []string{heldCold, weeklyLog, paleAgain}
	t.remind(e, name+from+": boil stored sap")
}

// WarningVerdict says what to do about a warning, and by when.
func WarningVerdict(w *tapping.Warning, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.warningVerdict(w)
	}
	eve, from := "by "+phrase.ShortDate(w.Span.First-1), "From then on sap"
	if w.Begun {
		eve, from = "at once", "In such warmth sap"
	}
	switch {
	case w.Kind == tapping.FreezeUp && w.Over:
		return "It froze hard and did not thaw by day. Look for split fittings before the next run."
	case w.Kind == tapping.FreezeUp:
		return fmt.Sprintf("Empty tanks, pumps and buckets %s, open the valves and let the lines drain.", eve)
	case w.Over:
		return "Stored sap spoils in such warmth: taste what is left before you boil it."
	}
	keeps := phrase.Count(w.Keeps, "day")
	if w.Keeps <= 1 {
		keeps = "a day at most"
	}
	return fmt.Sprintf("Boil all stored sap %s. %s keeps %s, unless ice or snow holds it near freezing.", eve, from, keeps)
}

// warningDays lists a warning's days with their temperatures, and how likely each still to come is to be one.
func warningDays(w *tapping.Warning, as phrase.Speech) string {
	var days []string
	for _, d := range w.Days {
		text := phrase.ShortDate(d.Date) + " " + as.Readings(float64(d.Min), float64(d.Max))
		if d.Forecast {
			text += ", " + share(d.Likelihood) + " chance"
		} else {
			text += ", measured"
		}
		days = append(days, text)
	}
	return "Night and day: " + strings.Join(days, "; ") + "."
}

// swelling says whose buds may swell in a warm spell, and that such a spell alone does not end a season.
func swelling(list []tapping.Swelling) (lines []string) {
	for _, s := range list {
		head := "If the forecast holds, the warmth that swells %s buds has come by %s: "
		if s.Come {
			head = "The warmth that swells %s buds came by %s: "
		}
		lines = append(lines, fmt.Sprintf(head+"boil a cupful and taste it before you fire the pan.", s.Species.Name(),
			phrase.ShortDate(s.Day)))
	}
	if lines == nil {
		lines = []string{"Sap may darken in it. Frost after it brings pale sap back: a warm spell alone is not the end."}
	}
	return lines
}

// WarningLine says a warning in one line of many.
func WarningLine(w *tapping.Warning, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.warningLine(w)
	}
	sure := share(w.Likelihood) + " chance"
	switch {
	case w.Over:
		sure = "measured"
	case w.Measured():
		sure = "begun"
	}
	text := fmt.Sprintf("%s %s, %s. %s", phrase.Capital(WarningName(w.Kind, as)), phrase.Span(w.Span), sure,
		WarningVerdict(w, as))
	if len(w.Swell) > 0 && !w.Over {
		text += " " + strings.Join(swelling(w.Swell), " ")
	}
	return text
}

// firstThaw says what is to be known of the run after the first hard thaw.
func firstThaw(is tapping.Thaw, as phrase.Speech) []string {
	list := []string{"The first run worth gathering since the holes are in: walk the lines and wash the tank before it; let " +
		"the first sap rinse the lines."}
	if is.Frozen {
		list = append(list, fmt.Sprintf("The week before it had a mean of %s: trunks thaw first, in a day or two of sun, the "+
			"south side before the north. It may come a day late.", as.Settings(math.Round(float64(is.Before)))))
	}
	return list
}

// warningCautions are what is to be minded in a warning.
func warningCautions(k tapping.WarningKind) []Caution {
	if k == tapping.FreezeUp {
		return freezeCautions
	}
	return slices.Concat(spoiledCaution, boilCautions[:2])
}
