package seed

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/phrase"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// How far outside its range a species is dated for collecting, and how the spread of its dates grows on the way. Our own
// choice: beyond its range a tree is planted, and of seed brought from nobody knows where.
const (
	rangeReachKM    = 500  // kilometres
	rangeKMPerDay   = 50   // kilometres outside for each day of standard deviation
	surest          = 0.99 // no crop is surer than this: hail, frost and weevils are in no model
	cropBefore      = 230  // days before ripeness from which a scouting note is of this season's crop
	afterFlowersMin = 14   // days after flowering before which no crop can be judged
)

// What the probabilities of entries round a collection are of; the collection's own says more.
const (
	preparesOf = "that the collection it prepares finds ripe seed"
	followsOf  = "that the collection it follows finds ripe seed"
)

// lot is the seed of one species from one stand in one season.
type lot struct {
	stand   *calendar.Stand // nil: the place as a whole
	collect *calendar.Entry
	time    seedTime
}

// Work is the seed work at one place.
type Work struct {
	*calendar.Work
	far []string // species that the place is too far away for
}

// At begins the seed work at a place.
func At(w *calendar.Work) *Work { return &Work{Work: w} }

// Season adds the seed work of the seed of one season.
func (w *Work) Season(season int) {
	for _, sp := range collected(w.Place) {
		w.seed(sp, season)
	}
}

// Close says what is to be said once of all seasons.
func (w *Work) Close() {
	if len(w.far) > 0 {
		w.Note(fmt.Sprintf("no collection dates for %s, whose range ends more than %d km away", phrase.Join(w.far), rangeReachKM))
	}
}

// seed schedules the seed work of one species in one season: at each stand up to the collection, then for all together.
func (w *Work) seed(sp *phenology.Species, season int) {
	if sp.Seed == nil || slices.Contains(w.Place.Options.Seed.Prohibited, sp.ID) {
		return
	}
	var lots []lot
	if len(w.Place.Stands) == 0 {
		if l, ok := w.lot(sp, season, nil); ok {
			lots = append(lots, l)
		}
	}
	for _, s := range w.Place.Stands {
		if slices.Contains(s.Species, sp) {
			if l, ok := w.lot(sp, season, s); ok {
				lots = append(lots, l)
			}
		}
	}
	slices.SortFunc(lots, func(a, b lot) int {
		return cmp.Or(cmp.Compare(a.collect.Best, b.collect.Best), slices.Compare(a.collect.Tell, b.collect.Tell))
	})
	if len(lots) > 0 {
		w.follow(sp, lots)
	}
}

// collected returns the species whose seed is collected: the place's own, or, where it has stands, all of theirs, by id.
func collected(p *calendar.Place) []*phenology.Species {
	if len(p.Stands) == 0 {
		return p.Species
	}
	var all []*phenology.Species
	for _, s := range p.Stands {
		for _, sp := range s.Species {
			if !slices.Contains(all, sp) {
				all = append(all, sp)
			}
		}
	}
	slices.SortFunc(all, func(a, b *phenology.Species) int { return strings.Compare(a.ID, b.ID) })
	return all
}

