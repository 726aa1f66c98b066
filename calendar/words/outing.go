package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/phenology/civil"
)

// briefOuting says what a line of a trip, its rain date or a survey of twigs shows.
func briefOuting(t *Text, facts outing.Facts) {
	switch f := facts.(type) {
	case *outing.Trip:
		themes := []string{sight(f.Theme)}
		for _, see := range f.Also {
			themes = append(themes, sight(see))
		}
		t.Summary = "Trip: " + phrase.Join(themes)
		t.Basis = visitBasis(&f.Visit)
	case *outing.RainDay:
		t.Summary = "Rain date for the trip of " + phrase.ShortDate(f.For)
		t.Basis = visitBasis(&f.Visit)
	case *outing.Survey:
		t.Summary = "Twig survey"
	}
}

// visitBasis says what a visit rests on if that is no date.
func visitBasis(v *outing.Visit) string {
	if v.AllYear {
		return "seen all year"
	}
	return ""
}

// sayOuting says the details of a trip, its rain date or a survey of twigs.
func sayOuting(t *Text, e *calendar.Entry, facts outing.Facts) {
	switch f := facts.(type) {
	case *outing.Trip:
		sayVisit(t, e, &f.Visit)
		if least := f.Lowest(); len(f.Named) > 1 {
			t.ChanceOf = shownBy(least)
		}
		t.Reasons = tripReasons(e, f)
		t.LookFor = append(t.LookFor, care(f.Pairs, f.Care, f.CareMore, e.Speech)...)
		t.remind(e, t.Summary+" on "+weekday(e.Best))
		t.Rain = outing.RainDate(e)
		t.Verdict = goOn(e) + " to see " + strings.TrimPrefix(t.Summary, "Trip: ") + "."
	case *outing.RainDay:
		sayVisit(t, e, &f.Visit)
		t.Verdict = goOn(e) + " if the trip of " + weekday(f.For) + " is rained out."
		t.Reasons = []string{"It stands in for the trip of " + phrase.LongDate(f.For) + ": " + worth(&f.Move) + "."}
	case *outing.Survey:
		saySurvey(t, e, f)
	}
	day := facts.OfDay()
	t.Care = "landowner's leave, ticks, poison ivy, high water, hunting season"
	if day.Ice || e.Activity == calendar.TwigSurvey {
		t.Care = "landowner's leave, ice, early dusk, hunting season"
	}
	t.Kit = OutingKit(day.Kit, e.Activity)
	t.Sources = citations(day.Sources...)
}

// goOn says when an outing is.
func goOn(e *calendar.Entry) string {
	text := "Go on " + weekday(e.Best)
	if e.Hours != (calendar.Hours{}) {
		text += ", " + Hours(e.Hours)
	}
	return text
}

func sayVisit(t *Text, e *calendar.Entry, v *outing.Visit) {
	t.LookFor = Sights(v.Sights)
	t.ChanceOf = shownBy(outing.NamedSight{See: v.Theme, Among: v.Among, Expected: v.Expected})
	if v.Among == 1 {
		t.ChanceOf = "to see " + sightOf(v.Theme, e.Species[0])
	}
}

// shownBy says of what the chance of a sight is.
func shownBy(s outing.NamedSight) string {
	if s.Among == 1 {
		return "that the one species that may shows " + sight(s.See)
	}
	return fmt.Sprintf("that at least one of %d species shows %s, on average %.1f of them", s.Among,
		sight(s.See), s.Expected)
}

// chances says the chance of each sight that a title names; "" where that is one.
func chances(list []outing.NamedSight) string {
	if len(list) < 2 {
		return ""
	}
	said := each(list, func(s outing.NamedSight) string {
		return fmt.Sprintf("%s %s (%d species may, expect %.1f)", sight(s.See), phrase.Percent(float64(s.Chance)),
			s.Among, s.Expected)
	})
	return "The chance of each: " + phrase.Join(said) + ". The trip's is that of the least likely."
}

// tripReasons say why the day was chosen, and what would be lost by moving it.
func tripReasons(e *calendar.Entry, f *outing.Trip) (list []string) {
	switch {
	case f.Clash != "":
		list = append(list,
			fmt.Sprintf("Booked, though %q takes this day; the other trips are chosen around it.", f.Clash))
	case e.State == calendar.Booked:
		list = append(list, "Booked, so the other trips are chosen around it.")
	}
	if text := chances(f.Named); text != "" {
		list = append(list, text)
	}
	if text := Ride(f.Ride); text != "" {
		list = append(list, phrase.Capital(text)+".")
	}
	list = append(list, chosen(f))
	if f.Of > 1 {
		list = append(list, adds(f.Adds))
	}
	list = append(list,
		phrase.Capital(moved("a week earlier", f.Earlier)+"; "+moved("a week later", f.Later))+".",
		phrase.Capital(Sun(f.Conditions))+"; "+Warmth(f.Conditions, e.Speech)+".")
	if text := taken(&f.Taken); text != "" {
		list = append(list, text)
	}
	switch {
	case f.Rain != nil:
		list = append(list, fmt.Sprintf("Rain date %s: %s.", phrase.LongDate(f.Rain.To), worth(f.Rain)))
	case f.RainIn > 0:
		list = append(list, fmt.Sprintf("There is no free day for rain within %s.", phrase.Count(f.RainIn, "day")))
	}
	return list
}

