package inputs

import (
	"fmt"
	"io"

	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
)

// readRows reads the rows of a table that the plan names under a key, and returns them with the name of the table; none
// if it names none. What is wrong is among the problems, and then there are none either.
func readRows[T any](
	r *reader, from *planfile.Path, key string, read func(io.Reader, string) ([]T, error),
) (rows []T, name string) {
	if from == nil {
		return nil, ""
	}
	f, name := r.named(*from, key)
	if f == nil {
		return nil, ""
	}
	defer f.Close()
	r.note(name)
	rows, err := read(f, name)
	if err != nil {
		r.add(name, err)
		return nil, name
	}
	return rows, name
}

// named opens a file that the plan names under a key, and returns it with its name as the user sees it; nil where that
// cannot be done, which is noted.
func (r *reader) named(from planfile.Path, key string) (f io.ReadCloser, name string) {
	f, err := r.open(from.Path)
	if err != nil {
		r.problems.Add(r.in.Plan.File, from.Line, key, "%v", problem.OfFile(err))
		return nil, ""
	}
	return f, r.name(from.Path)
}

// knownSites are the plan's sites by their ids.
func (in *Inputs) knownSites() map[string]*planfile.Site {
	known := map[string]*planfile.Site{}
	for _, s := range in.Plan.Sites {
		known[s.ID] = s
	}
	return known
}

// unknownSite is what is wrong with a site that the plan does not have.
func (in *Inputs) unknownSite(id string) string {
	text := fmt.Sprintf("found site %q, which the plan does not have", id)
	if near := problem.Nearest(id, in.siteIDs()); near != "" {
		text += fmt.Sprintf("; did you mean %q?", near)
	}
	return text
}
