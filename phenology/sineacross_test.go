package phenology

import (
	"math"
	"math/rand/v2"
	"testing"
)

// tipBySeries is the mean over the day of what lies above a line u below the top of a sine of amplitude 1, by the
// series of the arcsine (Abramowitz & Stegun, Handbook of Mathematical Functions, 4.4.40) integrated term by term: 60
// terms, the last of which is below 2^-60 of the first.
func tipBySeries(u float64) float64 {
	const terms = 60
	var list [terms]float64
	binomial := 1. // C(2k, k) / 8^k, times u^k
	for k := range list {
		list[k] = binomial / (float64(2*k+1) * (float64(k) + 1.5))
		binomial *= float64(2*k+1) / float64(4*(k+1)) * u
	}
	sum := 0.0
	for k := terms - 1; k >= 0; k-- { // small ones first
		sum += list[k]
	}
	return u * math.Sqrt(2*u) / math.Pi * sum
}

// The expansion is as good as arithmetic: within four units of the last place of the series, and within the closed
// form's own rounding of what the standard library's arcsine gives.
func TestSineAcross(t *testing.T) {
	const steps = 100_000
	worst := 0.0
	for i := 1; i <= steps; i++ {
		u := float64(i) / steps
		// Of a sine from -1 to 1 the base 1 - u leaves the tip; the base u - 1 leaves all but the tip below it.
		base := 1 - u
		series := tipBySeries(1 - base) // 1 - u may have rounded
		if cold := SineDegreeDays(-1, 1, base); math.Abs(cold-series) > 4*0x1p-52*series {
			t.Fatalf("tip above %v: found %v, the series gives %v", base, cold, series)
		}
		warm := SineDegreeDays(-1, 1, -base)
		if want := base + series; math.Abs(warm-want) > 4*0x1p-52*want {
			t.Fatalf("above %v: found %v, the series gives %v", -base, warm, want)
		}
		closed := (math.Sqrt((1-base)*(1+base)) - base*(math.Pi/2-math.Asin(base))) / math.Pi
		worst = max(worst, math.Abs(closed-series))
		if math.Abs(closed-series) > 4*0x1p-52 {
			t.Fatalf("tip above %v: the closed form gives %v, the series %v", base, closed, series)
		}
	}
	if worst == 0 {
		t.Error("the closed form is the series to the last bit: is it taken by itself?")
	}
}

// Of days of any height and swing, the base anywhere between their extremes, the expansion gives what the closed form of
// Baskerville & Emin (1969) gives by the standard library's arcsine, to within what that rounds off: some units of the
// last place of the day's largest number.
func TestSineAcrossByArcsine(t *testing.T) {
	r := rand.New(rand.NewPCG(4440, 0))
	for range 1_000_000 {
		tmin := -60 + 110*r.Float64()
		tmax := tmin + math.Pow(10, -3+4.6*r.Float64()) // a swing of 0.001 to 40 degrees
		base := tmin + (tmax-tmin)*r.Float64()
		if !(tmin < base && base < tmax) {
			continue
		}
		mean, amplitude := (tmin+tmax)/2, (tmax-tmin)/2
		theta := math.Asin(max(-1, min(1, (base-mean)/amplitude)))
		want := ((mean-base)*(math.Pi/2-theta) + amplitude*math.Cos(theta)) / math.Pi
		largest := max(math.Abs(tmin), math.Abs(tmax))
		if got := sineAcross(tmin, tmax, base); !(math.Abs(got-want) <= 4*0x1p-52*largest) {
			t.Fatalf("%v to %v over %v: found %v, the arcsine gives %v", tmin, tmax, base, got, want)
		}
	}
}

// Days on which the sine crosses the base, in no order that a processor could learn, by the expansion and by the
// standard library's arccosine, which asks of each day where on the arc it is.
func BenchmarkSineAcross(b *testing.B) {
	var bases [1 << 14]float64
	r := rand.New(rand.NewPCG(1, 0))
	for i := range bases {
		bases[i] = -4 + 16*r.Float64()
	}
	for _, c := range []struct {
		name string
		of   func(tmin, tmax, base float64) float64
	}{
		{"series", SineDegreeDays},
		{"arccosine", func(tmin, tmax, base float64) float64 {
			mean, amplitude := (tmin+tmax)/2, (tmax-tmin)/2
			z := (base - mean) / amplitude
			return ((mean-base)*math.Acos(z) + amplitude*math.Sqrt((1-z)*(1+z))) / math.Pi
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				benchmarkSink += c.of(-4, 12, bases[i%len(bases)])
			}
		})
	}
}
