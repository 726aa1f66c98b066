package traits

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"sync"

	"treewhen/phenology"
)

// table holds the characters of trees that profiles share: a line for each character and one for each of its states.
//
// A character's line has no state; its near column holds a rank, by which the handiest is chosen, the lowest first (0
// what a glance shows, 1 to 4 what must be looked at, 5 what must be cut, scraped, smelled or held under a lens, 6 what
// is only known by coming again, 9 a hint), and for measures "within" and the gap up to which two figures are taken for
// near each other; "color" stands for the shades of [families]. A state's near column names the states that people take
// for it, or * for all others: absence of what not every tree bears proves nothing. Says is how each is said: the
// character with %s for its states.
//
// What is near was set from the words that floras use for the same tree, by us; where no source names a limit it is our
// own choice.
//
//go:embed characters.csv
var table string

// Character is what is looked at on a tree, in words shared between species.
type Character struct {
	Organ, Name string
	Says        string   // with %s for its states; "" where nothing is said
	States      []string // in the order of the table; none of a measure
	Rank        int      // how handy it is, the lowest first
	within      float64  // of a measure: the gap up to which two ranges are near
	colors      bool
	says        map[string]string
	near        map[[2]string]bool
	anything    map[string]bool // states that are near to all others
}

// StateSays returns how a state is said after the words of its character.
func (c *Character) StateSays(state string) string {
	if c == nil || c.says[state] == "" {
		return state
	}
	return c.says[state]
}

// CharacterOf returns the character of an organ and a name; nil if the table has none.
func CharacterOf(organ, name string) *Character { return vocabulary()[character{organ, name}] }

// Names returns the names of an organ's characters, in the order of the alphabet.
func Names(organ string) (names []string) {
	for c := range vocabulary() {
		if c.organ == organ {
			names = append(names, c.name)
		}
	}
	slices.Sort(names)
	return names
}

// Knows reports whether a state is in the table. Measures know none; colors know those that have a family.
func (c *Character) Knows(state string) bool {
	if c.colors {
		return familyOf[state] != ""
	}
	return slices.Contains(c.States, state)
}

var vocabulary = sync.OnceValue(func() map[character]*Character {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		panic("traits: characters.csv: " + err.Error())
	}
	all := map[character]*Character{}
	for _, row := range rows[1:] {
		is, state, near, says := character{row[0], row[1]}, row[2], strings.Fields(row[3]), row[4]
		if state == "" {
			all[is] = newCharacter(is, near, says)
			continue
		}
		c := all[is]
		c.States = append(c.States, state)
		c.says[state] = says
		for _, n := range near {
			if n == "*" {
				c.anything[state] = true
			}
			c.near[[2]string{state, n}], c.near[[2]string{n, state}] = true, true
		}
	}
	return all
})

func newCharacter(is character, how []string, says string) *Character {
	c := &Character{Organ: is.organ, Name: is.name, Says: says, within: -1,
		says: map[string]string{}, near: map[[2]string]bool{}, anything: map[string]bool{}}
	c.Rank, _ = strconv.Atoi(how[0])
	c.colors = slices.Contains(how, "color")
	if i := slices.Index(how, "within"); i >= 0 {
		c.within, _ = strconv.ParseFloat(how[i+1], 64)
	}
	return c
}

// families are the colors that two observers, or two twigs, exchange for each other; neighbors are families next to
// each other. Both are our own choice. A bright green twig is none that anybody takes for a brown one; an olive one is.
var (
	families = map[string][]string{
		"reds":   {"red", "maroon", "pink", "orange-red"},
		"purple": {"purple"},
		"browns": {"brown", "red-brown", "orange-brown", "tan", "dark-brown", "bronze"},
		"grays":  {"gray", "white", "silver", "dark-gray", "pale-gray", "yellow-gray"},
		"greens": {"green", "yellow-green"},
		"dull":   {"olive", "orange-green", "green-brown"},
		"black":  {"black"}, "yellows": {"yellow", "orange"},
	}
	neighbors = [][2]string{
		{"reds", "browns"}, {"reds", "yellows"}, {"browns", "grays"}, {"browns", "dull"}, {"browns", "black"},
		{"browns", "yellows"}, {"greens", "dull"}, {"greens", "yellows"}, {"dull", "grays"}, {"grays", "black"},
	}
	familyOf = map[string]string{}
)

func init() {
	for family, colors := range families {
		for _, c := range colors {
			familyOf[c] = family
		}
	}
}

func closeColors(a, b string) bool {
	x, y := familyOf[a], familyOf[b]
	if a == "purple" || b == "purple" {
		return a == "maroon" || b == "maroon" || a == b
	}
	return x != "" && x == y || slices.Contains(neighbors, [2]string{x, y}) ||
		slices.Contains(neighbors, [2]string{y, x})
}

// hintRank is the rank of what is no more than a hint.
const hintRank = 9

// Rank returns how handy a character is, the lowest first; 5 where the table does not have it.
func Rank(t *phenology.Trait) int {
	if c := CharacterOf(t.Organ, t.Name); c != nil {
		return c.Rank
	}
	return 5
}

// ProvesNothing reports whether a trait says no more than that something is not there which not every tree bears.
func ProvesNothing(t *phenology.Trait) bool {
	c := CharacterOf(t.Organ, t.Name)
	return c != nil && len(t.States) > 0 &&
		!slices.ContainsFunc(t.States, func(s string) bool { return !c.anything[s] })
}

// closeness returns whether some state of the one is near one of the other, or the two ranges nearly touch, and whether
// that is so only because the absence of a thing proves nothing.
func closeness(a, b *phenology.Trait) (near, absent bool) {
	c := CharacterOf(a.Organ, a.Name)
	if c == nil {
		return false, false
	}
	if len(a.States) == 0 && len(b.States) == 0 {
		return max(a.Low-b.High, b.Low-a.High) <= c.within, false
	}
	for _, s := range a.States {
		for _, n := range b.States {
			near = near || c.near[[2]string{s, n}] || c.colors && closeColors(s, n)
			absent = absent || c.anything[s] || c.anything[n]
		}
	}
	return near, absent
}
