package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// What weather does about its monthly normals. Measured on Montreal Trudeau 1995-2013 (Environment and Climate Change
// Canada) and Harvard Forest 1980-2013 (Harvard Forest Data Archive, HF000 and HF001), whose year swings by 14 degrees
// to either side of its mean: the standard deviation of daily means falls from 6.3 in January to 2.8 in July, their
// correlation is 0.67 from one day to the next, 0.37 over two and 0.1 over five, and monthly means differ between years
// by 1.7 on the mean, with a correlation of 0.2 from month to month. How these scale elsewhere is our own choice.
const (
	measuredSwing  = 14.0 // degrees Celsius; half the range of the year's wave at the places measured
	steadyDaily    = 1.3  // standard deviation of daily means where the year has no wave, degrees Celsius
	swingDaily     = 3.0  // more by so much at the places measured, on the mean of the year
	seasonDaily    = 1.5  // and this again in the middle of winter, less by it in the middle of summer
	halfDayMemory  = 0.77 // share of a departure left from dawn to afternoon and from there to dawn
	slowShare      = 0.17 // slow departures as a share of the daily ones
	slowMemory     = 0.985
	rangeVariation = 0.18 // of the daily range that minimum and maximum do not share, as a share of the range
	rangeMemory    = 0.3
	leastRange     = 0.2 // of the usual range is left on the dullest day
)

// Synthesize returns years of daily temperatures from first on as a place with these normals might have, flagged
// [Synthetic]: for telling how dates spread between years where there are no daily records, never for what a certain
// year was like. The same arguments give the same days for good, in tenths of a degree.
//
// Daily means follow a smooth curve that keeps every month's normal. About it, departures are a first-order
// autoregression with one sample at dawn, the minimum, and one in the afternoon, the maximum, since a warm afternoon
// is followed by a mild night sooner than preceded by one; a slow one besides lets a season be warm or cold, and the
// daily range varies by itself. Over two years or more the departures are centred, so that the mean of each month of
// the year over all years is its normal. The extremes of a real record, its trend and its lasting spells are not in it.
//
// All normals must be numbers, minima not above maxima. Without years there are no days.
func Synthesize(n Normals, first civil.Date, years int, seed uint64) Series {
	if years <= 0 {
		return Series{First: first}
	}
	s := Series{First: first, Days: make([]Day, first.AddYears(years)-first)}
	curve := newNormalCurve(n)
	walk := walkOf(seed, len(s.Days))
	on := daysOfYear(first, len(s.Days))

	// A day's mean is that of two samples, whose standard deviation is so much less than each one's.
	half := math.Sqrt((1 + halfDayMemory) / 2)
	for i := range s.Days {
		low, high, sd := curve.on(on[i])
		step := &walk[i]
		season := slowShare * sd * step.slow
		quick := sd * math.Sqrt(1-slowShare*slowShare) / half
		spread := rangeVariation * (high - low) / 2 * step.width
		dawn := low + season + quick*step.dawn - spread
		noon := high + season + quick*step.noon + spread
		// A front can make the afternoon colder than the dawn; the extremes of the day still lie some way apart.
		mid, reach := (dawn+noon)/2, math.Hypot(noon-dawn, leastRange*(high-low))/2
		s.Days[i] = Day{Min: mid - reach, Max: mid + reach, Flags: Synthetic}
	}
	if years > 1 {
		center(s, on, n.Min, minimum)
		center(s, on, n.Max, maximum)
	}
	for i := range s.Days {
		d := &s.Days[i]
		if d.Min > d.Max {
			d.Min, d.Max = d.Mean(), d.Mean()
		}
		d.Min, d.Max = math.Round(d.Min*10)/10, math.Round(d.Max*10)/10
	}
	return s
}

// center moves s so that the mean of each month of the year over all years is the normal, without steps between months.
func center(s Series, on []dayOfYear, normal [12]float64, value func(*Day) *float64) {
	var off, days [12]float64
	for i := range s.Days {
		m := on[i].month
		off[m] += *value(&s.Days[i])
		days[m]++
	}
	for m := range off {
		off[m] = off[m]/days[m] - normal[m]
	}
	curves := [2][]float64{dailyCurve(off, false), dailyCurve(off, true)}
	for i := range s.Days {
		*value(&s.Days[i]) -= curves[on[i].leap][on[i].day]
	}
}

// normalCurve is what is normal on each day.
type normalCurve struct {
	low, high [2][]float64 // of common and of leap years
	daily     [366]float64 // standard deviation of daily means, by day of the year
}

func newNormalCurve(n Normals) *normalCurve {
	var c normalCurve
	for i, leap := range []bool{false, true} {
		c.low[i], c.high[i] = dailyCurve(n.Min, leap), dailyCurve(n.Max, leap)
	}
	// The year's wave through the daily means tells the seasons, in either hemisphere.
	var cosine, sine float64
	for i := range yearWave {
		mean := (c.low[0][i] + c.high[0][i]) / 2
		cosine, sine = cosine+mean*yearWave[i].cos*2/365, sine+mean*yearWave[i].sin*2/365
	}
	for i := range c.daily {
		w := yearWave[min(i, 364)]
		swing, warm := math.Hypot(cosine, sine), cosine*w.cos+sine*w.sin
		c.daily[i] = steadyDaily + (swingDaily*swing-seasonDaily*warm)/measuredSwing
	}
	return &c
}

// on returns a day's normal minimum and maximum and the standard deviation of daily means.
func (c *normalCurve) on(d dayOfYear) (low, high, daily float64) {
	return c.low[d.leap][d.day], c.high[d.leap][d.day], c.daily[d.day]
}
