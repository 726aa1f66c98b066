package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

// sayFollowing says what follows a collection.
func sayFollowing(t *Text, e *calendar.Entry, f seed.Facts) {
	sp, best := e.Species[0], weekday(e.Best)
	days := phrase.ShortDate(e.Window.First) + " to " + phrase.ShortDate(e.Window.Last)
	switch f := f.(type) {
	case *seed.Cleaning:
		t.Verdict = "Clean the seed as it comes in, " + days + ": heaps heat and mold."
		sayCleaning(t, sp, f)
	case *seed.Store:
		t.Verdict = "Store the seed, " + days + "; it waits until " + phrase.ShortDate(f.Until) + "."
		if f.Stratifies != nil {
			t.Verdict = "Store the seed moist and cold, " + days + ", until it is sown, " +
				phrase.ShortDate(f.Until) + "."
		}
		sayStore(t, sp, f)
	case *seed.Test:
		t.Verdict = "Test a sample, " + days + ", before " + phrase.ShortDate(f.Before) + "."
		sayTest(t, sp, f)
	case *seed.Sprouting:
		t.Verdict = "Look for roots every week, " + days + "."
		saySprouting(t, sp, f)
	case *seed.Stratification:
		by, s := e.Window.Last, f.Begins()
		if f.LastStart != 0 {
			by = f.LastStart
		}
		t.Verdict = fmt.Sprintf("Begin %s, best %s, by %s at the latest: %d days %s and moist%s.",
			phrase.ShortDate(e.Window.First), best, phrase.ShortDate(by), s.Days, s.Kind, degreesOf(*s.Of, t.as))
		sayStratification(t, f)
	case *seed.Sow:
		t.Verdict = "Sow between " + phrase.ShortDate(e.Window.First) + " and " + phrase.ShortDate(e.Window.Last) +
			", best " + best + "."
		saySow(t, sp, f)
	case *seed.Germination:
		t.Verdict = "Count what has come up, " + days + ", best " + best + "."
		sayGermination(t, f)
	}
}

func sayCleaning(t *Text, sp *phenology.Species, f *seed.Cleaning) {
	t.reason("From the day after each collection; seed in heaps heats and molds.")
	if f.Days > 0 {
		t.reason("It takes about %s.", phrase.Count(f.Days, "day"))
	}
	for _, p := range sp.Seed.Processing {
		text := phrase.Sentence(t.as.Measures(p.Text))
		if p.MaxDays > 0 {
			text = strings.TrimSuffix(text, ".") + " (" + phrase.Days(p.MinDays, p.MaxDays) + ")."
		}
		t.sight("%s", text)
		t.Sources = cite(t.Sources, p.Source)
	}
	if q := sp.Seed.SeedsPerKg; q != nil {
		t.sight("Weigh it: %s (%s).", seedsWeigh(q, t.as), q.Source)
	}
}

// seedsWeigh says how many seeds weigh how much. Of a pound they are told to two figures.
func seedsWeigh(q *phenology.Quantity, as phrase.Speech) string {
	if as.Units != phrase.US {
		return phrase.Thousands(q.Low, q.High) + " cleaned seeds go to a kilogram"
	}
	_, kg := as.Weight()
	text := Figure(q.Low * kg)
	if q.High > q.Low {
		text += " to " + Figure(q.High*kg)
	}
	return text + " cleaned seeds go to a pound"
}

func sayStore(t *Text, sp *phenology.Species, f *seed.Store) {
	if f.Stratifies == nil {
		t.reason("Its seed %s; it waits until %s.", keeps[sp.Seed.Storage], phrase.LongDate(f.Until))
	} else {
		sayMoistStore(t, sp, f)
	}
	if k := sp.Seed.Keep; k != nil {
		t.sight("Keep it %s.", t.as.Measures(strings.TrimSuffix(k.Text, ".")))
		t.Sources = cite(t.Sources, k.Source)
	}
	t.sight("Label inside and out: species, stand, seed zone, date, weight; keep lots apart.")
	t.Sources = cite(t.Sources, sp.Seed.StorageSource)
}