// chosen says from what a trip was chosen, and what all trips show.
func chosen(f *outing.Trip) string {
	free := phrase.Count(f.FreeDays, "free day")
	of := func(shows calendar.Amount) string { return phrase.Percent(float64(shows) / f.Wished) }
	text, trips := fmt.Sprintf("Trip %d of %d, chosen together from what is left of %s.", f.Order, f.Of, free),
		"These trips"
	if f.Of == 1 {
		text, trips = fmt.Sprintf("Chosen from what is left of %s.", free), "This trip"
	}
	text += fmt.Sprintf(" %s should show %s of your wish list", trips, of(f.Shows))
	if f.Weighted {
		text += " by its weights"
	}
	var other []string
	if f.OneLess > 0 {
		other = append(other, fmt.Sprintf("%d would show %s", f.Of-1, of(f.OneLess)))
	}
	if f.OneMore > 0 {
		other = append(other, fmt.Sprintf("%d would show %s", f.Of+1, of(f.OneMore)))
	}
	if len(other) > 0 {
		text += "; " + strings.Join(other, ", ")
	}
	text += "."
	if f.Held > 0 {
		text += " Other days would show a little more, too little for a published day to move."
	}
	return text
}

// adds says what a trip adds to the others.
func adds(list []outing.Add) string {
	const most, least = 4, 0.05 // sights named, and the least that is not nothing in tenths
	var parts []string
	var sum calendar.Amount
	for _, a := range list {
		sum += a.By
		if a.By >= least && len(parts) < most {
			parts = append(parts, fmt.Sprintf("%s %.1f", sight(a.See), a.By))
		}
	}
	text := fmt.Sprintf("It adds %.1f to what the other trips show", sum)
	if len(parts) > 0 {
		text += ": " + strings.Join(parts, ", ")
	}
	return text + "."
}

// moved says what is lost by moving a trip.
func moved(by string, m *outing.Move) string {
	if m == nil {
		return by + " no day is free"
	}
	return fmt.Sprintf("%s (%s) %s", by, m.To.Format("Mon 2 Jan"), worth(m))
}

// worth says what is lost by having a trip on another day.
func worth(m *outing.Move) string {
	switch m.Worth {
	case outing.Less:
		return fmt.Sprintf("shows %.1f less", m.Loss)
	case outing.TooLittle:
		return fmt.Sprintf("shows %.1f more, too little for what is published to move", -m.Loss)
	case outing.Forbidden:
		return fmt.Sprintf("shows %.1f more, though the plan's rules forbid it as a first choice", -m.Loss)
	}
	return "shows as much"
}

func saySurvey(t *Text, e *calendar.Entry, f *outing.Survey) {
	t.ChanceOf = "that all twigs are bare and buds at rest on " + phrase.ShortDate(e.Best)
	t.Verdict = goOn(e) + "."
	best := fmt.Sprintf("On the best day, %s; %s", Sun(f.Conditions), Warmth(f.Conditions, e.Speech))
	if len(f.Nearly) > 0 {
		best += ". Nearly as good: " + phrase.Join(each(f.Nearly, weekday))
	}
	t.Reasons = []string{twigSeason(f), best + "."}
	if text := leftOut(&f.LeftOut, e.Speech); text != "" {
		t.Reasons = append(t.Reasons, "Left out: "+text+".")
	}
	if len(f.Common) > 0 {
		t.LookFor = append(t.LookFor, common(f.Common, e.Speech))
	}
	for _, x := range f.Look {
		if len(x.Traits) > 0 {
			said := each(x.Traits, func(c outing.SheetTrait) string { return Trait(c.Trait, e.Speech) })
			t.LookFor = append(t.LookFor, x.Species.Name()+": "+phrase.Clauses(said))
		}
	}
	t.LookFor = append(t.LookFor, care(f.Pairs, f.Care, f.CareMore, e.Speech)...)
	t.remind(e, t.Summary+" on "+weekday(e.Best))
}

// twigSeason says when the season opens and closes, and what a late autumn or an early spring makes of it.
func twigSeason(f *outing.Survey) string {
	open, shut := f.BareLast, f.SwellFirst
	left := "nothing"
	if days := (civil.Span{First: open.Days.Last, Last: shut.Days.First}); !days.Empty() {
		left = phrase.Span(days)
	}
	between := func(s civil.Span) string {
		return "between " + phrase.ShortDate(s.First) + " and " + phrase.ShortDate(s.Last)
	}
	return fmt.Sprintf("%s is bare last, %s, 8 years in 10. %s swells first, %s. After a late autumn and before an "+
		"early spring, %s is left.",
		phrase.Capital(open.Species.Name()), between(open.Days),
		phrase.Capital(shut.Species.Name()), between(shut.Days), left)
}

// Hours says hours of a day as a clock shows them.
func Hours(h calendar.Hours) string { return phrase.Clock(h.Start) + " to " + phrase.Clock(h.End) }
