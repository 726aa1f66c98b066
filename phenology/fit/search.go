package fit

import (
	"math"
	"slices"

	"treewhen/phenology"
)

// Evidence is how every variant of every form does on one series of dates, on years left out: what a choice rests on,
// and what it is judged by.
type Evidence struct {
	Phase   phenology.Phase
	Years   []Year   // those that the temperatures cover, in order
	Dropped []string // models of the panel that cannot serve, and why

	temps  *phenology.Temperatures
	mean   *trial
	forms  []Form
	trials [][]*trial // by form and variant; nil where a variant cannot serve
	at     map[phenology.Season]int
}

// Gather tries all forms of model on a series. It refuses as [Fit] does, with fewer than [MinYears] years that the
// temperatures cover.
func Gather(t *phenology.Temperatures, phase phenology.Phase, years []Year) (*Evidence, error) {
	if n := len(years); n < MinYears {
		return nil, tooFew(n)
	}
	e := &Evidence{Phase: phase, temps: t, forms: forms(phase), at: map[phenology.Season]int{}}
	earliest := math.Inf(1)
	for _, y := range years {
		earliest = min(earliest, y.Day)
	}
	var serve []phenology.Fittable
	serve, e.Dropped = serving(Panel().For(phase).Models, earliest)
	if len(serve) == 0 {
		serve = []phenology.Fittable{phenology.ThermalTime{Start: 1, Method: phenology.SineForcing, Requirement: 1}}
	}
	e.Years = covered(t, serve, years)
	if n := len(e.Years); n < MinYears {
		return nil, notCovered(n, len(years))
	}
	for i, y := range e.Years {
		e.at[y.Season] = i
	}
	e.mean = newTrial(newMeanDater(e.Years), nil, e.Years)
	for _, f := range e.forms {
		row := make([]*trial, len(f.Variants))
		for k, v := range f.Variants {
			row[k] = e.try(v, earliest)
		}
		e.trials = append(e.trials, row)
	}
	return e, nil
}

// try tries a variant; nil if it cannot serve.
func (e *Evidence) try(v Variant, earliest float64) *trial {
	if v.Warmth != nil {
		mean, _ := MeanSpread(e.Years)
		d, ok := newWarmthDater(e.temps, *v.Warmth, e.Years)
		if !ok || float64(v.Warmth.To) > mean {
			return nil
		}
		return newTrial(d, v.Odd, e.Years)
	}
	if v.SinceFlowering {
		if d, ok := newLagDater(e.Years); ok {
			return newTrial(d, nil, e.Years)
		}
		return nil
	}
	models, _ := serving(v.Models, earliest)
	d, ok := newSumDater(e.temps, models, e.Years)
	if !ok {
		return nil
	}
	tried := newTrial(d, slices.Concat(v.Odd, oddStart(v.Models, earliest)), e.Years)
	d.forget()
	return tried
}

// oddStart says whether a lone model's start is the first or the last of those that could be chosen.
func oddStart(models []phenology.Fittable, earliest float64) []string {
	m, ok := models[0].(phenology.ThermalTime)
	if len(models) > 1 || !ok {
		return nil
	}
	last := triedStarts[0]
	for _, s := range triedStarts {
		if float64(s) <= earliest-leadIn {
			last = s
		}
	}
	if m.Start == triedStarts[0] || m.Start == last {
		return []string{"its start is at the edge of the range"}
	}
	return nil
}

// index returns which of its years a season is, -1 for none.
func (e *Evidence) index(s phenology.Season) int {
	if i, ok := e.at[s]; ok && s.Year != 0 {
		return i
	}
	return -1
}

// season returns the season of a year, the zero season for -1.
func (e *Evidence) season(i int) phenology.Season {
	if i < 0 {
		return phenology.Season{}
	}
	return e.Years[i].Season
}

// candidate is a way of choosing a model for a series.
type candidate struct {
	name string
	form int   // -1 for the mean date
	pool *Pool // nil: chosen on the series' own dates
}

// pick returns the trial that a candidate chooses without years i and j (-1: none), nil if it has none.
func (c candidate) pick(e *Evidence, i, j int) *trial {
	switch {
	case c.form < 0:
		return e.mean
	case c.pool != nil:
		v := c.pool.pick(c.form, e.season(i), e.season(j))
		if v < 0 {
			return nil
		}
		return c.pool.trials(e, c.form)[v]
	}
	var best *trial
	least := math.Inf(1)
	for _, t := range e.trials[c.form] {
		if t != nil && t.score(i, j) < least {
			best, least = t, t.score(i, j)
		}
	}
	return best
}

