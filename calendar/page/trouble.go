package page

import (
	"bytes"
	"fmt"
	"html"
	"strings"

	"treewhen/calendar/words"
)

// WithTrouble returns a page or a picture that is written already with a notice in it that it is not up to date, and why.
// A picture has no room for where more of it is to be read.
func WithTrouble(document []byte, n words.Notice) []byte {
	said := fmt.Sprintf(`<p class="trouble" role="status"><strong>%s</strong> %s</p>`+"\n",
		html.EscapeString(n.Head), html.EscapeString(strings.TrimSpace(n.Why+" "+n.More)))
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
	return fmt.Appendf(nil, `%s<rect class="warn" width="%d" height="25"/><text class="foot" x="48" y="18">%s</text>%s`,
		document[:at], pictureWide, html.EscapeString(n.Head+" "+n.Why), document[at:])
}
