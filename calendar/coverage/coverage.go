// Package coverage answers: which few days, taken together, show the most of what one wants to see?
//
// A thing is on show for a spell whose two ends are not known for sure. On a line from 0, the earliest season there is,
// to 1, the latest, a day shows it for the outcomes from a lower to an upper bound, and both bounds rise from day to
// day (see [treewhen/phenology/traits.Spell]). What several days show of it is the union of their stretches: a second
// visit adds only the seasons in which the first came too early, or too late. Adding trips as if their chances had
// nothing to do with each other would count the same uncertainty twice.
//
// Since the bounds rise, the union is a sum over neighbouring days: each day adds what lies above the upper bound of
// the day before it, and it matters not which days came before that one. So the best set of days is the best path
// through the days in order, and dynamic programming finds it; no greedy choice, no search that gives up. With n days,
// k of which are wanted, and w wishes that is w n²/2 steps for the gains and k m n²/2 for the path, where m is how many
// days of a month may be taken.
package coverage

import (
	"math"
	"slices"

	"treewhen/phenology/civil"
)

// Wish is something to be seen.
type Wish struct {
	Weight float64
	Lower  []float64 // by candidate day: the share of outcomes in which it is over, in [0, 1], never falling
	Upper  []float64 // by candidate day: the share of outcomes in which it has begun, in [0, 1], never falling
}

// chance returns the probability that the wish can be seen on a day.
func (w *Wish) chance(day int) float64 { return max(0, w.Upper[day]-w.Lower[day]) }

// after returns what a day adds to what days up to an earlier one have shown of the wish.
func (w *Wish) after(day, before int) float64 {
	return max(0, w.Upper[day]-max(w.Lower[day], w.Upper[before]))
}

// Problem is a choice of days.
type Problem struct {
	Days      []civil.Date // the candidates, rising
	Fixed     []bool       // by candidate day: it is taken in any case; nil if none is
	Wishes    []Wish
	Count     int // how many days are wanted, the fixed ones among them
	Spacing   int // days from one to the next, at least; 1 lets trips follow each other. Fixed days may lie closer
	MostMonth int // how many days of a calendar month may be taken; 0: any. Fixed days may be more

	gain []float64 // see [Problem.gains]; nil until it is first asked for, and the same whatever days are fixed
}

// Choice is the answer to a [Problem].
type Choice struct {
	Days  []int   // indexes of the days to take, rising; fewer than asked for where no more fit or would add anything
	Value float64 // what they are expected to show, in units of weight
	// ByCount[c] is the most that c days can show, NaN where c days cannot be had; c runs to one more than was asked
	// for.
	ByCount []float64
}

// negligible is the share of all weight below which a further day adds nothing worth a bus.
const negligible = 0.001

// Total returns the weight of all wishes.
func (p *Problem) Total() float64 {
	sum := 0.0
	for i := range p.Wishes {
		sum += p.Wishes[i].Weight
	}
	return sum
}

// Shown returns the probability that at least one of a set of days, rising, shows the wish.
func (w *Wish) Shown(days []int) float64 {
	sum := 0.0
	for i, d := range days {
		if i == 0 {
			sum += w.chance(d)
		} else {
			sum += w.after(d, days[i-1])
		}
	}
	return sum
}

