package build

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"treewhen/calendar"
	"treewhen/calendar/ical"
	"treewhen/calendar/inputs"
	"treewhen/calendar/regular"
	"treewhen/phenology/civil"
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

// published returns which trips stand in a site's feeds in place, so that one whose day has come stays on it. A feed
// that cannot be read is no matter here: it is said when it is to be built upon.
func (m *Feeds) published(pl *inputs.Place) map[string]civil.Date {
	for _, name := range tripFeeds(pl) {
		data, err := m.Before(filepath.Join(m.Folder, name))
		if err != nil {
			continue
		}
		if old, err := ical.ReadPrevious(bytes.NewReader(data)); err == nil {
			return old.Days()
		}
	}
	return nil
}

// tripFeeds are the names of the feeds in which a site's trips stand; none if it has none.
func tripFeeds(pl *inputs.Place) []string {
	if !slices.Contains(pl.Site.Activities, calendar.FieldTrip) {
		return nil
	}
	return []string{feedName(pl, calendar.FieldTrip), feedName(pl, "")}
}

// Recall reads from a folder of feeds, "" for none, which trips stand in them, and puts them into the inputs. It
// reports whether sites have trips and no feed of theirs is in the folder.
func Recall(in *inputs.Inputs, folder string) (none bool, err error) {
	if folder == "" {
		return false, nil
	}
	if _, err := os.Stat(folder); err != nil {
		return false, problem.OfFile(err)
	}
	in.Published = map[string]map[string]civil.Date{}
	wanted := false
	for _, pl := range in.Places {
		for _, name := range tripFeeds(pl) {
			wanted = true
			path := filepath.Join(folder, name)
			data, err := ReadFeed(path)
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			if err != nil {
				return false, problem.OfFile(err)
			}
			old, err := ical.ReadPrevious(bytes.NewReader(data))
			if err != nil {
				return false, inFeed(path, err)
			}
			in.Published[pl.Site.ID], in.Files = old.Days(), append(in.Files, path)
			break
		}
	}
	return wanted && len(in.Published) == 0, nil
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
