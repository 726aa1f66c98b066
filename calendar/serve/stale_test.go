package serve

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"treewhen/calendar/feed"
	"treewhen/calendar/inputs"
	"treewhen/calendar/planfile"
	"treewhen/phenology/civil"
)

// While inputs are bad, the page of all sites, that of one and its picture say so; feeds stay as they are. The picture is
// still XML.
func TestStaleIsSaidEverywhere(t *testing.T) {
	s := &Server{}
	s.shown.Store(&shown{in: &inputs.Inputs{Plan: &planfile.Plan{}, AsOf: civil.Of(2027, time.March, 12)}, zone: time.UTC, feeds: 3})
	const page, picture = "<header><h1>x</h1></header><main></main>", "<svg xmlns='http://www.w3.org/2000/svg'><text>x</text></svg>\n"
	last := []feed.Document{
		{Path: "/", Type: pageType, Body: []byte(page)},
		{Path: "/site/a/", Type: pageType, Body: []byte(page)},
		{Path: "/spring/a.svg", Type: pictureType, Body: []byte(picture)},
		{Path: "/feeds/a.ics", Type: "text/calendar; charset=utf-8", Body: []byte("BEGIN:VCALENDAR")},
		{Path: healthPath},
	}
	now := s.stale(last, errors.New("no"), time.Date(2027, 3, 13, 6, 0, 0, 0, time.UTC))
	if len(now) != len(last) {
		t.Fatalf("found %d documents, want %d", len(now), len(last))
	}
	for i, d := range now {
		body := string(d.Body)
		switch d.Path {
		case healthPath:
			if !strings.Contains(body, `"stale"`) || !strings.Contains(body, `"feeds":3`) {
				t.Errorf("health: %s", body)
			}
		case "/feeds/a.ics":
			if body != string(last[i].Body) {
				t.Errorf("the feed is %s", body)
			}
		default:
			if !strings.Contains(body, "Not up to date.") || !strings.Contains(body, "12 March 2027") {
				t.Errorf("%s does not say so: %s", d.Path, body)
			}
			if strings.Contains(string(last[i].Body), "Not up to date") {
				t.Errorf("%s: what is served once all is well again was changed", d.Path)
			}
		}
		if d.Type == pictureType {
			for dec := xml.NewDecoder(strings.NewReader(body)); ; {
				if _, err := dec.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatalf("%v in %s", err, body)
				}
			}
		}
	}
}
