package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"treewhen/calendar/words"
)

const tallyRows = 8 // trees for which a printed sheet has room

// draw draws what a term means, "" where words do.
func draw(t words.Term) template.HTML {
	switch t.Sketch {
	case words.OppositeTwig:
		return sketch(twig + bud(30, 20, 1) + bud(30, 20, -1) + bud(30, 40, 1) + bud(30, 40, -1) + bud(30, 8, 0))
	case words.AlternateTwig:
		return sketch(twig + bud(30, 18, 1) + bud(30, 29, -1) + bud(30, 40, 1) + bud(30, 8, 0))
	case words.BudScales:
		return sketch(`<path d="M12 46C4 30 8 14 16 4c8 10 12 26 4 42zM16 4v42"/>` +
			`<path d="M40 46c-8-16-4-32 6-42 10 10 14 26 6 42zM40 40c4-8 8-10 12-2M38 30c4-8 10-10 16 0M42 20c3-7 6-7 9 0"/>`)
	case words.WingAngle:
		return sketch(wings((t.Low + t.High) / 2))
	}
	return ""
}

// sketch makes a drawing of strokes, in a box of 60 by 50.
func sketch(strokes string) template.HTML {
	return template.HTML(`<svg viewBox="0 0 60 50" fill="none" stroke="#111" stroke-width="1.6" aria-hidden="true">` +
		strokes + `</svg>`)
}

const twig = `<path d="M30 50V12"/>`

// bud draws a bud of a twig at x: to the right of it with 1, to the left with -1, at its end with 0.
func bud(x, y, side int) string {
	if side == 0 {
		return fmt.Sprintf(`<path d="M%d %dc-5-3-3-8 0-11 3 3 5 8 0 11z" transform="translate(0 4)"/>`, x, y)
	}
	return fmt.Sprintf(`<path d="M%d %dc%d 0 %d-6 %d-11 %d 1 %d 5 %d 11z"/>`,
		x, y, 3*side, 7*side, 9*side, -6*side, -8*side, -9*side)
}

// wings draws a pair of keys whose wings stand so many degrees apart, hanging from a stalk: each wing turned by half of
// them from straight down.
func wings(degrees float64) string {
	var b strings.Builder
	b.WriteString(`<path d="M30 2v10"/>`)
	for _, side := range []float64{1, -1} {
		fmt.Fprintf(&b, `<g transform="rotate(%g 30 12)"><circle cx="30" cy="16" r="4"/>`+
			`<path d="M28 20c-4 8-4 16 2 24 6-8 5-16 2-24z"/></g>`, -side*math.Round(degrees)/2)
	}
	return b.String()
}
