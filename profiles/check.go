package profiles

import (
	"fmt"
	"math"
	"slices"

	"treewhen/phenology"
	"treewhen/phenology/problem"
)

// Limits of what is believed without asking. All are our own choice, wide on purpose: they are there to catch slips,
// not to judge research.
const (
	mostSpread     = 60 // days between years; the loosest phase in the observations used here has 8
	tropics        = 10 // degrees of latitude that a range may reach over the equator
	monthsSlack    = 31 // days that a mean date may lie outside a handbook's months, which are of a whole range
	mostSugar      = 10 // percent of fresh sap; the sweetest maples reach 5
	mostProcessing = 60 // days; cones that are slow to open take three weeks
	dryStorageDays = 30 // a pretreatment this long is storage
	hotC, coldC    = 45, -30
)

// Check returns what is wrong with the biology or the sources of a species. Each problem's Field is the path in a
// profile, such as "phases.flowering.references[2].date"; there is no file and no line. A species that is not read from
// a profile may be checked too.
func Check(s *phenology.Species) problem.List {
	c := &check{species: s}
	c.names()
	c.rangeBox()
	c.sap()
	for _, r := range s.Phases {
		c.phase(r)
	}
	c.order()
	c.lags()
	c.seed()
	c.traits()
	c.statements()
	return c.problems
}

type check struct {
	species  *phenology.Species
	problems problem.List
}

func (c *check) report(path, text string, args ...any) { c.problems.Add("", 0, path, text, args...) }

func item(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i+1) }

// sourced notes a figure without a source.
func (c *check) sourced(path string, s phenology.Source) {
	if s.Key == "" || s.Citation == "" {
		c.report(path, "found no source, want one for every figure")
	} else if !slices.Contains(marks, s.Mark) {
		c.report(path, "found source %q with mark %q, want one of %v", s.Key, s.Mark, marks)
	}
}

func (c *check) names() {
	s := c.species
	switch want := slug(s.Botanical); {
	case !keyForm.MatchString(s.ID):
		c.report("id", "found %q, want the botanical name in lower-case letters and hyphens such as acer-saccharum",
			s.ID)
	case s.ID != want:
		c.report("id", "found %q for %s, want %q", s.ID, s.Botanical, want)
	}
	if len(s.Common) == 0 {
		c.report("common", "found no common name, want at least one")
	}
	seen := map[string]bool{}
	for i, name := range s.Common {
		if key := fold(name); seen[key] {
			c.report(item("common", i), "found %q twice, want each name once", name)
		} else {
			seen[key] = true
		}
	}
}

func (c *check) rangeBox() {
	r := c.species.Range
	if r == nil {
		return
	}
	c.sourced("range", r.Source)
	c.box("range", r)
	if r.Naturalized != nil {
		c.box("range.naturalized", r.Naturalized)
	}
	for i := range r.Parts {
		part, path := &r.Parts[i], item("range.parts", i)
		c.box(path, part)
		if part.South < r.South || part.North > r.North || part.West < r.West || part.East > r.East {
			c.report(path, "found a part that reaches out of the range, want it within south %v, north %v, west %v and "+
				"east %v", r.South, r.North, r.West, r.East)
		}
	}
}

func (c *check) box(path string, r *phenology.Range) {
	if r.South >= r.North {
		c.report(path, "found south %v and north %v, want south below north", r.South, r.North)
	}
	if r.West >= r.East {
		c.report(path, "found west %v and east %v, want west below east", r.West, r.East)
	}
	if r.South < -tropics && r.North > tropics {
		c.report(path, "found south %v and north %v, want a range on one side of the equator: half a year lies between the "+
			"seasons of the two; is a minus one too many?", r.South, r.North)
	}
	c.latitude(path+".south", r.South)
	c.latitude(path+".north", r.North)
}

func (c *check) latitude(path string, degrees float64) {
	if math.IsNaN(degrees) || degrees < -90 || degrees > 90 {
		c.report(path, "found latitude %v, want degrees from -90 to 90", degrees)
	}
}

