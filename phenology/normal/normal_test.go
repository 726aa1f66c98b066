package normal_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"treewhen/phenology/normal"
)

// Against another library's normal distribution.
func TestNormal(t *testing.T) {
	for z := -8.0; z <= 8; z += 0.01 {
		want := distuv.UnitNormal.CDF(z)
		if got := normal.CDF(z); math.Abs(got-want) > 1e-6 {
			t.Errorf("CDF(%v) = %v, want %v", z, got, want)
		}
		if math.Abs(z) < 5 {
			if got := normal.Quantile(want); math.Abs(got-z) > 1e-8 {
				t.Errorf("Quantile(%v) = %v, want %v", want, got, z)
			}
		}
	}
}
