package problem

import (
	"strings"
	"unicode/utf8"
)

// Nearest returns the candidate that word is most likely a slip for, "" if none is near. Case does not count; of two as
// near, the first.
func Nearest(word string, candidates []string) string {
	const longest = 60 // nobody misspells a longer word by a slip
	if len(word) > longest {
		return ""
	}
	best, at := "", max(1, len(word)/3)+1
	for _, c := range candidates {
		if len(c) > longest {
			continue
		}
		if d := Distance(strings.ToLower(word), strings.ToLower(c), at-1); d < at {
			best, at = c, d
		}
	}
	return best
}

// longestCompared is how many letters words may have to be compared: what that takes is quadratic in length.
const longestCompared = 120

// Distance is the least number of letters to add, drop, change or swap with their neighbour to turn a into b (optimal
// string alignment), or something above most where it is above most, or a word is too long to compare.
func Distance(a, b string, most int) int {
	n, m := utf8.RuneCountInString(a), utf8.RuneCountInString(b)
	if n-m > most || m-n > most || m > longestCompared {
		return most + 1
	}
	var room [longestCompared]rune
	y := room[:0]
	for _, r := range b {
		y = append(y, r)
	}
	var rows [3][longestCompared + 1]int
	before, last, row := &rows[0], &rows[1], &rows[2]
	for j := range m + 1 {
		last[j] = j
	}
	i, previous := 0, rune(-1)
	for _, r := range a {
		row[0] = i + 1
		least := row[0]
		for j := range y {
			cost := 1
			if r == y[j] {
				cost = 0
			}
			row[j+1] = min(last[j+1]+1, row[j]+1, last[j]+cost)
			if i > 0 && j > 0 && r == y[j-1] && previous == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
			least = min(least, row[j+1])
		}
		if least > most+1 {
			return most + 1
		}
		before, last, row = last, row, before
		i, previous = i+1, r
	}
	return last[m]
}
