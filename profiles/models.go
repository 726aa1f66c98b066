package profiles

import (
	"slices"
	"time"

	"treewhen/phenology"
	"treewhen/profiles/packed"
	"treewhen/profiles/strictyaml"
)

// modelKinds says how each kind of model is written in a profile. A kind that is not here cannot be read. Their order
// is that of [modelTypes].
var modelKinds = []struct {
	model phenology.Model // a zero one
	read  func(phenology.Phase, *strictyaml.Map) phenology.Model
}{
	{phenology.ThermalTime{}, thermalTime},
	{phenology.ChillingThermalTime{}, chillingThermalTime},
	{phenology.ChillingThenForcing{}, chillingThenForcing},
	{phenology.DegreeDayLag{}, degreeDayLag},
	{phenology.AutumnCooling{}, autumnCooling},
	{phenology.WarmthShift{}, warmthShift},
	{phenology.Lag{}, lag},
	{phenology.RunCount{}, runCount},
	{phenology.RunShare{}, runShare},
	{phenology.LastRun{}, lastRun},
}

// modelTypes are the types that a model of the packed library may have.
func modelTypes() packed.Types {
	models := make([]any, len(modelKinds))
	for i, k := range modelKinds {
		models[i] = k.model
	}
	return packed.NewTypes(models...)
}

// model reads one model of a phase, nil if its kind is not known.
func (p *profile) model(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("kind")
	kinds := make([]string, len(modelKinds))
	for i, k := range modelKinds {
		kinds[i] = k.model.Kind()
	}
	kind, ok := strictyaml.GetOneOf(m, "kind", kinds...)
	if !ok {
		return nil
	}
	defer m.Done()
	return modelKinds[slices.Index(kinds, kind)].read(phase, m)
}

func thermalTime(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "base", "requirement")
	t := phenology.ThermalTime{
		Start: dayOf(m, "start", phase), Base: value(m.Quantity("base", strictyaml.Temperature)),
		Requirement: value(m.Float("requirement")), Method: forcingMethod(m),
		DayLengthExponent: value(m.FloatIn("day-length-exponent", 0, 20)),
	}
	if m.Has("upper") || m.Has("cutoff") {
		m.Required("upper", "cutoff")
		t.Upper, _ = m.Quantity("upper", strictyaml.Temperature)
		t.Cutoff, _ = strictyaml.GetOneOf(m, "cutoff",
			phenology.HorizontalCutoff, phenology.IntermediateCutoff, phenology.VerticalCutoff)
	}
	return t
}

// forcingMethod reads how degree-days are reckoned: by the sine, where nothing is said.
func forcingMethod(m *strictyaml.Map) phenology.ForcingMethod {
	method, ok := strictyaml.GetOneOf(m, "method",
		phenology.SineForcing, phenology.AverageForcing, phenology.TriangleForcing)
	if !ok {
		return phenology.SineForcing
	}
	return method
}

func chillingThermalTime(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "base", "chill-start", "chill-below", "requirement", "extra", "decay")
	return phenology.ChillingThermalTime{
		Start: dayOf(m, "start", phase), ChillStart: dayOf(m, "chill-start", phase),
		Base:        value(m.Quantity("base", strictyaml.Temperature)),
		ChillBelow:  value(m.Quantity("chill-below", strictyaml.Temperature)),
		Requirement: value(m.Float("requirement")), Extra: value(m.Float("extra")),
		Decay:  value(m.FloatIn("decay", 0, 1)),
		Method: forcingMethod(m),
	}
}

