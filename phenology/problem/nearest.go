package problem

import "strings"

// Nearest returns the candidate that word is most likely a slip for, "" if none is near. Case does not count; of two as
// near, the first.
func Nearest(word string, candidates []string) string {
	const longest = 60 // nobody misspells a longer word by a slip, and distance is quadratic in length
	if len(word) > longest {
		return ""
	}
	best, at := "", max(1, len(word)/3)+1
	for _, c := range candidates {
		if len(c) > longest {
			continue
		}
		if d := distance(strings.ToLower(word), strings.ToLower(c)); d < at {
			best, at = c, d
		}
	}
	return best
}

// distance is the least number of letters to add, drop, change or swap with their neighbour to turn a into b (optimal
// string alignment).
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last := make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := range x {
		row := make([]int, len(y)+1)
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(y)]
}
