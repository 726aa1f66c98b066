package words

import (
	"fmt"
	"strings"

	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

// sowingReason says why a species is sown on its day.
func sowingReason(s *seed.Sowing, as phrase.Speech) string {
	text := map[seed.By]string{
		seed.ByPlanForSpecies: "The plan's sowing date for this species, " + phrase.LongDate(s.On) + ".",
		seed.ByPlan:           "The plan's sowing date, " + phrase.LongDate(s.On) + ".",
		seed.ByUsual: "The usual sowing date; set activities.seed-collection.sowing to your own, " +
			"or to last-frost.",
		seed.ByNoFrost: "The usual sowing date, since the last frost is not known here; " +
			"set activities.seed-collection.sowing to your own.",
	}[s.By]
	if s.Frost != nil {
		text = fmt.Sprintf("Frost kills seedlings, not seed in the ground, and they come up %d days "+
			"after sowing or later. ",
			seed.GerminateFrom) + frostAfter(s.Frost, as)
	}
	if s.SecondSpring {
		text = "In the second spring, as the plan has it for this species. " + text
	}
	return text
}

func frostAfter(f *seed.Frost, as phrase.Speech) string {
	what := "springs on record"
	if f.Drawn {
		what = "springs drawn from " + normals(f.BuiltIn)
	}
	return fmt.Sprintf("%s chance of frost after %s (%s or below in the shelter). Half of the last frosts are over "+
		"by %s (%d %s, standard deviation %d days; normal distribution, after Thom and Shaw 1958). Beds on low "+
		"ground freeze later.",
		phrase.Percent(float64(f.Still)), phrase.ShortDate(f.After), as.Settings(0),
		phrase.ShortDate(f.Half), f.Years, what, f.SD)
}

// tooEarly says by how many days a sowing date is too early for any treatment.
func tooEarly(s *seed.Shortfall) string {
	var least []string
	for _, step := range s.How.Steps {
		if step.Kind == phenology.WarmStratify || step.Kind == phenology.ColdStratify {
			least = append(least, fmt.Sprintf("%s %d", step.Kind, step.MinDays))
		}
	}
	return fmt.Sprintf("sowing %s on %s leaves %s after its seed is ready, on %s, and it needs at least %d (%s): %s "+
		"short; the last good start for that date is %s",
		s.Species.Name(), phrase.LongDate(s.Wanted), phrase.Count(max(0, int(s.Wanted-s.Ready)), "day"),
		phrase.LongDate(s.Ready), s.Needs, strings.Join(least, ", then "),
		phrase.Count(int(s.Earliest()-s.Wanted), "day"), phrase.LongDate(s.LastStart()))
}

// putOff says to when a sowing is put off, and why.
func putOff(s *seed.Shortfall) string {
	text := "Put off to another spring, since " + tooEarly(s)
	if s.ByDays() {
		text = "Put off to " + phrase.LongDate(s.Sown) + ", since " + tooEarly(s)
	}
	if s.CannotWait() {
		text += ", and its seed cannot wait for another spring"
	}
	return text + "."
}

// SowingHint says what to write into the plan so that a sowing need not be put off.
func SowingHint(s *seed.Shortfall) string {
	return fmt.Sprintf("sow it on %s or later, or in the second spring: "+
		"activities.seed-collection.sowing_of: {%s: second-spring}", s.Earliest().Format("01-02"), s.Species.ID)
}

// seedNote says a note of seed work; "" if it is another's.
func seedNote(says any, as phrase.Speech) string {
	// at puts the stand, where there is one, before what is said of it.
	at := func(stand, format string, args ...any) string {
		if stand != "" {
			stand += ": "
		}
		return stand + fmt.Sprintf(format, args...)
	}
	switch n := says.(type) {
	case seed.NoDates:
		why := Lack(n.Lack, as)
		if n.After != phenology.FruitRipe {
			why = "its ripening is counted from " + n.After.String() + ", and " + why
		}
		return at(n.Stand, "no collection dates for %s: %s", n.Species.Name(), why)
	case seed.TooFar:
		return at(n.Stand, "no collection dates for %s: %s outside its range; %s is as far as dates are carried",
			n.Species.Name(), as.Way(float64(n.KM)), as.Way(seed.ReachKM))
	case *seed.AllTooFar:
		return fmt.Sprintf("no collection dates for %s, whose range ends more than %s away",
			phrase.Join(each(n.Species, (*phenology.Species).Name)), as.Way(seed.ReachKM))
	case seed.OutsideRange:
		return at(n.Stand, "%s: %s outside its range; its dates are widened, and it may set no good seed here",
			n.Species.Name(), as.Way(float64(n.KM)))
	case seed.NothingToCollect:
		return at(n.Stand, "no %s collection in %d: you found no crop on %s",
			n.Species.Name(), n.Season, phrase.LongDate(n.Scouted))
	case *seed.Short:
		return short(n.Need, as)
	case seed.Shortfall:
		return tooEarly(&n) + "; it is put off to " + phrase.LongDate(n.Sown)
	case seed.NoFrost:
		why := "there is neither a record of temperatures nor normals"
		if n.Record {
			why = n.Found.Error()
		}
		return "no last frost to sow by: " + why + "; the usual date stands in"
	}
	return ""
}
