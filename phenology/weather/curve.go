package weather

import (
	"slices"
	"time"
)

// dailyCurve returns a smooth curve of daily values, 365 or 366 of them, whose mean over the days of each month is that
// month's value exactly: a line through mid-months would flatten the year, missing July's heat and January's cold.
//
// The running sum of the daily values is known at the ends of the months. A periodic cubic spline through these points
// has the daily values as its differences, and so keeps every month's sum, with no corner at the turn of the month or
// of the year. Source: the histospline of Boneva, Kendall & Stefanov (1971), Spline transformations, Journal of the
// Royal Statistical Society B 33:1-70 (from memory).
func dailyCurve(months [12]float64, leapYear bool) []float64 {
	year := 2001
	if leapYear {
		year = 2000
	}
	var lengths [12]float64
	days, mean := 0.0, 0.0
	for m := range lengths {
		lengths[m] = float64(daysIn(year, time.Month(m+1)))
		days += lengths[m]
		mean += months[m] * lengths[m]
	}
	mean /= days

	// With the year's mean taken off, the running sum comes back to 0 at the year's end and the spline is periodic. Its
	// second derivatives at the month's ends follow from the slopes of the chords, which are the months' values.
	rows := make([][]float64, 12)
	for m := range rows {
		before := (m + 11) % 12
		row := make([]float64, 13)
		row[before] += lengths[before]
		row[m] += 2 * (lengths[before] + lengths[m])
		row[(m+1)%12] += lengths[m]
		row[12] = 6 * (months[m] - months[before])
		rows[m] = row
	}
	bend := solve(rows)

	curve := make([]float64, 0, int(days))
	for m, h := range lengths {
		b0, b1 := bend[m], bend[(m+1)%12]
		slope := (months[m] - mean) - h*(2*b0+b1)/6
		at := func(t float64) float64 { return t * (slope + t*(b0/2+t*(b1-b0)/(6*h))) }
		for d := 0.0; d < h; d++ {
			curve = append(curve, mean+at(d+1)-at(d))
		}
	}
	return curve
}

// solve returns the solution of linear equations, each a row of coefficients and the right-hand side. It does not
// exchange rows: it is for matrices that are positive definite or dominated by their diagonal. It changes rows.
func solve(rows [][]float64) []float64 {
	n := len(rows)
	for r := range rows {
		for _, below := range rows[r+1:] {
			f := below[r] / rows[r][r]
			for c := r; c <= n; c++ {
				below[c] -= f * rows[r][c]
			}
		}
	}
	x := make([]float64, n)
	for r, row := range slices.Backward(rows) {
		x[r] = row[n]
		for c := r + 1; c < n; c++ {
			x[r] -= row[c] * x[c]
		}
		x[r] /= row[r]
	}
	return x
}
