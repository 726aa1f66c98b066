package calendar

import "regexp"

// webAddress is what may stand in URL and SOURCE, which are written without escapes: an address of the web in the
// characters of RFC 3986, so that no value can end its line and begin another.
var webAddress = regexp.MustCompile(`^(?:https?|webcal)://[A-Za-z0-9\-._~:/?#\[\]@!$&'()*+,;=%]+$`)

// IsWebAddress reports whether a text may stand where an address of the web is wanted.
func IsWebAddress(s string) bool { return webAddress.MatchString(s) }
