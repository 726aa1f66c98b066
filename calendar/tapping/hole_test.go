package tapping

import (
	"math"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func byAge(days float64) HoleLife { return HoleLife{Days: days, Warmth: gravityWarmth} }

// dryingByAge makes holes of a plan's places dry by age alone, which puts the day to tap into the weeks before spring.
func dryingByAge(p *calendar.Plan) *calendar.Plan {
	for _, pl := range p.Places {
		pl.Options.Tapping.DryingByWarmth = new(float64)
	}
	return p
}

func TestHoleLife(t *testing.T) {
	half := HoleLife{Days: 40, Warmth: 30, Share: 0.5}
	for _, c := range []struct {
		life        HoleLife
		age, warmth float64
		want        float64
	}{
		{byAge(42), 0, 500, 1}, {byAge(42), 42, 0, 0.5}, {byAge(42), 42 * math.Sqrt2, 0, 0.25}, {byAge(42), 130, 0, 0},
		{HoleLife{Days: 42, Warmth: 33, Share: 1}, 200, 33, 0.5}, {half, 40, 30, 0.5}, {half, 80, 0, 0.5},
		{half, 0, 60, 0.5}, {half, 20, 15, math.Exp2(-0.25)},
	} {
		if got := c.life.Left(c.age, c.warmth); math.Abs(got-c.want) > 0.002 {
			t.Errorf("%+v after %v days and %v degree-days: found %.3f, want %.3f", c.life, c.age, c.warmth, got, c.want)
		}
	}
	// Growers' experience of buckets (from memory): four to six weeks of good flow, up to eight.
	h := NewHole(calendar.DefaultOptions().Tapping)
	if h.Well < 21 || h.Half != 42 || h.Dry < 50 || h.Dry > 63 {
		t.Errorf("by age alone: %+v", h)
	}
	long := calendar.DefaultOptions().Tapping
	long.HoleLife = 84
	if l := LifeOf(long); l.Days != 84 || l.Warmth != 2*gravityWarmth || l.Share != gravityShare {
		t.Errorf("twice as long a life: %+v", l)
	}
	none := 0.0
	long.DryingByWarmth = &none
	if l := LifeOf(long); l.Share != 0 {
		t.Errorf("by age alone: %+v", l)
	}
}

// wayRecorded is a season of Harvard Forest as it went, 0.6 degrees warmer as lower southern Vermont is.
func wayRecorded(t *testing.T, o *phenology.Outlook, season int) phenology.SapYear {
	t.Helper()
	y, ok := o.SapYearRecorded(species(t, "sugar maple"), season, FirstRunDay)
	if !ok {
		t.Fatalf("%d is not on record", season)
	}
	return y
}

// What is left in a bucket's hole by the mixture, as it was worked out apart from this program, from hourly
// temperatures by a cosine through the minima and maxima of Harvard Forest (HF001), 0.6 degrees warmer, with
// exp(-(days/150 + degree-days/60)²): drilled on 15 January, on 15 March, and drilled on 15 February, on 5 April.
func TestHolesAtHarvardForest(t *testing.T) {
	record := openRecord(t, fisherFile)
	for i := range record.Days {
		record.Days[i].Min, record.Days[i].Max = record.Days[i].Min+0.6, record.Days[i].Max+0.6
	}
	o := outlook(harvard, record)
	// The same in the terms of this program: exp(-u²) is a half at u = 0.833.
	mixture := HoleLife{Days: 0.833 * 150 / 2, Warmth: 0.833 * 60 / 2, Share: 0.5}
	for _, c := range []struct {
		drilled, on civil.Date
		want        float64
	}{
		{civil.Of(2007, time.January, 15), civil.Of(2007, time.March, 15), 0.61},
		{civil.Of(2013, time.January, 15), civil.Of(2013, time.March, 15), 0.60},
		{civil.Of(2012, time.January, 15), civil.Of(2012, time.March, 15), 0.15},
		{civil.Of(2013, time.February, 15), civil.Of(2013, time.April, 5), 0.52},
		{civil.Of(2006, time.February, 15), civil.Of(2006, time.April, 5), 0.10},
	} {
		y := wayRecorded(t, o, c.on.Year())
		warmth := 0.0
		for d := c.drilled; d < c.on; d++ {
			if i := d.YearDay() - 1; i < len(y.Warmth) {
				warmth += y.Warmth[i]
			}
		}
		got := mixture.Left(float64(c.on-c.drilled), warmth)
		if math.Abs(got-c.want) > 0.08 {
			t.Errorf("drilled on %s, on %s: %.2f left after %.0f degree-days, want about %.2f", c.drilled, c.on, got, warmth,
				c.want)
		}
	}
}

// Holes under vacuum that are drilled in January and stay are believed. At the University of Vermont, in 2006 and 2007,
// those of early January gave 6.5 to 6.8 US gallons a tap more than those of February (T. Perkins, second hand): the
// mean of seasons is at least as good by January, and the holes last to the end of most.
func TestJanuaryUnderVacuum(t *testing.T) {
	o := outlook(harvard, openRecord(t, fisherFile))
	opt := calendar.DefaultOptions().Tapping
	opt.Collection = calendar.Vacuum
	life := LifeOf(opt)
	catch := newCatcher(life, 1)
	var january, february, lasts, seasons float64
	for year := 2002; year <= 2013; year++ {
		y := wayRecorded(t, o, year)
		catch.load(&y, y.Flow, y.Flow)
		shares := make([]float64, 41)
		catch.shares(shares, shares, 0)
		january, february = january+shares[4], february+shares[40]
		end := o.Estimate(species(t, "sugar maple"), year).Get(phenology.SapEnd).P50()
		if civil.Of(year, time.January, 5)+civil.Date(life.ageAt(worn(dryLeft), &y, 5)) > end {
			lasts++
		}
		seasons++
	}
	t.Logf("of the season's run days, January's holes catch %.1f %%, February's %.1f %%; January's last to the end in %.0f "+
		"of %.0f seasons", 100*january/seasons, 100*february/seasons, lasts, seasons)
	if january < february || lasts < seasons*2/3 {
		t.Error("want January to catch more, and to last in two seasons of three")
	}
}
