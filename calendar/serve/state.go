package serve

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"treewhen/calendar/build"
	"treewhen/calendar/staging"
	"treewhen/phenology/problem"
)

// before returns a feed as last published: from memory or, at the start, from the state.
func (s *Server) before(path string) ([]byte, error) {
	if data, ok := s.published[path]; ok {
		return data, nil
	}
	if s.State == "" {
		return nil, fs.ErrNotExist
	}
	return build.ReadFeed(path)
}

// lockState keeps other runs out of the state's folder for as long as this one serves, since it holds in memory what it
// read there at the start. A folder that cannot be made or locked yet, on a full disk, keeps nobody from the feeds: see
// save.
func (s *Server) lockState(ctx context.Context) error {
	if s.State == "" {
		return nil
	}
	err := s.holdState(ctx, statePatience)
	if errors.Is(err, staging.ErrLocked) || ctx.Err() != nil {
		return err
	}
	return nil
}

// holdState makes and locks the state's folder, unless it is locked.
func (s *Server) holdState(ctx context.Context, patience time.Duration) (err error) {
	if err := os.MkdirAll(s.State, 0o755); err != nil {
		return err
	}
	if s.unlock == nil {
		s.unlock, err = staging.Lock(ctx, s.State, patience)
	}
	return err
}

func (s *Server) unlockState() {
	if s.unlock != nil {
		s.unlock()
	}
}

// save writes the feeds that changed to the state. A full disk does not keep anybody from the feeds: it is said, and
// tried again every time.
func (s *Server) save(ctx context.Context, files []build.FeedFile) {
	if s.State == "" {
		return
	}
	err := s.holdState(ctx, 0)
	for _, f := range files {
		if err != nil {
			break
		}
		if old, readErr := build.ReadFeed(f.Path); readErr == nil && bytes.Equal(old, f.Data) {
			continue
		}
		err = staging.Replace(f.Path, f.Data)
	}
	text := ""
	if err != nil {
		text = fmt.Sprint(problem.OfFile(err))
	}
	if text != "" && text != s.unsaved {
		s.log.Println("cannot keep the feeds in --state: " + text)
	}
	s.unsaved = text
}
