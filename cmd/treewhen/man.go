package main

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"sync"

	"github.com/spf13/pflag"

	"treewhen/calendar/gazetteer"
	"treewhen/phenology/civil"
	"treewhen/phenology/problem"
)

// manCommand is a function because it needs the table that it stands in.
func manCommand() command {
	return command{
		name: "man", args: "",
		summary: "the manual page, to be read by man",
		about: "Prints every command and option, and the formats of files, as a page for man.\n\n" +
			"  treewhen man | man -l -\n" +
			"  treewhen man > ~/.local/share/man/man1/treewhen.1",
		setup: func(*pflag.FlagSet) action {
			return func(ctx context.Context, p *program, args []string) error {
				if len(args) > 0 {
					return problem.Usagef("man: found %q, want nothing behind it", args[0])
				}
				_, err := p.stdout.Write(manual(buildDate(p.today)))
				return err
			}
		},
	}
}

// buildDate returns the day of the revision that was built, so that the page of one build is always the same; today
// where the build does not know.
func buildDate(today civil.Date) civil.Date {
	if at := buildSetting("vcs.time"); len(at) >= 10 {
		if d, err := civil.Parse(at[:10]); err == nil {
			return d
		}
	}
	return today
}

// manPage writes a manual page in the macros of mdoc(7).
type manPage struct{ bytes.Buffer }

// macro writes a line of a macro and its words.
func (m *manPage) macro(words string) { m.WriteString("." + words + "\n") }

// text writes a paragraph: each sentence on lines of its own, as roff wants it for the space between them, none longer
// than a screen is wide.
func (m *manPage) text(text string) {
	text = sentenceEnd().ReplaceAllString(strings.Join(strings.Fields(text), " "), "$1\n$2")
	for sentence := range strings.SplitSeq(text, "\n") {
		for _, line := range wrap(sentence, 72) {
			m.WriteString(escapeRoff(line) + "\n")
		}
	}
}

var sentenceEnd = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`([.?!]) ([A-Z(-])`) })

