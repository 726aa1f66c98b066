package climate

// The standard deviation of daily means within a month, in K, as a line in the difference between the means of July
// and January: what it is without any, and what each degree adds. Fitted to 19 stations and periods of eastern and
// central North America, which leave 0.41 K (root mean square). Months between these are between them.
var spreads = map[int][2]float64{
	0: {-0.36, 0.211},
	2: {-0.36, 0.195},
	3: {0.92, 0.121},
	6: {1.71, 0.035},
	9: {1.42, 0.096},
}

// leastSpread is that of the steadiest climates of the table, in K: the lines would come to nothing there. Our own
// choice.
const leastSpread = 1.0

// DailySD returns the standard deviation of daily mean temperature within each month, in K, January first. At
// Montreal, with 31 degrees between January and July, it is 6.0 in January and 2.8 in July.
func (c Cell) DailySD() (sd [12]float64) {
	swing := c.Mean(6) - c.Mean(0)
	before := 0
	for m := 1; m <= 12; m++ {
		line, ok := spreads[m%12]
		if !ok {
			continue
		}
		from := spreads[before][0] + spreads[before][1]*swing
		to := line[0] + line[1]*swing
		for k := before; k < m; k++ {
			share := float64(k-before) / float64(m-before)
			sd[k] = max(leastSpread, from+share*(to-from))
		}
		before = m
	}
	return sd
}
