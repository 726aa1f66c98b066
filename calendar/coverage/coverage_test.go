package coverage_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"treewhen/calendar/coverage"
	"treewhen/phenology/civil"
)

// random draws a problem: wishes whose ends are normal distributions, as estimates are, on days with gaps as schools
// have them.
func random(r *rand.Rand, days, wishes, count int) *coverage.Problem {
	p := &coverage.Problem{Count: count, Spacing: 1}
	d := civil.Of(2027, 3, 1)
	for len(p.Days) < days {
		if r.Float64() < 0.7 {
			p.Days = append(p.Days, d)
		}
		d++
	}
	length := float64(d - p.Days[0])
	for range wishes {
		from, sd := float64(p.Days[0])+length*r.Float64(), 1+9*r.Float64()
		to, sdTo := from+2+40*r.Float64(), sd+4*r.Float64()
		w := coverage.Wish{Weight: 0.5 + 2*r.Float64()}
		for _, d := range p.Days {
			w.Upper = append(w.Upper, normal((float64(d)-from)/sd))
			w.Lower = append(w.Lower, normal((float64(d)-to)/sdTo))
		}
		p.Wishes = append(p.Wishes, w)
	}
	return p
}

func normal(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// union measures what a set of days shows of the wishes without leaning on the bounds being in order: all ends of all
// stretches are sorted, and every piece between two of them is counted if any stretch covers it.
func union(p *coverage.Problem, days []int) float64 {
	sum := 0.0
	for _, w := range p.Wishes {
		var cuts []float64
		for _, d := range days {
			cuts = append(cuts, w.Lower[d], w.Upper[d])
		}
		slices.Sort(cuts)
		for i := 1; i < len(cuts); i++ {
			middle := (cuts[i-1] + cuts[i]) / 2
			for _, d := range days {
				if w.Lower[d] < middle && middle < w.Upper[d] {
					sum += w.Weight * (cuts[i] - cuts[i-1])
					break
				}
			}
		}
	}
	return sum
}

// allowed reports whether a set of days keeps to the problem's bounds.
func allowed(p *coverage.Problem, days []int) bool {
	months := map[string]int{}
	free := map[string]bool{}
	fixed := func(i int) bool { return p.Fixed != nil && p.Fixed[i] }
	for i, d := range days {
		if i > 0 && int(p.Days[d]-p.Days[days[i-1]]) < p.Spacing && !(fixed(d) && fixed(days[i-1])) {
			return false
		}
		m := p.Days[d].Format("2006-01")
		months[m]++
		free[m] = free[m] || !fixed(d)
		if p.MostMonth > 0 && months[m] > p.MostMonth && !fixed(d) {
			return false
		}
	}
	for i := range p.Days {
		if fixed(i) && !slices.Contains(days, i) {
			return false
		}
	}
	return true
}

// brute tries every set of at most count days.
func brute(p *coverage.Problem) float64 {
	best := math.Inf(-1)
	var try func(days []int, from int)
	try = func(days []int, from int) {
		if allowed(p, days) {
			best = max(best, union(p, days))
		}
		if len(days) == p.Count {
			return
		}
		for i := from; i < len(p.Days); i++ {
			try(append(days[:len(days):len(days)], i), i+1)
		}
	}
	try(nil, 0)
	return best
}

func TestChooseAgainstEverySet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		p := random(r, rapid.IntRange(1, 14).Draw(t, "days"), rapid.IntRange(1, 8).Draw(t, "wishes"),
			rapid.IntRange(1, 4).Draw(t, "count"))
		p.Spacing = rapid.IntRange(1, 6).Draw(t, "spacing")
		p.MostMonth = rapid.IntRange(0, 3).Draw(t, "month")
		if rapid.Bool().Draw(t, "fixed") {
			p.Fixed = make([]bool, len(p.Days))
			p.Fixed[r.IntN(len(p.Days))] = true
		}
		got, want := p.Choose(), brute(p)
		if math.IsInf(want, -1) {
			t.Fatalf("no set is allowed")
		}
		// Days that add next to nothing are left out, so that much may be missing.
		if got.Value < want-0.002*p.Total() || got.Value > want+1e-9 {
			t.Fatalf("found days %v worth %v, want %v", got.Days, got.Value, want)
		}
		most := got.ByCount[p.Count]
		if !math.IsNaN(most) && math.Abs(slices.MaxFunc(got.ByCount[:p.Count+1], nanLast)-want) > 1e-9 {
			t.Fatalf("found the most %v, want %v", got.ByCount, want)
		}
		if !allowed(p, got.Days) {
			t.Fatalf("found days %v, which are not allowed", got.Days)
		}
		if v := union(p, got.Days); math.Abs(v-got.Value) > 1e-9 || math.Abs(value(p, got.Days)-v) > 1e-9 {
			t.Fatalf("found value %v, the union is %v", got.Value, v)
		}
	})
}

