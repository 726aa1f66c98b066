package tapping

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"treewhen/calendar"
	"treewhen/calendar/calendartest"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

func TestHoleYield(t *testing.T) {
	// Growers' experience of buckets (from memory): four to six weeks of good flow, up to eight.
	y := HoleYield(42)
	if len(y) != 56 || y[28] != 1 || y[42] != 0.5 || y[55] > 0.05 {
		t.Errorf("%d days; after 28 %.2f, after 42 %.2f, on the last %.2f", len(y), y[28], y[42], y[len(y)-1])
	}
}

// The running sums must give what adding up day by day gives.
func TestCrewSharesByHand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		runs := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 140).Draw(t, "runs")
		life, from := rapid.IntRange(7, 90).Draw(t, "life"), rapid.IntRange(0, 100).Draw(t, "from")
		days := rapid.IntRange(1, 5).Draw(t, "days")
		yield := HoleYield(life)
		c := newCatcher(yield, days)
		total := c.load(runs)
		got := make([]float64, 60)
		c.shares(got, from, 1)
		if math.Abs(total-sumOf(runs)) > 1e-9 {
			t.Fatalf("run days of the way: %v, want %v", total, sumOf(runs))
		}
		for k := range got {
			want := 0.0
			for hole := range days {
				for age, y := range yield {
					if i := from + k + hole + age; i < len(runs) {
						want += y * runs[i] / float64(days)
					}
				}
			}
			if math.Abs(got[k]-want) > 1e-9 {
				t.Fatalf("begun on index %d: %v, want %v", from+k, got[k], want)
			}
		}
	})
}

func sumOf(values []float64) (sum float64) {
	for _, v := range values {
		sum += v
	}
	return sum
}

// ownDays is an outcome whose days are all known, so that nothing is averaged.
func ownDays(end phenology.SeasonDay, runs map[phenology.SeasonDay]float64) phenology.SapYear {
	y := phenology.SapYear{First: 1, Known: end, End: end}
	for day := phenology.SeasonDay(1); day < end; day++ {
		y.Days = append(y.Days, runs[day])
	}
	return y
}

func TestTappingDecisionByHand(t *testing.T) {
	runs := map[phenology.SeasonDay]float64{}
	for day := phenology.SeasonDay(60); day < 70; day++ {
		runs[day] = 1
	}
	years := []phenology.SapYear{ownDays(100, runs)}
	d := Decide(years, Terms{Today: 1, Life: 42})
	// A hole runs full to its 28th day of age: drilled from day 41 on it has all ten, and from day 61 on one fewer a day.
	if d.Best != 41 || math.Abs(d.Caught-1) > 1e-9 || d.First < 38 || d.First > 41 || d.Last != 60 {
		t.Errorf("best %d (%.3f), %d to %d", d.Best, d.Caught, d.First, d.Last)
	}
	if got := d.Share(65); math.Abs(got-0.5) > 1e-9 {
		t.Errorf("begun on day 65: %.3f, want half", got)
	}
	// Drilling over four days in equal parts, begun on day 60: holes miss none, one, two and three of ten.
	d = Decide(years, Terms{Today: 60, Life: 42, DaysToTap: 4})
	if got, want := d.Share(60), (1+0.9+0.8+0.7)/4; math.Abs(got-want) > 1e-9 {
		t.Errorf("a job of four days begun on day 60: %.3f, want %.3f", got, want)
	}
	d = Decide(years, Terms{Today: 68, Life: 42})
	if d.Late || math.Abs(d.Gone-0.8) > 1e-9 {
		t.Errorf("on day 68: gone %.2f, late %v", d.Gone, d.Late)
	}
	if d = Decide(years, Terms{Today: 69, Life: 42}); !d.Late {
		t.Error("with a tenth of the season to come it is not called late")
	}
	if d = Decide(years, Terms{Today: 100, Life: 42}); d != nil {
		t.Errorf("after the end: %+v", d)
	}
}

