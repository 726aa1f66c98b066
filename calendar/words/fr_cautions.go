package words

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
)

// The usual cautions of tapping: see [tapCautions].
var (
	frenchTapCautions = ofNone(
		"N'entaillez qu'avec la permission du propriétaire et selon les recommandations de votre région; épargnez "+
			"les arbres affaiblis, abîmés ou petits.",
		"Chalumeaux, chaudières et tubulure de qualité alimentaire. Du vieux matériel galvanisé ou soudé peut "+
			"mettre du plomb dans le sirop.",
		"Attention à la glace au sol, aux branches accrochées et à la perceuse"+french.Colon+"à deux en terrain pentu.",
	)
	frenchBoilCautions = ofNone(
		"Le sirop bouillant brûle, l'eau aussi"+french.Colon+"éloignez les enfants, ne quittez jamais "+
			"l'évaporateur, méfiez-vous de la mousse.",
		"Faites bouillir dehors ou dans une cabane ventilée"+french.Colon+"vapeur, monoxyde de carbone.",
		"Gardez l'eau au froid et faites-la bouillir sans tarder; une eau tournée se jette.",
	)
	frenchPullCautions = ofNone(
		"Rincez à l'eau chaude seulement, ou selon les recommandations de votre région; tout produit doit être de "+
			"qualité alimentaire et bien rincé.",
		"Sol détrempé, glace et branches accrochées"+french.Colon+"regardez où vous marchez, et en l'air.",
	)
)

// sapCautions are the cautions of a whole season of a species' sap.
func (f inFrench) sapCautions(sp *phenology.Species) []Caution {
	return f.cautionsFor(slices.Concat(frenchTapCautions, frenchBoilCautions), []*phenology.Species{sp})
}

// cautions are those of an entry of tapping.
func (f inFrench) cautions(e *calendar.Entry) []Caution {
	switch e.Task {
	case calendar.TaskTap:
		return f.cautionsFor(frenchTapCautions, e.Species)
	case calendar.TaskRun, calendar.TaskGather:
		return f.cautionsFor(frenchBoilCautions, e.Species)
	case calendar.TaskLast:
		return frenchBoilCautions
	case calendar.TaskFreezeUp:
		return frenchFreezeCautions
	case calendar.TaskWarmSpell:
		return slices.Concat(frenchSpoiledCaution, frenchBoilCautions[:2])
	}
	return frenchPullCautions
}

func (f inFrench) cautionsFor(usual []Caution, species []*phenology.Species) []Caution {
	list := slices.Clip(usual)
	for _, sp := range species {
		for _, c := range cautionsFor(nil, []*phenology.Species{sp}, f.Speech) {
			list = append(list, Caution{phrase.Capital(f.tree(sp).noun), frenchCaution(c.Text), phrase.French})
		}
	}
	return list
}

// Cautions of species in the library, by how they begin there. Those of a profile of the user's own stay as they are.
var frenchOfSpecies = []struct{ begins, text string }{
	{"Wilted or dried leaves kill horses", "Les feuilles flétries d'érable rouge tuent chevaux et poneys, à partir " +
		"d'un kilo environ. Ne laissez à leur portée ni branches coupées ou tombées, ni sacs de feuilles; s'ils ont " +
		"pu en manger, appelez vite le vétérinaire."},
	{"Leaves may harm horses", "Les feuilles pourraient nuire aux chevaux comme celles de l'érable " +
		"rouge" + french.Colon +
		"ne laissez pas de branches coupées à leur portée."},
	{"Leaves of this maple have not been cleared", "On n'a pas écarté que les feuilles de cet érable aient ce qui " +
		"rend celles de l'érable rouge mortelles pour les " +
		"chevaux" + french.Colon + "ne laissez pas de branches coupées à leur " +
		"portée."},
	{"By water, stay off banks", "Au bord de l'eau, restez loin des berges et des plaines inondables en crue, et de " +
		"la glace des rivières."},
	{"Birches wall off wounds poorly", "Le bouleau compartimente mal ses blessures et une entaille peut faire " +
		"pourrir le tronc; qui est allergique au pollen peut réagir à la " +
		"sève" + french.Colon + "que personne d'allergique n'y goûte."},
	{"Husks stain skin", "Les brous tachent la peau et les vêtements pour des semaines et irritent certaines " +
		"peaux" + french.Colon +
		"portez des gants; tenez brous et copeaux loin des chevaux."},
	{"Walnut and hickory are tree nuts", "Le noyer et le caryer portent des noix" + french.Colon +
		"que les personnes allergiques se tiennent loin du travail et de sa poussière."},
}

