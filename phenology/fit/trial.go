package fit

import (
	"math"

	"treewhen/phenology"
)

// dater dates a series' years by what the other years teach.
type dater interface {
	// dates reports whether it can date a year, and learns of it.
	dates(year int) bool

	// predict returns the day of a year as foretold without some years, itself among them; -1 stands for none.
	predict(year int, without [2]int) float64

	// models returns the models as all years set them.
	models() []phenology.Model
}

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

// meanDater is the mean date.
type meanDater struct {
	years []Year
	total float64
}

func newMeanDater(years []Year) *meanDater {
	d := &meanDater{years: years}
	for _, y := range years {
		d.total += y.Day
	}
	return d
}

func (*meanDater) dates(int) bool { return true }

func (d *meanDater) predict(_ int, without [2]int) float64 {
	sum, n := d.total, float64(len(d.years))
	for _, w := range without {
		if w >= 0 {
			sum, n = sum-d.years[w].Day, n-1
		}
	}
	return sum / n
}

func (*meanDater) models() []phenology.Model { return nil }

// sumDater dates by models that gather up to a requirement, the mean of what they had gathered by the days seen.
type sumDater struct {
	list    []sumModel
	lacks   []bool // the years of which it lacks days
	lacking int
	years   float64 // the others
	near    [][]int // by model and year: where its course was looked at last
}

type sumModel struct {
	model    phenology.Fittable
	gathered []float64 // by the day seen, year by year
	total    float64
	courses  []phenology.Course
}

// beyond is how many days after the latest day seen a model may date a phase; one that has not reached it by then is
// judged as if it had.
const beyond = 60

// mostLacking is how many years of some may be without the days that a model needs: one in ten, or the first of fewer.
// A record that begins with the first year of dates lacks the winter before.
func mostLacking(years int) int { return max(1, years/10) }

// newSumDater returns false where a model cannot be summed up over all years but a few.
func newSumDater(t *phenology.Temperatures, models []phenology.Fittable, years []Year) (*sumDater, bool) {
	latest := 0.0
	for _, y := range years {
		latest = max(latest, y.Day)
	}
	d := &sumDater{lacks: make([]bool, len(years))}
	for _, m := range models {
		s := sumModel{model: m, gathered: make([]float64, len(years)), courses: make([]phenology.Course, len(years))}
		for i, y := range years {
			of := m
			if since, counted := m.(sinceFlowering); counted {
				if of, counted = since.in(y); !counted {
					d.lacks[i] = true
					continue
				}
			}
			course, ok := t.Course(of, y.Season, phenology.SeasonDay(math.Ceil(latest))+beyond)
			if !ok || course.Ends() < y.Day || !(course.At(y.Day) > 0) {
				d.lacks[i] = true
				continue
			}
			s.gathered[i], s.courses[i] = course.At(y.Day), course
		}
		d.list = append(d.list, s)
		d.near = append(d.near, make([]int, len(years)))
	}
	for i, lacks := range d.lacks {
		if lacks {
			d.lacking++
			continue
		}
		for m := range d.list {
			d.list[m].total += d.list[m].gathered[i]
		}
	}
	d.years = float64(len(years) - d.lacking)
	return d, len(d.list) > 0 && d.lacking <= mostLacking(len(years)) && len(years)-d.lacking >= MinYears
}

// forget lets go of what only predicting needs: most variants are never asked again.
func (d *sumDater) forget() {
	for i := range d.list {
		d.list[i].gathered, d.list[i].courses = nil, nil
	}
	d.near = nil
}

func (d *sumDater) dates(year int) bool { return !d.lacks[year] }

func (d *sumDater) predict(year int, without [2]int) float64 {
	day := 0.0
	for i := range d.list {
		s := &d.list[i]
		sum, n := s.total, d.years
		for _, w := range without {
			if w >= 0 {
				sum, n = sum-s.gathered[w], n-1
			}
		}
		if by, ok := s.courses[year].Reaches(sum/n, &d.near[i][year]); ok {
			day += by
		} else {
			day += s.courses[year].Ends()
		}
	}
	return day / float64(len(d.list))
}

func (d *sumDater) models() []phenology.Model {
	var models []phenology.Model
	for _, s := range d.list {
		models = append(models, s.model.WithNeed(s.total/d.years))
	}
	return models
}

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
