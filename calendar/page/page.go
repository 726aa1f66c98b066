package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
	"treewhen/phenology/civil"
	"treewhen/phenology/climate"
)

// Page is the schedule as one page of HTML for people: what is open now, the year at a glance, the work ahead, this
// season's temperatures, and where to subscribe. It needs nothing from anywhere else: no file, no script, no font.
type Page struct {
	Plan     *calendar.Plan
	Schedule *calendar.Schedule // of Plan
	Feeds    []FeedLink         // where to subscribe; none for a page that is a file
	Trouble  string             // what people must know of the page itself: that its inputs could not be read lately. May be ""
}

// FeedLink is where a feed can be subscribed to.
type FeedLink struct {
	Site     string            // the site's ID
	Activity calendar.Activity // "" for all of them
	Address  string            // relative to the page, so that it holds wherever a proxy shows the page
	Webcal   string            // the same as an absolute webcal address; "" where the server does not know its own
}

// MaxPageSites is how many sites a page shows in full. A browser on a phone takes a second over that many; the others are
// named with their feeds: of their places, nothing but the outlook's site is looked at, and of their entries nothing.
const MaxPageSites = 40

// mostNotes is how many notes stand at the head of a page, before what is open; what is of the whole plan comes first.
const mostNotes = 3

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Parse(pageHTML))
})

// PagePolicy returns the Content-Security-Policy of pages: the style and script that are in them, by their hashes
// (CSP level 3), and nothing from anywhere.
func PagePolicy() string {
	return "default-src 'none'; style-src " + cspHash(pageCSS) + "; script-src " + cspHash(pageJS) +
		"; img-src data:; base-uri 'none'; form-action 'none'"
}

func cspHash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// pageIcon is a leaf, for the tab of a browser.
const pageIcon = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'%3E" +
	"%3Cpath d='M2 14C2 6 7 2 14 2c0 7-4 12-12 12z' fill='%23567a2e'/%3E%3Cpath d='M2 14 10 6' stroke='%23f6f1e4'/%3E%3C/svg%3E"

// WritePage writes a page. The same page gives the same bytes.
func WritePage(w io.Writer, p Page) error {
	v := pageView{
		Title: phrase.OneLine(p.Schedule.Title), Policy: PagePolicy(), Icon: template.URL(pageIcon),
		CSS: template.CSS(pageCSS), JS: template.JS(pageJS),
		AsOf: p.Schedule.AsOf, Span: p.Schedule.Span, Notes: words.Notes(p.Schedule.Notes), Trouble: p.Trouble,
		Credit: p.Plan.Credit,
		Script: len(p.Feeds) > 0,
	}
	if len(p.Feeds) > 0 {
		v.Programs = words.Programs
	}
	if len(v.Notes) > mostNotes {
		v.Notes, v.MoreNotes = v.Notes[:mostNotes], v.Notes[mostNotes:]
	}
	bySite := map[string][]*calendar.Entry{}
	for _, e := range p.Schedule.Entries {
		if e.Rests.BuiltIn > 0 {
			v.Climate = climate.Attribution
		}
		bySite[e.Site.ID] = append(bySite[e.Site.ID], e)
	}
	links := map[string][]FeedLink{}
	for _, f := range p.Feeds {
		links[f.Site] = append(links[f.Site], f)
	}
	for i, pl := range p.Plan.Places {
		site := pl.Site()
		if i >= MaxPageSites {
			v.More = append(v.More, pageMore{Name: site.Name, Feeds: linkViews(site, links[site.ID])})
			continue
		}
		v.Sites = append(v.Sites, siteView(pl, p.Schedule, bySite[site.ID], linkViews(site, links[site.ID])))
	}
	v.sum()
	return pageTemplate().Execute(w, v)
}

// What a printed sheet shows of each site, so that three sites fill it; before that is done a new sheet is due.
const (
	paperEntries = 6 // pieces of work to come, beside those open now
	paperSpecies = 4 // species whose year is drawn: those with the soonest work
)

// Ahead returns how many pieces of work to come a sheet shows for each site.
func (v pageView) Ahead() int { return paperEntries }

// sum collects what stands once for all sites.
func (v *pageView) sum() {
	for _, s := range v.Sites {
		v.Cautions = addNew(v.Cautions, s.PaperCautions)
		for _, k := range s.Key {
			if !slices.Contains(v.Key, k) {
				v.Key = append(v.Key, k)
			}
		}
	}
	slices.SortFunc(v.Key, func(a, b pageKey) int { return strings.Compare(a.Letter, b.Letter) })
}

