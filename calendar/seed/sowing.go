package seed

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// sowing is when a species is sown, and why then.
type sowing struct {
	on     civil.Date
	reason string // a sentence
	frost  bool   // worked out from the site's last frost
	own    bool   // the plan's owner set the date
	line   int    // the line of the plan that did
}

// sowingAfter returns the first sowing date after a day.
func (w *Work) sowingAfter(sp *phenology.Species, after civil.Date) sowing {
	opt := w.Place.Options.Seed
	rule, has := opt.SowingOf[sp.ID]
	var s sowing
	date := opt.Sowing
	switch {
	case has && !rule.Second:
		date, s.own, s.line = rule.On, true, rule.Line
		s.reason = "The plan's sowing date for this species."
	case opt.FrostRisk > 0:
		if frost, text, ok := w.frost(after.Year()); ok {
			date, s.frost, s.reason = frost, true, text
			break
		}
		date = w.defaultSowing()
		s.reason = "The usual sowing date, since the last frost is not known here; set activities.seed-collection.sowing to your own."
	case opt.SowingSet:
		s.own, s.line, s.reason = true, opt.SowingLine, "The plan's sowing date."
	default:
		date = w.defaultSowing()
		s.reason = "The usual sowing date; set activities.seed-collection.sowing to your own, or to last-frost."
	}
	if s.on = date.In(after.Year()); s.on <= after {
		s.on = date.In(after.Year() + 1)
	}
	if has && rule.Second {
		s.on = yearLater(s.on)
		s.reason = "In the second spring, as the plan has it for this species. " + s.reason
	}
	return s
}

// defaultSowing is the sowing date of a plan that names none, half a year later in the south.
func (w *Work) defaultSowing() civil.MonthDay {
	date := calendar.DefaultOptions().Seed.Sowing
	if w.Place.Site().Southern() {
		date = civil.MonthDayOf(date.YearDay() + 182)
	}
	return date
}

// frost returns the first day after which a frost is no likelier than the plan allows, and says what it rests on.
func (w *Work) frost(year int) (civil.MonthDay, string, bool) {
	risk := w.Place.Options.Seed.FrostRisk
	if w.Place.Outlook.Temps == nil {
		w.Note(fmt.Sprintf("no last frost to sow by: there is neither a record of temperatures nor normals; the usual date stands in"))
		return civil.MonthDay{}, "", false
	}
	f, err := w.Place.Outlook.Temps.LastFrost()
	if err != nil {
		w.Note(fmt.Sprintf("no last frost to sow by: %v; the usual date stands in", err))
		return civil.MonthDay{}, "", false
	}
	season := phenology.Season{Year: year, Southern: w.Place.Site().Southern()}
	on := season.Date(f.Day(risk))
	what := "springs on record"
	if f.Drawn {
		what = "springs drawn from monthly normals"
	}
	text := fmt.Sprintf("After %s a frost (0 °C or below in the shelter) still comes with %s; half of the last frosts are over by %s (%d %s, standard deviation %.0f days; normal distribution, after Thom and Shaw 1958). Beds on low ground freeze later.",
		phrase.ShortDate(on), phrase.Percent(f.After(season.Day(on).End())), phrase.ShortDate(season.Nearest(f.Mean)), f.Years, what, f.SD)
	return civil.MonthDay{Month: on.Month(), Day: on.Day()}, text, true
}
