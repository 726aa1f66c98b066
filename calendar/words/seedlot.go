package words

import (
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

// seedThere says on what condition work on seed is to be done.
func seedThere(l *calendar.Lot) string {
	if l != nil && l.ID != "" {
		return "in hand"
	}
	return "if there is seed"
}

// lotSuffix names the seed of which work is, where there can be other seed of its species.
func lotSuffix(l *calendar.Lot) string {
	switch {
	case l == nil:
		return ""
	case l.ID != "":
		return " (lot " + l.ID + ")"
	case !l.Apart:
		return ""
	case l.SeedZone != "":
		return " (" + zone(l.SeedZone) + ")"
	}
	return " (" + phrase.Join(l.Stands) + ")"
}

// zone names a seed zone by its owner's label.
func zone(label string) string {
	if strings.HasPrefix(strings.ToLower(label), "zone") {
		return label
	}
	return "zone " + label
}

// lotLabel says what to write on the bag.
func lotLabel(sp *phenology.Species, s *calendar.Stand, height string) string {
	text := "Label every bag: " + sp.Botanical + ", date, place, number of trees"
	if s != nil {
		text += ", " + s.Name + ", " + height
		if s.SeedZone != "" {
			text += ", seed zone " + s.SeedZone
		}
	}
	return text + "."
}

// sayLot says where the seed comes from that work is of.
func sayLot(t *Text, l *calendar.Lot) {
	if l == nil || len(l.Stands) == 0 {
		return
	}
	text := "Seed from " + phrase.Join(l.Stands)
	if l.SeedZone != "" {
		text += ", seed " + zone(l.SeedZone)
	}
	if l.CleanKG > 0 {
		text += ", " + weighed(l.CleanKG, t.as) + " clean"
	}
	if l.Apart {
		text += ": keep it apart from that of other origins"
	}
	t.reason("%s.", text)
}

// keeps says how seed keeps, with the word that handbooks have for it.
var keeps = map[phenology.StorageClass]string{
	phenology.Orthodox: "bears drying and keeps (orthodox)", phenology.Intermediate: "bears some drying (intermediate)",
	phenology.Recalcitrant: "dies when it dries (recalcitrant)",
}

// sayMoistStore says why seed is kept moist and cold, which stratifies it.
func sayMoistStore(t *Text, sp *phenology.Species, f *seed.Store) {
	t.reason("Its seed %s: it is kept moist and cold until it is sown on %s, which is its stratification: "+
		"%s; here it gets %s.", keeps[sp.Seed.Storage], phrase.LongDate(f.Until), treatmentStep(*f.Stratifies.Of, t.as),
		phrase.Count(f.Stratifies.Days, "day"))
	t.reason("%s", sowingReason(f.Sowing, t.as))
	if f.Late != nil {
		t.reason("%s", putOff(f.Late))
	}
	t.sight("Seed moist, not wet, in a bag or box that lets air through; look for mold and early roots " +
		"every week or two.")
}

func sayTest(t *Text, sp *phenology.Species, f *seed.Test) {
	t.reason("So that it is known by %s how much of it to treat and to sow.", phrase.LongDate(f.Before))
	t.sight("Draw a sample through the whole lot; cut 50 seeds, or sow 100 under warmth and light after their " +
		"treatment. Weigh, dry and weigh again for its water.")
	if sp.Seed.Storage == phenology.Orthodox {
		t.sight("Dry seed that is to keep has 6 to 10 percent of water, by weight.")
	}
	t.sight("Write it into the book of lots: tested, with percent.")
	t.Sources = citations(phenology.CommonPractice)
}

func saySprouting(t *Text, sp *phenology.Species, f *seed.Sprouting) {
	t.reason("It has lain moist and cold since %s; it needs %s at least, and is to be sown on %s.",
		phrase.LongDate(f.Since), phrase.Count(f.Least, "day"), phrase.LongDate(f.Until))
	t.sight("Look every week: roots, mold, dry spots; turn it and let air in.")
	t.sight("Once the first roots show, sow, or chill it to just above freezing; write it into the book " +
		"of lots: sprouting.")
	if len(sp.Seed.Pretreatments) > 0 {
		t.LookFor = append(treatmentNote(&sp.Seed.Pretreatments[0], t.as), t.LookFor...)
		t.Sources = citations(sp.Seed.Pretreatments[0].Source)
	}
	t.Sources = cite(t.Sources, phenology.CommonPractice)
}
