package profiles

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"treewhen/phenology/parallel"
	"treewhen/phenology/problem"
)

// sourcesFile is the name of a folder's shared bibliography.
const sourcesFile = "sources.yaml"

// Read returns the built-in species with those of a user's folder beside them. A profile in the folder takes the place
// of the built-in one of the same id. Every file ending in .yaml or .yml is a profile, except sources.yaml, which adds
// to the bibliography; other files and folders are not looked at. Each may have [strictyaml.MaxSize] bytes. Problems
// name files within dir, which is what the user calls the folder. The error is a [problem.List] with everything wrong
// in all files, and then there is no library.
func Read(fsys fs.FS, dir string) (*Library, error) {
	l := &Library{entries: slices.Clone(Builtin().entries)}
	if err := l.read(fsys, dir, sharedSources()); err != nil {
		return nil, err
	}
	return l, nil
}

// read adds the profiles of a folder to l.
func (l *Library) read(fsys fs.FS, dir string, shared Sources) error {
	entries, err := fs.ReadDir(fsys, ".")
	if err != nil {
		return fmt.Errorf("profiles: %s: %w", dir, err)
	}
	if slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return e.Name() == sourcesFile }) {
		if shared, err = ownSources(fsys, dir, shared); err != nil {
			return err // else every profile would be told that its sources are in no bibliography
		}
	}
	var names []string
	for _, e := range entries {
		if ext := path.Ext(e.Name()); !e.IsDir() && e.Name() != sourcesFile && (ext == ".yaml" || ext == ".yml") {
			names = append(names, e.Name())
		}
	}
	type decoding struct {
		name    string
		profile *profile
		err     error
	}
	var problems problem.List
	files := map[string]string{} // by the id of the species in it
	// Files are decoded side by side, since a run of the program waits for all of them, and judged in order. Nothing
	// stops that.
	_ = parallel.InOrder(context.Background(), len(names), func(i int) decoding {
		f, err := fsys.Open(names[i])
		if err != nil {
			return decoding{names[i], nil, withoutPath(err)}
		}
		defer f.Close()
		p, err := decode(f, path.Join(dir, names[i]), shared)
		return decoding{names[i], p, err}
	}, func(one decoding) error {
		if file := path.Join(dir, one.name); one.err != nil {
			problems = appendProblems(problems, file, one.err)
		} else {
			l.take(one.profile, one.name, file, files, &problems)
		}
		return nil
	})
	slices.SortFunc(l.entries, func(a, b *entry) int { return cmp.Compare(a.id, b.id) })
	problems = append(problems, l.index()...)
	return problems.Err()
}

// ownSources returns the bibliography of a folder, in which what is shared stands as well.
func ownSources(fsys fs.FS, dir string, shared Sources) (Sources, error) {
	name := path.Join(dir, sourcesFile)
	f, err := fsys.Open(sourcesFile)
	if err != nil {
		var problems problem.List
		problems.Add(name, 0, "", "%v", withoutPath(err))
		return nil, problems.Err()
	}
	defer f.Close()
	return readSources(f, name, shared)
}

// take adds the profile of a file to l, in the place of one of the same id; the file must be called by that id, and no
// other in its folder may have it.
func (l *Library) take(p *profile, name, file string, files map[string]string, problems *problem.List) {
	s := p.species
	if want := strings.TrimSuffix(name, path.Ext(name)); s.ID != want {
		problems.Add(file, p.doc.Line("id"), "id", "found %q in a file called %q, want both the same", s.ID, name)
		return
	}
	if other, twice := files[s.ID]; twice {
		problems.Add(file, p.doc.Line("id"), "id", "found %q, which is the id in %s too, want one file a species",
			s.ID, other)
		return
	}
	files[s.ID] = file
	l.notes = append(l.notes, p.notes...)
	if i := slices.IndexFunc(l.entries, func(o *entry) bool { return o.id == s.ID }); i >= 0 {
		l.entries[i] = decoded(s, file)
	} else {
		l.entries = append(l.entries, decoded(s, file))
	}
}

// withoutPath is what an error of the file system says, for a message that names the file already.
func withoutPath(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// appendProblems adds an error of reading one file.
func appendProblems(problems problem.List, name string, err error) problem.List {
	if list, ok := err.(problem.List); ok {
		return append(problems, list...)
	}
	problems.Add(name, 0, "", "%v", err)
	return problems
}