func sayStratification(t *Text, f *seed.Stratification) {
	s := f.Begins()
	long := ""
	if s.Of.MinDays < s.Of.MaxDays {
		long = fmt.Sprintf(", %d of them here", s.Days)
	}
	t.reason("%s%s, ready to sow on %s.",
		phrase.Capital(treatmentStep(*s.Of, t.as)), long, phrase.LongDate(f.Sowing.On))
	t.reason("%s", sowingReason(f.Sowing, t.as))
	if f.LastStart != 0 {
		t.reason("The last good start is %s, %d days before.", phrase.LongDate(f.LastStart), f.Least())
	}
	if f.Treatment.Squeezed {
		t.reason("There is not time for the middle of the range: the steps are shortened towards their least.")
	}
	if f.Late != nil {
		t.reason("%s", putOff(f.Late))
	}
	if f.Step == 1 {
		t.LookFor = append(stepsBefore(f.Treatment, t.as), treatmentNote(f.Treatment.How, t.as)...)
		t.sight("Seed moist, not wet, in a bag or box that lets air through; look for mold and early roots " +
			"every week or two.")
	}
	t.Sources = cite(t.Sources, f.Treatment.How.Source)
}

func saySow(t *Text, sp *phenology.Species, f *seed.Sow) {
	how := f.Treatment.How
	switch f.How {
	case seed.AtOnce:
		t.reason("Its seed %s, and needs no pre-treatment: sow within days of collecting.", keeps[sp.Seed.Storage])
		t.LookFor = treatmentNote(how, t.as)
	case seed.Sprouted:
		t.reason("It was found with roots in the store: what has sprouted dies when it dries, and roots break.")
		t.sight("Sow with the roots downward, or prick out one by one; keep from frost.")
	case seed.ForWinter:
		t.reason("%s", sowingReason(f.Sowing, t.as))
		if seed.Has(how.Steps, phenology.WarmStratify) {
			t.reason("It wants warmth before cold: sown now, most of it comes up in the second spring.")
		} else if seed.Has(how.Steps, phenology.ColdStratify) {
			t.reason("The winter in the bed takes the place of: %s.", phrase.Uncapital(Treatment(how, t.as)))
		}
		t.sight("Cover with mesh against mice and squirrels, and mulch against frost heave.")
	default:
		t.reason("%s", sowingReason(f.Sowing, t.as))
		if f.Late != nil {
			t.reason("%s", putOff(f.Late))
		}
		if len(f.Treatment.Steps) == 0 {
			t.LookFor = append(treatmentNote(how, t.as), stepsBefore(f.Treatment, t.as)...)
		}
	}
	t.Sources = citations(how.Source, sp.Seed.StorageSource)
}

func sayGermination(t *Text, f *seed.Germination) {
	if f.Wintered {
		t.reason("Sown in autumn, it comes up in spring (common practice, no source).")
	} else {
		t.reason("%d to %d days after sowing (common practice, no source).", seed.GerminateFrom, seed.GerminateUntil)
	}
	t.sight("Count what has come up on a marked length of bed, against what was sown. The rest may come in the " +
		"second spring: do not dig it over.")
	t.Sources = citations(phenology.CommonPractice)
}

func treatmentNote(how *phenology.Pretreatment, as phrase.Speech) []string {
	if how.Note == "" {
		return nil
	}
	return []string{phrase.Sentence(as.Measures(how.Note))}
}

func stepsBefore(f *seed.Treatment, as phrase.Speech) (list []string) {
	for _, before := range f.Before {
		list = append(list, "First "+treatmentStep(before, as)+".")
	}
	return list
}

// Treatment says a pre-treatment; "" if it has no steps.
func Treatment(p *phenology.Pretreatment, as phrase.Speech) string {
	steps := each(p.Steps, func(s phenology.TreatmentStep) string { return treatmentStep(s, as) })
	return phrase.Capital(strings.Join(steps, ", then "))
}

func treatmentStep(s phenology.TreatmentStep, as phrase.Speech) string {
	var text string
	switch s.Kind {
	case phenology.WarmStratify, phenology.ColdStratify:
		text = string(s.Kind) + " moist stratification"
	case phenology.Scarify:
		text = "scarify the seed coat"
	default:
		text = string(s.Kind)
	}
	if s.MaxDays > 0 {
		text += " for " + phrase.Days(s.MinDays, s.MaxDays)
	}
	return text + degreesOf(s, as)
}

// degreesOf says at which temperature a step of a treatment is kept; "" where none is known.
func degreesOf(s phenology.TreatmentStep, as phrase.Speech) string {
	if s.LowC == 0 && s.HighC == 0 {
		return ""
	}
	return " at " + as.Settings(s.LowC, s.HighC)
}
