package words

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/services"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// watchForecast is what to do without a forecast.
const watchForecast = " Suivez les prévisions de votre région."

func (f inFrench) doubt(d calendar.Doubt) string {
	day, observed := french.The(d.Day), d.Observed.Or(d.Day)
	none := func(why string) string { return "Pas de prévisions" + french.Colon + why + "." }
	switch d.What {
	case calendar.Stale:
		return fmt.Sprintf("Les températures finissent le %s. Les dates d'après reposent sur les années "+
			"passées.", french.Dated(observed))
	case calendar.Missing:
		return none("leur fichier manque") + watchForecast
	case calendar.Empty:
		return none("leur fichier est vide") + watchForecast
	case calendar.Damaged:
		return none("leur fichier est illisible") + watchForecast
	case calendar.OtherUnit:
		return none("leurs degrés sont dans une autre unité que ne dit le plan") + watchForecast
	case calendar.Ended:
		return none("leur fichier finit "+day) + " Prenez-en un plus récent."
	case calendar.Old:
		return none(fmt.Sprintf("leur fichier est du %s, il y a plus de %d jours", french.Day(d.Day),
			calendar.ForecastOldDays)) +
			" Prenez-en un plus récent."
	case calendar.Unserved:
		return none("leur service météo n'en a pas donné récemment") + watchForecast
	case calendar.Incomplete:
		return fmt.Sprintf("Il manque aux prévisions des températures pour %s; rien après ce jour ne sert.", day)
	case calendar.BeginsLate:
		return none("elles commencent trop longtemps après le dernier jour mesuré, " + french.The(observed))
	case calendar.Bridged:
		return fmt.Sprintf("Les jours mesurés finissent %s. Entre eux et les prévisions, c'est deviné%sles chances sont "+
			"moins sûres.", french.The(observed), french.Colon)
	case calendar.ShortRecord:
		return fmt.Sprintf("Les relevés ont %s. Il faut au moins %d années pour donner des dates, et dix pour les "+
			"préciser; d'ici là, elles reposent sur l'emplacement seulement.", french.Count(d.Days, "jour mesuré",
			"jours mesurés"),
			phenology.MinYears)
	}
	off := fmt.Sprintf("diffèrent de la station de %s sur %s communs", f.wholeDifference(float64(d.Off)),
		french.Count(d.Days, "jour", "jours"))
	if d.Refused {
		return none("elles "+off) + " Elles sont d'un autre endroit ou dans une autre unité."
	}
	return "Les prévisions " + off + ". Elles sont peut-être d'un autre endroit."
}

func (f inFrench) wholeDifference(c float64) string {
	if f.american() {
		c *= 1.8
	}
	return fmt.Sprintf("%.0f%s%s", c, french.NoBreak, f.Degrees())
}

func (f inFrench) basis(r calendar.Rests) string {
	text := ""
	if r.Counted && r.Root <= phenology.BasisReached {
		text = "compté à partir " + frenchPhases[r.From].of() + ", "
	}
	return text + f.basisWords(r) + f.basisMoves(r)
}

func (f inFrench) basisMoves(r calendar.Rests) string {
	text := ""
	if math.Abs(r.Climb) >= 1 && r.Root <= phenology.BasisNormals && r.Root != phenology.BasisSeen {
		way := "haut"
		if r.Climb < 0 {
			way = "bas"
		}
		text += fmt.Sprintf(", températures ramenées %s plus %s", f.height(math.Abs(r.Climb)), way)
	}
	if r.Seen > 0 && r.Root != phenology.BasisSeen {
		text += ", vos observations de " + french.Count(r.Seen, "année", "années")
	} else if r.Habit > 0 && r.Root != phenology.BasisSeen {
		text += ", vos observations de " + french.Count(r.Habit, "autre arbre", "autres arbres")
	}
	return text
}

