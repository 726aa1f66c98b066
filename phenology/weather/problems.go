package weather

import (
	"fmt"

	"treewhen/phenology/problem"
)

// maxProblems is how many problems of a file are told one by one: enough to see what they have in common.
const maxProblems = 20

// problems collects what is wrong with a file.
type problems struct {
	file string
	list problem.List
	more int // those that are only counted
}

// add tells of a problem. One that blames no line says so by speaking of "the file".
func (p *problems) add(line int, field, hint, text string, args ...any) {
	if len(p.list) == maxProblems {
		p.more++
		return
	}
	p.list = append(p.list, problem.Problem{File: p.file, Line: line, Field: field, Text: fmt.Sprintf(text, args...),
		Hint: hint})
}

// err returns the problems as an error, nil if there are none.
func (p *problems) err() error {
	if len(p.list) == 0 {
		return nil
	}
	l := p.list
	_ = l.Err() // sorts l
	if p.more > 0 {
		l = append(l, problem.Problem{File: p.file, Line: l[len(l)-1].Line,
			Text: fmt.Sprintf("the file has %d problems more, not listed here", p.more)})
	}
	return l.Err()
}
