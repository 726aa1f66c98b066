package phenology

import (
	"slices"
	"sort"

	"treewhen/phenology/civil"
)

// index returns the place of a date in the series, kept within it; the running sums have one element more.
func (t *Temperatures) index(d civil.Date) int {
	return min(max(int(d-t.series.First), 0), len(t.series.Days))
}

// covered reports whether every day from first to last lies in the series and has values.
func (t *Temperatures) covered(first, last civil.Date) bool {
	if last < first {
		return true
	}
	if first < t.series.First || last > t.series.Last() {
		return false
	}
	next, _ := slices.BinarySearch(t.absent, int32(t.index(first)))
	return next == len(t.absent) || t.absent[next] > int32(t.index(last))
}

// inventedIn returns how many days from first to last were filled, forecast or drawn.
func (t *Temperatures) inventedIn(first, last civil.Date) int {
	if last < first || t.invented == nil {
		return 0
	}
	return int(t.invented[t.index(last+1)] - t.invented[t.index(first)])
}

// crossing returns the first day, from start on and not after end, by whose end a forcing has summed to a requirement
// along a member, the part of that day's forcing that it took, and whether there is such a day. Days of a member
// without values make it fail: better no date than a late one.
func (t *Temperatures) crossing(r memberSums, start, end civil.Date, requirement float64) (civil.Date, float64, bool) {
	if start <= r.cut {
		last := min(r.cut, end)
		if k, part := search(r.sums, t.index(start), t.index(last+1), requirement); k >= 0 {
			day := t.series.First + civil.Date(k)
			return day, part, t.covered(start, day)
		}
		if !t.covered(start, last) || last == end {
			return 0, 0, false
		}
		requirement -= r.sums[t.index(last+1)] - r.sums[t.index(start)]
		start = r.cut + 1
	}
	first := start
	if n := len(r.ahead) - 1; n > 0 && int(start-r.cut) <= n {
		i, j := int(start-r.cut)-1, min(int(end-r.cut), n)
		if k, part := search(r.ahead, i, j, requirement); k >= 0 {
			day := r.cut + 1 + civil.Date(k)
			return day, part, t.covered(first+r.shift, day+r.shift)
		}
		if j < n {
			return 0, 0, false
		}
		requirement -= r.ahead[j] - r.ahead[i]
		start = r.cut + 1 + civil.Date(n)
	}
	k, part := search(r.sums, t.index(start+r.shift), t.index(end+r.shift+1), requirement)
	if k < 0 {
		return 0, 0, false
	}
	day := t.series.First + civil.Date(k)
	return day - r.shift, part, t.covered(first+r.shift, day)
}

// search returns the index, from i on and before j, of the day by whose end running sums have grown by a requirement,
// and the part of its growth that it took; a negative index where there is none.
func search(sums []float64, i, j int, requirement float64) (int, float64) {
	want := sums[i] + requirement
	if want <= sums[i] {
		return i, 0
	}
	if j <= i || sums[j] < want {
		return -1, 0
	}
	k := i + sort.SearchFloat64s(sums[i:j+1], want) - 1 // the sum passes it during day k
	return k, (want - sums[k]) / (sums[k+1] - sums[k])
}

// inventedShare returns the share of the days from first to last along a member that no thermometer stands behind. The
// donor's days count by what they are in their own year.
func (t *Temperatures) inventedShare(mem member, first, last civil.Date) float64 {
	if last < first {
		return 0
	}
	n := t.inventedIn(first, min(last, mem.cut))
	if last > mem.cut {
		n += t.inventedIn(max(first, mem.cut+1)+mem.shift, last+mem.shift)
	}
	return float64(n) / float64(last-first+1)
}

// along returns the growth of a member's running sums from first to last, both included.
func (t *Temperatures) along(r memberSums, first, last civil.Date) float64 {
	total := 0.0
	if first <= r.cut {
		total += r.sums[t.index(min(last, r.cut)+1)] - r.sums[t.index(first)]
		first = r.cut + 1
	}
	if n := len(r.ahead) - 1; n > 0 && first <= last && int(first-r.cut) <= n {
		to := min(int(last-r.cut), n)
		total += r.ahead[to] - r.ahead[int(first-r.cut)-1]
		first = r.cut + 1 + civil.Date(to)
	}
	if first <= last {
		total += r.sums[t.index(last+r.shift+1)] - r.sums[t.index(first+r.shift)]
	}
	return total
}
