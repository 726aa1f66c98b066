package words

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// sayTapping says the details of an entry of tapping.
func sayTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	switch f := facts.(type) {
	case *tapping.TapFacts:
		t.tap(e, f)
	case *tapping.RunFacts:
		t.run(e, f)
	case *tapping.SeasonFacts:
		t.sapSeason(e, f)
	}
}

// briefTapping says what a line of an entry of tapping shows.
func briefTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	name := e.Species[0].Name()
	switch e.Task {
	case calendar.TaskTap:
		t.Summary = "Tap " + name
		if e.State == calendar.Done {
			t.Basis = "the plan says that it is done"
		}
	case calendar.TaskRun:
		var size tapping.RunSize
		switch f := facts.(type) {
		case *tapping.RunFacts:
			size = f.Size
		case tapping.Line:
			size = f.Size
		}
		t.Summary = phrase.Capital(RunSize(size, "run")) + " of sap"
		t.Basis = "the forecast"
		if e.State == calendar.Observed {
			t.Basis = "the temperatures of these days"
		}
	case calendar.TaskGather:
		t.Summary = "Gather and boil " + name + " sap"
	case calendar.TaskLast:
		t.Summary = "Last runs of " + name + " sap"
	case calendar.TaskPull:
		t.Summary = "Pull the taps and clean, " + name
	}
}

// tap says the tapping itself.
func (t *Text) tap(e *calendar.Entry, f *tapping.TapFacts) {
	sp := e.Species[0]
	switch f.Advice {
	case tapping.Tapped:
		t.ChanceOf = "the plan says so"
		t.Reasons = []string{TapVerdict(f)}
		t.LookFor = []string{"Spouts that leak or lines that sag; squirrels chew tubing."}
		return
	case tapping.NoRecord:
		t.ChanceOf = "that sap has not yet run in earnest"
		t.Reasons = []string{
			fmt.Sprintf("From the place alone sap starts between %s and %s, eight years in ten: a window of %s, too "+
				"wide to drill by, so that no alarm rings.",
				phrase.ShortDate(f.Start.P10), phrase.ShortDate(f.Start.P90),
				phrase.Count(int(f.Start.P90-f.Start.P10), "day")),
			"A daily record of temperatures from a station near by, ten years or more, would narrow this to the " +
				"days that matter; watch the forecast until then.",
		}
		t.LookFor = append([]string{"Nights below freezing and days above it in the forecast."},
			TapGuidance(sp, f.Rule)...)
	default:
		t.ChanceOf = "that " + WellTimed
		t.Reasons = []string{TapVerdict(f)}
		if days := f.DaysToTap; days > 1 {
			t.Reasons = append(t.Reasons, fmt.Sprintf("The job takes %s: begun on %s, it is done on %s.",
				phrase.Count(days, "day"),
				phrase.ShortDate(e.Best), phrase.ShortDate(addDays(e.Best, days-1))))
		}
		if f.Advice != tapping.TooLate { // else nothing is left to be priced
			t.Reasons = append(t.Reasons, TapPrice(f, true))
		}
		t.Reasons = append(t.Reasons, HoleLife(f.Hole), RunDay(sp.Sap.Run))
		t.Reasons = append(t.Reasons, ForecastDoubts(f.Doubts)...)
		t.LookFor = []string{"Nights below freezing and days above it in the forecast."}
		if sp.Sap.Run.Drive == phenology.RootPressure {
			t.LookFor[0] = "Thawed soil and nights above freezing; a pricked twig that drips."
		}
		t.LookFor = append(t.LookFor, TapGuidance(sp, f.Rule)...)
	}
	t.Sources = citations(append(slices.Clone(f.Sources), sp.Sap.Run.Source)...)
	for _, r := range e.Reminders {
		if r.Kind == tapping.RingSoon {
			t.Reminders = append(t.Reminders, fmt.Sprintf("%s: tap soon, best %s", t.Summary, phrase.LongDate(e.Best)))
		} else {
			t.Reminders = append(t.Reminders, t.Summary+": tap now")
		}
	}
}

// run says one run.
func (t *Text) run(e *calendar.Entry, f *tapping.RunFacts) {
	rule := e.Species[0].Sap.Run
	t.ChanceOf = "that sap runs that day, errors of the forecast allowed for"
	if f.Over {
		t.ChanceOf = "these days had the freeze and thaw of a run; how much came, the buckets know"
		if rule.Drive == phenology.RootPressure {
			t.ChanceOf = "these days and nights were as warm as a run needs; how much came, the buckets know"
		}
	}
	t.Reasons = append([]string{runDays(&f.Run), runSize(&f.Run), RunDay(rule)}, ForecastDoubts(f.Doubts)...)
	t.LookFor = []string{"Buckets and tanks empty, lines tight, the pan and wood ready."}
	t.Sources = citations(rule.Source)
	t.remind(e, t.Summary+" ahead, "+phrase.Span(f.Span))
}

// sapSeason says the gathering, the last runs or the pulling of the taps.
func (t *Text) sapSeason(e *calendar.Entry, f *tapping.SeasonFacts) {
	sp := e.Species[0]
	reminder := ""
	switch e.Task {
	case calendar.TaskGather:
		t.ChanceOf = "that the season is on"
		t.Reasons = []string{fmt.Sprintf("Sap starts to run in earnest between %s and %s and ends between %s and "+
			"%s, eight years in ten.",
			phrase.ShortDate(f.Start.P10), phrase.ShortDate(f.Start.P90), phrase.ShortDate(f.End.P10),
			phrase.ShortDate(f.End.P90))}
		if n := f.RunDays; n != nil {
			t.Reasons = append(t.Reasons, fmt.Sprintf("Run days to bud swell: %.0f in the middle year, %.0f to %.0f "+
				"in eight years of ten. %s",
				n.P50, n.P10, n.P90, RunDay(sp.Sap.Run)))
		}
		t.Reasons = append(append(t.Reasons, SapEnd(sp, f)), SapQuantities(sp, f.Quantities)...)
		t.LookFor = []string{"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils."}
	case calendar.TaskLast:
		t.ChanceOf = "that the last good sap has run by then"
		if f.HolesEnd {
			t.ChanceOf = "that sap is still good when the holes dry"
		}
		t.Reasons = []string{SapEnd(sp, f)}
		t.LookFor = []string{"Swelling buds; cloudy or yellowing sap; taste a boiled cupful before firing the pan."}
		reminder = t.Summary + " from now on"
	case calendar.TaskPull:
		t.ChanceOf = "that the last good sap has run"
		if f.HolesEnd {
			t.ChanceOf = "that the holes are dry or the last good sap has run, if holes last as supposed"
		}
		t.Reasons = []string{SapEnd(sp, f), "One hole a season: pull every spout so that the tree can close it, and " +
			"do not plug it. Drilling anew in a season wounds the tree twice; common guidance is against it."}
		t.LookFor = []string{"Swelling buds, cloudy sap, an off smell from the pan."}
	}
	t.Sources = citations(f.Sources...)
	t.remind(e, reminder)
}

// tappingNote says a note of tapping.
func tappingNote(n tapping.NoDates) string {
	return fmt.Sprintf("no tapping dates for %s: %s", n.Species.Name(), Lack(n.Lack))
}
