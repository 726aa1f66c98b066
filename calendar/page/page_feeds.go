package page

import (
	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// pageFeeds are the feeds of a site.
type pageFeeds struct {
	List []pageFeed
	Code markup.HTML // of the address of the first, for a telephone's camera; "" where the server does not know it
}

type pageFeed struct {
	Name            string
	Address, Webcal string
}

// feedsView makes links; nil where there are none. Their addresses are the server's own making, and no script can hide
// in them: what is no address of the web is left out.
func feedsView(site *phenology.Site, feeds []FeedLink, as phrase.Speech) *pageFeeds {
	if len(feeds) == 0 {
		return nil
	}
	v := &pageFeeds{}
	for _, f := range feeds {
		name := words.FeedName(site.Name, f.Activity, as)
		link := pageFeed{Name: name, Address: f.Address}
		if phrase.IsWebAddress(f.Webcal) {
			link.Webcal = f.Webcal
			if v.Code.Empty() {
				v.Code = drawCode(site, f.Webcal, as)
			}
		}
		v.List = append(v.List, link)
	}
	return v
}
