package tapping

import (
	"math"

	"treewhen/calendar"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/weather"
)

// Trial is whether something that is usually assumed foretells a book better once it is tuned to it. Each whole season
// of the book is left out in turn, what is tuned is tuned to the others, and the one left out is foretold by it.
type Trial struct {
	Seasons int     // that were left out in turn; 0: nothing was tried, and the rest is 0 too
	Usual   float64 // what is missed of the seasons left out, by what is usually assumed: see [missed]
	Tuned   float64 // and by what is tuned
	Kept    bool    // the tuned is used, since it misses less of the seasons left out
}

// keepTuned is how much less of the seasons left out the tuned must miss to be kept, as a share of what the usual does:
// by less than that another season would turn it round. Our own choice.
const keepTuned = 0.05

// assumed is what volumes are foretold by.
type assumed struct {
	life HoleLife
	rule phenology.RunRule
}

// keptSeason is a season of the book with what tells of it: litres gathered in stretches of some days, and the weather
// behind them.
type keptSeason struct {
	stretches []float64
	days      []weather.Day // from [runMemory] days before its first
	in        []int         // the stretch in which what runs on each day, from the first on, is gathered
}

// stretch is how many days of a book are looked at together: a day's volume is known to a factor of two at best.
// Our own choice.
const stretch = 7

// runMemory is for how many days before a season its weather is looked at: a freeze lasts for three days, and a day of
// deep cold for one more.
const runMemory = 5

// wholeSeasons returns the past seasons of a book that tell anything.
func (s *Season) wholeSeasons(past []Booked) (list []keptSeason) {
	t := s.Place.Outlook.Temps
	if t == nil {
		return nil
	}
	for _, b := range past {
		if b.Days < fewestDays || b.Sap <= 0 {
			continue
		}
		k := keptSeason{stretches: make([]float64, int(b.Last-b.First)/stretch+1)}
		for d := b.First - runMemory; d <= b.Last; d++ {
			day := t.Series().At(d)
			if d >= b.First && !day.Complete() {
				k.days = nil
				break
			}
			k.days = append(k.days, day)
		}
		for _, g := range b.rows {
			for d := b.First + civil.Date(len(k.in)); d < g.Date; d++ {
				k.in = append(k.in, int(g.Date-b.First)/stretch)
			}
			k.stretches[int(g.Date-b.First)/stretch] += g.Sap
		}
		if k.days != nil {
			list = append(list, k)
		}
	}
	return list
}

// foretold is what an assumption foretells of a season's stretches, for a tap of the season's kind; what runs on a day
// is in what is gathered next. Holes are taken to be drilled on the season's first day.
func (k *keptSeason) foretold(a assumed) []float64 {
	all := make([]float64, len(k.stretches))
	runs := a.rule.Likelihoods(weather.Series{Days: k.days})
	warmth := 0.0
	for i, d := range k.days[runMemory:] {
		r := runs[runMemory+i]
		if i < len(k.in) {
			all[k.in[i]] += dayVolume(r.Likelihood, r.Hours, a.life.Left(float64(i), warmth))
		}
		warmth += phenology.SineDegreeDays(d.Min, d.Max, phenology.HoleWarmthBase)
	}
	return all
}

// missed is how far foretold stretches are off in all, each season's multiplied by what the others (or all, if left is
// below 0) were off by as a whole: the squares of differences of square roots, so that a large one counts for more and
// not for all, by the litres gathered. It is of the season left out, or of all.
func missed(seasons []keptSeason, foretold [][]float64, left int) float64 {
	logs, n := 0.0, 0.0
	for i, k := range seasons {
		if all := sum(foretold[i]); i != left && all > 0 {
			logs, n = logs+math.Log(sum(k.stretches)/all), n+1
		}
	}
	factor := math.Exp(logs / max(1, n))
	off, gathered := 0.0, 0.0
	for i, k := range seasons {
		if left >= 0 && i != left {
			continue
		}
		for j, litres := range k.stretches {
			d := math.Sqrt(litres) - math.Sqrt(factor*foretold[i][j])
			off, gathered = off+d*d, gathered+litres
		}
	}
	return off / gathered
}

// others is [missed] of what a season that is left out leaves.
func others(seasons []keptSeason, foretold [][]float64, left int) float64 {
	var rest []keptSeason
	var of [][]float64
	for i := range seasons {
		if i != left {
			rest, of = append(rest, seasons[i]), append(of, foretold[i])
		}
	}
	return missed(rest, of, -1)
}

// try tunes to a book by choosing among candidates, of which the first is the usual. It returns the one to use.
func try(seasons []keptSeason, candidates []assumed) (assumed, Trial) {
	if len(seasons) < TunedAfter {
		return candidates[0], Trial{}
	}
	of := make([][][]float64, len(candidates))
	for c, a := range candidates {
		for i := range seasons {
			of[c] = append(of[c], seasons[i].foretold(a))
		}
	}
	best := func(left int) (at int) {
		for c := range of {
			if others(seasons, of[c], left) < others(seasons, of[at], left)-1e-12 {
				at = c
			}
		}
		return at
	}
	t := Trial{Seasons: len(seasons)}
	for left := range seasons {
		t.Usual += missed(seasons, of[0], left) / float64(len(seasons))
		t.Tuned += missed(seasons, of[best(left)], left) / float64(len(seasons))
	}
	if t.Kept = t.Tuned < t.Usual*(1-keepTuned); !t.Kept {
		return candidates[0], t
	}
	return candidates[best(-1)], t
}

// lives are the lives of holes that are tried, the usual first: from half as long to twice, dried by age, by warmth and
// by both. Our own choice.
func lives(usual HoleLife) []HoleLife {
	list := []HoleLife{usual}
	for _, times := range []float64{0.5, 0.7, 1, 1.4, 2} {
		for _, share := range []float64{0, 0.25, 0.5, 0.75, 1} {
			list = append(list, HoleLife{Days: usual.Days * times, Warmth: usual.Warmth * times, Share: share})
		}
	}
	return list
}

// rules are the rules of run days that are tried, the usual first: thresholds up to two degrees Celsius colder or
// milder. Our own choice.
func rules(usual phenology.RunRule) []phenology.RunRule {
	list := []phenology.RunRule{usual}
	for _, night := range []float64{-2, -1, 0, 1, 2} {
		for _, day := range []float64{-2, -1, 0, 1, 2} {
			r := usual
			r.Night.Low, r.Night.High = r.Night.Low+night, r.Night.High+night
			r.Day.Low, r.Day.High = r.Day.Low+day, r.Day.High+day
			list = append(list, r)
		}
	}
	return list
}

// assume settles by what volumes are foretold, and how long holes last: as usual, or tuned to the place's book. What
// the plan says of holes stands.
func (s *Season) assume(o calendar.TappingOptions, past []Booked) (a assumed, hole, thresholds Trial) {
	a = assumed{LifeOf(o), *s.Species.Sap.Run}
	if a.rule.Drive == phenology.RootPressure {
		return a, hole, thresholds
	}
	seasons := s.wholeSeasons(past)
	if o.HoleLife == 0 && o.DryingByWarmth == nil {
		a, hole = try(seasons, each(lives(a.life), func(l HoleLife) assumed { return assumed{l, a.rule} }))
	}
	a, thresholds = try(seasons, each(rules(a.rule), func(r phenology.RunRule) assumed { return assumed{a.life, r} }))
	return a, hole, thresholds
}

func each[T any](list []T, of func(T) assumed) []assumed {
	all := make([]assumed, len(list))
	for i, x := range list {
		all[i] = of(x)
	}
	return all
}
