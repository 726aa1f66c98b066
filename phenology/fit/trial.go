package fit

import (
	"math"
)

// trial is how a variant does on one series: its errors, predicted less observed, on years left out. One is the error
// of a year left out by itself; two those of each year left out beside another, and so on. With two left out at once, a
// choice among variants can be made on years that know nothing of the year on which it is then judged; with three, so
// can a choice among choices. Hundreds of variants are kept for each of dozens of series, so the tables are single
// precision.
type trial struct {
	dater
	odd []string
	n   int

	one  []float64 // error of year i
	two  []float32 // at i*n+j: error of year j, with i left out as well
	mse  float64   // of one
	mse1 []float64 // of two, without year i
	mse2 []float32 // at pair(i, j): of the others, each left out beside i and j
}

// pair is the place of two different years in a table of pairs.
func pair(i, j int) int {
	if i < j {
		i, j = j, i
	}
	return i*(i-1)/2 + j
}

func newTrial(d dater, odd []string, years []Year) *trial {
	n := len(years)
	t := &trial{dater: d, odd: odd, n: n, one: make([]float64, n), two: make([]float32, n*n), mse1: make([]float64, n),
		mse2: make([]float32, n*(n-1)/2)}
	known, weight := 0.0, make([]float64, n) // weight: whether a year counts
	for i := range n {
		if d.dates(i) {
			known, weight[i] = known+1, 1
		}
	}
	beside := make([]float64, n) // what leaving out year i as well does to the error of year k
	for k, y := range years {
		if weight[k] == 0 {
			t.one[k] = math.NaN()
			for i := range n {
				t.two[i*n+k] = float32(math.NaN())
			}
			continue
		}
		t.one[k] = d.predict(k, [2]int{k, -1}) - y.Day
		t.mse += sq(t.one[k]) / known
		for i := range n {
			if i != k {
				e := t.one[k]
				if weight[i] > 0 {
					e = d.predict(k, [2]int{i, k}) - y.Day
				}
				t.two[i*n+k] = float32(e)
				t.mse1[i] += sq(e) / (known - weight[i])
				beside[i] = e - t.one[k]
			}
		}
		// What two years more do is what each does by itself, to the first order. To date each three would take n times
		// as long.
		for i := range n {
			for j := range i {
				if i != k && j != k {
					t.mse2[pair(i, j)] += float32(sq(t.one[k]+beside[i]+beside[j]) / (known - weight[i] - weight[j]))
				}
			}
		}
	}
	return t
}

// beside returns the error of year j, with i left out as well.
func (t *trial) beside(i, j int) float64 { return float64(t.two[i*t.n+j]) }

// oddCost is by how much each reason for which a variant is an odd choice adds to its mean square error, as a share of
// it. Our own choice: an odd one must be better by 5 % of its error.
const oddCost = 0.1

// score is what variants are chosen by: the mean square error on years left out, without years i and j (-1: with all),
// and what being odd costs.
func (t *trial) score(i, j int) float64 {
	mse := t.mse
	switch {
	case i >= 0 && j >= 0 && i != j:
		mse = float64(t.mse2[pair(i, j)])
	case i >= 0:
		mse = t.mse1[i]
	case j >= 0:
		mse = t.mse1[j]
	}
	return mse * (1 + oddCost*float64(len(t.odd)))
}
