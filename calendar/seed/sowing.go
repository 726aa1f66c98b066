package seed

import (
	"errors"
	"math"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// Sowing is when a species is sown, and why then.
type Sowing struct {
	On           civil.Date `json:"on"`
	By           By         `json:"by"`
	Frost        *Frost     `json:"last_frost,omitempty"`    // if it is what sowing goes by
	SecondSpring bool       `json:"second_spring,omitempty"` // a year later than the rest, as the plan has it

	line int // the line of the plan that set the date
}

// By is what a sowing date goes by.
type By string

// What a sowing date goes by.
const (
	ByPlanForSpecies By = "plan-for-species"   // the plan's date for this species
	ByPlan           By = "plan"               // the plan's date
	ByFrost          By = "last-frost"         // the last frost of spring
	ByNoFrost        By = "usual-for-no-frost" // the usual date: the last frost, which was wanted, is not known
	ByUsual          By = "usual"              // the usual date: the plan sets none
)

// own reports whether the plan's owner set the date.
func (s *Sowing) own() bool { return s.By == ByPlanForSpecies || s.By == ByPlan }

// Frost is how likely a frost, 0 °C or below in the shelter, still comes after a day: a normal distribution of the last
// frosts, after Thom and Shaw (1958).
type Frost struct {
	After civil.Date      `json:"after"`
	Still calendar.Chance `json:"still"`        // that one comes after that day
	Half  civil.Date      `json:"half_over_by"` // the mean day of the last frost
	SD    int             `json:"sd_days"`
	Years int             `json:"springs"`
	Drawn bool            `json:"drawn_from_normals,omitempty"` // the springs are

	BuiltIn bool `json:"built_in,omitempty"` // the normals are those of the built-in climate
}

// sowingAfter returns the first sowing date after a day.
func (w *Work) sowingAfter(sp *phenology.Species, after civil.Date) Sowing {
	opt := w.Place.Options.Seed
	rule, has := opt.SowingOf[sp.ID]
	s := Sowing{SecondSpring: has && rule.Second}
	date := opt.Sowing
	switch {
	case has && !rule.Second:
		date, s.By, s.line = rule.On, ByPlanForSpecies, rule.Line
	case opt.FrostRisk > 0:
		if s.Frost = w.frost(after.Year()); s.Frost != nil {
			date, s.By = monthDay(s.Frost.After-GerminateFrom), ByFrost // frost kills seedlings, not seed in the ground
			break
		}
		date, s.By = w.defaultSowing(), ByNoFrost
	case opt.SowingSet:
		s.By, s.line = ByPlan, opt.SowingLine
	default:
		date, s.By = w.defaultSowing(), ByUsual
	}
	if s.On = date.In(after.Year()); s.On <= after {
		s.On = date.In(after.Year() + 1)
	}
	if s.SecondSpring {
		s.On = yearLater(s.On)
	}
	return s
}

func monthDay(d civil.Date) civil.MonthDay { return civil.MonthDay{Month: d.Month(), Day: d.Day()} }

func yearLater(d civil.Date) civil.Date { return monthDay(d).In(d.Year() + 1) }

// defaultSowing is the sowing date of a plan that names none, half a year later in the south.
func (w *Work) defaultSowing() civil.MonthDay {
	date := calendar.DefaultOptions().Seed.Sowing
	if w.Place.Site().Southern() {
		date = civil.MonthDayOf(date.YearDay() + 182)
	}
	return date
}

// frost returns the first day after which a frost is no likelier than the plan allows; nil, and a note, if that cannot
// be told.
func (w *Work) frost(year int) *Frost {
	if w.Place.Outlook.Temps == nil {
		w.Note(NoFrost{})
		return nil
	}
	f, err := w.Place.Outlook.Temps.LastFrost()
	if few, short := errors.AsType[phenology.FewFrosts](err); short {
		w.Note(NoFrost{Record: true, Found: few})
		return nil
	}
	season := phenology.Season{Year: year, Southern: w.Place.Site().Southern()}
	on := season.Date(f.Day(w.Place.Options.Seed.FrostRisk))
	return &Frost{
		After: on, Still: calendar.Chance(f.After(season.Day(on).End())), Half: season.Nearest(f.Mean),
		SD: int(math.RoundToEven(f.SD)), Years: f.Years, Drawn: f.Drawn,
		BuiltIn: w.Place.Outlook.Temps.BuiltIn() > 0,
	}
}

// late puts off a sowing date that is too early for any treatment, and notes that where the plan's owner set the date
// and named the species.
func (f *following) late(sow *Sowing, shortest *Treatment) *Shortfall {
	s := &Shortfall{
		Species: f.sp, How: shortest.How, Wanted: sow.On, Ready: f.ready, Needs: shortest.least, Line: sow.line,
	}
	w := f.w
	s.hold(w.Place.Memory[calendar.UID(w.Plan.FeedID, w.Place.Site().ID, calendar.SeedCollection, []string{f.sp.ID},
		calendar.TaskSow, f.season, f.tell...)].Told[putOff])
	if s.ByDays() {
		sow.On = s.Earliest()
	}
	for sow.On < s.Earliest() {
		sow.On = yearLater(sow.On)
	}
	if s.Sown = sow.On; sow.own() && w.Place.Chosen && w.Plan.Span.Contains(s.Wanted) {
		w.Note(*s)
	}
	return s
}
