package traits

import (
	"math"

	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/normal"
)

// Spell is the time of one season in which something can be seen: from the day on which one phase has come until the
// day on which another has.
//
// The two dates are taken to be early or late together, as they are within one spring or autumn. Put every outcome on a
// line from 0, the earliest season there is, to 1, the latest: on a day, the spell is on for the outcomes above
// [Spell.Gone] and up to [Spell.Come]. Both rise from day to day, so that what several days show together is the union
// of such stretches. For a single day it is the chance that the one phase has come less the chance that the other has,
// whatever the two dates have to do with each other, as long as the second never comes before the first.
type Spell struct {
	From, To phenology.Estimate

	come, gone *onset // what a watch remembers of the two, nil where there is no watch
}

// Come returns the probability that the spell has begun by a day.
func (s *Spell) Come(d civil.Date) float64 {
	if s.come != nil {
		return s.come.by(d)
	}
	return s.From.By(d)
}

// Gone returns the probability that the spell is over by a day.
func (s *Spell) Gone(d civil.Date) float64 {
	if s.gone != nil {
		return s.gone.by(d)
	}
	return s.To.By(d)
}

// On returns the probability that the spell is on that day.
func (s *Spell) On(d civil.Date) float64 { return max(0, s.Come(d)-s.Gone(d)) }

// together is the correlation between the dates of one phase on different species at one place, from year to year: one
// spring moves them all, though not by the same number of days. Computed from Harvard Forest's species means of 1990 to
// 2005 (archive HF003): the median over all pairs of species is 0.68 for bud break, 0.66 for open flowers, 0.84 for
// leaves, 0.60 for autumn color and 0.62 for leaf fall.
const together = 0.65

// AnyOn returns the probability that at least one of several spells is on that day, each on a species of its own.
//
// Chances of species at one place can be neither multiplied, as if each had a spring of its own, nor taken to be early
// or late in step. Here every date's place between the earliest and the latest that it can have, as a normal deviate,
// is part common to all and part the species' own, so that any two are correlated by 0.65. Vasicek (1987) and others
// use such a single common factor for many events that go together; the form is from memory.
func AnyOn(spells []Spell, d civil.Date) float64 {
	if len(spells) == 1 {
		return spells[0].On(d)
	}
	return 1 - meanProduct(spells, d, func(on float64) float64 { return 1 - on })
}

// AllOn returns the probability that all of several spells are on that day: see [AnyOn]. It is 1 for none.
func AllOn(spells []Spell, d civil.Date) float64 {
	if len(spells) == 1 {
		return spells[0].On(d)
	}
	return meanProduct(spells, d, func(on float64) float64 { return on })
}

// seasonNodes are normal deviates of as many seasons as there are, the earliest first, each as likely as the next.
var seasonNodes = func() (z [64]float64) {
	for i := range z {
		z[i] = normal.Quantile((float64(i) + 0.5) / float64(len(z)))
	}
	return z
}()

// meanProduct returns the mean over all seasons of the product over the spells of a function of the chance that each is
// on in a season that is so early or late.
func meanProduct(spells []Spell, d civil.Date, of func(on float64) float64) float64 {
	shared, own := math.Sqrt(together), math.Sqrt(1-together)
	product := [len(seasonNodes)]float64{}
	for i := range product {
		product[i] = 1
	}
	for _, s := range spells {
		come, gone := s.Come(d), s.Gone(d)
		switch {
		case come <= gone:
			come, gone = 0, 0
		case come >= 1 && gone <= 0:
			come, gone = 1, 0
		}
		from, to := deviate(gone), deviate(come)
		for i, z := range seasonNodes {
			product[i] *= of(normal.CDF((to-shared*z)/own) - normal.CDF((from-shared*z)/own))
		}
	}
	sum := 0.0
	for _, p := range product {
		sum += p
	}
	return sum / float64(len(product))
}

// deviate is the normal quantile, infinite at both ends.
func deviate(p float64) float64 {
	switch {
	case p <= 0:
		return math.Inf(-1)
	case p >= 1:
		return math.Inf(1)
	}
	return normal.Quantile(p)
}

// Watch follows one species at one site from season to season, so that a question about a day need not know which
// season's leaves, keys or buds are on the tree. It is not safe for use by several goroutines.
type Watch struct {
	Species  *phenology.Species
	site     phenology.Site
	in       func(season int) phenology.Estimates
	spells   map[spellKey]*foundSpell
	onsets   map[onsetKey]*onset
	followed map[[2]phenology.Moment]*between
}

