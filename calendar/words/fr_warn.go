package words

import (
	"fmt"
	"math"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
)

// Sources of what is said in warnings: see [heldCold].
const (
	frenchHeldCold = "Feuillets de vulgarisation, repris par des producteurs" + french.Colon + "garder l'eau à " +
		"3" + french.NoBreak +
		"°C ou moins; au-dessus de 10" + french.NoBreak + "°C, la bouillir aussitôt"
	frenchWeeklyLog = "Journal d'un producteur qui bouillait ses chaudières une fois la semaine, vers 2022 (forum " +
		"de producteurs)"
	frenchPaleAgain = "La Terre de chez nous, 2024" + french.Colon + "l'eau qui avait foncé à 14 ou " +
		"15" + french.NoBreak +
		"°C est redevenue claire après un gel"
	frenchFrozenGas = "Témoignage d'un producteur" + french.Colon + "entre −15 et −12" + french.NoBreak +
		"°C, réservoir, valve et tubulure ont gelé"
	frenchColdDrill = "Producteurs de l'Ontario, 2021" + french.Colon + "ne pas percer par grand froid, qui fend " +
		"l'écorce"
	frenchTrunkThaw = "Université du Vermont, comme on le dit aux producteurs" + french.Colon + "il faut un jour ou " +
		"deux de soleil pour dégeler les troncs, le côté sud d'abord"
)

// The usual cautions of freeze-ups and warm spells: see [freezeCautions].
var (
	frenchFreezeCautions = ofNone(
		"Glace sur les sentiers, les échelles et les couvercles"+french.Colon+"dégagez-la, et travaillez à deux en "+
			"terrain pentu.",
		"Dégelez tubulure, valves et pompes à l'eau tiède ou de jour"+french.Colon+"pas de chalumeau à gaz, pas de "+
			"chaufferette laissée seule.",
		"Chaudières et réservoirs pleins et gelés sont lourds et éclatent"+french.Colon+"videz-les avant, ne cassez "+
			"pas la glace à coups d'outil.",
	)
	frenchSpoiledCaution = ofNone("Ne buvez pas et ne faites pas bouillir une eau filante, laiteuse ou qui " +
		"sent" + french.Colon +
		"jetez-la, et rincez à l'eau chaude.")
)

func (inFrench) warningName(k tapping.WarningKind) string {
	if k == tapping.FreezeUp {
		return "gros gel"
	}
	return "redoux"
}

// warning says one warning as an event.
func (f inFrench) warning(t *Text, e *calendar.Entry, facts *tapping.WarningFacts) {
	name := phrase.Capital(f.warningName(facts.Kind))
	if !facts.Over {
		t.Headline, t.named = name+" "+french.Confidence(e.Probability, false)+", "+french.ShortSpan(e.Window),
			len(name)
	}
	alarm := func(do string) {
		le := name + " dès le "
		t.remind(e, french.Fitting(room, le+french.Day(e.Window.First)+french.Colon+do,
			le+french.Short(e.Window.First)+french.Colon+do))
	}
	t.Verdict = f.warningVerdict(&facts.Warning)
	t.Reasons = []string{f.warningDays(&facts.Warning)}
	if facts.Kind == tapping.FreezeUp {
		t.ChanceOf = fmt.Sprintf("d'une nuit à %s ou moins suivie d'un jour sans dégel",
			f.degrees(tapping.FreezeUpNight))
		t.Care = "glace au sol; pas de flamme sur la tubulure gelée"
		t.LookFor = []string{"Au dégel" + french.Colon + "raccords fendus, tubulure encore gelée à l'ombre, " +
			"chalumeaux repoussés."}
		t.Reasons = append(t.Reasons, "Ne percez pas par un tel froid, l'écorce fend. Attendez des nuits à "+
			f.degrees(mildEnough)+" ou plus.")
		t.Sources = []string{frenchFrozenGas, frenchColdDrill}
		alarm("videz tout")
		return
	}
	t.ChanceOf = fmt.Sprintf("d'un jour si doux que deux pareils font tourner l'eau en réserve (%s au-dessus de %s)",
		french.Count(f.degreeDays(int(math.Round(tapping.SpoilWarmth))), "degré-jour", "degrés-jours"),
		f.degrees(tapping.SpoilBase))
	t.Care = "le sirop bouillant brûle; jetez l'eau tournée"
	t.LookFor = []string{"Eau trouble ou jaunâtre" + french.Colon + "faites-la bouillir aussitôt. Laiteuse, " +
		"filante ou sure" +
		french.Colon + "jetez-la."}
	t.Reasons = append(t.Reasons, f.swelling(facts.Swell)...)
	t.Sources = []string{frenchHeldCold, frenchWeeklyLog, frenchPaleAgain}
	alarm("bouillez l'eau")
}

