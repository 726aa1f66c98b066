package main

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"runtime/debug"
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
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.time" && len(s.Value) >= 10 {
				if d, err := civil.Parse(s.Value[:10]); err == nil {
					return d
				}
			}
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

// manual returns the manual page.
func manual(date civil.Date) []byte {
	m := &manPage{}
	t := date.Time()
	m.macro(fmt.Sprintf("Dd %s %d, %d", t.Month(), t.Day(), t.Year()))
	m.macro("Dt TREEWHEN 1")
	m.macro("Os")
	m.macro("Sh NAME")
	m.macro("Nm treewhen")
	m.macro("Nd when trees do things, how sure that is, and what work follows")
	m.macro("Sh SYNOPSIS")
	m.macro("Nm")
	m.macro("Ar command")
	m.macro("Op Ar plan")
	m.macro("Op Ar options")
	m.macro("Sh DESCRIPTION")
	m.macro("Nm")
	m.text("works out when trees do things at a site, how sure that is, and what work follows, and puts it on calendars.")
	m.macro("Pp")
	m.text("A plan is a file that names sites, their temperatures and trees;\na single minus stands for standard " +
		"input.\n" +
		"Without a plan, the built-in demonstration is used, whose places, people and weather are invented.")
	m.macro("Pp")
	m.text("Every date comes with its spread and with what it rests on, strongest first:")
	m.macro("Bl -tag -width reached -compact")
	for _, b := range [][2]string{{"seen", "it was recorded"}, {"reached", "this season's temperatures have met the requirement"},
		{"season", "this season's temperatures so far, then the past years'"}, {"record", "the site's past years"},
		{"normals", "the site's monthly means"}, {"place", "latitude, longitude and elevation alone"}} {
		m.macro("It " + b[0])
		m.text(b[1])
	}
	m.macro("El")
	m.macro("Sh COMMANDS")
	for _, c := range commands() {
		m.command(c)
	}
	m.macro("Ss Options of every command that reads a plan")
	m.optionList(commonOptions())
	for _, t := range topics() {
		m.macro("Sh " + strings.ToUpper(t.title))
		m.paragraphs(t.text())
	}
	m.macro("Sh EXIT STATUS")
	m.macro("Bl -tag -width 1 -compact")
	for _, s := range [][2]string{
		{"0", "It was done."},
		{"1", "It could not be done: a bad file, no data, no room to write. No file is left half-written."},
		{"2", "It was asked for wrongly."},
	} {
		m.macro("It " + s[0])
		m.text(s[1])
	}
	m.macro("El")
	m.macro("Sh EXAMPLES")
	m.text("A plan to start from, what is read of it, the work ahead, and calendars to subscribe to:")
	m.paragraphs("  treewhen init --for producer --place \"Stowe, Vermont\" --out plan.yaml\n  treewhen check " +
		"plan.yaml\n" +
		"  treewhen schedule plan.yaml\n  treewhen feed plan.yaml --out calendars\n")
	m.macro("Sh SEE ALSO")
	m.text(gazetteer.Attribution)
	m.macro("Sh CAVEATS")
	m.text("Dates are for the middle tree of a kind; on one day, trees in one wood differ by a week.\n" +
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
	var own []option
	for _, o := range c.options() {
		if !o.common {
			own = append(own, o)
		}
	}
	m.optionList(own)
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

// commonOptions returns the options that commands which read a plan share.
func commonOptions() (shared []option) {
	for _, o := range scheduleCommand.options() {
		if o.common {
			shared = append(shared, o)
		}
	}
	return shared
}
