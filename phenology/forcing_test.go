package phenology

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"treewhen/phenology/weather"
)

// The quick way to sum plain degree-days gives the sums of the slow one, to the last bit.
func TestPlainSumsAreThoseOfTheirDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := forcing{method: rapid.SampledFrom([]ForcingMethod{SineForcing, AverageForcing}).Draw(t, "method"),
			base: rapid.SampledFrom([]float64{-2, 0, 4.4, 5, 10}).Draw(t, "base")}
		if !f.isPlain() {
			t.Fatal("no plain forcing")
		}
		value := rapid.OneOf(rapid.Float64Range(-40, 45), rapid.SampledFrom([]float64{f.base, math.Nextafter(f.base, 99), math.Copysign(0, -1), math.NaN()}))
		days := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) weather.Day { // also minima above maxima
			return weather.Day{Min: value.Draw(t, "min"), Max: value.Draw(t, "max")}
		}), 0, 200).Draw(t, "days")
		start := rapid.Float64Range(0, 3000).Draw(t, "start")
		got, want := make([]float64, len(days)+1), start
		got[0] = start
		f.sumPlain(got, days)
		for i, d := range days {
			if d.Complete() {
				want += f.of(d, 0)
			}
			if math.Float64bits(got[i+1]) != math.Float64bits(want) {
				t.Fatalf("after %v: %v, want %v", d, got[i+1], want)
			}
		}
	})
}
