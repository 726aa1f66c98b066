package profiles

import (
	"treewhen/phenology"
)

func (c *check) dating(path string, phase phenology.Phase, d *phenology.PhaseModel) {
	if len(d.Models) == 0 {
		c.report(path+".models", "found no model, want at least one")
	}
	c.spread(path+".residual", d.Residual)
	if s := d.Score; s != nil && (s.Years < 2 || !(s.RMSE > 0) || !(s.MeanRMSE > 0)) {
		c.report(path+".score",
			"found %d years with errors of %v and %v days, want at least 2 years and errors above 0", s.Years, s.RMSE,
			s.MeanRMSE)
	}
	for i, m := range d.Models {
		c.model(item(path+".models", i), phase, m)
	}
}

func (c *check) spread(path string, days float64) {
	if !(days > 0 && days <= mostSpread) {
		c.report(path, "found %v days, want more than 0 and at most %d", days, mostSpread)
	}
}

func (c *check) model(path string, phase phenology.Phase, m phenology.Model) {
	switch m := m.(type) {
	case phenology.ThermalTime:
		c.thermalTime(path, m)
	case phenology.ChillingThermalTime:
		c.chillingThermalTime(path, m)
	case phenology.ChillingThenForcing:
		c.chillingThenForcing(path, m)
	case phenology.DegreeDayLag:
		c.needsDegreeDays(path, m.Requirement)
	case phenology.AutumnCooling:
		if phase < phenology.LeafColor {
			c.report(path, "found autumn-cooling for %s, want it for leaf-color, leaf-fall or dormant", phase)
		}
		if !(m.Requirement > 0) {
			c.report(path+".requirement", "found %v, want more than 0", m.Requirement)
		}
	case phenology.WarmthShift:
		c.warmthShift(path, phase, m)
	case phenology.Lag:
		c.spread(path+".spread", m.Spread)
	case phenology.RunCount:
		if !(m.Runs > 0 && m.Runs <= 100) {
			c.report(path+".runs", "found %v runs, want more than 0 and at most 100", m.Runs)
		}
		c.ofRuns(path, m, m.Start)
	case phenology.RunShare:
		if !(m.Share > 0 && m.Share < 1) {
			c.report(path+".share", "found %v, want more than 0 and less than 1", m.Share)
		}
		c.ofRuns(path, m, m.Start)
	case phenology.LastRun:
		c.ofRuns(path, m, m.Start)
	}
	if other, ok := phenology.DependsOn(m); ok && other == phase {
		c.report(path, "found a %s of %s from itself, want another phase", m.Kind(), phase)
	} else if ok && c.species.Phase(other) == nil {
		c.report(path, "found a %s from %s, a phase that the profile does not have", m.Kind(), other)
	}
}

func (c *check) thermalTime(path string, m phenology.ThermalTime) {
	c.needsDegreeDays(path, m.Requirement)
	if !believedBase(m.Base) {
		c.report(path+".base", "found a base of %v C, want one from -10 to 15 C", m.Base)
	}
	c.start(path, m.Start)
	if m.Cutoff != "" && m.Upper <= m.Base {
		c.report(path+".upper", "found an upper threshold of %v C not above the base of %v C, want it above",
			m.Upper, m.Base)
	}
}

func (c *check) chillingThermalTime(path string, m phenology.ChillingThermalTime) {
	if !(m.Requirement > 0) || !(m.Extra >= 0) {
		c.report(path+".requirement", "found %v and %v degree-days, want a requirement above 0 and an extra of 0 "+
			"or more", m.Requirement, m.Extra)
	}
	c.start(path, m.Start)
	if m.ChillStart < -180 || m.ChillStart > m.Start+60 {
		c.report(path+".chill-start", "found day %d of the season, want one from -180 to 60 days after the start",
			m.ChillStart)
	}
}

func (c *check) chillingThenForcing(path string, m phenology.ChillingThenForcing) {
	if !(m.Requirement > 0 && m.ChillRequirement > 0) {
		c.report(path+".requirement", "found %v after a chilling of %v, want both above 0", m.Requirement,
			m.ChillRequirement)
	}
	if m.ChillingBy == phenology.ChillingByRate &&
		!(m.Chilling.Low < m.Chilling.Optimum && m.Chilling.Optimum < m.Chilling.High) {
		c.report(path+".chilling", "found %v, %v and %v C, want low below optimum below high", m.Chilling.Low,
			m.Chilling.Optimum, m.Chilling.High)
	}
	if m.Method != "" && !believedBase(m.Base) {
		c.report(path+".forcing", "found a base of %v C, want one from -10 to 15 C", m.Base)
	}
	if m.Method == "" && !(m.Forcing.Ceiling > 0 && m.Forcing.Steepness > 0) {
		c.report(path+".forcing", "found a ceiling of %v and a steepness of %v, want both above 0",
			m.Forcing.Ceiling, m.Forcing.Steepness)
	}
}

func (c *check) warmthShift(path string, phase phenology.Phase, m phenology.WarmthShift) {
	if m.To < m.From {
		c.report(path+".to", "found day %d of the season after day %d, want the last day not before the first",
			m.From, m.To)
	}
	if r := c.species.Phase(phase); r == nil || len(r.References) == 0 {
		c.report(path, "found a warmth-shift without references, want a mean date to shift")
	}
}

// believedBase reports whether degrees Celsius are believed as a base of forcing.
func believedBase(base float64) bool { return base >= -10 && base <= 15 }

func (c *check) needsDegreeDays(path string, requirement float64) {
	if !(requirement > 0) {
		c.report(path+".requirement", "found %v degree-days, want more than 0", requirement)
	}
}

func (c *check) start(path string, day phenology.SeasonDay) {
	if day < -180 || day > 300 {
		c.report(path+".start", "found day %d of the season, want one from -180 to 300", day)
	}
}

// ofRuns notes what no model of sap runs can do with: a start that is none, and a species of which nothing says when
// sap runs.
func (c *check) ofRuns(path string, m phenology.Model, start phenology.SeasonDay) {
	c.start(path, start)
	if c.species.Sap.Run == nil {
		c.report(path, "found a %s without a run rule under sap, want one", m.Kind())
	}
}
