package feed

import (
	"bytes"
	"crypto/subtle"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
)

// Handler hands out the documents of its snapshot: GET and HEAD, RFC 9110, with conditional requests, ranges and gzip.
// The zero Handler has no snapshot yet and says so. It is safe for use by several goroutines.
type Handler struct {
	// Prefix is the path under which a reverse proxy shows the server, such as "/trees"; "" for its root. Requests are
	// understood with it and without it, since some proxies take it off and some do not.
	Prefix string

	current atomic.Pointer[Snapshot]
}

// Swap puts a snapshot in place of the present one, as a whole.
func (h *Handler) Swap(s *Snapshot) { h.current.Store(s) }

// Snapshot returns the present snapshot; nil if there is none yet.
func (h *Handler) Snapshot() *Snapshot { return h.current.Load() }

// ServeHTTP answers a request.
func (h *Handler) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	header := w.Header()
	header.Set("X-Content-Type-Options", "nosniff")
	header.Set("Referrer-Policy", "no-referrer") // an address may be a secret
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		header.Set("Allow", "GET, HEAD")
		refuse(w, http.StatusMethodNotAllowed, "This server only hands out: GET and HEAD.")
		return
	}
	snapshot := h.current.Load() // once: everything below is of one snapshot
	if snapshot == nil {
		header.Set("Retry-After", "10")
		refuse(w, http.StatusServiceUnavailable, "Not ready yet. Try again in a few seconds.")
		return
	}
	path := r.URL.Path
	if h.Prefix != "" {
		switch rest, ok := strings.CutPrefix(path, h.Prefix); {
		case ok && rest == "":
			// Links are relative to the folder, so its address must end as a folder's does. The prefix is the owner's,
			// not the request's.
			header.Set("Location", h.Prefix+"/")
			refuse(w, http.StatusPermanentRedirect, "See "+h.Prefix+"/")
			return
		case ok && rest[0] == '/':
			path = rest
		}
	}
	f := snapshot.find(path)
	if f == nil {
		refuse(w, http.StatusNotFound, "There is nothing at this address.")
		return
	}
	f.send(w, r)
}

// find returns the file at an address, nil if there is none. Of a key, only the length can be told from how long it
// takes.
func (s *Snapshot) find(path string) *file {
	if f := s.files[path]; f != nil && f.Key == "" {
		return f
	}
	dir, base := splitPath(path)
	if dir == "" || dir == "/" {
		return nil
	}
	dir, key := splitPath(strings.TrimSuffix(dir, "/"))
	f := s.files[dir+base]
	if f == nil || f.Key == "" || subtle.ConstantTimeCompare([]byte(f.Key), []byte(key)) != 1 {
		return nil
	}
	return f
}

// send answers with the file, or with as little of it as the request leaves to be said.
func (f *file) send(w http.ResponseWriter, r *http.Request) {
	header := w.Header()
	header.Set("Content-Type", f.Type)
	header.Set("Cache-Control", f.CacheControl)
	if f.Policy != "" {
		header.Set("Content-Security-Policy", f.Policy)
	}
	if f.Key != "" {
		header.Set("X-Robots-Tag", "noindex")
	}
	body, tag := f.Body, f.etag
	if f.zipped != nil {
		header.Set("Vary", "Accept-Encoding")
		// Who asks whether a copy is still good gets the answer for the copy that he has, plain or zipped.
		known := r.Header.Get("If-None-Match")
		if hasTag := strings.Contains(known, f.zippedETag); hasTag ||
			!strings.Contains(known, f.etag) && acceptsGzip(r.Header.Values("Accept-Encoding")) {
			body, tag = f.zipped, f.zippedETag
			header.Set("Content-Encoding", "gzip")
		}
	}
	header.Set("ETag", tag)
	if !hasAny(r.Header, "Range", "If-Range", "If-None-Match", "If-Modified-Since", "If-Match", "If-Unmodified-Since") {
		// The plain case in one write: ServeContent would copy the body through a buffer, at half the speed.
		header.Set("Last-Modified", f.modified.Format(http.TimeFormat))
		header.Set("Accept-Ranges", "bytes")
		header.Set("Content-Length", strconv.Itoa(len(body)))
		if r.Method != http.MethodHead {
			w.Write(body) // an error means that the client has gone
		}
		return
	}
	if header.Get("Content-Encoding") != "" && !hasAny(r.Header, "Range", "If-Match", "If-Unmodified-Since") {
		// ServeContent leaves it out of what is encoded. With these headers the answer may be another, and shorter.
		header.Set("Content-Length", strconv.Itoa(len(body)))
	}
	// Of a request, ServeContent looks at the headers alone: preconditions and ranges of RFC 9110 sections 13 and 14.
	http.ServeContent(w, r, "", f.modified, bytes.NewReader(body))
}

func hasAny(h http.Header, names ...string) bool {
	return slices.ContainsFunc(names, func(name string) bool { return h.Get(name) != "" })
}

// acceptsGzip reads Accept-Encoding, RFC 9110 section 12.5.3.
func acceptsGzip(values []string) bool {
	star := false
	for _, value := range values {
		for part := range strings.SplitSeq(value, ",") {
			coding, params, _ := strings.Cut(part, ";")
			weight := 1.0
			if q, ok := strings.CutPrefix(strings.ToLower(strings.ReplaceAll(params, " ", "")), "q="); ok {
				var err error
				if weight, err = strconv.ParseFloat(q, 64); err != nil {
					weight = 0
				}
			}
			switch strings.ToLower(strings.TrimSpace(coding)) {
			case "gzip", "x-gzip":
				return weight > 0
			case "*":
				star = weight > 0
			}
		}
	}
	return star
}

// refuse answers with a status and a line of text.
func refuse(w http.ResponseWriter, status int, text string) {
	h := w.Header()
	h.Set("Content-Type", "text/plain; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	h.Set("Content-Length", strconv.Itoa(len(text)+1))
	w.WriteHeader(status)
	w.Write([]byte(text + "\n")) // to HEAD, net/http sends no body
}