// lot schedules scouting, ripeness checks and collection at a stand, and whether there will be seed to follow up.
func (w *Work) lot(sp *phenology.Species, season int, s *calendar.Stand) (lot, bool) {
	l := lot{stand: s}
	site, where := w.Place.Outlook.Site, ""
	est := phenology.Estimates{}
	if s == nil {
		est = w.In(sp, season)
	} else {
		site, where = s.Outlook.Site, s.Name+": "
		est = moved(s.Outlook.Estimate(sp, season), s.Offset)
	}
	outside := 0.0
	if sp.Range != nil {
		outside = sp.Range.KilometresOutside(site)
	}
	if outside > rangeReachKM {
		w.tooFar(sp, where, outside)
		return l, false
	}
	if outside > 0 {
		est.List = slices.Clone(est.List) // other work at the place has the same estimates
		for i := range est.List {
			est.List[i] = est.List[i].Widened(outside / rangeKMPerDay)
		}
	}
	var ok bool
	if l.time, ok = seedTimeOf(est, sp.Seed.Gather()); !ok {
		w.Note(fmt.Sprintf("%sno collection dates for %s: %s", where, sp.Name(), whyNoSeed(est)))
		return l, false
	}
	crop := w.crop(sp, season, s, est)
	l.collect = w.collect(sp, est, l, outside)
	if crop != nil && crop.Crop == calendar.NoCrop {
		if w.inSpan(l.collect) {
			w.Note(fmt.Sprintf("%sno collection of %s in %d: its crop was scouted as none on %s", where, phrase.Name(sp.Name()), season, phrase.LongDate(crop.Date)))
		}
		return l, false
	}
	if crop != nil {
		l.collect.Reasons = append(l.collect.Reasons, cropReason(crop, sp))
	}
	if scout := w.scout(sp, est, l, crop); scout != nil {
		l.collect.After = append(l.collect.After, scout.UID)
	}
	for _, check := range w.ripenessChecks(sp, est, l) {
		l.collect.After = append(l.collect.After, check.UID)
	}
	w.Add(l.collect)
	if outside > 0 && w.inSpan(l.collect) && w.Place.Chosen {
		w.Note(fmt.Sprintf("%s%s: %.0f km outside its range (a rough box); its dates are widened, and it may set no good seed here", where, sp.Name(), outside))
	}
	return l, true
}

// whyNoSeed says why seed cannot be dated; where ripeness is counted from another phase, why that one cannot.
func whyNoSeed(est phenology.Estimates) string {
	p := phenology.FruitRipe
	for range phenology.Phases() {
		r := est.Species.Phase(p)
		if r == nil || r.Model == nil || len(r.Model.Models) != 1 {
			break
		}
		lag, ok := r.Model.Models[0].(phenology.Lag)
		if !ok || est.Get(lag.After).HasDate() {
			break
		}
		p = lag.After
	}
	if reason := est.Get(p).Reason; p != phenology.FruitRipe && reason != "" {
		return "its ripening is counted from " + p.String() + ", and " + reason
	}
	return calendar.ReasonOf(est.Get(phenology.FruitRipe), est.Get(phenology.SeedFall), est.Get(phenology.SeedFallEnd))
}

// tooFar notes a species that is not dated because the place is too far outside its range. A library's worth of them is
// one note.
func (w *Work) tooFar(sp *phenology.Species, where string, km float64) {
	if w.Place.Chosen {
		w.Note(fmt.Sprintf("%sno collection dates for %s: %.0f km outside its range; %d km is as far as dates are carried", where, sp.Name(), km, rangeReachKM))
		return
	}
	if !slices.Contains(w.far, sp.Name()) {
		w.far = append(w.far, sp.Name())
	}
}

// moved returns the dates of a stand where spring comes some days later: what moves later northward moves with it, what
// moves earlier moves against it.
func moved(est phenology.Estimates, days float64) phenology.Estimates {
	if days == 0 {
		return est
	}
	var by func(e phenology.Estimate) float64
	by = func(e phenology.Estimate) float64 {
		if e.After != nil { // a date counted from another moves with it
			return by(*e.After)
		}
		record := est.Species.Phase(e.Phase)
		switch {
		case e.Basis == phenology.BasisSeen || record == nil:
			return 0 // what was seen here has the stand's lateness in it already
		case record.Moves == phenology.MovesLater:
			return days
		case record.Moves == phenology.MovesEarlier:
			return -days
		}
		return 0
	}
	list := make([]phenology.Estimate, len(est.List))
	for i, e := range est.List {
		list[i] = e.Moved(by(e))
	}
	est.List = list
	return est
}

// crop returns what scouting found of this season's crop: the latest note of the stand, else of the whole place; nil if
// nobody has looked.
func (w *Work) crop(sp *phenology.Species, season int, s *calendar.Stand, est phenology.Estimates) *calendar.CropNote {
	var latest *calendar.CropNote
	ripe := est.Get(phenology.FruitRipe)
	for i := range w.Place.Crops {
		n := &w.Place.Crops[i]
		here := n.Stand == "" || s != nil && n.Stand == s.ID
		// A crop is scouted from the winter before it, by its flower buds, to the autumn or winter in which it falls.
		near := n.Date > ripe.P50()-cropBefore && n.Date <= ripe.P50()-cropBefore+365
		if n.Species != sp.ID || !here || !near {
			continue
		}
		own := latest != nil && latest.Stand != ""
		if latest == nil || n.Stand != "" && !own || (n.Stand != "") == own && n.Date >= latest.Date {
			latest = n
		}
	}
	return latest
}

