package inputs

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"treewhen/calendar/planfile"
	"treewhen/phenology/problem"
)

// Pattern is a pattern of the plan for names of files in one folder. What fits it may change while a server runs.
type Pattern struct{ folder, name string }

// Files returns the paths of the files that fit, by name. Folders do not, nor files whose name begins with a dot, where
// the pattern does not begin so: some systems lay such a file beside every other.
func (p Pattern) Files() ([]string, error) { return p.files(os.ReadDir) }

func (p Pattern) files(read func(folder string) ([]fs.DirEntry, error)) (list []string, err error) {
	if _, err := filepath.Match(p.name, ""); err != nil { // it may be no pattern
		return nil, err
	}
	entries, err := read(p.folder)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		fits, _ := filepath.Match(p.name, e.Name())
		if fits && !e.IsDir() && (e.Name()[0] != '.' || p.name[0] == '.') {
			list = append(list, filepath.Join(p.folder, e.Name()))
		}
	}
	slices.Sort(list)
	return list, nil
}

// fitPatterns puts in place of every pattern the files that fit it, in the sites' lists of temperature files.
func (r *reader) fitPatterns() {
	done := map[*planfile.Source][]planfile.Source{} // by the list's first: sites of a table share theirs
	for _, pl := range r.in.Places {
		for i, list := range [...]*[]planfile.Source{&pl.Site.Temperatures, &pl.Site.Forecast} {
			if !slices.ContainsFunc(*list, planfile.Source.IsPattern) {
				continue
			}
			first := &(*list)[0]
			if _, ok := done[first]; !ok {
				done[first] = r.fitting(*list, i == 1)
			}
			*list = done[first]
		}
	}
}

// fitting returns a list with the files that fit its patterns. A file that the list names stands where it is named, and
// one that fits two patterns where the first is.
func (r *reader) fitting(sources []planfile.Source, forecasts bool) (list []planfile.Source) {
	listed := map[string]bool{}
	for _, src := range sources {
		if !src.IsPattern() && !src.Remote && src.Service == "" {
			listed[filepath.Clean(src.Path.Path)] = true
		}
	}
	for _, src := range sources {
		if !src.IsPattern() {
			list = append(list, src)
			continue
		}
		for _, path := range r.fit(src, forecasts) {
			if !listed[path] {
				listed[path] = true
				one := src
				one.Path.Path = path
				list = append(list, one)
			}
		}
	}
	return list
}

// fit returns the files that fit a pattern, as a plan names them; that there are none is noted. A file that bears the
// pattern itself for a name is meant by it; so is one of forecasts that none fits, which is then left out.
func (r *reader) fit(src planfile.Source, forecasts bool) (paths []string) {
	wrong := func(format string, args ...any) { r.problems.Add(r.in.Plan.File, src.Line, "file", format, args...) }
	if r.there(src.Path.Path) {
		return []string{src.Path.Path}
	}
	folder, name := filepath.Split(src.Path.Path)
	if strings.ContainsAny(folder, planfile.PatternLetters) {
		wrong("found %q, a pattern in the name of a folder; want it in the name of the file alone", src.Path.Path)
		return nil
	}
	p, read := Pattern{r.name(filepath.Clean(folder)), name}, os.ReadDir
	if r.Demo != nil {
		read = func(folder string) ([]fs.DirEntry, error) { return fs.ReadDir(r.Demo, filepath.ToSlash(folder)) }
	} else {
		r.in.Patterns = append(r.in.Patterns, p)
	}
	found, err := p.files(read)
	switch {
	case forecasts && len(found) == 0 && err != filepath.ErrBadPattern:
		return []string{src.Path.Path}
	case err == filepath.ErrBadPattern:
		wrong("found %q, a pattern with a bracket that is not closed or empty; want one such as station-*.csv",
			src.Path.Path)
	case err != nil:
		wrong("%v", problem.OfFile(err))
	case len(found) == 0:
		wrong("found no file that fits %q, want one or more", r.name(src.Path.Path))
	}
	for _, path := range found {
		paths = append(paths, filepath.Join(folder, filepath.Base(path)))
	}
	return paths
}

// there reports whether a path of the plan is there.
func (r *reader) there(path string) bool {
	if r.Demo != nil {
		_, err := fs.Stat(r.Demo, filepath.ToSlash(path))
		return err == nil
	}
	_, err := os.Stat(r.name(path))
	return err == nil
}
