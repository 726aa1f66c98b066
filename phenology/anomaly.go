package phenology

import (
	"cmp"
	"math"
	"slices"
	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// A season's dates differ from what its temperatures say in part for all trees alike: its light and water, the state in
// which the trees came out of winter, the thermometer itself. So what was seen of one phase tells of those to come.
// That part is taken as a Gaussian process along the season, with these correlations between the standardised errors of
// two phases, some days apart.
//
// They were measured, not tuned: over 62 series of Harvard Forest Data Archive HF003, 1990 to 2005, four-member thermal
// time with each year left out, the errors of two species correlate by 0.35 within a week, 0.27 two weeks apart, 0.15
// five weeks apart and 0.07 after six and more; those of two phases of one species within a week by 0.55. That the
// process is Gaussian with an exponential correlation is our own choice; the conditional expectation is that of
// Rasmussen & Williams (2006), Gaussian Processes for Machine Learning, equations 2.23 and 2.24 (from memory).
const (
	sharedCorrelation = 0.35 // of all species
	sharedMemory      = 40.0 // days in which it falls by a factor e
	kinCorrelation    = 0.20 // on top, of phases of one species
	kinMemory         = 14.0 // days
	mostAnomalies     = 120  // sightings of a season that count, the latest: the work grows with the cube
)

// anomaly is a phase seen in a season, against what the season's temperatures said.
type anomaly struct {
	key seenKey
	day float64
	z   float64 // observed less modelled, in standard deviations of the model's residual
}

// correlation returns how the errors of two phases correlate for what they share.
func correlation(a, b seenKey, dayA, dayB float64) float64 {
	apart := math.Abs(dayA - dayB)
	c := sharedCorrelation * math.Exp(-apart/sharedMemory)
	if a.species == b.species {
		c += kinCorrelation * math.Exp(-apart/kinMemory)
	}
	return c
}

// anomalies are a season's, ready to be asked.
type anomalies struct {
	list   []anomaly
	factor [][]float64 // the Cholesky factor of their covariance, lower left
	solved []float64   // the covariance's inverse times z
}

func newAnomalies(list []anomaly) *anomalies {
	if len(list) > mostAnomalies {
		list = list[len(list)-mostAnomalies:]
	}
	s := &anomalies{list: list}
	for i, a := range list {
		row := make([]float64, i+1)
		for k, b := range list[:i+1] {
			row[k] = correlation(a.key, b.key, a.day, b.day)
			if i == k {
				row[k] = 1
			}
			for m := range k {
				row[k] -= row[m] * s.at(k, m, row, i)
			}
			if k < i {
				row[k] /= s.factor[k][k]
			} else {
				row[k] = math.Sqrt(max(row[k], 1e-9))
			}
		}
		s.factor = append(s.factor, row)
	}
	z := make([]float64, len(list))
	for i := range list {
		z[i] = list[i].z
	}
	s.solved = s.backward(s.forward(z))
	return s
}

// at returns an element of the factor's row k, which may be the row being made.
func (s *anomalies) at(k, m int, row []float64, i int) float64 {
	if k == i {
		return row[m]
	}
	return s.factor[k][m]
}

// forward solves factor x = b.
func (s *anomalies) forward(b []float64) []float64 {
	x := make([]float64, len(b))
	for i := range b {
		x[i] = b[i]
		for k := range i {
			x[i] -= s.factor[i][k] * x[k]
		}
		x[i] /= s.factor[i][i]
	}
	return x
}

// backward solves factor' x = b.
func (s *anomalies) backward(b []float64) []float64 {
	x := make([]float64, len(b))
	for i := len(b) - 1; i >= 0; i-- {
		x[i] = b[i]
		for k := i + 1; k < len(b); k++ {
			x[i] -= s.factor[k][i] * x[k]
		}
		x[i] /= s.factor[i][i]
	}
	return x
}

// tell returns the expected standardised error of a phase about a day, given the anomalies, and the share of its
// variance that they take away.
func (s *anomalies) tell(key seenKey, day float64) (z, share float64) {
	if len(s.list) == 0 {
		return 0, 0
	}
	c := make([]float64, len(s.list))
	for i, one := range s.list {
		c[i] = correlation(key, one.key, day, one.day)
		z += c[i] * s.solved[i]
	}
	for _, x := range s.forward(c) {
		share += x * x
	}
	return z, min(share, sharedCorrelation+kinCorrelation)
}

// ofSpring reports whether a phase shares the season's error: buds, flowers, leaves, and the fruit that follows.
// Nothing shows that a late spring makes a late autumn, and sap runs by freeze and thaw.
func ofSpring(p Phase) bool { return p >= BudSwell && p < LeafColor }

// seasonShift returns by how many residuals the phases seen this season move one that comes about a day, and which
// share of its variance they take away. The phase itself must not have been seen, unless it is to be told of from the
// others.
func (o *Outlook) seasonShift(key seenKey, season Season, day float64) (z, share float64) {
	if !ofSpring(key.phase) || len(o.Sightings) == 0 {
		return 0, 0
	}
	s := o.anomalies(season)
	if i := slices.IndexFunc(s.list, func(one anomaly) bool { return one.key == key }); i >= 0 {
		s = newAnomalies(slices.Delete(slices.Clone(s.list), i, i+1))
	}
	return s.tell(key, day)
}

// anomalies returns what was seen in a season against what its temperatures said, in order of day.
func (o *Outlook) anomalies(season Season) *anomalies {
	return o.memo.seasons.of(season, func() *anomalies { return o.newAnomalies(season) })
}

func (o *Outlook) newAnomalies(season Season) *anomalies {
	var list []anomaly
	known := o.lastKnown(season)
	for _, sp := range o.Known {
		for _, r := range sp.Phases {
			key := seenKey{sp.ID, r.Phase}
			if !ofSpring(r.Phase) || r.Model == nil || len(o.seenDates(key)) == 0 {
				continue
			}
			day, ok := o.SeenOn(sp, r, season)
			if !ok {
				continue
			}
			d := o.estimator(sp, season)
			d.alone = true
			if got, _ := d.model(r); got != nil {
				z := (day - got.Dist.Mean()) / r.Model.Residual
				z += seenOnly((season.Day(known).End() - got.Dist.Mean()) / r.Model.Residual)
				list = append(list, anomaly{key, day, z})
			}
		}
	}
	slices.SortStableFunc(list, func(a, b anomaly) int { return cmp.Compare(a.day, b.day) })
	return newAnomalies(list)
}

// lastKnown returns the last day of which anything is known in a season: of its temperatures, or of what was seen.
func (o *Outlook) lastKnown(season Season) civil.Date {
	last := o.Temps.observed
	for _, s := range o.Sightings {
		last = max(last, s.Date)
	}
	if o.Until != nil {
		last = min(last, *o.Until)
	}
	return min(last, season.Date(lastDay))
}

// seenOnly is what must be added to an anomaly for its having been seen already. By a given day only those phases have
// been seen that were early enough for it, so those seen are on the mean too early. Given what all phases share, a
// phase's own part of the error is normal and cut off at a; the shared part's likelihood then has its maximum where
// each anomaly is later by the mean of what was cut off (the inverse of Mills' ratio). Where the model has the phase
// still to come, what is added grows no more: that it was seen at all speaks for an early season.
func seenOnly(a float64) float64 {
	const own = 0.8062 // square root of 1 - sharedCorrelation
	a = max(a, 0) / own
	return own * math.Exp(-a*a/2) / math.Sqrt(2*math.Pi) / normal.CDF(a)
}
