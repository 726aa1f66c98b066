package tapping

import (
	"math"
	"sync"

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
	Warmth float64 // degree-days Celsius above [phenology.HoleWarmthBase] that halve what one drying by it gives
	Share  float64 // of the drying that is by warmth, in [0, 1]
}

// What holes are taken to last where the plan says nothing. By gravity the record named at [HoleLife] leaves any share
// open; half of each is our own choice, by which the day to tap lies between that of growers' custom and the January in
// which holes that dry by warmth alone would be drilled. Under vacuum the figures are scaled to what growers and
// studies say: Vermont's holes of January gave a quarter more sap than those of February (second hand), and holes of
// autumn in Quebec ran to April.
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
func (l HoleLife) Left(age, warmth float64) float64 {
	if x := l.wear(age, warmth); x < wornOut {
		return left(x * wearSteps)
	}
	return 0
}

// wear is x of [HoleLife].
func (l HoleLife) wear(age, warmth float64) float64 {
	return (1-l.Share)*age/l.Days + l.Share*warmth/l.Warmth
}

const (
	wornOut   = 2.5 // x at which a hundredth is left, and nothing is counted any more
	wearSteps = 128 // in which left is tabled, to each 1 of x
)

// leftTable has what is left at each step of wear, and by how much that is more than at the next.
var leftTable = func() (table [wornOut*wearSteps + 1]struct{ at, rise float64 }) {
	at := func(step int) float64 { x := float64(step) / wearSteps; return math.Exp2(-x * x) }
	for i := range table {
		table[i].at, table[i].rise = at(i), at(i+1)-at(i)
	}
	return table
}()

// left is [HoleLife]'s function of x, from a table, to a ten-thousandth: it is asked for some million times in looking
// back on one record. X is given in steps of that table, and is below wornOut.
func left(steps float64) float64 {
	whole := int(steps)
	t := &leftTable[whole]
	return t.at + t.rise*(steps-float64(whole))
}

// catcher works out what holes catch of one way after another, by two accounts of what runs on its days: as it runs,
// and evened. The same holes catch both, so that how they dry is worked out once.
type catcher struct {
	life          HoleLife
	days          int       // that drilling takes, in equal parts
	room          []float64 // to even in
	wear          []float64 // in steps of leftTable, that a hole drilled on the first day has on the morning of each
	plain, evened account
}

// account is what runs on the days of a way by one account.
type account struct {
	runs  []float64
	total float64   // of all days
	one   []float64 // what part of total a hole catches, drilled on each day that is looked at
}

// catchers are those that are done with, for their room.
var catchers = sync.Pool{New: func() any { return new(catcher) }}

func newCatcher(life HoleLife, days int) *catcher {
	c := catchers.Get().(*catcher)
	c.life, c.days = life, max(1, days)
	return c
}

// load takes what runs on the days of a way, by both accounts.
func (c *catcher) load(y *phenology.SapYear, plain, evened []float64) {
	c.plain.load(plain)
	c.evened.load(evened)
	c.wear = c.wear[:0]
	warmth := 0.0
	for i := range plain {
		c.wear = append(c.wear, c.life.wear(float64(i), warmth)*wearSteps)
		if i < len(y.Warmth) {
			warmth += y.Warmth[i]
		}
	}
}

func (a *account) load(runs []float64) { a.runs, a.total = runs, sum(runs) }

// shares writes, for each day from an index of the way's days on, what part of each account is caught if drilling
// begins then.
func (c *catcher) shares(plain, evened []float64, from int) {
	c.plain.one, c.evened.one = c.plain.one[:0], c.evened.one[:0]
	for k := range len(plain) + c.days - 1 {
		p, e := c.caught(max(0, from+k))
		c.plain.one, c.evened.one = append(c.plain.one, p/c.plain.total), append(c.evened.one, e/c.evened.total)
	}
	c.plain.drilledOver(c.days, plain)
	c.evened.drilledOver(c.days, evened)
}

// drilledOver writes the mean of what holes drilled on each of some days in a row catch, from each day on.
func (a *account) drilledOver(days int, out []float64) {
	last := days - 1
	some := sum(a.one[:last])
	for k := range out {
		some += a.one[k+last]
		out[k] = some / float64(days)
		some -= a.one[k]
	}
}

// caught is what a hole drilled on the morning of a day catches of both accounts.
func (c *catcher) caught(drilled int) (plain, evened float64) {
	if drilled >= len(c.wear) {
		return 0, 0
	}
	wear := c.wear[drilled:]
	plainRuns, evenedRuns := c.plain.runs[drilled:][:len(wear)], c.evened.runs[drilled:][:len(wear)]
	fresh := wear[0]
	for i, w := range wear {
		steps := w - fresh
		if steps >= wornOut*wearSteps {
			break
		}
		left := left(steps)
		plain += plainRuns[i] * left
		evened += evenedRuns[i] * left
	}
	return plain, evened
}

// fading returns how holes drilled on a day go on: in the middle one of the ways in which the season may go, or by age
// alone where none is known.
func (s *Season) fading(drilled civil.Date) *Fading {
	l := s.uses.life
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
