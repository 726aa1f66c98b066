package text

import (
	"encoding/json"
	"io"
	"strconv"

	"treewhen/calendar"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// sapRow is a season of sap as tables have it. Shares are of the season's run days. What is not known, or no longer
// asked, is nil.
type sapRow struct {
	Site     string         `json:"site"`
	SiteName string         `json:"site_name"`
	Species  string         `json:"species"`
	Season   int            `json:"season"`
	Advice   tapping.Advice `json:"advice"`
	Verdict  string         `json:"verdict"`
	Doubts   []string       `json:"doubts"`

	Start sapDates `json:"start"` // of sap
	End   sapDates `json:"end"`   // of sap worth boiling

	// the day to begin drilling, or on which it was or is taken to have been begun
	Tap *civil.Date `json:"tap"`
	// from here to TapLast is as good, within two hundredths of the best share
	TapFirst    *civil.Date  `json:"tap_first"`
	TapLast     *civil.Date  `json:"tap_last"`
	Caught      *json.Number `json:"caught"` // share that holes begun on Tap catch
	WeekEarlier *json.Number `json:"caught_week_earlier"`
	WeekLater   *json.Number `json:"caught_week_later"`
	Waiting     *json.Number `json:"caught_waiting"` // share that the best way of waiting can be expected to catch
	// that way is to begin on the first morning from here on that follows a run day
	RunFrom   *civil.Date  `json:"wait_for_run_from"`
	Gone      *json.Number `json:"gone"`             // share that has run already
	Missed    *json.Number `json:"missed_first_run"` // share of outcomes in which the first run is missed
	WellTimed *json.Number `json:"confidence"`       // that the choice is good
	OfBest    *json.Number `json:"caught_of_best"`   // share of what the best day of each way would catch
	Hours     *json.Number `json:"caught_hours"`     // for which sap can be expected to run into fresh holes
	Dry       *civil.Date  `json:"holes_dry"`        // when holes drilled on Tap give nothing more

	RunDays *sapCounts   `json:"run_days"` // of the season
	Runs    []jsonSapRun `json:"runs"`

	Shares []tapping.DayShare `json:"shares,omitempty"` // what days to begin on catch
	Told   *tapping.Told      `json:"season_told,omitempty"`
	Buds   *tapping.Buds      `json:"buds,omitempty"`
	Book   *jsonBook          `json:"book,omitempty"`

	Warnings []jsonWarning `json:"warnings"` // of the forecast
}

type sapDates struct {
	P10   civil.Date      `json:"p10"`
	P50   civil.Date      `json:"p50"`
	P90   civil.Date      `json:"p90"`
	Basis phenology.Basis `json:"basis"`
	Years int             `json:"years"`
}

type sapCounts struct {
	P10 json.Number `json:"p10"`
	P50 json.Number `json:"p50"`
	P90 json.Number `json:"p90"`
}

type jsonSapRun struct {
	First    civil.Date  `json:"first"`
	Last     civil.Date  `json:"last"`
	Hours    json.Number `json:"hours"`    // for which sap may be expected to run
	Size     string      `json:"size"`     // beside the site's own past runs
	Forecast bool        `json:"forecast"` // a day of it at least
	// that may come into the holes; of a run to come
	Volume *tapping.Volume `json:"sap_litres,omitempty"`
}

type jsonWarning struct {
	First civil.Date `json:"first"`
	Last  civil.Date `json:"last"`
	Says  string     `json:"verdict"`
	tapping.Warning
}

// seasonRow returns an account of a season as tables have it.
func seasonRow(a *tapping.Account) sapRow {
	f := a.Tap
	r := sapRow{
		Site: a.Site.ID, SiteName: a.Site.Name, Species: a.Species.ID, Season: a.Season.Year, Advice: f.Advice,
		Verdict: words.TapVerdict(f, a.Speech),
		Doubts:  orEmpty(words.Doubts(f.Doubts, a.Speech)), Start: datesOf(a.Start), End: datesOf(a.End),
		Runs: []jsonSapRun{}, Shares: a.Shares, Told: a.Gather.Told, Buds: a.Gather.Buds, Book: bookJSON(a.Book),
		Warnings: []jsonWarning{},
	}
	for _, w := range a.Warnings {
		r.Warnings = append(r.Warnings, jsonWarning{w.Span.First, w.Span.Last, words.WarningVerdict(&w, a.Speech), w})
	}
	if day, ok := f.TapDay.Get(); ok {
		r.Tap = &day
	}
	if day, ok := f.Dry.Get(); ok {
		r.Dry = &day
	}
	if p := f.Price; a.Open {
		r.TapFirst, r.TapLast, r.Tap = &p.First, &p.Last, &p.Best
		if from, ok := p.RunFrom.Get(); ok {
			r.RunFrom = &from
		}
		r.Waiting = share(p.Waiting)
		r.Caught, r.WeekEarlier, r.WeekLater = share(p.Caught), share(p.WeekEarlier), share(p.WeekLater)
		r.Gone, r.Missed, r.WellTimed = share(p.Gone), share(p.Missed), share(p.WellTimed)
		hours := whole(float64(p.Hours))
		r.OfBest, r.Hours = share(p.OfHindsight), &hours
	}
	if n := f.RunDays; n != nil {
		r.RunDays = &sapCounts{whole(n.P10), whole(n.P50), whole(n.P90)}
	}
	for _, run := range a.Runs {
		j := jsonSapRun{First: run.Span.First, Last: run.Span.Last, Hours: whole(float64(run.Hours)),
			Size: string(run.Size), Volume: run.Volume}
		for _, d := range run.Days {
			j.Forecast = j.Forecast || d.Forecast
		}
		r.Runs = append(r.Runs, j)
	}
	return r
}

func datesOf(e phenology.Estimate) sapDates {
	return sapDates{e.P10(), e.P50(), e.P90(), e.Basis, e.Years}
}

func share(p tapping.Share) *json.Number {
	if p.IsZero() {
		return nil
	}
	n := number(float64(p), 2)
	return &n
}

// number writes a figure to so many decimals.
func number(x float64, decimals int) json.Number {
	return json.Number(strconv.FormatFloat(x, 'f', decimals, 64))
}

func whole(x float64) json.Number { return number(x, 0) }

// sapColumns are the columns of sap seasons as CSV. Programs rely on them.
var sapColumns = []string{
	"site", "species", "season", "advice", "start_p10", "start_p50", "start_p90", "end_p10", "end_p50", "end_p90",
	"tap", "tap_first", "tap_last", "caught", "caught_week_earlier", "caught_week_later", "caught_waiting", "gone",
	"missed_first_run", "confidence", "holes_dry", "run_days_p10", "run_days_p50", "run_days_p90", "basis", "years",
	"caught_of_best", "caught_hours",
}

// WriteSapCSV writes seasons of sap as CSV, one a row. The basis and the years are those of the end.
func WriteSapCSV(w io.Writer, seasons []*tapping.Account) error {
	return writeTable(w, sapColumns, func(yield func([]string) bool) {
		for _, r := range sapRows(seasons) {
			cells := []string{r.Site, r.Species, strconv.Itoa(r.Season), string(r.Advice)}
			for _, d := range []sapDates{r.Start, r.End} {
				cells = append(cells, d.P10.String(), d.P50.String(), d.P90.String())
			}
			cells = append(cells, cell(r.Tap), cell(r.TapFirst), cell(r.TapLast))
			for _, n := range []*json.Number{
				r.Caught, r.WeekEarlier, r.WeekLater, r.Waiting, r.Gone, r.Missed, r.WellTimed,
			} {
				cells = append(cells, cell(n))
			}
			cells = append(cells, cell(r.Dry))
			if r.RunDays == nil {
				cells = append(cells, "", "", "")
			} else {
				cells = append(cells, r.RunDays.P10.String(), r.RunDays.P50.String(), r.RunDays.P90.String())
			}
			cells = append(cells, r.End.Basis.String(), strconv.Itoa(r.End.Years), cell(r.OfBest), cell(r.Hours))
			if !yield(cells) {
				return
			}
		}
	})
}

// WriteSapJSON writes seasons of sap as one JSON object. Keys are added, never renamed.
func WriteSapJSON(w io.Writer, p *calendar.Plan, seasons []*tapping.Account) error {
	return writeJSON(w, struct {
		Title   string       `json:"title"`
		AsOf    civil.Date   `json:"as_of"`
		Notes   []string     `json:"notes"`
		Seasons []sapRow     `json:"seasons"`
		Crew    *jsonSapCrew `json:"crew,omitempty"`
	}{p.Title, p.AsOf, orEmpty(p.Notes), sapRows(seasons), sapCrewJSON(tapping.CrewOf(seasons))})
}
