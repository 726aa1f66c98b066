package weather

import (
	"fmt"
	"math"
	"slices"
	"time"

	"treewhen/phenology/civil"
)

// How an offset between two records is estimated.
const (
	// shared days below which none is estimated: a spread of 2 degrees leaves half a degree of doubt
	offsetDays    = 20
	offsetTrim    = 0.1 // share of a month's differences that is left out at either end: slips and odd nights
	daysPerSample = 2   // daily differences count half, since a wind or a clear sky lasts some days
	// How large the year's wave of an offset is beforehand, as a standard deviation in degrees Celsius: with few shared
	// months the offset stays near its mean over the year, with a full year it follows what was measured. Our choice.
	seasonalPrior = 0.7
	unitShare     = 0.3 // of the difference as read that may remain if a record is another one in degrees Fahrenheit
	offsetTold    = 0.5 // degrees Celsius; stations half a degree apart are the same for most purposes
)

// SeasonalOffset is a difference in degrees Celsius that swings once a year about its mean.
type SeasonalOffset struct{ Mean, Cosine, Sine float64 }

// On returns the offset on a day.
func (o SeasonalOffset) On(d civil.Date) float64 { return o.at(yearDay(d)) }

func (o SeasonalOffset) at(yearDay int) float64 {
	w := &yearWave[yearDay]
	return o.Mean + o.Cosine*w.cos + o.Sine*w.sin
}

// Months returns the offset in the middle of each month.
func (o SeasonalOffset) Months() (months [12]float64) {
	for m := range months {
		months[m] = o.On(civil.Of(2001, time.Month(m+1), 16)) // 2001 is no leap year
	}
	return months
}

// Range returns the lowest and the highest of the months' offsets.
func (o SeasonalOffset) Range() (lowest, highest float64) {
	months := o.Months()
	return slices.Min(months[:]), slices.Max(months[:])
}

// yearWave is the year's one wave on each of 365 days.
var yearWave = func() (w [365]struct{ cos, sin float64 }) {
	for i := range w {
		w[i].sin, w[i].cos = math.Sincos(2 * math.Pi * float64(i) / 365)
	}
	return w
}()

// findOffset estimates what must be added to the lesser record: for each month of the year the trimmed mean of the
// daily differences, through these a mean and one wave a year, weighted by days, the wave shrunk towards nothing as the
// months grow few. The lesser's days count at the lag that fits best.
func (p *pair) findOffset(trusted, lesser Series, value func(*Day) *float64) {
	shared := trusted.Span().Intersect(civil.Span{First: lesser.First - civil.Date(p.Lag),
		Last: lesser.Last() - civil.Date(p.Lag)})
	if shared.Empty() {
		return
	}
	var months [12]month
	all := make([]float64, 0, shared.Days())
	var inFahrenheit []float64
	for d := shared.First; d <= shared.Last; d++ {
		a, b := &trusted.Days[d-trusted.First], &lesser.Days[d+civil.Date(p.Lag)-lesser.First]
		if (a.Flags | b.Flags).Invented() || (a.Flags|b.Flags)&Suspect != 0 {
			continue
		}
		va, vb := *value(a), *value(b)
		if math.IsNaN(va) || math.IsNaN(vb) {
			continue
		}
		yday := yearDay(d)
		m := &months[monthOf[yday]]
		m.differences = append(m.differences, va-vb)
		m.cos += yearWave[yday].cos
		m.sin += yearWave[yday].sin
		m.days = append(m.days, yday)
		inFahrenheit = append(inFahrenheit, vb-(1.8*va+32))
		if p.Days == 0 {
			p.Span.First = d
		}
		p.Span.Last = d
		p.Days++
	}
	if p.Days < offsetDays {
		return
	}
	for i := range months {
		all = append(all, months[i].differences...)
	}
	center := median(all)
	for i := range all {
		all[i] -= center
	}
	p.Added = fitOffset(&months, spreadOf(all))
	all = all[:0]
	for i := range months {
		for k, v := range months[i].differences {
			all = append(all, v-p.Added.at(months[i].days[k]))
		}
	}
	p.Spread = spreadOf(all)
	p.fahren = spreadOf(inFahrenheit)
}

