package words

import (
	"fmt"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/calendar/seed"
	"treewhen/phenology"
)

// What the probabilities of seed work are of. A collection has its own.
const (
	preparesOf = "that the collection it prepares finds ripe seed, if there is a crop"
	lotsSay    = "the book of lots says so"
	followsOf  = "it follows a collection, and has no chance of its own"
)

// reason adds a sentence on why these days.
func (t *Text) reason(format string, args ...any) {
	t.Reasons = append(t.Reasons, fmt.Sprintf(format, args...))
}

// sight adds something to look for or to do.
func (t *Text) sight(format string, args ...any) {
	t.LookFor = append(t.LookFor, fmt.Sprintf(format, args...))
}

// seedSummary says what a piece of seed work is.
func seedSummary(e *calendar.Entry, f seed.Facts) string {
	name := e.Species[0].Name()
	switch f := f.(type) {
	case *seed.Collection:
		law := ""
		if f.MayForbid {
			law = ", if the law allows"
		}
		return "Collect " + name + " seed" + standSuffix(e.Stand) + law
	case *seed.Scout:
		return "Scout " + name + " crop" + standSuffix(e.Stand)
	case *seed.Check:
		return "Ripe? " + name + standSuffix(e.Stand)
	case *seed.Cleaning:
		return "Clean " + name + " seed" + lotSuffix(e.Lot)
	case *seed.Store:
		if f.Stratifies != nil {
			return "Store " + name + " seed moist and cold" + lotSuffix(e.Lot)
		}
		return "Store " + name + " seed" + lotSuffix(e.Lot)
	case *seed.Test:
		return "Test " + name + " seed" + lotSuffix(e.Lot)
	case *seed.Sprouting:
		return "Look for sprouts in " + name + " seed" + lotSuffix(e.Lot)
	case *seed.Stratification:
		return stratificationSummary(name, f) + lotSuffix(e.Lot)
	case *seed.Sow:
		return "Sow " + name + sownHow[f.How] + lotSuffix(e.Lot)
	default:
		return "Check germination of " + name + lotSuffix(e.Lot)
	}
}

var sownHow = map[seed.How]string{
	seed.AtOnce: " at once", seed.ForWinter: " for the winter", seed.Sprouted: " at once, since it sprouts",
}

func stratificationSummary(name string, f *seed.Stratification) string {
	s := f.Begins()
	switch {
	case f.Step > 1 && s.Kind == phenology.ColdStratify:
		return "Move " + name + " seed to the cold"
	case f.Step > 1:
		return "Move " + name + " seed to the warm"
	case len(f.Treatment.Steps) > 1:
		return fmt.Sprintf("Stratify %s seed: %s", name, s.Kind)
	default:
		return "Stratify " + name + " seed"
	}
}

// saySeed says the details of a piece of seed work.
func saySeed(t *Text, e *calendar.Entry, f seed.Facts) {
	t.Care = seedCare(e, f)
	switch f := f.(type) {
	case *seed.Collection:
		sayCollection(t, e, f)
	case *seed.Scout:
		sayScout(t, e, f)
	case *seed.Check:
		sayCheck(t, e, f)
	default:
		t.ChanceOf = followsOf
		sayLot(t, e.Lot)
		if e.State.Over() {
			t.ChanceOf = lotsSay
			t.reason("Done on %s.", phrase.LongDate(e.Best))
			return
		}
		sayFollowing(t, e, f)
	}
}

