package fit

import (
	"math"

	"treewhen/phenology"
)

// ripeningForms are the forms for ripe fruit. Nothing says that it follows the warmth of spring, as buds do: so none of
// them prevails over the mean date without proof. The bases of the sums from flowering are those of the papers on
// cones, 5 degrees (Woody Plant Seed Manual, Agriculture Handbook 727, Picea), and about them.
func ripeningForms() []Form {
	sums := Form{Name: "degree-days from flowering"}
	for _, base := range []float64{0, 2, 4, 5, 6, 8, 10} {
		sums.add(sinceFlowering{phenology.ThermalTime{Base: base, Method: phenology.SineForcing, Requirement: 1}})
	}
	return []Form{
		{Name: "days from flowering", Variants: []Variant{{SinceFlowering: true}}},
		sums,
		thermalForm("thermal time", []float64{0}),
	}
}

// sinceFlowering is thermal time whose start is the day after each year's flowering; in a profile, a
// [phenology.DegreeDayLag].
type sinceFlowering struct{ phenology.ThermalTime }

// in returns the sum of a year, and whether the year's flowering is known.
func (m sinceFlowering) in(y Year) (phenology.Fittable, bool) {
	m.Start = phenology.SeasonDay(math.Round(y.Flowered)) + 1
	return m, y.Flowered > 0
}

// WithNeed returns the model for a profile.
func (m sinceFlowering) WithNeed(requirement float64) phenology.Model {
	return phenology.DegreeDayLag{
		After: phenology.Flowering, Base: m.Base, Method: m.Method, Requirement: requirement,
	}
}

// lagDater dates by the mean number of days from flowering.
type lagDater struct {
	years    []Year
	n        float64 // those whose flowering is known
	sum, sqs float64 // of their days from flowering, and of the squares of these
}

func newLagDater(years []Year) (*lagDater, bool) {
	d := &lagDater{years: years}
	for i := range years {
		if d.dates(i) {
			lag := d.lag(i)
			d.n, d.sum, d.sqs = d.n+1, d.sum+lag, d.sqs+sq(lag)
		}
	}
	return d, d.n >= MinYears && len(years)-int(d.n) <= mostLacking(len(years))
}

func (d *lagDater) dates(year int) bool { return d.years[year].Flowered > 0 }

func (d *lagDater) lag(year int) float64 { return d.years[year].Day - d.years[year].Flowered }

func (d *lagDater) predict(year int, without [2]int) float64 {
	sum, n := d.sum, d.n
	for _, w := range without {
		if w >= 0 {
			sum, n = sum-d.lag(w), n-1
		}
	}
	return d.years[year].Flowered + sum/n
}

func (d *lagDater) models() []phenology.Model {
	mean := d.sum / d.n
	spread := math.Sqrt(max(0, d.sqs/d.n-sq(mean)) * d.n / (d.n - 1))
	return []phenology.Model{
		phenology.Lag{After: phenology.Flowering, Days: tenths(mean), Spread: max(tenths(spread), 0.1)},
	}
}

// tenths rounds days as profiles have them.
func tenths(x float64) float64 { return math.Round(10*x) / 10 }
