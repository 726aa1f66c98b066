package tapping

import (
	"slices"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// morning is what is decided on one morning of a past season, with what was known then.
type morning struct {
	now, over      bool
	today, waiting float64 // shares caught, begun today and by the best way of waiting
}

// lateCrews lives through a past season from the first morning on which it was advised to tap, as crews do that come
// 1 to 9 days after that and then follow the advice of their day: an advice that is withdrawn where waiting is worth
// more by a margin, and given anew. It returns the mean share of the season's runs that they catch, by the margins,
// and how many of the crews were sent away; nil where nothing was advised.
func lateCrews(o *phenology.Outlook, sp *phenology.Species, season phenology.Season, opt calendar.TappingOptions, draw, forecast int,
	margins []float64) (caught []float64, sentAway []int) {
	rec, ok := o.SapYearRecorded(sp, season.Year, FirstRunDay)
	if !ok {
		return nil, nil
	}
	catch := newCatcher(LifeOf(opt), opt.DaysToTap)
	catch.load(&rec, rec.Flow, rec.Flow)
	if catch.plain.total < 1 {
		return nil, nil
	}
	shares := make([]float64, len(rec.Days))
	catch.shares(shares, shares, 0)
	errs := newForecastErrors(season.Year, draw, int(rec.End)+forecast, forecast)
	known := map[phenology.SeasonDay]*morning{}
	on := func(day phenology.SeasonDay) *morning {
		if known[day] == nil {
			at := season.Date(day)
			years := o.SapYearsKnown(sp, season.Year, FirstRunDay, at-1, errs.forecast(o.Temps.Series(), at, day))
			m := &morning{over: true}
			if d := Decide(years, Terms{Today: day, Hole: LifeOf(opt), DaysToTap: opt.DaysToTap}); d != nil && len(years) >= phenology.MinYears {
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

// TestHeldAdviceCostsLittle chooses [HoldMargin]. Crews seldom drill on the morning on which they are told to. For
// those that come late by 1 to 9 days and follow the advice of that day, holding an advice costs what waiting would
// have brought, and spares them to be sent away. Over 53 seasons of two species at two open records, each without a
// forecast and with one of five days, it costs this many points of the season's run days beside withdrawing at the
// [Plateau], and so many crews of a hundred are sent away:
//
//	margin  0.02  0.05  0.06  0.07  0.08  0.10
//	points  0     0.3   0.4   0.5   0.5   0.7
//	crews   46    19    13    8     5     2
//
// 0.07 is the largest of these that costs less than half a point.
func TestHeldAdviceCostsLittle(t *testing.T) {
	margins := []float64{Plateau, 0.05, 0.06, HoldMargin, 0.08, 0.10}
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

// What a place's feed told of tapping is held to.
func TestAdviceFromMemory(t *testing.T) {
	at := func(asOf civil.Date, told map[string]string) *Season {
		p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
		pl := p.Places[0]
		if told != nil {
			uid := calendar.UID(p.FeedID, pl.Site().ID, calendar.Tapping, []string{pl.Species[0].ID}, calendar.TaskTap, asOf.Year())
			pl.Memory = map[string]calendar.Memory{uid: {Told: told}}
		}
		return SeasonAt(p, pl, pl.Species[0], asOf.Year())
	}
	said := func(advice Advice, since civil.Date, times string) map[string]string {
		return map[string]string{factAdvice: string(advice), factSince: since.Format("20060102"), factTimes: times}
	}
	// A morning on which it is time to tap and one on which it is better to wait by far, where nothing was told.
	var now, wait civil.Date
	waiting := map[string]string{factAdvice: string(Wait)}
	for day := civil.Of(2027, time.January, 5); day < civil.Of(2027, time.April, 1); day++ {
		s := at(day, waiting)
		if s.Decision == nil || s.Decision.Late {
			break
		}
		if today := s.Decision.Share(s.Season.Day(day)); today < s.Decision.Waiting*(1-HoldMargin) {
			wait = day
		}
		if s.Advice == TapNow {
			now = day
			break
		}
	}
	if now == 0 || wait == 0 {
		t.Fatal("found no such mornings: nothing is tested")
	}
	for _, row := range []struct {
		name   string
		asOf   civil.Date
		told   map[string]string
		advice Advice
		since  civil.Maybe
		times  int
	}{
		{"by nothing", wait, nil, Wait, civil.Maybe{}, 0},
		{"first", now, waiting, TapNow, civil.Some(now), 1},
		{"again on the same day", now, said(TapNow, now, "1"), TapNow, civil.Some(now), 1},
		{"held", now, said(TapNow, now-3, "1"), TapNow, civil.Some(now - 3), 1},
		{"on its last day", now, said(TapNow, now-mostSince+1, "1"), TapNow, civil.Some(now - mostSince + 1), 1},
		{"taken to be done", now, said(TapNow, now-mostSince, "1"), TakenDone, civil.Maybe{}, 1},
		{"withdrawn", wait, said(TapNow, wait-1, "1"), WaitAgain, civil.Some(wait - 1), 1},
		{"not on its own day", wait, said(TapNow, wait, "1"), TapNow, civil.Some(wait), 1},
		{"withdrawn long since", wait, said(WaitAgain, max(wait-20, civil.Of(2027, time.January, 1)), "1"), WaitAgain, civil.Some(max(wait-20, civil.Of(2027, time.January, 1))), 1},
		{"advised anew", now, said(WaitAgain, now-20, "1"), TapNow, civil.Some(now), 2},
		{"advised a third time", now, said(WaitAgain, now-20, "2"), TapNow, civil.Some(now), 3},
		{"by another season", wait, said(TapNow, wait-365, "1"), Wait, civil.Maybe{}, 0},
		{"by a day to come", wait, said(TapNow, wait+5, "1"), Wait, civil.Maybe{}, 0},
	} {
		s := at(row.asOf, row.told)
		if s.Advice != row.advice || s.Since != row.since || s.Times != row.times {
			t.Errorf("%s: found %s since %v, %d times, want %s since %v, %d times", row.name, s.Advice, s.Since, s.Times, row.advice, row.since, row.times)
		}
	}

	// A best day that is published stays while it is as good as any.
	s := at(wait, waiting)
	day := s.Season.Date(s.Decision.Last)
	p := calendartest.MadePlan(wait, 20, 0, "sugar maple")
	pl := p.Places[0]
	uid := calendar.UID(p.FeedID, pl.Site().ID, calendar.Tapping, []string{pl.Species[0].ID}, calendar.TaskTap, 2027)
	pl.Memory = map[string]calendar.Memory{uid: {Told: waiting, Best: civil.Some(day), Window: civil.Span{First: day, Last: day}}}
	kept := SeasonAt(p, pl, pl.Species[0], 2027)
	if got := kept.Season.Date(kept.Decision.Best); got != day || kept.Decision.Share(kept.Decision.Best) < s.Decision.Caught*(1-Plateau) {
		t.Errorf("found the best day on %s, want %s as published", got, day)
	}
	m := pl.Memory[uid]
	m.Best = civil.Some(s.Season.Date(s.Decision.Last) + 25)
	pl.Memory[uid] = m
	if moved := SeasonAt(p, pl, pl.Species[0], 2027); moved.Decision.Best != s.Decision.Best {
		t.Errorf("found the best day on %s, want %s: what is published is no longer as good", moved.Season.Date(moved.Decision.Best), s.Season.Date(s.Decision.Best))
	}
}

// Runs keep the numbers that the feed gave them, new ones get numbers that it never gave, and one that was told to be
// large is not called small for an hour.
func TestRunsFromMemory(t *testing.T) {
	days := func(first, last int) civil.Span { return civil.Span{First: civil.Date(first), Last: civil.Date(last)} }
	known := map[int]calendar.Memory{3: {Window: days(10, 14)}, 5: {Window: days(18, 19)}, 6: {Window: days(21, 22)}}
	runs := []Run{{Number: 1, Span: days(1, 2), Over: true}, {Number: 2, Span: days(5, 6), Over: true}, {Number: 3, Span: days(12, 15)},
		{Number: 4, Span: days(19, 21)}, {Number: 5, Span: days(30, 31)}}
	var list []numbered
	for i := range runs {
		list = append(list, numbered{&runs[i].Number, runs[i].Span, runs[i].Over})
	}
	renumber(list, known)
	var got []int
	for _, r := range runs {
		got = append(got, r.Number)
	}
	// The one that became one of two is the first; those ahead come before those that are over, of which the last
	// comes first.
	if want := []int{9, 8, 3, 5, 7}; !slices.Equal(got, want) {
		t.Errorf("found numbers %v, want %v", got, want)
	}

	b := sizeBounds{middling: 20, large: 60}
	for hours, want := range map[float64]RunSize{0: SizeSmall, 19.9: SizeSmall, 20: SizeMiddling, 59.9: SizeMiddling, 60: SizeLarge} {
		if got := b.size(hours); got != want {
			t.Errorf("%v hours: found %s, want %s", hours, got, want)
		}
	}
	for _, row := range []struct {
		hours float64
		said  RunSize
		want  RunSize
	}{
		{19, SizeMiddling, SizeMiddling}, {15, SizeMiddling, SizeMiddling}, {14.9, SizeMiddling, SizeSmall}, {50, SizeLarge, SizeLarge},
		{44, SizeLarge, SizeMiddling}, {10, SizeLarge, SizeSmall}, {19, SizeSmall, SizeSmall}, {19, SizeUnknown, SizeSmall},
		{20, SizeSmall, SizeMiddling}, {65, SizeSmall, SizeLarge}, {18, SizeLarge, SizeMiddling},
	} {
		if got := b.held(row.hours, row.said); got != row.want {
			t.Errorf("%v hours, told to be %q: found %s, want %s", row.hours, row.said, got, row.want)
		}
	}
}