func cropReason(n *calendar.CropNote, sp *phenology.Species) string {
	text := fmt.Sprintf("Crop scouted on %s: %s", phrase.LongDate(n.Date), n.Crop)
	if n.Note != "" {
		text += " (" + strings.TrimSuffix(n.Note, ".") + ")"
	}
	switch n.Crop {
	case calendar.LightCrop:
		return text + ". Collect only what you cannot do without: in light years insects and animals take most, and more of the rest is empty."
	case calendar.BumperCrop:
		if sp.Seed.Storage == phenology.Orthodox {
			return text + ". Its seed keeps: collect for the lean years too."
		}
		return text + ". Its seed does not keep for the lean years: collect what you can sow."
	}
	return text + "."
}

// collect makes the collection's entry; it is not added yet.
func (w *Work) collect(sp *phenology.Species, est phenology.Estimates, l lot, outside float64) *calendar.Entry {
	ripe, fall := est.Get(phenology.FruitRipe), est.Get(phenology.SeedFall)
	best, visit := l.time.best()
	window := l.time.window()
	e := w.standEntry(sp, est.Season.Year, calendar.TaskCollect, l.stand)
	e.Summary = "Collect " + phrase.Name(sp.Name()) + " seed" + standSuffix(l.stand)
	if w.Place.MayForbid(sp) {
		e.Summary += ", if the law allows"
	}
	e.Window, e.Best = window, best
	e.Probability = min(l.time.within(window), surest)
	e.ProbabilityOf = "that, if there is a crop, there is a day in these on which seed is ripe and not yet gone"
	e.Settled = calendar.Settled(l.time.rests...)
	e.Rests = calendar.RestsOn(l.time.rests...)
	if ripe.After != nil { // what it is counted from dates it too
		e.Sources = calendar.SourcesOf(est, ripe.After.Phase)
	}
	for _, source := range calendar.SourcesOf(est, phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd) {
		if !slices.Contains(e.Sources, source) {
			e.Sources = append(e.Sources, source)
		}
	}
	e.Reasons = append(e.Reasons, fmt.Sprintf("Ripe between %s and %s, eight years in ten.", phrase.ShortDate(ripe.P10()), phrase.ShortDate(ripe.P90())))
	if fall.HasDate() {
		e.Reasons = append(e.Reasons, fmt.Sprintf("It begins to fall between %s and %s, eight years in ten.", phrase.ShortDate(fall.P10()), phrase.ShortDate(fall.P90())))
	}
	e.Reasons = append(e.Reasons, fmt.Sprintf("Once ripe it can be had for about %s; a single visit on %s finds it with %s.%s",
		phrase.Count(int(math.Round(l.time.stay)), "day"), phrase.LongDate(best), phrase.Percent(visit), visitAdvice(visit)))
	if d := sp.Seed.Dispersal; d != nil {
		e.Reasons = append(e.Reasons, dispersalReason(d))
		e.Sources = calendar.AddSource(e.Sources, d.Source)
	}
	if outside > 0 {
		e.Reasons = append(e.Reasons, fmt.Sprintf("This is %.0f km outside the species' range, a rough box: %.0f days of spread were added.", outside, outside/rangeKMPerDay))
	}
	if w.Place.Site().Southern() {
		e.Reasons = append(e.Reasons, "The species is not native south of the equator: half a year was added to its northern dates, which nobody has tested.")
	}
	s := sp.Seed
	for _, sign := range s.MaturitySigns {
		e.LookFor = append(e.LookFor, phrase.Sentence(sign.Text))
		e.Sources = calendar.AddSource(e.Sources, sign.Source)
	}
	if s.CollectFrom.Text != "" {
		e.LookFor = append(e.LookFor, "Collect from "+strings.TrimPrefix(strings.TrimSuffix(s.CollectFrom.Text, "."), "from ")+".")
	}
	e.LookFor = append(e.LookFor, lotLabel(sp, l.stand))
	e.Cautions = append(e.Cautions, w.Place.LawCautions(sp)...)
	e.Cautions = append(e.Cautions, calendar.SeedCautions...)
	e.Cautions = append(e.Cautions, calendar.SpeciesCautions(sp, calendar.SeedCollection)...)
	opt := w.Place.Options.Seed
	e.Reminders = []calendar.Reminder{{Before: 3, On: e.Window.First, Minute: opt.Reminder, Text: e.Summary + ": the window opens " + phrase.LongDate(e.Window.First)}}
	return e
}