// Whoever waits can look first: with ten run days either early or late, and holes that do not last from the one to the
// other, no day fixed beforehand catches more than half on average, but who begins on the morning after the first run day
// misses that one of ten, whenever they come.
func TestWaitingLooksFirst(t *testing.T) {
	from := func(first phenology.SeasonDay) phenology.SapYear {
		runs := map[phenology.SeasonDay]float64{}
		for day := first; day < first+10; day++ {
			runs[day] = 1
		}
		y := ownDays(110, runs)
		y.Known, y.Donor = 49, 1900+int(first)
		return y
	}
	years := []phenology.SapYear{from(60), from(90)}
	d := Decide(years, Terms{Today: 50, Life: 12})
	if d.Now() || math.Abs(d.Waiting-0.9) > 1e-9 || d.RunFrom == 0 || d.Caught > 0.5 {
		t.Errorf("now %v, waiting catches %.3f from day %d, the best fixed day %.3f", d.Now(), d.Waiting, d.RunFrom, d.Caught)
	}
	// Once it has run there is nothing to wait for: nine of the ten are still to come, and the forecast knows them.
	years = years[:1]
	years[0].Known = years[0].End
	if d = Decide(years, Terms{Today: 61, Life: 12}); !d.Now() || math.Abs(d.Caught-0.9) > 1e-9 {
		t.Errorf("on the morning after the first run day: now %v, catches %.3f", d.Now(), d.Caught)
	}
}

func TestTappingDecisionProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var years []phenology.SapYear
		for range rapid.IntRange(1, 8).Draw(t, "years") {
			end := phenology.SeasonDay(rapid.IntRange(20, 120).Draw(t, "end"))
			y := phenology.SapYear{First: 1, Known: phenology.SeasonDay(rapid.IntRange(0, int(end)).Draw(t, "known")), End: end}
			for day := phenology.SeasonDay(1); day < end; day++ {
				y.Days = append(y.Days, rapid.Float64Range(0, 1).Draw(t, "likelihood"))
			}
			years = append(years, y)
		}
		terms := Terms{Today: phenology.SeasonDay(rapid.IntRange(1, 100).Draw(t, "today")), Life: rapid.IntRange(7, 90).Draw(t, "life"), DaysToTap: rapid.IntRange(1, 10).Draw(t, "days")}
		d := Decide(years, terms)
		if d == nil {
			return
		}
		if d.First > d.Best || d.Best > d.Last || d.First < terms.Today {
			t.Fatalf("best %d of %d to %d, from %d", d.Best, d.First, d.Last, terms.Today)
		}
		for _, p := range append([]float64{d.Caught, d.Gone, d.Missed, d.OfHindsight, d.WellTimed}, d.Curve...) {
			if !(p >= -1e-9 && p <= 1+1e-9) {
				t.Fatalf("share %v", p)
			}
		}
		if d.Now() {
			if d.Waiting > d.Curve[0]+1e-9 {
				t.Fatalf("today catches %v, waiting %v, and it is not to wait", d.Curve[0], d.Waiting)
			}
		} else if top := slices.Max(d.Curve[1:]); d.Waiting < d.Curve[0] || d.Waiting < top-1e-9 || math.Abs(d.Caught-top) > 1e-8 {
			t.Fatalf("today catches %v, a fixed day later %v, the best of them %v, waiting %v", d.Curve[0], top, d.Caught, d.Waiting)
		}
		if d.Caught > 1-d.Gone+1e-9 {
			t.Fatalf("catches %v of a season of which %v is gone", d.Caught, d.Gone)
		}
		longer := terms
		longer.Life += 10
		if l := Decide(years, longer); slices.Max(l.Curve) < slices.Max(d.Curve)-1e-9 {
			t.Fatalf("holes that last longer catch less: %v, %v", slices.Max(l.Curve), slices.Max(d.Curve))
		}
		quick := terms
		quick.DaysToTap = 1
		if q := Decide(years, quick); slices.Max(q.Curve) < slices.Max(d.Curve)-1e-9 {
			t.Fatalf("a quicker crew catches less: %v, %v", slices.Max(q.Curve), slices.Max(d.Curve))
		}
	})
}

func tapOf(t *testing.T, s *calendar.Schedule, season int) *calendar.Entry {
	t.Helper()
	for _, e := range s.Entries {
		if e.Task == calendar.TaskTap && e.Season == season {
			return e
		}
	}
	t.Fatalf("no tapping entry for %d; notes: %v", season, s.Notes)
	return nil
}

