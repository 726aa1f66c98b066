package tapping

import (
	"encoding/json"
	"math"
	"strconv"
)

// Share is a part of a whole, or how likely something is, in [0, 1]; NaN where that is not known. JSON has hundredths.
type Share float64

// IsZero reports whether a share is not known, so that JSON leaves it out.
func (s Share) IsZero() bool { return math.IsNaN(float64(s)) }

// MarshalJSON writes hundredths.
func (s Share) MarshalJSON() ([]byte, error) { return number(float64(s), 2), nil }

// Celsius is a temperature, degrees Celsius. JSON has tenths.
type Celsius float64

// MarshalJSON writes tenths.
func (c Celsius) MarshalJSON() ([]byte, error) { return number(float64(c), 1), nil }

// Hours is how long sap may be expected to run. JSON has whole hours.
type Hours float64

// MarshalJSON writes whole hours.
func (h Hours) MarshalJSON() ([]byte, error) { return number(float64(h), 0), nil }

// Amount is a sum of likelihoods, such as run days. JSON has tenths.
type Amount float64

// MarshalJSON writes tenths.
func (a Amount) MarshalJSON() ([]byte, error) { return number(float64(a), 1), nil }

// MarshalJSON writes whole days.
func (r RunDays) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		P10 json.RawMessage `json:"p10"`
		P50 json.RawMessage `json:"p50"`
		P90 json.RawMessage `json:"p90"`
	}{number(r.P10, 0), number(r.P50, 0), number(r.P90, 0)})
}

// Range is what a quantity may be, from Low to High. JSON has two digits: nothing finer is known.
type Range struct{ Low, High float64 }

// MarshalJSON writes two digits.
func (r Range) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Low  json.RawMessage `json:"low"`
		High json.RawMessage `json:"high"`
	}{digits(r.Low), digits(r.High)})
}

// digits writes a number that is not negative to two digits.
func digits(x float64) []byte {
	if x < 1e-9 || math.IsInf(x, 0) {
		return number(x, 0)
	}
	places := 1 - int(math.Floor(math.Log10(x)))
	step := math.Pow10(-places)
	return number(math.Round(x/step)*step, max(0, places))
}

// number writes a number to so many decimals; what is none, as null.
func number(x float64, decimals int) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return []byte("null")
	}
	step := math.Pow10(decimals)
	return strconv.AppendFloat(nil, math.Round(x*step)/step+0, 'f', decimals, 64) // adding 0 makes -0 into 0
}
