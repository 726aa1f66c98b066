package traits

import (
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

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
	over   bool // it is the end of the moment, a month
	season int
}

type foundSpell struct {
	Spell
	ok bool
}

// between is what a watch follows from one moment to another, with what it last found: the days of one season are asked
// about in a row.
type between struct {
	from, to phenology.Moment

	season civil.Span     // the one last asked about
	first  int            // the year of the season before it
	spells [3]*foundSpell // of that season and the next two, which may show in it; nil: not yet asked for
	begins [3]*onset      // of these; nil: not yet asked for
}

// NewWatch returns a watch of a species at a site; in returns its estimates of a season and should remember them.
func NewWatch(site phenology.Site, sp *phenology.Species, in func(season int) phenology.Estimates) *Watch {
	return &Watch{Species: sp, site: site, in: in, spells: map[spellKey]*foundSpell{},
		onsets: map[onsetKey]*onset{}, followed: map[[2]phenology.Moment]*between{}}
}

// Near returns the phases of the species that may come within so many days of a day, in the order of the year: those
// whose days in eight years of ten reach as near.
func (w *Watch) Near(d civil.Date, days civil.Date) (list []phenology.Phase) {
	const margin = 2 // days: more than a date is rounded by
	in := w.in(phenology.SeasonAt(w.site, d).Year)
	for i := range in.List {
		est := &in.List[i]
		if !est.HasDate() {
			continue
		}
		// Most are far off, or near beyond doubt, which their chances tell sooner than their dates.
		o := w.onset(est, phenology.Moment{Phase: est.Phase}, false)
		switch {
		case d+days+margin < o.open.First || d-days-margin > o.open.Last:
		case o.by(d+days+margin) < 0.1 || o.by(d-days-margin) > 0.9:
		case o.by(d+days-margin) > 0.1 && o.by(d-days+margin) < 0.9, est.P10()-days <= d && d <= est.P90()+days:
			list = append(list, est.Phase)
		}
	}
	return list
}

// Spell returns the spell that begins in a season, and false if either end cannot be dated. It ends in the same season
// if its last phase comes after its first there, and in the next one if not: leaf fall to bud swell passes New Year,
// while a phase that its profile counts on past the year's end, such as keys that hang until spring, stays where it is.
func (w *Watch) Spell(from, to phenology.Moment, season int) (*Spell, bool) {
	s := w.spell(from, to, season)
	return &s.Spell, s.ok
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
		s.come, s.gone = w.onset(&s.From, from, false), w.onset(&s.To, to, true)
	}
	w.spells[key] = s
	return s
}

// onset returns what the watch remembers of one of its estimates, which is that of a moment's begin or end.
func (w *Watch) onset(e *phenology.Estimate, m phenology.Moment, over bool) *onset {
	key := onsetKey{m, over && m.Month != 0, e.Season.Year}
	if w.onsets[key] == nil {
		w.onsets[key] = newOnset(e)
	}
	return w.onsets[key]
}

func (w *Watch) between(from, to phenology.Moment) *between {
	moments := [2]phenology.Moment{from, to}
	if w.followed[moments] == nil {
		w.followed[moments] = &between{from: from, to: to}
	}
	return w.followed[moments]
}

// on returns the probability that, on a day, the one moment has come and the other is not past, and false if they
// cannot be dated; and the days around it on which that is so as well.
func (w *Watch) on(b *between, d civil.Date) (p float64, ok bool, steady civil.Span) {
	if !b.season.Contains(d) {
		middle := phenology.SeasonAt(w.site, d)
		next := phenology.Season{Year: middle.Year + 1, Southern: middle.Southern}
		*b = between{from: b.from, to: b.to, first: middle.Year - 1,
			season: civil.Span{First: middle.Anchor(), Last: next.Anchor() - 1}}
	}
	steady = b.season
	for i := range b.spells {
		if ok && b.spells[i] == nil {
			if begin := w.begin(b, i, d); d < begin {
				steady.Last = min(steady.Last, begin-1)
				continue
			}
		}
		if b.spells[i] == nil {
			b.spells[i] = w.spell(b.from, b.to, b.first+i)
		}
		if s := b.spells[i]; s.ok {
			p, ok = p+s.On(d), true
			steady = s.gone.steady(s.come.steady(steady, d), d)
		}
	}
	return min(p, 1), ok, steady
}

// begin returns a day before which one of the spells cannot have begun. For that nothing is dated that need not be: not
// when the spell ends, and up to half a year before a season, when none of its phases has come, nothing of that season.
func (w *Watch) begin(b *between, i int, d civil.Date) civil.Date {
	const halfYear = 183
	if i == len(b.spells)-1 && d <= b.season.Last-halfYear {
		return b.season.Last - halfYear + 1
	}
	if b.begins[i] == nil {
		if b.begins[i] = w.onsets[onsetKey{b.from, false, b.first + i}]; b.begins[i] == nil {
			e := w.in(b.first + i).Begin(b.from)
			if !e.HasDate() {
				return d
			}
			b.begins[i] = w.onset(&e, b.from, false)
		}
	}
	return b.begins[i].moves.First
}

// Visible returns the probability that a trait of the species can be seen on a day, and false if that cannot be dated.
func (w *Watch) Visible(t *phenology.Trait, d civil.Date) (p float64, ok bool) {
	if t.AllYear {
		return 1, true
	}
	p, ok, _ = w.on(w.between(t.From, t.To), d)
	return p, ok
}