type spellKey struct {
	from, to phenology.Moment
	season   int
}

type onsetKey struct {
	moment phenology.Moment
	over   bool // it is the moment's end
	season int
}

// between is what a watch follows from one moment to another, with what it last found: the days of one season are asked
// about in a row.
type between struct {
	from, to phenology.Moment

	season civil.Span     // the one last asked about
	spells [3]*foundSpell // that may show in it
}

type foundSpell struct {
	Spell
	ok bool
}

func (w *Watch) between(from, to phenology.Moment) *between {
	moments := [2]phenology.Moment{from, to}
	if w.followed[moments] == nil {
		w.followed[moments] = &between{from: from, to: to}
	}
	return w.followed[moments]
}

// NewWatch returns a watch of a species at a site; in returns its estimates of a season and should remember them.
func NewWatch(site phenology.Site, sp *phenology.Species, in func(season int) phenology.Estimates) *Watch {
	return &Watch{Species: sp, site: site, in: in, spells: map[spellKey]*foundSpell{},
		onsets: map[onsetKey]*onset{}, followed: map[[2]phenology.Moment]*between{}}
}

// Near returns the phases of the species that may come within so many days of a day, in the order of the year: those
// whose days in eight years of ten reach as near.
func (w *Watch) Near(d civil.Date, days civil.Date) (list []phenology.Phase) {
	for _, p := range w.Species.Phases {
		if est := w.in(phenology.SeasonAt(w.site, d).Year).Get(p.Phase); est.HasDate() &&
			est.P10()-days <= d && d <= est.P90()+days {
			list = append(list, p.Phase)
		}
	}
	return list
}

// Spell returns the spell that begins in a season, and false if either end cannot be dated. It ends in the same season
// if its last phase comes after its first there, and in the next one if not: leaf fall to bud swell passes New Year,
// while a phase that its profile counts on past the year's end, such as keys that hang until spring, stays where it is.
func (w *Watch) Spell(from, to phenology.Moment, season int) (Spell, bool) {
	s := w.spell(from, to, season)
	return s.Spell, s.ok
}

func (w *Watch) spell(from, to phenology.Moment, season int) *foundSpell {
	key := spellKey{from, to, season}
	if s, ok := w.spells[key]; ok {
		return s
	}
	s := &foundSpell{}
	this := w.in(season)
	s.From, s.To = this.Begin(from), this.Over(to)
	if s.From.HasDate() && s.To.HasDate() {
		s.ok = true
		if s.To.Dist.Mean() <= s.From.Dist.Mean() {
			s.To = w.in(season + 1).Over(to)
			s.ok = s.To.HasDate()
		}
	}
	if s.ok {
		s.come = w.onset(s.From, onsetKey{from, false, season})
		s.gone = w.onset(s.To, onsetKey{to, true, s.To.Season.Year})
	}
	w.spells[key] = s
	return s
}

// On returns the probability that, on a day, one moment has come and the other is not past, and false if they cannot be
// dated.
func (w *Watch) On(from, to phenology.Moment, d civil.Date) (p float64, ok bool) {
	return w.on(w.between(from, to), d)
}

func (w *Watch) on(b *between, d civil.Date) (p float64, ok bool) {
	if !b.season.Contains(d) {
		middle := phenology.SeasonAt(w.site, d)
		next := phenology.Season{Year: middle.Year + 1, Southern: middle.Southern}
		b.season = civil.Span{First: middle.Anchor(), Last: next.Anchor() - 1}
		// A spell may have begun in the season before; one of the season after cannot have, but for an odd estimate.
		for i := range b.spells {
			b.spells[i] = w.spell(b.from, b.to, middle.Year-1+i)
		}
	}
	for _, s := range b.spells {
		if s.ok {
			p, ok = p+s.On(d), true
		}
	}
	return min(p, 1), ok
}

// Visible returns the probability that a trait of the species can be seen on a day, and false if that cannot be dated.
func (w *Watch) Visible(t phenology.Trait, d civil.Date) (p float64, ok bool) {
	if t.AllYear {
		return 1, true
	}
	return w.On(t.From, t.To, d)
}
