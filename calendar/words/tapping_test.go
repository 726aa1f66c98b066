package words

import (
	"strings"
	"testing"
	"time"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

func TestRunDayNamesItsThresholds(t *testing.T) {
	maples := phenology.RunRule{Night: phenology.Threshold{Low: -1.1}, Day: phenology.Threshold{High: 4}}
	const want = "Run day: hours of thaw soon after a freeze. It counts in full if the night was −1.1 °C or colder and " +
		"the day 4 °C or warmer, else in part; of the catch, if it thaws 18 hours or more."
	if got := RunDay(&maples, phrase.Speech{}); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

// Holes that are taken to be in since sap was seen are said to be so, with the day to write into the plan.
func TestSapSeenIsSaid(t *testing.T) {
	f := tapping.TapFacts{Advice: tapping.TakenDone, SapSeen: civil.Some(civil.Of(2027, time.March, 9)), TapDay: civil.Some(civil.Of(2027, time.March, 9))}
	for _, c := range []struct {
		since   civil.Date
		advised bool
		want    string
	}{
		{civil.Of(2027, time.March, 9), false, "You saw sap run on 9 Mar. Assumes you tapped on 9 Mar. " +
			"Done? Put the day in the plan (tapped: 2027-03-09)."},
		{civil.Of(2027, time.March, 6), true, "You saw sap run on 9 Mar. Assumes you tapped on 6 Mar, when " +
			"first advised. Done? Put the day in the plan (tapped: 2027-03-06)."},
	} {
		f.TapDay, f.TapDayAdvised = civil.Some(c.since), c.advised
		if got := TapVerdict(&f, phrase.Speech{}); got != c.want { // without a price, as from the place alone
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}

// Every advice is said in words of its own, with its own day and shares.
func TestEveryAdviceIsSaid(t *testing.T) {
	day := func(d int) civil.Date { return civil.Of(2027, time.March, d) }
	facts := tapping.TapFacts{
		AsOf: day(12), Since: civil.Some(day(9)), TapDay: civil.Some(day(9)), Dry: civil.Some(day(31)), Fading: &tapping.Fading{Well: day(20), Half: day(25), Dry: day(31)},
		Price:    &tapping.Price{Best: day(14), Later: civil.Some(day(15)), Today: 0.51, Waiting: 0.53, Gone: 0.43},
		Start:    tapping.Spread{P10: day(1), P90: day(21)},
		Evidence: tapping.Evidence{SeasonTo: civil.Some(day(11)), Years: 20},
	}
	said := map[string]tapping.Advice{}
	for _, c := range []struct {
		advice tapping.Advice
		has    []string
	}{
		{tapping.TapNow, []string{"since 9 Mar", "tapped: 2027-03-09"}},
		{tapping.WaitAgain, []string{"since 9 Mar", "tapped: 2027-03-09", "until Mon 15 Mar", "53 %", "51 %"}},
		{tapping.TapOrWait, []string{"from 12 to 15 Mar", "less than 2 %"}},
		{tapping.Wait, []string{"until Mon 15 Mar", "53 %", "51 %"}},
		{tapping.PlanAhead, []string{"about 14 Mar", "20 past years"}},
		{tapping.Tapped, []string{"Tapped 9 Mar", "dry by 31 Mar"}},
		{tapping.TakenDone, []string{"on 9 Mar", "the usual day", "51 %"}},
		{tapping.TooLate, []string{"since 9 Mar", "43 %"}},
		{tapping.Over, nil},
		{tapping.NoRecord, []string{"starts 1 Mar to 21 Mar"}},
	} {
		f := facts
		f.Advice = c.advice
		text := TapVerdict(&f, phrase.Speech{})
		if other, ok := said[text]; ok {
			t.Errorf("%s reads as %s does: %s", c.advice, other, text)
		}
		said[text] = c.advice
		for _, part := range c.has {
			if !strings.Contains(text, part) {
				t.Errorf("%s: %q is not in: %s", c.advice, part, text)
			}
		}
	}
}

// What is said of a run that is on, or rings in it, calls no day to come that is past: it has begun, is as likely as
// it may be to go on, and today is a day of it also where the record has a row of today.
func TestARunThatIsOnRingsForWhatIsToCome(t *testing.T) {
	first := civil.Of(2027, time.March, 3)
	e := &calendar.Entry{Task: calendar.TaskRun, Activity: calendar.Tapping, Window: civil.Span{First: first, Last: first + 4},
		Species:   []*phenology.Species{{ID: "acer-rubrum", Common: []string{"red maple"}, Sap: phenology.Sap{Run: &phenology.RunRule{}}}},
		Reminders: []calendar.Reminder{{Kind: tapping.RingLargeRun, On: first}}}
	e.Probability, e.Best = 0.3, first+3
	for _, row := range []struct {
		measured, today int
		french          bool
		title, rings    string
		verdict         string
	}{
		{0, 0, false, "Medium run unlikely 3 to 7 Mar", "Medium run unlikely Wed 3 Mar: empty the tanks", "gather, 3 to 7 Mar:"},
		{1, 1, false, "Medium run of sap (begun)", "Medium run begun, to Sun 7 Mar: empty the tanks", "gather, 4 to 7 Mar:"},
		{2, 1, false, "Medium run of sap (begun)", "Medium run begun, to Sun 7 Mar: empty the tanks",
			"gather, 4 to 7 Mar: buckets and tanks empty, lines tight, pan and wood ready. 30 % chance that sap runs on 6 Mar"},
		{1, 1, true, "Moyenne coulée (commencée)", "Coulée commencée\u00a0: videz les réservoirs", "30\u00a0% de chances que ça coule le 6 mars"},
	} {
		f := &tapping.RunFacts{Run: tapping.Run{Span: e.Window, Size: tapping.SizeMiddling}, AsOf: first + civil.Date(row.today)}
		for i := range e.Window.Days() {
			d := tapping.RunDay{Date: first + civil.Date(i), Forecast: i >= row.measured, Likelihood: 0.3, Hours: 1}
			if d.Date == e.Best {
				d.Hours = 2
			}
			f.Days = append(f.Days, d)
		}
		e.Facts, e.Speech = f, phrase.Speech{}
		if row.french {
			e.Speech.Language = phrase.French
		}
		said := Say(e)
		title, _ := said.Title()
		if title != row.title || said.Reminders[0] != row.rings || !strings.Contains(said.Verdict, row.verdict) {
			t.Errorf("%+v: %q rings %q:\n%s", row, title, said.Reminders[0], said.Verdict)
		}
	}
}

// An alarm that was missed and rings late names no day that is past as if it were to come.
func TestLateAlarmsNameNoPastDay(t *testing.T) {
	best := civil.Of(2027, time.April, 2)
	for _, row := range []struct {
		task     calendar.Task
		language phrase.Language
		onDay    string
		late     string
	}{
		{calendar.TaskPull, "", "Pull red maple spouts: about Fri 2 Apr", "Pull red maple spouts by Fri 16 Apr"},
		{calendar.TaskPull, phrase.French, "Désentaillez vers le 2 avril",
			"Désentaillez d'ici le 16 avril"},
		{calendar.TaskTap, "", "Tap red maple from Fri 2 Apr", "Tap red maple: advised since Fri 2 Apr"},
		{calendar.TaskTap, phrase.French, "Entaillez l'érable rouge dès le 2 avril", "Entaillez l'érable rouge, conseillé"},
		{calendar.TaskLast, "", "Taste red maple sap before you boil, from 2 Apr", "Taste red maple sap before you boil"},
	} {
		for late, want := range []string{row.onDay, row.late} {
			var facts calendar.Facts = &tapping.SeasonFacts{AsOf: best + civil.Date(late)}
			if row.task == calendar.TaskTap {
				facts = &tapping.TapFacts{AsOf: best + civil.Date(late), Price: &tapping.Price{Best: best}, Advice: tapping.TapNow}
			}
			e := &calendar.Entry{Task: row.task, Activity: calendar.Tapping, Window: civil.Span{First: best, Last: best + 14},
				Best: best, Facts: facts, Species: []*phenology.Species{{ID: "acer-rubrum", Common: []string{"red maple"},
					Sap: phenology.Sap{Run: &phenology.RunRule{}}}},
				Reminders: []calendar.Reminder{{Kind: tapping.RingPull, On: best}}, Speech: phrase.Speech{Language: row.language}}
			if got := phrase.OneLine(Say(e).Reminders[0]); got != want {
				t.Errorf("%s, %d days late: rings %q, want %q", row.task, late, got, want)
			}
		}
	}
}

// Birches run by the pressure of their roots: nobody is sent to wait for frosts before tapping one, by whatever it is dated.
func TestBirchesAreNotTappedByFrost(t *testing.T) {
	birch := &phenology.Species{ID: "betula-papyrifera", Common: []string{"paper birch"},
		Sap: phenology.Sap{Run: &phenology.RunRule{Drive: phenology.RootPressure}}}
	day := civil.Of(2027, time.April, 10)
	for _, advice := range []tapping.Advice{tapping.NoRecord, tapping.PlanAhead} {
		e := &calendar.Entry{Task: calendar.TaskTap, Activity: calendar.Tapping, Best: day,
			Window: civil.Span{First: day, Last: day}, Species: []*phenology.Species{birch},
			Facts: &tapping.TapFacts{Advice: advice, AsOf: day, Evidence: tapping.Evidence{Years: 9}, Price: &tapping.Price{Best: day}}}
		if got := Say(e).LookFor[0]; !strings.Contains(got, "Thawed soil") {
			t.Errorf("%s: look for %q", advice, got)
		}
	}
}

// Of what has begun nothing is said as if it were still a chance: "begun", and not "begun of a day so warm".
func TestNoChanceOfWhatHasBegun(t *testing.T) {
	first := civil.Of(2027, time.March, 11)
	for _, language := range []phrase.Language{phrase.English, phrase.French} {
		for probability, of := range map[float64]bool{1: false, 0.8: true} {
			e := &calendar.Entry{
				Task: calendar.TaskWarmSpell, Activity: calendar.Tapping, Window: civil.Span{First: first, Last: first + 3},
				Best: first, Probability: probability, Speech: phrase.Speech{Language: language},
				Species: []*phenology.Species{{ID: "acer-rubrum", Common: []string{"red maple"}}},
				Facts: &tapping.WarningFacts{Warning: tapping.Warning{Kind: tapping.WarmSpell,
					Span: civil.Span{First: first, Last: first + 3}}},
			}
			if said := Say(e); (said.ChanceOf != "") != of || (said.Fact == "") != of {
				t.Errorf("%v: found %q and %q of a chance of %v", language, said.Fact, said.ChanceOf, probability)
			}
		}
	}
}

// A book that is far off tunes nothing, and whoever keeps it is told what to look at, and not to wait for more seasons.
func TestOddBook(t *testing.T) {
	for language, want := range map[phrase.Language]string{
		phrase.English: "more than 10 times what is to be expected, or less than a 10th. Check taps and units",
		phrase.French:  "plus de 10 fois ce qui est à prévoir, ou moins du 10e. Vérifiez entailles et unités",
	} {
		book := &tapping.Book{Tuning: tapping.Tuning{Factor: 1, Odd: 2}}
		if said := strings.Join(Book(book, phrase.Speech{Language: language}), " "); !strings.Contains(said, want) {
			t.Errorf("%q lacks %q", said, want)
		}
	}
}
