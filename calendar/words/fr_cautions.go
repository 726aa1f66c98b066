package words

import (
	"strings"
)

// The usual cautions of tapping: see [tapCautions].
var (
	frenchTapCautions = ofNone(
		"N'entaillez qu'avec la permission du propriétaire et selon les recommandations de votre région; épargnez "+
			"les arbres affaiblis, abîmés ou petits.",
		"Chalumeaux, chaudières et tubulure de qualité alimentaire. Du vieux matériel galvanisé ou soudé peut mettre "+
			"du plomb dans le sirop.",
		"Attention à la glace au sol, aux branches accrochées et à la perceuse\u00a0: à deux en terrain pentu.",
	)
	frenchBoilCautions = ofNone(
		"Le sirop bouillant brûle, l'eau aussi\u00a0: éloignez les enfants, ne quittez jamais l'évaporateur, "+
			"méfiez-vous de la mousse.",
		"Faites bouillir dehors ou dans une cabane ventilée\u00a0: vapeur, monoxyde de carbone.",
		"Gardez l'eau au froid et faites-la bouillir sans tarder; une eau tournée se jette.",
	)
	frenchPullCautions = ofNone(
		"Rincez à l'eau chaude seulement, ou selon les recommandations de votre région; tout produit doit être de "+
			"qualité alimentaire et bien rincé.",
		"Sol détrempé, glace et branches accrochées\u00a0: regardez où vous marchez, et en l'air.",
	)
)

// Cautions of species in the library, by how they begin there. Those of a profile of the user's own stay as they are.
var frenchOfSpecies = []struct{ begins, text string }{
	{"Wilted or dried leaves kill horses", "Les feuilles flétries d'érable rouge tuent chevaux et poneys, à partir " +
		"d'un kilo environ. Ne laissez à leur portée ni branches coupées ou tombées, ni sacs de feuilles; s'ils ont " +
		"pu en manger, appelez vite le vétérinaire."},
	{"Leaves may harm horses", "Les feuilles pourraient nuire aux chevaux comme celles de l'érable rouge\u00a0: ne " +
		"laissez pas de branches coupées à leur portée."},
	{"Leaves of this maple have not been cleared", "On n'a pas écarté que les feuilles de cet érable aient ce qui " +
		"rend celles de l'érable rouge mortelles pour les chevaux\u00a0: ne laissez pas de branches " +
		"coupées à leur portée."},
	{"By water, stay off banks", "Au bord de l'eau, restez loin des berges et des plaines inondables en crue, et de " +
		"la glace des rivières."},
	{"Birches wall off wounds poorly", "Le bouleau compartimente mal ses blessures et une entaille peut faire " +
		"pourrir le tronc; qui est allergique au pollen peut réagir à la sève\u00a0: que personne " +
		"d'allergique n'y goûte."},
	{"Husks stain skin", "Les brous tachent la peau et les vêtements pour des semaines et irritent certaines " +
		"peaux\u00a0: portez des gants; tenez brous et copeaux loin des chevaux."},
	{"Walnut and hickory are tree nuts", "Le noyer et le caryer portent des noix\u00a0: que les personnes " +
		"allergiques se tiennent loin du travail et de sa poussière."},
}

func frenchCaution(text string) string {
	for _, c := range frenchOfSpecies {
		if strings.HasPrefix(text, c.begins) {
			return c.text
		}
	}
	return text
}
