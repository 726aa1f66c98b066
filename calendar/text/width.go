package text

import (
	"strings"

	"github.com/rivo/uniseg"
)

// Width returns how many columns of a terminal a text takes: two for a wide character, none for one that combines with
// the one before it (Unicode Standard Annexes 11 and 29).
func Width(s string) int {
	if isASCII(s) {
		return len(s)
	}
	return uniseg.StringWidth(s)
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= 0x80 {
			return false
		}
	}
	return true
}

// Pad fills a text with spaces to so many columns; a wider one stays as it is.
func Pad(s string, columns int) string { return s + strings.Repeat(" ", max(0, columns-Width(s))) }

// clip cuts or fills a text to so many columns, two or more, and keeps a space at its end; what is cut ends in a point.
func clip(s string, columns int) string {
	if Width(s) < columns {
		return Pad(s, columns)
	}
	taken, end := 0, 0
	for rest, state := s, -1; rest != ""; {
		var cluster string
		var width int
		cluster, rest, width, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if taken+width > columns-2 {
			break
		}
		taken, end = taken+width, end+len(cluster)
	}
	return Pad(s[:end]+".", columns)
}

// lastSpace returns the byte index of the last space within the first room columns and after from; failing that, of the
// first space behind them; -1 if there is none.
func lastSpace(s string, room, from int) int {
	columns, best := 0, -1
	plain := isASCII(s)
	state := -1
	for i := 0; i < len(s); {
		size, width := 1, 1
		if !plain {
			var cluster string
			cluster, _, width, state = uniseg.FirstGraphemeClusterInString(s[i:], state)
			size = len(cluster)
		}
		after := s[i+size:]
		if s[i:i+size] == " " && i > from && !strings.HasPrefix(after, "%") &&
			!strings.HasPrefix(after, "°") { // elsewhere a figure would lose its unit
			if columns <= room {
				best = i
			} else if best < 0 {
				return i
			}
		}
		if columns > room && best >= 0 {
			break
		}
		columns += width
		i += size
	}
	return best
}
