package tapping

import (
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// HoleLife is how long a hole goes on giving: it dries as it ages, and as warmth lets microbes grow in it and the tree
// wall it off. Which of the two it is, growers and studies disagree about, so that it is a mixture.
//
// Of what it gave when fresh a hole of an age of a days, that has met a warmth of w degree-days, gives
//
//	left(x) = exp(-ln 2 · x²), with x = (1 - Share) · a/Days + Share · w/Warmth
//
// A half is left at x = 1, three quarters at 0.64, a quarter at 1.41.
//
// Source: the form and the figures of [LifeOf] were tried on a record of about fifty buckets (Whately, Massachusetts,
// 2013: Smith College MacLeish Field Station, CC0) with the temperatures of Harvard Forest (HF001). Age alone at half
// after 35 to 50 days, warmth alone at half after 33 degree-days, and both together explain its weeks about alike, and
// better than no loss; holes that dry faster or stop by the fifth week are refuted. What growers and the University of
// Vermont say goes with a mixture: holes of January that stay cool lose next to nothing, and those of buckets are dry
// after three to eight weeks of spring.
type HoleLife struct {
	Days   float64 // after which a hole that dries by age alone gives half
	Warmth float64 // degree-days Celsius above [phenology.HoleWarmthBase] after which one that dries by warmth alone does
	Share  float64 // of the drying that is by warmth, in [0, 1]
}

// What holes are taken to last where the plan says nothing. By gravity the record named at [HoleLife] leaves any share
// open; half of each is our own choice, by which the day to tap lies between that of growers' custom and the January in
// which holes that dry by warmth alone would be drilled. Under vacuum the figures are scaled to what growers and studies
// say: Vermont's holes of January gave a quarter more sap than those of February (second hand), and holes of autumn in
// Quebec ran to April.
const (
	gravityWarmth, gravityShare = 33., 0.5
	vacuumWarmth, vacuumShare   = 45., 0.45
)

// LifeOf returns how long a hole is taken to last on the options' terms. A life in days that the plan names is one by
// age alone; its warmth is lengthened or shortened in proportion.
func LifeOf(o calendar.TappingOptions) HoleLife {
	usual := o
	usual.HoleLife = 0
	l := HoleLife{Days: float64(o.Life()), Warmth: gravityWarmth, Share: gravityShare}
	if o.Collection == calendar.Vacuum {
		l.Warmth, l.Share = vacuumWarmth, vacuumShare
	}
	l.Warmth *= l.Days / float64(usual.Life())
	if s := o.DryingByWarmth; s != nil {
		l.Share = *s
	}
	return l
}

// How much is left in a hole that runs well still, and in one that is as good as dry.
const (
	wellLeft = 0.75
	halfLeft = 0.5
	dryLeft  = 0.25
)

// worn returns x of [HoleLife] for what is left.
func worn(left float64) float64 { return math.Sqrt(-math.Log2(left)) }

// Left returns what a hole gives, as a share of what it gave when fresh.
func (l HoleLife) Left(age, warmth float64) float64 { return left(l.wear(age, warmth)) }

// wear is x of [HoleLife].
func (l HoleLife) wear(age, warmth float64) float64 {
	return (1-l.Share)*age/l.Days + l.Share*warmth/l.Warmth
}

const (
	wornOut   = 2.5 // x at which a hundredth is left, and nothing is counted any more
	wearSteps = 128 // in which left is tabled, to each 1 of x
)

var leftTable = func() (table [wornOut*wearSteps + 2]float64) {
	for i := range table {
		x := float64(i) / wearSteps
		table[i] = math.Exp2(-x * x)
	}
	return table
}()

// left is [HoleLife]'s function of x, from a table, to a ten-thousandth: it is asked for some million times in looking back
// on one record.
func left(x float64) float64 {
	if x >= wornOut {
		return 0
	}
	whole := int(x * wearSteps)
	return leftTable[whole] + (leftTable[whole+1]-leftTable[whole])*(x*wearSteps-float64(whole))
}

// catcher works out what holes catch of one way after another.
type catcher struct {
	life HoleLife
	days int       // that drilling takes, in equal parts
	runs []float64 // of the way
	wear []float64 // that a hole drilled on the first of its days would have on the morning of each
	one  []float64 // room to work in
}

func newCatcher(life HoleLife, days int) *catcher { return &catcher{life: life, days: max(1, days)} }

// load takes run days of a way, and returns the sum of them.
func (c *catcher) load(y *phenology.SapYear, runs []float64) float64 {
	c.runs, c.wear = runs, c.wear[:0]
	sum, warmth := 0.0, 0.0
	for i, run := range runs {
		sum += run
		c.wear = append(c.wear, c.life.wear(float64(i), warmth))
		if i < len(y.Warmth) {
			warmth += y.Warmth[i]
		}
	}
	return sum
}

// shares writes, for each day from an index of the way's days on, what part of total is caught if drilling begins
// then.
func (c *catcher) shares(out []float64, from int, total float64) {
	one := out
	if c.days > 1 {
		n := len(out) + c.days - 1
		c.one = slices.Grow(c.one[:0], n)[:n]
		one = c.one
	}
	for k := range one {
		one[k] = c.caught(max(0, from+k)) / total
	}
	if c.days == 1 {
		return
	}
	sum := 0.0
	for k := range c.days - 1 {
		sum += one[k]
	}
	for k := range out {
		sum += one[k+c.days-1]
		out[k] = sum / float64(c.days)
		sum -= one[k]
	}
}

// caught is what a hole drilled on the morning of a day catches.
func (c *catcher) caught(drilled int) float64 {
	if drilled >= len(c.runs) {
		return 0
	}
	sum, fresh := 0.0, c.wear[drilled]
	for i, run := range c.runs[drilled:] {
		x := c.wear[drilled+i] - fresh
		if x >= wornOut {
			break
		}
		sum += run * left(x)
	}
	return sum
}

// fading returns how holes drilled on a day go on: in the middle one of the ways in which the season may go, or by age
// alone where none is known.
func (s *Season) fading(drilled civil.Date) *Fading {
	l := LifeOf(s.Options)
	if len(s.Years) == 0 {
		l.Share = 0
	}
	at := func(remains float64) civil.Date {
		if len(s.Years) == 0 {
			return drilled + civil.Date(l.Days*worn(remains)+0.5)
		}
		ages := make([]float64, len(s.Years))
		for i := range s.Years {
			ages[i] = float64(l.ageAt(worn(remains), &s.Years[i], s.Season.Day(drilled)))
		}
		return drilled + civil.Date(phenology.QuantileOf(ages, 0.5)+0.5)
	}
	return &Fading{Well: at(wellLeft), Half: at(halfLeft), Dry: at(dryLeft)}
}

// lastsYear is the most days for which a hole is looked at.
const lastsYear = 365

// ageAt returns after how many days a hole drilled on a day of a way has come to a wear. Past the way's days it goes on
// as in their last week.
func (l HoleLife) ageAt(wear float64, y *phenology.SapYear, drilled phenology.SeasonDay) int {
	const week = 7
	after := mean(y.Warmth[max(0, len(y.Warmth)-week):])
	warmth := 0.0
	for age := range lastsYear {
		if l.wear(float64(age), warmth) >= wear {
			return age
		}
		i := int(drilled-y.First) + age
		switch {
		case i >= len(y.Warmth):
			warmth += after
		case i >= 0:
			warmth += y.Warmth[i]
		}
	}
	return lastsYear
}

// Extremes are what the day to begin drilling would be if holes dried by age alone, and by warmth alone.
type Extremes struct {
	ByAge, ByWarmth civil.Date
	Cost            Share // of the season's run days: of going by the one where it is the other
	Decide          bool  // which it is makes a difference of more than the [Plateau]
}

// Extremes works out what both say; nil where there is nothing left to decide.
func (s *Season) Extremes() *Extremes {
	if s.Decision == nil || s.Decision.Late || !s.IsOpen() {
		return nil
	}
	by := func(share float64) *Decision {
		terms := s.Decision.Terms
		terms.Hole.Share = share
		return Decide(s.Years, terms)
	}
	age, warmth := by(0), by(1)
	if age == nil || warmth == nil {
		return nil
	}
	cost := max(age.Caught-age.Share(warmth.Best), warmth.Caught-warmth.Share(age.Best))
	return &Extremes{ByAge: s.Season.Date(age.Best), ByWarmth: s.Season.Date(warmth.Best), Cost: Share(cost),
		Decide: cost > Plateau}
}
