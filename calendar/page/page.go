package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"slices"
	"sync"

	"treewhen/calendar"
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

//go:embed page.html
var pageHTML string

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

//go:embed page.js
var pageJS string

// The template of pages, by the language that its words are in.
var (
	englishTemplate = sync.OnceValue(func() *template.Template { return templateIn(phrase.Speech{}) })
	frenchTemplate  = sync.OnceValue(func() *template.Template { return templateIn(phrase.Speech{Language: phrase.French}) })
)

func templateIn(as phrase.Speech) *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
		"t":     func() *words.PageFrame { return words.PageFrameIn(as) },
		"colon": func() string { return words.LabelsIn(as).Colon() },
	}).Parse(pageHTML))
}

func pageTemplate(as phrase.Speech) *template.Template {
	if as.Language == phrase.French {
		return frenchTemplate()
	}
	return englishTemplate()
}

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

// pageIcon is a leaf, for the tab of a browser.
const pageIcon = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 16 16'%3E" +
	"%3Cpath d='M2 14C2 6 7 2 14 2c0 7-4 12-12 12z' fill='%23567a2e'/%3E%3Cpath d='M2 14 10 6' stroke='%23f6f1e4'/%3E%3C/svg%3E"

// WritePage writes a page. The same page gives the same bytes.
func WritePage(w io.Writer, p Page) error {
	v := pageView{
		as:    p.Plan.Speech,
		Title: phrase.OneLine(p.Schedule.Title), Policy: PagePolicy(), Icon: template.URL(pageIcon),
		CSS: template.CSS(pageCSS), JS: template.JS(pageJS),
		AsOf: p.Schedule.AsOf, Span: p.Schedule.Span,
		Credit: p.Plan.Credit, Script: len(p.Feeds) > 0, All: template.URL(p.All),
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
	var b bytes.Buffer
	if err := pageTemplate(v.as).Execute(&b, v); err != nil {
		return err
	}
	_, err := w.Write(bytes.ReplaceAll(b.Bytes(), []byte(" %"), []byte("\u00a0%"))) // no line ends between the two
	return err
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

// pageView is what the template shows.
type pageView struct {
	as        phrase.Speech
	Title     string
	Climate   string // whose work the built-in climate is; "" where nothing rests on it
	Policy    string
	Icon      template.URL
	CSS       template.CSS
	JS        template.JS
	AsOf      civil.Date
	Span      civil.Span
	Doubts    []string // what is wrong with the temperatures, said before all else
	Notes     []string
	MoreNotes []string
	All       template.URL
	Credit    []string
	Script    bool
	Programs  []words.Program // how to subscribe in them, where there is something to subscribe to
	Crew      []string        // how one crew taps all bushes, the first line what it is about
	Next      []pageNext      // of each site, in the plan's order; of many, the soonest first
	Sites     []pageSite      // none where there are too many
	Map       template.HTML
	Many      []pageRow
	ManyMoved int       // of how many it is known that work moved since last week
	ByName    []pageRow // the same; none where they are too many
}

// Day says which day the page takes as today.
func (v pageView) Day() string { return words.PageDay(v.AsOf, !v.Script, v.as) }

// Until writes the last day of the schedule.
func (v pageView) Until() string { return words.FullDay(v.Span.Last, v.as) }
