package words

import "treewhen/calendar/services"

// frenchAgencies are the weather services' agencies, and whom to credit for what they give.
var frenchAgencies = map[services.Name]struct{ name, credit string }{
	services.CanadaDaily: {"Environnement et Changement climatique Canada", "Les températures quotidiennes viennent " +
		"d'Environnement et Changement climatique Canada (Licence d'utilisation finale pour les serveurs de données, " +
		"https://eccc-msc.github.io/open-data/licence/readme_fr/)."},
	services.NOAADaily: {"NOAA National Centers for Environmental Information", "Les températures quotidiennes " +
		"viennent de NOAA National Centers for Environmental Information, Global Historical Climatology Network " +
		"daily (GHCN-Daily)."},
	services.NorwayForecast: {"MET Norway", "Données de MET Norway, sous licence CC BY 4.0 " +
		"(https://creativecommons.org/licenses/by/4.0/)."},
	services.USForecast: {"NWS (États-Unis)", "Les prévisions viennent du National Weather Service des États-Unis."},
}