func (c *check) sap() {
	sap := c.species.Sap
	c.sourced("sap", sap.Source)
	if q := sap.SugarPercent; q != nil {
		c.quantity("sap.sugar-percent", q, 0, mostSugar)
	}
	c.quantity("sap.litres-per-tap", sap.PerTap, 1, 500)
	if r := sap.Run; r != nil {
		c.sourced("sap.run", r.Source)
		for _, t := range []phenology.Threshold{r.Night, r.Day} {
			if t.Low > t.High || t.Low < -20 || t.High > 20 {
				c.report("sap.run", "found thresholds of %v to %v C, want the lower first and both within 20 degrees "+
					"of freezing", t.Low, t.High)
			}
		}
		if r.Night.Low > r.Day.Low || r.Night.High > r.Day.High {
			c.report("sap.run", "found nights at %s and days at %s, want the days' threshold the higher", r.Night,
				r.Day)
		}
		if c.species.Phase(phenology.SapStart) == nil || c.species.Phase(phenology.SapEnd) == nil {
			c.report("sap.run", "found a run rule without the phases sap-start and sap-end, want both")
		}
	}
	if sap.Tapped == phenology.TappedNever && (sap.Run != nil || c.species.Phase(phenology.SapStart) != nil) {
		c.report("sap.tapped", "found a sap season for a species that is not tapped, want one or the other")
	}
}

func (c *check) quantity(path string, q *phenology.Quantity, low, high float64) {
	if q == nil {
		return
	}
	c.sourced(path, q.Source)
	switch {
	case q.Low > q.High:
		c.report(path+".value", "found %v to %v, want the lower figure first", q.Low, q.High)
	case q.Low < low || q.High > high || math.IsNaN(q.Low+q.High):
		c.report(path+".value", "found %s, want figures from %v to %v", run(q.Low, q.High), low, high)
	}
}

func run(low, high float64) string {
	if low == high {
		return fmt.Sprint(low)
	}
	return fmt.Sprintf("%v to %v", low, high)
}

func (c *check) phase(r *phenology.PhaseRecord) {
	path := "phases." + r.Phase.String()
	if r.Meaning == "" {
		c.report(path, "found no meaning, want what the date is the date of")
	}
	if len(r.References) == 0 && r.Model == nil && r.Months == nil {
		c.report(path, "found neither references nor a dating nor months, want at least one of them")
	}
	if r.Months != nil {
		c.sourced(path+".months", r.Months.Source)
	}
	if r.Gradient != nil {
		c.sourced(path+".gradient", r.Gradient.Source)
		if n := r.Gradient.North; r.Moves == phenology.MovesNot && n != 0 || r.Moves == phenology.MovesLater && n < 0 ||
			r.Moves == phenology.MovesEarlier && n > 0 {
			c.report(path+".gradient", "found %v days a degree north and moves: %s, want both to say the same", n, r.Moves)
		}
	}
	for i, ref := range r.References {
		c.reference(item(path+".references", i), ref, r.Months)
	}
	if d := r.Model; d != nil {
		c.dating(path+".dating", r.Phase, d)
	}
}

func (c *check) reference(path string, ref phenology.Reference, months *phenology.Months) {
	c.sourced(path, ref.Source)
	site := phenology.Site{Latitude: ref.Latitude, Longitude: ref.Longitude, Elevation: ref.Elevation}
	if err := site.Check(); err != nil {
		c.report(path, "%v", err)
	}
	if !(ref.Spread > 0 && ref.Spread <= mostSpread) {
		c.report(path+".spread", "found %v days between years, want more than 0 and at most %d", ref.Spread, mostSpread)
	}
	if months == nil {
		return
	}
	// Months are of the northern hemisphere, as is the count of days of a season, whichever hemisphere it is in.
	if off := daysOutside(ref.Day, months); off > monthsSlack {
		c.report(path+".date", "found a mean date %.0f days outside months %d to %d, which are said to hold for the "+
			"whole range; want at most %d", off, months.From, months.To, monthsSlack)
	}
}

// daysOutside returns how far a day of the year lies outside a run of months, 0 if it is in it.
func daysOutside(day float64, m *phenology.Months) float64 {
	// Half a month past the first month's start and so on round the circle of the year is near enough for a check
	// that allows a month.
	const month = 365.0 / 12
	first, last := float64(m.From-1)*month, float64(m.To)*month
	if last <= first {
		last += 365
	}
	day = math.Mod(day-1, 365)
	off := math.Inf(1)
	for _, d := range []float64{day, day + 365, day - 365} {
		off = min(off, max(first-d, d-last, 0))
	}
	return off
}

