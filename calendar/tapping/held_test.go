package tapping

import (
	"testing"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// morning is what is decided on one morning of a past season, with what was known then.
type morning struct {
	now, over      bool
	today, waiting float64 // shares caught, begun today and by the best way of waiting
}

// lateCrews lives through a past season from the first morning on which it was advised to tap, as crews do that come 1 to 9
// days after that and then follow the advice of their day: an advice that is withdrawn where waiting is worth more by a
// margin, and given anew. It returns the mean share of the season's runs that they catch, by the margins, and how many of
// the crews were sent away; nil where nothing was advised.
func lateCrews(o *phenology.Outlook, sp *phenology.Species, season phenology.Season, opt calendar.TappingOptions, draw, forecast int,
	margins []float64) (caught []float64, sentAway []int) {
	rec, ok := o.SapYearRecorded(sp, season.Year, FirstRunDay)
	if !ok {
		return nil, nil
	}
	catch := newCatcher(HoleYield(opt.Life()), max(1, opt.DaysToTap))
	total := catch.load(rec.Days)
	if total < 1 {
		return nil, nil
	}
	shares := make([]float64, len(rec.Days))
	catch.shares(shares, 0, total)
	errs := newForecastErrors(season.Year, draw, int(rec.End)+forecast, forecast)
	known := map[phenology.SeasonDay]*morning{}
	on := func(day phenology.SeasonDay) *morning {
		if known[day] == nil {
			at := season.Date(day)
			years := o.SapYearsKnown(sp, season.Year, FirstRunDay, at-1, errs.forecast(o.Temps.Series(), at, day))
			m := &morning{over: true}
			if d := Decide(years, Terms{Today: day, Life: opt.Life(), DaysToTap: opt.DaysToTap}); d != nil && len(years) >= phenology.MinYears {
				*m = morning{now: d.Now(), over: d.Late, today: d.Share(day), waiting: d.Waiting}
			}
			known[day] = m
		}
		return known[day]
	}
	first := phenology.SeasonDay(FirstRunDay)
	for ; !on(first).now; first++ {
		if on(first).over || first >= rec.End {
			return nil, nil
		}
	}
	caught, sentAway = make([]float64, len(margins)), make([]int, len(margins))
	for i, margin := range margins {
		for late := phenology.SeasonDay(1); late < mostSince; late++ {
			withdrawn, sent := false, false
			day := first + 1
			for ; day < rec.End; day++ {
				m := on(day)
				switch {
				case m.over:
				case withdrawn:
					withdrawn = !m.now
				default:
					withdrawn = m.today < m.waiting*(1-margin)
				}
				if day >= first+late && !withdrawn {
					break
				}
				sent = sent || day == first+late
			}
			if sent {
				sentAway[i]++
			}
			if k := int(day - FirstRunDay); k < len(shares) && day < rec.End {
				caught[i] += shares[k] / (mostSince - 1)
			}
		}
	}
	return caught, sentAway
}

// TestHeldAdviceCostsLittle chooses [HoldMargin]. Crews seldom drill on the morning on which they are told to. For those that
// come late by 1 to 9 days and follow the advice of that day, holding an advice costs what waiting would have brought, and
// spares them to be sent away. Over 53 seasons of two species at two open records, each without a forecast and with one of
// five days, it costs this many points of the season's run days beside withdrawing at the [Plateau], and so many crews of a
// hundred are sent away:
//
//	margin  0.02  0.05  0.10  0.15
//	points  0     0.1   0.3   0.5
//	crews   31    14    5     0.4
//
// A tenth is the largest of these that costs less than half a point. At Harvard Forest alone, where seasons are shortest, it
// costs 0.6; at Montreal 0.1.
func TestHeldAdviceCostsLittle(t *testing.T) {
	margins := []float64{Plateau, 0.05, HoldMargin, 0.15}
	harvardBoth := func(t *testing.T) weather.Series {
		joined, _ := weather.Join([]weather.Source{{Name: "Fisher", Series: openRecord(t, fisherFile)},
			{Name: "Shaler", Series: openRecord(t, "harvard-forest/shaler-daily-1980-2002.csv")}})
		return weather.Fill(joined)
	}
	sum, away, seasons := make([]float64, len(margins)), make([]int, len(margins)), 0
	for _, c := range []struct {
		site    phenology.Site
		record  weather.Series
		species string
	}{
		{montreal, openRecord(t, montrealFiles), "sugar maple"},
		{montreal, openRecord(t, montrealFiles), "red maple"},
		{harvard, harvardBoth(t), "sugar maple"},
	} {
		o := outlook(c.site, c.record)
		opt := calendar.DefaultOptions().Tapping
		sp := species(t, c.species)
		of, n := make([]float64, len(margins)), 0
		for year := c.record.First.Year() + 1; year <= 2013; year++ {
			for _, forecast := range []int{0, 5} {
				caught, sent := lateCrews(o, sp, phenology.SeasonAt(c.site, civil.Of(year, 3, 1)), opt, 0, forecast, margins)
				if caught == nil {
					continue
				}
				n++
				for i := range caught {
					of[i], away[i] = of[i]+caught[i], away[i]+sent[i]
				}
			}
		}
		if n < 20 {
			t.Fatalf("%s: found %d seasons, want more", c.site.Name, n)
		}
		for i := range of {
			t.Logf("%s, %s: margin %.2f: %.2f %% caught in %d seasons", c.site.Name, c.species, margins[i], 100*of[i]/float64(n), n)
			sum[i] += of[i]
		}
		seasons += n
	}
	for i := range margins {
		cost := (sum[0] - sum[i]) / float64(seasons)
		t.Logf("margin %.2f costs %.2f points; %.1f %% of crews are sent away", margins[i], 100*cost, 100*float64(away[i])/float64(seasons*(mostSince-1)))
		if margins[i] == HoldMargin && cost >= 0.005 {
			t.Errorf("found that holding an advice costs %.2f points, want less than half a point", 100*cost)
		}
		if margins[i] == HoldMargin && away[i]*5 > away[0] {
			t.Errorf("found %d crews sent away where %d were, want at most a fifth: it is not worth its price", away[i], away[0])
		}
	}
}
