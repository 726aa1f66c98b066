package busy

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// The tables of rules, one a language. Their heads say how they are written and what their sources are.
//
//go:embed rules_en.tsv
var rulesEnglish string

//go:embed rules_fr.tsv
var rulesFrench string

// rule is what words in a title say. The order is that in which rules are tried where several fit.
type rule int

const (
	ruleCalledOff rule = iota // the event does not take place
	ruleInSession             // there is school, whatever else is said
	ruleSetAside              // words that look like those of another rule and are not
	ruleClosed                // nobody is in school
	ruleRelease               // the afternoon is lost
	ruleLate                  // the morning is lost
	ruleOrdinary              // a school day like others
	ruleCycle                 // the name of a day within a cycle of days
	ruleStaff                 // a day for the staff alone
	ruleSeason                // holidays and breaks
	ruleHoliday               // the name of a public holiday, which counts where nothing else is said
	ruleExam                  // the class is wanted
	ruleCount
)

var ruleNames = [ruleCount]string{
	"called-off", "in-session", "set-aside", "closed", "release", "late", "ordinary", "cycle", "staff", "season",
	"holiday", "exam",
}

// numbers are the words that # stands for, beside figures.
var numbers = []string{"one", "two", "three", "four", "five", "six"}

func isNumber(word string) bool {
	return word != "" && word[0] >= '0' && word[0] <= '9' || slices.Contains(numbers, word)
}

// pattern is one way to write what a row of a table means: words, and the signs that the tables' heads explain.
type pattern struct {
	rule  rule
	parts []string
}

// maxGap is how many words … stands for at most.
const maxGap = 5

// length returns how many words from at on a pattern takes, -1 if it does not fit there.
func (p *pattern) length(words []string, at int) int {
	end := match(p.parts, words, at)
	if end < 0 {
		return -1
	}
	return end - at
}

// match returns where the words that fit the parts of a pattern end, -1 if they do not fit.
func match(parts, words []string, at int) int {
	for i, part := range parts {
		switch {
		case part == "^":
			if at != 0 {
				return -1
			}
		case part == "$":
			if at != len(words) {
				return -1
			}
		case part == "…":
			for gap := 0; gap <= maxGap && at+gap <= len(words); gap++ {
				if end := match(parts[i+1:], words, at+gap); end >= 0 {
					return end
				}
			}
			return -1
		case len(part) > 1 && part[0] == '!':
			if at < len(words) && words[at] == part[1:] {
				return -1
			}
		case at == len(words) || part != words[at] && !(part == "#" && isNumber(words[at])):
			return -1
		default:
			at++
		}
	}
	return at
}

// phrasebook holds patterns by their first word.
type phrasebook struct {
	first    map[string][]*pattern
	numbered []*pattern // those that begin with a number
}

func (b *phrasebook) add(p *pattern) {
	first := p.parts[0]
	if first == "^" {
		first = p.parts[1]
	}
	if first == "#" {
		b.numbered = append(b.numbered, p)
		return
	}
	b.first[first] = append(b.first[first], p)
}

// at returns the patterns that may fit from a word on.
func (b *phrasebook) at(word string) []*pattern {
	list, ok := b.first[word]
	if !ok && isNumber(word) {
		return b.numbered
	}
	return list
}

// finish completes a book: patterns that begin with a number may begin with one that others begin with as well.
func (b *phrasebook) finish() *phrasebook {
	for word, list := range b.first {
		if isNumber(word) {
			b.first[word] = slices.Concat(list, b.numbered)
		}
	}
	return b
}

// builtIn are the rules of all languages.
var builtIn = sync.OnceValue(func() *phrasebook {
	b := &phrasebook{first: map[string][]*pattern{}}
	for _, table := range []string{rulesEnglish, rulesFrench} {
		for line := range strings.Lines(table) {
			if line[0] == '#' {
				continue
			}
			row := strings.Split(strings.TrimRight(line, "\n"), "\t")
			r := rule(slices.Index(ruleNames[:], row[0]))
			if r < 0 || len(row) != 3 || row[2] == "" {
				panic("busy: " + line + ": want rule, words and source")
			}
			spaced := strings.NewReplacer("(", " ( ", ")", " ) ", "|", " | ").Replace(row[1])
			for _, parts := range variants(strings.Fields(spaced)) {
				b.add(&pattern{r, parts})
			}
		}
	}
	return b.finish()
})

// variants writes out what the parts of a row leave open.
func variants(parts []string) [][]string {
	lists := [][]string{nil}
	for i := 0; i < len(parts); i++ {
		choices := [][]string{{parts[i]}}
		if parts[i] == "(" {
			end := i + slices.Index(parts[i:], ")")
			choices = [][]string{nil}
			for _, word := range parts[i+1 : end] {
				if word == "|" {
					choices = append(choices, nil)
					continue
				}
				choices[len(choices)-1] = append(choices[len(choices)-1], word)
			}
			i = end
			if i+1 < len(parts) && parts[i+1] == "?" {
				choices = append(choices, nil)
				i++
			}
		} else if word, ok := strings.CutSuffix(parts[i], "?"); ok {
			choices = [][]string{{word}, nil}
		}
		var more [][]string
		for _, l := range lists {
			for _, c := range choices {
				more = append(more, slices.Concat(l, c))
			}
		}
		lists = more
	}
	return lists
}

// found is what the rules find in a text: where the words of each rule begin, -1 for those that do not fit.
type found struct {
	words []string // what set-aside words leave, with "" in their place
	at    [ruleCount]int
}

// read looks for the rules' words in a text.
func (b *phrasebook) read(text string) found {
	f := found{words: wordsOf(text)}
	for r := range f.at {
		f.at[r] = -1
	}
	some := false // any word begins a pattern; most titles have none that does
	for i := range f.words {
		for _, p := range b.at(f.words[i]) {
			some = true
			if n := p.length(f.words, i); n > 0 && (p.rule == ruleSetAside || p.rule == ruleCalledOff) &&
				f.words[i] != "" {
				f.at[p.rule] = i
				if p.rule == ruleSetAside {
					clear(f.words[i : i+n])
				}
			}
		}
	}
	if !some {
		return f
	}
	for i := range f.words {
		for _, p := range b.at(f.words[i]) {
			if f.at[p.rule] < 0 && p.rule != ruleHoliday && p.length(f.words, i) >= 0 {
				f.at[p.rule] = i
			}
		}
	}
	if b.onlyHolidays(f.words) {
		f.at[ruleHoliday] = 0
	}
	return f
}

// beside are words that may stand beside the name of a public holiday.
var beside = []string{"and", "or", "the", "observed", "observance", "federal", "legal", "public", "et", "la", "le",
	"day"}

// onlyHolidays reports whether a title is nothing but names of public holidays.
func (b *phrasebook) onlyHolidays(words []string) bool {
	named := false
	for at := 0; at < len(words); {
		longest := 0
		for _, p := range b.at(words[at]) {
			if p.rule == ruleHoliday {
				longest = max(longest, p.length(words, at))
			}
		}
		switch {
		case longest > 0:
			named = true
			at += longest
		case slices.Contains(beside, words[at]) || len(words[at]) == 4 && isNumber(words[at]):
			at++ // "observed", a year
		default:
			return false
		}
	}
	return named
}

// CheckWords returns why no title can be told by a plan's words, nil if one can.
func CheckWords(text string) error {
	if len(wordsOf(text)) == 0 {
		return fmt.Errorf("found %s, want words of a title such as Spirit Week", clip(text))
	}
	return nil
}