// visitAdvice says what to do about the chance of a single visit.
func visitAdvice(p float64) string {
	switch {
	case p >= 0.8:
		return ""
	case p >= 0.5:
		return " Let the ripeness checks set the day."
	default:
		return " Do not rely on one visit: the ripeness checks set the day."
	}
}

func dispersalReason(d *phenology.Dispersal) string {
	when := map[phenology.Gathering]string{
		phenology.BeforeFall:   "it is gathered before it begins to fall",
		phenology.WhileFalling: "it is gathered until half of it is down",
		phenology.OnceFallen:   "it is gathered once it falls, and until half of it is down",
	}[d.Gather]
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
	return strings.ToUpper(when[:1]) + when[1:] + "."
}

// lotLabel says what to write on the bag.
func lotLabel(sp *phenology.Species, s *calendar.Stand) string {
	text := "Label every bag: " + sp.Botanical + ", date, place, number of trees"
	if s != nil {
		text += ", " + s.Name + fmt.Sprintf(", %.0f m", s.Outlook.Site.Elevation)
		if s.SeedZone != "" {
			text += ", seed zone " + s.SeedZone
		}
	}
	return text + "."
}

// standEntry makes an entry of a stand's, or of the whole place's where the stand is nil.
func (w *Work) standEntry(sp *phenology.Species, season int, task calendar.Task, s *calendar.Stand, tell ...string) *calendar.Entry {
	e := &calendar.Entry{Activity: calendar.SeedCollection, Task: task, Species: []*phenology.Species{sp}, Season: season, Stand: s, Tell: tell}
	if s != nil {
		e.Tell = append([]string{"stand", s.ID}, tell...)
		if s.Permit != "" {
			e.Cautions = append(e.Cautions, s.Name+", permit: "+s.Permit)
		}
		if s.Owner != "" {
			e.Cautions = append(e.Cautions, s.Name+", landowner: "+s.Owner)
		}
	}
	return e
}

func standSuffix(s *calendar.Stand) string {
	if s == nil {
		return ""
	}
	return " (" + s.Name + ")"
}

// scout schedules the look at the crop, eight to five weeks before the collection, or, where flowers come later than
// that, as soon as they have set.
func (w *Work) scout(sp *phenology.Species, est phenology.Estimates, l lot, crop *calendar.CropNote) *calendar.Entry {
	weeks := w.Place.Options.Seed.ScoutWeeks
	collect := l.collect
	e := w.standEntry(sp, collect.Season, calendar.TaskScout, l.stand)
	e.Summary = "Scout " + phrase.Name(sp.Name()) + " crop" + standSuffix(l.stand)
	e.Best = collect.Best - civil.Date(7*weeks)
	e.Window = civil.Span{First: e.Best - 14, Last: e.Best + 7}
	e.Reasons = []string{fmt.Sprintf("%s before the best day of collection, %s.", phrase.Count(weeks, "week"), phrase.LongDate(collect.Best))}
	if flower := est.Get(phenology.Flowering); flower.HasDate() && flower.P50() < collect.Best && e.Best < flower.P50()+afterFlowersMin {
		e.Best = min(flower.P50()+afterFlowersMin, collect.Best-7)
		e.Window = civil.Span{First: e.Best - 4, Last: e.Best + 4}
		e.Reasons = []string{fmt.Sprintf("%s after flowering; a crop that ripens so soon cannot be judged earlier.", phrase.Count(int(e.Best-flower.P50()), "day"))}
	}
	if crop != nil && crop.Date >= e.Window.First {
		return nil // it has been done
	}
	e.Probability, e.ProbabilityOf = collect.Probability, preparesOf
	e.Rests, e.Sources = collect.Rests, collect.Sources
	e.LookFor = []string{"Count full seed on a sample of branches of many trees before you plan on a crop; cut some open: empty and wormy seed is no crop."}
	if q := sp.Seed.CropInterval; q != nil {
		e.LookFor = append(e.LookFor, fmt.Sprintf("Good crops come every %s (%s).", phrase.Years(q.Low, q.High), q.Source))
	}
	if q := sp.Seed.SeedAge; q != nil {
		e.LookFor = append(e.LookFor, fmt.Sprintf("Trees bear from about %s years of age (%s).", phrase.Range(q.Low, q.High, 0), q.Source))
	}
	e.LookFor = append(e.LookFor, "Write it down as none, light, good or bumper in the crop column of your observations: the plan follows it.")
	if crop != nil {
		e.Reasons = append(e.Reasons, cropReason(crop, sp))
	}
	e.Cautions = append(e.Cautions, calendar.SeedCautions...)
	return w.Add(e)
}

