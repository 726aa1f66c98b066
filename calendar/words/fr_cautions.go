package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase/french"
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

// frenchTapGuidance is [TapGuidance].
func (l tongue) frenchTapGuidance(sp *phenology.Species, rule calendar.TapsByDiameter) []string {
	if pressed(sp) {
		return []string{
			fmt.Sprintf("Des arbres sains d'au moins %s à hauteur de poitrine; une entaille par année, et des "+
				"années de repos%sle bouleau compartimente mal ses blessures (usage de producteurs).", l.length("20 cm",
				"8 po"), french.Colon),
			fmt.Sprintf("Mèche propre et affûtée; trou de 8 mm (5/16 po) de large et de %s de profond, en pente "+
				"légère vers le haut (de mémoire). Les recommandations de votre région priment.", l.length("4 cm",
				"1,5 po")),
		}
	}
	trees := fmt.Sprintf("Des arbres sains d'au moins %s de diamètre à hauteur de poitrine. Une entaille jusqu'à "+
		"%s, deux au-dessus, jamais trois (règle prudente; études de l'Université du Vermont).", l.length("30 cm",
		"12 po"),
		l.length("45 cm", "18 po"))
	if rule == calendar.TraditionalTaps {
		trees = "D'après la règle traditionnelle que le plan demande" + french.Colon + l.length(
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
			l.length("4 à 5 cm", "1,5 à 2 po"), l.length("5 à 10 cm", "2 à 4 po"), l.length("15 à 30 cm", "6 à 12 po")),
	}
}

// length writes in French a length of the trade in one unit of the two that are given, as it stands in figures.
func (l tongue) length(metric, american string) string {
	if l.american() {
		return american
	}
	return metric
}
