package planfile

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"strings"

	"treewhen/calendar/icslint"
)

// siteColors are given to sites that name none, by their identifiers alone, so that no site changes another's: two of a
// plan may have the same.
var siteColors = []string{
	"chocolate", "teal", "slateblue", "olivedrab", "crimson", "steelblue", "darkgoldenrod", "mediumvioletred",
	"seagreen", "sienna", "royalblue", "darkorange", "purple", "forestgreen", "deeppink", "darkcyan", "maroon",
	"dodgerblue", "darkmagenta", "tomato", "navy", "goldenrod", "indigo",
}

// look gives a site a color, and for a short name its name, where the plan has none.
func (s *Site) look() {
	h := fnv.New32a()
	h.Write([]byte(s.ID)) // never fails
	s.Color = cmp.Or(s.Color, siteColors[h.Sum32()%uint32(len(siteColors))])
	s.Short = cmp.Or(s.Short, s.Name)
}

// parseColor reads a color by its name.
func parseColor(text string) (string, error) {
	if !icslint.IsColor(text) {
		return "", fmt.Errorf("found %q, want a color name of CSS such as forestgreen", text)
	}
	return strings.ToLower(text), nil
}
