package page

import (
	"fmt"
	"strings"

	"github.com/boombuler/barcode/qr"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/phrase"
	"treewhen/calendar/words"
	"treewhen/phenology"
)

// quiet is how many modules around a code must be left white: ISO/IEC 18004 wants four.
const quiet = 4

// drawCode draws an address as a QR code of medium error correction, a path of runs along its rows; "" for one that is
// too long for any.
func drawCode(site *phenology.Site, address string, as phrase.Speech) markup.HTML {
	code, err := qr.Encode(address, qr.M, qr.Auto)
	if err != nil {
		return markup.HTML{}
	}
	n := code.Bounds().Dx()
	black := func(x, y int) bool {
		r, _, _, _ := code.At(x, y).RGBA()
		return r == 0
	}
	var path strings.Builder
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && black(x, y) {
				x++
			}
			if x > from {
				fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from+quiet, y+quiet, x-from, x-from)
			}
		}
	}
	return markup.Make(
		`<svg class="code" viewBox="0 0 %d %d" role="img" aria-label="%s">`+
			`<rect class="white" width="%d" height="%d"/><path class="black" d="%s"/></svg>`,
		n+2*quiet, n+2*quiet, fmt.Sprintf(words.PageFrameIn(as).Code, site.Name), n+2*quiet, n+2*quiet, path.String())
}