func chillingThenForcing(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("chill-start", "chill-requirement", "requirement")
	c := phenology.ChillingThenForcing{Chilling: phenology.SarvasChilling, Forcing: phenology.SarvasForcing}
	c.ChillStart = dayOf(m, "chill-start", phase)
	c.ChillRequirement, _ = m.Float("chill-requirement")
	c.Requirement, _ = m.Float("requirement")
	if v, ok := m.Get("chilling"); ok && v.IsScalar() {
		c.ChillingBy, _ = strictyaml.OneOf(v, phenology.ChillingByHours, phenology.ChillingByUnits)
	} else if rate, ok := m.Map("chilling"); ok {
		rate.Required("low", "optimum", "high")
		c.Chilling.Low, _ = rate.Quantity("low", strictyaml.Temperature)
		c.Chilling.Optimum, _ = rate.Quantity("optimum", strictyaml.Temperature)
		c.Chilling.High, _ = rate.Quantity("high", strictyaml.Temperature)
		rate.Done()
	}
	if rate, ok := m.Map("forcing"); ok {
		switch rate.Has("base") || rate.Has("method") {
		case true: // degree-days
			rate.Required("base")
			c.Forcing = phenology.SigmoidForcing{}
			c.Base, _ = rate.Quantity("base", strictyaml.Temperature)
			c.Method = forcingMethod(rate)
		default:
			rate.Required("ceiling", "steepness", "midpoint")
			c.Forcing.Ceiling, _ = rate.Float("ceiling")
			c.Forcing.Steepness, _ = rate.FloatIn("steepness", 0, 10)
			c.Forcing.Midpoint, _ = rate.Quantity("midpoint", strictyaml.Temperature)
		}
		rate.Done()
	}
	if c.ChillingBy != phenology.ChillingByRate {
		c.Chilling = phenology.TriangularChilling{}
	}
	return c
}

func degreeDayLag(_ phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("after", "base", "requirement")
	return phenology.DegreeDayLag{
		After: phaseOf(m, "after"), Base: value(m.Quantity("base", strictyaml.Temperature)),
		Requirement: value(m.Float("requirement")), Method: forcingMethod(m),
	}
}

func autumnCooling(_ phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("day-length-below", "base", "requirement")
	a := phenology.AutumnCooling{TemperatureExponent: 1}
	a.DayLength, _ = m.FloatIn("day-length-below", 0, 24)
	a.Base, _ = m.Quantity("base", strictyaml.Temperature)
	a.Requirement, _ = m.Float("requirement")
	if x, ok := m.FloatIn("temperature-exponent", 0, 5); ok {
		a.TemperatureExponent = x
	}
	a.DayLengthExponent, _ = m.FloatIn("day-length-exponent", 0, 5)
	a.Shortening, _ = m.Bool("shortening")
	return a
}

func warmthShift(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("from", "to", "days-per-degree")
	return phenology.WarmthShift{
		From: dayOf(m, "from", phase), To: dayOf(m, "to", phase),
		DaysPerDegree: value(m.FloatIn("days-per-degree", -20, 20)),
	}
}

// phaseOf reads the name of a phase.
func phaseOf(m *strictyaml.Map, key string) phenology.Phase {
	return value(strictyaml.GetAs(m, key, phenology.ParsePhase))
}

// dayOf reads a day of the northern calendar as a day of the season, 0 where there is none. For what happens before the
// leaves turn, a day from September on is of the autumn before, and so not above 0.
func dayOf(m *strictyaml.Map, key string, phase phenology.Phase) phenology.SeasonDay {
	d, ok := m.MonthDay(key)
	if !ok {
		return 0
	}
	day := phenology.SeasonDay(d.YearDay())
	if phase < phenology.LeafColor && d.Month >= time.September {
		day -= 365
	}
	return day
}

func lag(_ phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("after", "days", "spread")
	return phenology.Lag{
		After: phaseOf(m, "after"), Days: value(m.FloatIn("days", -365, 365)), Spread: value(m.Float("spread")),
	}
}

func runCount(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "runs")
	return phenology.RunCount{Start: dayOf(m, "start", phase), Runs: value(m.Float("runs"))}
}

func runShare(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "share", "before")
	return phenology.RunShare{
		Start: dayOf(m, "start", phase), Share: value(m.Float("share")), Before: phaseOf(m, "before"),
	}
}

func lastRun(phase phenology.Phase, m *strictyaml.Map) phenology.Model {
	m.Required("start", "before")
	return phenology.LastRun{Start: dayOf(m, "start", phase), Before: phaseOf(m, "before")}
}