func (c *check) dating(path string, phase phenology.Phase, d *phenology.PhaseModel) {
	c.sourced(path, d.Source)
	if len(d.Models) == 0 {
		c.report(path+".models", "found no model, want at least one")
	}
	if !(d.Residual > 0 && d.Residual <= mostSpread) {
		c.report(path+".residual", "found %v days, want more than 0 and at most %d", d.Residual, mostSpread)
	}
	if s := d.Score; s != nil && (s.Years < 2 || !(s.RMSE > 0) || !(s.MeanRMSE > 0)) {
		c.report(path+".score",
			"found %d years with errors of %v and %v days, want at least 2 years and errors above 0", s.Years, s.RMSE,
			s.MeanRMSE)
	}
	for i, m := range d.Models {
		c.model(item(path+".models", i), phase, m)
	}
}

func (c *check) model(path string, phase phenology.Phase, m phenology.Model) {
	switch m := m.(type) {
	case phenology.ThermalTime:
		if !(m.Requirement > 0) {
			c.report(path+".requirement", "found %v degree-days, want more than 0", m.Requirement)
		}
		if m.Base < -10 || m.Base > 15 {
			c.report(path+".base", "found a base of %v C, want one from -10 to 15 C", m.Base)
		}
		c.start(path, m.Start)
		if m.Cutoff != "" && m.Upper <= m.Base {
			c.report(path+".upper", "found an upper threshold of %v C not above the base of %v C, want it above",
				m.Upper, m.Base)
		}
	case phenology.ChillingThermalTime:
		if !(m.Requirement > 0) || !(m.Extra >= 0) {
			c.report(path+".requirement", "found %v and %v degree-days, want a requirement above 0 and an extra of 0 "+
				"or more", m.Requirement, m.Extra)
		}
		c.start(path, m.Start)
		if m.ChillStart < -180 || m.ChillStart > m.Start+60 {
			c.report(path+".chill-start", "found day %d of the season, want one from -180 to 60 days after the start",
				m.ChillStart)
		}
	case phenology.ChillingThenForcing:
		if !(m.Requirement > 0 && m.ChillRequirement > 0) {
			c.report(path+".requirement", "found %v after a chilling of %v, want both above 0", m.Requirement,
				m.ChillRequirement)
		}
		if m.ChillingBy == phenology.ChillingByRate &&
			!(m.Chilling.Low < m.Chilling.Optimum && m.Chilling.Optimum < m.Chilling.High) {
			c.report(path+".chilling", "found %v, %v and %v C, want low below optimum below high", m.Chilling.Low,
				m.Chilling.Optimum, m.Chilling.High)
		}
		if m.Method != "" && (m.Base < -10 || m.Base > 15) {
			c.report(path+".forcing", "found a base of %v C, want one from -10 to 15 C", m.Base)
		}
		if m.Method == "" && !(m.Forcing.Ceiling > 0 && m.Forcing.Steepness > 0) {
			c.report(path+".forcing", "found a ceiling of %v and a steepness of %v, want both above 0",
				m.Forcing.Ceiling, m.Forcing.Steepness)
		}
	case phenology.DegreeDayLag:
		if !(m.Requirement > 0) {
			c.report(path+".requirement", "found %v degree-days, want more than 0", m.Requirement)
		}
	case phenology.AutumnCooling:
		if phase < phenology.LeafColor {
			c.report(path, "found autumn-cooling for %s, want it for leaf-color, leaf-fall or dormant", phase)
		}
		if !(m.Requirement > 0) {
			c.report(path+".requirement", "found %v, want more than 0", m.Requirement)
		}
	case phenology.WarmthShift:
		if m.To < m.From {
			c.report(path+".to", "found day %d of the season after day %d, want the last day not before the first",
				m.From, m.To)
		}
		if r := c.species.Phase(phase); r == nil || len(r.References) == 0 {
			c.report(path, "found a warmth-shift without references, want a mean date to shift")
		}
	case phenology.Lag:
		if !(m.Spread > 0 && m.Spread <= mostSpread) {
			c.report(path+".spread", "found %v days, want more than 0 and at most %d", m.Spread, mostSpread)
		}
	case phenology.RunCount:
		if !(m.Runs > 0 && m.Runs <= 100) {
			c.report(path+".runs", "found %v runs, want more than 0 and at most 100", m.Runs)
		}
		c.start(path, m.Start)
		c.runs(path, m)
	case phenology.RunShare:
		if !(m.Share > 0 && m.Share < 1) {
			c.report(path+".share", "found %v, want more than 0 and less than 1", m.Share)
		}
		c.start(path, m.Start)
		c.runs(path, m)
	case phenology.LastRun:
		c.start(path, m.Start)
		c.runs(path, m)
	}
	if other, ok := dependsOn(m); ok && other == phase {
		c.report(path, "found a %s of %s from itself, want another phase", m.Kind(), phase)
	} else if ok && c.species.Phase(other) == nil {
		c.report(path, "found a %s from %s, a phase that the profile does not have", m.Kind(), other)
	}
}

