package profiles

import (
	"treewhen/phenology"
)

func (c *check) seed() {
	s := c.species.Seed
	if s == nil {
		return
	}
	if len(s.MaturitySigns) == 0 {
		c.report("seed.maturity-signs", "found none, want at least one sign by which ripe seed is told")
	}
	for i, step := range s.Processing {
		path := item("seed.processing", i)
		if step.MinDays < 0 || step.MaxDays < step.MinDays || step.MaxDays > mostProcessing {
			c.report(path+".for", "found %s days, want at most %d", run(float64(step.MinDays), float64(step.MaxDays)),
				mostProcessing)
		}
	}
	c.quantity("seed.crop-interval", s.CropInterval, 1, 100)
	c.quantity("seed.seed-age", s.SeedAge, 1, 200)
	c.quantity("seed.seeds-per-kg", s.SeedsPerKg, 1, 1e8) // from coconuts to poplars
	c.quantity("seed.germination", s.Germination, 0.1, 100)
	c.quantity("seed.seed-per-fruit", s.SeedPerFruit, 0.01, 100)
	c.quantity("seed.seed-per-hl", s.SeedPerHL, 0.001, 150) // of acorns, which lie close
	if len(s.Pretreatments) == 0 {
		c.report("seed.pretreatments", "found none, want at least one; with no steps it says that seed is sown fresh")
	}
	springSeed := false
	if ripe := c.species.Phase(phenology.FruitRipe); ripe != nil && ripe.Months != nil {
		springSeed = ripe.Months.From <= ripe.Months.To && ripe.Months.To <= 7
	}
	for i, t := range s.Pretreatments {
		path := item("seed.pretreatments", i)
		most := 0
		for j, step := range t.Steps {
			c.step(item(path+".steps", j), step)
			most = max(most, step.MaxDays)
		}
		// Seed that dies when it dries and ripens in spring has the whole summer before it: it is sown, not kept.
		if s.Storage == phenology.Recalcitrant && springSeed && most > dryStorageDays {
			c.report(path, "found up to %d days of treatment for recalcitrant seed that ripens in spring, want it "+
				"sown fresh or treated for at most %d days", most, dryStorageDays)
		}
	}
}

func (c *check) step(path string, s phenology.TreatmentStep) {
	switch s.Kind {
	case phenology.WarmStratify, phenology.ColdStratify:
		if s.MinDays < 1 || s.MaxDays < s.MinDays || s.MaxDays > 730 {
			c.report(path+".for", "found %s days, want 1 to 730", run(float64(s.MinDays), float64(s.MaxDays)))
		}
	default:
		if s.MaxDays > 14 {
			c.report(path+".for", "found %d days of %s, want at most 14", s.MaxDays, s.Kind)
		}
	}
	switch low, high := s.LowC, s.HighC; {
	case low > high || low < coldC || high > hotC:
		c.report(path+".at", "found %s C, want degrees from %d to %d", run(low, high), coldC, hotC)
	case s.Kind == phenology.ColdStratify && (low < -5 || high > 10):
		c.report(path+".at", "found %s C for cold stratification, want -5 to 10 C", run(low, high))
	case s.Kind == phenology.WarmStratify && low < 10:
		c.report(path+".at", "found %s C for warm stratification, want 10 C and above", run(low, high))
	}
}