// value is what days show of all wishes together.
func value(p *coverage.Problem, days []int) (sum float64) {
	for i := range p.Wishes {
		sum += p.Wishes[i].Weight * p.Wishes[i].Shown(days)
	}
	return sum
}

func nanLast(a, b float64) int {
	if math.IsNaN(a) {
		return -1
	}
	if math.IsNaN(b) {
		return 1
	}
	return cmp.Compare(a, b)
}

// TestNoExchangeIsBetter holds for sizes at which not every set can be tried: no single day of the choice can be
// exchanged for the better, and a greedy choice is never ahead.
func TestNoExchangeIsBetter(t *testing.T) {
	for seed := range uint64(5) {
		p := random(rand.New(rand.NewPCG(seed, 2)), 200, 40, 12)
		p.Spacing, p.MostMonth = 5, 2
		got := p.Choose()
		for i := range got.Days {
			for d := range p.Days {
				swapped := slices.Clone(got.Days)
				swapped[i] = d
				slices.Sort(swapped)
				distinct := len(slices.Compact(slices.Clone(swapped))) == len(swapped)
				if distinct && allowed(p, swapped) && union(p, swapped) > got.Value+1e-9 {
					t.Fatalf("seed %d: day %d in place of %d shows %v, the choice %v", seed, d, got.Days[i],
						union(p, swapped), got.Value)
				}
			}
		}
		var greedy []int
		for len(greedy) < p.Count {
			best, top := -1, -1.0
			for d := range p.Days {
				with := slices.Sorted(slices.Values(append(slices.Clone(greedy), d)))
				if !slices.Contains(greedy, d) && allowed(p, with) && union(p, with) > top {
					best, top = d, union(p, with)
				}
			}
			if best < 0 {
				break
			}
			greedy = slices.Sorted(slices.Values(append(greedy, best)))
		}
		if v := union(p, greedy); v > got.Value+0.001*p.Total() {
			t.Errorf("seed %d: greedy shows %v, the choice %v", seed, v, got.Value)
		}
	}
}

// TestSecondVisit is the reason for the union: a thing that is surely there for ten days, with one start unknown by two
// weeks. Two visits ten days apart are worth their sum; two on neighbouring days hardly more than one.
func TestSecondVisit(t *testing.T) {
	p := &coverage.Problem{Count: 2, Spacing: 1, Wishes: []coverage.Wish{{Weight: 1}}}
	for d := range 30 {
		p.Days = append(p.Days, civil.Of(2027, 5, 1)+civil.Date(d))
		// It starts on one of 1 to 14 May, each as likely, and lasts ten days.
		w := &p.Wishes[0]
		w.Upper = append(w.Upper, min(1, float64(d+1)/14))
		w.Lower = append(w.Lower, max(0, min(1, float64(d-9)/14)))
	}
	if got := value(p, []int{9, 10}); math.Abs(got-11./14) > 1e-12 {
		t.Errorf("10 and 11 May: found %v, want 11/14: one season in fourteen more", got)
	}
	got := p.Choose()
	if math.Abs(got.Value-1) > 1e-12 {
		t.Errorf("found %v, want a sure sight from days %v", got.Value, got.Days)
	}
	if third := got.ByCount[3] - got.ByCount[2]; third > 1e-12 {
		t.Errorf("a third visit adds %v, want nothing", third)
	}
}

func BenchmarkChoose(b *testing.B) {
	for _, size := range []struct {
		name                string
		days, wishes, count int
	}{{"4 of 180 days, 60 wishes", 180, 60, 4}, {"12 of 200 days, 60 wishes", 200, 60, 12}} {
		p := random(rand.New(rand.NewPCG(1, 3)), size.days, size.wishes, size.count)
		p.Spacing, p.MostMonth = 7, 3
		b.Run(size.name, func(b *testing.B) {
			for b.Loop() {
				p.Choose()
			}
		})
	}
}