func (c *check) start(path string, day phenology.SeasonDay) {
	if day < -180 || day > 300 {
		c.report(path+".start", "found day %d of the season, want one from -180 to 300", day)
	}
}

// runs notes a model of sap runs where nothing says when sap runs.
func (c *check) runs(path string, m phenology.Model) {
	if c.species.Sap.Run == nil {
		c.report(path, "found a %s without a run rule under sap, want one", m.Kind())
	}
}

// mustPrecede are the pairs of phases that come in this order on every tree. Not among them, since all of these happen:
// flowering after bud break (sugar maple) or before bud swell (silver maple), bud swell long after the first sap, seed
// of a species falling in one place before it is called ripe in another (white ash in the Woody Plant Seed Manual,
// Agriculture Handbook 727, table Fraxinus 2: ripe October to November, shed September to December).
var mustPrecede = [][2]phenology.Phase{
	{phenology.SapStart, phenology.SapEnd},
	{phenology.SapEnd, phenology.LeafOut},
	{phenology.BudSwell, phenology.BudBreak},
	{phenology.BudBreak, phenology.LeafOut},
	{phenology.Flowering, phenology.FloweringEnd},
	{phenology.Flowering, phenology.FruitRipe},
	{phenology.FruitRipe, phenology.SeedFallEnd},
	{phenology.SeedFall, phenology.SeedFallEnd},
	{phenology.LeafOut, phenology.LeafColor},
	{phenology.LeafColor, phenology.LeafFall},
	{phenology.LeafFall, phenology.Dormant},
}

// autumnFlower is the day of the season from which a flowering species sets the fruit of the next year (witch-hazel):
// its fruit then ripens before its flowers open.
const autumnFlower = 213 // 1 August

// order compares dates of phases at one place: what is known of several places cannot be compared without moving it.
func (c *check) order() {
	for _, at := range c.places() {
		days := c.daysAt(at)
		for _, pair := range mustPrecede {
			first, ok1 := days[pair[0]]
			second, ok2 := days[pair[1]]
			if !ok1 || !ok2 || first < second || pair[0] == phenology.Flowering && first >= autumnFlower {
				continue
			}
			c.report("phases."+pair[1].String(), "found %s on day %.0f and %s on day %.0f at %s, want %s first",
				pair[0], first, pair[1], second, at.Place, pair[0])
		}
	}
	flower, ripe := c.species.Phase(phenology.Flowering), c.species.Phase(phenology.FruitRipe)
	if flower != nil && ripe != nil && flower.Months != nil && ripe.Months != nil &&
		flower.Months.From < 8 && ripe.Months.From < flower.Months.From {
		c.report("phases.fruit-ripe.months",
			"found fruit ripe from month %d and flowers from month %d, want flowers first", ripe.Months.From,
			flower.Months.From)
	}
}

// places returns one reference for each place that the species has dates from.
func (c *check) places() (places []phenology.Reference) {
	for _, r := range c.species.Phases {
		for _, ref := range r.References {
			if !slices.ContainsFunc(places, func(o phenology.Reference) bool { return samePlace(o, ref) }) {
				places = append(places, ref)
			}
		}
	}
	return places
}

