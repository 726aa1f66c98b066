package page

import (
	"bytes"
	"slices"
	"strings"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/words"
)

// WithTrouble returns a page or a picture that is written already with a notice in it that it is not up to date, and why.
// A picture has no room for where more of it is to be read.
func WithTrouble(document []byte, n words.Notice) []byte {
	at, notice := bytes.Index(document, []byte("</header>")), markup.HTML{}
	if at >= 0 {
		notice = markup.Make(`<p class="trouble" role="status"><strong>%s</strong> %s</p>`+"\n",
			n.Head, strings.TrimSpace(n.Why+" "+n.More))
	} else if at = bytes.LastIndex(document, []byte("</svg>")); at >= 0 {
		notice = markup.Make(`<rect class="warn" width="%d" height="25"/><text class="foot" x="48" y="18">%s</text>`,
			pictureWide, n.Head+" "+n.Why)
	} else {
		return document
	}
	return slices.Concat(document[:at], []byte(notice.String()), document[at:])
}
