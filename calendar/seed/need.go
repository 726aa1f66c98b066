package seed

import (
	"math"
	"slices"

	"treewhen/calendar"
	"treewhen/phenology"
)

// Need is what is to be brought home for the seedlings that are wanted: the way back from the bed to the tree, less
// what is in hand.
type Need struct {
	Season     int     `json:"season"` // whose seed it is
	Seedlings  int     `json:"seedlings"`
	SeedZone   string  `json:"seed_zone,omitempty"` // whose seed it is to be; "" for any
	Survive    float64 `json:"survive"`             // share of what comes up that becomes a seedling
	Quantities         // still to be brought home
	InHand     *InHand `json:"in_hand,omitempty"` // nil where no lot is

	Of   *phenology.Species `json:"-"`
	Line int                `json:"-"` // of the plan that wants it: sites of one line want it together
}

// Quantities are seed on its way from the fruit to the bed. What the profile has no figures for is not known.
type Quantities struct {
	Seeds   Amount `json:"seeds"`    // clean ones; 0 where the profile has no germination
	CleanKG Amount `json:"clean_kg"` // of clean seed
	FruitKG Amount `json:"fruit_kg"` // of fruit as it is gathered
	FruitL  Amount `json:"fruit_l"`  // the same in litres
}

// InHand is what lots in hand are worth towards what is wanted.
type InHand struct {
	Lots    []string   `json:"lots"`          // their names, in the order of their collection
	CleanKG float64    `json:"clean_kg"`      // of clean seed that germinates as well as the usual lot
	Unknown int        `json:"not_weighed"`   // lots of which nothing is told that could be counted
	InAll   Quantities `json:"wanted_in_all"` // without them
}

// Amount is a quantity with its spread: eight lots in ten need between Low and High. The zero Amount is not known.
type Amount struct {
	Low  float64 `json:"low"`
	Mid  float64 `json:"mid"`
	High float64 `json:"high"`
}

// Known reports whether there is an amount at all.
func (a Amount) Known() bool { return a.High > 0 }

// less returns what is left of an amount.
func (a Amount) less(x float64) Amount {
	return Amount{max(0, a.Low-x), max(0, a.Mid-x), max(0, a.High-x)}
}

const (
	// eightInTen is half the width of a standard normal deviate's middle eight tenths.
	eightInTen = 1.2816
	// oneFigureSD is the spread of a figure that stands alone in its source, as a share of it: lots differ at least by
	// so much. Our own choice.
	oneFigureSD = 0.2
)

// factor is a figure that an amount is divided or multiplied by, as a logarithm with its standard deviation.
type factor struct{ log, sd float64 }

// factorOf reads a run of figures as the middle eight tenths of lots, evenly spread in proportions.
func factorOf(q *phenology.Quantity, unit float64) (factor, bool) {
	if q == nil || q.Low <= 0 {
		return factor{}, false
	}
	f := factor{log: math.Log(math.Sqrt(q.Low*q.High) * unit), sd: oneFigureSD}
	if q.Low < q.High {
		f.sd = math.Log(q.High/q.Low) / 2 / eightInTen
	}
	return f, true
}

// over divides by a factor that is known no better than it is.
func (f factor) over(g factor) factor { return factor{f.log - g.log, math.Hypot(f.sd, g.sd)} }

func (f factor) amount() Amount {
	spread := math.Exp(eightInTen * f.sd)
	mid := math.Exp(f.log)
	return Amount{mid / spread, mid, mid * spread}
}

// NeedOf returns what a number of seedlings of a species needs. Seeds are the seedlings over the share that lives and
// the germination; clean seed is the seeds over their number in a kilogram; fruit is clean seed over its share of the
// fruit's weight, or over what a hectolitre of fruit gives. What the profile has no figure for is not known, and so is
// what follows from it.
func NeedOf(sp *phenology.Species, t calendar.Target, survive float64) *Need {
	n := &Need{Seedlings: t.Seedlings, SeedZone: t.SeedZone, Survive: survive, Of: sp, Line: t.Line}
	s := sp.Seed
	germination, ok := factorOf(s.Germination, 0.01)
	if !ok {
		return n
	}
	seeds := factor{log: math.Log(float64(t.Seedlings) / survive)}.over(germination)
	n.Seeds = seeds.amount()
	perKG, ok := factorOf(s.SeedsPerKg, 1)
	if !ok {
		return n
	}
	clean := seeds.over(perKG)
	n.CleanKG = clean.amount()
	if share, ok := factorOf(s.SeedPerFruit, 0.01); ok {
		n.FruitKG = clean.over(share).amount()
	}
	if perL, ok := factorOf(s.SeedPerHL, 0.01); ok {
		n.FruitL = clean.over(perL).amount()
	}
	return n
}

