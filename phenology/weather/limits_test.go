package weather

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
)

// endless gives a head once and then a text for ever, so that no file of half a gigabyte is needed.
type endless struct {
	head string
	text func(n int) string // the n-th row
	n    int
	left string
	read int // bytes given
}

func (e *endless) Read(b []byte) (int, error) {
	if e.head != "" {
		n := copy(b, e.head)
		e.head = e.head[n:]
		return n, nil
	}
	if e.left == "" {
		e.left = e.text(e.n)
		e.n++
	}
	n := copy(b, e.left)
	e.left = e.left[n:]
	e.read += n
	return n, nil
}

// allocated returns how many bytes f allocates, those that it lets go again among them.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A file that never ends is given up at [MaxFileSize], as it comes or unpacked, in the memory of its days alone.
func TestFileSizeLimitHolds(t *testing.T) {
	wide := "2027-03-09,1,2," + strings.Repeat("x", 60_000) + "\n"
	header := "date,tmin_c,tmax_c,remark\n"
	member := gz(strings.Repeat(wide, 20)) // RFC 1952 section 2.2: members one after the other are one file
	for _, tt := range []struct {
		name string
		r    io.Reader
	}{
		{"plain", &endless{head: header, text: func(int) string { return wide }}},
		{"gzip bomb", &endless{head: gz(header), text: func(int) string { return member }}},
		{"one line", &endless{head: header, text: func(int) string { return wide[:1000] }}},
	} {
		var err error
		limit, want := int64(MaxFileSize), "a.csv: the file is larger than 512 MiB, want less"
		switch tt.name {
		case "gzip bomb": // the same limit, held by the same code, in a sixteenth of the time
			limit, want = 32<<20, "a.csv: the file is larger than 32 MiB, want less"
		case "one line":
			want = "a.csv:2: found a line longer than 65536 bytes"
		}
		size := allocated(func() { _, err = read(tt.r, "a.csv", Options{}, limit) })
		if err == nil || !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%s: found %v, want %s", tt.name, err, want)
		}
		if size > 4<<20 {
			t.Errorf("%s: %d bytes were allocated, want no more than for a short file", tt.name, size)
		}
	}
	if len(member) > MaxFileSize/1000 {
		t.Errorf("a member of the bomb has %d bytes, want few", len(member))
	}
}

// Whatever a file repeats, memory does not grow with its length: notes, problems and stations are counted, not collected.
func TestMemoryDoesNotGrowWithTheFile(t *testing.T) {
	for _, tt := range []struct {
		name, header string
		row          func(n int) string
	}{
		{"the same day", "date,tmin_c,tmax_c\n", func(int) string { return "2027-03-09,1,2\n" }},
		{"the same day, two readings", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("2027-03-09,%d,%d\n", n%5, n%5+3) }},
		{"no values", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("20%02d-%02d-09,,NA\n", n%100, n%12+1) }},
		{"upside down", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("20%02d-%02d-09,9,1\n", n%100, n%12+1) }},
		{"back and forth", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("%04d-03-09,1,2\n", 1900+(n*37)%200) }},
		{"no days", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("day %d,1,2\n", n) }},
		{"words", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("2027-03-09,cold %d,2\n", n) }},
		{"quoted", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("\"2027-03-09\",\"1\",\"2 \"\"%d\"\"\"\n", n) }},
		{"short rows", "date,tmin_c,tmax_c\n", func(n int) string { return fmt.Sprintf("%d\n", n) }},
		{"stations", "STATION,DATE,TMAX,TMIN\n", func(n int) string { return fmt.Sprintf("USC%08d,2027-03-09,50,10\n", n) }},
		{"stations by row", "", func(n int) string { return fmt.Sprintf("USC%08d,20270309,TMAX,50,,,7\n", n) }},
		{"fixed width", "", func(n int) string { return fmt.Sprintf("USC%08d202703TMAX%s\n", n, strings.Repeat("   50  7", 31)) }},
	} {
		// What is alive is looked at from within: every MiB the reader lets the rest be collected first.
		var alive []uint64
		source := &endless{head: tt.header, text: tt.row}
		look := readerFunc(func(b []byte) (int, error) {
			if source.read>>20 >= len(alive) {
				var m runtime.MemStats
				runtime.GC()
				runtime.ReadMemStats(&m)
				alive = append(alive, m.HeapAlloc)
			}
			return source.Read(b)
		})
		const most = 4
		if _, err := read(look, "a.csv", Options{Station: "one that never comes"}, most<<20); err == nil {
			t.Errorf("%s: an endless file was read", tt.name)
		}
		if len(alive) < most {
			t.Errorf("%s: it was given up after %d MiB", tt.name, len(alive))
			continue
		}
		if grown := int64(alive[most-1]) - int64(alive[1]); grown > 1<<20 {
			t.Errorf("%s: from the second MiB to the last, %d bytes more stay in memory: %d", tt.name, grown, alive)
		}
	}
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(b []byte) (int, error) { return f(b) }
