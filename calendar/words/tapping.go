package words

import (
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// sayTapping says the details of an entry of tapping.
func sayTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	switch f := facts.(type) {
	case *tapping.TapFacts:
		t.tap(e, f)
	case *tapping.RunFacts:
		t.run(e, f)
	case *tapping.SeasonFacts:
		t.sapSeason(e, f)
	case *tapping.WarningFacts:
		t.warning(e, f)
	}
	if t.Fact != "" {
		t.ChanceOf = "" // nothing is chance any more
	}
}

// briefTapping says what a line of an entry of tapping shows.
func briefTapping(t *Text, e *calendar.Entry, facts tapping.Facts) {
	l := tongue{e.Speech}
	tree := l.tree(e.Species[0])
	is, _ := facts.Line().(tapping.Line)
	switch e.Task {
	case calendar.TaskTap:
		t.Summary = l.say("Tap %s", "Entailler %s", l.theTree(e.Species[0]))
		if e.State == calendar.Done {
			t.Basis = in(e.Speech, "your plan says it is done", "votre plan dit que c'est fait")
		}
	case calendar.TaskRun:
		t.Summary = phrase.Capital(l.say("%s of sap", "%s", l.runSize(is.Size)))
		switch t.Basis = l.forecast(e); {
		case e.State == calendar.Observed:
			t.Fact = in(e.Speech, "measured", "mesurée")
		case is.Begun:
			t.begun(e, is.Ahead, "commencée")
		}
	case calendar.TaskWarmSpell, calendar.TaskFreezeUp:
		t.Summary = phrase.Capital(l.warningName(tapping.WarningKind(e.Task)))
		t.Basis = l.forecast(e)
		if e.State != calendar.Observed && e.Probability == 1 { // see [tapping.Warning.Measured]
			t.begun(e, true, "commencé")
		}
	case calendar.TaskGather:
		t.Summary = l.say("Gather and boil %s sap", "Saison des sucres, %s", tree)
		t.same = true
		switch {
		case is.Begun && e.Settled:
			t.Fact = in(e.Speech, "measured", "mesurée")
		case is.Begun:
			t.Fact = in(e.Speech, "begun", "commencée")
		}
	case calendar.TaskLast:
		t.Summary = l.say("Last runs of %s sap", "Fin de saison, %s", tree)
	case calendar.TaskPull:
		t.Summary = l.say("Pull the taps and clean, %s", "Désentailler, %s", tree)
	}
}

// begun says that of a run or a warning the first days are measured, or all to today.
func (t *Text) begun(e *calendar.Entry, ahead bool, french string) {
	if t.Basis = (tongue{e.Speech}).measured(); ahead {
		t.Basis = in(e.Speech, "temperatures of its first days, then the forecast",
			"les températures des premiers jours, puis les prévisions")
	}
	t.Fact = in(e.Speech, "begun", french)
}

// forecast says what a run of sap or a warning rests on.
func (l tongue) forecast(e *calendar.Entry) string {
	if e.State == calendar.Observed {
		return l.measured()
	}
	return in(l.Speech, "the forecast", "les prévisions")
}

func (l tongue) measured() string {
	return in(l.Speech, "temperatures of these days", "les températures de ces jours")
}

// tap says the tapping itself.
func (t *Text) tap(e *calendar.Entry, f *tapping.TapFacts) {
	l, sp := tongue{e.Speech}, e.Species[0]
	t.Verdict = TapVerdict(f, e.Speech)
	t.Care = in(e.Speech, "landowner's leave, ice underfoot, limbs overhead, food-grade gear",
		"permission du propriétaire, glace au sol, branches accrochées, matériel de qualité alimentaire")
	switch f.Advice {
	case tapping.Tapped:
		t.LookFor = []string{in(e.Speech, "Spouts that leak or lines that sag; squirrels chew tubing.",
			"Chalumeaux qui fuient, tubulure qui pend; les écureuils rongent les tubes.")}
		return
	case tapping.NoRecord:
		t.ChanceOf = l.say("that sap has not yet run in earnest on %s",
			"que l'eau n'ait pas encore coulé pour de bon %s", l.the(e.Best))
		t.Reasons = []string{
			l.say("By the place alone the start is known to %s: too wide to drill by, so that no alarm rings.",
				"D'après l'emplacement seulement, le début est connu à %s près\u00a0: trop large pour percer, "+
					"donc aucun rappel.",
				l.days(int(f.Start.P90-f.Start.P10))),
			in(e.Speech, "Ten years of daily temperatures from a station near by would narrow this to "+
				"the days that matter.",
				"Dix années de températures quotidiennes d'une station voisine préciseraient les dates."),
		}
	default:
		t.ChanceOf = l.wellTimed()
		if n := f.DaysToTap; n > 1 {
			t.Reasons = append(t.Reasons, l.say("The job takes %s: begun on %s, it is done on %s.",
				"Le travail prend %s\u00a0: commencé %s, il est fini %s.",
				l.days(n), l.the(e.Best), l.the(e.Best+civil.Date(n-1))))
		}
		if f.Advice != tapping.TooLate { // else nothing is left to be priced
			t.Reasons = append(t.Reasons, TapPrice(f, true, e.Speech))
		}
		t.Reasons = append(t.Reasons, HoleLife(f.Hole, e.Speech), RunDay(sp.Sap.Run, e.Speech))
	}
	sign := in(e.Speech, "Nights below freezing and days above it in the forecast.",
		"Des nuits sous zéro et des jours de dégel dans les prévisions.")
	if pressed(sp) {
		sign = in(e.Speech, "Thawed soil and nights above freezing; a pricked twig that drips.",
			"Sol dégelé et nuits au-dessus du point de congélation; un rameau piqué qui goutte.")
	}
	t.LookFor = append([]string{sign}, TapGuidance(sp, f.Rule, e.Speech)...)
	t.Sources = l.citations(append(slices.Clone(f.Sources), sp.Sap.Run.Source)...)
	for _, r := range e.Reminders {
		t.Reminders = append(t.Reminders, l.tapReminder(e, r, f.AsOf))
	}
}

