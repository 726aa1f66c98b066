package seed

import (
	"math"

	"treewhen/calendar"
	"treewhen/phenology"
)

// Need is what is to be brought home for the seedlings that are wanted: the way back from the bed to the tree.
type Need struct {
	Seedlings int     `json:"seedlings"`
	SeedZone  string  `json:"seed_zone,omitempty"` // whose seed it is to be; "" for any
	Survive   float64 `json:"survive"`             // share of what comes up that becomes a seedling
	Seeds     Amount  `json:"seeds"`               // clean ones; 0 where the profile has no germination
	CleanKG   Amount  `json:"clean_kg"`            // of clean seed
	FruitKG   Amount  `json:"fruit_kg"`            // of fruit as it is gathered
	FruitL    Amount  `json:"fruit_l"`             // the same in litres

	Of *phenology.Species `json:"-"`
}

// Amount is a quantity with its spread: eight lots in ten need between Low and High. The zero Amount is not known.
type Amount struct {
	Low  float64 `json:"low"`
	Mid  float64 `json:"mid"`
	High float64 `json:"high"`
}

// Known reports whether there is an amount at all.
func (a Amount) Known() bool { return a.Mid > 0 }

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
	n := &Need{Seedlings: t.Seedlings, SeedZone: t.SeedZone, Survive: survive, Of: sp}
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

// need returns what is wanted of a species' seed from an origin: of its zone alone, or of any.
func (w *Work) need(sp *phenology.Species, s *calendar.Stand) *Need {
	zone := ""
	if s != nil {
		zone = s.SeedZone
	}
	opt := &w.Place.Options.Seed
	for _, t := range opt.Targets {
		if t.Species == sp.ID && (t.SeedZone == "" || t.SeedZone == zone) {
			return NeedOf(sp, t, opt.Survive)
		}
	}
	return nil
}
