package page

import (
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/tapping"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
)

// pageSite is a site in full.
type pageSite struct {
	ID, Name  string
	Kind      string // its activities, in words
	Sap       []pageSap
	Year      []markup.HTML // in parts
	Hatched   bool          // some days of it are closed
	Dates     [][]string
	Undated   []string
	Left      int // species whose year is not drawn
	Spring    *pageSpring
	Open      []pageEntry
	Moved     []pageMoved
	Months    []pageMonth
	Weather   *pageWeather
	NoWeather string
	Feeds     *pageFeeds
	Sources   []string
	MoreWork  int // pieces of work that are not listed
	Cautions  []string
}

type pageMonth struct {
	Name    string
	Folded  string // how much there is, where it is not shown at once
	Entries []pageEntry
}

type pageEntry struct {
	ID, Activity, Kind, What string
	First, Last              civil.Date
	When, Best               string
	Sure, Of                 string
	Chance                   pageChance
	Basis                    string
	Where, Hours             string // a stand's name; from when to when on the best day; "" for neither
	Verdict                  string
	Doubts                   []string
	Reasons, LookFor, Kit    []string
	Sources                  []int // numbers in the site's list, from 1
}

// pageChance is how much of ten leaves is full, 0 to 100; below 0 none are drawn, since it is no chance any more.
type pageChance int

// Wide is how wide the full part of the leaves is drawn, of 120.
func (c pageChance) Wide() float64 { return float64(12*c) / 10 }

// chanceOf is the chance of an entry that is said to have one.
func chanceOf(e *calendar.Entry, said *words.Text) pageChance {
	if e.State.Over() || said.Fact != "" {
		return -1
	}
	return pageChance(phrase.WholePercent(e.Probability))
}

// mostEntries is how many pieces of work to come a page lists for a site; a nursery of fifty species has five hundred a
// year, and nobody reads on.
const mostEntries = 100

// monthsOpen is how many months of work are shown at once.
const monthsOpen = 3

func siteView(pl *calendar.Place, p *Page, entries []*calendar.Entry, feeds []FeedLink) pageSite {
	s := p.Schedule
	site := pl.Site()
	v := pageSite{ID: site.ID, Name: site.Name, Feeds: feedsView(site, feeds, s.Speech)}
	var kinds []string
	for _, a := range pl.Activities {
		kinds = append(kinds, words.ActivityName(a, s.Speech))
	}
	v.Kind = phrase.Join(kinds)
	v.Sap = sapViews(tapping.AccountsOf(s, site.ID))
	v.Moved = whatMoved(entries, s.AsOf, s.Speech)
	v.list(s, entries, len(kinds) == 1)
	drawn := pl
	if !pl.Chosen {
		drawn = soonest(pl, entries, mostSpecies)
	}
	v.Left = len(pl.Species) - len(drawn.Species)
	year := glance.NewYear(drawn, entries, s.AsOf, func(see calendar.Sight) int { return nameDays(see, s.Speech) })
	v.Year, v.Hatched = drawYear(site, year, s.Speech), len(year.Shut) > 0
	v.Dates, v.Undated = datesOf(year, s.Speech)
	v.Spring = springView(SpringOf(pl, entries, s.AsOf), s.Speech)
	if v.Spring != nil {
		v.Spring.Alone = p.Pictures[site.ID]
	}
	v.Weather, v.NoWeather = weatherView(pl, s.AsOf, s.Speech)
	return v
}

// SpringOf is a place's spring against past years, by the species that have the soonest work; nil if it has none.
func SpringOf(pl *calendar.Place, entries []*calendar.Entry, asOf civil.Date) *glance.Spring {
	return glance.NewSpring(soonest(pl, entries, springSpecies), asOf)
}

// list fills in the work, open and ahead, with what belongs to it.
func (v *pageSite) list(s *calendar.Schedule, entries []*calendar.Entry, oneKind bool) {
	var open []*calendar.Entry
	shown := 0
	for _, e := range entries {
		v.Cautions = addNew(v.Cautions, words.Minded(words.Cautions(e)))
		if s.IsOpen(e) {
			open = append(open, e)
			continue
		}
		if shown++; shown > mostEntries {
			v.MoreWork++
			continue
		}
		month := words.MonthOf(e.Window.First, s.Speech)
		if n := len(v.Months); n == 0 || v.Months[n-1].Name != month {
			v.Months = append(v.Months, pageMonth{Name: month})
		}
		m := &v.Months[len(v.Months)-1]
		m.Entries = append(m.Entries, v.entry(e, oneKind))
	}
	slices.SortStableFunc(open, func(a, b *calendar.Entry) int { return int(a.Window.Last - b.Window.Last) })
	for _, e := range open {
		v.Open = append(v.Open, v.entry(e, oneKind))
	}
	for i := monthsOpen; i < len(v.Months); i++ {
		n, said := len(v.Months[i].Entries), words.PageFrameIn(s.Speech)
		if v.Months[i].Folded = fmt.Sprintf(said.Entries, n); n == 1 {
			v.Months[i].Folded = said.OneEntry
		}
	}
}

// entry shows one piece of work.
func (v *pageSite) entry(e *calendar.Entry, oneKind bool) pageEntry {
	said := words.Say(e)
	view := pageEntry{
		ID: "work-" + e.UID, Activity: string(e.Activity), Kind: words.ActivityName(e.Activity, e.Speech),
		What: said.Summary, First: e.Window.First, Last: e.Window.Last, When: words.Days(e.Window, e.Speech),
		Best: words.Weekday(e.Best, e.Speech),
		Sure: said.Sure(), Of: said.ChanceOf, Chance: chanceOf(e, &said), Basis: said.Basis,
		Verdict: said.Verdict, Doubts: said.Doubts, Reasons: said.Reasons, LookFor: said.LookFor, Kit: said.Kit,
	}
	if e.Task.IsSpell() {
		view.Best = ""
	}
	if e.Stand != nil && !strings.Contains(said.Summary, e.Stand.Name) {
		view.Where = e.Stand.Name
	}
	if e.Hours != (calendar.Hours{}) {
		view.Hours = words.Hours(e.Hours)
	}
	for _, source := range said.Sources {
		i := slices.Index(v.Sources, source)
		if i < 0 {
			v.Sources = append(v.Sources, source)
			i = len(v.Sources) - 1
		}
		view.Sources = append(view.Sources, i+1)
	}
	if oneKind {
		view.Kind = "" // it stands under the site's name
	}
	return view
}

// How many species a site's year draws where its owner did not choose them, and how many a spring looks at.
const (
	mostSpecies   = 12
	springSpecies = 4
)

// soonest returns the place with no more than so many species: those with the soonest work, in the order of the place.
func soonest(pl *calendar.Place, entries []*calendar.Entry, most int) *calendar.Place {
	if len(pl.Species) <= most {
		return pl
	}
	kept := map[*phenology.Species]bool{}
	keep := func(list []*phenology.Species) {
		for _, sp := range list {
			if len(kept) < most && slices.Contains(pl.Species, sp) {
				kept[sp] = true
			}
		}
	}
	for _, e := range entries {
		if len(e.Species) <= most { // a visit to everything tells nothing of one
			keep(e.Species)
		}
	}
	keep(pl.Species) // if there is not enough work
	fewer := *pl
	fewer.Species = slices.DeleteFunc(slices.Clone(pl.Species), func(sp *phenology.Species) bool { return !kept[sp] })
	return &fewer
}