// tapReminder says what a reminder of tapping rings for.
func (l tongue) tapReminder(e *calendar.Entry, r calendar.Reminder, asOf civil.Date) string {
	switch soon := r.Kind == tapping.RingSoon; {
	case isFrench(l.Speech):
		return frenchTapReminder(e, soon, asOf)
	case soon:
		return "Get ready to tap " + e.Species[0].Name() + ": about " + weekday(e.Best)
	case asOf > e.Best:
		return "Tap " + e.Species[0].Name() + ": advised since " + weekday(e.Best)
	}
	return "Tap " + e.Species[0].Name() + " from " + weekday(e.Best)
}

// run says one run.
func (t *Text) run(e *calendar.Entry, f *tapping.RunFacts) {
	l, rule := tongue{e.Speech}, e.Species[0].Sap.Run
	ready := in(e.Speech, "Buckets and tanks empty, lines tight, the pan and wood ready.",
		"Chaudières et réservoirs vides, tubulure étanche, panne et bois prêts.")
	t.Care = l.boilCare()
	switch {
	case f.Over && rule.Drive == phenology.RootPressure:
		t.Verdict = in(e.Speech, "These days and nights were as warm as a run needs. How much came, the buckets know.",
			"Ces jours et ces nuits ont été assez doux pour une coulée. Combien est venu, les chaudières le savent.")
	case f.Over:
		t.Verdict = in(e.Speech, "These days had the freeze and thaw of a run. How much came, the buckets know.",
			"Ces jours ont eu le gel et le dégel d'une coulée. Combien est venu, les chaudières le savent.")
	default:
		ahead := civil.Span{First: e.Window.Clamp(f.AsOf), Last: e.Window.Last}
		t.Verdict = l.say("Be ready to gather, %s: buckets and tanks empty, lines tight, pan and wood ready.",
			"Préparez-vous à ramasser %s\u00a0: chaudières et réservoirs vides, tubulure étanche, panne et bois prêts.",
			l.span(ahead))
		chanceOf := func(best civil.Date) string {
			return l.say("that sap runs on %s, errors of the forecast allowed for",
				"que ça coule %s, erreurs des prévisions comprises", l.the(best))
		}
		if best := f.BestDay(); !f.Begun() {
			t.ChanceOf = chanceOf(e.Best)
		} else if best.Forecast { // of what has begun, the chance is that it goes on
			t.Verdict += " " + Chance(float64(best.Likelihood), e.Speech) + " " + chanceOf(best.Date) + "."
		}
		if isFrench(e.Speech) {
			t.Headline, t.named = frenchRunTitle(f.Size, e.Probability, e.Window)
			t.remind(e, frenchRunReminder(e.Window.First, f.Begun()))
			break
		}
		size := phrase.Capital(l.runSize(f.Size))
		of := size + " " + phrase.Confidence(e.Probability) + " "
		t.Headline, t.named = of+phrase.Span(e.Window), len(size)
		if f.Volume != nil {
			t.Verdict += " " + phrase.Capital(Volume(f.Volume, e.Speech)) + "."
		}
		if of += weekday(e.Window.First); f.Begun() {
			of = size + " begun, to " + weekday(e.Window.Last)
		}
		t.remind(e, of+": empty the tanks")
	}
	t.Reasons = []string{l.runDays(&f.Run), l.runBeside(&f.Run), RunDay(rule, e.Speech)}
	t.LookFor = []string{ready}
	t.Sources = l.citations(rule.Source)
	if f.Thaw.First {
		t.Reasons = append(l.firstThaw(f.Thaw), t.Reasons...)
		t.Sources = append(t.Sources, in(e.Speech, trunkThaw, frenchTrunkThaw))
	}
}

func (l tongue) boilCare() string {
	return in(l.Speech, "boiling sap scalds; vent steam and smoke", "le sirop bouillant brûle; évacuez vapeur et fumée")
}

