package phrase

import (
	"regexp"
	"slices"
	"strings"
)

// CleanText makes any text fit for a TEXT value: valid UTF-8, lines ended by \n, no control characters. Escaping and
// folding are the library's, which would let those pass.
func CleanText(s string) string {
	s = strings.ToValidUTF8(s, "\ufffd")
	s = lineEnds.Replace(s)
	s = strings.Map(func(r rune) rune {
		switch {
		case r == '\n':
			return r
		case r == '\t':
			return ' '
		case r < 0x20, r >= 0x7f && r < 0xa0, r == '\ufeff':
			return -1
		}
		return r
	}, s)
	return strings.TrimSpace(s)
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n", "\v", "\n",
	"\f", "\n")

// OneLine is CleanText without line ends.
func OneLine(s string) string {
	s = CleanText(s)
	if !strings.Contains(s, "\n") {
		return s
	}
	lines := strings.Split(s, "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return strings.TrimSpace(l) == "" })
	for i, l := range lines {
		lines[i] = strings.TrimSpace(l)
	}
	return strings.Join(lines, " ")
}

// webAddress is what may stand in URL and SOURCE, which are written without escapes: an address of the web in the
// characters of RFC 3986, so that no value can end its line and begin another.
var webAddress = regexp.MustCompile(`^(?:https?|webcal)://[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+,;=%]+$`)

// IsWebAddress reports whether a text may stand where an address of the web is wanted.
func IsWebAddress(s string) bool { return webAddress.MatchString(s) }
