package markup_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"treewhen/calendar/page/markup"
)

// Whatever a text holds, it comes out as that text, in an element and in an attribute (HTML Living Standard 13.1.2).
func TestNoTextGetsOutOfItsPlace(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[<>"'&;=a-z/ !-]{0,20}`)).Draw(rt, "text")
		for _, got := range []string{
			markup.Make(`%s`, text).String(), markup.Make(`%v`, []string{text}).String(), markup.Make(`%s`, fmt.Errorf("%s", text)).String(),
		} {
			if strings.ContainsAny(got, `<>"'`) {
				rt.Fatalf("%q comes out as %s", text, got)
			}
			if back := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&#34;", `"`, "&#39;", "'", "&amp;", "&").Replace(got); strings.Trim(back, "[]") != strings.Trim(text, "[]") {
				rt.Fatalf("%q comes out as %q", text, back)
			}
		}
	})
}

type number int

func (n number) String() string { return "<" + strings.Repeat("i", int(n)) + ">" }

func TestPut(t *testing.T) {
	var w markup.Writer
	w.Put(`<a b="%d" c="%.1f%%">%s %v %g</a>`, 7, 2.25, markup.Make("<i>%s</i>", "&"), number(2), 0.5)
	w.Some("<p>%s</p>", "")
	w.Some("<p>%s</p>", "<")
	w.Each("<li>%s</li>", []string{"a", "\""})
	const want = `<a b="7" c="2.2%"><i>&amp;</i> &lt;ii&gt; 0.5</a><p>&lt;</p><li>a</li><li>&#34;</li>`
	if got := w.HTML().String(); got != want {
		t.Errorf("found %s, want %s", got, want)
	}
	if !(markup.HTML{}).Empty() || w.HTML().Empty() {
		t.Error("what is empty is not, or what is not is")
	}
}

// address is a text of a type of its own.
type address string

// An address of any scheme that could do more than fetch or subscribe leads nowhere.
func TestAddresses(t *testing.T) {
	for _, row := range []struct{ address, want string }{
		{"feeds/a.ics", "feeds/a.ics"}, {"../?a=b&c=d#e", "../?a=b&amp;c=d#e"}, {"https://example.org/a", "https://example.org/a"},
		{"webcal://example.org/a.ics", "webcal://example.org/a.ics"}, {"", ""},
		{"javascript:alert(1)", "#"}, {"JavaScript:alert(1)", "#"}, {" javascript:alert(1)", "#"}, {"java\nscript:alert(1)", "#"},
		{"\x01javascript:alert(1)", "#"}, {"data:text/html,x", "#"}, {"vbscript:x", "#"}, {"blob:x", "#"}, {"file:///etc/passwd", "#"},
		{"javascript%3Aalert(1)", "javascript%3Aalert(1)"}, // a relative one, by the URL standard
		{`x" onclick="alert(1)`, "x&#34; onclick=&#34;alert(1)"},
	} {
		if got := markup.Make(`<a href="%s">`, row.address).String(); got != `<a href="`+row.want+`">` {
			t.Errorf("%q: found %s, want %s", row.address, got, row.want)
		}
		if got := markup.Make(`<a href="%v">`, address(row.address)).String(); got != `<a href="`+row.want+`">` {
			t.Errorf("%q of a type of its own: found %s, want %s", row.address, got, row.want)
		}
	}
}

func TestVerbsWithoutValues(t *testing.T) {
	for name, wrong := range map[string]func(){
		"a verb without a value": func() { markup.Make("%s") }, "a value without a verb": func() { markup.Make("x", 1) },
		"no verb":              func() { markup.Make("% ", 1) },
		"HTML in an attribute": func() { markup.Make(`<i>a</i><a title="%s">`, markup.Make("<b>")) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: nothing said so", name)
				}
			}()
			wrong()
		}()
	}
}
