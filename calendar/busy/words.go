package busy

import (
	"bytes"
	"html"
	"strings"
	"unicode"
)

// wordsOf takes a text apart into what is compared: small letters without accents and apostrophes, numbers with
// what stands between their digits (11:15, 1/2), "and" for &, "at" for @. Other signs part words and are gone.
func wordsOf(text string) []string {
	if strings.IndexByte(text, '&') >= 0 {
		text = html.UnescapeString(text)
	}
	list := make([]string, 0, 8)
	word := make([]byte, 0, 32)
	digits := false // what is being written is a number
	flush := func() {
		if len(word) > 0 {
			list = append(list, string(bytes.TrimRight(word, ".:/")))
			word = word[:0]
		}
		digits = false
	}
	for _, r := range text {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z':
			if digits {
				flush()
			}
			word = append(word, byte(r)|0x20)
		case r >= '0' && r <= '9':
			if !digits {
				flush()
			}
			digits = true
			word = append(word, byte(r))
		case r < 0x80 && r != '\'' && r != '`' && r != '&' && r != '@':
			if digits && (r == ':' || r == '/' || r == '.') {
				word = append(word, byte(r))
				continue
			}
			flush()
		case strings.ContainsRune("'’‘`ʼ", r) || r >= 0x300 && r < 0x370: // apostrophes and combining marks
		case r == '&', r == '@', r == '½':
			flush()
			list = append(list, map[rune]string{'&': "and", '@': "at", '½': "1/2"}[r])
		case unicode.IsLetter(r):
			if digits {
				flush()
			}
			word = append(word, plain(unicode.ToLower(r))...)
		default:
			flush()
		}
	}
	flush()
	return list
}

// plain returns a small letter without its accent.
func plain(r rune) string {
	if r < 0x80 {
		return string(r)
	}
	for _, set := range [...]string{"aáàâäãå", "cç", "eéèêë", "iíìîï", "nñ", "oóòôöõ", "uúùûü", "yÿý"} {
		if strings.ContainsRune(set, r) {
			return set[:1]
		}
	}
	switch r {
	case 'œ':
		return "oe"
	case 'æ':
		return "ae"
	case 'ß':
		return "ss"
	}
	return string(r)
}
