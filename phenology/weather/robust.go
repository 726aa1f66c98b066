package weather

import (
	"math"
	"slices"
)

// trimmedMean returns the mean of values without the given share of them at either end; NaN for none. It sorts values.
func trimmedMean(values []float64, share float64) float64 {
	slices.Sort(values)
	cut := int(share * float64(len(values)))
	return mean(values[cut : len(values)-cut])
}

func mean(values []float64) float64 {
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	return sum / float64(len(values))
}

// median sorts values and returns their median; NaN for none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}

// spreadOf returns a standard deviation that a tenth of wild values cannot move: from the mean of the lesser nine
// tenths of the absolute values. It sorts values' absolute values in place.
//
// For a normal distribution with standard deviation 1 that mean is (sqrt(2/pi) - 2 phi(1.645)) / 0.9 = 0.657, phi being
// its density. Unlike the median it does not jump in steps when values are whole degrees.
func spreadOf(values []float64) float64 {
	for i, v := range values {
		values[i] = math.Abs(v)
	}
	slices.Sort(values)
	const lesser, ofNormal = 0.9, 0.657
	n := int(math.Ceil(lesser * float64(len(values))))
	return mean(values[:n]) / ofNormal
}

// score returns how many standard errors the mean of a sample is off zero; 0 where that cannot be told.
func score(values []float64) float64 {
	n := float64(len(values))
	m, q := mean(values), 0.0
	for _, v := range values {
		q += (v - m) * (v - m)
	}
	if len(values) < 2 || q == 0 {
		return 0
	}
	return m / math.Sqrt(q/(n-1)/n)
}