// candidates returns the ways of choosing, the simplest first: the mean date, the panel, in which nothing is chosen,
// forms whose choices are shared with other species, then those whose choices are the series' own.
func (e *Evidence) candidates(pool *Pool) []candidate {
	list := []candidate{{name: "mean date", form: -1}}
	var shared, own []candidate
	for f, form := range e.forms {
		switch c := (candidate{name: form.Name, form: f}); {
		case len(form.Variants) == 1:
			list = append(list, c)
		default:
			own = append(own, c)
			if pool.Size() > 1 {
				c.pool = pool
				shared = append(shared, c)
			}
		}
	}
	return slices.Concat(list, shared, own)
}

// prevails reports whether a candidate takes the place of a simpler one. The panel does so of the mean date if it is
// better at all: that spring follows warmth needs no proof from each tree.
func prevails(simple, rival candidate, gain, chance float64, panel bool) bool {
	if simple.form < 0 && rival.form == 0 && panel {
		return gain > 0
	}
	return gain > enough*chance
}

// decide returns which candidate is to be used, by their errors on the same years; nil errors are of one that cannot
// serve.
func (e *Evidence) decide(list []candidate, errors [][]float64) int {
	standing := 0
	for c := 1; c < len(list); c++ {
		if errors[c] == nil {
			continue
		}
		if gain, chance := better(errors[standing], errors[c]); prevails(list[standing], list[c], gain, chance,
			e.hasPanel()) {
			standing = c
		}
	}
	return standing
}

func (e *Evidence) hasPanel() bool {
	return len(e.forms[0].Variants) == 1 && e.Phase != phenology.FruitRipe
}

// Choose chooses a model, beside what a pool of other series suggests if that is not nil. Errors are of years left out:
// for each, variants and candidates are chosen and requirements set without it, so that what choosing costs is in them.
func (e *Evidence) Choose(pool *Pool) *Result {
	n := len(e.Years)
	list := e.candidates(pool)
	// Of each candidate, the error of each year; and, for each year left out, those of the others.
	nested := make([][]float64, len(list))
	inner := make([][][]float64, n)
	for i := range inner {
		inner[i] = make([][]float64, len(list))
	}
	for c, one := range list {
		if one.pick(e, -1, -1) == nil {
			continue
		}
		nested[c] = make([]float64, n)
		for i := range n {
			nested[c][i] = one.pick(e, i, -1).one[i]
			for j := range n {
				if j != i {
					inner[i][c] = append(inner[i][c], one.pick(e, i, j).beside(i, j))
				}
			}
		}
	}
	final, errors := e.decide(list, nested), []float64(nil)
	switch simplest := e.simplest(nested); final {
	case simplest:
		errors = nested[final] // nothing was chosen on these dates
	default:
		errors = make([]float64, n)
		for i := range n {
			errors[i] = nested[e.decide(list, inner[i])][i]
			if math.IsNaN(errors[i]) { // the record does not let it date this year
				errors[i] = nested[simplest][i]
			}
		}
		// With each year left out another might have been chosen. Where that costs what the choice gains, it is not
		// made.
		if rms(errors) >= rms(nested[simplest]) {
			final, errors = simplest, nested[simplest]
		}
	}
	r := &Result{Years: n, Models: list[final].pick(e, -1, -1).models(), Dropped: e.Dropped, Profile: math.NaN()}
	r.Mean, r.Spread = MeanSpread(e.Years)
	r.From, r.To = e.Years[0].Season.Year, e.Years[n-1].Season.Year
	var square, nullSquare float64
	for i := range e.Years {
		square += sq(errors[i])
		nullSquare += sq(e.mean.one[i])
	}
	r.RMSE, r.MeanRMSE = math.Sqrt(square/float64(n)), math.Sqrt(nullSquare/float64(n))
	r.Residual = blend(square, float64(n), e.Phase)
	r.Rows = e.rows(list, nested, final)
	return r
}

// simplest returns which candidate is used where nothing is chosen: the panel if it is better than the mean date, else
// that.
func (e *Evidence) simplest(errors [][]float64) int {
	if e.hasPanel() && errors[1] != nil && rms(errors[1]) < rms(errors[0]) {
		return 1
	}
	return 0
}

// rms returns the root mean square of the errors that are known.
func rms(errors []float64) float64 {
	sum := 0.0
	for _, e := range errors {
		if !math.IsNaN(e) {
			sum += sq(e)
		}
	}
	return math.Sqrt(sum / float64(knownOf(errors)))
}

func knownOf(errors []float64) int {
	n := 0
	for _, e := range errors {
		if !math.IsNaN(e) {
			n++
		}
	}
	return n
}
