package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/phenology/civil"
)

// elided stands in the README for the rest of an output.
const elided = "[...]"

// Every command in the README's console blocks is run, and must print what stands there, word for word; "[...]" as the
// last line stands for the rest. With -update the blocks are written anew, as long as they were.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(root, "README.md")
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(root)
	var rewritten []string
	runs := 0
	lines := strings.Split(string(data), "\n")
	for i := 0; i < len(lines); i++ {
		rewritten = append(rewritten, lines[i])
		if lines[i] != "```console" {
			continue
		}
		end := i + 1
		for end < len(lines) && lines[end] != "```" {
			end++
		}
		for _, part := range splitBlock(lines[i+1 : end]) {
			command, shown := part[0], part[1:]
			got := shown
			if args, ok := strings.CutPrefix(command, "$ go run ./cmd/treewhen"); ok {
				runs++
				got = printed(t, strings.Fields(args), shown)
				if diff := cmp.Diff(shown, got); diff != "" && !*update {
					t.Errorf("README.md:%d: %s (-shown +printed):\n%s", i+1, command, diff)
				}
			}
			rewritten = append(rewritten, append([]string{command}, got...)...)
		}
		i = end - 1
	}
	if runs < 2 {
		t.Errorf("the README runs %d commands, want the two at its top at least", runs)
	}
	if *update {
		if err := os.WriteFile(path, []byte(strings.Join(rewritten, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// splitBlock splits a console block into commands, each with the lines under it.
func splitBlock(lines []string) [][]string {
	var parts [][]string
	for _, l := range lines {
		if strings.HasPrefix(l, "$ ") || len(parts) == 0 {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], l)
	}
	return parts
}

// printed returns what the program prints, cut where the README cuts it.
func printed(t *testing.T, args, shown []string) []string {
	var out, errs bytes.Buffer
	p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 3, 12)}
	if code := p.run(context.Background(), args); code != exitDone {
		t.Fatalf("treewhen %s ended with %d: %s", strings.Join(args, " "), code, errs.String())
	}
	got := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
	if n := len(shown); n > 0 && shown[n-1] == elided && len(got) >= n {
		got = append(got[:n-1:n-1], elided)
	}
	return got
}
