package text

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"treewhen/calendar/outing"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
)

// A page of text has 66 lines, six to the inch on letter paper.
const (
	sheetLines = 66
	sheetNotes = 3 // lines for notes
	sheetPairs = 3 // pairs that need care

	usualTraits   = 10 // characters of a species, where there is room
	roomForGround = 5  // lines of a species from which on its fallen leaves are told as well

	tick = " [\u00a0]\u00a0" // no line ends within a box or behind it
)

// WriteSheet writes a sheet as text, 80 columns wide: a page, unless a dozen species and their cautions make it more.
func WriteSheet(w io.Writer, s *outing.Sheet) error {
	t := &textWriter{w: bufio.NewWriter(w), as: s.Speech}
	head := fmt.Sprintf("%s: %s", words.SheetTitle(s), s.Site.Name)
	t.line(head + padBetween(head, phrase.LongDate(s.Date)) + phrase.LongDate(s.Date))
	when := words.Hours(s.Hours) + "; " + words.Sun(s.Conditions)
	if ride := words.Ride(s.Ride); ride != "" {
		when += "; " + ride
	}
	if s.Rain != nil {
		when += "; rain date " + phrase.LongDate(*s.Rain)
	}
	t.wrap("", when)
	t.wrap("", phrase.Capital(words.Warmth(s.Conditions, s.Speech))+".")
	kit, sights, common := words.OutingKit(s.Kit, s.Activity), words.Sights(s.Sights), words.SheetCommon(s)
	for _, k := range kit {
		t.indent("bring: "+k, 7)
	}
	mind := words.SheetMind(s)
	shown, others := s.Likeliest(outing.MostShown)
	rest := make([]string, len(others))
	for i, x := range others {
		rest[i] = x.Species.Name()
	}
	lines := len(wrapText(when, textWidth, 0)) + sheetNotes
	lines += 6 // the first line, the temperature, the two headings that are always there
	for _, k := range kit {
		lines += len(wrapText("bring: "+k, textWidth, 7))
	}
	items := func(list []string) int {
		n := 2 * min(len(list), 1) // heading
		for _, x := range list {
			n += len(wrapText("  - "+x, textWidth, 4))
		}
		return n
	}
	lines += items(sights) + items(mind)
	if common != "" {
		lines += len(wrapText("  "+common, textWidth, 4))
	}
	if len(rest) > 0 {
		lines += len(wrapText("  Also here: "+phrase.Join(rest)+".", textWidth, 4))
	}
	// The worst pairs alone, where there is no room for more.
	var care []string
	for most := sheetPairs; most >= 1 && s.Level != outing.Primary; most-- {
		if care = words.SheetCare(s, most); lines+items(care)+2*len(shown) <= sheetLines {
			break
		}
	}
	lines += items(care)
	t.bullets("THE DAY WAS CHOSEN FOR", sights)
	t.line("")
	t.line("LOOK FOR, FROM AFAR TO THE HAND")
	if common != "" {
		t.indent("  "+common, 4)
	}
	left := sheetLines - lines
	for i := range shown {
		per := min(max(left/(len(shown)-i), 2), 6)
		left -= t.sheetSpecies(&shown[i], per, s.MostTraits(usualTraits), s.Level != outing.Primary)
	}
	if len(rest) > 0 {
		t.indent("  Also here: "+phrase.Join(rest)+".", 4)
	}
	t.bullets("APART TODAY?", care)
	t.bullets("MIND", mind)
	t.line("")
	t.line("NOTES (who, which tree, what was seen, what was not)")
	for range sheetNotes {
		t.line("  " + strings.Repeat("_", textWidth-2))
	}
	t.sheetKey(s)
	return t.w.Flush()
}

// sheetKey writes the key of a sheet, which goes on a page of its own.
func (t *textWriter) sheetKey(s *outing.Sheet) {
	k := s.Key()
	if k == nil {
		return
	}
	t.line("")
	t.line("WHICH TREE IS IT? (go on where the right one of two answers sends you)")
	for _, a := range words.Key(k, s.Speech) {
		to := a.To
		if !a.Ends {
			to = "go to " + to
		}
		head := fmt.Sprintf("  %2s  %s", a.Number, a.Text)
		dots := textWidth - len(head) - len(to) - 2
		if dots < 3 {
			t.indent(head+" ... "+to, 6)
			continue
		}
		t.line(head + " " + strings.Repeat(".", dots) + " " + to)
	}
	if text := words.KeyEnds(k); text != "" {
		t.indent("  "+text, 4)
	}
}

// sheetSpecies writes a species with a box to tick for each character, as many as go on so many lines: those that tell
// it from others first, and a limit at most, or, beyond the usual limit, that many. It returns how many lines it wrote.
func (t *textWriter) sheetSpecies(x *outing.SheetSpecies, lines, limit int, chances bool) int {
	head := "  " + phrase.Capital(x.Species.Name()) + ":"
	if len(x.Traits) == 0 {
		t.indent(head+" nothing that its profile describes is likely that day.", 6)
		return 2
	}
	ground := ""
	if said := words.Ground(x.Ground, t.as); said != "" && lines >= roomForGround {
		ground = tick + said
	}
	text := func(most int) string {
		var b strings.Builder
		b.WriteString(head)
		for _, c := range x.Best(most) {
			b.WriteString(tick + words.Trait(c.Trait, t.as))
			if chances && c.P < 0.95 {
				b.WriteString(", " + phrase.Percent(c.P))
			}
			if c.NeedsHandling {
				b.WriteString(" (the leader cuts, breaks or scrapes)")
			}
		}
		return b.String() + ground
	}
	most := 1
	fits := func(n int) bool { return len(wrapText(text(n), textWidth, 6)) <= lines }
	for most < min(len(x.Traits), limit) && (limit > usualTraits || fits(most+1)) {
		most++
	}
	said := text(most)
	t.indent(said, 6)
	return len(wrapText(said, textWidth, 6))
}
