package gazetteer

import "strings"

// letters are those with marks that names of towns in the table have, and what people type for them.
var letters = func() map[rune]rune {
	m := map[rune]rune{}
	for plain, marked := range map[rune]string{'a': "áàâäãåā", 'c': "ç", 'e': "éèêëē", 'i': "íìîïī", 'n': "ñ",
		'o': "óòôöõōǫ", 'u': "úùûüū", 'y': "ÿý"} {
		for _, r := range marked {
			m[r] = plain
		}
	}
	return m
}()

// short are words that people shorten.
var short = map[string]string{"st": "saint", "ste": "sainte", "ft": "fort", "mt": "mount", "mtn": "mountain",
	"hts": "heights", "spgs": "springs"}

// Fold brings a name to what is compared: small plain letters and digits, words with one space between them, the usual
// shortenings (St., Ste., Ft., Mt.) written out, apostrophes and accents gone.
func Fold(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if plain, ok := letters[r]; ok {
			r = plain
		}
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case strings.ContainsRune("'’‘`ʻʼ", r) || r >= 0x300 && r < 0x370: // apostrophes and combining marks
		default:
			b.WriteByte(' ')
		}
	}
	words := strings.Fields(b.String())
	for i, w := range words {
		if long, ok := short[w]; ok && (i+1 < len(words) || w == "hts" || w == "mtn" || w == "spgs") {
			words[i] = long
		}
	}
	return strings.Join(words, " ")
}

// kinds are words that some lists put behind the name of a town, others not.
var kinds = []string{" city", " town", " village", " township"}

// WithoutKind returns a folded name without the word for its kind: new york for new york city.
func WithoutKind(folded string) string {
	for _, k := range kinds {
		if rest, ok := strings.CutSuffix(folded, k); ok {
			return rest
		}
	}
	return folded
}