// sapSeason says the gathering, the last runs or the pulling of the taps.
func (t *Text) sapSeason(e *calendar.Entry, f *tapping.SeasonFacts) {
	l, sp := tongue{e.Speech}, e.Species[0]
	first, best, last := l.day(e.Window.First), l.the(e.Best), l.the(e.Window.Last)
	end := SapEnd(sp, f, e.Speech)
	t.Care = l.boilCare()
	t.ChanceOf = l.say("that the last good sap has run by %s",
		"que la dernière bonne eau ait coulé au plus tard %s", best)
	switch e.Task {
	case calendar.TaskGather:
		t.Verdict = l.say("Gather after each run and boil within days, from %s to about %s.",
			"Ramassez après chaque coulée et faites bouillir sans tarder, du %s jusque vers %s.", first, last)
		t.ChanceOf = l.say("that sap runs between %s and %s", "que ça coule entre %s et %s", l.the(e.Window.First),
			last)
		t.Reasons = []string{l.say("Sap starts %s and ends %s, 8 years in 10.",
			"La coulée commence %s et finit %s, 8 années sur 10.", l.between(f.Start), l.between(f.End))}
		if n := f.RunDays; n != nil {
			t.Reasons = append(t.Reasons, RunDaysLeft(n, f.Spoils, e.Speech), RunDay(sp.Sap.Run, e.Speech))
		}
		t.Reasons = append(append(t.Reasons, end), SapQuantities(sp, f.Quantities, e.Speech)...)
		t.LookFor = []string{in(e.Speech,
			"Clear sap. Stop when buds swell, or when sap turns cloudy or smells off while it boils.",
			"Une eau claire. Arrêtez quand les bourgeons se gonflent, ou quand l'eau devient trouble ou sent "+
				"mauvais en bouillant.")}
	case calendar.TaskLast:
		t.Verdict = l.say("From %s on, boil a cupful and taste it before you fire the pan.",
			"À partir du %s, faites bouillir une tasse d'eau et goûtez avant d'allumer l'évaporateur.", first)
		if f.HolesEnd {
			t.ChanceOf = in(e.Speech, "that sap is still good when the holes dry",
				"que l'eau soit encore bonne quand les entailles seront à sec")
		}
		t.Reasons = []string{end}
		t.LookFor = []string{in(e.Speech, "Swelling buds; cloudy or yellowing sap.",
			"Bourgeons qui se gonflent; eau trouble ou jaunâtre.")}
		from := ""
		if f.AsOf <= e.Window.First {
			from = in(e.Speech, ", from "+first, "")
		}
		t.remind(e, in(e.Speech, "Taste "+sp.Name()+" sap before you boil"+from, "Fin de saison\u00a0: goûtez l'eau"))
	case calendar.TaskPull:
		t.Verdict = l.say("Pull every spout once sap stops or turns: about %s, by %s. Do not plug the holes.",
			"Désentaillez quand l'eau s'arrête ou tourne\u00a0: vers %s, au plus tard %s. Ne bouchez pas les trous.",
			best, last)
		t.Care = in(e.Speech, "food gear: hot water only; wet ground, loose limbs",
			"matériel alimentaire, à l'eau chaude seulement; sol détrempé, branches accrochées")
		if f.HolesEnd {
			t.ChanceOf = l.say("that holes are dry or sap is over by %s, if holes last as assumed",
				"que les entailles soient à sec ou la saison finie %s, si elles durent comme supposé", best)
		}
		t.Reasons = []string{end, l.say(
			"One hole a season: pull every spout so that the tree can close it, and do not plug it. Drilling anew in "+
				"a season wounds the tree twice; common guidance is against it.",
			"Une entaille par saison\u00a0: retirez le chalumeau et ne bouchez pas le trou, que l'arbre refermera. "+
				"Percer de nouveau dans la même saison le blesse deux fois; les recommandations "+
				"usuelles le déconseillent.")}
		t.LookFor = []string{in(e.Speech, "Swelling buds, cloudy sap, an off smell from the pan.",
			"Bourgeons qui se gonflent, eau trouble, mauvaise odeur de la panne.")}
		t.remind(e, l.pullReminder(e, f.AsOf))
	}
	t.Sources = l.citations(f.Sources...)
}

// pullReminder says what a reminder of pulling the taps rings for. One that rings late, since its day has come to lie
// in the past, names the last day.
func (l tongue) pullReminder(e *calendar.Entry, asOf civil.Date) string {
	switch late := asOf > e.Best; {
	case isFrench(l.Speech):
		return frenchPullReminder(e, late)
	case late:
		return "Pull " + e.Species[0].Name() + " spouts by " + weekday(e.Window.Last)
	}
	return "Pull " + e.Species[0].Name() + " spouts: about " + weekday(e.Best)
}

// tappingNote says a note of tapping.
func tappingNote(n tapping.NoDates, as phrase.Speech) string {
	l := tongue{as}
	return l.say("no tapping dates for %s: %s", "pas de dates d'entaillage pour %s\u00a0: %s", l.theTree(n.Species),
		Lack(n.Lack, as))
}
