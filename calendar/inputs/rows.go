package inputs

import (
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
	f, err := r.open(from.Path)
	if err != nil {
		r.problems.Add(r.in.Plan.File, from.Line, key, "%v", problem.OfFile(err))
		return nil, ""
	}
	defer f.Close()
	name = r.name(from.Path)
	r.note(name)
	if rows, err = read(f, name); err != nil {
		r.add(name, err)
		return nil, name
	}
	return rows, name
}

// knownSites are the plan's sites by their ids.
func (in *Inputs) knownSites() map[string]bool {
	known := map[string]bool{}
	for _, s := range in.Plan.Sites {
		known[s.ID] = true
	}
	return known
}