func (f inFrench) basisWords(r calendar.Rests) string {
	switch r.Root {
	case phenology.BasisSeen:
		return "vu par vous"
	case phenology.BasisReached:
		return "atteint cette saison"
	case phenology.BasisSeason:
		list := []string{"cette saison jusqu'au " + french.Day(r.Observed)}
		if day, ok := r.Until.Get(); ok {
			list = append(list, "prévisions jusqu'au "+french.Day(day))
		}
		if r.Years > 0 {
			list = append(list, pastYears(r.Years))
		}
		return strings.Join(list, ", ")
	case phenology.BasisRecord:
		return french.Count(r.Years, "année", "années") + " de relevés"
	case phenology.BasisNormals:
		if r.BuiltIn > 0 {
			return "climat de l'emplacement, intégré au programme, à environ " + f.difference(r.BuiltIn) + " près"
		}
		return "normales mensuelles"
	case phenology.BasisPlace:
		if r.Recalled {
			return "l'emplacement seulement, d'après des dates de mémoire"
		}
		return "l'emplacement seulement"
	}
	return "pas de date" + french.Colon + f.lack(r.Lack)
}

func (inFrench) lack(l phenology.Lack) string {
	the := frenchPhases[l.Phase].the()
	switch l.Kind {
	case phenology.LackProfile:
		return "la fiche de l'essence n'a pas " + the
	case phenology.LackPlaces:
		return "la fiche de l'essence ne date nulle part " + the
	case phenology.LackNear:
		return fmt.Sprintf("l'endroit le plus proche où %s est connu est à %.0f km, ou trop différent; on ne "+
			"déplace les dates que de %d km et %d jours au plus", frenchPhases[l.Phase].the(), l.KM,
			phenology.PlaceReachKM, phenology.PlaceReachDays)
	case phenology.LackRecord:
		return "aucune année des relevés ne date " + the
	case phenology.LackYears:
		return fmt.Sprintf("seulement %s de relevés pour dater %s; il en faut %d", french.Count(l.Years, "année",
			"années"), the,
			phenology.MinYears)
	case phenology.LackWinter:
		return fmt.Sprintf("hivers trop doux pour une saison selon ce modèle%sl'eau coulerait pour de bon dès le %s "+
			"et goûterait le bourgeon dès le %s; on suppose que les bourgeons se gonflent par la seule chaleur "+
			"depuis le Nouvel An, comme mesuré au Québec, ce qui est peut-être trop tôt ici", french.Colon,
			french.Day(l.Start), french.Day(l.End))
	case phenology.LackAfter:
		return "la fiche ne date l'étape que d'après une autre, " + frenchPhases[l.After].the() + ", qui n'a pas de " +
			"date ici"
	case phenology.LackEnd:
		return "ses décalages tournent en rond"
	}
	return ""
}

func (f inFrench) noDates(sp *phenology.Species, l phenology.Lack) string {
	return "pas de dates d'entaillage pour " + f.tree(sp).the() + french.Colon + f.lack(l)
}

func (inFrench) oldTemperatures(states []*services.State) string {
	s := states[0]
	what, verb, had := "Les prévisions", "sont celles que", "n'ont pu être obtenues de"
	var names []string
	for _, one := range states {
		names = append(names, one.Station)
	}
	switch {
	case s.Station != "" && len(states) == 1:
		what = "Les températures de la station " + s.Station
	case s.Station != "":
		what = "Les températures des stations " + french.Join(names)
	case len(states) > 1:
		what = fmt.Sprintf("Les prévisions pour %d endroits", len(states))
	}
	agency, fault := cmp.Or(frenchAgencies[s.Service].name, services.Find(s.Service).Agency), frenchFault(s.Fault)
	if s.Confirmed.IsZero() {
		return fmt.Sprintf("%s %s %s%s%s.", what, had, agency, french.Colon, fault)
	}
	return fmt.Sprintf("%s %s %s a données le %s; depuis, %s.", what, verb, agency,
		french.Full(civil.FromTime(s.Confirmed.UTC())), fault)
}

func (inFrench) silentStations(site string, last civil.Date) string {
	return fmt.Sprintf("%s%saucune station n'a rien transmis depuis le %s. Elle a peut-être fermé, ou continue sous "+
		"un autre identifiant.", site, french.Colon, french.Full(last))
}