// addNew adds what a list does not have yet.
func addNew(list, more []string) []string {
	for _, m := range more {
		if !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	return list
}

// pageView is what the template shows.
type pageView struct {
	Title     string
	Climate   string // whose work the built-in climate is; "" where nothing rests on it
	Policy    string
	Icon      template.URL
	CSS       template.CSS
	JS        template.JS
	AsOf      civil.Date
	Span      civil.Span
	Notes     []string
	MoreNotes []string
	Trouble   string
	Credit    []string
	Script    bool
	Programs  []words.Program // how to subscribe in them, where there is something to subscribe to
	Sites     []pageSite
	// For paper, on which these stand once for all sites.
	Key      []pageKey
	Cautions []string
	More     []pageMore
}

// Day writes the as-of day in full.
func (v pageView) Day() string { return v.AsOf.Format("Monday 2 January 2006") }

// Until writes the last day of the schedule.
func (v pageView) Until() string { return v.Span.Last.Format("2 January 2006") }

type pageMore struct {
	Name  string
	Feeds []pageFeed
}

type pageSite struct {
	ID, Name      string
	Kind          string // its activities, in words
	Open          []pageEntry
	Next          string // what comes next, where nothing is open
	Moved         []pageMoved
	Months        []pageMonth
	Year          template.HTML
	Paper         template.HTML // the year of fewer species, for a sheet; "" where that is all of them
	PaperOf       string        // of how many
	PaperCautions []string      // of the work on a sheet
	Key           []pageKey
	Rows          []pageRow
	Undated       []string
	Left          int // species whose year is not drawn
	Weather       *pageWeather
	NoWeather     string
	Feeds         []pageFeed
	Sources       []string
	MoreWork      int // pieces of work that are not listed
	Cautions      []string
}

type pageMonth struct {
	Name    string
	Entries []pageEntry
}

type pageEntry struct {
	ID, Activity, Kind, What string
	First, Last, BestDay     civil.Date
	When, Best               string
	Sure, Of                 string
	Meter                    int  // 0 to 48, the width of the bar
	Later                    bool // too far ahead for a printed sheet
	Basis                    string
	Where, Hours             string // a stand's name; from when to when on the best day; "" for neither
	Verdict                  string
	Doubts                   []string
	Reasons, LookFor, Kit    []string
	Sources                  []int // numbers in the site's list, from 1
}

type pageKey struct{ Letter, Words, Group string }

type pageRow struct {
	Species, Phase, Letter, P10, P50, P90, Basis string
}

type pageFeed struct {
	Name            string
	Address, Webcal template.URL
}

// linkViews makes links. Their addresses are the server's own making, and no script can hide in them: what is no
// address of the web is left out.
func linkViews(site *phenology.Site, feeds []FeedLink) []pageFeed {
	var list []pageFeed
	for _, f := range feeds {
		name := "Everything at " + site.Name
		if f.Activity != "" {
			name = sentenceCase(f.Activity.Title()) + " at " + site.Name
		}
		v := pageFeed{Name: name, Address: template.URL(f.Address)}
		if phrase.IsWebAddress(f.Webcal) {
			v.Webcal = template.URL(f.Webcal)
		}
		list = append(list, v)
	}
	return list
}

// mostEntries is how many pieces of work to come a page lists for a site; a nursery of fifty species has five hundred a
// year, and nobody reads on.
const mostEntries = 100

// The year on a page is never drawn narrower than some 300 pixels, 0.85 a day: a bud of 16 pixels takes 19 days.
const (
	pageMarkDays = 19
	pageMarkGap  = 1
)

func siteView(pl *calendar.Place, s *calendar.Schedule, entries []*calendar.Entry, feeds []pageFeed) pageSite {
	site := pl.Site()
	v := pageSite{ID: site.ID, Name: site.Name, Feeds: feeds}
	var kinds []string
	for _, a := range pl.Activities {
		kinds = append(kinds, a.Title())
	}
	v.Kind = phrase.Join(kinds)
	ahead := 0
	show := func(e *calendar.Entry) pageEntry {
		said := words.Say(e)
		view := entryView(e, said)
		for _, source := range said.Sources {
			i := slices.Index(v.Sources, source)
			if i < 0 {
				v.Sources = append(v.Sources, source)
				i = len(v.Sources) - 1
			}
			view.Sources = append(view.Sources, i+1)
		}
		if !s.IsOpen(e) {
			ahead++
			view.Later = ahead > paperEntries
		}
		if !view.Later {
			v.PaperCautions = addNew(v.PaperCautions, words.Minded(said.Cautions))
		}
		if len(kinds) == 1 {
			view.Kind = "" // it stands under the site's name
		}
		return view
	}
	var open []*calendar.Entry
	shown := 0
	for _, e := range entries {
		if s.IsOpen(e) {
			open = append(open, e)
			continue
		}
		if v.Next == "" {
			v.Next = words.Brief(e).Summary + ", " + phrase.Span(e.Window)
		}
		if shown++; shown > mostEntries {
			v.MoreWork++
			continue
		}
		month := e.Window.First.Format("January 2006")
		if n := len(v.Months); n == 0 || v.Months[n-1].Name != month {
			v.Months = append(v.Months, pageMonth{Name: month})
		}
		m := &v.Months[len(v.Months)-1]
		m.Entries = append(m.Entries, show(e))
	}
	slices.SortStableFunc(open, func(a, b *calendar.Entry) int { return int(a.Window.Last - b.Window.Last) })
	for _, e := range open {
		v.Open = append(v.Open, show(e))
	}
	for _, e := range entries {
		v.Cautions = addNew(v.Cautions, words.Minded(words.Cautions(e)))
	}
	drawn := pl
	if !pl.Chosen {
		drawn = soonest(pl, entries, mostSpecies)
	}
	left := len(pl.Species) - len(drawn.Species)
	v.Left = left
	year := yearView{glance.NewView(drawn, s.AsOf, pageMarkGap, pageMarkDays)}
	v.Year = drawYear(site, year, "")
	if few := soonest(pl, entries, paperSpecies); len(few.Species) < len(drawn.Species) {
		v.Paper = drawYear(site, yearView{glance.NewView(few, s.AsOf, pageMarkGap, pageMarkDays)}, "-paper")
		v.PaperOf = fmt.Sprintf("%d of %d species, those with the soonest work.", len(few.Species), len(pl.Species))
	}
	v.fillTable(year)
	v.Moved = whatMoved(entries, s.AsOf)
	v.Weather, v.NoWeather = weatherView(pl, s.AsOf)
	return v
}

// mostSpecies is how many species' years a page draws for a site whose owner did not choose them.
const mostSpecies = 12

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

// fillTable says in words what the drawing of the year shows.
func (v *pageSite) fillTable(year yearView) {
	used := map[phenology.Phase]bool{}
	for _, row := range year.Rows {
		for _, m := range row.Marks {
			used[m.Phase] = true
			v.Rows = append(v.Rows, pageRow{
				Species: row.Species.Name(), Phase: glance.PhaseWords[m.Phase], Letter: glance.PhaseLetter(m.Phase),
				P10: yearDate(m.Early), P50: yearDate(m.Middle), P90: yearDate(m.Late), Basis: words.Basis(calendar.RestsOn(m.Estimate)),
			})
		}
		for _, e := range row.Undated {
			v.Undated = append(v.Undated, fmt.Sprintf("%s, %s: %s.", row.Species.Name(), glance.PhaseWords[e.Phase], words.Lack(e.Lack)))
		}
	}
	for _, p := range phenology.Phases() {
		if used[p] {
			v.Key = append(v.Key, pageKey{glance.PhaseLetter(p), glance.PhaseWords[p], phaseGroup(p)})
		}
	}
}

func yearDate(d civil.Date) string { return d.Format("2 Jan 2006") }

func entryView(e *calendar.Entry, said words.Text) pageEntry {
	v := pageEntry{
		ID: "work-" + e.UID, Activity: string(e.Activity), Kind: e.Activity.Title(), What: said.Summary,
		First: e.Window.First, Last: e.Window.Last, BestDay: e.Best, When: phrase.Span(e.Window), Best: e.Best.Format("Mon 2 Jan"),
		Sure: said.Sure(), Of: said.ChanceOf,
		Meter: int(48*e.Probability + 0.5), Basis: said.Basis,
		Verdict: said.Verdict, Doubts: said.Doubts, Reasons: said.Reasons, LookFor: said.LookFor, Kit: said.Kit,
	}
	if e.Stand != nil && !strings.Contains(said.Summary, e.Stand.Name) {
		v.Where = e.Stand.Name
	}
	if e.Hours != (calendar.Hours{}) {
		v.Hours = words.Hours(e.Hours)
	}
	return v
}

// sentenceCase begins a text with a capital.
func sentenceCase(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