func sayCollection(t *Text, e *calendar.Entry, f *seed.Collection) {
	sp := e.Species[0]
	if f.Lot != nil {
		t.ChanceOf = lotsSay
		t.reason("Collected as lot %s.", f.Lot.ID)
		return
	}
	for _, r := range e.Reminders {
		t.Reminders = append(t.Reminders, t.Summary+": from "+weekday(r.On))
	}
	t.Verdict = "Collect between " + phrase.ShortDate(e.Window.First) + " and " + phrase.ShortDate(e.Window.Last) +
		", best about " + weekday(e.Best) + "." + visitAdvice[f.Visits]
	t.ChanceOf = "of ripe seed between " + phrase.ShortDate(e.Window.First) + " and " +
		phrase.ShortDate(e.Window.Last) +
		", if there is a crop"
	sayCollectionReasons(t, e, f)
	t.LookFor = signs(sp, e.Speech)
	t.LookFor = append(t.LookFor, collectFrom(sp)...)
	if f.Need != nil {
		t.sight("%s", BringHome(f.Need, e.Speech))
	}
	t.sight("%s", lotLabel(sp, e.Stand, e.Speech.Height(f.Elevation)))
	t.Sources = collectionSources(sp, f)
}

func sayCollectionReasons(t *Text, e *calendar.Entry, f *seed.Collection) {
	const between = "%s between %s and %s, 8 years in 10."
	sp := e.Species[0]
	t.reason(between, "Ripe", phrase.ShortDate(f.Ripe.From), phrase.ShortDate(f.Ripe.To))
	if f.Falls != nil {
		t.reason(between, "It begins to fall", phrase.ShortDate(f.Falls.From), phrase.ShortDate(f.Falls.To))
	}
	t.reason("Ripe seed lasts about %s. One visit on %s has a %s chance of finding it.",
		phrase.Count(f.Stays, "day"), phrase.ShortDate(e.Best), phrase.Percent(float64(f.One)))
	if d := sp.Seed.Dispersal; d != nil {
		t.reason("%s", dispersal(d))
	}
	if o := f.Outside; o != nil {
		t.reason("This is %s outside %s: %s of spread added.", e.Speech.Way(float64(o.KM)), RangeOf(sp),
			phrase.Count(o.Days, "day"))
	}
	if e.Site.Southern() {
		t.reason("The species is not native south of the equator: half a year was added to its northern dates, which " +
			"nobody has tested.")
	}
	if f.Crop != nil {
		t.reason("%s", cropScouted(f.Crop, sp))
	}
}

// visitAdvice is what to do about the chance of a single visit.
var visitAdvice = map[seed.Visits]string{
	seed.CheckedVisit: " Let the ripeness checks set the day.",
	seed.ChecksDecide: " One visit is not enough: let the ripeness checks set the day.",
}

// gathered is when seed is gathered.
var gathered = map[phenology.Gathering]string{
	phenology.BeforeFall:   "it is gathered before it begins to fall",
	phenology.WhileFalling: "it is gathered until half of it is down",
	phenology.OnceFallen:   "it is gathered once it falls, and until half of it is down",
}

func dispersal(d *phenology.Dispersal) string {
	when := gathered[d.Gather]
	switch d.Agent {
	case phenology.ByWind:
		return "Wind carries it off: " + when + "; one dry, windy day can end it."
	case phenology.ByBirds:
		return "Birds take it: " + when + "; they need days, not weeks."
	case phenology.ByAnimals:
		return "Squirrels, mice and jays take it: " + when + "; be there every few days."
	case phenology.ByItself:
		return "It is shot from its capsules: " + when + "."
	}
	return phrase.Sentence(when)
}

func cropScouted(n *calendar.CropNote, sp *phenology.Species) string {
	text := fmt.Sprintf("Crop scouted on %s: %s", phrase.LongDate(n.Date), n.Crop)
	if n.Note != "" {
		text += " (" + strings.TrimSuffix(n.Note, ".") + ")"
	}
	switch {
	case n.Crop == calendar.LightCrop:
		return text + ". Collect only what you cannot do without: in light years insects and animals take most, and " +
			"more of the rest is empty."
	case n.Crop == calendar.BumperCrop && sp.Seed.Storage == phenology.Orthodox:
		return text + ". Its seed keeps: collect for the lean years too."
	case n.Crop == calendar.BumperCrop:
		return text + ". Its seed does not keep for the lean years: collect what you can sow."
	}
	return text + "."
}

