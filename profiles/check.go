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

// Check returns what is wrong with the biology of a species whose profile reads: that every figure has a source, and
// that latitudes and runs of figures are such, the decoder has seen to. Each problem's Field is the path in a profile,
// such as "phases.flowering.references[2].date"; there is no file and no line.
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
	c.cautions()
	return c.problems
}

type check struct {
	species  *phenology.Species
	problems problem.List
}

func (c *check) report(path, text string, args ...any) { c.problems.Add("", 0, path, text, args...) }

func item(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i+1) }

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
	c.box("range", r)
	if r.Naturalized != nil {
		c.box("range.naturalized", r.Naturalized)
	}
	for i := range r.Parts {
		part, path := &r.Parts[i], item("range.parts", i)
		c.box(path, part)
		if part.South < r.South || part.North > r.North || part.West < r.West || part.East > r.East {
			c.report(path, "found a part that reaches out of the range, want it within south %v, north %v, west %v "+
				"and east %v", r.South, r.North, r.West, r.East)
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
		c.report(path, "found south %v and north %v, want a range on one side of the equator: half a year lies "+
			"between the seasons of the two; is a minus one too many?", r.South, r.North)
	}
}

func (c *check) sap() {
	sap := c.species.Sap
	c.quantity("sap.sugar-percent", sap.SugarPercent, 0, mostSugar)
	c.quantity("sap.litres-per-tap", sap.PerTap, 1, 500)
	if r := sap.Run; r != nil {
		for _, t := range []phenology.Threshold{r.Night, r.Day} {
			if t.Low > t.High || t.Low < -20 || t.High > 20 {
				c.report("sap.run", "found thresholds of %v to %v C, want the lower first and both within 20 degrees "+
					"of freezing", t.Low, t.High)
			}
		}
		if r.Night.Low > r.Day.Low || r.Night.High > r.Day.High {
			c.report("sap.run", "found nights at %v to %v C and days at %v to %v C, want the days' threshold the "+
				"higher", r.Night.Low, r.Night.High, r.Day.Low, r.Day.High)
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
	if q != nil && (q.Low < low || q.High > high) {
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
	if len(r.References) == 0 && r.Model == nil && r.Months == nil {
		c.report(path, "found neither references nor a dating nor months, want at least one of them")
	}
	if r.Gradient != nil {
		if n := r.Gradient.North; r.Moves == phenology.MovesNot && n != 0 || r.Moves == phenology.MovesLater && n < 0 ||
			r.Moves == phenology.MovesEarlier && n > 0 {
			c.report(path+".gradient", "found %v days a degree north and moves: %s, want both to say the same", n,
				r.Moves)
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

func (c *check) traits() {
	for i, t := range c.species.Traits {
		path := item("traits", i)
		if len(t.States) == 0 && t.Unit == "" {
			c.report(path, "found neither states nor a measure, want one of them")
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

func (c *check) cautions() {
	for i, x := range c.species.Cautions {
		for j, a := range x.Activities {
			if !slices.Contains(activities, a) {
				c.report(item(item("cautions", i)+".activities", j), "found activity %q, want one of %v", a, activities)
			}
		}
	}
}

// activities are the kinds of work that a caution can go with.
var activities = []string{"tapping", "seed-collection", "twig-survey", "field-trip"}