func TestColderPlacesTapLater(t *testing.T) {
	asOf := civil.Of(2027, time.January, 1)
	var before civil.Date
	for i, warmth := range []float64{2, 0, -2} {
		e := tapOf(t, schedule(calendartest.MadePlan(asOf, 20, warmth, "sugar maple")), 2027)
		if i > 0 && e.Best <= before {
			t.Errorf("two degrees colder: %s, not after %s", e.Best, before)
		}
		before = e.Best
	}
}

// South before north, low before high, maple before birch: on open records.
func TestOrderOfSeasons(t *testing.T) {
	maple, birch := species(t, "sugar maple"), species(t, "paper birch")
	fisher := openRecord(t, fisherFile)
	north, south := outlook(montreal, openRecord(t, montrealFiles)), outlook(harvard, fisher)
	high := harvard
	high.Elevation += 400
	uphill := &phenology.Outlook{Site: high, Temps: phenology.NewTemperaturesFrom(high, fisher, harvard.Elevation, phenology.DefaultLapseRate(false))}
	mean := func(o *phenology.Outlook, sp *phenology.Species, p phenology.Phase) float64 {
		sum, n := 0.0, 0.0
		for year := 2003; year <= 2012; year++ {
			if e := o.Estimate(sp, year).Get(p); e.HasDate() {
				sum, n = sum+float64(e.P50().YearDay()), n+1
			}
		}
		return sum / n
	}
	for _, p := range []phenology.Phase{phenology.SapStart, phenology.SapEnd} {
		s, n, h := mean(south, maple, p), mean(north, maple, p), mean(uphill, maple, p)
		t.Logf("%s of sugar maple: day %.0f at Harvard Forest, %.0f four hundred metres above it, %.0f at Montreal", p, s, h, n)
		if !(s < n) || !(s < h) {
			t.Errorf("%s: south %.1f, north %.1f, high %.1f", p, s, n, h)
		}
		if b := mean(south, birch, p); !(b > s) {
			t.Errorf("%s of birch day %.1f, of maple %.1f", p, b, s)
		}
	}
	if b, m := mean(south, birch, phenology.SapEnd), mean(south, maple, phenology.SapEnd); !(mean(south, birch, phenology.SapStart) > m-10) || b < m {
		t.Errorf("birch's season does not follow maple's")
	}
}

// Looking back must not look ahead: what came later changes nothing in the advice of a morning.
func TestBacktestDoesNotLookAhead(t *testing.T) {
	sp := species(t, "sugar maple")
	asOf := civil.Of(2027, time.December, 31)
	s := calendartest.MadeSeries(asOf, 14, 0)
	b, err := NewBacktest(outlook(montreal, s), sp, calendar.DefaultOptions().Tapping, LookBack{Rule: civil.MonthDay{Month: 3, Day: 1}, Until: 2027})
	if err != nil {
		t.Fatal(err)
	}
	for _, y := range b.Years {
		on := montreal.Season(y.Season).Day(y.Advised)
		cut := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Days...)}
		for d := y.Advised; d <= asOf; d++ { // the day itself is not known on its morning either
			cut.Days[d-s.First] = weather.Day{Min: 3, Max: 20}
		}
		known := outlook(montreal, cut).SapYearsKnown(sp, y.Season, FirstRunDay, y.Advised-1, nil)
		d := Decide(known, Terms{Today: on, Life: calendar.DefaultOptions().Tapping.Life()})
		if d == nil || d.Best != on {
			t.Errorf("%d: with another future the advice of %s changes: %+v", y.Season, y.Advised, d)
		}
		// The same from a record that ends there: what the schedule of that morning would have seen, later years left out.
		ends := outlook(montreal, s.Until(y.Advised-1)).SapYears(sp, y.Season, FirstRunDay)
		if e := Decide(ends, Terms{Today: on, Life: calendar.DefaultOptions().Tapping.Life()}); e == nil || e.Best != d.Best || math.Abs(e.Caught-d.Caught) > 1e-9 {
			t.Errorf("%d: looking back gives %+v, on the day itself %+v", y.Season, d, e)
		}
	}
}

