// Command release packs a folder into an archive whose bytes depend on nothing but the files' names and content and the
// time given: a .zip, or else a .tar.gz.
//
//	release -time SECONDS -root NAME -program FILE FOLDER ARCHIVE
package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"strings"
	"time"
)

func main() {
	seconds := flag.Int64("time", 0, "when everything was changed last, in `SECONDS` since 1970")
	root := flag.String("root", "", "the `NAME` of the folder that everything is in")
	program := flag.String("program", "", "the `FILE` that may be run")
	flag.Parse()
	if flag.NArg() != 2 || *root == "" {
		flag.Usage()
		os.Exit(2)
	}
	p := packer{root: *root, program: *program, at: time.Unix(*seconds, 0).UTC()}
	if err := p.pack(os.DirFS(flag.Arg(0)), flag.Arg(1)); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

type packer struct {
	root, program string
	at            time.Time
}

// file is one that is packed, in the order of names in which [fs.WalkDir] comes by them.
type file struct {
	name string // in the archive
	mode fs.FileMode
	data []byte
}

// pack writes an archive of a folder's files.
func (p packer) pack(folder fs.FS, archive string) (err error) {
	var files []file
	err = fs.WalkDir(folder, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(folder, name)
		f := file{path.Join(p.root, name), 0o644, data}
		if name == p.program {
			f.mode = 0o755
		}
		files = append(files, f)
		return err
	})
	if err != nil {
		return err
	}
	out, err := os.OpenFile(archive, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	if strings.HasSuffix(archive, ".zip") {
		return p.zip(out, files)
	}
	return p.tar(out, files)
}

func (p packer) zip(w io.Writer, files []file) error {
	z := zip.NewWriter(w)
	for _, f := range files {
		head := &zip.FileHeader{Name: f.name, Method: zip.Deflate, Modified: p.at}
		head.SetMode(f.mode)
		body, err := z.CreateHeader(head)
		if err != nil {
			return err
		}
		if _, err := body.Write(f.data); err != nil {
			return err
		}
	}
	return z.Close()
}

func (p packer) tar(w io.Writer, files []file) error {
	z, err := gzip.NewWriterLevel(w, gzip.BestCompression) // without a time or a name in its header
	if err != nil {
		return err
	}
	t := tar.NewWriter(z)
	for _, f := range files {
		head := &tar.Header{
			Typeflag: tar.TypeReg, Name: f.name, Mode: int64(f.mode), Size: int64(len(f.data)), ModTime: p.at,
			Format: tar.FormatUSTAR,
		}
		if err := t.WriteHeader(head); err != nil {
			return err
		}
		if _, err := t.Write(f.data); err != nil {
			return err
		}
	}
	return errors.Join(t.Close(), z.Close())
}