// frenchAgencies are the weather services' agencies, and whom to credit for what they give.
var frenchAgencies = map[services.Name]struct{ name, credit string }{
	services.CanadaDaily: {"Environnement et Changement climatique Canada", "Les températures quotidiennes viennent " +
		"d'Environnement et Changement climatique Canada (Licence d'utilisation finale pour les serveurs de " +
		"données, https://eccc-msc.github.io/open-data/licence/readme_fr/)."},
	services.NOAADaily: {"NOAA National Centers for Environmental Information", "Les températures quotidiennes " +
		"viennent de NOAA National Centers for Environmental Information, Global Historical Climatology Network " +
		"daily (GHCN-Daily)."},
	services.NorwayForecast: {"MET Norway", "Données de MET Norway, sous licence CC BY 4.0 " +
		"(https://creativecommons.org/licenses/by/4.0/)."},
	services.USForecast: {"NWS (États-Unis)", "Les prévisions viennent du National Weather Service des États-Unis."},
}

// frenchFault says why a service's latest temperatures are not there, as the end of a sentence.
func frenchFault(f services.Fault) string {
	switch f {
	case services.Offline:
		return "personne n'a été interrogé"
	case services.NoContact:
		return "il ne répond qu'à qui donne un contact (contact: au plan, ou --contact)"
	case services.Down:
		return "il ne répond pas"
	case services.Refused:
		return "il refuse de répondre"
	case services.Astray:
		return "il renvoie à une adresse d'un réseau privé, où personne n'a été interrogé"
	case services.Nothing:
		return "il n'a pas de jours pour cet endroit"
	case services.Unreadable:
		return "il répond sous une forme inconnue"
	case services.Unlikely:
		return "ses températures ne peuvent être vraies ici"
	case services.Unkept:
		return "ce qu'il donne ne peut être conservé"
	}
	return "tout va bien"
}

func (f inFrench) span(days civil.Span, best civil.Maybe) string {
	text := french.Span(days)
	if day, ok := best.Get(); ok && days.Days() > 1 {
		text += " (au mieux " + french.The(day) + ")"
	}
	return text
}

// revision says what became of a published event: see [Revision].
func (f inFrench) revision(title string, was, is calendar.Memory) string {
	days := func(m calendar.Memory) string { return f.span(m.Window, m.BestTold()) }
	var parts []string
	switch {
	case is.Cancelled:
		return title + french.Colon + "n'est plus attendu, était " + days(was)
	case was.Cancelled:
		return title + french.Colon + "de nouveau attendu, " + days(is)
	case days(was) != days(is):
		parts = append(parts, "était "+days(was)+", est "+days(is))
	}
	for _, told := range []struct{ key, name string }{{"advice", "conseil"}, {"size", "ampleur"}} {
		if a, b := was.Told[told.key], is.Told[told.key]; a != b && a != "" && b != "" {
			parts = append(parts, told.name+french.Colon+frenchTold(a)+", maintenant "+frenchTold(b))
		}
	}
	if was.Chance != is.Chance && was.Chance >= 0 && is.Chance >= 0 {
		parts = append(parts, fmt.Sprintf("chances%s%d%s%%, maintenant %d%s%%", french.Colon, was.Chance,
			french.NoBreak,
			is.Chance, french.NoBreak))
	}
	if days(was) == days(is) {
		title += ", " + days(is)
	}
	if len(parts) == 0 {
		return title + french.Colon + "détails changés"
	}
	return title + french.Colon + strings.Join(parts, "; ")
}

// frenchTold says a word that an essence tells.
func frenchTold(told string) string {
	words := map[string]string{"tap-now": "entaillez", "wait": "attendez", "wait-again": "attendez de nouveau",
		"tapped": "entaillé", "taken-done": "supposé fait", "too-late": "trop tard", "over": "fini",
		"no-record": "sans relevés",
		"small":     "petite", "middling": "moyenne", "large": "grosse", "unknown": "inconnue"}
	if said, ok := words[told]; ok {
		return said
	}
	return phrase.OneLine(told)
}