func frenchCaution(text string) string {
	for _, c := range frenchOfSpecies {
		if strings.HasPrefix(text, c.begins) {
			return c.text
		}
	}
	return text
}

func (f inFrench) tapGuidance(sp *phenology.Species, rule calendar.TapsByDiameter) []string {
	if pressed(sp) {
		return []string{
			fmt.Sprintf("Des arbres sains d'au moins %s à hauteur de poitrine; une entaille par année, et des "+
				"années de repos%sle bouleau compartimente mal ses blessures (usage de producteurs).", f.length("20 cm",
				"8 po"), french.Colon),
			fmt.Sprintf("Mèche propre et affûtée; trou de 8 mm (5/16 po) de large et de %s de profond, en pente "+
				"légère vers le haut (de mémoire). Les recommandations de votre région priment.", f.length("4 cm",
				"1,5 po")),
		}
	}
	trees := fmt.Sprintf("Des arbres sains d'au moins %s de diamètre à hauteur de poitrine. Une entaille jusqu'à "+
		"%s, deux au-dessus, jamais trois (règle prudente; études de l'Université du Vermont).", f.length("30 cm",
		"12 po"),
		f.length("45 cm", "18 po"))
	if rule == calendar.TraditionalTaps {
		trees = "D'après la règle traditionnelle que le plan demande" + french.Colon + f.length(
			"une entaille dès 25 cm, deux dès 38 cm, trois dès 50 cm, quatre dès 64 cm. Les études ne la "+
				"recommandent plus; la règle prudente dit une dès 30 cm, deux dès 45 cm.",
			"une entaille dès 10 po, deux dès 15 po, trois dès 20 po, quatre dès 25 po. Les études ne la "+
				"recommandent plus; la règle prudente dit une dès 12 po, deux dès 18 po.")
	}
	return []string{
		trees,
		fmt.Sprintf("Mèche propre et affûtée. Trou de 8 mm (5/16 po) de large et de %s de profond dans du bois "+
			"blanc et sain, en pente légère vers le haut. Restez à %s à côté des vieux trous et à %s au-dessus ou "+
			"au-dessous (Université du Vermont, d'après des feuillets de vulgarisation). Les recommandations de "+
			"votre région priment.",
			f.length("4 à 5 cm", "1,5 à 2 po"), f.length("5 à 10 cm", "2 à 4 po"), f.length("15 à 30 cm", "6 à 12 po")),
	}
}

func (f inFrench) sapQuantities(sp *phenology.Species, q *tapping.Quantities) []string {
	if q == nil {
		return nil
	}
	unit, more := f.length("litre", "gallon"), ""
	if pressed(sp) {
		more = ", plus au dire de producteurs"
	}
	source := "chiffre du plan"
	if !q.SugarOwn {
		source = f.source(sp.Sap.SugarPercent.Source)
	}
	list := []string{fmt.Sprintf("À un taux de sucre de %s%s%%, un %s de sirop demande environ %s %ss d'eau%s "+
		"(règle de %d; sucre%s%s).",
		figures(q.Sugar), french.NoBreak, unit,
		french.Range(q.PerSyrup.Low, q.PerSyrup.High, 0), unit, more, tapping.SugarRule, french.Colon, source)}
	if q.Sap == nil {
		return list
	}
	how := "par gravité"
	if q.Collection == calendar.Vacuum {
		how = "sous vide, pris comme le double de la gravité"
	}
	what := "Une entaille"
	if q.Taps > 0 {
		what = french.Count(q.Taps, "entaille", "entailles")
		if q.Shared {
			what += ", si toutes sont dans " + f.tree(sp).the()
		}
	}
	return append(list, fmt.Sprintf("%s%strès approximativement %s d'eau en une saison, %s. Cela fait %s de sirop. "+
		"Les arbres et les saisons diffèrent encore plus (%s).", what, french.Colon, f.volumes(*q.Sap), how,
		f.volumes(*q.Syrup),
		f.source(sp.Sap.PerTap.Source)))
}
