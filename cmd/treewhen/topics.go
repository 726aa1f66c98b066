package main

import (
	_ "embed"
	"errors"
	"io"
	"strings"

	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
	"treewhen/profiles"
)

// topic is something other than a command that help explains.
type topic struct {
	name    string
	title   string // of its part of the manual page
	summary string
	text    func() string // headings begin with "# ", examples are indented
}

// method is the page on how dates are made. Its figures are held to what is measured by a test.
//
//go:embed method.txt
var method string

// topics returns what help explains beside commands.
func topics() []topic {
	return []topic{
		{"plan", "Plan file", "the plan file and the files it names, key by key", planfile.Reference},
		{
			"method", "Method", "the formulas, their sources, their measured errors, and what they cannot know",
			func() string { return method },
		},
		{"profile", "Species profile", "the file that describes a species, key by key", profiles.Reference},
	}
}

// findTopic returns a topic by name, nil if there is none.
func findTopic(name string) *topic {
	for _, t := range topics() {
		if t.name == name {
			return &t
		}
	}
	return nil
}

// help writes a topic's text, its headings in capitals.
func (t *topic) help(w io.Writer) error {
	for line := range strings.Lines(t.text()) {
		if heading, ok := strings.CutPrefix(line, "# "); ok {
			line = strings.ToUpper(heading)
		}
		if _, err := io.WriteString(w, line); err != nil {
			return err
		}
	}
	return nil
}

// nearTopic adds to the error of a name that is no command the topic it may be a slip for.
func nearTopic(name string, err error) error {
	var usage problem.Usage
	var names []string
	for _, t := range topics() {
		names = append(names, t.name)
	}
	if near := problem.Nearest(name, names); near != "" && errors.As(err, &usage) {
		usage.Hint = "did you mean treewhen help " + near + "?"
		return usage
	}
	return err
}
