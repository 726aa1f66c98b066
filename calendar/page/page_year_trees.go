package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"treewhen/calendar"
	"treewhen/calendar/glance"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// tree draws one species' year.
func (d *yearDrawing) tree(r glance.TreeRow) {
	if len(r.Spells) == 0 {
		return
	}
	d.say(r)
	top := d.name(words.TreeName(r.Species, d.as), "species")
	for lane := range r.Lanes() {
		base := top + lane*(rowHigh+laneGap) + rowHigh
		d.b.Put(`<line class="base" x1="%s" x2="%s" y1="%d" y2="%d"/>`, d.x(float64(d.Span.First)),
			d.x(float64(d.Span.Last+1)), base, base)
	}
	for i := range r.Spells {
		s := &r.Spells[i]
		base := top + s.Lane*(rowHigh+laneGap) + rowHigh
		d.b.Put(`<g class="%s">`, toneOf(s.See.Phase))
		d.b.Put(`<svg x="%s" y="%d" width="%s" height="%d" viewBox="0 0 %d 100"`+
			` preserveAspectRatio="none"><path class="area" d="%s"/></svg>`,
			d.x(float64(s.Days.First)), base-rowHigh, d.width(float64(s.Days.Days())), rowHigh, s.Days.Days(),
			outline(s.Chance))
		first, last := d.x(float64(s.Days.First)), d.x(float64(s.Days.Last+1))
		at, x, name := s.NameAt(d.Span, nameDays(s.See, d.as)), last, words.SpellName(s.See, d.as)
		if at == glance.Before || at == glance.OnFirst {
			x = first
		}
		if at == glance.Before || at == glance.OnLast {
			d.b.Put(`<text class="what" x="%s" dx="-3" text-anchor="end" y="%d">%s</text></g>`, x, base-3, name)
		} else {
			d.b.Put(`<text class="what" x="%s" dx="3" y="%d">%s</text></g>`, x, base-3, name)
		}
	}
	d.y = top + r.Lanes()*(rowHigh+laneGap) + rowGap - laneGap
}

// outline is the shape of chances day by day, a hundred high. A day that lies on the line between two others, as near
// as can be seen, takes no point.
func outline(chance []float64) string {
	var b strings.Builder
	b.WriteString("M0 100")
	at := func(i int) int { return 100 - int(100*chance[i]+0.5) }
	for i := 0; i < len(chance); {
		x := strconv.FormatFloat(float64(i)+0.5, 'f', -1, 64)
		if i == 0 {
			x = "0"
		}
		fmt.Fprintf(&b, "L%s %d", x, at(i))
		next := i + 1
		for next+1 < len(chance) && straight(chance[i:next+2]) {
			next++
		}
		i = next
	}
	fmt.Fprintf(&b, "L%d %dL%d 100Z", len(chance), at(len(chance)-1), len(chance))
	return b.String()
}

// unseenBend is how far a chance may be drawn from what it is: a sixth of a pixel where certain is [rowHigh].
const unseenBend = 0.01

// straight reports whether chances lie on the line from the first to the last.
func straight(chance []float64) bool {
	n := len(chance) - 1
	for i, p := range chance {
		if math.Abs(chance[0]+(chance[n]-chance[0])*float64(i)/float64(n)-p) > unseenBend {
			return false
		}
	}
	return true
}

// toneOf is the colour of what a phase begins.
func toneOf(p phenology.Phase) string {
	switch p {
	case phenology.SapStart, phenology.SapEnd:
		return "sap"
	case phenology.BudSwell, phenology.BudBreak, phenology.LeafOut:
		return "leaf"
	case phenology.Flowering, phenology.FloweringEnd:
		return "flower"
	case phenology.FruitRipe, phenology.SeedFall, phenology.SeedFallEnd:
		return "seed"
	case phenology.LeafColor:
		return "fall"
	default:
		return "bare"
	}
}

// say notes a row in words, for those who do not see it: what is likeliest when.
func (d *yearDrawing) say(r glance.TreeRow) {
	var list []string
	for i := range r.Spells {
		s := &r.Spells[i]
		if s.Days.Last >= d.AsOf {
			day, p := s.Likeliest()
			list = append(list, fmt.Sprintf(words.PageFrameIn(d.as).Likeliest, words.SpellName(s.See, d.as),
				words.Day(day, d.as), words.Percent(p, d.as)))
		}
	}
	if list != nil {
		d.says = append(d.says,
			ended(words.TreeName(r.Species, d.as)+words.LabelsIn(d.as).Colon()+strings.Join(list, "; ")))
	}
}

// datesOf are the dates of a year's phases, and what could not be dated.
func datesOf(y *glance.Year, as phrase.Speech) (rows [][]string, undated []string) {
	for _, r := range y.Trees {
		for _, e := range r.Dated {
			rows = append(rows, []string{words.TreeName(r.Species, as), words.Phase(e.Phase, as),
				words.YearDay(e.P10(), as), words.YearDay(e.P50(), as), words.YearDay(e.P90(), as),
				words.Basis(calendar.RestsOn(e), as)})
		}
		for _, e := range r.Undated {
			undated = append(undated, fmt.Sprintf("%s, %s%s%s.", words.TreeName(r.Species, as),
				words.Phase(e.Phase, as), words.LabelsIn(as).Colon(), words.Lack(e.Lack, as)))
		}
	}
	return rows, undated
}