// Drawn errors are as large as forecasts' usual ones, more so the farther ahead, and the same in every run; forecasts of
// one day grow no worse as it draws nearer on average, each revision being a correction. With 4000 draws the standard
// deviation is known to about one part in ninety; 5 in 100 are allowed.
func TestDrawnForecastErrors(t *testing.T) {
	const days, draws = 7, 4000
	errs := newForecastErrors(2027, 0, draws, days)
	again := newForecastErrors(2027, 0, draws, days)
	other := newForecastErrors(2027, 1, draws, days)
	for k := range days {
		square, revision, last := 0.0, 0.0, 0.0
		for i := range draws {
			e := errs.of[i][k]
			if e != again.of[i][k] || e == other.of[i][k] {
				t.Fatalf("the same draw differs, or another does not: %v, %v, %v", e, again.of[i][k], other.of[i][k])
			}
			square += e.Min*e.Min + e.Max*e.Max
			if k > 0 {
				before := errs.of[i][k-1]
				revision += (e.Min - before.Min) * before.Min
				last += before.Min * before.Min
			}
		}
		want := phenology.ForecastError(k + 1)
		if sd := math.Sqrt(square / (2 * draws)); math.Abs(sd/want-1) > 0.05 {
			t.Errorf("%d days ahead: standard deviation %.2f, want %.2f", k+1, sd, want)
		}
		if k > 0 && math.Abs(revision/last) > 0.1 {
			t.Errorf("%d days ahead: the revision goes with the error left: slope %.2f", k+1, revision/last)
		}
	}
	if got := newForecastErrors(2027, 0, draws, 0).forecast(weather.Series{}, 0, 1); got != nil {
		t.Errorf("no forecast was asked for; found %v", got)
	}
}

// Looking back with a forecast looks no farther ahead than the forecast does.
func TestBacktestForecastEnds(t *testing.T) {
	s := calendartest.MadeSeries(civil.Of(2027, time.December, 31), 14, 0)
	on := civil.Of(2027, time.February, 10)
	errs := newForecastErrors(2027, 0, 200, 5)
	got := errs.forecast(s, on, montreal.Season(2027).Day(on))
	if len(got) != 5 {
		t.Fatalf("found %d days", len(got))
	}
	for k, d := range got {
		came := s.At(on + civil.Date(k))
		if math.Abs(d.Min-came.Min) > 20 || math.Abs(d.Max-came.Max) > 20 || d == came || d.Min > d.Max {
			t.Errorf("day %d: came %v, forecast %v", k+1, came, d)
		}
	}
	sp := species(t, "sugar maple")
	cut := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Days...)}
	for d := on; d <= s.Last(); d++ {
		cut.Days[d-s.First] = weather.Day{Min: 3, Max: 20}
	}
	a := outlook(montreal, s).SapYearsKnown(sp, 2027, FirstRunDay, on-1, got)
	b := outlook(montreal, cut).SapYearsKnown(sp, 2027, FirstRunDay, on-1, got)
	if fmt.Sprint(a) != fmt.Sprint(b) || len(a) == 0 || a[0].Known != montreal.Season(2027).Day(on)+4 {
		t.Errorf("with another future the same forecast gives another outlook, or none: %d ways", len(a))
	}
	// It is what the schedule of that morning would see, with the forecast in its file.
	live := weather.Series{First: s.First, Days: append([]weather.Day(nil), s.Until(on-1).Days...)}
	for _, d := range got {
		d.Flags |= weather.Forecast
		live.Days = append(live.Days, d)
	}
	if c := outlook(montreal, live).SapYears(sp, 2027, FirstRunDay); fmt.Sprint(a) != fmt.Sprint(c) {
		t.Error("looking back sees another outlook than the day itself")
	}
}

// A textbook's paired differences: of 1, 2, 3 and 4 the mean is 2.5, the standard deviation 1.291, its error 0.645.
func TestPairedDifference(t *testing.T) {
	d := pairedDifference([]float64{1, 2, 3, 4})
	if math.Abs(d.Mean-2.5) > 1e-9 || math.Abs(d.StandardError-0.6455) > 1e-4 || !d.Clear() {
		t.Errorf("%+v", d)
	}
	if d = pairedDifference([]float64{-3, 4}); d.Clear() {
		t.Errorf("%+v is not clear", d)
	}
	if d = pairedDifference([]float64{1}); d.Clear() {
		t.Errorf("one season makes nothing clear: %+v", d)
	}
}