// ripenessChecks schedules two looks before the seed is ripe; the second says when to come again.
func (w *Work) ripenessChecks(sp *phenology.Species, est phenology.Estimates, l lot) []*calendar.Entry {
	every := 7
	if l.time.stay < 21 {
		every = 4 // seed that is gone in three weeks wants closer looks; our own choice
	}
	ripe := l.time.opens
	days := []civil.Date{ripe.P10() - civil.Date(every), ripe.P50() - civil.Date(every)}
	if days[1] < days[0]+civil.Date(every) {
		days[1] = days[0] + civil.Date(every)
	}
	var list []*calendar.Entry
	for i, day := range days {
		e := w.standEntry(sp, l.collect.Season, calendar.TaskRipeness, l.stand, fmt.Sprintf("check %d", i+1))
		e.Summary = fmt.Sprintf("Ripeness check %d, ", i+1) + phrase.Name(sp.Name()) + standSuffix(l.stand)
		e.Best, e.Window = day, civil.Span{First: day - 2, Last: day + 2}
		e.Probability, e.ProbabilityOf = l.collect.Probability, preparesOf
		e.Rests, e.Sources = l.collect.Rests, l.collect.Sources
		if i == 0 {
			e.Reasons = []string{fmt.Sprintf("%d days before the seed can be had in one year of ten, %s.", every, phrase.ShortDate(ripe.P10()))}
		} else {
			e.Reasons = []string{fmt.Sprintf("%d days before it can be had in five years of ten, %s; then look every %d days until it is.", every, phrase.ShortDate(ripe.P50()), every)}
		}
		e.LookFor = ripenessSigns(sp)
		e.Cautions = append(e.Cautions, calendar.SeedCautions...)
		if len(list) > 0 {
			e.After = []string{list[0].UID}
		}
		list = append(list, w.Add(e))
	}
	return list
}

// ripenessSigns are what to look at, the species' own signs first. The tests by fruit are common practice, no source.
func ripenessSigns(sp *phenology.Species) []string {
	var list []string
	for _, sign := range sp.Seed.MaturitySigns {
		list = append(list, phrase.Sentence(sign.Text))
	}
	add := func(test phenology.SeedTest, text string) {
		if !slices.ContainsFunc(sp.Seed.MaturitySigns, func(s phenology.MaturitySign) bool { return s.Test == test }) {
			list = append(list, text)
		}
	}
	switch sp.Seed.Fruit {
	case phenology.Acorn, phenology.Nut:
		add(phenology.FloatTest, "Float test: full ones sink, empty and wormy ones float.")
	case phenology.Drupe, phenology.Berry, phenology.Pome:
		add(phenology.CutTest, "Cut a few stones: the embryo white and full.")
	case phenology.Cone, phenology.SeedCatkin, phenology.BerryLikeCone:
		add(phenology.CutTest, "Cut a few: seed coats dark, the embryo white and as long as its space; no scale has opened yet.")
	case phenology.Samara, phenology.Nutlet:
		add(phenology.CutTest, "Cut ten lengthwise: the embryo white, firm and as long as the seed.")
	}
	return append(list, "Note color, share of full seed and, if you can weigh a sample wet and dry, its moisture.")
}

func (w *Work) inSpan(e *calendar.Entry) bool { return e.Window.Overlaps(w.Plan.Span) }
