package page

import (
	"bytes"
	"fmt"
	"html"
	"strings"
)

// WithTrouble returns a page or a picture that is written already with a notice in it that it is not up to date, and why.
// A picture has room for the first sentence.
func WithTrouble(document []byte, why string) []byte {
	if before, after, is := bytes.Cut(document, []byte("</header>")); is {
		return fmt.Appendf(nil, `%s<p class="trouble" role="status"><strong>Not up to date.</strong> %s</p>`+
			"\n</header>%s", before, html.EscapeString(why), after)
	}
	at := bytes.LastIndex(document, []byte("</svg>"))
	if at < 0 {
		return document
	}
	why, _, _ = strings.Cut(why, ". ")
	return fmt.Appendf(nil, `%s<rect class="warn" width="%d" height="25"/><text class="foot" x="48" y="18">%s</text>%s`,
		document[:at], pictureWide, html.EscapeString("Not up to date. "+why+"."), document[at:])
}
