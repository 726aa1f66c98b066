// Package markup answers: how does text get into HTML and SVG, and cannot get out of its place?
//
// Elements are written as literals of the program, with verbs as in package fmt where values go. Every value is escaped
// but what this package made itself, so that nobody can forget it; a text that is no literal cannot stand in a
// literal's place, since its type has no name outside.
package markup

import (
	"fmt"
	"html"
	"net/url"
	"strings"
)

// HTML is elements and texts, all of them closed and escaped.
type HTML struct{ text string }

// Empty reports whether there is nothing.
func (h HTML) Empty() bool { return h.text == "" }

// String returns what is written.
func (h HTML) String() string { return h.text }

// File takes in a file that is part of the program, a style or a script, as it is. Nothing else may be given to it.
func File(text string) HTML { return HTML{text} }

// literal is a text that stands in the program: only a constant without a type of its own can be given as one.
type literal string

// Make makes a piece of HTML: see [Writer.Put].
func Make(format literal, values ...any) HTML {
	var w Writer
	w.Put(format, values...)
	return w.HTML()
}

// Writer collects HTML. Its zero value is empty.
type Writer struct{ b strings.Builder }

// HTML returns what was written.
func (w *Writer) HTML() HTML { return HTML{w.b.String()} }

// Put writes elements. A verb such as %s, %d or %.1f takes the next value, %% is a sign of per cent. A verb may stand
// between elements and within an attribute's double quotes, where there may be no HTML. Where an address belongs, one
// that could run a script becomes "#".
func (w *Writer) Put(format literal, values ...any) {
	rest := string(format)
	for {
		before, after, found := strings.Cut(rest, "%")
		w.b.WriteString(before)
		if !found {
			break
		}
		if strings.HasPrefix(after, "%") {
			w.b.WriteByte('%')
			rest = after[1:]
			continue
		}
		n := strings.IndexFunc(after, func(r rune) bool { return r >= 'a' && r <= 'z' }) + 1
		if n == 0 || len(values) == 0 {
			panic("markup: more verbs than values in " + string(format))
		}
		at := string(format[:len(format)-len(after)])
		if _, is := values[0].(HTML); is && strings.LastIndexByte(at, '<') > strings.LastIndexByte(at, '>') {
			panic("markup: HTML within a tag in " + string(format))
		}
		w.value(after[:n], values[0], strings.HasSuffix(before, `href="`))
		rest, values = after[n:], values[1:]
	}
	if len(values) > 0 {
		panic("markup: more values than verbs in " + string(format))
	}
}

// value writes a value by its verb.
func (w *Writer) value(verb string, value any, address bool) {
	text := ""
	switch v := value.(type) {
	case HTML:
		w.b.WriteString(v.text)
		return
	case string:
		text = v
	default:
		text = fmt.Sprintf("%"+verb, value)
	}
	if address {
		text = harmless(text)
	}
	w.b.WriteString(html.EscapeString(text))
}

// harmless returns an address as it is if it is relative or of a scheme that fetches or subscribes.
func harmless(address string) string {
	u, err := url.Parse(address)
	if err != nil {
		return "#"
	}
	switch u.Scheme {
	case "", "http", "https", "webcal":
		return address
	}
	return "#"
}

// Some writes elements around a text if there is any.
func (w *Writer) Some(format literal, text string) {
	if text != "" {
		w.Put(format, text)
	}
}

// Each writes elements around every text.
func (w *Writer) Each(format literal, texts []string) {
	for _, text := range texts {
		w.Put(format, text)
	}
}