func TestTapEntryRingsSoonAndNow(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple")
	p.Places[0].Options.Tapping.Reminder = 6*60 + 30
	e := tapOf(t, schedule(p), 2027)
	if len(e.Reminders) != 2 || e.Reminders[0].Before != 7 || e.Reminders[1].Before != 0 {
		t.Fatalf("reminders %+v, want one with a week's notice and one on the day", e.Reminders)
	}
	for _, r := range e.Reminders {
		if r.On != e.Best || r.Minute != 6*60+30 {
			t.Errorf("reminder %+v, want it for %s at half past six", r, e.Best)
		}
	}
	if e.Settled {
		t.Error("settled weeks ahead")
	}
	// On the day itself it is as certain as it gets.
	rings := map[civil.Date]bool{}
	for day := e.Best - 20; day <= e.Best+30; day++ {
		p := calendartest.MadePlan(day, 20, 0, "sugar maple")
		p.Span.First -= 40
		for _, e := range schedule(p).Entries {
			if e.Task != calendar.TaskTap || e.Season != 2027 {
				continue
			}
			if now := e.Best <= day; e.Settled != now {
				t.Errorf("on %s: best %s, settled %v", day, e.Best, e.Settled)
			} else if now {
				if a := e.Facts.(*TapFacts).Advice; a != TapNow && a != WaitAgain && a != TooLate {
					t.Errorf("on the day: %s", a)
				}
				rings[e.Best] = true
			}
		}
	}
	if len(rings) == 0 || len(rings) > 2 {
		t.Errorf("in seven weeks round the best day it rang to tap now on %d days, want one, or few where the weather turned", len(rings))
	}
}

func TestNothingRingsFromPlaceAlone(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple", "red maple", "paper birch")
	p.Places[0].Outlook.Temps = nil
	s := schedule(p)
	if len(s.Entries) == 0 {
		t.Fatal("no entries from place alone")
	}
	for _, e := range s.Entries {
		if len(e.Reminders) > 0 {
			t.Errorf("%s rings: %+v", e.Task, e.Reminders)
		}
		if e.Task == calendar.TaskRun {
			t.Errorf("a run from place alone: %+v", e)
		}
		if f, ok := e.Facts.(*TapFacts); ok && (f.Advice != NoRecord || f.Price != nil) {
			t.Errorf("advised from place alone: %+v", f)
		}
	}
}

// What the plan says of tapping holds without a record too: six weeks by gravity are dry after eight (see HoleYield).
func TestTappedByPlaceAlone(t *testing.T) {
	tapped := civil.Of(2027, time.March, 1)
	p := calendartest.MadePlan(tapped, 20, 0, "sugar maple")
	p.Places[0].Outlook.Temps, p.Places[0].Options.Tapping.Tapped = nil, &tapped
	for _, e := range schedule(p).Entries {
		if e.Task == calendar.TaskTap && e.Season == 2027 {
			f := e.Facts.(*TapFacts)
			if want := civil.Of(2027, time.April, 26); f.Advice != Tapped || f.Dry != civil.Some(want) || e.State != calendar.Done {
				t.Errorf("eight weeks from 1 March are 26 April; found %+v", f)
			}
			return
		}
	}
	t.Error("found no entry of the tapping that is done")
}

// Where it hardly freezes nobody is told to tap: the record is so warm that no night is below freezing.
func TestNoTappingWithoutFrost(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 16, "sugar maple", "red maple")
	s := schedule(p)
	for _, e := range s.Entries {
		t.Errorf("found %s, %s to %s", e.Task, e.Window.First, e.Window.Last)
	}
	if len(s.Notes) == 0 {
		t.Fatal("nothing is noted")
	}
	for _, n := range s.Notes {
		if of, ok := n.Says.(NoDates); !ok || of.Why == "" {
			t.Errorf("the notes do not say why: %v", n)
		}
	}
}

func TestRunsAheadAreEntries(t *testing.T) {
	asOf := civil.Of(2027, time.March, 20)
	p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
	tapped := civil.Of(2027, time.March, 10)
	p.Places[0].Options.Tapping.Tapped = &tapped
	calendartest.WithForecast(p, 3)
	s := schedule(p)
	var run *calendar.Entry
	for _, e := range s.Entries {
		switch e.Task {
		case calendar.TaskTap:
			if e.Season == 2027 {
				t.Errorf("tapped, and yet: %s %s", e.Task, e.Window)
			}
		case calendar.TaskRun:
			if run != nil {
				t.Errorf("a second run: %s", e.Window)
			}
			run = e
		}
	}
	if run == nil {
		t.Fatal("no run ahead")
	}
	if run.Window.Last != asOf+3 || run.Settled || run.Probability < 0.5 || run.Probability > 0.999 {
		t.Errorf("run %s, settled %v, probability %v", run.Window, run.Settled, run.Probability)
	}
}