// signs are a species' own signs of ripe seed.
func signs(sp *phenology.Species, as phrase.Speech) []string {
	var list []string
	for _, sign := range sp.Seed.MaturitySigns {
		list = append(list, phrase.Sentence(as.Measures(sign.Text)))
	}
	return list
}

// collectFrom says from where a species' seed is collected, nothing where the profile does not.
func collectFrom(sp *phenology.Species) []string {
	from := sp.Seed.CollectFrom.Text
	if from == "" {
		return nil
	}
	return []string{"Collect from " + strings.TrimPrefix(strings.TrimSuffix(from, "."), "from ") + "."}
}

// collectionSources are the sources of a collection, of its dates first.
func collectionSources(sp *phenology.Species, f *seed.Collection) []string {
	list := citations(f.Sources...)
	if d := sp.Seed.Dispersal; d != nil {
		list = cite(list, d.Source)
	}
	for _, sign := range sp.Seed.MaturitySigns {
		list = cite(list, sign.Source)
	}
	return list
}

func standSuffix(s *calendar.Stand) string {
	if s == nil {
		return ""
	}
	return " (" + s.Name + ")"
}

const countFullSeed = "Count full seed on a sample of branches of many trees before you plan on a crop; cut some " +
	"open: empty and wormy seed is no crop."

func sayScout(t *Text, e *calendar.Entry, f *seed.Scout) {
	sp := e.Species[0]
	t.ChanceOf = preparesOf
	t.Verdict = "Look how much full seed the trees bear, about " + weekday(e.Best) + "."
	if f.AfterFlowering > 0 {
		t.reason("%s after flowering; a crop that ripens so soon cannot be judged earlier.",
			phrase.Count(f.AfterFlowering, "day"))
	} else {
		t.reason("%s before the best day of collection, %s.", phrase.Count(f.Weeks, "week"), phrase.LongDate(f.Collect))
	}
	if f.Of.Crop != nil {
		t.reason("%s", cropScouted(f.Of.Crop, sp))
	}
	t.sight(countFullSeed)
	if q := sp.Seed.CropInterval; q != nil {
		t.sight("Good crops come every %s (%s).", phrase.Years(q.Low, q.High), q.Source)
	}
	if q := sp.Seed.SeedAge; q != nil {
		t.sight("Trees bear from about %s years of age (%s).", phrase.Range(q.Low, q.High, 0), q.Source)
	}
	t.sight("Write it down as none, light, good or bumper in the crop column of your observations: " +
		"the plan follows it.")
	t.Sources = collectionSources(sp, f.Of)
}

// sampleTests say how to test a sample.
var sampleTests = map[seed.SampleTest]string{
	seed.FloatNuts:  "Float test: full ones sink, empty and wormy ones float.",
	seed.CutStones:  "Cut a few stones: the embryo white and full.",
	seed.CutCones:   "Cut a few: seed coats dark, the embryo white and as long as its space; no scale has opened yet.",
	seed.CutSamaras: "Cut ten lengthwise: the embryo white, firm and as long as the seed.",
}

func sayCheck(t *Text, e *calendar.Entry, f *seed.Check) {
	sp := e.Species[0]
	t.ChanceOf = preparesOf
	t.Verdict = fmt.Sprintf("Check %d: look whether seed is ripe, about %s, then every %s until it is.", f.Number,
		weekday(e.Best), phrase.Count(f.Every, "day"))
	before := phrase.ShortDate(f.Before)
	if f.Number == 1 {
		t.reason("%d days before the seed is ripe in 1 year of 10, %s.", f.Every, before)
	} else {
		t.reason("%d days before it is ripe in half the years, %s.", f.Every, before)
	}
	t.LookFor = signs(sp, e.Speech)
	if f.Test != "" {
		t.sight("%s", sampleTests[f.Test])
	}
	t.sight("Note color, share of full seed and, if you can weigh a sample wet and dry, its moisture.")
	t.Sources = collectionSources(sp, f.Of)
}
