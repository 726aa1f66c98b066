package page

import (
	"fmt"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// pageSap is a season of sap as command sap tells it.
type pageSap struct {
	Heading  string
	Verdicts []string // what to do, and what it rests on
	Shares   []pageShare
	Catches  string // what the shares are of
	Buds     string
	Far      markup.HTML // the buds, drawn; "" for none
	Runs     [][]string  // past or to come, a row each
	Facts    []string    // the season so far or told, its book, its end
}

// pageShare is what holes catch that are begun on a day.
type pageShare struct {
	Day, Share, Hours, OfBest, Which string
	Wide                             int // of 100
}

// sapViews shows the seasons of sap of a place.
func sapViews(list []*tapping.Account) (views []pageSap) {
	for _, a := range list {
		if v := sapView(a); v.Verdicts != nil || v.Facts != nil || v.Runs != nil {
			views = append(views, v)
		}
	}
	return views
}

func sapView(a *tapping.Account) pageSap {
	v := pageSap{Heading: words.SapHeading(a)}
	if !a.Past {
		v.Verdicts = append(v.Verdicts, words.TapVerdict(a.Tap, a.Speech))
	}
	for i := range a.Warnings {
		v.Verdicts = append(v.Verdicts, words.WarningLine(&a.Warnings[i], a.Speech))
	}
	for _, s := range a.Shares {
		row := pageShare{
			Day: words.Weekday(s.Begin, a.Speech), Share: words.Percent(float64(s.Caught), a.Speech),
			Hours: fmt.Sprintf("%.0f", s.Hours), OfBest: words.Percent(float64(s.OfBest), a.Speech),
			Which: words.SapFrameIn(a.Speech).Best, Wide: phrase.WholePercent(float64(s.Caught)),
		}
		if s.Weeks != 0 {
			row.Which = words.ShareOf(s, a.Tap.Price, a.Speech)
		}
		v.Shares = append(v.Shares, row)
	}
	if a.Shares != nil {
		v.Catches = words.Catches(civil.Span{First: a.Tap.First, Last: a.Tap.Last}, a.Speech)
		v.Verdicts = append(v.Verdicts, words.TapPrice(a.Tap, false, a.Speech),
			words.LabelsIn(a.Speech).Basis+words.TapBasis(a.Tap.Evidence, a.Speech)+".")
	}
	for i := range a.Runs {
		r := &a.Runs[i]
		brings := ""
		if r.Volume != nil {
			brings = words.Volume(r.Volume, a.Speech)
		}
		v.Runs = append(v.Runs, []string{words.Days(r.Span, a.Speech), fmt.Sprintf("%.0f", r.Hours),
			words.SizeName(r.Size, a.Speech), words.RunHow(r, a.Speech), brings})
	}
	if b := a.Gather.Buds; b != nil {
		v.Buds, v.Far = words.BudsFar(b, a.Speech), drawBuds(b, a.Speech)
	}
	if told := a.Gather.Told; told != nil {
		v.Facts = append(v.Facts, words.SeasonTold(a.Season, told, a.Speech))
	}
	if a.Book != nil {
		v.Facts = append(v.Facts, words.Book(a.Book, a.Speech)...)
	}
	if n := a.Tap.RunDays; n != nil && !a.Past {
		v.Facts = append(v.Facts, words.RunDaysLeft(n, a.Gather.Spoils, a.Speech))
	}
	if !a.Past {
		v.Facts = append(v.Facts, words.SapEnd(a.Species, a.Gather, a.Speech))
	}
	return v
}

// The measures of the drawing of buds, in CSS pixels.
const budsHigh, budsBase = 34, 14

// drawBuds draws how far the buds are on a line to the warmth that swells them: what past years had on the same day as
// a band with its middle, this year as a pin.
func drawBuds(b *tapping.Buds, as phrase.Speech) markup.HTML {
	x := func(share tapping.Share) string { return percentOf(2 + 96*float64(min(max(share, 0), 1))) }
	var d markup.Writer
	d.Put(`<svg class="buds leaf" width="100%%" height="%d" role="img" aria-label="%s">`, budsHigh,
		words.BudsFar(b, as))
	d.Put(`<line class="base" x1="2%%" x2="98%%" y1="%d" y2="%d"/>`, budsBase, budsBase)
	d.Put(`<line class="band" x1="%s" x2="%s" y1="%d" y2="%d"/>`, x(b.P10), x(b.P90), budsBase, budsBase)
	d.Put(`<line class="stem" x1="%s" x2="%s" y1="%d" y2="%d"/>`, x(b.P50), x(b.P50), budsBase-6, budsBase+6)
	d.Put(`<circle class="pin known" cx="%s" cy="%d" r="5"/>`, x(b.Share), budsBase)
	d.Put(`<text class="scale" x="2%%" y="%d">%s</text><text class="scale right" x="98%%" y="%d">%s</text></svg>`,
		budsHigh-3, words.Percent(0, as), budsHigh-3, words.BudsScale(as))
	return d.HTML()
}

// sap adds to what is next at a site how its seasons of sap stand: what the card's own piece of work does not say.
func (n *pageNext) sap(list []*tapping.Account, next *calendar.Entry, entries []*calendar.Entry, s *calendar.Schedule) {
	own := func(a *tapping.Account) bool {
		return next != nil && next.Task == calendar.TaskTap && next.Species[0] == a.Species && !a.Past
	}
	for _, a := range list {
		if price := words.WeekPrice(a.Tap, a.Speech); own(a) && price != "" {
			n.Sap = append(n.Sap, price)
		}
	}
	if run := glance.NextRun(entries, s.AsOf); run != nil {
		n.Sap = append(n.Sap, words.RunAhead(run))
	}
	for _, a := range list {
		for i := range a.Warnings {
			n.Sap = addNew(n.Sap, []string{words.WarningLine(&a.Warnings[i], a.Speech)})
		}
		if !own(a) && !a.Past && a.Tap.Advice != tapping.Over && a.Tap.Advice != tapping.PlanAhead {
			n.Sap = append(n.Sap, words.TapVerdictOf(a))
		}
		if b := a.Gather.Buds; b != nil {
			n.More = append(n.More, budsOf(list, a, b))
		}
	}
	n.More = append(n.More, soFar(list)...)
}

// soFar tells the season so far and what the book has of it, once: the species of a place run together.
func soFar(list []*tapping.Account) (says []string) {
	var told *tapping.Account
	for _, a := range list {
		if t := a.Gather.Told; t != nil && (told == nil || told.Gather.Told.Volume == nil && t.Volume != nil) {
			told = a
		}
	}
	if told == nil {
		return nil
	}
	says = []string{words.SeasonTold(told.Season, told.Gather.Told, told.Speech)}
	if told.Book != nil {
		says = append(says, words.BookedSoFar(told.Book, told.Speech))
	}
	return says
}

// budsOf says how far the buds of a species are, by its name where there are several.
func budsOf(list []*tapping.Account, a *tapping.Account, b *tapping.Buds) string {
	if len(list) == 1 {
		return words.BudsBrief(b, a.Speech)
	}
	return phrase.Capital(words.TreeName(a.Species, a.Speech)) + words.LabelsIn(a.Speech).Colon() +
		phrase.Uncapital(words.BudsBrief(b, a.Speech))
}

// crewAhead is how many days before its first turn a page tells the order of a crew: a season ahead, by past years
// alone, it is no news. Our own choice.
const crewAhead = 60

// crewView says how one crew serves all bushes, what it is about first; nothing where there is no such question yet.
func crewView(s *calendar.Schedule) []string {
	crew := tapping.CrewOf(tapping.AccountsOf(s, ""))
	if crew == nil || len(crew.Turns) > 0 && crew.Turns[0].Days.First > s.AsOf+crewAhead {
		return nil
	}
	return words.CrewOrder(crew, s.Speech)
}