// A run is one event, whoever's sap it is: it keeps its identifier when a species joins the plan or, its buds swollen,
// leaves the season.
func TestRunKeepsItsIdentifier(t *testing.T) {
	tapped := civil.Of(2027, time.March, 10)
	uids := func(names ...string) map[string]bool {
		p := calendartest.MadePlan(civil.Of(2027, time.March, 20), 20, 0, names...)
		p.Places[0].Options.Tapping.Tapped = &tapped
		calendartest.WithForecast(p, 3)
		found := map[string]bool{}
		for _, e := range schedule(p).Entries {
			if e.Task == calendar.TaskRun {
				found[e.UID] = true
			}
		}
		return found
	}
	one, two := uids("sugar maple"), uids("sugar maple", "red maple")
	if len(one) == 0 {
		t.Fatal("no run ahead")
	}
	for uid := range one {
		if !two[uid] {
			t.Errorf("with red maple, %v; without, %v", two, one)
		}
	}
}

// A run is told by the weather alone: whichever species share it, in whatever order, it has the same days and size.
func TestSharedRunIsTheSameForAll(t *testing.T) {
	tapped := civil.Of(2027, time.March, 10)
	for asOf := civil.Of(2027, time.March, 12); asOf < civil.Of(2027, time.May, 5); asOf += 3 {
		runs := func(names ...string) map[string]string {
			p := calendartest.MadePlan(asOf, 20, 0, names...)
			p.Places[0].Options.Tapping.Tapped = &tapped
			p.Span.First = tapped
			calendartest.WithForecast(p, 8)
			found := map[string]string{}
			for _, e := range schedule(p).Entries {
				if e.Task == calendar.TaskRun {
					found[e.UID] = fmt.Sprint(e.Window, e.Best, e.Probability, e.Facts, e.Reminders, e.Settled)
				}
			}
			return found
		}
		all := runs("red maple", "sugar maple", "silver maple")
		for _, names := range [][]string{{"sugar maple"}, {"red maple"}, {"silver maple"}, {"silver maple", "sugar maple"}, {"sugar maple", "red maple"}} {
			for uid, text := range runs(names...) {
				if all[uid] != text {
					t.Errorf("as of %s, of %v:\n%s\nof all:\n%s", asOf, names, text, all[uid])
				}
			}
		}
	}
}

// Runs are compared with runs of the same days of other years: where all years are alike, half of a whole season's runs
// are small and a fifth large.
func TestSizesCompareLikeWithLike(t *testing.T) {
	s := weather.Series{First: civil.Of(2001, time.January, 1)}
	for d := s.First; d <= civil.Of(2027, time.June, 30); d++ {
		x := float64(d.YearDay())
		mean := 7 - 14*math.Cos((x-25)*2*math.Pi/365) + 6*math.Sin(x*2*math.Pi/7)
		s.Days = append(s.Days, weather.Day{Min: mean - 5, Max: mean + 5})
	}
	p := calendartest.MadePlan(civil.Of(2027, time.June, 30), 1, 0, "sugar maple")
	p.Places[0].Outlook = outlook(p.Places[0].Outlook.Site, s)
	runs := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027).Runs
	all := runsIn(p.Places[0].Outlook.Temps, *p.Places[0].Species[0].Sap.Run, phenology.Season{Year: 2027})
	sizes := map[RunSize]int{}
	for _, r := range runs {
		sizes[r.Size]++
	}
	if n := len(all); n < 8 || len(runs) < n-2 || math.Abs(float64(sizes[SizeSmall])-float64(n)/2) > 1.5 || math.Abs(float64(sizes[SizeLarge])-float64(n)/5) > 1.5 {
		t.Errorf("of %d runs, %d in the season: %v", n, len(runs), sizes)
	}
}

