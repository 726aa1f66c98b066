package words

import (
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// The usual cautions of tapping. All are common practice, no source; none replaces local rules or a licensed
// professional.
var (
	tapCautions = ofNone(
		"Tap only with the landowner's leave and by your local guidelines; leave stressed, damaged or "+
			"small trees alone.",
		"Use food-grade spouts, buckets and tubing; old galvanized or soldered gear can put lead in syrup.",
		"Watch for ice underfoot, hung-up limbs overhead, and the drill: work in pairs on steep ground.",
	)
	boilCautions = ofNone(
		"Boiling sap and syrup scald: keep children back, never leave the pan, mind the foam.",
		"Boil outdoors or in a vented sugarhouse: steam and carbon monoxide build up inside a closed room.",
		"Keep sap cold and boil it within days; spoiled sap is thrown away.",
	)
	pullCautions = ofNone(
		"Rinse with hot water only, or as your local guidelines say; cleaners must be food-safe and rinsed out.",
		"Wet spring ground, ice and loose limbs: mind your footing and look up.",
	)
)

// SapCautions are the cautions of a whole season of a species' sap.
func SapCautions(sp *phenology.Species, as phrase.Speech) []Caution {
	usual := slices.Concat(in(as, tapCautions, frenchTapCautions), in(as, boilCautions, frenchBoilCautions))
	return cautionsFor(usual, []*phenology.Species{sp}, as)
}

// cautionsFor returns the usual cautions of a task of tapping and those of some species.
func cautionsFor(usual []Caution, species []*phenology.Species, as phrase.Speech) []Caution {
	list := slices.Clip(usual)
	for _, sp := range species {
		for _, c := range speciesCautions(sp, calendar.Tapping, as) {
			if isFrench(as) {
				c = Caution{phrase.Capital(frenchTree(sp).noun), frenchCaution(c.Text), phrase.French}
			}
			list = append(list, c)
		}
	}
	return list
}

// tappingCautions are the cautions of an entry of tapping.
func tappingCautions(e *calendar.Entry) []Caution {
	boil := in(e.Speech, boilCautions, frenchBoilCautions)
	switch e.Task {
	case calendar.TaskTap:
		return cautionsFor(in(e.Speech, tapCautions, frenchTapCautions), e.Species, e.Speech)
	case calendar.TaskRun, calendar.TaskGather:
		return cautionsFor(boil, e.Species, e.Speech)
	case calendar.TaskLast:
		return boil
	case calendar.TaskFreezeUp:
		return in(e.Speech, freezeCautions, frenchFreezeCautions)
	case calendar.TaskWarmSpell:
		return slices.Concat(in(e.Speech, spoiledCaution, frenchSpoiledCaution), boil[:2])
	}
	return in(e.Speech, pullCautions, frenchPullCautions)
}

// TapGuidance is how to tap a species: sound trees, where and how deep. Figures are from the extension sheets and
// studies named.
func TapGuidance(sp *phenology.Species, rule calendar.TapsByDiameter, as phrase.Speech) []string {
	l, bit := tongue{as}, in(as, bit(as), "8 mm (5/16 po)")
	if pressed(sp) {
		return []string{
			l.say("Sound trees at least %s across at breast height; one tap a year, and rest the tree in other "+
				"years: birches wall off wounds poorly (growers' practice).",
				"Des arbres sains d'au moins %s de diamètre à hauteur de poitrine; une entaille par année, et des "+
					"années de repos\u00a0: le bouleau compartimente mal ses blessures (usage de producteurs).",
				l.length("20 cm", "8 in")),
			l.say("Clean, sharp bit; hole about %s wide and %s deep, sloping slightly up (from memory). Defer "+
				"to local guidelines.",
				"Mèche propre et affûtée; trou d'environ %s de large et %s de profond, en pente légère vers le haut "+
					"(de mémoire). Les recommandations de votre région priment.", bit, l.length("4 cm", "1.5 in")),
		}
	}
	trees := l.say("Sound trees at least %s across at breast height. One tap up to %s, two above, never three (the "+
		"careful guideline; University of Vermont studies).",
		"Des arbres sains d'au moins %s de diamètre à hauteur de poitrine. Une entaille jusqu'à %s, deux au-dessus, "+
			"jamais trois (règle prudente; études de l'Université du Vermont).",
		l.length("30 cm", "12 in"), l.length("45 cm", "18 in"))
	if rule == calendar.TraditionalTaps {
		one, two := "30 cm", "45 cm"
		if l.american() {
			one, two = l.length(one, "12 in"), l.length(two, "18 in")
		}
		trees = l.say("By the traditional rule that the plan asks for: one tap from %s, two from %s, three from %s, "+
			"four from %s. Studies no longer recommend it: the careful rule is one from %s, two from %s.",
			"D'après la règle traditionnelle que le plan demande\u00a0: une entaille dès %s, deux dès %s, trois dès "+
				"%s, quatre dès %s. Les études ne la recommandent plus; la règle prudente dit une dès %s, deux dès %s.",
			l.length("25 cm", "10 in"), l.length("38 cm", "15 in"), l.length("50 cm", "20 in"),
			l.length("64 cm", "25 in"), one, two)
	}
	return []string{
		trees,
		l.say("Clean, sharp bit. Hole %s wide and %s deep in white, sound wood, sloping slightly up. Keep %s to the "+
			"side of old holes and %s above or below (University of Vermont, as extension sheets tell it). Defer "+
			"to local guidelines.",
			"Mèche propre et affûtée. Trou de %s de large et de %s de profond dans du bois blanc et sain, en pente "+
				"légère vers le haut. Laissez %s à côté des vieux trous et %s au-dessus ou au-dessous (Université "+
				"du Vermont, d'après des feuillets de vulgarisation). Les recommandations de votre région priment.",
			bit, l.length("4 to 5 cm", "1.5 to 2 in"), l.length("5 to 10 cm", "2 to 4 in"),
			l.length("15 to 30 cm", "6 to 12 in")),
	}
}

// length chooses between lengths that the trade gives in round figures of both kinds; in French it is one alone.
func (l tongue) length(metric, us string) string {
	switch {
	case !isFrench(l.Speech):
		return l.Either(metric, us)
	case l.american():
		metric = us
	}
	return strings.NewReplacer(" to ", " à ", " in", " po", ".", ",").Replace(metric)
}

// bit is the size of a taphole, which is that of a drill bit: those are sold by fractions of an inch everywhere.
func bit(as phrase.Speech) string {
	if as.Units == phrase.Metric {
		return "8 mm (a 5/16 bit)"
	}
	return as.Either("8 mm", "5/16 in")
}

// SapQuantities say, roughly, what a season of a species brings; nothing where the sugar of its sap is not known.
func SapQuantities(sp *phenology.Species, q *tapping.Quantities, as phrase.Speech) []string {
	if q == nil {
		return nil
	}
	l, measure := tongue{as}, in(as, "liter", "litre")
	if as.Units == phrase.US {
		measure = "gallon"
	}
	syrup, more := in(as, "syrup", "sirop"), ""
	if pressed(sp) {
		syrup, more = in(as, "maple-like syrup", "sirop"), in(as, ", more by growers' account",
			", plus au dire de producteurs")
	}
	source := in(as, "the plan's own figure", "chiffre du plan")
	if !q.SugarOwn {
		source = SourceName(sp.Sap.SugarPercent.Source, as)
	}
	list := []string{l.say("At %s %% sugar, a %s of %s takes about %s %ss of sap%s (rule of %d; sugar: %s).",
		"À un taux de sucre de %[1]s\u00a0%%, un %[2]s de sirop demande environ %[4]s %[5]ss d'eau%[6]s (règle de "+
			"%[7]d; sucre\u00a0: %[8]s).",
		in(as, phrase.Range(q.Sugar.Low, q.Sugar.High, 1), figures(q.Sugar)), measure, syrup,
		in(as, phrase.Range, french.Range)(q.PerSyrup.Low, q.PerSyrup.High, 0), measure, more,
		tapping.SugarRule, source)}
	if q.Sap == nil {
		return list
	}
	how := in(as, "by gravity", "par gravité")
	if q.Collection == calendar.Vacuum {
		how = in(as, "under vacuum, taken as twice what gravity gives", "sous vide, pris comme le double de la gravité")
	}
	what := in(as, "A tap", "Une entaille")
	if q.Taps > 0 {
		what = l.count(q.Taps, "tap", "entaille", "entailles")
		if q.Shared {
			what += l.say(", if all %s", ", si toutes sont dans %s", l.theTree(sp))
		}
	}
	return append(list, l.say("%s: very roughly %s of sap in a season %s. That makes %s of syrup. Trees and seasons "+
		"differ even more (%s).",
		"%s\u00a0: très approximativement %s d'eau en une saison, %s. Cela fait %s de sirop. Les arbres et les "+
			"saisons diffèrent encore plus (%s).", what, l.volumes(*q.Sap), how, l.volumes(*q.Syrup),
		SourceName(sp.Sap.PerTap.Source, as)))
}
