package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// The files kept in the project are those that this command makes. Gzip's own bytes may differ between versions of Go.
func TestKeptFilesAreThoseMadeHere(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("another processor may round a tenth of a degree otherwise")
	}
	for name, made := range Files() {
		kept, err := os.ReadFile(filepath.Join("..", "..", filepath.FromSlash(name)))
		if err != nil {
			t.Error(err)
			continue
		}
		if strings.HasSuffix(name, ".gz") {
			made, kept = unzipped(t, made), unzipped(t, kept)
		}
		if !bytes.Equal(made, kept) {
			t.Errorf("%s is not what is made here; run: go run ./cmd/demoweather .", name)
		}
	}
}

func unzipped(t *testing.T, data []byte) []byte {
	t.Helper()
	r, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	out, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}
