package build

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/regular"
	"treewhen/phenology/problem"
)

// ReadFeed reads a feed in place, or as much of it as shows that it is too large to be one.
func ReadFeed(path string) ([]byte, error) {
	f, err := regular.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, ical.MaxFeed+1))
}

// Recall reads from a folder of feeds, "" for none, what stands in those of the plan's sites, and puts it into the
// inputs. It reports whether there is none of them in the folder.
func Recall(in *inputs.Inputs, folder string) (none bool, err error) {
	if folder == "" {
		return false, nil
	}
	if _, err := os.Stat(folder); err != nil {
		return false, problem.OfFile(err)
	}
	m := Feeds{In: in, Whole: true, Folder: folder, Before: ReadFeed}
	in.Memory = map[string]map[string]calendar.Memory{}
	for _, pl := range in.Places {
		feeds, err := m.previous(pl)
		if err != nil {
			return false, err
		}
		for name := range feeds {
			in.Files = append(in.Files, filepath.Join(folder, name))
		}
		if memory := memoryOf(feeds); memory != nil {
			in.Memory[pl.Site.ID] = memory
		}
	}
	slices.Sort(in.Files)
	return len(in.Memory) == 0, nil
}

// inFeed names the file in an error of [ical.ReadPrevious].
func inFeed(path string, err error) error {
	var bad problem.Problem
	if errors.As(err, &bad) {
		bad.File = path
		return problem.List{bad}
	}
	return fmt.Errorf("%s: %w", path, err)
}
