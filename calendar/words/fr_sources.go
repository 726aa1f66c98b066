package words

import (
	"treewhen/phenology"
)

// frenchSources are the sources of the library that are told in prose, by their keys; figures that may be tuned are
// left to the profiles. Titles of papers and books stay in the language that they were published in.
var frenchSources = map[string]string{
	"memory": "de mémoire", "common-practice": "usage courant, sans source",
	"sap-day-definitions": "entre la journée de coulée de Skinner CB, DeGaetano AT, Chabot BF 2010, Climatic Change " +
		"100:685-702 (seuils de mémoire), le gel-dégel d'une journée de part et d'autre de 0\u00a0°C et la nuit près " +
		"de 0\u00a0°C suivie d'un jour au-dessus de 4\u00a0°C d'études de terrain plus anciennes (Houle D et autres " +
		"2015, PLoS ONE 10(12):e0144844, revue)",
	"sap-openings": "calculé d'après les températures quotidiennes de Harvard Forest (HF001)\u00a0: journées de " +
		"coulée venues depuis le 1er février quand commencent les relevés de chaudières de Whately en 2013 (Smith " +
		"College, station MacLeish) et quand le Connecticut a ouvert sa saison en 2012 (USDA NASS); l'écart " +
		"type est notre choix",
	"swell-heat": "calculé ici\u00a0: degrés-jours depuis la mi-février, réglés sur les températures de Montréal de " +
		"1999 à 2011 et les fins de saison de Houle D et autres 2015 (PLoS ONE 10(12):e0144844, tableau 1), vérifiés " +
		"sur les dernières bouillées d'un producteur du sud du Vermont (Northern Woodlands, Sugarwoods 2014)",
	"swell-heat-red": "calculé ici comme pour l'érable à sucre, avec les degrés-jours qui viennent, à Harvard Forest " +
		"(HF001, 1981 à 2013), deux à trois semaines en moyenne avant la floraison (de mémoire)",
	"reference-heat": "chaleur pondérée par la longueur du jour, cumulée en moyenne à Harvard Forest (HF000 et " +
		"HF001, 1990 à 2005) à la date de référence",
	"hf-thermal-time": "quatre modèles de temps thermique ajustés aux dates de printemps de Harvard Forest (HF003, " +
		"O'Keefe, 1990 à 2005) et aux températures de HF000 et HF001; l'écart type est l'erreur quand on laisse de " +
		"côté chaque année à son tour",
	"houle-2015-sugar": "Houle D et autres 2015, PLoS ONE 10(12):e0144844, introduction",
	"mathews-2024":     "Mathews et autres 2024, HortTechnology 34(1):52 (Cache Valley, Utah, 2022 et 2023)",
	"extension-sap":    "feuillets de vulgarisation acéricole",
	"birch-tapping": "témoignages de producteurs de bouleau du nord de la Nouvelle-Angleterre et de l'Alaska, et " +
		"essais de l'État de New York (Cornell, 2016)\u00a0: la sève coule quand jours et nuits restent au-dessus de " +
		"zéro et que le sol est dégelé, après l'érable",
	"houle-2015": "Houle D, Paquette A, Côté B, Logan T, Power H, Charron I, Duchesne L 2015, PLoS ONE " +
		"10(12):e0144844, tableau 1\u00a0: début et fin de la production dans des régions du Québec, 1999 à 2011; " +
		"centres des régions approximatifs, placés ici",
	"nass-vermont": "USDA National Agricultural Statistics Service, communiqués sur le sirop d'érable d'après la " +
		"presse, Vermont, 2012 à 2021; moyennes de ces quelques années",
	"nass-wisconsin": "USDA National Agricultural Statistics Service, communiqué de 2021 sur le sirop d'érable " +
		"d'après la presse du métier, Wisconsin; une seule année, l'écart entre années est celui d'autres endroits",
	"tapping-custom": "semaines d'entaillage habituelles de feuillets de vulgarisation des États nommés",
	"sugar-maple-and-order": "calculé d'après les dates de l'érable à sucre à Harvard Forest (O'Keefe, HF003, 1990 à " +
		"2005) et l'ordre de mémoire dans lequel viennent les érables",
	"red-maple-and-order": "calculé d'après les dates de l'érable rouge à Harvard Forest (O'Keefe, HF003, 1990 à " +
		"2005) et l'ordre de mémoire dans lequel viennent les érables",
	"order-of-the-year": "calculé d'après les dates des essences observées à Harvard Forest (O'Keefe, HF003, 1990 à " +
		"2005) et l'ordre de mémoire dans lequel viennent les autres; l'écart est large à dessein",
	"hf-spring": "O'Keefe J, Phenology of Woody Species at Harvard Forest since 1990, Harvard Forest Data Archive " +
		"HF003 (CC BY); moyenne et écart type calculés ici",
	"pacific-northwest-dates": "dates habituelles des basses terres du Nord-Ouest du Pacifique",
	"tennessee-valley-dates": "dates habituelles de la vallée du Tennessee près de Knoxville; l'écart " +
		"est large à dessein",
	"ah727-acer-dates": "Bonner FT, Karrfalt RP 2008, The Woody Plant Seed Manual, USDA Forest Service, Agriculture " +
		"Handbook 727, Acer, tableau 3, p. 206",
	"ah727-recalled": "Bonner FT, Karrfalt RP 2008, The Woody Plant Seed Manual, USDA Forest Service, " +
		"Agriculture Handbook 727",
	"ah727-betula": "Bonner FT, Karrfalt RP 2008, The Woody Plant Seed Manual, USDA Forest Service, Agriculture " +
		"Handbook 727, Betula, tableau 2, p. 305",
	"yale-nature-walk": "Yale Nature Walk, page sur le noyer noir",
}

// frenchSource cites a source.
func frenchSource(s phenology.Source) string {
	text, ok := frenchSources[s.Key]
	if !ok {
		text = s.Citation
	}
	switch {
	case s.Key == phenology.FromMemory.Key || s.Key == phenology.CommonPractice.Key:
		return text
	case s.Mark == phenology.MarkMemory:
		return text + " (de mémoire)"
	case s.Mark == phenology.MarkPractice:
		return text + " (usage courant)"
	}
	return text
}