func samePlace(a, b phenology.Reference) bool {
	return a.Latitude == b.Latitude && a.Longitude == b.Longitude && a.Elevation == b.Elevation
}

// daysAt returns the mean day of each phase at a place: by reference, else by a lag after a phase that has one.
func (c *check) daysAt(at phenology.Reference) map[phenology.Phase]float64 {
	days := map[phenology.Phase]float64{}
	for _, r := range c.species.Phases {
		for _, ref := range r.References {
			if samePlace(ref, at) {
				days[r.Phase] = ref.Day
			}
		}
	}
	for range c.species.Phases { // each round resolves at least one more link of a chain of lags
		for _, r := range c.species.Phases {
			if _, known := days[r.Phase]; known || r.Model == nil {
				continue
			}
			for _, m := range r.Model.Models {
				if l, ok := m.(phenology.Lag); ok {
					if after, known := days[l.After]; known {
						days[r.Phase] = after + l.Days
					}
				}
			}
		}
	}
	return days
}

// lags finds phases that wait for each other.
func (c *check) lags() {
	const walking, done = 1, 2
	state := map[phenology.Phase]int{}
	var visit func(p phenology.Phase)
	visit = func(p phenology.Phase) {
		r := c.species.Phase(p)
		if r == nil || r.Model == nil || state[p] == done {
			state[p] = done
			return
		}
		state[p] = walking
		for i, m := range r.Model.Models {
			after, ok := dependsOn(m)
			switch {
			case !ok || after == p:
			case state[after] == walking:
				c.report(item("phases."+p.String()+".dating.models", i),
					"found %s waiting for %s, which waits for %s in turn, want an end to it", p, after, p)
			default:
				visit(after)
			}
		}
		state[p] = done
	}
	for _, r := range c.species.Phases {
		visit(r.Phase)
	}
}

func (c *check) seed() {
	s := c.species.Seed
	if s == nil {
		return
	}
	if len(s.MaturitySigns) == 0 {
		c.report("seed.maturity-signs", "found none, want at least one sign by which ripe seed is told")
	}
	for i, sign := range s.MaturitySigns {
		c.sourced(item("seed.maturity-signs", i), sign.Source)
	}
	c.sourced("seed.collect-from", s.CollectFrom.Source)
	c.sourced("seed.storage", s.StorageSource)
	if s.Dispersal != nil {
		c.sourced("seed.dispersal", s.Dispersal.Source)
	}
	if s.Keep != nil {
		c.sourced("seed.keep", s.Keep.Source)
	}
	for i, step := range s.Processing {
		path := item("seed.processing", i)
		c.sourced(path, step.Source)
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
		c.sourced(path, t.Source)
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

func (c *check) traits() {
	for i, t := range c.species.Traits {
		path := item("traits", i)
		for _, s := range append([]phenology.Source{t.Source}, t.Also...) {
			c.sourced(path, s)
		}
		switch {
		case len(t.States) == 0 && t.Unit == "":
			c.report(path, "found neither states nor a measure, want one of them")
		case t.Low > t.High:
			c.report(path+".measure", "found %v to %v, want the lower figure first", t.Low, t.High)
		}
		if t.AllYear {
			continue
		}
		for _, m := range []phenology.Moment{t.From, t.To} {
			if m.Month == 0 && c.species.Phase(m.Phase) == nil {
				c.report(path+".seen", "found phase %s, which the profile does not have", m.Phase)
			}
		}
		if t.From == t.To {
			c.report(path+".seen", "found %s to itself, want two moments", t.From)
		}
	}
}

func (c *check) statements() {
	for i, x := range c.species.Cautions {
		c.sourced(item("cautions", i), x.Source)
		for j, a := range x.Activities {
			if !slices.Contains(activities, a) {
				c.report(item(item("cautions", i)+".activities", j), "found activity %q, want one of %v", a, activities)
			}
		}
	}
	for i, x := range c.species.Regulated {
		c.sourced(item("regulated", i), x.Source)
	}
	for i, x := range c.species.Disputes {
		c.sourced(item("disputes", i), x.Source)
	}
}

// activities are the kinds of work that a caution can go with.
var activities = []string{"tapping", "seed-collection", "twig-survey", "field-trip"}
