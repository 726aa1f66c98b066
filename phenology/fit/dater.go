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