// need returns what is wanted of a season's seed of a species from an origin: of its zone alone, or of any.
func (w *Work) need(sp *phenology.Species, season int, s *calendar.Stand) *Need {
	zone := ""
	if s != nil {
		zone = s.SeedZone
	}
	opt := &w.Place.Options.Seed
	for _, t := range opt.Targets {
		if t.Species == sp.ID && (t.SeedZone == "" || t.SeedZone == zone) {
			n := NeedOf(sp, t, opt.Survive)
			n.Season = season
			n.take(w.grouped(t.Lots))
			return n
		}
	}
	return nil
}

const (
	// shortLasts is how many days after its collection too little seed is told of: until spring. Our own choice.
	shortLasts = 240
	// leastShort is the share of what is wanted below which nothing is said to be short: a quarter of what lots differ
	// by at least. Our own choice.
	leastShort = oneFigureSD / 4
)

// short notes the targets of which too little was collected here where no collection is left.
func (w *Work) short() {
	opt := &w.Place.Options.Seed
	for _, t := range opt.Targets {
		var last *hand
		for _, h := range w.hands() {
			here := t.SeedZone == "" || t.SeedZone == h.lot(w.stand(h)).SeedZone
			if here && h.Species.ID == t.Species && !h.over() {
				last = h
			}
		}
		if last == nil || last.Date < w.Plan.AsOf-shortLasts || w.collects(last.Species, last.season, t.SeedZone) {
			continue
		}
		n := NeedOf(last.Species, t, opt.Survive)
		n.Season = last.season
		if n.take(w.grouped(t.Lots)); n.InHand != nil && n.CleanKG.Mid > leastShort*n.InHand.InAll.CleanKG.Mid {
			w.Note(&Short{n})
		}
	}
}

// collects reports whether a season's seed of a species, of a zone or of any, is still to be collected here.
func (w *Work) collects(sp *phenology.Species, season int, zone string) bool {
	return slices.ContainsFunc(w.Entries, func(e *calendar.Entry) bool {
		return e.Task == calendar.TaskCollect && e.State == calendar.Open && e.Season == season && e.Species[0] == sp &&
			(zone == "" || e.Stand != nil && e.Stand.SeedZone == zone)
	})
}

// take takes off what lots in hand are worth: those of the season, and older ones that are not sown yet.
func (n *Need) take(lots []*hand) {
	in := &InHand{InAll: n.Quantities}
	for _, h := range lots {
		_, sown := h.last(calendar.LotSown)
		if h.over() || h.season > n.Season || h.season < n.Season && sown {
			continue
		}
		in.Lots = append(in.Lots, h.Lot)
		if kg := n.worth(h); kg > 0 {
			in.CleanKG += kg
		} else {
			in.Unknown++
		}
	}
	if len(in.Lots) == 0 {
		return
	}
	n.InHand = in
	all, kg := n.Quantities, in.CleanKG
	if !all.CleanKG.Known() {
		return
	}
	// What goes to a kilogram of clean seed is the same for what is in hand as for all, in the middle.
	each := func(a Amount) Amount { return a.less(kg * a.Mid / all.CleanKG.Mid) }
	n.Quantities = Quantities{each(all.Seeds), each(all.CleanKG), each(all.FruitKG), each(all.FruitL)}
}

// worth returns as how many kilograms of clean seed, of usual germination, a lot counts: by the seedlings that came up,
// else by its weight and its test, else by the fruit that was gathered; 0 where none of them is told.
func (n *Need) worth(h *hand) float64 {
	s := n.Of.Seed
	kg := h.kg
	if share, ok := factorOf(s.SeedPerFruit, 0.01); ok && kg == 0 {
		kg = h.fruitKG * math.Exp(share.log)
	}
	if perL, ok := factorOf(s.SeedPerHL, 0.01); ok && kg == 0 {
		kg = h.fruitL * math.Exp(perL.log)
	}
	germination, ok := factorOf(s.Germination, 1)
	switch {
	case h.cameUp > 0:
		return h.cameUp * n.Survive / float64(n.Seedlings) * n.CleanKG.Mid
	case h.tested > 0 && ok:
		return kg * h.tested / math.Exp(germination.log)
	}
	return kg
}
