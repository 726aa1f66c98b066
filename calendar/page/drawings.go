package page

import (
	"math"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/words"
)

const tallyRows = 8 // trees for which a printed sheet has room

// draw draws what a term means; nothing where words do.
func draw(t words.Term) markup.HTML {
	var b markup.Writer
	switch t.Sketch {
	case words.OppositeTwig:
		twig(&b, [2]int{20, 1}, [2]int{20, -1}, [2]int{40, 1}, [2]int{40, -1})
	case words.AlternateTwig:
		twig(&b, [2]int{18, 1}, [2]int{29, -1}, [2]int{40, 1})
	case words.BudScales:
		b.Put(`<path d="M12 46C4 30 8 14 16 4c8 10 12 26 4 42zM16 4v42"/>` +
			`<path d="M40 46c-8-16-4-32 6-42 10 10 14 26 6 42z` +
			`M40 40c4-8 8-10 12-2M38 30c4-8 10-10 16 0M42 20c3-7 6-7 9 0"/>`)
	case words.WingAngle:
		wings(&b, (t.Low+t.High)/2)
	default:
		return markup.HTML{}
	}
	return markup.Make(`<svg viewBox="0 0 60 50" fill="none" stroke="#111" stroke-width="1.6" aria-hidden="true">`+
		`%s</svg>`, b.HTML())
}

// twig draws a twig with a bud at its end and others, each at a height: to the right of it with 1, to the left with -1.
func twig(b *markup.Writer, buds ...[2]int) {
	b.Put(`<path d="M30 50V12"/>`)
	for _, bud := range buds {
		y, side := bud[0], bud[1]
		b.Put(`<path d="M30 %dc%d 0 %d-6 %d-11 %d 1 %d 5 %d 11z"/>`,
			y, 3*side, 7*side, 9*side, -6*side, -8*side, -9*side)
	}
	b.Put(`<path d="M30 8c-5-3-3-8 0-11 3 3 5 8 0 11z" transform="translate(0 4)"/>`)
}

// wings draws a pair of keys whose wings stand so many degrees apart, hanging from a stalk: each wing turned by half of
// them from straight down.
func wings(b *markup.Writer, degrees float64) {
	b.Put(`<path d="M30 2v10"/>`)
	for _, side := range []float64{1, -1} {
		b.Put(`<g transform="rotate(%g 30 12)"><circle cx="30" cy="16" r="4"/>`+
			`<path d="M28 20c-4 8-4 16 2 24 6-8 5-16 2-24z"/></g>`, -side*math.Round(degrees)/2)
	}
}
