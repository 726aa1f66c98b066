package feed

import (
	"bytes"
	"compress/gzip"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base32"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
)

// Document is what is handed out at one address.
type Document struct {
	// Path is its address from the server's root: "/", "/feeds/ridge.ics". It is matched as it stands.
	Path string
	// Key makes the address unguessable; "" leaves it plain. See [Document.Address].
	Key          string
	Type         string // its media type
	CacheControl string // RFC 9111 section 5.2
	Policy       string // its Content-Security-Policy; may be ""
	Body         []byte
}

// Address returns where the document is: its path, with the key as a folder before the last part of it.
func (d Document) Address() string {
	if d.Key == "" {
		return d.Path
	}
	dir, base := splitPath(d.Path)
	return dir + d.Key + "/" + base
}

// splitPath cuts a path behind its last slash.
func splitPath(path string) (dir, base string) {
	i := strings.LastIndexByte(path, '/')
	return path[:i+1], path[i+1:]
}

// Key derives the key of a path from a secret, so that whoever is told one address can guess no other: 160 bits of
// HMAC-SHA-256 (RFC 2104) in lower-case base32.
func Key(secret, path string) string {
	mac := hmac.New(sha256.New, []byte(secret))
	mac.Write([]byte(path))
	return strings.ToLower(base32.StdEncoding.WithPadding(base32.NoPadding).EncodeToString(mac.Sum(nil)[:20]))
}

// Snapshot is a set of documents that belong together. It never changes.
type Snapshot struct {
	files map[string]*file
}

// file is a document ready to be sent.
type file struct {
	Document
	modified   time.Time // when its body became what it is, whole seconds
	etag       string    // strong, of the body: RFC 9110 section 8.8.3
	zipped     []byte    // nil where that would not be smaller
	zippedETag string    // another one: the bytes are others
}

// NewSnapshot prepares documents. What is in before with the same body keeps the time of its last modification;
// anything else gets now. Before may be nil.
func NewSnapshot(before *Snapshot, now time.Time, docs []Document) (*Snapshot, error) {
	s := &Snapshot{files: make(map[string]*file, len(docs))}
	// without a time in its header: the same body, the same bytes
	z, err := gzip.NewWriterLevel(nil, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	for _, d := range docs {
		if !strings.HasPrefix(d.Path, "/") {
			return nil, fmt.Errorf("feed: found path %q, want one that begins with /", d.Path)
		}
		if s.files[d.Path] != nil {
			return nil, fmt.Errorf("feed: found two documents at %s", d.Path)
		}
		if before != nil {
			if old := before.files[d.Path]; old != nil && old.Type == d.Type && bytes.Equal(old.Body, d.Body) {
				same := *old
				same.Document = d
				s.files[d.Path] = &same
				continue
			}
		}
		f, err := prepare(d, now, z)
		if err != nil {
			return nil, err
		}
		s.files[d.Path] = f
	}
	return s, nil
}

// prepare makes a document ready to be sent, zipped by z.
func prepare(d Document, now time.Time, z *gzip.Writer) (*file, error) {
	sum := sha256.Sum256(d.Body)
	tag := hex.EncodeToString(sum[:16])
	f := &file{Document: d, modified: now.UTC().Truncate(time.Second), etag: `"` + tag + `"`,
		zippedETag: `"` + tag + `-gzip"`}
	var b bytes.Buffer
	z.Reset(&b)
	if _, err := z.Write(d.Body); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	if b.Len() < len(d.Body)*9/10 {
		f.zipped = bytes.Clone(b.Bytes())
	}
	return f, nil
}
