package fit

import (
	"treewhen/phenology"
)

// warmthDater is the mean date moved by warmth, one slope for it and its kin: other species' series, years left out of
// one being left out of all.
type warmthDater struct {
	shift    phenology.WarmthShift
	years    []Year
	warmth   []float64
	kin      []*warmthDater
	at       map[phenology.Season]int
	total    lineSums
	ofSeason []lineSums
}

// lineSums are the sums from which a straight line is fitted.
type lineSums struct{ n, x, y, xx, xy float64 }

func (a *lineSums) add(b lineSums, sign float64) {
	a.n += sign * b.n
	a.x += sign * b.x
	a.y += sign * b.y
	a.xx += sign * b.xx
	a.xy += sign * b.xy
}

// centred returns the sums of squares and products about the means.
func (a lineSums) centred() (xx, xy float64) { return a.xx - a.x*a.x/a.n, a.xy - a.x*a.y/a.n }

func newWarmthDater(t *phenology.Temperatures, shift phenology.WarmthShift, years []Year) (*warmthDater, bool) {
	d := &warmthDater{shift: shift, years: years, at: map[phenology.Season]int{}}
	for i, y := range years {
		w, ok := t.MeanOf(y.Season, shift.From, shift.To)
		if !ok {
			return nil, false
		}
		d.warmth = append(d.warmth, w)
		one := lineSums{1, w, y.Day, w * w, w * y.Day}
		d.ofSeason = append(d.ofSeason, one)
		d.total.add(one, 1)
		d.at[y.Season] = i
	}
	return d, true
}

// without returns the sums without some seasons.
func (d *warmthDater) without(seasons []phenology.Season) lineSums {
	sums := d.total
	for _, s := range seasons {
		if i, ok := d.at[s]; ok {
			sums.add(d.ofSeason[i], -1)
		}
	}
	return sums
}

func (d *warmthDater) slope(seasons []phenology.Season) float64 {
	xx, xy := d.without(seasons).centred()
	for _, k := range d.kin {
		kxx, kxy := k.without(seasons).centred()
		xx, xy = xx+kxx, xy+kxy
	}
	if xx <= 0 {
		return 0
	}
	return xy / xx
}

func (*warmthDater) dates(int) bool { return true }

func (d *warmthDater) predict(year int, without [2]int) float64 {
	var list [2]phenology.Season
	seasons := list[:0]
	for _, w := range without {
		if w >= 0 {
			seasons = append(seasons, d.years[w].Season)
		}
	}
	own := d.without(seasons)
	return own.y/own.n + d.slope(seasons)*(d.warmth[year]-own.x/own.n)
}

func (d *warmthDater) models() []phenology.Model {
	m := d.shift
	m.DaysPerDegree = d.slope(nil)
	return []phenology.Model{m}
}