// escapeRoff makes a line of text stand for itself: a backslash, a minus that is typed and not a hyphen, quotes that
// roff would curl, and a dot or an apostrophe at the line's beginning.
func escapeRoff(line string) string {
	line = strings.NewReplacer(`\`, `\e`, "-", `\-`, "'", `\(aq`, "`", `\(ga`, "^", `\(ha`, "~", `\(ti`).Replace(line)
	if strings.HasPrefix(line, ".") {
		line = `\&` + line
	}
	return line
}

// argument makes a word stand for itself as an argument of a macro.
func argument(word string) string {
	return `"` + strings.ReplaceAll(`\&`+escapeRoff(word), `"`, `""`) + `"`
}

// paragraphs writes a text of paragraphs and, indented, examples.
func (m *manPage) paragraphs(text string) {
	var example []string
	flush := func() {
		for len(example) > 0 && example[len(example)-1] == "" {
			example = example[:len(example)-1]
		}
		if len(example) > 0 {
			m.macro("Bd -literal -offset indent")
			for _, l := range example {
				m.WriteString(escapeRoff(l) + "\n")
			}
			m.macro("Ed")
			example = nil
		}
	}
	var paragraph []string
	wantsBreak, begins := false, false
	write := func() {
		if len(paragraph) > 0 {
			m.text(strings.Join(paragraph, " "))
			paragraph = nil
		}
	}
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		switch heading, isHeading := strings.CutPrefix(line, "# "); {
		case isHeading:
			flush()
			write()
			m.macro("Ss " + escapeRoff(heading))
			wantsBreak, begins = false, true
		case strings.HasPrefix(line, " "):
			write()
			example = append(example, strings.TrimPrefix(strings.TrimPrefix(line, "  "), "  "))
			wantsBreak, begins = false, false
		case line == "" && len(example) > 0:
			example = append(example, "")
			wantsBreak = true
		case line == "":
			write()
			wantsBreak = !begins
		default:
			flush()
			if wantsBreak {
				m.macro("Pp")
			}
			wantsBreak, begins = false, false
			paragraph = append(paragraph, line)
		}
	}
	write()
	flush()
}

// manHead is how the manual page begins, behind its date.
const manHead = `
.Dt TREEWHEN 1
.Os
.Sh NAME
.Nm treewhen
.Nd when trees do things, how sure that is, and what work follows
.Sh SYNOPSIS
.Nm
.Ar command
.Op Ar plan
.Op Ar options
.Sh DESCRIPTION
.Nm
`

// manual returns the manual page.
func manual(date civil.Date) []byte {
	m := &manPage{}
	m.WriteString(".Dd " + date.Format("January 2, 2006") + manHead)
	m.paragraphs(`works out when trees do things at a site, how sure that is, and what work follows,
and puts it on calendars.

A plan is a file that names sites, their temperatures and trees; a single minus stands for standard input.
Without a plan, the built-in demonstration is used, whose places, people and weather are invented.

Every date comes with its spread and with what it rests on, strongest first:`)
	m.list("reached", [][2]string{
		{"seen", "it was recorded"},
		{"reached", "this season's temperatures have met the requirement"},
		{"season", "this season's temperatures so far, then the past years'"},
		{"record", "the site's past years"},
		{"normals", "the site's monthly means"},
		{"place", "latitude, longitude and elevation alone"},
	})
	m.macro("Sh COMMANDS")
	for _, c := range commands() {
		m.command(c)
	}
	m.macro("Ss Options of every command that reads a plan")
	_, shared := scheduleCommand.options()
	m.optionList(shared)
	for _, t := range topics() {
		m.macro("Sh " + strings.ToUpper(t.title))
		m.paragraphs(t.text())
	}
	m.macro("Sh EXIT STATUS")
	m.list("1", [][2]string{
		{"0", "It was done."},
		{"1", "It could not be done: a bad file, no data, no room to write. No file is left half-written."},
		{"2", "It was asked for wrongly."},
	})
	m.macro("Sh EXAMPLES")
	m.paragraphs(`A plan to start from, what is read of it, the work ahead, and calendars to subscribe to:
  treewhen init --for producer --place "Stowe, Vermont" --out plan.yaml
  treewhen check plan.yaml
  treewhen schedule plan.yaml
  treewhen feed plan.yaml --out calendars`)
	m.macro("Sh SEE ALSO")
	m.text(gazetteer.Attribution)
	m.macro("Sh CAVEATS")
	m.text("Dates are for the middle tree of a kind; on one day, trees in one wood differ by a week. " +
		"Reminders of hazards and of law are no substitute for local codes, the landowner and licensed professionals.")
	return m.Bytes()
}

// command writes a command with the options of its own.
func (m *manPage) command(c command) {
	m.macro("Ss " + c.name)
	m.macro("Bd -ragged -offset indent -compact")
	m.macro("Nm")
	m.macro("Cm " + c.name)
	if c.args != "" {
		m.text(c.args)
	}
	m.macro("Ed")
	m.macro("Pp")
	m.text(strings.ToUpper(c.summary[:1]) + c.summary[1:] + ".")
	if c.about != "" {
		m.macro("Pp")
		m.paragraphs(c.about)
	}
	own, _ := c.options()
	m.optionList(own)
}

// list writes words and what each means, none wider than a width.
func (m *manPage) list(width string, items [][2]string) {
	m.macro("Bl -tag -width " + width + " -compact")
	for _, item := range items {
		m.macro("It " + item[0])
		m.text(item[1])
	}
	m.macro("El")
}

func (m *manPage) optionList(list []option) {
	if len(list) == 0 {
		return
	}
	m.macro("Bl -tag -width Ds")
	for _, o := range list {
		item := "It Fl \\-" + escapeRoff(o.name)
		if o.value != "" {
			item += " Ar " + argument(o.value)
		}
		m.macro(item)
		m.text(o.tail())
	}
	m.macro("El")
}
