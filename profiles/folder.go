package profiles

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

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
	var problems problem.List
	isSources := func(e fs.DirEntry) bool { return e.Name() == sourcesFile }
	if slices.ContainsFunc(entries, isSources) {
		f, err := fsys.Open(sourcesFile)
		if err != nil { // else every profile would be told that its sources are in no bibliography
			problems.Add(path.Join(dir, sourcesFile), 0, "", "%v", withoutPath(err))
			return problems.Err()
		}
		own, err := readSources(f, path.Join(dir, sourcesFile), shared)
		f.Close()
		if err != nil {
			return err
		}
		shared = own
	}
	type file struct {
		name, ext, path string
		profile         *profile
		err             error
	}
	var files []*file
	for _, e := range entries {
		ext := path.Ext(e.Name())
		if e.IsDir() || e.Name() == sourcesFile || ext != ".yaml" && ext != ".yml" {
			continue
		}
		files = append(files, &file{name: e.Name(), ext: ext, path: path.Join(dir, e.Name())})
	}
	// Files are decoded side by side, since a run of the program waits for all of them, and judged in order.
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for _, one := range files {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			f, err := fsys.Open(one.name)
			if err != nil {
				one.err = withoutPath(err)
				return
			}
			defer f.Close()
			one.profile, one.err = decode(f, one.path, shared)
		})
	}
	wait.Wait()
	here := map[string]string{} // id -> file
	for _, one := range files {
		name, ext, p := one.path, one.ext, one.profile
		if one.err != nil {
			problems = appendProblems(problems, name, one.err)
			continue
		}
		s := p.species
		if want := strings.TrimSuffix(one.name, ext); s.ID != want {
			problems.Add(name, p.doc.Line("id"), "id", "found %q in a file called %q, want both the same", s.ID,
				one.name)
			continue
		}
		if other, twice := here[s.ID]; twice {
			problems.Add(name, p.doc.Line("id"), "id", "found %q, which is the id in %s too, want one file a species",
				s.ID, other)
			continue
		}
		here[s.ID] = name
		l.notes = append(l.notes, p.notes...)
		if i := slices.IndexFunc(l.entries, func(o *entry) bool { return o.id == s.ID }); i >= 0 {
			l.entries[i] = decoded(s, name)
		} else {
			l.entries = append(l.entries, decoded(s, name))
		}
	}
	slices.SortFunc(l.entries, func(a, b *entry) int { return cmp.Compare(a.id, b.id) })
	problems = append(problems, l.index()...)
	return problems.Err()
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