func TestForecastDoubts(t *testing.T) {
	asOf := civil.Of(2027, time.March, 10)
	for _, c := range []struct {
		name   string
		change func(*weather.Series)
		want   Flaw
	}{
		{"sound", func(*weather.Series) {}, ""},
		{"a gap", func(f *weather.Series) { f.Days[3] = weather.Missing }, Incomplete},
		{"old", func(f *weather.Series) { f.First -= 5 }, Old},
		{"over", func(f *weather.Series) { f.First -= 20 }, Ended},
		{"begins late", func(f *weather.Series) { f.First++ }, BeginsLate},
		{"a later day's", func(f *weather.Series) { f.First += 30 }, ""},
		{"contradicts the station", func(f *weather.Series) {
			f.First -= 2
			for i := range f.Days {
				f.Days[i].Min, f.Days[i].Max = f.Days[i].Min*1.8+32, f.Days[i].Max*1.8+32
			}
		}, Contradicts},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := calendartest.MadePlan(asOf, 20, 0, "sugar maple")
			f := calendartest.WithForecast(p, 8)
			c.change(&f)
			p.Places[0].Forecasts = []weather.Series{f}
			got := forecastDoubts(p.Places[0], asOf)
			if found := slices.ContainsFunc(got, func(d Doubt) bool { return d.What == c.want }); found != (c.want != "") || c.want == "" && len(got) > 0 {
				t.Errorf("got %+v, want %q", got, c.want)
			}
			if f := tapOf(t, schedule(p), 2027).Facts.(*TapFacts); !slices.Equal(f.Doubts, got) {
				t.Errorf("the entry has %+v, want %+v", f.Doubts, got)
			}
			if c.want == Incomplete && got[0].Day != civil.Of(2027, time.March, 14) {
				t.Errorf("incomplete on %s, want 14 March", got[0].Day)
			}
			if c.want == Contradicts && !got[len(got)-1].Refused {
				t.Errorf("degrees Fahrenheit taken as Celsius are not refused: %+v", got)
			}
		})
	}
}

// A forecast in the other unit, or for another climate, is left out; one that merely missed a front is not.
func TestForecastContradicts(t *testing.T) {
	observed := weather.Series{First: civil.Of(2027, time.March, 1), Days: []weather.Day{{Min: -8, Max: 2}, {Min: -12, Max: -1}, {Min: -3, Max: 6}}}
	for _, c := range []struct {
		name   string
		change func(float64) float64
		shift  civil.Date
		want   bool
	}{
		{"the same", func(x float64) float64 { return x }, 0, false},
		{"missed a front", func(x float64) float64 { return x + 7 }, 0, false},
		{"degrees Fahrenheit", func(x float64) float64 { return x*1.8 + 32 }, 0, true},
		{"degrees Fahrenheit, with no day in common", func(x float64) float64 { return x*1.8 + 32 }, 3, false},
		{"summer somewhere", func(x float64) float64 { return x + 25 }, 0, true},
	} {
		f := weather.Series{First: observed.First + c.shift}
		for _, d := range observed.Days {
			f.Days = append(f.Days, weather.Day{Min: c.change(d.Min), Max: c.change(d.Max)})
		}
		if got := ForecastContradicts(observed, f); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
	}
}

func TestQuantitiesByTheRuleOf86(t *testing.T) {
	p := calendartest.MadePlan(civil.Of(2027, time.January, 10), 20, 0, "sugar maple")
	opt := &p.Places[0].Options.Tapping
	opt.SugarLow, opt.SugarHigh, opt.Taps = 2, 2.5, 100
	s := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027)
	q := s.quantities()
	// Jones 1946: 86 over the sugar: 43 at 2 per cent, 34.4 at 2.5. A tap gives 5 to 15 US gallons, 19 to 57 litres.
	near := func(r Range, low, high float64) bool {
		return math.Abs(r.Low/low-1) < 0.001 && math.Abs(r.High/high-1) < 0.001
	}
	if !q.SugarOwn || q.Taps != 100 || !near(q.PerSyrup, 34.4, 43) || !near(*q.Sap, 1900, 5700) || !near(*q.Syrup, 1900*2/86., 5700*2.5/86) {
		t.Errorf("found %+v, sap %+v, syrup %+v", q, q.Sap, q.Syrup)
	}
	opt.Collection = calendar.Vacuum
	if v := SeasonAt(p, p.Places[0], p.Places[0].Species[0], 2027).quantities(); !near(*v.Sap, 3800, 11400) {
		t.Errorf("under vacuum %+v, want twice as much", v.Sap)
	}
}

