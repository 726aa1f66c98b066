package page

import (
	"html/template"

	"treewhen/calendar/phrase"
	"treewhen/phenology"
)

// pageFeeds are the feeds of a site.
type pageFeeds struct {
	List []pageFeed
	Code template.HTML // of the address of the first, for a telephone's camera; "" where the server does not know it
}

type pageFeed struct {
	Name            string
	Address, Webcal template.URL
}

// feedsView makes links; nil where there are none. Their addresses are the server's own making, and no script can hide
// in them: what is no address of the web is left out.
func feedsView(site *phenology.Site, feeds []FeedLink) *pageFeeds {
	if len(feeds) == 0 {
		return nil
	}
	v := &pageFeeds{}
	for _, f := range feeds {
		name := "Everything at " + site.Name
		if f.Activity != "" {
			name = phrase.Capital(f.Activity.Title()) + " at " + site.Name
		}
		link := pageFeed{Name: name, Address: template.URL(f.Address)}
		if phrase.IsWebAddress(f.Webcal) {
			link.Webcal = template.URL(f.Webcal)
			if v.Code == "" {
				v.Code = drawCode(site, f.Webcal)
			}
		}
		v.List = append(v.List, link)
	}
	return v
}
