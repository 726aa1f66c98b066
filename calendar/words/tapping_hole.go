package words

import (
	"fmt"

	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// holeDays says how long a hole is taken to run.
func holeDays(h tapping.Hole, as phrase.Speech) string {
	age := fmt.Sprintf("flows well %d days, half at %d, dry at %d", h.Well, h.Half, h.Dry)
	warmth := fmt.Sprintf("half at %s degree-days above %s", as.DegreeDays(float64(h.HalfWarmth)),
		as.Settings(phenology.HoleWarmthBase))
	switch h.Share {
	case 0:
		return fmt.Sprintf("Assumes a taphole dries by age: %s (%s", age, h.Collection)
	case 1:
		return fmt.Sprintf("Assumes a taphole dries by warmth: %s (%s", warmth, h.Collection)
	}
	return fmt.Sprintf("Assumes a taphole dries %s by warmth, the rest by age. By age alone it %s; by warmth alone, %s (%s",
		share(h.Share), age, warmth, h.Collection)
}

// HoleLife says how long a hole is taken to run, and on whose word.
func HoleLife(h tapping.Hole, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.holeLife(h)
	}
	return holeDays(h, as) + "; growers' experience, from memory, and one season of fifty buckets, Whately 2013). Yours differ? " +
		"Set taphole_life and drying_by_warmth in the plan."
}

// holesTapped says how holes that are drilled go on.
func holesTapped(f *tapping.TapFacts) string {
	text := "Tapped " + phrase.ShortDate(f.TapDay.Or(f.AsOf)) + "."
	if h := f.Fading; h != nil {
		text += fmt.Sprintf(" Assumes good flow to %s, half by %s, dry by %s (%s).", phrase.ShortDate(h.Well),
			phrase.ShortDate(h.Half), phrase.ShortDate(h.Dry), f.Hole.Collection)
	}
	return text
}

// HoleExtremes says what the day to begin would be if holes dried by age or by warmth alone, and whether that decides;
// nothing where there is nothing to decide.
func HoleExtremes(x *tapping.Extremes, as phrase.Speech) string {
	if isFrench(as) {
		return inFrench{as}.holeExtremes(x)
	}
	if x == nil {
		return ""
	}
	age, warmth := phrase.ShortDate(x.ByAge), phrase.ShortDate(x.ByWarmth)
	if !x.Decide {
		return fmt.Sprintf("Whether holes dry by age or by warmth hardly matters to the day: %s by age alone, %s by "+
			"warmth alone.", age, warmth)
	}
	return fmt.Sprintf("How holes dry decides the day: %s if by age alone, %s if by warmth alone; to go by the wrong "+
		"one costs %s of run days. What your own holes did settles it.",
		age, warmth, share(x.Cost))
}
