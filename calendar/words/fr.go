package words

import (
	"treewhen/calendar/phrase/french"
	"treewhen/phenology"
)

// What tells of tapping tells it in French as a sugar maker in Quebec speaks, from the same facts as in English.
// Sentences are written whole: none is put together from English parts.
//
// The words of the trade (entailler, entaille, coulée, eau d'érable, chalumeau, chaudière, tubulure, désentailler, sous
// vide, par gravité, érablière, saison des sucres), names of trees and the forms of dates and numbers were looked up:
// Office québécois de la langue française (Grand dictionnaire terminologique; Banque de dépannage linguistique), Usito,
// the Base de données lexicographiques panfrancophone, the Dictionnaire historique du français québécois, TERMIUM Plus,
// leaflets of the CRAAQ and of the Centre ACER, La Terre de chez nous, and Natural Resources Canada's pages on trees.
// Every sentence is our own and from memory: no producer has read them yet. Of single words these are from memory too:
// petite and moyenne coulée, relevés, années passées, eau trouble, conseillé, meilleur jour, hypothèse, gonflement des
// bourgeons, fin de la floraison, samares mûres, début and fin de la coulée, the birches' and the walnut's names, and
// the words for how sure something is but très probable and probable.

// room is how many letters a telephone shows of a title or an alarm.
const room = 40

// name is a noun with its article.
type name struct {
	noun string
	le   string // "le ", "la " or "l'"
}

// the is the noun with its article: "l'érable à sucre".
func (n name) the() string { return n.le + n.noun }

// of puts de before a noun and its article: "de l'érable à sucre", "du bouleau jaune".
func (n name) of() string {
	if n.le == "le " {
		return "du " + n.noun
	}
	return "de " + n.the()
}

// frenchTrees are the species that are tapped, by their identifiers. Sources: Natural Resources Canada (maples, and
// fiche 85 of Insects and Diseases of Canada's Forests); the City of Potton and Ontario's pages on trees (box elder);
// the rest from memory.
var frenchTrees = map[string]string{
	"acer-macrophyllum": "érable à grandes feuilles", "acer-negundo": "érable à Giguère", "acer-nigrum": "érable noir",
	"acer-platanoides": "érable de Norvège", "acer-rubrum": "érable rouge", "acer-saccharinum": "érable argenté",
	"acer-saccharum": "érable à sucre", "betula-alleghaniensis": "bouleau jaune", "betula-lenta": "bouleau flexible",
	"betula-nigra": "bouleau noir", "betula-papyrifera": "bouleau à papier", "juglans-nigra": "noyer noir",
}

// frenchTree names a species; one that is not in the table by its botanical name. All are masculine.
func frenchTree(sp *phenology.Species) name {
	noun, ok := frenchTrees[sp.ID]
	if !ok {
		noun = sp.Botanical
	}
	if french.Elides(noun) {
		return name{noun, "l'"}
	}
	return name{noun, "le "}
}

// pressed reports whether a species' sap is driven by root pressure, as birches' is: then it is no eau d'érable.
func pressed(sp *phenology.Species) bool { return sp.Sap.Run.Drive == phenology.RootPressure }

// frenchPhases are the phases with their articles.
var frenchPhases = map[phenology.Phase]name{
	phenology.SapStart: {"début de la coulée", "le "}, phenology.SapEnd: {"fin de la coulée", "la "},
	phenology.BudSwell: {"gonflement des bourgeons", "le "}, phenology.Flowering: {"floraison", "la "},
	phenology.BudBreak: {"débourrement", "le "}, phenology.LeafOut: {"feuillaison", "la "},
	phenology.FloweringEnd: {"fin de la floraison", "la "}, phenology.FruitRipe: {"maturité des samares", "la "},
	phenology.SeedFall:    {"début de la chute des samares", "le "},
	phenology.SeedFallEnd: {"fin de la chute des samares", "la "},
	phenology.LeafColor:   {"coloration automnale", "la "}, phenology.LeafFall: {"chute des feuilles", "la "},
	phenology.Dormant: {"dormance", "la "},
}
