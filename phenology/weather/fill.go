package weather

import (
	"math"

	"treewhen/phenology/civil"
)

// How gaps are filled.
const (
	interpolateDays = 3  // up to so many days in a row are interpolated
	fillDays        = 60 // up to so many are filled from other years; a longer gap stays a gap
	edgeDays        = 3  // days on either side that say how unlike other years the gap's time was
	normalHalfWidth = 7  // days to either side that go into a day-of-year mean
	normalMinValues = 30 // values that a day-of-year mean must rest on
)

// Fill returns s with its gaps filled, each filled day flagged. Gaps of up to three days are interpolated. Longer ones,
// up to sixty days, follow the mean of the same days of other years, moved by how far the days at the gap's two edges
// were off that mean. What lies before the first day and after the last is not filled. Minima and maxima are filled
// apart; a day of which one was observed keeps that one.
func Fill(s Series) Series {
	out := Series{First: s.First, Days: append([]Day(nil), s.Days...)}
	fillValues(&out, func(d *Day) *float64 { return &d.Min })
	fillValues(&out, func(d *Day) *float64 { return &d.Max })
	for i := range out.Days {
		if d := &out.Days[i]; d.Flags.Invented() && d.Min > d.Max {
			d.Min, d.Max = d.Max, d.Min // minima and maxima were filled apart
		}
	}
	return out
}

func fillValues(s *Series, value func(*Day) *float64) {
	var normal []float64 // made on the first long gap
	last := -1           // the last day with a value
	for i := range s.Days {
		if math.IsNaN(*value(&s.Days[i])) {
			continue
		}
		if n := i - last - 1; n > 0 && last >= 0 {
			switch {
			case n <= interpolateDays:
				from, to := *value(&s.Days[last]), *value(&s.Days[i])
				for k := 1; k <= n; k++ {
					d := &s.Days[last+k]
					*value(d) = from + (to-from)*float64(k)/float64(n+1)
					d.Flags |= Interpolated
				}
			case n <= fillDays:
				if normal == nil {
					normal = dayOfYearMeans(*s, value)
				}
				fillLong(s, value, normal, last, i)
			}
		}
		last = i
	}
}

// fillLong fills the days between two that have values.
func fillLong(s *Series, value func(*Day) *float64, normal []float64, before, after int) {
	at := func(i int) float64 { return normal[yearDay(s.First+civil.Date(i))] }
	anomaly := func(from, to int) (float64, bool) {
		sum, n := 0.0, 0
		for i := max(from, 0); i <= to && i < len(s.Days); i++ {
			if v := *value(&s.Days[i]) - at(i); !math.IsNaN(v) && s.Days[i].Flags&Filled == 0 {
				sum, n = sum+v, n+1
			}
		}
		return sum / float64(n), n > 0
	}
	left, okLeft := anomaly(before-edgeDays+1, before)
	right, okRight := anomaly(after, after+edgeDays-1)
	if !okLeft || !okRight {
		return // no other year has these days
	}
	n := float64(after - before)
	for i := before + 1; i < after; i++ {
		v := at(i)
		if math.IsNaN(v) {
			continue
		}
		f := float64(i-before) / n
		// The anomaly at an edge fades over about a week: what a day was like says little of ten days on.
		v += left*math.Exp(-float64(i-before)/edgeMemory)*(1-f) + right*math.Exp(-float64(after-i)/edgeMemory)*f
		*value(&s.Days[i]) = v
		s.Days[i].Flags |= Filled
	}
}

// edgeMemory is how long, in days, a day's departure from normal is felt: daily temperatures of the temperate zone keep
// some 0.7 of a departure from one day to the next (common practice, no source), and 1/(1-0.7) is about 3.
const edgeMemory = 3.0

// yearDay returns the day of the year from 0 to 364; 29 February counts as 28 February.
func yearDay(d civil.Date) int {
	n := d.YearDay() - 1
	if y := d.Year(); n >= 59 && (y%4 == 0 && (y%100 != 0 || y%400 == 0)) {
		n--
	}
	return n
}

// dayOfYearMeans returns the mean value of each day of the year over all years, smoothed over the days to either side;
// NaN where too few values lie behind it.
func dayOfYearMeans(s Series, value func(*Day) *float64) []float64 {
	var sum, count [365]float64
	for i := range s.Days {
		if v := *value(&s.Days[i]); !math.IsNaN(v) {
			k := yearDay(s.First + civil.Date(i))
			sum[k] += v
			count[k]++
		}
	}
	means := make([]float64, 365)
	for k := range means {
		var total, n float64
		for j := k - normalHalfWidth; j <= k+normalHalfWidth; j++ {
			m := (j + 365) % 365
			total, n = total+sum[m], n+count[m]
		}
		means[k] = math.NaN()
		if n >= normalMinValues {
			means[k] = total / n
		}
	}
	return means
}
