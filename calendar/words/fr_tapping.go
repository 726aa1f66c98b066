package words

import (
	"fmt"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/phrase/french"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// brief says what a line of an entry of tapping shows.
func (f inFrench) brief(t *Text, e *calendar.Entry, facts tapping.Facts) {
	tree := f.tree(e.Species[0])
	switch e.Task {
	case calendar.TaskTap:
		t.Summary = "Entailler " + tree.the()
		if e.State == calendar.Done {
			t.Basis = "votre plan dit que c'est fait"
		}
	case calendar.TaskRun:
		var size tapping.RunSize
		switch r := facts.(type) {
		case *tapping.RunFacts:
			size = r.Size
		case tapping.Line:
			size = r.Size
		}
		t.Summary, t.Basis = phrase.Capital(frenchSize(size)), "les prévisions"
		if e.State == calendar.Observed {
			t.Basis, t.Fact = "les températures de ces jours", "mesurée"
		}
	case calendar.TaskWarmSpell, calendar.TaskFreezeUp:
		t.Summary, t.Basis = phrase.Capital(f.warningName(tapping.WarningKind(e.Task))), "les prévisions"
		switch {
		case e.State == calendar.Observed:
			t.Basis = "les températures de ces jours"
		case e.Probability == 1: // see [tapping.Warning.Measured]
			t.Basis, t.Fact = "les températures des premiers jours, puis les prévisions", "commencé"
		}
	case calendar.TaskGather:
		t.Summary = "Saison des sucres, " + tree.noun
	case calendar.TaskLast:
		t.Summary = "Fin de saison, " + tree.noun
	case calendar.TaskPull:
		t.Summary = "Désentailler, " + tree.noun
	}
}

// say says the details of an entry of tapping.
func (f inFrench) say(t *Text, e *calendar.Entry, facts tapping.Facts) {
	switch facts := facts.(type) {
	case *tapping.TapFacts:
		f.tap(t, e, facts)
	case *tapping.RunFacts:
		f.run(t, e, facts)
	case *tapping.SeasonFacts:
		f.season(t, e, facts)
	case *tapping.WarningFacts:
		f.warning(t, e, facts)
	}
}

func (f inFrench) tap(t *Text, e *calendar.Entry, facts *tapping.TapFacts) {
	sp := e.Species[0]
	t.Verdict = f.tapVerdict(facts)
	t.Care = "permission du propriétaire, glace au sol, branches accrochées, matériel de qualité alimentaire"
	if facts.Advice == tapping.Tapped {
		t.LookFor = []string{"Chalumeaux qui fuient, tubulure qui pend; les écureuils rongent les tubes."}
		return
	}
	t.LookFor = append([]string{f.tapSign(sp)}, f.tapGuidance(sp, facts.Rule)...)
	if facts.Advice == tapping.NoRecord {
		t.ChanceOf = "que l'eau n'ait pas encore coulé pour de bon " + french.The(e.Best)
		t.Reasons = []string{
			fmt.Sprintf("D'après l'emplacement seulement, le début est connu à %s près%strop large pour percer, "+
				"donc aucun rappel.",
				french.Count(int(facts.Start.P90-facts.Start.P10), "jour", "jours"), french.Colon),
			"Dix années de températures quotidiennes d'une station voisine préciseraient les dates.",
		}
	} else {
		t.ChanceOf = f.wellTimed()
		if days := facts.DaysToTap; days > 1 {
			t.Reasons = append(t.Reasons, fmt.Sprintf("Le travail prend %s%scommencé %s, il est fini %s.",
				french.Count(days, "jour", "jours"), french.Colon, french.The(e.Best), french.The(addDays(e.Best,
					days-1))))
		}
		if facts.Advice != tapping.TooLate {
			t.Reasons = append(t.Reasons, f.tapPrice(facts, true))
		}
		t.Reasons = append(t.Reasons, f.holeLife(facts.Hole), f.runDay(sp.Sap.Run))
	}
	t.Sources = f.citations(append(slices.Clone(facts.Sources), sp.Sap.Run.Source)...)
	for _, r := range e.Reminders {
		t.Reminders = append(t.Reminders, f.tapReminder(e, r))
	}
}

// tapReminder says what a reminder of tapping rings for.
func (f inFrench) tapReminder(e *calendar.Entry, r calendar.Reminder) string {
	if r.Kind == tapping.RingSoon {
		return french.Fitting(room, "Préparez l'entaillage"+french.Colon+"vers "+french.The(e.Best),
			"Préparez l'entaillage"+french.Colon+"vers le "+french.Short(e.Best),
			"Préparez l'entaillage"+french.Colon+french.Short(e.Best))
	}
	tap, day, _ := "Entaillez "+f.tree(e.Species[0]).the(), french.Day(e.Best), 0
	return french.Fitting(room, tap+" dès le "+day, tap+" dès le "+french.Short(e.Best),
		fmt.Sprintf("%s dès le %d", tap, e.Best.Day()), tap)
}

// tapSign is what a forecast shows when it is time to tap.
func (inFrench) tapSign(sp *phenology.Species) string {
	if pressed(sp) {
		return "Sol dégelé et nuits au-dessus du point de congélation; un rameau piqué qui goutte."
	}
	return "Des nuits sous zéro et des jours de dégel dans les prévisions."
}

func (f inFrench) run(t *Text, e *calendar.Entry, facts *tapping.RunFacts) {
	rule := e.Species[0].Sap.Run
	t.Care = frenchBoilCare
	if facts.Over {
		t.Verdict = "Ces jours ont eu le gel et le dégel d'une coulée. Combien est venu, les chaudières le savent."
		if rule.Drive == phenology.RootPressure {
			t.Verdict = "Ces jours et ces nuits ont été assez doux pour une coulée. Combien est venu, les " +
				"chaudières le savent."
		}
	} else {
		t.Headline, t.named = f.runTitle(facts.Size, e.Probability, e.Window)
		t.Verdict = fmt.Sprintf("Préparez-vous à ramasser %s%schaudières et réservoirs vides, tubulure étanche, "+
			"panne et bois prêts.",
			french.Span(e.Window), french.Colon)
		t.ChanceOf = fmt.Sprintf("que ça coule %s, erreurs des prévisions comprises", french.The(e.Best))
		alarm := func(le, day, then string) string { return "Coulée " + le + day + french.Colon + then }
		first := stillToCome(e, facts)
		t.remind(e, french.Fitting(room, alarm("le ", french.Day(first), "videz les réservoirs"),
			alarm("le ", french.Short(first), "videz les réservoirs"), alarm("", french.Short(first), "videz les "+
				"réservoirs")))
	}
	t.Reasons = []string{f.runDays(&facts.Run), f.runSize(&facts.Run), f.runDay(rule)}
	t.LookFor = []string{"Chaudières et réservoirs vides, tubulure étanche, panne et bois prêts."}
	t.Sources = f.citations(rule.Source)
	if facts.Thaw.First {
		t.Reasons = append(f.firstThaw(facts.Thaw), t.Reasons...)
		t.Sources = append(t.Sources, frenchTrunkThaw)
	}
}

const frenchBoilCare = "le sirop bouillant brûle; évacuez vapeur et fumée"

func (f inFrench) season(t *Text, e *calendar.Entry, facts *tapping.SeasonFacts) {
	sp := e.Species[0]
	tree, first, best, last := f.tree(sp), french.Day(e.Window.First), french.The(e.Best), french.The(e.Window.Last)
	t.Care = frenchBoilCare
	switch e.Task {
	case calendar.TaskGather:
		t.Verdict = fmt.Sprintf("Ramassez après chaque coulée et faites bouillir sans tarder, du %s jusque vers %s.",
			first, last)
		t.ChanceOf = "que la saison soit en cours " + best
		t.Reasons = []string{fmt.Sprintf("La coulée commence %s et finit %s, 8 années sur 10.",
			french.Between(civil.Span{First: facts.Start.P10, Last: facts.Start.P90}),
			french.Between(civil.Span{First: facts.End.P10, Last: facts.End.P90}))}
		if n := facts.RunDays; n != nil {
			t.Reasons = append(t.Reasons, f.runDaysLeft(n, facts.Spoils), f.runDay(sp.Sap.Run))
		}
		t.Reasons = append(append(t.Reasons, f.sapEnd(sp, facts)), f.sapQuantities(sp, facts.Quantities)...)
		t.LookFor = []string{"Une eau claire. Arrêtez quand les bourgeons se gonflent, ou quand l'eau devient " +
			"trouble ou sent mauvais en bouillant."}
	case calendar.TaskLast:
		t.Verdict = fmt.Sprintf("À partir du %s, faites bouillir une tasse d'eau et goûtez avant d'allumer "+
			"l'évaporateur.", first)
		t.ChanceOf = "que la dernière bonne eau ait coulé au plus tard " + best
		if facts.HolesEnd {
			t.ChanceOf = "que l'eau soit encore bonne quand les entailles seront à sec"
		}
		t.Reasons = []string{f.sapEnd(sp, facts)}
		t.LookFor = []string{"Bourgeons qui se gonflent; eau trouble ou jaunâtre."}
		t.remind(e, "Fin de saison"+french.Colon+"goûtez l'eau")
	case calendar.TaskPull:
		t.Verdict = fmt.Sprintf("Désentaillez quand l'eau s'arrête ou tourne%svers %s, au plus tard %s. Ne bouchez "+
			"pas les trous.",
			french.Colon, best, last)
		t.Care = "matériel alimentaire, à l'eau chaude seulement; sol détrempé, branches accrochées"
		t.ChanceOf = "que la dernière bonne eau ait coulé au plus tard " + best
		if facts.HolesEnd {
			t.ChanceOf = "que les entailles soient à sec ou la saison finie " + best + ", si elles durent comme supposé"
		}
		t.Reasons = []string{f.sapEnd(sp, facts), "Une entaille par saison" + french.Colon + "retirez le chalumeau " +
			"et ne bouchez pas le trou, que l'arbre refermera. Percer de nouveau dans la même saison le blesse deux " +
			"fois; les recommandations usuelles le déconseillent."}
		t.LookFor = []string{"Bourgeons qui se gonflent, eau trouble, mauvaise odeur de la panne."}
		pull := "Désentaillez " + tree.the() + " vers le "
		t.remind(e, french.Fitting(room, pull+french.Day(e.Best), pull+french.Short(e.Best), "Désentaillez vers "+best))
	}
	t.Sources = f.citations(facts.Sources...)
}

func (f inFrench) sapEnd(sp *phenology.Species, s *tapping.SeasonFacts) string {
	end := "le gel cesse ou que " + f.spoiling(s.Spoils)
	if pressed(sp) {
		end = f.spoiling(s.Spoils)
	}
	text := fmt.Sprintf("Dernière bonne eau%s%s, 8 années sur 10. Elle finit quand %s", french.Colon,
		french.Span(civil.Span{First: s.End.P10, Last: s.End.P90}), end)
	if s.Spoiled != nil {
		text += " (" + french.Span(civil.Span{First: s.Spoiled.P10, Last: s.Spoiled.P90}) + ")"
	}
	text += "."
	if dry, ok := s.Dry.Get(); ok {
		drilled := french.The(s.TapDay.Or(dry))
		if dry < s.End.P50 {
			text += fmt.Sprintf(" Les entailles percées %s sont à sec avant, vers %s. Il peut couler encore, mais "+
				"pas de celles-là.",
				drilled, french.The(dry))
		} else {
			text += fmt.Sprintf(" Les entailles percées %s durent jusque vers %s.", drilled, french.The(dry))
		}
	}
	return text
}

func (inFrench) spoiling(p phenology.Phase) string {
	if p == phenology.BudBreak {
		return "les bourgeons débourrent"
	}
	return "les bourgeons se gonflent"
}

func (inFrench) runDaysLeft(n *tapping.RunDays, spoils phenology.Phase) string {
	until := "le gonflement des bourgeons"
	if spoils == phenology.BudBreak {
		until = "le débourrement"
	}
	text := fmt.Sprintf("Journées de coulée avant %s%senviron %.0f", until, french.Colon, n.P50)
	if alike(n) {
		return text + "."
	}
	return text + fmt.Sprintf("; de %.0f à %.0f, 8 années sur 10.", n.P10, n.P90)
}
