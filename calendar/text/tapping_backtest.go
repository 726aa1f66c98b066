package text

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// WriteBacktest writes the backtest as a table.
func WriteBacktest(w io.Writer, b *tapping.Backtest, as phrase.Speech) error {
	said := words.SapFrameIn(as)
	t := &textWriter{w: bufio.NewWriter(w)}
	head := words.TreeName(b.Species, as) + ", " + said.Backtest
	t.line(head + padBetween(head, b.Site.Name) + b.Site.Name)
	for _, text := range words.BacktestTerms(b, as) {
		t.indent("  "+text, 2)
	}
	caught := func(d civil.Date, p float64) string {
		return fmt.Sprintf("%-*s %5s", said.DayWide, words.Day(d, as), words.Percent(p, as))
	}
	t.line("")
	t.line("  " + said.BacktestTable)
	for _, y := range b.Years {
		t.line(fmt.Sprintf("  %-6d  %8.0f   %s    %s    %s    %s", y.Season, y.SeasonsRuns,
			caught(y.Advised, y.AdvisedCaught),
			caught(y.Fixed, y.FixedCaught), caught(y.Thumb, y.ThumbCaught), caught(y.Hindsight, y.HindsightCaught)))
	}
	m := b.Means
	mean := func(p float64) string { return fmt.Sprintf("%*s", said.DayWide+10, words.Tenths(p, as)) }
	t.line(fmt.Sprintf("  %-6s  %8.0f  %s%s%s%s", said.BacktestOfMean, m.SeasonsRuns, mean(m.AdvisedCaught),
		mean(m.FixedCaught), mean(m.ThumbCaught), mean(m.HindsightCaught)))
	t.line(fmt.Sprintf("  %-17s %s%s%s", said.BacktestOfBest, mean(b.OfBest.Advised), mean(b.OfBest.Fixed),
		mean(b.OfBest.Rule)))
	t.line("")
	t.indent("  "+words.BacktestVerdict(b, as), 2)
	return t.w.Flush()
}

// backtestColumns are the columns of backtests as CSV. Programs rely on them.
var backtestColumns = []string{
	"site", "species", "season", "run_days", "advised", "advised_caught", "mean_best", "mean_best_caught", "rule",
	"rule_caught", "hindsight", "hindsight_caught", "advised_of_best", "mean_best_of_best", "rule_of_best",
}

// WriteSapBacktestsCSV writes backtests as CSV, a season a row.
func WriteSapBacktestsCSV(w io.Writer, list []*tapping.Backtest) error {
	return writeTable(w, backtestColumns, func(yield func([]string) bool) {
		for _, b := range list {
			for _, y := range b.Years {
				if !yield([]string{
					b.Site.ID, b.Species.ID, strconv.Itoa(y.Season), whole(y.SeasonsRuns).String(),
					y.Advised.String(), decimals(y.AdvisedCaught), y.Fixed.String(), decimals(y.FixedCaught),
					y.Thumb.String(), decimals(y.ThumbCaught), y.Hindsight.String(), decimals(y.HindsightCaught),
					decimals(y.OfBest(y.AdvisedCaught)), decimals(y.OfBest(y.FixedCaught)),
					decimals(y.OfBest(y.ThumbCaught)),
				}) {
					return
				}
			}
		}
	})
}

type jsonBacktest struct {
	Site     string             `json:"site"`
	SiteName string             `json:"site_name"`
	Species  string             `json:"species"`
	Rule     string             `json:"rule"`          // MM-DD
	Forecast int                `json:"forecast_days"` // that each morning had
	Seasons  []jsonBacktestYear `json:"seasons"`
	Means    jsonBacktestMeans  `json:"means"`
	// By how much the advice catches more, season by season.
	OverMeanBest jsonDifference `json:"over_mean_best"`
	OverRule     jsonDifference `json:"over_rule"`
	Verdict      string         `json:"verdict"`
}

type jsonDifference struct {
	Mean          json.Number  `json:"mean"`
	StandardError *json.Number `json:"standard_error"` // nil of one season
}

type jsonBacktestYear struct {
	Season    int             `json:"season"`
	RunDays   json.Number     `json:"run_days"`
	Advised   jsonBacktestDay `json:"advised"`
	MeanBest  jsonBacktestDay `json:"mean_best"`
	Rule      jsonBacktestDay `json:"rule"`
	Hindsight jsonBacktestDay `json:"hindsight"`
}

type jsonBacktestDay struct {
	Day    civil.Date  `json:"day"`
	Caught json.Number `json:"caught"`
	OfBest json.Number `json:"caught_of_best"` // of what the season's best day, known afterwards, would have caught
}

type jsonBacktestMeans struct {
	Seasons   int         `json:"seasons"`
	RunDays   json.Number `json:"run_days"`
	Advised   json.Number `json:"advised_caught"`
	MeanBest  json.Number `json:"mean_best_caught"`
	Rule      json.Number `json:"rule_caught"`
	Hindsight json.Number `json:"hindsight_caught"`

	AdvisedOfBest  json.Number `json:"advised_of_best"` // means of the seasons' shares of the best day's catch
	MeanBestOfBest json.Number `json:"mean_best_of_best"`
	RuleOfBest     json.Number `json:"rule_of_best"`
}

// WriteSapBacktestsJSON writes backtests as one JSON object. Keys are added, never renamed.
func WriteSapBacktestsJSON(w io.Writer, p *calendar.Plan, list []*tapping.Backtest) error {
	out := struct {
		Title     string         `json:"title"`
		AsOf      civil.Date     `json:"as_of"`
		Notes     []string       `json:"notes"`
		Backtests []jsonBacktest `json:"backtests"`
	}{p.Title, p.AsOf, orEmpty(p.Notes), []jsonBacktest{}}
	thousandths := func(p float64) json.Number { return number(p, 3) } // of a mean of years
	difference := func(d tapping.PairedDifference) jsonDifference {
		j := jsonDifference{Mean: thousandths(d.Mean)}
		if n := thousandths(d.StandardError); !math.IsNaN(d.StandardError) {
			j.StandardError = &n
		}
		return j
	}
	for _, b := range list {
		m := b.Means
		j := jsonBacktest{
			Site: b.Site.ID, SiteName: b.Site.Name, Species: b.Species.ID, Rule: b.Rule.String(), Forecast: b.Forecast,
			OverMeanBest: difference(b.OverFixed), OverRule: difference(b.OverRule),
			Verdict: words.BacktestVerdict(b, p.Speech),
			Means: jsonBacktestMeans{
				len(b.Years), whole(m.SeasonsRuns), thousandths(m.AdvisedCaught), thousandths(m.FixedCaught),
				thousandths(m.ThumbCaught), thousandths(m.HindsightCaught), thousandths(b.OfBest.Advised),
				thousandths(b.OfBest.Fixed), thousandths(b.OfBest.Rule),
			},
		}
		for _, y := range b.Years {
			of := func(d civil.Date, caught float64) jsonBacktestDay {
				return jsonBacktestDay{d, number(caught, 2), number(y.OfBest(caught), 2)}
			}
			j.Seasons = append(j.Seasons, jsonBacktestYear{
				y.Season, whole(y.SeasonsRuns), of(y.Advised, y.AdvisedCaught), of(y.Fixed, y.FixedCaught),
				of(y.Thumb, y.ThumbCaught), of(y.Hindsight, y.HindsightCaught),
			})
		}
		out.Backtests = append(out.Backtests, j)
	}
	return writeJSON(w, out)
}