func (inFrench) warningVerdict(w *tapping.Warning) string {
	by, from := "au plus tard "+french.The(w.Span.First-1), "À partir de là, l'eau"
	if w.Begun {
		by, from = "tout de suite", "Par ce redoux, l'eau"
	}
	switch {
	case w.Kind == tapping.FreezeUp && w.Over:
		return "Il a gelé fort, sans dégel de jour. Cherchez les raccords fendus avant la prochaine coulée."
	case w.Kind == tapping.FreezeUp:
		return fmt.Sprintf("Videz réservoirs, pompes et chaudières %s, ouvrez les valves et laissez égoutter la "+
			"tubulure.", by)
	case w.Over:
		return "L'eau en réserve tourne par un tel redoux" + french.Colon + "goûtez ce qui reste avant d'allumer " +
			"l'évaporateur."
	}
	keeps := french.Count(w.Keeps, "jour", "jours")
	if w.Keeps <= 1 {
		keeps = "un jour au plus"
	}
	return fmt.Sprintf("Faites bouillir toute l'eau en réserve %s. %s se garde %s, à moins que la glace ou la neige "+
		"ne la tienne près du gel.", by, from, keeps)
}

func (f inFrench) warningDays(w *tapping.Warning) string {
	var days []string
	for _, d := range w.Days {
		text := french.Day(d.Date) + ", " + f.nightAndDay(float64(d.Min), float64(d.Max))
		if d.Forecast {
			text += ", " + french.Chance(float64(d.Likelihood))
		} else {
			text += ", mesuré"
		}
		days = append(days, text)
	}
	return "De la nuit au jour" + french.Colon + strings.Join(days, "; ") + "."
}

func (f inFrench) swelling(list []tapping.Swelling) (lines []string) {
	for _, s := range list {
		head := "Si les prévisions tiennent, la chaleur qui gonfle les bourgeons %s sera venue %s"
		if s.Come {
			head = "La chaleur qui gonfle les bourgeons %s est venue %s"
		}
		lines = append(lines, fmt.Sprintf(head, f.tree(s.Species).of(), french.The(s.Day))+french.Colon+
			"faites bouillir une tasse d'eau et goûtez avant d'allumer l'évaporateur.")
	}
	if lines == nil {
		lines = []string{"L'eau peut y foncer. Un gel la ramène claire ensuite" + french.Colon + "un redoux seul " +
			"n'est pas la fin."}
	}
	return lines
}

func (f inFrench) warningLine(w *tapping.Warning) string {
	sure := french.Chance(float64(w.Likelihood))
	switch {
	case w.Over:
		sure = "mesuré"
	case w.Measured():
		sure = "commencé"
	}
	text := fmt.Sprintf("%s %s, %s. %s", phrase.Capital(f.warningName(w.Kind)), french.Span(w.Span), sure,
		f.warningVerdict(w))
	if len(w.Swell) > 0 && !w.Over {
		text += " " + strings.Join(f.swelling(w.Swell), " ")
	}
	return text
}

func (f inFrench) firstThaw(is tapping.Thaw) []string {
	list := []string{"La première coulée qui vaille depuis l'entaillage" + french.Colon + "faites le tour de la " +
		"tubulure et lavez le réservoir avant; laissez la première eau rincer la tubulure."}
	if is.Frozen {
		list = append(list, fmt.Sprintf("La semaine d'avant a été à %s en moyenne%sles troncs dégèlent d'abord, en "+
			"un jour ou deux de soleil, le côté sud avant le nord. Elle peut venir un jour plus tard.",
			f.degrees(math.Round(float64(is.Before))), french.Colon))
	}
	return list
}
