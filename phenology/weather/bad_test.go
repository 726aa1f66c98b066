package weather

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const badFolder = "../../testdata/bad/temperatures"

var update = flag.Bool("update", false, "write the messages of the broken files anew; read them before you keep them")

// Each broken file has beside it, in NAME.want, exactly what is said of it.
func TestBrokenFiles(t *testing.T) {
	entries, err := os.ReadDir(badFolder)
	if err != nil {
		t.Fatal(err)
	}
	files := 0
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".want") {
			continue
		}
		files++
		t.Run(e.Name(), func(t *testing.T) {
			path := filepath.Join(badFolder, e.Name())
			f, err := os.Open(path)
			if err != nil {
				t.Fatal(err)
			}
			defer f.Close()
			r, err := Read(f, e.Name(), Options{})
			if err == nil {
				t.Fatalf("it was read: %v", r.Series.Span())
			}
			got := err.Error() + "\n"
			if *update {
				if err := os.WriteFile(path+".want", []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path + ".want")
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
	if files < 14 {
		t.Errorf("only %d broken files in %s", files, badFolder)
	}
}