func TestCrewTakesTheBushesInTurn(t *testing.T) {
	curve := func(best phenology.SeasonDay, slope float64) *Decision {
		d := &Decision{Terms: Terms{Today: 40}, Best: best, Caught: 1}
		for day := phenology.SeasonDay(40); day < 120; day++ {
			d.Curve = append(d.Curve, 1-slope*math.Abs(float64(day-best)))
		}
		return d
	}
	for _, c := range []struct {
		name string
		jobs []crewJob
		want []phenology.SeasonDay
	}{
		// Begun on day 60 the first loses nothing and the second, on day 64, two days; begun on 58 it is the other way
		// round, and the earlier of days as good is taken.
		{"in each other's way", []crewJob{newCrewJob(4, 1, curve(60, 0.01)), newCrewJob(4, 1, curve(62, 0.01))}, []phenology.SeasonDay{58, 62}},
		{"the second has more taps", []crewJob{newCrewJob(4, 100, curve(60, 0.01)), newCrewJob(4, 900, curve(62, 0.01))}, []phenology.SeasonDay{58, 62}},
		{"the first has more taps", []crewJob{newCrewJob(4, 900, curve(60, 0.01)), newCrewJob(4, 100, curve(62, 0.01))}, []phenology.SeasonDay{60, 64}},
		{"a rest between two", []crewJob{newCrewJob(4, 1, curve(60, 0.01)), newCrewJob(4, 1, curve(80, 0.01))}, []phenology.SeasonDay{60, 80}},
		{"three in a row", []crewJob{newCrewJob(5, 1, curve(60, 0.01)), newCrewJob(5, 1, curve(60, 0.01)), newCrewJob(5, 1, curve(60, 0.01))}, []phenology.SeasonDay{55, 60, 65}},
		{"best today, nothing before it", []crewJob{newCrewJob(3, 1, curve(40, 0.01)), newCrewJob(3, 1, curve(41, 0.01))}, []phenology.SeasonDay{40, 43}},
		{"two species of a bush", []crewJob{newCrewJob(2, 1, curve(60, 0.01), curve(70, 0.03)), newCrewJob(2, 1, curve(90, 0.01))}, []phenology.SeasonDay{70, 90}},
	} {
		if got := crewDays(c.jobs); !slices.Equal(got, c.want) {
			t.Errorf("%s: begin on %v, want %v", c.name, got, c.want)
		}
	}
}

// What [crewDays] finds loses no more than any other days do, tried one by one.
func TestCrewLosesTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var jobs []crewJob
		for range rapid.IntRange(1, 3).Draw(t, "bushes") {
			d := &Decision{Terms: Terms{Today: 50}, Curve: rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 9).Draw(t, "curve")}
			jobs = append(jobs, newCrewJob(rapid.IntRange(1, 3).Draw(t, "days"), float64(rapid.IntRange(1, 900).Draw(t, "taps")), d))
		}
		loss := func(days []phenology.SeasonDay) (sum float64) {
			for i := range jobs {
				sum += jobs[i].weight * jobs[i].lost(days[i])
			}
			return sum
		}
		got := crewDays(jobs)
		for i := 1; i < len(got); i++ {
			if got[i] < got[i-1]+phenology.SeasonDay(jobs[i-1].days) {
				t.Fatalf("days %v overlap", got)
			}
		}
		var try func(days []phenology.SeasonDay, free phenology.SeasonDay)
		try = func(days []phenology.SeasonDay, free phenology.SeasonDay) {
			if len(days) == len(jobs) {
				if loss(days) < loss(got)-1e-6 {
					t.Fatalf("%v loses %v, %v only %v", got, loss(got), days, loss(days))
				}
				return
			}
			for day := free; day <= 62; day++ {
				try(append(slices.Clone(days), day), day+phenology.SeasonDay(jobs[len(days)].days))
			}
		}
		try(nil, 50)
	})
}

// A decision over thirty years is to take less than 2 ms a site.
func BenchmarkDecideTapping30Years(b *testing.B) {
	p := calendartest.MadePlan(civil.Of(2027, time.March, 1), 30, 0, "sugar maple")
	pl := p.Places[0]
	pl.Outlook.Estimate(pl.Species[0], 2027)
	b.ReportAllocs()
	for b.Loop() {
		years := pl.Outlook.SapYears(pl.Species[0], 2027, FirstRunDay)
		if d := Decide(years, Terms{Today: 60, Life: 42}); d == nil {
			b.Fatal("no decision")
		}
	}
}
