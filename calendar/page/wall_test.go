package page_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"treewhen/calendar"
	"treewhen/calendar/ical/icaltest"
	"treewhen/calendar/page"
	"treewhen/calendar/words"
)

// What takes the whole year has room for its name at neither side, and is drawn all the same.
func TestWallOfAYear(t *testing.T) {
	p := testPage()
	wall := page.NewWall(p.Plan.Places[0], []*calendar.Entry{icaltest.TapEntry("2027-01-01", "2028-12-31")}, p.Plan.AsOf, p.Plan.Speech)
	if !strings.Contains(wall.Drawing.String(), "</tspan> …</text>") {
		t.Errorf("found %s", wall.Drawing)
	}
}

// A wall has a sheet a site, each piece of work with its day, letters that can be read from three metres, and nothing
// that leaves the paper. What has no room is counted.
func TestWall(t *testing.T) {
	p := testPage()
	place, entries := p.Plan.Places[0], p.Schedule.Entries[:0:0]
	for i := range 20 {
		e := icaltest.TapEntry(fmt.Sprintf("2027-%02d-05", 3+i/2), fmt.Sprintf("2027-%02d-20", 3+i/2))
		icaltest.Said(e, func(t *words.Text) {
			t.Summary = strings.Repeat("A very long piece of work ", 1+i%4) + "<" + strconv.Itoa(i) + ">"
		})
		entries = append(entries, e)
	}
	var b bytes.Buffer
	err := page.WriteWall(&b, "x", p.Plan.Speech, []page.Wall{
		page.NewWall(place, entries, p.Plan.AsOf, p.Plan.Speech), page.NewWall(place, entries[:3], p.Plan.AsOf, p.Plan.Speech),
		page.NewWall(place, nil, p.Plan.AsOf, p.Plan.Speech),
	})
	if err != nil {
		t.Fatal(err)
	}
	sheets := regexp.MustCompile(`(?s)<section class="sheet">.*?</section>`).FindAllString(b.String(), -1)
	if len(sheets) != 3 {
		t.Fatalf("found %d sheets, want 3", len(sheets))
	}
	for i, want := range []int{14, 3, 0} {
		if n := strings.Count(sheets[i], `class="on"`); n != want {
			t.Errorf("sheet %d: found %d pieces of work, want %d", i, n, want)
		}
		checkSheet(t, sheets[i])
	}
	if !strings.Contains(sheets[0], "6 more in the calendar") || strings.Contains(sheets[1], "more in the calendar") ||
		!strings.Contains(sheets[2], words.WallEmpty(p.Plan.Speech)) {
		t.Error("what is left out is not counted, or an empty year not said")
	}
}

// checkSheet holds the letters of a sheet to a size, 4 mm, and its texts to the paper, by the widths of the Times family:
// a letter of running text is some 0.42 of its size wide, bold ones half of it.
func checkSheet(t *testing.T, sheet string) {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(sheet))
	for {
		if _, err := dec.Token(); err == io.EOF {
			break
		} else if err != nil {
			t.Fatalf("%v in %.200s", err, sheet)
		}
	}
	for _, g := range regexp.MustCompile(`(?s)font-size="([0-9.]+)">.*?<text x="([0-9.]+)" y="[0-9.]+" text-anchor="(start|end)">(.*?)</text>`).
		FindAllStringSubmatch(sheet, -1) {
		size, _ := strconv.ParseFloat(g[1], 64)
		x, _ := strconv.ParseFloat(g[2], 64)
		text := regexp.MustCompile(`<[^>]*>|&[a-z]+;`).ReplaceAllString(g[4], "")
		wide := 0.44 * size * float64(len([]rune(text)))
		if size < 4 || g[3] == "start" && x+wide > 277 || g[3] == "end" && x-wide < 0 {
			t.Errorf("%q of %.1f mm at %.0f", text, size, x)
		}
	}
}
