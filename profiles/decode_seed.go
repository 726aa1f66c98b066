package profiles

import (
	"treewhen/phenology"
	"treewhen/profiles/strictyaml"
)

func (p *profile) seed(m *strictyaml.Map) *phenology.Seed {
	defer m.Done()
	m.Required("fruit", "maturity-signs", "collect-from", "storage", "pretreatments")
	s := &phenology.Seed{}
	s.Fruit, _ = strictyaml.GetOneOf(m, "fruit", phenology.Fruits()...)
	s.MaturitySigns = each(m, "maturity-signs", func(m *strictyaml.Map) (sign phenology.MaturitySign) {
		sign.Statement = p.statement(m)
		sign.Test, _ = strictyaml.GetOneOf(m, "test", phenology.FloatTest, phenology.CutTest)
		return sign
	})
	if from, ok := m.Map("collect-from"); ok {
		s.CollectFrom = p.statement(from)
		from.Done()
	}
	if d, ok := m.Map("dispersal"); ok {
		d.Required("agent", "gather")
		s.Dispersal = &phenology.Dispersal{
			Source: p.source(d),
			Agent: value(strictyaml.GetOneOf(d, "agent", phenology.ByWind, phenology.ByWater, phenology.ByBirds,
				phenology.ByAnimals, phenology.ByGravity, phenology.ByItself)),
			Gather: value(strictyaml.GetOneOf(d, "gather",
				phenology.BeforeFall, phenology.WhileFalling, phenology.OnceFallen)),
		}
		d.Done()
	}
	s.Processing = each(m, "processing", func(m *strictyaml.Map) (step phenology.Process) {
		m.Required("text")
		step.Text, _ = m.Text("text")
		step.MinDays, step.MaxDays = p.wholeDays(m)
		step.Source = p.source(m)
		return step
	})
	if keep, ok := m.Map("keep"); ok {
		s.Keep = &phenology.Keeping{Statement: p.statement(keep), Moist: value(keep.Bool("moist"))}
		keep.Done()
	}
	if storage, ok := m.Map("storage"); ok {
		storage.Required("class")
		s.Storage, _ = strictyaml.GetOneOf(storage, "class",
			phenology.Orthodox, phenology.Intermediate, phenology.Recalcitrant)
		s.StorageSource = p.source(storage)
		storage.Done()
	}
	s.Pretreatments = each(m, "pretreatments", p.pretreatment)
	s.CropInterval = p.quantity(m, "crop-interval", inYears)
	s.SeedAge = p.quantity(m, "seed-age", inYears)
	s.SeedsPerKg = p.quantity(m, "seeds-per-kg", strictyaml.Value.FloatRange)
	s.Germination = p.quantity(m, "germination", strictyaml.Value.FloatRange)
	s.SeedPerFruit = p.quantity(m, "seed-per-fruit", strictyaml.Value.FloatRange)
	s.SeedPerHL = p.quantity(m, "seed-per-hl", strictyaml.Value.FloatRange)
	return s
}

func (p *profile) pretreatment(m *strictyaml.Map) (t phenology.Pretreatment) {
	m.Required("steps")
	t.Note, t.Source = value(m.Text("note")), p.source(m)
	t.Steps = each(m, "steps", func(m *strictyaml.Map) (s phenology.TreatmentStep) {
		m.Required("kind")
		s.Kind, _ = strictyaml.GetOneOf(m, "kind",
			phenology.WarmStratify, phenology.ColdStratify, phenology.Scarify, phenology.Soak)
		if s.Kind == phenology.WarmStratify || s.Kind == phenology.ColdStratify {
			m.Required("for", "at")
		}
		s.MinDays, s.MaxDays = p.wholeDays(m)
		s.LowC, s.HighC, _ = m.QuantityRange("at", strictyaml.Temperature)
		return s
	})
	return t
}

// wholeDays reads how long a step takes, 0 and 0 if that is not stated.
func (p *profile) wholeDays(m *strictyaml.Map) (least, most int) {
	low, high, ok := m.QuantityRange("for", strictyaml.Days)
	if !ok {
		return 0, 0
	}
	least, most = int(low), int(high)
	if float64(least) != low || float64(most) != high {
		m.ReportKey("for", "found a part of a day, want whole days")
	}
	return least, most
}

func inYears(v strictyaml.Value) (low, high float64, ok bool) {
	return v.QuantityRange(strictyaml.Years)
}
