package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"treewhen/calendar/words"
	"treewhen/phenology/civil"
)

// elided stands in a page for the rest of an output.
const elided = "[...]"

// A document is a text whose console blocks are run: what they show is what is printed, word for word, and "[...]" as
// the last line stands for the rest. With -update the blocks are written anew, as long as they were.
type document struct {
	path string // from the project's root
	// print returns what a command prints; ran is false for one that is shown only.
	print func(t *testing.T, command string) (out string, ran bool)
}

// Every command in the README's console blocks is run, and must print what stands there.
func TestReadmeShowsWhatIsPrinted(t *testing.T) {
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme := document{filepath.Join(root, "README.md"), func(t *testing.T, command string) (string, bool) {
		args, ok := strings.CutPrefix(command, "go run ./cmd/treewhen")
		if !ok {
			return "", false
		}
		var out, errs bytes.Buffer
		p := &program{stdin: strings.NewReader(""), stdout: &out, stderr: &errs, today: civil.Of(2027, 3, 12)}
		if code := p.run(context.Background(), strings.Fields(args)); code != exitDone {
			t.Fatalf("treewhen %s ended with %d: %s", args, code, errs.String())
		}
		return out.String(), true
	}}
	t.Chdir(root)
	if printed := readme.check(t); len(printed) < 2 {
		t.Errorf("the README runs %d commands, want the two at its top at least", len(printed))
	}
}

// quoted finds what a worked case quotes from its outputs: words set in italics.
var quoted = regexp.MustCompile(`(?s)(?:^|[\s(])\*([^*\s][^*]*)\*`)

// The worked cases are run by a shell in a copy of their folder, all commands of one in turn, and show what stands on
// the terminal then. What their text quotes from an output, in italics, must be in one.
func TestCasesShowWhatIsPrinted(t *testing.T) {
	for _, tool := range []string{"sh", "cat", "cp", "grep", "sed"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("the worked cases are run by sh, with %s: %v", tool, err)
		}
	}
	cases, err := filepath.Abs("../../testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"nursery", "school", "sugarbush", "early-spring"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := filepath.Join(t.TempDir(), name)
			if err := os.CopyFS(dir, os.DirFS(filepath.Join(cases, name))); err != nil {
				t.Fatal(err)
			}
			story := document{filepath.Join(cases, name, "CASE.md"), func(t *testing.T, command string) (string, bool) {
				// No test may depend on the day on which it is run.
				if strings.Contains(command, "treewhen ") && !strings.Contains(command, "--as-of ") && !strings.Contains(command, "treewhen species ") {
					t.Errorf("%s: want --as-of", command)
				}
				c := exec.Command("sh", "-c", command)
				c.Dir = dir
				out, err := c.CombinedOutput()
				if err != nil {
					t.Fatalf("%s: %v\n%s", command, err, out)
				}
				return strings.ReplaceAll(string(out), "\r\n", "\n"), true // calendars have both; a terminal shows no difference
			}}
			outputs := strings.Join(strings.Fields(strings.Join(story.check(t), "\n")), " ")
			text, err := os.ReadFile(story.path)
			if err != nil {
				t.Fatal(err)
			}
			for _, q := range quoted.FindAllStringSubmatch(outsideBlocks(string(text)), -1) {
				if words := strings.Join(strings.Fields(q[1]), " "); !strings.Contains(outputs, words) {
					t.Errorf("%s quotes %q, which no command there prints", story.path, words)
				}
			}
		})
	}
}

// outsideBlocks returns a page without its blocks of code.
func outsideBlocks(text string) string {
	parts := strings.Split("\n"+text, "\n```")
	var out []string
	for i := 0; i < len(parts); i += 2 {
		out = append(out, parts[i])
	}
	return strings.Join(out, "\n")
}

// check runs the page's commands, compares, and returns their whole outputs.
func (p *document) check(t *testing.T) (printed []string) {
	t.Helper()
	data, err := os.ReadFile(p.path)
	if err != nil {
		t.Fatal(err)
	}
	var rewritten []string
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
			if out, ran := p.print(t, strings.TrimPrefix(command, "$ ")); ran {
				printed = append(printed, out)
				got = cut(out, shown)
				if diff := cmp.Diff(shown, got); diff != "" && !*update {
					t.Errorf("%s:%d: %s (-shown +printed):\n%s", filepath.Base(p.path), i+1, command, diff)
				}
			}
			rewritten = append(append(rewritten, command), got...)
		}
		i = end - 1
	}
	if *update {
		if err := os.WriteFile(p.path, []byte(strings.Join(rewritten, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return printed
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

// cut returns the lines of what a command printed, cut where the page cuts them.
func cut(out string, shown []string) []string {
	if out == "" {
		return []string{}
	}
	got := strings.Split(strings.TrimSuffix(out, "\n"), "\n")
	if n := len(shown); n > 0 && shown[n-1] == elided && len(got) >= n {
		got = append(slices.Clone(got[:n-1]), elided)
	}
	return got
}

// Every plan that the README shows is one that is read, with the files that it names beside it.
func TestReadmePlansAreRead(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	blocks := strings.Split(string(data), "```yaml\n")[1:]
	if len(blocks) < 2 {
		t.Errorf("the README has %d plans, want two at least", len(blocks))
	}
	for _, block := range blocks {
		plan, _, _ := strings.Cut(block, "```")
		dir := t.TempDir()
		for name, text := range map[string]string{
			"plan.yaml":   plan,
			"members.csv": "id,name,latitude,longitude,elevation_ft,timezone\nhill-bush,Hill bush,44.1,-72.5,1500,America/New_York\n",
			"term.ics":    "BEGIN:VCALENDAR\nBEGIN:VEVENT\nSUMMARY:No School\nDTSTART:20270402\nEND:VEVENT\nEND:VCALENDAR\n",
			"county.csv":  "date,tmin_c,tmax_c\n2026-03-01,-4,5\n2026-03-02,-3,6\n",
		} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if code, _, stderr := run(t, dir, "check", "plan.yaml", "--as-of", "2027-03-12"); code != exitDone {
			t.Errorf("%s\n%s", plan, stderr)
		}
	}
}

// The README's table has every command.
func TestReadmeNamesEveryCommand(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range commands() {
		if !strings.Contains(string(data), "`treewhen "+c.name) {
			t.Errorf("%s is not in the README", c.name)
		}
	}
}

// The README's run of the tests names every package that has any.
// The README tells of calendar programs what the page tells.
func TestReadmeTellsOfPrograms(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range words.Programs {
		if row := fmt.Sprintf("| %s | %s | %s | %s |\n", p.Name, p.How, p.Fetches, p.Rings); !strings.Contains(string(data), row) {
			t.Errorf("the README has no row %s", row)
		}
	}
}

func TestReadmeNamesEveryTestedPackage(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("go", "list", "-f", "{{if or .TestGoFiles .XTestGoFiles}}{{.ImportPath}}{{end}}", "treewhen/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var shown []string
	for _, line := range strings.Split(string(data), "\n") {
		if rest, ok := strings.CutPrefix(line, "ok  \t"); ok {
			name, _, _ := strings.Cut(rest, "\t")
			shown = append(shown, name)
		}
	}
	if diff := cmp.Diff(shown, strings.Fields(string(out))); diff != "" {
		t.Errorf("-shown +tested:\n%s", diff)
	}
}
