package fetch

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"treewhen/calendar/regular"
	"treewhen/calendar/staging"
	"treewhen/phenology/problem"
)

// Meta is the first line of a copy; what it is a copy of follows. One file, so that no copy is ever half of one answer
// and half of another.
type Meta struct {
	Key          string          `json:"address"` // what the copy is of
	ETag         string          `json:"etag,omitempty"`
	LastModified string          `json:"last_modified,omitempty"`
	Confirmed    time.Time       `json:"confirmed"` // when the other side last said that it has this; zero: never
	SHA256       string          `json:"sha256"`    // of the body
	More         json.RawMessage `json:"more,omitempty"`
}

// Copy is a copy kept.
type Copy struct {
	Meta
	Body []byte
}

// Copies are kept in a folder, or in memory where there is none. They may be used by several goroutines.
type Copies struct {
	dir    string
	limit  int64 // bytes of one
	mu     sync.Mutex
	memory map[string][]byte // of those without a folder
}

const copyHeader = 16 << 10 // bytes before a copy's body, at most

// Read returns the copy of something, nil if there is none that is whole. A damaged one is as good as none.
func (s *Copies) Read(key string) *Copy {
	data, err := s.data(key)
	if err != nil {
		return nil
	}
	head, body, ok := bytes.Cut(data, []byte("\n"))
	var c Copy
	if !ok || json.Unmarshal(head, &c.Meta) != nil || c.Key != key || c.SHA256 != sum(body) {
		return nil
	}
	c.Body = body
	return &c
}

func (s *Copies) data(key string) ([]byte, error) {
	if s.dir == "" {
		s.mu.Lock()
		defer s.mu.Unlock()
		return s.memory[key], nil
	}
	file, err := regular.Open(s.path(key))
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, s.limit+copyHeader))
}

// Keep puts a copy in place, whole, with the sum of its body. Errors are of the file system.
func (s *Copies) Keep(c *Copy) error {
	c.SHA256 = sum(c.Body)
	head, err := json.Marshal(c.Meta)
	if err != nil {
		return err
	}
	data := append(append(head, '\n'), c.Body...)
	if s.dir == "" {
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.memory == nil {
			s.memory = map[string][]byte{}
		}
		s.memory[c.Key] = data
		return nil
	}
	if err := os.MkdirAll(s.dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return problem.OfFile(err)
	}
	return staging.Replace(s.path(c.Key), data)
}

// path returns where the copy of something is kept. The name is a digest: nothing in an address can choose the file.
func (s *Copies) path(key string) string {
	sum := sha256.Sum256([]byte(key))
	return filepath.Join(s.dir, hex.EncodeToString(sum[:16])+".copy")
}

func sum(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:])
}
