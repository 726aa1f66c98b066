package weather

import (
	"math"
	"math/rand/v2"
	"sync"

	"treewhen/phenology/civil"
)

// step is what chance gives a day of drawn weather, in standard deviations: whatever the normals, it is the same.
type step struct{ slow, width, dawn, noon float64 }

// lastWalk is the walk that was last asked for. Thousands of sites without a record draw from their normals with one
// seed, and drawing takes longer than all else.
var lastWalk struct {
	sync.Mutex
	seed  uint64
	steps []step
}

// walkOf returns a seed's steps of so many days, not to be written to. Those of more days begin with those of fewer.
func walkOf(seed uint64, days int) []step {
	lastWalk.Lock()
	defer lastWalk.Unlock()
	if lastWalk.seed != seed || len(lastWalk.steps) < days {
		lastWalk.seed, lastWalk.steps = seed, newWalk(seed, days)
	}
	return lastWalk.steps[:days:days]
}

func newWalk(seed uint64, days int) []step {
	random := gaussian{rand.NewPCG(seed, 0x7765617468657273)} // the second word only has to stay what it is
	fast, slow, width := autoregression{memory: halfDayMemory}, autoregression{memory: slowMemory},
		autoregression{memory: rangeMemory}
	fast.start(random)
	slow.start(random)
	width.start(random)
	steps := make([]step, days)
	for i := range steps {
		s := &steps[i]
		s.slow, s.width = slow.next(random), width.next(random)
		s.dawn, s.noon = fast.next(random), fast.next(random)
	}
	return steps
}

// dayOfYear is a day's place in its year.
type dayOfYear struct {
	day   int16 // from 0 on
	month int8  // from 0 on
	leap  int8  // 1 in a leap year
}

// daysOfYear returns the places of days in their years.
func daysOfYear(first civil.Date, days int) []dayOfYear {
	list := make([]dayOfYear, days)
	for i := range list {
		d := first + civil.Date(i)
		if i > 0 && d.Day() > 1 {
			list[i] = list[i-1]
			list[i].day++
			continue
		}
		list[i] = dayOfYear{day: int16(d.YearDay() - 1), month: int8(d.Month() - 1)}
		if civil.Leap(d.Year()) {
			list[i].leap = 1
		}
	}
	return list
}

// gaussian draws from the normal distribution by its inverse, one word a draw: the words of the generator are specified
// (PCG, O'Neill 2014, as package rand/v2 has it), while the way in which a library makes normal draws of them is not.
type gaussian struct{ source *rand.PCG }

func (g gaussian) draw() float64 {
	u := (float64(g.source.Uint64()>>11) + 0.5) / (1 << 53)
	return math.Sqrt2 * math.Erfinv(2*u-1)
}

// autoregression is a first-order autoregression with standard deviation 1.
type autoregression struct{ memory, value float64 }

func (a *autoregression) start(g gaussian) { a.value = g.draw() }

func (a *autoregression) next(g gaussian) float64 {
	a.value = a.memory*a.value + math.Sqrt(1-a.memory*a.memory)*g.draw()
	return a.value
}
