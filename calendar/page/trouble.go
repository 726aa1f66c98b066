package page

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"treewhen/calendar/page/markup"
	"treewhen/calendar/words"
)

// WithTrouble returns a page or a picture that is written already with a notice in it that it is not up to date, and
// why. A picture has no room for where more of it is to be read.
func WithTrouble(document []byte, n words.Notice) []byte {
	said := markup.Make(`<p class="trouble" role="status"><strong>%s</strong> %s</p>`+"\n",
		n.Head, strings.TrimSpace(n.Why+" "+n.More)).String()
	if before, after, is := bytes.Cut(document, []byte("</header>")); is {
		return fmt.Appendf(nil, "%s%s</header>%s", before, said, after)
	}
	if before, after, is := bytes.Cut(document, []byte("<body>\n")); is { // sheets for the wall have no head
		return fmt.Appendf(nil, "%s<body>\n%s%s", before, said, after)
	}
	at := bytes.LastIndex(document, []byte("</svg>"))
	if at < 0 {
		return document
	}
	notice := markup.Make(`<rect class="warn" width="%d" height="25"/><text class="foot" x="48" y="18">%s</text>`,
		pictureWide, n.Head+" "+n.Why)
	return slices.Concat(document[:at], []byte(notice.String()), document[at:])
}