// Choose returns the days that show the most: no set of days within the bounds shows more. Of two sets that show the
// same it prefers the one whose last day is earlier, then the one before it.
func (p *Problem) Choose() Choice {
	n, most := len(p.Days), p.Count+1
	perMonth := p.MostMonth
	if perMonth <= 0 || perMonth > most {
		perMonth = most
	}
	fixed := func(i int) bool { return p.Fixed != nil && p.Fixed[i] }
	fixedUpTo := make([]int, n+1)
	for i := range n {
		fixedUpTo[i+1] = fixedUpTo[i]
		if fixed(i) {
			fixedUpTo[i+1]++
		}
	}
	if p.gain == nil {
		p.gain = p.gains()
	}
	month := make([]int, n)
	for i, d := range p.Days {
		y, m, _ := d.Date()
		month[i] = 12*y + int(m)
	}

	// best[c][m][i] is the most that c+1 days show of which the last is i and the m+1st of its month.
	type step struct {
		value  float64
		day    int32 // the day before, -1 if none
		inside int32 // which of its month that one was
	}
	at := func(c, m, i int) int { return (c*perMonth+m)*n + i }
	best := make([]step, most*perMonth*n)
	for i := range best {
		best[i].value = math.Inf(-1)
	}
	for i := range n {
		if fixedUpTo[i] == 0 {
			best[at(0, 0, i)] = step{p.first(i), -1, 0}
		}
	}
	for c := 1; c < most; c++ {
		for i := range n {
			for j := i + 1; j < n; j++ {
				if fixedUpTo[j] > fixedUpTo[i+1] {
					break // a fixed day lies between
				}
				if int(p.Days[j]-p.Days[i]) < p.Spacing && !(fixed(i) && fixed(j)) {
					continue
				}
				same := month[i] == month[j]
				for m := range perMonth {
					from := &best[at(c-1, m, i)]
					if math.IsInf(from.value, -1) {
						continue
					}
					to := 0
					if same {
						if to = m + 1; to >= perMonth {
							if !fixed(j) {
								continue
							}
							to = perMonth - 1
						}
					}
					v := from.value + p.gain[j*n+i]
					if b := &best[at(c, to, j)]; v > b.value+1e-12 {
						*b = step{v, int32(i), int32(m)}
					}
				}
			}
		}
	}

	choice := Choice{ByCount: make([]float64, most+1)}
	ends := make([]int, most+1) // index into best of the last step of the best path
	for c := range choice.ByCount {
		choice.ByCount[c] = math.NaN()
	}
	if fixedUpTo[n] == 0 {
		choice.ByCount[0] = 0
	}
	for c := range most {
		for i := range n {
			if fixedUpTo[n] > fixedUpTo[i+1] {
				continue // a fixed day lies behind
			}
			for m := range perMonth {
				b := best[at(c, m, i)]
				if v := choice.ByCount[c+1]; !math.IsInf(b.value, -1) && (math.IsNaN(v) || b.value > v+1e-12) {
					choice.ByCount[c+1], ends[c+1] = b.value, at(c, m, i)
				}
			}
		}
	}
	// The fewest days that show all that so many can: a trip that adds nothing is no trip.
	top, count := math.Inf(-1), -1
	for c := 0; c <= p.Count; c++ {
		if v := choice.ByCount[c]; !math.IsNaN(v) && v > top+negligible*p.Total() || count < 0 && !math.IsNaN(v) {
			top, count = v, c
		}
	}
	if count <= 0 {
		return choice
	}
	choice.Value = choice.ByCount[count]
	for k, c := ends[count], count-1; ; c-- {
		choice.Days = append(choice.Days, k%n)
		b := best[k]
		if b.day < 0 {
			break
		}
		k = at(c-1, int(b.inside), int(b.day))
	}
	slices.Reverse(choice.Days)
	return choice
}

// first returns what a day shows by itself.
func (p *Problem) first(i int) float64 {
	sum := 0.0
	for w := range p.Wishes {
		sum += p.Wishes[w].Weight * p.Wishes[w].chance(i)
	}
	return sum
}

// gains returns, for every two days, what the later one, which has the row, adds to what days up to the earlier have
// shown.
func (p *Problem) gains() []float64 {
	n := len(p.Days)
	gain := make([]float64, n*n)
	for k := range p.Wishes {
		w := &p.Wishes[k]
		// Before the first day on which it may have begun, and once it is over for certain, there is nothing to see.
		begins, _ := slices.BinarySearch(w.Upper, math.SmallestNonzeroFloat64)
		for j := max(1, begins); j < n && w.Lower[j] < w.Upper[n-1]; j++ {
			if w.chance(j) == 0 || w.Weight == 0 {
				continue
			}
			// As [Wish.after] has it: all that the day shows behind those before it begins, and nothing behind those
			// that showed as much. Between lie a few.
			row, lower, upper := gain[j*n:(j+1)*n], w.Lower[j], w.Upper[j]
			begun, _ := slices.BinarySearch(w.Upper[:j], lower)
			all := w.Weight * (upper - lower)
			for i := range row[:begun] {
				row[i] += all
			}
			for i := begun; i < j && w.Upper[i] < upper; i++ {
				row[i] += w.Weight * (upper - w.Upper[i])
			}
		}
	}
	return gain
}
