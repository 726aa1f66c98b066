package page

import (
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"io"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// Page is the schedule as one page of HTML for people: what is open now, the year at a glance, the work ahead, this
// season's temperatures, and where to subscribe. It needs nothing from anywhere else: no file, no script, no font.
type Page struct {
	Plan     *calendar.Plan
	Schedule *calendar.Schedule // of Plan
	Feeds    []FeedLink         // where to subscribe; none for a page that is a file
	Pages    map[string]string  // the address of a site's own page, by its ID; for a page of more than [MaxPageSites]
	Wall     string             // the address of the sheets for the wall; "" for none
	All      string             // of a page of one site: the address of that of all sites; "" for none
	Pictures map[string]string  // the address of a site's picture of this spring, by its ID
}

// FeedLink is where a feed can be subscribed to.
type FeedLink struct {
	Site     string            // the site's ID
	Activity calendar.Activity // "" for all of them
	Address  string            // relative to the page, so that it holds wherever a proxy shows the page
	Webcal   string            // the same as an absolute webcal address; "" where the server does not know its own
}

// MaxPageSites is how many sites a page shows in full, each of some 30 kB. Of more, a page shows what is next at each:
// see [Overview].
const MaxPageSites = 12

// mostNotes is how many notes stand on a page unfolded; what is of the whole plan comes first.
const mostNotes = 3

// The style of a page: its colours, that of pictures, and the rest.
var (
	//go:embed palette.css
	paletteCSS string
	//go:embed picture.css
	pictureCSS string
	//go:embed page.css
	restCSS string

	pageCSS = paletteCSS + pictureCSS + restCSS
)

// The script of a page, and the shapes that its drawings use.
var (
	//go:embed page.js
	pageJS string
	//go:embed shapes.svg
	shapes string
)

// PagePolicy returns the Content-Security-Policy of pages: the style and script that are in them, by their hashes
// (CSP level 3), and nothing from anywhere.
func PagePolicy() string {
	return "default-src 'none'; style-src " + cspHash(pageCSS) + "; script-src " + cspHash(pageJS) +
		"; img-src data:; base-uri 'none'; form-action 'none'"
}

// PicturePolicy returns the Content-Security-Policy of a picture that stands alone: the style that is in it.
func PicturePolicy() string { return "default-src 'none'; style-src " + cspHash(pictureStyle()) }

func cspHash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}

// WritePage writes a page. The same page gives the same bytes.
func WritePage(w io.Writer, p Page) error {
	v := pageView{
		as:    p.Plan.Speech,
		Title: phrase.OneLine(p.Schedule.Title),
		AsOf:  p.Schedule.AsOf, Span: p.Schedule.Span,
		Credit: p.Plan.Credit, Script: len(p.Feeds) > 0, All: p.All, Wall: p.Wall,
	}
	doubts, notes := parted(p.Schedule.Notes)
	v.Doubts, v.Notes = words.Notes(doubts, p.Plan.Speech), words.Notes(notes, p.Plan.Speech)
	if len(p.Feeds) > 0 {
		v.Programs = words.ProgramsIn(p.Plan.Speech)
	}
	if len(v.Notes) > mostNotes {
		v.Notes, v.MoreNotes = v.Notes[:mostNotes], v.Notes[mostNotes:]
	}
	bySite := map[string][]*calendar.Entry{}
	for _, e := range p.Schedule.Entries {
		if e.Rests.BuiltIn > 0 {
			v.Climate = words.ClimateCredit(p.Plan.Speech)
		}
		bySite[e.Site.ID] = append(bySite[e.Site.ID], e)
	}
	links := map[string][]FeedLink{}
	for _, f := range p.Feeds {
		links[f.Site] = append(links[f.Site], f)
	}
	v.Crew = crewView(p.Schedule)
	full := len(p.Plan.Places) <= MaxPageSites
	for _, pl := range p.Plan.Places {
		site := pl.Site()
		v.Next = append(v.Next, nextView(site, p.Schedule, bySite[site.ID], len(pl.Memory) > 0))
		if full {
			v.Sites = append(v.Sites, siteView(pl, &p, bySite[site.ID], links[site.ID]))
		}
	}
	if !full {
		v.overview(p, links)
	}
	html := pageWriter{t: words.PageFrameIn(v.as), colon: words.LabelsIn(v.as).Colon()}
	html.page(&v)
	return write(w, html.HTML())
}

// parted parts doubts about temperatures from other notes.
func parted(list []calendar.Note) (doubts, notes []calendar.Note) {
	for _, n := range list {
		if _, is := n.Says.(calendar.Doubt); is {
			doubts = append(doubts, n)
		} else {
			notes = append(notes, n)
		}
	}
	return doubts, notes
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

// pageView is what a page shows.
type pageView struct {
	as        phrase.Speech
	Title     string
	Climate   string // whose work the built-in climate is; "" where nothing rests on it
	AsOf      civil.Date
	Span      civil.Span
	Doubts    []string // what is wrong with the temperatures, said before all else
	Notes     []string
	MoreNotes []string
	All, Wall string
	Credit    []string
	Script    bool
	Programs  []words.Program // how to subscribe in them, where there is something to subscribe to
	Crew      []string        // how one crew taps all bushes, the first line what it is about
	Next      []pageNext      // of each site, in the plan's order; of many, the soonest first
	Sites     []pageSite      // none where there are too many
	Map       markup.HTML
	Many      []pageRow
	ManyMoved int       // of how many it is known that work moved since last week
	ByName    []pageRow // the same; none where they are too many
}
