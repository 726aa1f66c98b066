package calendar

import (
	"bufio"
	"fmt"
	"io"

	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// SapBacktest is what would have come of tapping by this program's advice in past years, beside two simpler ways.
type SapBacktest struct {
	Site    *phenology.Site
	Species *phenology.Species
	Options TappingOptions
	Rule    civil.MonthDay // the rule of thumb: tap on this day every year
	Years   []SapBacktestYear
	Means   SapBacktestYear // means of the shares; its dates are not used
	Worst   float64         // the least that the advice was better than the worse of the two simpler ways; negative if worse
}

// SapBacktestYear is one past season. Shares are of the season's run days, yield falling as a hole ages.
type SapBacktestYear struct {
	Season                                    int
	Advised, Fixed, Thumb, Hindsight          civil.Date
	AdvisedCaught, FixedCaught                float64
	ThumbCaught, HindsightCaught, SeasonsRuns float64
}

// BacktestTapping asks, for each past season of a record, on which day the advice would have been to tap, each morning
// anew and with only what was known then: the seasons before and this one's days up to the day before. There was no
// forecast. It compares it with tapping on the mean of the best days of the seasons before, and on a day of the calendar.
// Until is the last season looked at. Fewer than MinYears earlier seasons give no advice.
func BacktestTapping(o *phenology.Outlook, sp *phenology.Species, opt TappingOptions, rule civil.MonthDay, until int) (*SapBacktest, error) {
	if !Tappable(sp) {
		return nil, fmt.Errorf("%s is not tapped", lower(sp.Name()))
	}
	if o.Temps == nil {
		return nil, fmt.Errorf("%s: no temperatures to look back on", o.Site.Name)
	}
	b := &SapBacktest{Site: &o.Site, Species: sp, Options: opt, Rule: rule}
	catch := newCatcher(holeYield(opt.Life()), max(1, opt.DaysToTap))
	var bests []float64
	for year := phenology.SeasonAt(o.Site, o.Temps.Series().First).Year; year <= until; year++ {
		rec, ok := o.SapYearRecorded(sp, year, firstRunDay)
		if !ok {
			continue
		}
		total := catch.load(rec.Days)
		if total < 1 {
			continue
		}
		shares := make([]float64, len(rec.Days))
		catch.shares(shares, 0, total)
		best := 0
		for k := range shares {
			if shares[k] > shares[best]+1e-9 {
				best = k
			}
		}
		if len(bests) >= phenology.MinYears {
			season := o.Site.Season(year)
			at := func(day int) float64 {
				if i := day - firstRunDay; i >= 0 && i < len(shares) {
					return shares[i]
				}
				return 0
			}
			if advised, ok := adviseLookingBack(o, sp, season, opt, rec.End); ok {
				fixed := int(mean(bests) + 0.5)
				thumb := season.Day(rule.In(year))
				if season.Southern && thumb < 1 {
					thumb = season.Day(rule.In(year + 1))
				}
				b.Years = append(b.Years, SapBacktestYear{
					Season: year, SeasonsRuns: total,
					Advised: season.Date(float64(advised)), Fixed: season.Date(float64(fixed)), Thumb: season.Date(float64(thumb)),
					Hindsight:     season.Date(float64(firstRunDay + best)),
					AdvisedCaught: at(advised), FixedCaught: at(fixed), ThumbCaught: at(thumb), HindsightCaught: shares[best],
				})
			}
		}
		bests = append(bests, float64(firstRunDay+best))
	}
	if len(b.Years) == 0 {
		return nil, fmt.Errorf("%s: found %d whole seasons on record, want at least %d: each is judged by %d or more before it",
			o.Site.Name, len(bests), phenology.MinYears+1, phenology.MinYears)
	}
	n := float64(len(b.Years))
	for i, y := range b.Years {
		b.Means.AdvisedCaught += y.AdvisedCaught / n
		b.Means.FixedCaught += y.FixedCaught / n
		b.Means.ThumbCaught += y.ThumbCaught / n
		b.Means.HindsightCaught += y.HindsightCaught / n
		b.Means.SeasonsRuns += y.SeasonsRuns / n
		if worse := y.AdvisedCaught - min(y.FixedCaught, y.ThumbCaught); i == 0 || worse < b.Worst {
			b.Worst = worse
		}
	}
	return b, nil
}

// adviseLookingBack returns the day of the season on whose morning the advice first was to tap that day.
func adviseLookingBack(o *phenology.Outlook, sp *phenology.Species, season phenology.Season, opt TappingOptions, end int) (int, bool) {
	for day := firstRunDay; day < end; day++ {
		years := o.SapYearsKnown(sp, season.Year, firstRunDay, season.Date(float64(day-1)))
		if len(years) < phenology.MinYears {
			return 0, false
		}
		d := DecideTapping(years, TapTerms{Today: day, Life: opt.Life(), DaysToTap: opt.DaysToTap})
		if d == nil || d.Now() {
			return day, true
		}
	}
	return 0, false
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// Write writes the backtest as a table.
func (b *SapBacktest) Write(w io.Writer) error {
	t := &textWriter{w: bufio.NewWriter(w)}
	head := b.Species.Name() + ", tapping looked back on"
	t.line(head + padBetween(head, b.Site.Name) + b.Site.Name)
	t.indent(fmt.Sprintf("  For each season: the day on which the advice would have been to tap, worked out anew each morning from the seasons before it and its own days to the day before, without a forecast; beside it the mean best day of the seasons before, and %s as a rule of thumb. Shares are of the season's run days that a hole drilled then catches.",
		shortDate(b.Rule.In(2001))), 2)
	t.indent("  "+b.Species.Sap.Run.Definition()+" Definition: "+b.Species.Sap.Run.Source.String()+".", 2)
	life := b.Options.Life()
	t.indent(fmt.Sprintf("  A hole is taken to run well for %d days, at half after %d and to be dry after %d (%s).", life*2/3, life, len(holeYield(life)), b.Options.Collection), 2)
	t.line("")
	t.line("  season  run days   advice          mean best day   rule of thumb   hindsight")
	for _, y := range b.Years {
		t.line(fmt.Sprintf("  %-6d  %8.0f   %-6s %5s    %-6s %5s    %-6s %5s    %-6s %5s", y.Season, y.SeasonsRuns,
			shortDate(y.Advised), percent(y.AdvisedCaught), shortDate(y.Fixed), percent(y.FixedCaught),
			shortDate(y.Thumb), percent(y.ThumbCaught), shortDate(y.Hindsight), percent(y.HindsightCaught)))
	}
	m := b.Means
	t.line(fmt.Sprintf("  mean    %8.0f          %6.1f %%        %6.1f %%        %6.1f %%        %6.1f %%", m.SeasonsRuns,
		100*m.AdvisedCaught, 100*m.FixedCaught, 100*m.ThumbCaught, 100*m.HindsightCaught))
	t.line("")
	t.indent("  "+b.Verdict(), 2)
	return t.w.Flush()
}

// Verdict says in a sentence whether the advice was worth having.
func (b *SapBacktest) Verdict() string {
	m := b.Means
	word := func(d float64) string {
		switch {
		case d >= 0.0005:
			return fmt.Sprintf("%.1f points more than", 100*d)
		case d <= -0.0005:
			return fmt.Sprintf("%.1f points less than", -100*d)
		default:
			return "as much as"
		}
	}
	text := fmt.Sprintf("Over %s the advice catches %s the mean best day and %s the rule of thumb;", count(len(b.Years), "season"),
		word(m.AdvisedCaught-m.FixedCaught), word(m.AdvisedCaught-m.ThumbCaught))
	if b.Worst >= 0 {
		text += " in no season does it catch less than the worse of the two."
	} else {
		text += fmt.Sprintf(" in its worst season it catches %.1f points less than the worse of the two.", -100*b.Worst)
	}
	if len(b.Years) < 10 {
		text += " Few seasons: take this as a hint, not as a score."
	}
	return text
}