// month is what the days of one month of the year, in all years, show.
type month struct {
	differences []float64
	days        []int // days of the year
	cos, sin    float64
}

// fitOffset solves the weighted, penalised least squares of one mean and one wave through the months' trimmed means.
func fitOffset(months *[12]month, spread float64) SeasonalOffset {
	variance := max(spread*spread, 0.01) // so that records that differ by a constant can be weighed
	rows := [][]float64{make([]float64, 4), make([]float64, 4), make([]float64, 4)}
	for i := range months {
		n := float64(len(months[i].differences))
		if n == 0 {
			continue
		}
		y, weight := trimmedMean(slices.Clone(months[i].differences), offsetTrim), n/daysPerSample/variance
		x := [3]float64{1, months[i].cos / n, months[i].sin / n}
		for r, row := range rows {
			for c := range x {
				row[c] += weight * x[r] * x[c]
			}
			row[3] += weight * x[r] * y
		}
	}
	rows[1][1] += 1 / (seasonalPrior * seasonalPrior)
	rows[2][2] += 1 / (seasonalPrior * seasonalPrior)
	x := solve(rows)
	return SeasonalOffset{Mean: x[0], Cosine: x[1], Sine: x[2]}
}

// monthOf is the month, from 0, of each of 365 days.
var monthOf = func() (m [365]int) {
	for i := range m {
		m[i] = int(civil.Of(2001, time.January, 1+i).Month()) - 1
	}
	return m
}()

// standardError returns how well the mean offset is known, in degrees Celsius.
func (p *pair) standardError() float64 {
	return p.Spread * math.Sqrt(daysPerSample/float64(max(p.Days, 1)))
}

// offset tells of records that differ by more than half a degree, and surely.
func (c *comparison) offset(other string) (Finding, bool) {
	f := Finding{Kind: FindingOffset, Span: noDays}
	var parts []string
	var order Correction
	for _, p := range []*pair{&c.min, &c.max} {
		if p.Days < offsetDays || math.Abs(p.Added.Mean) < offsetTold ||
			math.Abs(p.Added.Mean) < 3*p.standardError() {
			continue
		}
		low, high := p.Added.Range()
		parts = append(parts, fmt.Sprintf("%s %s than those of %s (give or take %s; by month %s to %s; %d shared "+
			"days, %v to %v, which spread by %s)",
			p.what(), warmer(-p.Added.Mean), other, degrees(2*p.standardError()), signed(-high), signed(-low),
			p.Days, p.Span.First, p.Span.Last, degrees(p.Spread)))
		if f.Span.Empty() {
			f.Span = p.Span
		}
		f.Days = max(f.Days, p.Days)
		value := math.Round(p.Added.Mean*10) / 10
		if p.isMax {
			order.OffsetMax = value
		} else {
			order.OffsetMin = value
		}
	}
	if parts == nil {
		return Finding{}, false
	}
	f.Text = "its " + list(parts, "and its") + "; joining takes this off by itself, month by month"
	f.suggest(order)
	return f, true
}

// warmer says a difference in words.
func warmer(v float64) string {
	if v < 0 {
		return fmt.Sprintf("run %s colder", degrees(-v))
	}
	return fmt.Sprintf("run %s warmer", degrees(v))
}

func signed(v float64) string { return fmt.Sprintf("%+.1f", v) }

// unit tells of a record that is another one in degrees Fahrenheit.
func (c *comparison) unit(other string) (Finding, bool) {
	for _, p := range []*pair{&c.min, &c.max} {
		if p.Days < offsetDays || math.Abs(p.Added.Mean) < unitOff ||
			!(p.fahren < unitShare*math.Hypot(p.Added.Mean, p.Spread)) {
			return Finding{}, false
		}
	}
	p := &c.max
	f := Finding{Kind: FindingUnit, Span: p.Span, Days: p.Days, Suggest: "unit: F"}
	f.Text = fmt.Sprintf("its temperatures are those of %s in degrees Fahrenheit, read as Celsius: on %d shared days "+
		"its maxima are %s off as they stand, and %.1f F off the other's put into Fahrenheit", other, p.Days,
		degrees(math.Abs(p.Added.Mean)), p.fahren)
	return f, true
}
