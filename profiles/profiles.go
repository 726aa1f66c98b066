package profiles

import (
	"cmp"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

	"treewhen/phenology"
	"treewhen/phenology/problem"
)

//go:embed species/*.yaml sources.yaml
var embedded embed.FS

// sourcesFile is the name of a folder's shared bibliography.
const sourcesFile = "sources.yaml"

// Library is a set of species. It is not changed once it is read, so any number of goroutines may use it.
type Library struct {
	species []*phenology.Species // by id
	files   map[string]string    // by id, for problems
	names   map[string]*phenology.Species
	notes   problem.List
}

// Builtin returns the species that come with the program.
func Builtin() *Library { return builtin() }

var builtin = sync.OnceValue(func() *Library {
	shared := sharedSources()
	folder, err := fs.Sub(embedded, "species")
	if err != nil {
		panic("profiles: " + err.Error())
	}
	l := &Library{files: map[string]string{}}
	if err := l.read(folder, "species", shared); err != nil {
		panic("profiles: embedded profiles: " + err.Error()) // a test reads them all
	}
	return l
})

// sharedSources is the bibliography that every profile may cite.
var sharedSources = sync.OnceValue(func() Sources {
	f, err := embedded.Open(sourcesFile)
	if err != nil {
		panic("profiles: " + err.Error())
	}
	defer f.Close()
	s, err := readSources(f, sourcesFile, nil)
	if err != nil {
		panic("profiles: embedded bibliography: " + err.Error())
	}
	return s
})

// Read returns the built-in species with those of a user's folder beside them. A profile in the folder takes the place of the
// built-in one of the same id. Every file ending in .yaml or .yml is a profile, except sources.yaml, which adds to the
// bibliography; other files and folders are not looked at. Each may have [strictyaml.MaxSize] bytes. Problems name files within dir, which is what the user calls
// the folder. The error is a [problem.List] with everything wrong in all files, and then there is no library.
func Read(fsys fs.FS, dir string) (*Library, error) {
	l := &Library{species: slices.Clone(Builtin().species), files: map[string]string{}}
	for _, s := range l.species {
		l.files[s.ID] = "built-in " + s.ID
	}
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
	if f, err := fsys.Open(sourcesFile); err == nil {
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
	// Files are decoded side by side, since every run of the program waits for all of them, and judged in order.
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for _, one := range files {
		slots <- struct{}{}
		wait.Go(func() {
			defer func() { <-slots }()
			f, err := fsys.Open(one.name)
			if err != nil {
				one.err = fmt.Errorf("profiles: %s: %w", dir, err)
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
			problems.Add(name, p.doc.Line("id"), "id", "found %q in a file called %q, want both the same", s.ID, one.name)
			continue
		}
		if other, twice := here[s.ID]; twice {
			problems.Add(name, p.doc.Line("id"), "id", "found %q, which is the id in %s too, want one file a species", s.ID, other)
			continue
		}
		here[s.ID] = name
		l.files[s.ID] = name
		l.notes = append(l.notes, p.notes...)
		if i := slices.IndexFunc(l.species, func(o *phenology.Species) bool { return o.ID == s.ID }); i >= 0 {
			l.species[i] = s
		} else {
			l.species = append(l.species, s)
		}
	}
	slices.SortFunc(l.species, func(a, b *phenology.Species) int { return cmp.Compare(a.ID, b.ID) })
	problems = append(problems, l.index()...)
	return problems.Err()
}

// appendProblems adds an error of reading one file.
func appendProblems(problems problem.List, name string, err error) problem.List {
	if list, ok := err.(problem.List); ok {
		return append(problems, list...)
	}
	problems.Add(name, 0, "", "%v", err)
	return problems
}

// index makes the table of names, and returns each name that two species lay claim to.
func (l *Library) index() (problems problem.List) {
	l.names = map[string]*phenology.Species{}
	for _, s := range l.species {
		for _, name := range append([]string{s.ID, s.Botanical}, s.Common...) {
			key := fold(name)
			other, taken := l.names[key]
			if taken && other != s {
				problems.Add(l.files[s.ID], 0, "common", "found name %q, which %s has too (%s), want it in one of them",
					name, other.ID, l.files[other.ID])
				continue
			}
			l.names[key] = s
		}
	}
	return problems
}

// All returns every species, by id.
func (l *Library) All() []*phenology.Species { return slices.Clone(l.species) }

// Notes returns what is doubtful about the profiles, though not wrong: a source that nothing cites, a state of a trait
// that is in no other profile.
func (l *Library) Notes() problem.List { return slices.Clone(l.notes) }

// Lookup returns the species that a name is the id, the botanical or a common name of; case, hyphens and spaces do not
// count.
func (l *Library) Lookup(name string) (*phenology.Species, bool) {
	s, ok := l.names[fold(name)]
	return s, ok
}

// Find is [Library.Lookup] with an error that says what was found, and which names are near it.
func (l *Library) Find(name string) (*phenology.Species, error) {
	if s, ok := l.Lookup(name); ok {
		return s, nil
	}
	if near := l.Nearest(name); len(near) > 0 {
		return nil, fmt.Errorf("found species %q, which is not in the library; did you mean %s?", name, strings.Join(near, " or "))
	}
	return nil, fmt.Errorf("found species %q, which is not among the %d of the library (treewhen species lists them)", name, len(l.species))
}

// Nearest returns the names most like one that is not in the library: slips of the pen, then names that hold it as a
// part, such as "maple". It may return none, and at most five.
func (l *Library) Nearest(name string) []string {
	const most = 5
	var all, near []string
	for _, s := range l.species {
		all = append(all, s.ID)
		all = append(all, s.Common...)
		all = append(all, s.Botanical)
	}
	if slip := problem.Nearest(name, all); slip != "" {
		return []string{slip}
	}
	part := fold(name)
	if len(part) < 3 {
		return nil
	}
	for _, s := range l.species {
		for _, n := range append(slices.Clone(s.Common), s.Botanical) {
			if len(near) < most && strings.Contains(fold(n), part) {
				near = append(near, n)
				break
			}
		}
	}
	return near
}

// fold brings the spellings of a name together: Box elder, box-elder, boxelder.
func fold(name string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case ' ', '-', '_', '\'', '’', '.', '×', '\t':
			return -1
		}
		return r
	}, strings.ToLower(name))
}

// slug is the id that goes with a botanical name: its words in lower case, joined by hyphens. The sign of a hybrid is
// left out.
func slug(botanical string) string {
	words := strings.FieldsFunc(strings.ToLower(botanical), func(r rune) bool { return r < 'a' || r > 'z' })
	words = slices.DeleteFunc(words, func(w string) bool { return w == "x" })
	return strings.Join(words, "-")
}
