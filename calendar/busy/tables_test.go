package busy

import (
	"strings"
	"testing"
)

// Every row of the tables has a source, is written as what is compared, and is found in what it says itself.
func TestRuleTables(t *testing.T) {
	book := builtIn()
	for name, table := range map[string]string{"rules_en.tsv": rulesEnglish, "rules_fr.tsv": rulesFrench} {
		rows := 0
		for line := range strings.Lines(table) {
			if line[0] == '#' {
				continue
			}
			rows++
			row := strings.Split(strings.TrimSpace(line), "\t")
			spaced := strings.NewReplacer("(", " ( ", ")", " ) ", "|", " | ").Replace(row[1])
			for _, parts := range variants(strings.Fields(spaced)) {
				var said []string
				for _, part := range parts {
					switch {
					case part == "^" || part == "$" || part[0] == '!':
					case part == "#":
						said = append(said, "3")
					case part == "…":
						said = append(said, "some", "words")
					default:
						said = append(said, part)
					}
				}
				text := strings.Join(said, " ")
				if again := strings.Join(wordsOf(text), " "); again != text {
					t.Errorf("%s: %q is compared as %q and never found", name, text, again)
				}
				if book.read(text).at[ruleNamed(row[0])] < 0 && !setAside(book, text) {
					t.Errorf("%s: %s does not find %q", name, row[0], text)
				}
			}
		}
		if rows < 40 {
			t.Errorf("%s: found %d rows", name, rows)
		}
	}
}

func ruleNamed(name string) rule {
	for i, n := range ruleNames {
		if n == name {
			return rule(i)
		}
	}
	return -1
}

// setAside reports whether words of another row take a part of a text out of account, which is meant.
func setAside(b *phrasebook, text string) bool { return b.read(text).at[ruleSetAside] >= 0 }

// A reader of titles must never fail, whatever is in them, and what it finds must lie in the text.
func FuzzTitle(f *testing.F) {
	for _, title := range []string{
		"No School, Teacher Inservice", "Early Release @ 11:15", "½ day &amp; ½ day", "Day 4", "Congé férié (Action de grâce)", "12 h 30", "#!$^…", "snow days if no",
	} {
		f.Add(title, "half day")
	}
	f.Fuzz(func(t *testing.T, title, own string) {
		j := newJudge(Words{Half: []string{own}})
		r := j.read(facts{title: title, more: func() []string { return []string{own, title} }, whole: true, days: 1})
		if from, to := r.half.lost(); r.State == Half && (from < 0 || to > 24*60 || from >= to) {
			t.Errorf("%q: found %d to %d lost", title, from, to)
		}
		if r.State != Taken && r.State != Half && r.State != Free || r.Basis == 0 {
			t.Errorf("%q: found %v", title, r)
		}
		again := j.read(facts{title: strings.ToUpper(title) + " ", more: func() []string { return nil }, whole: true, days: 1})
		if r.Basis == ByTitle && again.Basis == ByNothing && isASCII(title) {
			t.Errorf("%q: found %s, in large letters %s", title, r.State, again.State)
		}
	})
}

func isASCII(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool { return r >= 0x80 || r == '&' }) < 0
}
