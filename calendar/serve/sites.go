package serve

import (
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/build"
	"treewhen/calendar/feed"
	"treewhen/calendar/inputs"
	"treewhen/calendar/page"
)

// mostOwnPages is for how many sites each has a page of its own where the page does not show them in full: they take
// some 50 kB of memory each.
const mostOwnPages = 200

// wall is the sheets for the wall of all sites, as a document. With a key it has that of the page, so that whoever has
// the page's address has its own: /wall/ in place of /page/.
func (s *Server) wall(in *inputs.Inputs, walls []page.Wall) feed.Document {
	var b strings.Builder
	page.WriteWall(&b, in.Plan.Title, in.Plan.Speech, walls)
	d := s.page(in, b.String())
	d.Path, d.Policy = "/wall/", page.WallPolicy()+"; frame-ancestors 'none'"
	return d
}

// siteDocuments makes what a site has of its own: the picture of its spring and, where the page does not show it in
// full, a page. It notes on the page where they are. What cannot be made is left out.
func (s *Server) siteDocuments(in *inputs.Inputs, shown *page.Page, made *build.SiteFeeds) []feed.Document {
	if len(in.Places) > mostOwnPages {
		return nil
	}
	var docs []feed.Document
	from, id := s.page(in, ""), made.Place.Site().ID
	var b strings.Builder
	picture := feed.Document{}
	spring := page.SpringOf(made.Place, made.Work.Entries, in.AsOf)
	if spring != nil && in.Plan.FeedKey != "" {
		spring.Site.Name = "" // who is shown the picture is not told the place
	}
	if spring != nil && page.WriteSpring(&b, spring, in.Plan.Speech) == nil {
		picture = document(in, "/spring/"+id+".svg", pictureType, b.String())
		picture.Policy = page.PicturePolicy()
		shown.Pictures[id] = seen(from, picture)
		docs = append(docs, picture)
	}
	if len(in.Places) <= page.MaxPageSites {
		return docs
	}
	one := *shown.Plan
	one.Title, one.Places = made.Place.Site().Name, []*calendar.Place{made.Place}
	schedule := calendar.NewSchedule(&one)
	schedule.Add(made.Work)
	d := document(in, "/site/"+id+"/", pageType, "")
	d.Policy = pagePolicy()
	p := page.Page{Plan: &one, Schedule: current(schedule), All: seen(d, from), Pictures: map[string]string{}}
	if picture.Path != "" {
		p.Pictures[id] = seen(d, picture)
	}
	for i := range made.Files {
		f := &made.Files[i]
		p.Feeds = append(p.Feeds, s.link(d, s.feedDocument(in, f), f))
	}
	b.Reset()
	if page.WritePage(&b, p) != nil {
		return docs
	}
	d.Body = []byte(b.String())
	shown.Pages[id] = seen(from, d)
	return append(docs, d)
}
